"""What places and paths do to wires and batteries: who lies where, beside what, how cold it gets.

A wire lies where its run says (`via`), where its ends are, and, if it names nothing, where its way leads.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from loomwright.loom.nets import Route
from loomwright.plan.model import Place, Run
from loomwright.plan.pieces import FlatRun
from loomwright.plan.values import Quantity

from .housing import spot_of
from .sizes import place_of, zones_of

if TYPE_CHECKING:
    from .record import Assessment

#: Zones in which a place has the outside air about it.
OPEN_AIR = frozenset({"outside", "underfloor"})
_DAY_H = 24.0
_ON_MAINS = ("mains_charger", "inverter_charger")
#: Kinds of parts that belong to the gas itself: their own wires may end at the bottles.
GAS_GEAR = frozenset({"alarm", "sender"})


@dataclass(frozen=True, slots=True)
class LiesIn:
    """A run in a zone: the path or place it is there by.

    `passes` if it lies in that path, or is led past that place; False where it only ends there.
    """

    run: str
    spot: str
    passes: bool


@dataclass(frozen=True, slots=True)
class Beside:
    """A mains run and the 12/24 V runs in one closed pipe. In an open path they may be clipped apart."""

    mains: str
    others: tuple[str, ...]
    path: str


class Zones:
    """Where the wires of one van lie.

    Parameters
    ----------
    job : Assessment
    """

    def __init__(self, job: Assessment) -> None:
        self.job, self.plan = job, job.plan

    def in_zone(self, zone: str) -> Iterator[LiesIn]:
        """Give the runs that lie in a zone, by each path or place of theirs that is in it."""
        for flat in self._runs:
            for spot, passes in self._spots(flat).items():
                thing = self.plan.paths.get(spot) or self.plan.places.get(spot)
                if thing is not None and zone in zones_of(self.plan, thing):
                    yield LiesIn(flat.id, spot, passes)

    @cached_property
    def beside_mains(self) -> tuple[Beside, ...]:
        """Every closed pipe that the plan gives both mains and other runs."""
        found = []
        for id, path in self.plan.paths.items():
            inside = [flat for flat in self._runs if path.conduit is True and id in named_of(flat.run)]
            others = tuple(flat.id for flat in inside if not flat.mains)
            found += [Beside(flat.id, others, id) for flat in inside if flat.mains and others]
        return tuple(found)

    def open_m(self, run: Run) -> float | None:
        """Return the longest stretch of a run's feed that lies in no closed pipe; None if nobody knows. [m]

        Where no way is known, what the lengths of its pipes leave of its own; without a pipe all is open.
        """
        named = [self.plan.paths[id] for id in run.via if id in self.plan.paths]
        if not any(path.conduit is True for path in named):
            return math.inf
        laid = [self.job.loom.laid.get(p.id) for p in self.job.wiring.runs[run.id].pieces if p.role == "feed"]
        routes = [one.route for one in laid if one is not None and one.route is not None]
        if routes and len(routes) == len(laid):
            return max(self._open_m(route) for route in routes)
        piped = [path.length.low if isinstance(path.length, Quantity) else None for path in named]
        if not all(path.conduit is True for path in named):
            return math.inf
        if not isinstance(run.length, Quantity) or None in piped:
            return None
        return max(run.length.high - sum(metres for metres in piped if metres is not None), 0.0)

    def _open_m(self, route: Route) -> float:
        longest, so_far = 0.0, 0.0
        for step in route.stretches:
            path = self.plan.paths.get(step.path)
            so_far = 0.0 if path is not None and path.conduit is True else so_far + step.metres
            longest = max(longest, so_far)
        return longest

    def upright(self, run: Run) -> bool | None:
        """Say whether a run climbs more than it goes along; None if nobody says where its paths are. [m]"""
        lines = self.job.loom.routes.lines
        corners = [lines[id] for id in run.via if id in lines]
        steps = [step for line in corners for step in pairwise(line)]
        up = sum(abs(b[2] - a[2]) for a, b in steps)
        along = sum(math.hypot(b[0] - a[0], b[1] - a[1]) for a, b in steps)
        return None if not steps else up > along

    @cached_property
    def _runs(self) -> list[FlatRun]:
        return [flat for flat in self.job.wiring.runs.values() if not flat.inner]

    def _spots(self, flat: FlatRun) -> dict[str, bool]:
        """Return the paths and places of a run, and whether it passes them or only ends there."""
        named = dict.fromkeys(named_of(flat.run), True)
        laid = [self.job.loom.laid[p.id] for p in flat.pieces if p.id in self.job.loom.laid]
        routes = [one.route for one in laid if one.route is not None and not one.pinned]
        on_way = {path: True for route in routes for path in route.paths}
        ends = (place_of(self.job.wiring, point) for p in flat.pieces for point in (p.a, p.b))
        at_end = {place: False for place in ends if place}
        return at_end | on_way | named


def named_of(run: Run) -> list[str]:
    """Return the paths and places that a run, its legs and their returns name."""
    backs = [run.return_, *(leg.return_ for leg in run.legs.values())]
    vias = [
        run.via,
        *(leg.via for leg in run.legs.values()),
        *(back.via for back in backs if back is not None),
    ]
    return list(dict.fromkeys(spot for via in vias for spot in via or ()))


def chargers_of(job: Assessment, battery: str) -> tuple[str, ...]:
    """Return the parts that charge a battery in some mode, or in some state of the switches."""
    found = {id for mode in job.modes.every for id in mode.charges.get(battery, ())}
    for id, part in job.wiring.parts.items():
        amps = part.charge_current
        only_passes = isinstance(amps, Quantity) and amps.high == 0.0
        if part.kind in _ON_MAINS and not only_passes:  # whether the plan has an inlet for it or not
            reached = any(battery in mode.live.at(f"{id}.plus") for mode in job.modes.every)
            found |= {id} if reached else set()
    return tuple(sorted(found))


def coldest_c(job: Assessment, part_id: str) -> float | None:
    """Return how cold a battery gets in its place; None if the plan says too little. [°C]

    In the open air a daily sine between the site's day and night, followed with the time constant of the
    place (`thermal_lag`): a first-order lag of τ keeps 1/√(1 + (2πτ/24 h)²) of the swing.
    """
    place = spot_of(job.wiring, part_id)
    if place is None:
        return None
    typed = place.temperature.points.values() if place.temperature is not None else ()
    known = [one.low for one in typed if isinstance(one, Quantity)]
    if known:
        return min(known)
    if not OPEN_AIR & set(place.zones):
        return None
    night, day = (_coldest_of(job, name) for name in ("night", "day"))
    if night is None:
        return _coldest_of(job, "mean")
    if day is None:
        return night
    return lagged_low_c(night, day, lag_h(place))


def lagged_low_c(low: float, high: float, lag_h: float) -> float:
    """Return the low of what follows a daily sine of the air with a time constant. [°C]

    Parameters
    ----------
    low, high : float
        Of the air. [°C]
    lag_h : float
        τ: it keeps 1/√(1 + (2πτ/24 h)²) of the swing. [h]

    Examples
    --------
    >>> lagged_low_c(-12.0, -3.0, 0.0)
    -12.0
    """
    swing = abs(high - low) / 2.0
    return (low + high) / 2.0 - swing / math.hypot(1.0, 2.0 * math.pi * lag_h / _DAY_H)


def _coldest_of(job: Assessment, name: str) -> float | None:
    curve = getattr(job.plan.site, name) if job.plan.site is not None else None
    known = [one.low for one in curve.points.values() if isinstance(one, Quantity)] if curve else []
    return min(known, default=None)


def lag_h(place: Place) -> float:
    """Return the time constant of a place against the outside air, 0 if the plan names none. [h]"""
    return place.thermal_lag.low / 3600.0 if isinstance(place.thermal_lag, Quantity) else 0.0


__all__ = [
    "GAS_GEAR",
    "OPEN_AIR",
    "Beside",
    "LiesIn",
    "Zones",
    "chargers_of",
    "coldest_c",
    "lag_h",
    "lagged_low_c",
    "named_of",
]
