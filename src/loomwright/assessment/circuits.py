"""Circuits: each load alone at its running and start current, all together, dips, and the charging paths."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.network import Source
from loomwright.circuit.ports import alone, pairs, together
from loomwright.plan.kinds import is_consumer
from loomwright.plan.pieces import FlatRun, Wiring
from loomwright.plan.values import Quantity
from loomwright.source import Source as Citation
from loomwright.steps import Given, Step

from . import bands
from .flow import Flow, battery_class, flow, is_battery, posts_volts
from .inputs import Inputs
from .loads import LONG_START_S, Port
from .network import Branch
from .record import CircuitFigure, Dip, Share
from .states import Link

Floats = NDArray[np.float64]
OHMS_LAW = Citation(
    work="Ohm's law", place="U = R · I along the whole way of the current", checked="computed"
)
#: Dips smaller than this are not listed. [V]
SMALLEST_DIP_V = 0.001
#: Branches that carry less of a circuit's own current are not on its way.
ON_WAY = 1e-4
#: A smaller current is what rounding leaves. [A]
DUST_A = 1e-9
_QUIET = ("coil", "signal")
_RUNS_TOGETHER = ("consumer", "inverter", "converter_input", "coil", "signal")


@dataclass(frozen=True, slots=True)
class Solved:
    """A flow with its loads solved: alone, together, at their starts."""

    flow: Flow
    alone_v: Floats
    alone_a: Floats
    start_a: Floats
    together_v: Floats
    together_a: Floats
    collapsed: tuple[str, ...]

    def branch_a(self) -> Floats:
        """Currents of the branches with everything on, shape (m,). [A]"""
        taken = np.nan_to_num(self.together_a)
        share = np.nan_to_num(self.flow.reduced.share)
        rest = np.nan_to_num(self.flow.reduced.b0)
        return _clean(rest + share @ taken)

    def alone_branch_a(self) -> Floats:
        """Currents of the branches with each load alone, shape (m, n). [A]"""
        return _clean(np.nan_to_num(self.flow.reduced.share) * np.nan_to_num(self.alone_a))


def _clean(amps: Floats) -> Floats:
    """Take away the dust that sums leave where no current flows."""
    return np.where(np.abs(amps) < DUST_A, 0.0, amps)


def solve(net: Flow, converters: Mapping[str, tuple[float, float, float]]) -> Solved:
    """Solve all loads of a flow.

    Parameters
    ----------
    net : Flow
        The reduced network.
    converters : mapping of str to (volts, current limit, efficiency)
        By part id; what their loads take is put on their inputs.
    """
    solved = _solve(net)
    watts = _converter_watts(solved, converters)
    if not watts:
        return solved
    ports = tuple(
        replace(port, watts=watts[port.part])
        if port.part in watts and port.kind == "converter_input"
        else port
        for port in net.ports
    )
    return _solve(replace(net, ports=ports))


def _converter_watts(
    solved: Solved, converters: Mapping[str, tuple[float, float, float]]
) -> dict[str, float]:
    watts = {}
    for part_id, (volts, limit_a, efficiency) in converters.items():
        taken = drawn_from(solved, part_id)
        watts[part_id] = volts * min(taken, limit_a) / efficiency
    return watts


def drawn_from(solved: Solved, source: str) -> float:
    """Return the current a source gives with everything on. [A]"""
    names = [one.id for one in solved.flow.sources]
    if source not in names:
        return 0.0
    share = np.nan_to_num(solved.flow.reduced.source_share[names.index(source)])
    return float(share @ np.nan_to_num(solved.together_a))


def _solve(net: Flow) -> Solved:
    loads = net.loads()
    running = alone(net.reduced, loads)
    on = np.array([[port.kind in _RUNS_TOGETHER for port in net.ports]], dtype=bool)
    both = together(net.reduced, loads, on)
    z = np.diag(net.reduced.z)
    start_a = np.array(
        [_start_amps(port, v0, zkk) for port, v0, zkk in zip(net.ports, net.reduced.v0, z, strict=True)]
    )
    collapsed = tuple(port.id for port, gone in zip(net.ports, running.collapsed, strict=True) if gone)
    together_a = both.amps[0] if len(net.ports) else np.zeros(0)
    if len(net.ports) and bool(both.collapsed.any()):
        together_a = np.array(
            [_nominal_amps(port) if port.kind in _RUNS_TOGETHER else 0.0 for port in net.ports]
        )
        together_a = np.where(net.reduced.live, together_a, 0.0)
    volts = both.volts[0] if len(net.ports) else np.zeros(0)
    return Solved(net, running.volts, running.amps, start_a, volts, together_a, collapsed)


def _nominal_amps(port: Port) -> float:
    return port.amps + port.watts / port.nominal_v + port.siemens * port.nominal_v


def _start_amps(port: Port, v0: float, z: float) -> float:
    """Return the current of a start; one stated in W is a constant power. [A]"""
    if port.start_w and not math.isnan(v0):
        root = v0 * v0 - 4.0 * z * port.start_w
        return port.start_w / ((v0 + math.sqrt(root)) / 2.0) if root > 0 else port.start_w / port.nominal_v
    return port.start_a


def load_circuits(
    wiring: Wiring, inputs: Inputs, solved: Solved, only: Sequence[str] | None = None
) -> Iterator[CircuitFigure]:
    """Give the circuit of every load that is fed by a run and reached by a source."""
    net = solved.flow
    for k, port in enumerate(net.ports):
        if port.gives or (only is not None and port.id not in only) or not net.reduced.live[k]:
            continue
        flat = feeding_run(wiring, port)
        if flat is not None:
            yield _load_circuit(wiring, inputs, solved, k, port, flat)


def feeding_run(wiring: Wiring, port: Port) -> FlatRun | None:
    """Return the run that ends on a port's plus (on either terminal of a coil)."""
    for flat in wiring.runs.values():
        if not flat.mains and port.plus in flat.loads:
            return flat
    return None


def circuit_id(flat: FlatRun, port: Port) -> str:
    """Return the circuit's id: the run's key, with the load's name where it has several."""
    return flat.id if len(flat.loads) == 1 else f"{flat.id}.{port.part.rpartition('/')[2]}"


def system_of(wiring: Wiring, feeder: str, sources: Sequence[Source]) -> float:
    """Return 12 or 24: what percentages of this feeder's circuits are of. [V]"""
    if is_battery(wiring, feeder):
        volts = next((s.volts for s in sources if s.id == feeder), battery_class(wiring, feeder))
        return 24.0 if volts > 18.0 else 12.0
    volts = next((s.volts for s in sources if s.id == feeder), 12.0)
    return 24.0 if volts > 18.0 else 12.0


def _load_circuit(
    wiring: Wiring, inputs: Inputs, solved: Solved, k: int, port: Port, flat: FlatRun
) -> CircuitFigure:
    net = solved.flow
    feeder = net.feeder(k) or ""
    v0, loop = float(net.reduced.v0[k]), float(net.reduced.z[k, k])
    posts_v = next(s.volts for s in net.sources if s.id == feeder)
    series = series_volts(wiring, feeder, net, k)
    posts_v, amps = series or posts_v, float(solved.alone_a[k])
    if port.kind == "charger_input":
        cruise = cruising_volts(wiring, feeder) or posts_v
        v0, posts_v = v0 + cruise - posts_v, cruise
        amps = _power_amps(v0, loop, port.watts)
    if math.isnan(amps):
        amps = _nominal_amps(port)
    lost = posts_v - v0 + loop * amps
    start_a = float(solved.start_a[k]) if port.has_start else None
    start_v = None if start_a is None else posts_v - v0 + loop * start_a
    together_v = float(solved.together_v[k])
    system_v = 24.0 if posts_v > 18.0 else 12.0
    shares = _shares(net, k, amps)
    return CircuitFigure(
        id=circuit_id(flat, port),
        wire=flat.id,
        load=port.part,
        path="charging" if port.kind == "charger_input" else "signal" if port.kind in _QUIET else "ordinary",
        feeder=feeder,
        system_v=system_v,
        running_a=amps,
        start_a=start_a,
        start_s=port.start_s if port.has_start else None,
        loop_resistance_ohm=lost / amps if amps > 0 else loop,
        drop_v=lost,
        drop_pct=100.0 * lost / system_v,
        drop_together_v=None
        if math.isnan(together_v) or port.kind == "charger_input"
        else max(posts_v - together_v, 0.0),
        drop_run_v=posts_v - v0 + _run_fall(wiring, solved, flat, k, amps),
        start_drop_v=start_v,
        start_drop_pct=None if start_v is None else 100.0 * start_v / system_v,
        load_v=posts_v - lost,
        start_load_v=None if start_v is None else posts_v - start_v,
        shares=shares,
        steps=_drop_steps(port, shares, v0, posts_v, amps, lost, start_a, start_v),
        unknown=_unknown(port, shares),
        worst_shared=_worst_shared(solved, k, flat),
    )


def _run_fall(wiring: Wiring, solved: Solved, flat: FlatRun, k: int, amps: float) -> float:
    """Return the fall at port `k` with all loads of its run on, each at the current it takes alone. [V]"""
    net = solved.flow
    fall = float(net.reduced.z[k, k]) * amps
    for j, other in enumerate(net.ports):
        if j != k and not other.gives and other.plus in flat.loads and net.reduced.live[j]:
            fall += float(net.reduced.z[k, j]) * float(np.nan_to_num(solved.alone_a[j]))
    return fall


def series_volts(wiring: Wiring, feeder: str, net: Flow, k: int) -> float | None:
    """Return the posts' volts of a bank in series that feeds port `k`; None if one battery does."""
    feeding = [
        source.volts
        for s, source in enumerate(net.sources)
        if is_battery(wiring, source.id) and abs(float(net.reduced.source_share[s, k])) > 0.5
    ]
    return (
        sum(feeding)
        if len(feeding) > 1 and abs(sum(feeding) - float(net.reduced.v0[k])) < 0.1 * sum(feeding)
        else None
    )


def cruising_volts(wiring: Wiring, battery: str) -> float | None:
    """Return the volts at a vehicle battery while its alternator cruises, None if not stated. [V]"""
    for part in wiring.parts.values():
        if part.kind == "alternator" and part.charges == battery and part.output:
            for state in ("cruise", "", *part.output):
                limit = part.output.get(state)
                if limit is not None and isinstance(limit.volts, Quantity):
                    return limit.volts.low
    return None


def _power_amps(v0: float, loop: float, watts: float) -> float:
    root = v0 * v0 - 4.0 * loop * watts
    return watts / ((v0 + math.sqrt(root)) / 2.0) if root >= 0 else watts / v0


def _shares(net: Flow, k: int, amps: float) -> tuple[Share, ...]:
    """Return what each resistance takes of a port's drop, in the order of the network."""
    found = []
    column = net.reduced.share[:, k]
    for b in np.flatnonzero(np.abs(column) > ON_WAY):
        part = float(column[b])
        for ohm in net.branches[b].ohms:
            if ohm.ohm > 0:
                found.append(Share(ohm, abs(part), ohm.ohm * part * part * amps))
    return tuple(found)


def _drop_steps(
    port: Port, shares: Sequence[Share], v0: float, posts_v: float, amps: float, lost: float,
    start_a: float | None, start_v: float | None,
) -> tuple[Step, ...]:  # fmt: skip
    terms = [
        f"r{n} * k{n}**2" if share.part_of_current < 0.9999 else f"r{n}" for n, share in enumerate(shares)
    ]
    given: list[Given] = []
    for n, share in enumerate(shares):
        given.append(Given(f"r{n}", share.ohm.ohm, "Ω"))
        if share.part_of_current < 0.9999:
            given.append(Given(f"k{n}", share.part_of_current, ""))
    loop = sum(
        share.ohm.ohm * (share.part_of_current**2 if share.part_of_current < 0.9999 else 1.0)
        for share in shares
    )
    names = "; ".join(f"r{n} {share.ohm.owner} {share.ohm.what}" for n, share in enumerate(shares))
    steps = [Step("R_loop", " + ".join(terms) or "0", tuple(given), loop, "Ω", OHMS_LAW, names)]
    if port.watts and not port.amps and not port.siemens:
        formula = "P / ((U0 + sqrt(max(U0**2 - 4 * R_loop * P, 0))) / 2)"
        inputs = (Given("P", port.watts, "W"), Given("U0", v0, "V"), Given("R_loop", loop, "Ω"))
        value = port.watts / ((v0 + math.sqrt(max(v0**2 - 4 * loop * port.watts, 0.0))) / 2)
        steps.append(Step("I", formula, inputs, value, "A", OHMS_LAW, "constant power at its terminals"))
        amps = value
    elif port.siemens and not port.amps and not port.watts:
        inputs = (Given("U0", v0, "V"), Given("G", port.siemens, "S"), Given("R_loop", loop, "Ω"))
        amps = v0 * port.siemens / (1 + port.siemens * loop)
        steps.append(Step("I", "U0 * G / (1 + G * R_loop)", inputs, amps, "A", OHMS_LAW, "a resistance"))
    own = posts_v - v0
    fall = (Given("I", amps, "A"), Given("R_loop", loop, "Ω"), Given("U_d", own, "V"))
    steps.append(Step("U", "I * R_loop + U_d", fall, amps * loop + own, "V", OHMS_LAW, "drop, running"))
    if start_a is not None and start_v is not None:
        fall = (Given("I_s", start_a, "A"), Given("R_loop", loop, "Ω"), Given("U_d", own, "V"))
        steps.append(
            Step("U_s", "I_s * R_loop + U_d", fall, start_a * loop + own, "V", OHMS_LAW, "drop, starting")
        )
    return tuple(steps)


def _unknown(port: Port, shares: Sequence[Share]) -> tuple[str, ...]:
    names = [*port.unknown, *(share.ohm.unknown for share in shares if share.ohm.unknown)]
    return tuple(dict.fromkeys(names))


def _worst_shared(solved: Solved, k: int, flat: FlatRun) -> str:
    """Return the owner that costs a circuit most when all others run too: shared wire, stud or bar."""
    net = solved.flow
    extra = solved.branch_a() - np.nan_to_num(net.reduced.share[:, k]) * float(
        np.nan_to_num(solved.together_a[k])
    )
    own = {piece.id for piece in flat.pieces}
    best, worst = "", 0.0
    for b, branch in enumerate(net.branches):
        cost = branch.ohm * float(net.reduced.share[b, k]) * float(extra[b])
        if cost > worst and branch.owner not in own:
            best, worst = branch.owner, cost
    return best


def with_dips(
    wiring: Wiring, circuits: Mapping[str, CircuitFigure], inside: Solved
) -> dict[str, CircuitFigure]:
    """Add to each circuit what the starts of others do to it, battery resistance included."""
    net = inside.flow
    starters = [
        k
        for k, port in enumerate(net.ports)
        if port.has_start and port.start_s < LONG_START_S and net.reduced.live[k]
    ]
    if not starters:
        return dict(circuits)
    result = pairs(net.reduced, net.loads(), inside.start_a)
    feeders = [net.feeder(k) for k in range(len(net.ports))]
    done = {}
    for key, circuit in circuits.items():
        i = net.index.get(circuit.load)
        if i is None or net.ports[i].kind not in ("consumer", "inverter"):
            done[key] = circuit
            continue
        dips = []
        for j in starters:
            if j == i or feeders[i] != feeders[j]:
                continue
            fall = float(inside.alone_v[i] - result.volts[j, i])
            if fall > SMALLEST_DIP_V:
                dips.append(
                    Dip(circuit.load, net.ports[j].part, fall, _common(net, i, j, float(inside.start_a[j])))
                )
        done[key] = replace(circuit, dips=tuple(sorted(dips, key=lambda dip: -dip.dip_v)))
    return done


def _common(net: Flow, i: int, j: int, start_a: float) -> tuple[Share, ...]:
    """Return what each shared element puts into a dip, largest first."""
    found = []
    product = net.reduced.share[:, i] * net.reduced.share[:, j]
    for b in np.flatnonzero(np.abs(product) > ON_WAY):
        for ohm in net.branches[b].ohms:
            if ohm.ohm > 0:
                found.append(
                    Share(ohm, float(net.reduced.share[b, j]), ohm.ohm * float(product[b]) * start_a)
                )
    return tuple(sorted(found, key=lambda share: -share.volts))


# --- charging paths ----------------------------------------------------------------------------------


def output_circuits(wiring: Wiring, solved: Solved) -> Iterator[CircuitFigure]:
    """Give the circuit of each charger's output and each panel: from its terminals to where its current ends."""
    net = solved.flow
    for k, port in enumerate(net.ports):
        if not port.gives or not net.reduced.reached[k]:
            continue
        flat = next(
            (f for f in wiring.runs.values() if not f.mains and f.pieces and f.pieces[0].a == port.plus), None
        )
        target = net.feeder(k)
        if flat is None or target is None:
            continue
        target = target.removesuffix(".panel") if port.kind == "panel" else target
        posts = next(s.volts for s in net.sources if s.id == net.feeder(k))
        yield charging_circuit(net, k, port.amps, flat.id, target, port.part, posts)


def charging_circuit(
    net: Flow, k: int, amps: float, wire: str, target: str, giver: str, posts: float
) -> CircuitFigure:
    """Return the circuit of a charging current that flows through port `k`."""
    loop = float(net.reduced.z[k, k])
    shares = _shares(net, k, amps)
    system_v = 24.0 if posts > 18.0 else 12.0
    port = replace(net.ports[k], amps=amps, watts=0.0, siemens=0.0)
    return CircuitFigure(
        id=wire, wire=wire, load=target, path="charging", feeder=giver, system_v=system_v,
        running_a=amps, start_a=None, start_s=None, loop_resistance_ohm=loop,
        drop_v=loop * amps, drop_pct=100.0 * loop * amps / system_v, drop_together_v=None,
        drop_run_v=None, start_drop_v=None, start_drop_pct=None, load_v=None, start_load_v=None, shares=shares,
        steps=_drop_steps(port, shares, posts, posts, amps, loop * amps, None, None),
        unknown=_unknown(port, shares),
    )  # fmt: skip


def link_flow(wiring: Wiring, branches: Sequence[Branch], link: Link) -> Flow:
    """Return the network in which a closed link charges the house battery from the vehicle battery."""
    bottom = bank_minus(wiring, link.house)
    port = Port(f"{link.house}", link.house, "output", f"{link.house}.plus", bottom)
    volts = cruising_volts(wiring, link.vehicle) or posts_volts(wiring, link.vehicle)
    source = Source(link.vehicle, f"{link.vehicle}.plus", f"{link.vehicle}.minus", volts)
    return flow(branches, [source], [port])


def bank_minus(wiring: Wiring, battery: str) -> str:
    """Return the lowest minus of a bank in series that `battery` is the top of."""
    seen = {battery}
    while True:
        minus = f"{battery}.minus"
        below = None
        for piece in wiring.by_point.get(minus, ()):
            other = piece.b if piece.a == minus else piece.a
            part = wiring.part_of(other)
            if (
                part is not None
                and is_battery(wiring, part)
                and wiring.terminal_of(other) == "plus"
                and part not in seen
            ):
                below = part
        if below is None:
            return minus
        battery = below
        seen.add(below)


def charge_limit(wiring: Wiring, inputs: Inputs, battery: str) -> float:
    """Return the largest charging current of a battery: stated, else its chemistry's usual. [A]"""
    part = wiring.parts[battery]
    capacity = part.capacity.high if isinstance(part.capacity, Quantity) else 100.0
    low, high, source = bands.charge_limit(str(part.chemistry or "unknown"), capacity)
    return inputs.pick(part.charge_limit, (low, high), f"parts.{battery}.charge_limit", source).value


def is_load(wiring: Wiring, part_id: str) -> bool:
    """True for a part that is a consumer of the 12 or 24 V side."""
    return is_consumer(wiring.parts[part_id].kind)
