"""Bounds of what flows with everything on.

With one way to each load the parting of currents is fixed, and what a wire carries is bounded by the sum of
the bounds of its loads. Where current has several ways the partings that were tried are summed so, each.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.circuit.enclose import Enclosed, Ends, enclose
from loomwright.circuit.linear import Bools, Floats, Ints
from loomwright.circuit.ports import PortLoads

from .assess import Worked
from .banded_ways import DUST_A, Parted, partings
from .solve import RUNS_TOGETHER, Solved


@dataclass(frozen=True, slots=True)
class FlowBands:
    """What flows with everything on.

    Attributes
    ----------
    branch_a : mapping
        Least and most of each branch. [A]
    source_a : mapping
        The same of each source. [A]
    volts_v : mapping
        The same of each port that runs. [V]
    worn_a, best_a : mapping
        Of each branch at the two corners. [A]
    meshed : frozenset of str
        Branches and sources whose current has several ways.
    """

    branch_a: Mapping[str, tuple[float, float]]
    source_a: Mapping[str, tuple[float, float]]
    volts_v: Mapping[str, tuple[float, float]]
    worn_a: Mapping[str, float]
    best_a: Mapping[str, float]
    meshed: frozenset[str]

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


def flow_bands(
    runs: Sequence[Worked], best: Worked, worn: Worked, typical: Worked, say: Callable[[], None]
) -> FlowBands:
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
        Called now and then.
    """
    runs = (*runs, typical)
    ideal = partings([run.solved for run in runs], say)
    apart = any(run.shared is not run.solved for run in runs)
    parted = partings([run.shared for run in runs], say) if apart else ideal
    net = typical.shared.flow
    running = np.array([port.kind in RUNS_TOGETHER for port in net.ports], dtype=bool)
    loads = _loads([run.shared.flow.loads() for run in runs])
    taken = _taken([run.solved for run in runs], ideal.ways, loads, running)
    amps = _range([run.shared.together_a for run in runs]) if taken is None else taken.amps
    return FlowBands(
        branch_a=_sums([one.id for one in net.branches], [(w.share, w.b0) for w in parted.ways], amps),
        source_a=_sums(
            [one.id for one in net.sources], [(w.source_share, w.source_b0) for w in parted.ways], amps
        ),
        volts_v={} if taken is None else _by_port([port.id for port in net.ports], taken.volts),
        worn_a={id: abs(a) for id, a in worn.assessment.branch_a.items()},
        best_a={id: abs(a) for id, a in best.assessment.branch_a.items()},
        meshed=parted.meshed,
    )


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
    solved: Sequence[Solved],
    parted: Sequence[Parted],
    loads: tuple[PortLoads, PortLoads],
    running: Bools,
) -> Enclosed | None:
    """Return the bounds of volts and amperes at all ports; None where the network might collapse."""
    live = np.logical_and.reduce([one.flow.reduced.live for one in solved])
    seen = np.flatnonzero(live)
    if not len(seen):
        return None
    v0 = _range([one.flow.reduced.v0[seen] for one in solved])
    z = np.array([one.z[np.ix_(seen, seen)] for one in parted])
    low, high = (PortLoads(load.amps[seen], load.watts[seen], load.siemens[seen]) for load in loads)
    found = enclose(v0, Ends(z.min(axis=0), z.max(axis=0)), low, high, running[seen])
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
