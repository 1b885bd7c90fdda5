"""On which side of its lamps a dimmer stands, and whether the current has a way past it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from loomwright.plan.kinds import is_consumer
from loomwright.plan.pieces import Wiring

from .joined import Joined, always_closed, movable
from .sources import is_battery


@dataclass(frozen=True, slots=True)
class WrongSide:
    """A dimmer that stands in the feed, in the return, or has a way past it; and the loads at its runs."""

    dimmer: str
    where: Literal["feed", "return", "past"]
    loads: tuple[str, ...]


def wrong_sides(wiring: Wiring) -> list[WrongSide]:
    """Return the dimmers that cannot dim where they stand; what hangs loose is left out."""
    dimmers = [part_id for part_id, part in wiring.parts.items() if part.kind == "dimmer"]
    if not dimmers:
        return []
    wires, every = Joined(wiring, always_closed(wiring)), movable(wiring)
    found = []
    for dimmer in dimmers:
        ends = (f"{dimmer}.in", f"{dimmer}.out")
        if any(end not in wiring.by_point for end in ends):
            continue
        if wires.group[ends[0]] == wires.group[ends[1]]:
            found.append(WrongSide(dimmer, "past", tuple(_loads(wiring, ends))))
            continue
        doors = [contact for contact in every if contact.part != dimmer]
        side = _side(wiring, wires.with_closed(doors), ends)
        if side is not None and side == _wrong(wiring, dimmer):
            found.append(WrongSide(dimmer, side, tuple(_loads(wiring, ends))))
    return found


def _side(
    wiring: Wiring, apart: Mapping[str, int], ends: tuple[str, str]
) -> Literal["feed", "return"] | None:
    """Return on which side a dimmer stands: which posts its ends meet without it."""
    here = {apart[end] for end in ends}
    for part_id, part in wiring.parts.items():
        if is_battery(wiring, part_id) or part.kind == "converter":
            if here & {apart.get(f"{part_id}.{terminal}", -1) for terminal in ("plus", "out")}:
                return "feed"
            if here & {apart.get(f"{part_id}.{terminal}", -1) for terminal in ("minus", "out_minus")}:
                return "return"
    return None


def _wrong(wiring: Wiring, dimmer: str) -> Literal["feed", "return"] | None:
    """Return the side on which a dimmer cannot work; None for one of the plus that nobody typed."""
    part = wiring.parts[dimmer]
    if part.switches == "minus":
        return "feed"
    return "return" if "switches" in part.typed else None


def _loads(wiring: Wiring, ends: tuple[str, str]) -> Iterator[str]:
    """Give the loads of the runs that a dimmer stands in."""
    runs = dict.fromkeys(piece.run for end in ends for piece in wiring.by_point[end])
    for run in runs:
        for load in wiring.runs[run].loads:
            part = wiring.part_of(load)
            if part is not None and is_consumer(wiring.parts[part].kind):
                yield part
