"""Columns, boxes and the way of every wire in millimetres, before anything is drawn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point

from .levels import Level
from .order import Columns, Net, Port, Slot
from .rooms import width_of
from .route import Channel
from .things import SHARED, USED, Line

#: The drawing's left edge, and its right edge short of the strip kept for signs of what is used. [mm]
LEFT, RIGHT = 30.0, 350.4
#: Before the first track, and behind the last one, where arrowheads stand. [mm]
_LEAD, _TAIL = 3.4, 6.2
_EMPTY = 12.0
#: A channel whose lines carry labels is made no wider than this. [mm]
_LABELLED = 27.0


@dataclass(frozen=True, slots=True)
class Strand:
    """One drawn wire: its points in the way of the energy, and at which ends an arrowhead stands."""

    line: Line
    wire: str
    points: tuple[Point, ...]
    arrow_end: bool = True
    arrow_start: bool = False
    joint: Point | None = None

    @property
    def leads_to(self) -> tuple[str, ...]:
        """The things at its end: of a wire with legs all of theirs, of a leg its own."""
        own = tuple(tip.thing for tip in self.line.tips if tip.wire == self.wire)
        return own or tuple(tip.thing for tip in self.line.tips)


@dataclass(frozen=True, slots=True)
class Layout:
    """Boxes of things by id, wires, where each field begins, and the edges of all columns."""

    boxes: Mapping[str, Box]
    strands: tuple[Strand, ...]
    field_lefts: Mapping[int, float]
    edges: tuple[tuple[float, float], ...]
    terminals: Mapping[str, tuple[Point, ...]]


def lay_out(
    columns: Columns,
    channels: Sequence[Channel],
    level: Level,
    heads: Mapping[str, float],
    end: float = RIGHT,
) -> Layout | None:
    """Return the layout, None if the columns are too wide; `heads` is the text width above each bar."""
    edges = _edges(columns, channels, level, heads, end)
    if edges is None:
        return None
    boxes = {}
    for index, column in enumerate(columns.slots):
        left, right = edges[index]
        for slot in column:
            if slot.thing is not None:
                width = level.bar if slot.key in heads else width_of(slot.thing, level)
                begin = right - width if slot.key in heads else left
                boxes[slot.key] = Box(begin, slot.top, begin + width, slot.bottom)
    weaver = _Weaver(columns, channels, edges, boxes)
    strands = weaver.strands()
    lefts: dict[int, float] = {}
    for field, (left, _) in zip(columns.fields, edges, strict=True):
        lefts.setdefault(field, left)
    terminals: defaultdict[str, list[Point]] = defaultdict(list)
    for slot in (slot for column in columns.slots for slot in column if slot.thing):
        terminals[slot.key] += [weaver.at(port) for port in (*slot.lefts, *slot.rights)]
    for upright in columns.uprights:
        x = weaver.upright_x(upright.above, upright.below)
        terminals[upright.above.key].append((x, upright.above.bottom))
        terminals[upright.below.key].append((x, upright.below.top))
    found = {key: tuple(points) for key, points in terminals.items()}
    return Layout(boxes, strands, lefts, tuple(edges), found)


def _edges(
    columns: Columns, channels: Sequence[Channel], level: Level, heads: Mapping[str, float], end: float
) -> list[tuple[float, float]] | None:
    widths = [
        _width(column, field, level, heads)
        for column, field in zip(columns.slots, columns.fields, strict=True)
    ]
    needs = [
        _LEAD + _TAIL + (channel.tracks - 1) * channel.pitch if channel.tracks else 8.5
        for channel in channels[:-1]
    ]
    spare = end - LEFT - sum(widths) - sum(needs)
    if spare < -0.01:
        return None
    labelled = [_carries_labels(columns, index) for index in range(len(needs))]
    wants = [
        max(0.0, _LABELLED - need) if wanted else 0.0 for need, wanted in zip(needs, labelled, strict=True)
    ]
    share = min(1.0, spare / sum(wants)) if sum(wants) else 0.0
    gaps = [need + share * want for need, want in zip(needs, wants, strict=True)]
    spare -= share * sum(wants)
    # What is left goes before the last column, where the wires fan out, then to all.
    grown = min(spare, 16.0)
    gaps[-1] += grown
    gaps = [gap + (spare - grown) / len(gaps) for gap in gaps]
    edges, x = [], LEFT
    for index, width in enumerate(widths):
        edges.append((x, x + width))
        x += width + (gaps[index] if index < len(gaps) else 0.0)
    return edges


def _width(column: Sequence[Slot], field: int, level: Level, heads: Mapping[str, float]) -> float:
    things = [slot for slot in column if slot.thing is not None]
    boxes = [slot for slot in things if slot.key not in heads]
    if boxes:
        return max(width_of(slot.thing, level) for slot in boxes if slot.thing is not None)
    if field == USED:
        return level.widths[field]
    if not things:
        return _EMPTY if field != SHARED else 4.0
    return max(level.bar, *(min(heads[slot.key], level.bar_words) for slot in things))


def _carries_labels(columns: Columns, channel: int) -> bool:
    return any(
        net.channel == channel
        and any(port.slot.thing is not None for port in net.ports)
        and not any(port.slot.thing is not None and port.slot.thing.field == USED for port in net.rights)
        for net in columns.nets
    )


class _Weaver:
    """Finds the points of all wires."""

    def __init__(
        self,
        columns: Columns,
        channels: Sequence[Channel],
        edges: Sequence[tuple[float, float]],
        boxes: Mapping[str, Box],
    ) -> None:
        self.columns, self.channels, self.edges, self.boxes = columns, channels, edges, boxes

    def strands(self) -> tuple[Strand, ...]:
        """Return all wires."""
        nets: dict[int, list[Net]] = {}
        for net in self.columns.nets:
            nets.setdefault(id(net.line), []).append(net)
        found: list[Strand] = []
        for group in nets.values():
            found += self._line(sorted(group, key=lambda net: net.channel))
        for upright in self.columns.uprights:
            x = self.upright_x(upright.above, upright.below)
            ends = ((x, upright.above.bottom), (x, upright.below.top))
            line = upright.line
            points = ends if upright.down else ends[::-1]
            found.append(Strand(line, line.tips[0].wire, points, True, line.both_ways))
        return tuple(sorted(found, key=lambda strand: strand.line.order))

    def upright_x(self, above: Slot, below: Slot) -> float:
        """Return where a line between two neighbours of a column runs."""
        one, other = self.boxes[above.key], self.boxes[below.key]
        return (max(one.left, other.left) + min(one.right, other.right)) / 2

    def at(self, port: Port) -> Point:
        """Return where a port lies."""
        left, right = self.edges[port.slot.column]
        if port.slot.thing is not None:
            box = self.boxes[port.slot.key]
            left, right = box.left, box.right
        return (left if port.side == "left" else right), port.y

    def _track(self, channel: int, track: int) -> float:
        right = self.edges[channel + 1][0]
        return right - _TAIL - (self.channels[channel].tracks - 1 - track) * self.channels[channel].pitch

    def _line(self, nets: Sequence[Net]) -> list[Strand]:
        line = nets[0].line
        if len(line.tips) > 1:
            return self._bundle(line, nets)
        points: list[Point] = []
        for net in nets:
            points += self._net(net)
        enters = nets[-1].ports[-1].enters
        turned = points if enters else points[::-1]
        return [Strand(line, line.tips[0].wire, _straightened(turned), True, line.both_ways)]

    def _net(self, net: Net) -> list[Point]:
        """Return the points of a net with two ports, from its first to its last."""
        turns = sorted(self.channels[net.channel].of(net), key=lambda turn: turn.track)
        first, last = net.ports[0], net.ports[-1]
        points = [self.at(first)]
        if not net.lefts or not net.rights:
            x = self._track(net.channel, turns[0].track)
            points += [(x, first.y), (x, last.y)]
        else:
            for turn in turns:
                x = self._track(net.channel, turn.track)
                points += [(x, turn.lefts[0]), (x, turn.rights[0])]
        return [*points, self.at(last)]

    def _bundle(self, line: Line, nets: Sequence[Net]) -> list[Strand]:
        """Return the wire up to where a run parts, and its legs, one after the other along the upright."""
        points: list[Point] = []
        for net in nets[:-1]:
            points += self._net(net)
        last = nets[-1]
        turns = sorted(self.channels[last.channel].of(last), key=lambda turn: turn.track)
        begin = self.at(last.lefts[0])
        points.append(begin)
        for turn in turns[:-1]:
            step = self._track(last.channel, turn.track)
            points += [(step, turn.lefts[0]), (step, turn.rights[0])]
            begin = (step, turn.rights[0])
        x = self._track(last.channel, turns[-1].track)
        points.append((x, begin[1]))
        rows = {port.y: port for port in last.rights}
        strands: list[Strand] = []
        above = sorted((y for y in rows if y < begin[1] - 0.005), reverse=True)
        below = sorted(y for y in rows if y > begin[1] + 0.005)
        level = [y for y in rows if y not in above and y not in below]
        start = (x, begin[1])
        if not level and not (above and below):
            start = (x, (above or below).pop(0))
            level = [start[1]]
            points.append(start)
        strands.append(
            Strand(line, line.wires[-1] if line.wires else "", _straightened(points), False, False, start)
        )
        for y in level:
            strands.append(Strand(line, rows[y].wire, ((x, y), self.at(rows[y]))))
        for side in (above, below):
            here = start
            for place, y in enumerate(side):
                joint = (x, y) if place + 1 < len(side) else None
                strands.append(Strand(line, rows[y].wire, (here, (x, y), self.at(rows[y])), joint=joint))
                here = (x, y)
        return strands


def _straightened(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the points without doubles and without those on a straight line."""
    kept: list[Point] = []
    for point in points:
        if kept and abs(kept[-1][0] - point[0]) < 0.005 and abs(kept[-1][1] - point[1]) < 0.005:
            continue
        kept.append(point)
    found = [kept[0]]
    for (before, here), after in zip(pairwise(kept), kept[2:], strict=False):
        level = abs(before[1] - here[1]) < 0.005 and abs(here[1] - after[1]) < 0.005
        upright = abs(before[0] - here[0]) < 0.005 and abs(here[0] - after[0]) < 0.005
        if not (level or upright):
            found.append(here)
    return (*found, kept[-1])
