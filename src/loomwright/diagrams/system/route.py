"""Where lines turn: level pieces at the ports, upright pieces on tracks in the channels between columns.

A line that is not level takes one track. Two lines of which one comes at the height where the other leaves
have to take their tracks in one order; where such orders close a ring, one of the lines gets a step between.
Among the orders left free the one with fewer crossings is taken. All lengths in mm.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from .order import Columns, Net
from .things import Line

#: Distance of tracks, so that no crossing is within 3 of a bend. [mm]
TRACK = 3.2
_SAME = 0.005
#: Two dots of one run would touch if nearer than this. [mm]
_BESIDE = 2.6
Apart = Callable[[Line, Line], float]


@dataclass(slots=True, eq=False)
class Turn:
    """One upright piece: heights at which level pieces come from the left and go to the right."""

    net: Net
    lefts: tuple[float, ...]
    rights: tuple[float, ...]
    track: int = 0

    @property
    def low(self) -> float:
        """The upper end on the sheet."""
        return min((*self.lefts, *self.rights))

    @property
    def high(self) -> float:
        """The lower end on the sheet."""
        return max((*self.lefts, *self.rights))


@dataclass(slots=True)
class Channel:
    """The turns of one channel, and how many tracks they take."""

    turns: list[Turn] = field(default_factory=list)
    tracks: int = 0
    pitch: float = TRACK

    def of(self, net: Net) -> list[Turn]:
        """Return the turns of a net, from the left; none if it runs straight through."""
        return [turn for turn in self.turns if turn.net is net]


def route(columns: Columns, apart: Apart) -> list[Channel]:
    """Return the channels with their turns on tracks."""
    by_channel: defaultdict[int, list[Net]] = defaultdict(list)
    for net in columns.nets:
        by_channel[net.channel].append(net)
    return [_channel(by_channel[index], apart) for index in range(len(columns.slots))]


def _channel(nets: Sequence[Net], apart: Apart) -> Channel:
    turns = []
    for net in nets:
        ys = [port.y for port in net.ports]
        if max(ys) - min(ys) > _SAME:
            turns += _turns(net)
    taken = [port.y for net in nets for port in net.ports]
    for _ in range(len(turns)):
        ring = _ring(turns, apart)
        if not ring:
            break
        if not _step(ring, turns, taken):
            break
    ordered = _ordered(turns, apart)
    for place, turn in enumerate(ordered):
        before = [
            other.track + 1
            for other in ordered[:place]
            if _must_precede(other, turn, apart) or _overlap(other, turn, apart)
        ]
        turn.track = max(before, default=0)
    lines = {id(turn.net.line): turn.net.line for turn in turns}.values()
    pitch = max((apart(a, b) for a in lines for b in lines if a is not b), default=TRACK)
    return Channel(turns, max((turn.track + 1 for turn in turns), default=0), max(TRACK, pitch))


def _turns(net: Net) -> list[Turn]:
    """Return the turns of a net: one, or two where a run comes in close beside one of its own loads."""
    lefts, rights = tuple(p.y for p in net.lefts), tuple(p.y for p in net.rights)
    if len(lefts) == 1 and len(rights) > 1:
        nearest = min(rights, key=lambda y: abs(y - lefts[0]))
        if _SAME < abs(nearest - lefts[0]) < _BESIDE:
            return [Turn(net, lefts, (nearest,)), Turn(net, (nearest,), rights)]
    return [Turn(net, lefts, rights)]


def _must_precede(one: Turn, other: Turn, apart: Apart) -> bool:
    """Say whether `one` has to turn left of `other`: it comes where the other leaves."""
    if one.net is other.net:
        return one is not other and any(abs(a - b) < _SAME for a in one.rights for b in other.lefts)
    asked = apart(one.net.line, other.net.line)
    return any(abs(a - b) < asked for a in one.lefts for b in other.rights)


def _overlap(one: Turn, other: Turn, apart: Apart) -> bool:
    asked = apart(one.net.line, other.net.line)
    return one.low < other.high + asked and other.low < one.high + asked


def _ring(turns: Sequence[Turn], apart: Apart) -> list[Turn]:
    """Return turns whose orders close a ring; empty if there is none."""
    after = {id(a): [b for b in turns if b is not a and _must_precede(a, b, apart)] for a in turns}
    state: dict[int, int] = {}

    def visit(turn: Turn, path: list[Turn]) -> list[Turn]:
        state[id(turn)] = 1
        for other in after[id(turn)]:
            if state.get(id(other)) == 1:
                return path[path.index(other) :] if other in path else [other, turn]
            if id(other) not in state:
                found = visit(other, [*path, other])
                if found:
                    return found
        state[id(turn)] = 2
        return []

    for turn in turns:
        if id(turn) not in state:
            found = visit(turn, [turn])
            if found:
                return found
    return []


def _step(ring: Sequence[Turn], turns: list[Turn], taken: list[float]) -> bool:
    """Give one line of a ring a step between at a free height; say whether one was found."""
    for turn in ring:
        if len(turn.lefts) != 1 or len(turn.rights) != 1:
            continue
        middle = (turn.low + turn.high) / 2
        heights = [middle + sign * step * 0.8 for step in range(120) for sign in (1, -1)]
        for height in heights:
            if 24.0 < height < 242.0 and all(abs(height - y) >= 4.0 for y in taken):
                place = turns.index(turn)
                turns[place : place + 1] = [
                    Turn(turn.net, turn.lefts, (height,)),
                    Turn(turn.net, (height,), turn.rights),
                ]
                taken.append(height)
                return True
    return False


def _crossings(left: Turn, right: Turn) -> int:
    """Return how often two lines cross if `left` turns left of `right`."""
    return sum(right.low + _SAME < y < right.high - _SAME for y in left.rights) + sum(
        left.low + _SAME < y < left.high - _SAME for y in right.lefts
    )


def _ordered(turns: Sequence[Turn], apart: Apart) -> list[Turn]:
    """Return the turns from left to right: orders that must be first, then what crosses least."""
    rest = list(turns)
    gain = {(id(a), id(b)): _crossings(a, b) - _crossings(b, a) for a in turns for b in turns if a is not b}
    must = {(id(a), id(b)) for a in turns for b in turns if a is not b and _must_precede(a, b, apart)}
    found = []
    while rest:
        free = [t for t in rest if not any((id(o), id(t)) in must for o in rest if o is not t)] or rest[:1]
        best = min(free, key=lambda t: sum(gain[id(t), id(o)] for o in rest if o is not t))
        rest.remove(best)
        found.append(best)
    return found
