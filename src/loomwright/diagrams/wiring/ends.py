"""Where the ends of lines come to lie with the heights that bars, blocks and units have so far."""

from __future__ import annotations

from collections.abc import Iterable

from .spread import CLEAR, Placed, last_load, need, split_at_ports, things_of
from .stage import BODY_RAIL, LOAD_FOOT, RAIL_TOP, STUD_BAR, Stage
from .strands import PartStep, PortStep, Strand
from .units import TURN, is_back, unit_of

#: Room kept between a load and a return bar that passes under it. [mm]
BAR_CLEAR = 8.0
#: From the edge of a unit to a piece of its minus bar. [mm]
_PIECE = 6.0
#: From a load down to where its return turns and goes up again. [mm]
_TURN = 7.0
#: How low a load with such a return may reach where it has too little room. [mm]
_LOWEST_TURN = STUD_BAR - 14.0


class Ends:
    """Heights found so far on a sheet, and what follows from them for the ends of each line."""

    def __init__(self, stage: Stage, room: tuple[float, float, float]) -> None:
        self.stage, self.room = stage, room
        self.edges: dict[tuple[str, bool], float] = {}
        self.parts = {
            id(p): [(need(part, stage.part_height, room), port) for part, port in split_at_ports(p.strand)]
            for p in stage.strands
            if any(isinstance(step, PortStep) for step in p.strand.steps)
        }
        self.bars: dict[str, float] = {}
        self.blocks: dict[str, float] = {}
        self.needs = {id(p): need(p.strand, stage.part_height, room) for p in stage.strands}

    def over(self, column: int) -> list[str]:
        """Return the bars that pass a column."""
        spans = self.stage.spans
        return [bar for bar in self.bars if spans[bar][0] < column < spans[bar][-1]]

    def crossed(self, placed: Placed) -> list[tuple[str, float]]:
        """Return the bars that cross a strand, with their heights."""
        found = [(bar, self.bars[bar]) for bar in self.over(placed.column)]
        return [(bar, y) for bar, y in found if placed.top < y < placed.bottom]

    def least_foot(self, placed: Placed, top: float) -> float:
        """Return how high the lower end of a strand may be at most, its ports on the edges of their units."""
        if id(placed) not in self.parts:
            return top + self.needs[id(placed)]
        for length, port in self.parts[id(placed)]:
            top += length
            if port is not None:
                top = max(top, self.edges.get((port.unit, port.upper), top))
        return top

    def inner_feet(self, unit: str) -> Iterable[float]:
        """Yield the lower ends of what stands within a unit."""
        pieces = [
            p.column for p in self.stage.strands if unit_of(p.strand.a.id) == unit and self.scattered(p)
        ]
        for bar, y in self.bars.items():
            if unit_of(bar) == unit and self.stage.above[bar]:
                first, last = self.stage.spans[bar]
                yield y + (CLEAR if any(first < column < last for column in pieces) else 0.0)
        for block, y in self.blocks.items():
            if unit_of(block) == unit:
                yield y + self.stage.block_height(block)
        for placed in self.stage.strands:
            if self.ends_within(placed) and unit_of(placed.strand.b.id) == unit:
                yield self.foot(placed)

    def scattered(self, placed: Placed) -> bool:
        """True for a strand that comes down from a piece of a unit's minus bar."""
        return placed.strand.a.id in self.stage.scatter

    def ends_within(self, placed: Placed) -> bool:
        """True for a strand that ends within a unit, on a piece of its minus bar or on nothing."""
        end = placed.strand.b
        return end.id in self.stage.scatter or (end.kind == "open" and bool(unit_of(end.id)))

    def foot(self, placed: Placed) -> float:
        """Return the lower end of a strand."""
        end = placed.strand.b
        if end.kind == TURN:
            turn = _TURN if is_back(placed.strand) else 0.0
            beside = [p for p in self.stage.strands if p.strand.b == end]
            loads = [p for p in beside if not is_back(p.strand)]
            least = max((self.least_foot(p, self.top(p.strand)) for p in loads), default=0.0)
            wanted = min(self.load_foot(p.column) for p in beside)
            lowest = min(self.load_foot(p.column, _LOWEST_TURN) for p in beside)
            return max(wanted, min(least, lowest)) + turn
        if self.ends_within(placed):
            return self.least_foot(placed, self.top(placed.strand))
        return self.bottom(placed.strand)

    def piece_above(self, placed: Placed) -> float:
        """Return the height of a piece of a unit's minus bar from which a lead goes down."""
        port = next((step for step in placed.strand.steps if isinstance(step, PortStep)), None)
        if port is None:
            return placed.bottom - self.needs[id(placed)]
        return self.edges.get((port.unit, port.upper), placed.bottom - 30.0) - _PIECE

    def top(self, strand: Strand) -> float:
        """Return the upper end of a strand, as its bar or block has it. [mm]"""
        end = strand.a
        if end.kind == "bar":
            return self.bars.get(end.id, BODY_RAIL)
        if end.kind == "block":
            return self.blocks[end.id] + self.stage.block_height(end.id)
        return RAIL_TOP

    def bottom(self, strand: Strand) -> float:
        """Return the lower end of a strand, as its bar or block has it. [mm]"""
        end = strand.b
        if end.kind == "bar":
            return self.bars.get(end.id, BODY_RAIL)
        if end.kind == "block":
            return self.blocks[end.id]
        return STUD_BAR - 8.0

    def load_foot(self, column: int, lowest: float = LOAD_FOOT) -> float:
        """Return how low a load may reach in a column: above every return bar that passes it."""
        passing = [
            self.bars[bar]
            for bar, span in self.stage.spans.items()
            if not self.stage.above[bar] and span[0] <= column <= span[-1]
        ]
        return min([lowest, *(y - BAR_CLEAR for y in passing)])

    def has_load(self, placed: Placed) -> bool:
        """True for a plain line from a feed to a return bar with something in it that uses the current."""
        things = things_of(placed.strand.steps, self.stage.part_height)
        return (
            placed.strand.b.kind == "bar" and id(placed) not in self.parts and last_load(things) is not None
        )

    def load_head(self, placed: Placed) -> float:
        """Return how low a joint may lie over a strand, so that its load still stands in the row of loads."""
        strand = placed.strand
        bottom = self.foot(placed)
        if strand.b.kind != "bar" or self.stage.above[strand.b.id]:
            return bottom - self.needs[id(placed)]
        loads = [
            i for i, step in enumerate(strand.steps) if isinstance(step, PartStep) and step.leave == "minus"
        ]
        last = max(loads, default=-1)
        upper = Strand(strand.key, strand.a, strand.b, strand.steps[: last + 1])
        return min(self.load_foot(placed.column), bottom - 12.0) - need(
            upper, self.stage.part_height, self.room
        )

    def overlap(self, one: str, other: str) -> bool:
        """True if two bars of the feed side reach over columns so near that they cannot lie at one height."""
        a, b = self.stage.spans[one], self.stage.spans[other]
        if self.stage.kinds[one] == self.stage.kinds[other] == "joint":
            return a[0] <= b[-1] and b[0] <= a[-1]
        return a[0] <= b[-1] + 1 and b[0] <= a[-1] + 1

    def meet(self, one: str, other: str) -> bool:
        """True if two return bars cannot lie at one height; the body lies lower than all."""
        a, b = self.stage.spans[one], self.stage.spans[other]
        return self.bars[other] < BODY_RAIL - 0.01 and a[0] <= b[1] and b[0] <= a[1]
