"""Mains cables against what guards them, and what makes mains against what it feeds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.mains.records import Breaker
from loomwright.source import Source
from loomwright.tables.flex_drop import cord_rating

from .cases import POST
from .guards import guarded_by
from .layout import Gate, Span
from .pitch import Pitch


@dataclass(frozen=True, slots=True)
class Protected:
    """A cable, what it carries, and the breaker that guards it: of the van, else that of the post. [A]"""

    span: Span
    rating_a: float
    source: Source
    guard: str
    breaker: Breaker


def protected_cables(job: Assessment) -> Iterator[Protected]:
    """Give each mains cable of known rating with the smallest breaker before it on hook-up.

    What follows a cable guards it against too much load, too: the smallest breaker behind it counts where
    everything behind it passes that one.
    """
    side = job.mains
    pitch = max(side.pitches, key=lambda one: one.rated_a, default=None)
    told: set[str] = set()
    for inlet in side.layout.inlets:
        reach = side.reaches[inlet]
        for point, (_, step) in reach.came.items():
            if not isinstance(step, Span) or step.id in told:
                continue
            told.add(step.id)
            rating = cord_rating(step.area_mm2 or 0.0)
            guards = list(_before(reach.gates(point), pitch)) + list(_behind(job, inlet, step))
            if rating is not None and guards:
                guard, breaker = min(guards, key=lambda one: one[1].rating_a)
                yield Protected(step, *rating, guard, breaker)


def _before(gates: list[Gate], pitch: Pitch | None) -> Iterator[tuple[str, Breaker]]:
    if pitch is not None and pitch.rated_a > 0.0:
        yield POST, Breaker(pitch.rated_a)
    yield from ((gate.id, gate.breaker) for gate in gates if gate.breaker is not None)


def _behind(job: Assessment, inlet: str, span: Span) -> Iterator[tuple[str, Breaker]]:
    """Give the breakers that everything behind a cable passes."""
    reach = job.mains.reaches[inlet]
    common: set[tuple[str, Breaker]] | None = None
    for point in job.mains.served(inlet).values():
        way = reach.way(point)
        if span in way:
            after = way[way.index(span) :]
            own = {
                (one.id, one.breaker) for one in after if isinstance(one, Gate) and one.breaker is not None
            }
            common = own if common is None else common & own
    yield from sorted(common or ())


def unguarded(job: Assessment) -> dict[str, tuple[str, ...]]:
    """Return by inlet what hangs on it with no breaker of the van on the way."""
    found = {}
    for inlet in job.mains.layout.inlets:
        bare = [
            one.outlet
            for one in guarded_by(job, inlet)
            if not any(gate.breaker is not None for gate in one.gates)
        ]
        if bare:
            found[inlet] = tuple(bare)
    return found


def boxes_without_switch(job: Assessment) -> Iterator[tuple[str, int]]:
    """Give the breaker boxes on an inlet with several ways and nothing that opens all of them."""
    for id, part in job.wiring.parts.items():
        gates = {gate.id: gate for gate in job.mains.layout.gates if gate.part == id}
        fed = any(f"{id}.in" in job.mains.reaches[inlet].came for inlet in job.mains.layout.inlets)
        if part.kind != "breaker_box" or not fed:
            continue
        ways = [one for one in gates.values() if one.a == f"{id}|bus"]
        main = [one for one in gates.values() if one.a != f"{id}|bus"]
        if len(ways) > 1 and not any(one.breaker or one.residual or one.unknown for one in main):
            yield id, len(ways)


def charged_by_itself(job: Assessment) -> Iterator[tuple[str, str]]:
    """Give the chargers that an inverter feeds from the very battery that they charge: charger, inverter."""
    for maker in job.mains.layout.makers:
        if job.wiring.parts[maker].kind == "generator":
            continue
        for outlet in job.mains.served(maker):
            if job.wiring.parts[outlet].kind == "mains_charger" and _same_battery(job, maker, outlet):
                yield outlet, maker


def _same_battery(job: Assessment, maker: str, charger: str) -> bool:
    on = job.modes.figures.get("on_inverter")
    feeds = on.feeds.get(maker, frozenset()) if on is not None else frozenset()
    charged = {battery for battery, by in (on.charges if on is not None else {}).items() if charger in by}
    return bool(feeds & charged) or not (feeds and charged)


__all__ = ["Protected", "boxes_without_switch", "charged_by_itself", "protected_cables", "unguarded"]
