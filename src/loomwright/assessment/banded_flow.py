"""Bounds of what flows with everything on.

With one way to each load the parting of currents is fixed, and what a wire carries is bounded by the sum of
the bounds of its loads. Where current has several ways the partings that were tried are summed so, each.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from loomwright.circuit.enclose import Enclosed, Ends, enclose
from loomwright.circuit.linear import Floats, Ints
from loomwright.circuit.ports import PortLoads
from loomwright.plan.values import Quantity
from loomwright.tables.insulation import insulation_class

from .assess import Worked
from .banded_ways import DUST_A, WHOLE, Parted, Partings, Say, partings
from .loads import Port
from .solve import RUNS_TOGETHER

#: Copper, converters and what they feed wait for each other's bounds; a third turn adds nothing that counts.
TURNS = 2
#: Copper would resist nothing so far below 0 °C, by the line that it follows (IEC 60028). [K]
COLD_C = 234.5


@dataclass(frozen=True, slots=True)
class FlowBands:
    """What flows with everything on.

    Attributes
    ----------
    branch_a : mapping
        Least and most of each branch. [A]
    source_a : mapping
        The same of each source. [A]
    peak_a : mapping
        The most of each branch with the hardest start on top. [A]
    slack : float
        By what part copper may resist less or more than at the corners. [-]
    drawn : mapping
        By converter, by what factors its output may lie beyond those at the corners.
    inside_ohm : Ends
        Between the ports, batteries with their inner resistance; shape (n, n). [Ω]
    run_v : mapping
        By port, the least and most drop with the other loads of its run on, each at its current alone. [V]
    volts_v : mapping
        The same of each port that runs. [V]
    worn_a, best_a : mapping
        Of each branch at the two corners. [A]
    meshed : frozenset of str
        Branches and sources whose current has several ways.
    """

    branch_a: Mapping[str, tuple[float, float]]
    source_a: Mapping[str, tuple[float, float]]
    peak_a: Mapping[str, float]
    run_v: Mapping[str, tuple[float, float]]
    volts_v: Mapping[str, tuple[float, float]]
    worn_a: Mapping[str, float]
    best_a: Mapping[str, float]
    meshed: frozenset[str]
    slack: float
    drawn: Mapping[str, tuple[float, float]]
    inside_ohm: Ends

    def stretch(self, branches: Collection[str]) -> tuple[float, float]:
        """Return how far the currents of branches may lie beyond those of the two corners, as factors."""
        low, high = 1.0, 1.0
        for branch in branches:
            least, most = self.branch_a.get(branch, (0.0, 0.0))
            if self.best_a.get(branch, 0.0) > DUST_A:
                low = min(low, least / self.best_a[branch])
            if most > DUST_A:
                worn_a = self.worn_a.get(branch, 0.0)
                high = max(high, most / worn_a) if worn_a > DUST_A else float("inf")
        return low, high


def flow_bands(runs: Sequence[Worked], best: Worked, worn: Worked, typical: Worked, say: Say) -> FlowBands:
    """Bound the currents with everything on.

    Parameters
    ----------
    runs : sequence of Worked
        The van at the corners, those two with them.
    best, worn : Worked
        At the better end of everything, and at the worse.
    typical : Worked
        In the middle.
    say : callable
        Called after each trial.
    """
    runs = (*runs, typical)
    ideal = partings([run.solved for run in runs], say)
    apart = any(run.shared is not run.solved for run in runs)
    inside = partings([run.inside for run in runs], say) if apart or ideal.meshed else None
    parted = inside if apart and inside is not None else ideal
    net = typical.shared.flow
    branches, sources = [one.id for one in net.branches], [one.id for one in net.sources]
    loads, slack, drawn = _loads([run.shared.flow.loads() for run in runs]), 0.0, {}
    for _ in range(TURNS):
        taken = _taken(runs, ideal.ways, loads, slack)
        amps = _range([run.shared.together_a for run in runs]) if taken is None else taken.amps
        branch_a = _sums(branches, [(way.share, way.b0) for way in parted.ways], amps)
        source_a = _sums(sources, [(way.source_share, way.source_b0) for way in parted.ways], amps)
        slack, drawn = _copper_slack(runs, branch_a), _drawn(runs, source_a)
        loads = _with_converters(net.ports, _loads([run.shared.flow.loads() for run in runs]), drawn)
    flats = typical.assessment.wiring.runs.values()
    return FlowBands(
        branch_a=branch_a,
        source_a=source_a,
        peak_a=_peaks(runs, parted, taken, branch_a),
        run_v=_run_drops(runs, ideal.ways, {load: flat.loads for flat in flats for load in flat.loads}),
        volts_v={} if taken is None else _by_port([port.id for port in net.ports], taken.volts),
        worn_a={id: abs(a) for id, a in worn.assessment.branch_a.items()},
        best_a={id: abs(a) for id, a in best.assessment.branch_a.items()},
        meshed=parted.meshed,
        slack=slack,
        drawn=drawn,
        inside_ohm=_range(
            [way.z for way in inside.ways] if inside else [r.inside.flow.reduced.z for r in runs]
        ),
    )


def _copper_slack(runs: Sequence[Worked], branch_a: Mapping[str, tuple[float, float]]) -> float:
    """Return by what part any copper may resist less or more than at the corners, by its own warmth. [-]

    Twice what the bounds of the currents give: the warmth is that of currents one turn before.
    """
    jobs = [run.assessment for run in runs]
    if isinstance(jobs[0].plan.basis.copper, Quantity):
        return 0.0
    most = 0.0
    for id, wire in jobs[0].wires.items():
        if not wire.rating_a or id not in branch_a:
            continue
        amps = [abs(job.branch_a.get(id, 0.0)) for job in jobs]
        low, high = (min(one, wire.rating_a) for one in branch_a[id])
        beyond = max(min(amps) ** 2 - low**2, high**2 - min(max(amps), wire.rating_a) ** 2, 0.0)
        warmer = (insulation_class(wire.insulation).max_c - wire.ambient_c) * beyond / wire.rating_a**2
        most = max(most, 2.0 * warmer / (COLD_C + wire.ambient_c))
    return most


def _drawn(
    runs: Sequence[Worked], source_a: Mapping[str, tuple[float, float]]
) -> dict[str, tuple[float, float]]:
    """Return by what factors each converter's output may lie beyond those at the corners."""
    found = {}
    converters = {port.part for port in runs[-1].solved.flow.ports if port.kind == "converter_input"}
    for id in converters & set(source_a):
        amps = [abs(run.assessment.drawn_a.get(id, 0.0)) for run in runs]
        if min(amps) > DUST_A:
            low, high = source_a[id]
            found[id] = min(low / min(amps), 1.0), max(high / max(amps), 1.0)
    return found


def _with_converters(
    ports: Sequence[Port], loads: tuple[PortLoads, PortLoads], drawn: Mapping[str, tuple[float, float]]
) -> tuple[PortLoads, PortLoads]:
    """Return the loads with what converters take drawn out by the factors of what they give."""
    factors = [
        drawn.get(one.part, (1.0, 1.0)) if one.kind == "converter_input" else (1.0, 1.0) for one in ports
    ]
    low, high = np.array(factors).reshape(-1, 2).T
    return replace(loads[0], watts=loads[0].watts * low), replace(loads[1], watts=loads[1].watts * high)


def _peaks(
    runs: Sequence[Worked],
    parted: Partings,
    taken: Enclosed | None,
    most_a: Mapping[str, tuple[float, float]],
) -> dict[str, float]:
    """Return the most of each branch with everything on and one start on top. [A]

    What a load takes together with others, less what it takes alone, is nothing for a constant current, less
    than nothing for a resistance, and for a constant power what the fewer volts make of it.
    """
    names = [one.id for one in runs[-1].shared.flow.branches]
    base = np.array([most_a[name][1] for name in names])
    starts = _range([run.solved.start_a for run in runs]).high
    alone = _range([run.solved.alone_a for run in runs])
    extra = np.maximum(starts - alone.low, 0.0)
    shares = np.array([way.share for way in parted.ways])
    share = np.abs(shares).max(axis=0)
    peaks = base[:, None] + share * extra
    if taken is not None:
        watts = np.max([run.shared.flow.loads().watts for run in runs], axis=0)
        alone_v = _range([run.solved.alone_v for run in runs]).high
        with np.errstate(divide="ignore", invalid="ignore"):
            more = np.nan_to_num(watts / taken.volts.low - watts / alone_v)
        falls, rises = np.all(shares <= WHOLE, axis=(0, 2)), np.all(shares >= -WHOLE, axis=(0, 2))
        one_sign = np.reshape(falls | rises, (-1, 1))
        instead = base[:, None] - share * (taken.amps.high - more - starts)
        starting = (extra > 0.0) & (taken.amps.high > 0.0)
        peaks = np.where(one_sign & starting, np.minimum(peaks, instead), peaks)
    return dict(zip(names, peaks.max(axis=1, initial=0.0).tolist(), strict=True))


def _run_drops(
    runs: Sequence[Worked], ways: Sequence[Parted], loads_of: Mapping[str, Sequence[str]]
) -> dict[str, tuple[float, float]]:
    """Return the bounds of the drop of loads with the others of their run on. [V]"""
    ports = runs[-1].solved.flow.ports
    alone = _range([run.solved.alone_a for run in runs])
    z = _range([way.z for way in ways])
    found = {}
    for k, port in enumerate(ports):
        own = loads_of.get(port.plus, ())
        on = [j for j, one in enumerate(ports) if one.plus in own and not one.gives]
        if len(on) > 1 and port.kind in RUNS_TOGETHER:
            low, high = (
                float(z_k @ a) for z_k, a in ((z.low[k, on], alone.low[on]), (z.high[k, on], alone.high[on]))
            )
            found[port.id] = (low, high)
    return found


def _by_port(names: Sequence[str], volts: Ends) -> dict[str, tuple[float, float]]:
    ends = zip(volts.low.tolist(), volts.high.tolist(), strict=True)
    return dict(zip(names, ends, strict=True))


def _loads(ends: Sequence[PortLoads]) -> tuple[PortLoads, PortLoads]:
    """Return the least and the most that hangs at each port."""
    columns = [(one.amps, one.watts, one.siemens) for one in ends]
    low, high = np.min(columns, axis=0), np.max(columns, axis=0)
    return PortLoads(*low), PortLoads(*high)


def _range(values: Sequence[Floats]) -> Ends:
    stack = np.nan_to_num(np.array(values))
    return Ends(stack.min(axis=0), stack.max(axis=0))


def _taken(
    runs: Sequence[Worked], parted: Sequence[Parted], loads: tuple[PortLoads, PortLoads], slack: float
) -> Enclosed | None:
    """Return the bounds of volts and amperes at all ports; None where the network might collapse."""
    solved = [run.solved for run in runs]
    live = np.logical_and.reduce([one.flow.reduced.live for one in solved])
    running = np.array([port.kind in RUNS_TOGETHER for port in solved[-1].flow.ports], dtype=bool)
    seen = np.flatnonzero(live)
    if not len(seen):
        return None
    v0 = _range([one.flow.reduced.v0[seen] for one in solved])
    z = np.array([one.z[np.ix_(seen, seen)] for one in parted])
    low, high = (PortLoads(load.amps[seen], load.watts[seen], load.siemens[seen]) for load in loads)
    least, most = z.min(axis=0), z.max(axis=0)
    ends = Ends(least - slack * np.abs(least), most + slack * np.abs(most))
    found = enclose(v0, ends, low, high, running[seen])
    if found is None:
        return None
    return Enclosed(
        *(
            Ends(*(_spread(side, seen, len(live), rest) for side in (ends.low, ends.high)))
            for ends, rest in ((found.volts, np.nan), (found.amps, 0.0))
        )
    )


def _spread(values: Floats, at: Ints, count: int, rest: float) -> Floats:
    whole = np.full(count, rest)
    whole[at] = values
    return whole


def _sums(
    names: Sequence[str], lines: Sequence[tuple[Floats, Floats]], amps: Ends
) -> dict[str, tuple[float, float]]:
    """Return least and most of |b0 + share @ amps| over all partings, line by line. [A]"""
    low = np.full(len(names), np.inf)
    high = np.full(len(names), -np.inf)
    for share, b0 in lines:
        up, down = np.maximum(share, 0.0), np.minimum(share, 0.0)
        low = np.minimum(low, b0 + up @ amps.low + down @ amps.high)
        high = np.maximum(high, b0 + up @ amps.high + down @ amps.low)
    least = np.where((low <= 0.0) & (high >= 0.0), 0.0, np.minimum(abs(low), abs(high)))
    most = np.maximum(abs(low), abs(high))
    return dict(zip(names, zip(least.tolist(), most.tolist(), strict=True), strict=True))
