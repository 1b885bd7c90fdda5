"""The one place that turns a plan into inputs, runs the sciences in order, and waits until nothing changes.

Plan -> pieces -> contacts as asked for -> network -> currents -> ratings and copper temperature -> sizes and
fuses where `auto` -> again. The order is the whole of this module; the sums are in the sciences below it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from loomwright.plan.model import Plan
from loomwright.plan.pieces import FlatRun, Wiring, take_apart
from loomwright.plan.values import Quantity
from loomwright.protection.rating import Rating
from loomwright.protection.resistance import copper_temperature

from .choose import choose
from .circuits import (
    Solved,
    charge_limit,
    charging_circuit,
    circuit_id,
    drawn_from,
    feeding_run,
    link_flow,
    load_circuits,
    output_circuits,
    solve,
    with_dips,
)
from .ends import open_ends
from .flow import Flow, Potentials, converter_volts, flow, is_battery, positions_that_feed, sources_of
from .inputs import Corner, Inputs
from .limits import limits_of
from .loads import Port, ports_of, system_volts
from .network import Branch, NetworkBuilder
from .passages import passage_figures, stud_figures
from .record import Assessment, CircuitFigure, LoadFigure, WireFigure
from .sizes import Chosen, rating_table, size_of
from .states import Link, Standing, closed_contacts, neighbours, reach, standing
from .upstream import upstream_fuses
from .wires import RunDrop, WireBook, rating_of

#: Copper warms its own resistance; two turns bring the temperature within a tenth of a degree.
COPPER_TURNS = 2


def assess(plan: Plan, corner: Corner = Corner.BAD) -> Assessment:
    """Work out everything about a plan.

    Parameters
    ----------
    plan : Plan
        As `read_plan` gives it.
    corner : Corner
        Which end of every unknown figure is counted with.

    Returns
    -------
    Assessment
        Frozen; every figure with its inputs and sources.
    """
    wiring = take_apart(plan)
    _chosen, bad = choose(wiring, limits_of(plan), lambda chosen: _assess_once(wiring, Corner.BAD, chosen))
    return bad if corner is Corner.BAD else _assess_once(wiring, corner, _chosen)


def assess_corners(plan: Plan) -> tuple[Assessment, Assessment]:
    """Return the assessments at the bad and the good end of every unknown figure, with the same choices."""
    wiring = take_apart(plan)
    chosen, bad = choose(wiring, limits_of(plan), lambda trial: _assess_once(wiring, Corner.BAD, trial))
    return bad, _assess_once(wiring, Corner.GOOD, chosen)


def _assess_once(wiring: Wiring, corner: Corner, chosen: Chosen) -> Assessment:
    return _Run(wiring, corner, chosen).assessment()


@dataclass(frozen=True, slots=True)
class _Charge:
    """A charging current: its circuit and its amperes in every branch of the network it was solved in."""

    circuit: CircuitFigure
    amps: Mapping[str, float]
    solar: bool
    drops: Potentials


class _Run:
    """One assessment of one van at one corner with given choices."""

    def __init__(self, wiring: Wiring, corner: Corner, chosen: Chosen) -> None:
        self.wiring, self.plan = wiring, wiring.plan
        self.inputs, self.chosen = Inputs(wiring.plan, corner), chosen
        self.standing: Standing = standing(wiring)
        self.ports: tuple[Port, ...] = ports_of(wiring, self.inputs)
        self.sizes = {
            piece.id: size_of(wiring, flat, piece, self.inputs, chosen)
            for flat in wiring.runs.values()
            for piece in flat.pieces
        }
        table = rating_table(wiring.plan)
        self.ratings: dict[str, Rating | None] = {
            id: rating_of(table, size) for id, size in self.sizes.items()
        }
        self.converters = _converters(wiring, self.inputs)
        graph = neighbours(wiring, self.standing.closed)
        self.behind_converter = {id: reach(graph, f"{id}.out") for id in self.converters}

    def assessment(self) -> Assessment:
        solved, builder, branches = self._settled()
        circuits = {c.id: c for c in load_circuits(self.wiring, self.inputs, solved)}
        inside = self._solve(branches, inside=True)
        variants = self._variants(solved, builder)
        for variant in variants:
            circuits |= variant
        circuits = with_dips(self.wiring, circuits, inside)
        charges = self._charges(solved, builder)
        for charge in charges:
            circuits.setdefault(charge.circuit.id, charge.circuit)
        lasting, charging = self._branch_amps(solved), _sum_charges(charges)
        wires = self._wires(solved, builder, branches, circuits, charges, lasting, charging)
        order = {flat.id: k for k, flat in enumerate(self.wiring.runs.values())}
        circuits = dict(sorted(circuits.items(), key=lambda item: order.get(item[1].wire, 0)))
        most = {
            id: max(abs(lasting.get(id, 0.0)), abs(charging.get(id, 0.0))) for id in {*lasting, *charging}
        }
        return Assessment(
            plan=self.plan,
            wiring=self.wiring,
            wires=wires,
            circuits=circuits,
            studs=stud_figures(self.wiring, branches, most),
            loads=self._loads(solved, circuits),
            passages=passage_figures(self.wiring, branches, most, self.converters, solved),
            drawn_a={source.id: drawn_from(solved, source.id) for source in solved.flow.sources},
            open_ends=open_ends(self.wiring),
            collapsed=solved.collapsed,
            branch_a=lasting,
        )

    # --- network -------------------------------------------------------------------------------------

    def _settled(self) -> tuple[Solved, NetworkBuilder, list[Branch]]:
        """Solve until the copper has the temperature of its own current."""
        pinned = self.plan.basis.copper
        if isinstance(pinned, Quantity):
            copper = dict.fromkeys(self.sizes, pinned.high)
            turns = 1
        else:
            copper = {id: size.ambient_c for id, size in self.sizes.items()}
            turns = COPPER_TURNS
        for turn in range(turns):
            builder = NetworkBuilder(self.wiring, self.inputs, self.sizes, self.chosen, copper)
            branches = builder.branches(self.standing.closed)
            solved = self._solve(branches)
            if turn + 1 < turns:
                copper = self._copper(solved)
        return solved, builder, branches

    def _solve(self, branches: list[Branch], *, inside: bool = False) -> Solved:
        net = flow(branches, sources_of(self.wiring, inside=inside), self.ports)
        return solve(net, self.converters)

    def _copper(self, solved: Solved) -> dict[str, float]:
        """Return the copper temperature of each piece at its running current. [°C]"""
        amps = self._branch_amps(solved)
        found = {}
        for id, size in self.sizes.items():
            rating, ambient = self.ratings[id], size.ambient_c
            if rating is None or rating.amps <= 0:
                found[id] = ambient
            else:
                current = min(abs(amps.get(id, 0.0)), rating.amps)
                found[id] = copper_temperature(ambient, size.insulation_c, current, rating.amps)
        return found

    def _branch_amps(self, solved: Solved) -> dict[str, float]:
        amps = solved.branch_a()
        return {branch.id: float(amps[k]) for k, branch in enumerate(solved.flow.branches)}

    def _variants(self, solved: Solved, builder: NetworkBuilder) -> list[dict[str, CircuitFigure]]:
        """Judge loads that the contacts at rest do not feed in the positions that feed them."""
        groups: dict[tuple[tuple[str, str], ...], list[str]] = {}
        for k, port in enumerate(solved.flow.ports):
            if port.gives or port.kind == "signal" or solved.flow.reduced.live[k]:
                continue
            if feeding_run(self.wiring, port) is None:
                continue
            positions = positions_that_feed(self.wiring, port, solved.flow.sources)
            if positions is not None:
                groups.setdefault(tuple(sorted(positions.items())), []).append(port.id)
        found = []
        for overrides, names in groups.items():
            other = self._solve(builder.branches(standing(self.wiring, dict(overrides)).closed))
            figures = load_circuits(self.wiring, self.inputs, other, names)
            found.append({circuit.id: circuit for circuit in figures})
        return found

    # --- charging ------------------------------------------------------------------------------------

    def _charges(self, solved: Solved, builder: NetworkBuilder) -> list[_Charge]:
        net = solved.flow
        found = []
        outputs = {c.wire: c for c in output_circuits(self.wiring, solved)}
        for k, port in enumerate(net.ports):
            circuit = next(
                (c for c in outputs.values() if c.feeder == port.part and self._starts(c.wire, port)), None
            )
            if port.gives and circuit is not None:
                amps = -np.nan_to_num(net.reduced.share[:, k]) * port.amps
                found.append(
                    self._charge(circuit, net, amps, port.kind == "panel" or _is_solar(self.wiring, port))
                )
        for circuit in load_circuits(self.wiring, self.inputs, solved):
            if circuit.path == "charging":
                k = net.index[circuit.load]
                amps = np.nan_to_num(net.reduced.share[:, k]) * (circuit.running_a or 0.0)
                found.append(self._charge(circuit, net, amps, False))
        for link in self.standing.links:
            charge = self._link(link, builder)
            if charge is not None:
                found.append(charge)
        return found

    def _starts(self, wire: str, port: Port) -> bool:
        return self.wiring.runs[wire].pieces[0].a == port.plus

    def _charge(self, circuit: CircuitFigure, net: Flow, amps: np.ndarray, solar: bool) -> _Charge:
        by_id = {branch.id: float(amps[k]) for k, branch in enumerate(net.branches)}
        return _Charge(circuit, by_id, solar, Potentials(net.branches, amps))

    def _link(self, link: Link, builder: NetworkBuilder) -> _Charge | None:
        others = tuple(other.part for other in self.standing.links if other.part != link.part)
        closed = [c for c in closed_contacts(self.wiring) if c.part not in others]
        net = link_flow(self.wiring, builder.branches(closed), link)
        if not net.reduced.reached[0]:
            return None
        amps = charge_limit(self.wiring, self.inputs, link.house)
        wire = _link_wire(self.wiring, link)
        circuit = charging_circuit(net, 0, amps, wire, link.house, link.vehicle, net.sources[0].volts)
        return self._charge(circuit, net, np.nan_to_num(net.reduced.share[:, 0]) * amps, False)

    # --- figures -------------------------------------------------------------------------------------

    def _wires(
        self, solved: Solved, builder: NetworkBuilder, branches: list[Branch], circuits: Mapping[str, CircuitFigure],
        charges: list[_Charge], lasting: Mapping[str, float], charging: Mapping[str, float],
    ) -> dict[str, WireFigure]:  # fmt: skip
        peak = self._peaks(solved, lasting, charging)
        book = WireBook(
            self.wiring, builder, branches, lasting, charging, peak, self.ratings, self.converters
        )
        drops = RunDrop(self.wiring, branches)
        together = Potentials(solved.flow.branches, solved.branch_a())
        apart = Potentials(solved.flow.branches, solved.alone_branch_a())
        own_charge = {charge.circuit.wire: charge for charge in charges}
        upstream = upstream_fuses(self.wiring, builder, self.standing.closed)
        found: dict[str, WireFigure] = {}
        for flat in self.wiring.runs.values():
            charge = own_charge.get(flat.id)
            own = charge.circuit if charge is not None else circuits.get(flat.id)
            lost = None
            if charge is not None and _joins_batteries(self.wiring, charge):
                lost = charge.circuit.drop_v
            elif charge is not None:
                lost = drops.along_circuit(flat, charge.circuit, charge.drops, None)
            elif own is not None and own.load in solved.flow.index:
                lost = drops.along_circuit(flat, own, apart, solved.flow.index[own.load])
            elif len(flat.loads) > 1 and not flat.mains:
                lost = drops.along_circuit(flat, None, _of_run(solved, flat), None)
            elif not flat.mains:
                amps = {piece.id: book.current(flat, piece, own) for piece in flat.pieces}
                lost = drops.along_feeder(flat, amps, together)
            system_v = own.system_v if own is not None else self._system(flat.pieces[0].a)
            for piece in flat.pieces:
                figure = book.figure(flat, piece, (lost, system_v), own)
                found[piece.id] = replace(figure, upstream_fuse=upstream.get(flat.id))
        return found

    def _system(self, point: str) -> float:
        """Return 12 or 24: what percentages are of at a point that no circuit of its own tells. [V]"""
        for part_id, points in self.behind_converter.items():
            if point in points:
                return 24.0 if self.converters[part_id][0] > 18 else 12.0
        return system_volts(self.plan)

    def _peaks(
        self, solved: Solved, lasting: Mapping[str, float], charging: Mapping[str, float]
    ) -> dict[str, float]:
        """Return the largest current of each branch: all on with the hardest single start, or chargers. [A]"""
        net = solved.flow
        base = solved.branch_a()
        extra = np.nan_to_num(solved.start_a - np.nan_to_num(solved.alone_a)).clip(min=0.0)
        rise = np.abs(np.nan_to_num(net.reduced.share) * extra).max(axis=1) if len(net.ports) else base * 0
        return {
            branch.id: max(abs(float(base[k])) + float(rise[k]), abs(charging.get(branch.id, 0.0)))
            for k, branch in enumerate(net.branches)
        }

    def _loads(self, solved: Solved, circuits: Mapping[str, CircuitFigure]) -> dict[str, LoadFigure]:
        net = solved.flow
        wired = set(self.wiring.by_point)
        fed_by = {circuit.load: circuit for circuit in circuits.values()}
        found = {}
        for k, port in enumerate(net.ports):
            if port.gives:
                continue
            circuit = fed_by.get(port.part)
            volts = (
                float(net.reduced.v0[k]) if net.reduced.reached[k] else (circuit.load_v if circuit else None)
            )
            flat = feeding_run(self.wiring, port)
            fed = bool(net.reduced.live[k]) or (
                circuit is not None and flat is not None and circuit.id == circuit_id(flat, port)
            )
            grounded = self.wiring.parts[port.part].case == "minus"
            found[port.id] = LoadFigure(
                port.id, port.part, port.kind, fed, net.feeder(k) or (circuit.feeder if circuit else ""), volts,
                port.class_v[0], port.class_v[1], port.minus not in wired and not grounded, port.plus not in wired,
            )  # fmt: skip
        return found


def _converters(wiring: Wiring, inputs: Inputs) -> dict[str, tuple[float, float, float]]:
    """Return volts, current limit and efficiency of each converter by part id."""
    found = {}
    for part_id, part in wiring.parts.items():
        if part.kind == "converter" and part.wired is not False:
            limit = part.current if isinstance(part.current, Quantity) else part.fold_back
            amps = limit.high if isinstance(limit, Quantity) else float("inf")
            share = part.efficiency.low if isinstance(part.efficiency, Quantity) else 0.85
            found[part_id] = (converter_volts(wiring, part_id), amps, share)
    return found


def _of_run(solved: Solved, flat: FlatRun) -> Potentials:
    """Return the potentials with all loads of one run on and nothing else."""
    on = [k for k, port in enumerate(solved.flow.ports) if port.plus in flat.loads]
    return Potentials(solved.flow.branches, solved.alone_branch_a()[:, on].sum(axis=1))


def _link_wire(wiring: Wiring, link: Link) -> str:
    """Return the run that the link's contact stands in."""
    for flat in wiring.runs.values():
        if any(wiring.part_of(point) == link.part for piece in flat.pieces for point in (piece.a, piece.b)):
            if set(link.points) & {piece.a for piece in flat.pieces}:
                return flat.id
    return link.part


def _joins_batteries(wiring: Wiring, charge: _Charge) -> bool:
    return is_battery(wiring, charge.circuit.feeder) and is_battery(wiring, charge.circuit.load)


def _is_solar(wiring: Wiring, port: Port) -> bool:
    return wiring.parts[port.part].kind == "solar_regulator"


def _sum_charges(charges: list[_Charge]) -> dict[str, float]:
    """Return the lasting charging current of each branch: all solar together with the largest other charger."""
    solar: dict[str, float] = {}
    other: dict[str, float] = {}
    for charge in charges:
        for id, amps in charge.amps.items():
            if charge.solar:
                solar[id] = solar.get(id, 0.0) + amps
            elif abs(amps) > abs(other.get(id, 0.0)):
                other[id] = amps
    return {id: abs(solar.get(id, 0.0)) + abs(other.get(id, 0.0)) for id in {*solar, *other}}


__all__ = ["Corner", "assess", "assess_corners"]
