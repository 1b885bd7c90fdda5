"""Ways along the wires of the mains: from what makes mains to the pins of an inlet, to what it can't feed.

Only wires, boxes, plugs and contacts lead on. A transformer parts the two sides, and what stands inside an
inverter that charges is its maker's. A contact that a wired coil works stands as it rests; one that a hand
works may stand anywhere, but in one position at a time.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.values import Quantity

from .layout import Contact, Gate, Layout, Span
from .side import MainsSide

#: What runs from a battery and makes mains; what makes mains and has no inlet of its own inside.
_INVERTERS = ("inverter", "inverter_charger")
_ALONE = ("inverter", "generator")
#: The positions that a way needs, device by device.
Needs = frozenset[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class LiveInlet:
    """An inlet that another source reaches: devices on the way with their positions, and the inlet's run."""

    inlet: str
    source: str
    positions: tuple[tuple[str, str], ...]
    run: str


def live_inlets(side: MainsSide) -> Iterator[LiveInlet]:
    """Give the inlets whose pins are live, their lead pulled, while something else feeds.

    That is an inverter, a generator, or another inlet.
    """
    inlets = {f"{id}.out": id for id in side.layout.inlets}
    makers = [id for id in side.layout.makers if side.wiring.parts[id].kind in _ALONE]
    for source in (*makers, *(inlets.values() if len(inlets) > 1 else ())):
        for point, positions in reached(side.layout, f"{source}.out").items() if inlets else ():
            if inlets.get(point, source) != source:
                run = next(iter(side.wiring.by_point[point])).run
                yield LiveInlet(inlets[point], source, tuple(sorted(positions)), run)


@dataclass(frozen=True, slots=True)
class FixedBond:
    """An inverter that passes hook-up through and keeps its neutral on earth all the same."""

    inverter: str
    inlet: str


def fixed_bonds(side: MainsSide) -> Iterator[FixedBond]:
    """Give the inverters that charge whose bond stays while an inlet feeds them."""
    for id in side.layout.makers:
        part = side.wiring.parts[id]
        if part.kind != "inverter_charger" or part.neutral_bond != "fixed":
            continue
        fed = (inlet for inlet in side.layout.inlets if f"{id}.in" in reached(side.layout, f"{inlet}.out"))
        if (inlet := next(fed, None)) is not None:
            yield FixedBond(id, inlet)


@dataclass(frozen=True, slots=True)
class TooMuch:
    """A fixed appliance that an inverter reaches and can't feed, its run, and both powers. [W]"""

    appliance: str
    run: str
    inverter: str
    takes_w: float
    gives_w: float


def too_much_for_inverters(side: MainsSide) -> Iterator[TooMuch]:
    """Give the wired appliances that take more by themselves than an inverter that reaches them gives."""
    for id in side.layout.makers:
        part = side.wiring.parts[id]
        if part.kind not in _INVERTERS or not isinstance(part.power, Quantity):
            continue
        for other, takes in reached_appliances(side, id).items():
            if takes > part.power.high:
                run = next(iter(side.wiring.by_point[f"{other}.in"])).run
                yield TooMuch(other, run, id, takes, part.power.high)


def reached_appliances(side: MainsSide, inverter: str) -> dict[str, float]:
    """Return what each appliance takes that is wired to an inverter. [W]"""
    points = reached(side.layout, f"{inverter}.out")
    return {
        id: part.power.low
        for id, part in side.wiring.parts.items()
        if part.kind == "appliance" and isinstance(part.power, Quantity) and f"{id}.in" in points
    }


def reached(layout: Layout, start: str) -> dict[str, Needs]:
    """Return by point the positions that a way to it needs, no device in two of them."""
    steps: dict[str, list[tuple[str, Needs]]] = {}
    every: tuple[Span | Gate | Contact, ...] = (*layout.spans, *layout.gates, *layout.contacts)
    for one in every:
        position = one.position if isinstance(one, Contact) else ""
        needs: Needs = frozenset({(one.part, position)} if isinstance(one, Contact) and position else ())
        steps.setdefault(one.a, []).append((one.b, needs))
        steps.setdefault(one.b, []).append((one.a, needs))
    found: dict[str, Needs] = {}
    seen: set[tuple[str, Needs]] = {(start, frozenset())}
    queue = deque(seen)
    while queue:
        point, stands = queue.popleft()
        found.setdefault(point, stands)
        for to, asks in steps.get(point, ()):
            after = to, stands | asks
            if after not in seen and len(dict(after[1])) == len(after[1]):
                seen.add(after)
                queue.append(after)
    return found


__all__ = [
    "FixedBond",
    "LiveInlet",
    "TooMuch",
    "fixed_bonds",
    "live_inlets",
    "reached",
    "reached_appliances",
    "too_much_for_inverters",
]
