"""Spreads the things of one line over its height: sources and loads in their rows, the rest evenly.

Where there is too little height the wires between things are drawn shorter, never the things smaller.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from .strands import DotStep, FuseStep, LinkStep, PartStep, PortStep, Step, Strand, WayStep, WireStep

#: Where a battery or an alternator begins. [mm]
SOURCE_ROW = 116.0
#: Least length of the line between a part and the joint at its terminal. [mm]
_AT_TERMINAL = 5.0
#: From a line that crosses a strand to a thing in it. [mm]
CLEAR = 4.3
#: How much further it stays from a part, for the marks of its poles. [mm]
_MARKED = 1.0
#: Least length that a wire keeps when a thing in it gives way to a line that crosses. [mm]
_LEAST = 3.4


class Put(NamedTuple):
    """A step with its upper and lower end. [mm]"""

    step: Step
    top: float
    bottom: float


@dataclass(slots=True)
class Placed:
    """A strand in its column, with both ends and everything in it."""

    strand: Strand
    column: int
    top: float = 0.0
    bottom: float = 0.0
    puts: list[Put] = field(default_factory=list)


def things_of(steps: Iterable[Step], height: Callable[[PartStep], float]) -> list[tuple[Step, float]]:
    """Return the things in a strand that have a height, wires left out."""
    found: list[tuple[Step, float]] = []
    for step in steps:
        if isinstance(step, PartStep):
            found.append((step, height(step)))
        elif isinstance(step, FuseStep):
            found.append((step, 10.0))
        elif isinstance(step, WayStep | DotStep | PortStep):
            found.append((step, 0.0))
    return found


def gaps_of(strand: Strand, room: tuple[float, float, float]) -> list[tuple[Step | None, float]]:
    """Return what joins the things of a strand, with its least length: one more than there are things."""
    labelled, short, inside = room
    gaps: list[tuple[Step | None, float]] = []
    waiting: Step | None = None
    before: Step | None = None
    seen: set[str] = set()
    for step in (*strand.steps, None):
        if isinstance(step, WireStep | LinkStep):
            waiting = step
            continue
        least = _least(waiting, seen, labelled, short, inside)
        if isinstance(waiting, LinkStep) and _is_round(before) and _is_round(step):
            least = max(least, CLEAR)
        if isinstance(waiting, LinkStep) and any(isinstance(thing, PartStep) for thing in (before, step)):
            least = max(least, _AT_TERMINAL)  # the marks of its poles stand there
        gaps.append((waiting, least))
        waiting, before = None, step
    return gaps


def _is_round(thing: Step | None) -> bool:
    """True for a circle, and for the end of a line, where a dot may lie."""
    return thing is None or isinstance(thing, WayStep | PortStep | DotStep)


def _least(step: Step | None, seen: set[str], labelled: float, short: float, inside: float) -> float:
    if step is None:
        return 0.0
    if isinstance(step, LinkStep):
        return max(inside, _AT_TERMINAL) if step.terminal else inside
    assert isinstance(step, WireStep)
    if step.stub or step.piece.id in seen:
        return short
    seen.add(step.piece.id)
    return labelled


def need(strand: Strand, height: Callable[[PartStep], float], room: tuple[float, float, float]) -> float:
    """Return how much height a strand needs at least. [mm]"""
    return sum(h for _, h in things_of(strand.steps, height)) + sum(
        least for _, least in gaps_of(strand, room)
    )


def split_at_ports(strand: Strand) -> list[tuple[Strand, PortStep | None]]:
    """Return a strand cut at its ports, each part with the port that it ends on."""
    parts: list[tuple[Strand, PortStep | None]] = []
    start = 0
    for index, step in enumerate(strand.steps):
        if isinstance(step, PortStep):
            parts.append((Strand(strand.key, strand.a, strand.b, strand.steps[start:index]), step))
            start = index + 1
    parts.append((Strand(strand.key, strand.a, strand.b, strand.steps[start:]), None))
    return parts


def distributed(
    placed: Placed,
    height: Callable[[PartStep], float],
    room: tuple[float, float, float],
    load_foot: float,
    crossed: Sequence[float] = (),
) -> list[Put]:
    """Spread the things of a strand over its height: the load in its row, the rest evenly above it.

    Nothing stays where a line crosses the strand, at one of the heights `crossed`, if its wires allow it.
    """
    strand = placed.strand
    things, gaps = things_of(strand.steps, height), gaps_of(strand, room)
    lengths = [least for _, least in gaps]
    spare = placed.bottom - placed.top - sum(h for _, h in things) - sum(lengths)
    if spare < 0.0:
        share = (placed.bottom - placed.top - sum(h for _, h in things)) / max(sum(lengths), 0.01)
        lengths = [length * max(share, 0.02) for length in lengths]
        spare = 0.0
    last = last_load(things)
    source = _source(things)
    if source is not None and spare > 0.0:
        above = sum(lengths[: source + 1]) + sum(h for _, h in things[:source])
        wanted = min(max(0.0, SOURCE_ROW - placed.top - above), spare)
        _spread(lengths, gaps, range(source + 1), wanted)
        _spread(lengths, gaps, range(source + 1, len(gaps)), spare - wanted)
    elif last is not None and last + 1 < len(gaps) and strand.b.kind == "bar":
        below = sum(lengths[last + 1 :]) + sum(h for _, h in things[last + 1 :])
        wanted = min(max(0.0, placed.bottom - load_foot - below), spare)
        if not any(isinstance(step, WireStep) for step, _ in gaps[: last + 1]):  # it hangs on its bar itself
            wanted = spare
        _spread(lengths, gaps, range(last + 1, len(gaps)), wanted)
        _spread(lengths, gaps, range(last + 1), spare - wanted)
    else:
        _spread(lengths, gaps, range(len(gaps)), spare)
    if crossed:
        _give_way(lengths, things, placed.top, crossed)
    puts: list[Put] = []
    y = placed.top
    for index, (step, _) in enumerate(gaps):
        if step is not None:
            puts.append(Put(step, y, y + lengths[index]))
        y += lengths[index]
        if index < len(things):
            puts.append(Put(things[index][0], y, y + things[index][1]))
            y += things[index][1]
    return puts


def clear_of(step: Step) -> float:
    """Return how far a line across stays from a thing in a strand; a part has its poles marked. [mm]"""
    return CLEAR + (_MARKED if isinstance(step, PartStep) else 0.0)


def _give_way(
    lengths: list[float], things: Sequence[tuple[Step, float]], top: float, crossed: Sequence[float]
) -> None:
    """Move what stands where a line crosses, and what is in its way, to the nearer side that has room."""
    y = top
    for index, (step, height) in enumerate(things):
        y += lengths[index]
        clear = clear_of(step)
        met = [one for one in crossed if y - clear < one < y + height + clear]
        if met and not isinstance(step, WayStep):
            ways = sorted((max(met) + clear - y, min(met) - clear - y - height), key=abs)
            move = next((way for way in ways if _moved(lengths, things, index, way)), 0.0)
            y += move
        y += height


def _moved(lengths: list[float], things: Sequence[tuple[Step, float]], index: int, move: float) -> bool:
    """Move a thing down (or up, with a negative move), if the wires there can be shorter; say whether."""
    ahead = range(index + 1, len(lengths)) if move > 0.0 else range(index, -1, -1)
    behind = index if move > 0.0 else index + 1
    left, taken = abs(move), dict[int, float]()
    for place in ahead:
        taken[place] = min(left, max(0.0, lengths[place] - _LEAST))
        left -= taken[place]
        beyond = things[place][0] if move > 0.0 and place < len(things) else things[place - 1][0]
        if left <= 0.01 or isinstance(beyond, WayStep):
            break
    if left > 0.01 or lengths[behind] <= 0.0:
        return False
    for place, less in taken.items():
        lengths[place] -= less
    lengths[behind] += abs(move)
    return True


def _source(things: list[tuple[Step, float]]) -> int | None:
    """Return the index of the battery or alternator in a strand."""
    for index, (step, _) in enumerate(things):
        if isinstance(step, PartStep) and ({step.enter, step.leave} & {"post", "case"}):
            return index
    return None


def last_load(things: list[tuple[Step, float]]) -> int | None:
    """Return the index of the thing that uses the current: what is entered at plus and left at minus."""
    for index, (step, _) in enumerate(things):
        if isinstance(step, PartStep) and step.leave == "minus" and step.enter in ("plus", "signal"):
            return index
    return None


def _spread(lengths: list[float], gaps: list[tuple[Step | None, float]], over: range, spare: float) -> None:
    """Share spare height among the wires of a stretch; what is short beside a fuse or in a box stays so."""
    longest = max((gaps[i][1] for i in over), default=0.0)
    takers = [i for i in over if gaps[i][0] is not None and gaps[i][1] >= longest - 0.01]
    for index in takers:
        lengths[index] += spare / len(takers)
