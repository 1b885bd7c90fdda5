"""Where everything of a loom lies on the sheet: its trunk level, its branches stepped up or down, then level.

Level lengths are to scale; the steps up and down count for nothing, so that one ruler holds for all of the
drawing. Blocks (a branch, or the ends at a peg) are put as near to their trunk as they find room, those that
lie farthest along first: so the steps of the others find their way. x is that of the sheet, y counts from
the axis of the trunk.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.symbols_ends import END_MM
from loomwright.drawing.taken import Taken
from loomwright.loom.tree import LoomTree, Section, WireEnd

#: Between outlines of wires in a bundle; from the peg to the signs of the ends; between sign and flag. [mm]
BETWEEN, FAN, TO_FLAG = 0.4, 6.0, 0.6
#: A fan that is taller spreads by right angles. [mm]
_SLANTED = 30.0
#: Clear paper around a block, and so much above a level piece for its name. [mm]
_CLEAR, _NAME = 1.6, 4.6
#: A step leaves the peg no further off than this, where another step is in the way. [mm]
_ASIDE = (0.0, 3.0, -3.0, 6.0, -6.0, 9.0, -9.0)


@dataclass(frozen=True, slots=True)
class Flag:
    """The label of an end as it is drawn: lines of text, the terminal below or beside them, its size. [mm]"""

    end: WireEnd
    lines: tuple[str, ...]
    last: str
    width: float
    height: float
    beside: bool = False


@dataclass(frozen=True, slots=True)
class Level:
    """A section as a level bundle, its wires from the top down."""

    section: Section
    left: float
    right: float
    y: float
    wires: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """Wires that leave an axis at x and come to lie on another: up or down, `right` or left from there."""

    spot: str
    x: float
    y: float
    to_y: float
    right: bool
    wires: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Fan:
    """The ends at a spot: from x on they spread, `right` or left, around y.

    `stepped`: each comes straight from its own step.
    """

    spot: str
    x: float
    y: float
    right: bool
    flags: tuple[Flag, ...]
    stepped: bool = False

    @property
    def wires(self) -> tuple[str, ...]:
        """Their wires, from the top down."""
        return tuple(one.end.wire for one in self.flags)

    def tops(self) -> Iterator[tuple[Flag, float]]:
        """Yield each flag with the y of its middle."""
        tall = sum(one.height for one in self.flags)
        y = self.y - tall / 2
        for one in self.flags:
            yield one, y + one.height / 2
            y += one.height


def is_comb(flags: Sequence[Flag]) -> bool:
    """Say whether wires spread by right angles: slants would come too near each other."""
    return sum(one.height for one in flags) > _SLANTED


@dataclass
class Block:
    """What hangs together: its pieces, and the room that it takes."""

    levels: list[Level] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    fans: list[Fan] = field(default_factory=list)
    pegs: dict[str, Point] = field(default_factory=dict)
    boxes: list[Box] = field(default_factory=list)

    def moved(self, dy: float) -> Block:
        """Return it further down."""
        return Block(
            [replace(one, y=one.y + dy) for one in self.levels],
            [replace(one, y=one.y + dy, to_y=one.to_y + dy) for one in self.steps],
            [replace(one, y=one.y + dy) for one in self.fans],
            {spot: (x, y + dy) for spot, (x, y) in self.pegs.items()},
            [box.moved((0.0, dy)) for box in self.boxes],
        )

    def add(self, other: Block) -> None:
        """Take in another."""
        self.levels += other.levels
        self.steps += other.steps
        self.fans += other.fans
        self.pegs |= {spot: at for spot, at in other.pegs.items() if spot not in self.pegs}
        self.boxes += other.boxes

    @property
    def top(self) -> float:
        """Its highest edge."""
        return min(box.top for box in self.boxes)

    @property
    def bottom(self) -> float:
        """Its lowest edge."""
        return max(box.bottom for box in self.boxes)


@dataclass(frozen=True)
class Layout:
    """Lays out one loom.

    Parameters
    ----------
    tree : LoomTree
    scale : float
        mm on the sheet for a metre.
    widths : mapping of str to float
        Outline of each wire. [mm]
    flags : mapping of (str, str, str) to Flag
        By wire, side and spot.
    room : tuple of float
        Left and right edge of the field. [mm]
    order : sequence of str
        The wires from the top of a bundle down.
    """

    tree: LoomTree
    scale: float
    widths: Mapping[str, float]
    flags: Mapping[tuple[str, str, str], Flag]
    room: tuple[float, float]
    order: Sequence[str]

    def block(self, x: float) -> Block:
        """Return the whole loom with its trunk's first peg at x."""
        return self._limb(list(self.tree.trunk), x, right=True, first=True)

    @property
    def first_fan_mm(self) -> float:
        """Room that the ends at the left of the trunk take."""
        return self._reach(self.tree.trunk[0])

    def _reach(self, spot: str, *, stepped: bool = False) -> float:
        flags = self._at(spot)
        return (
            self.fan_mm(flags, stepped=stepped) + END_MM + TO_FLAG + max(one.width for one in flags)
            if flags
            else 0.0
        )

    def fan_mm(self, flags: Sequence[Flag], *, stepped: bool = False) -> float:
        """Return how far wires run from their peg to the signs of their ends; many ends need more room."""
        if stepped:
            return 4.0 + self.stack_mm([one.end.wire for one in flags]) / 2
        if is_comb(flags):
            return 3.0 + self.stack_mm([one.end.wire for one in flags]) * 0.6
        return FAN

    def stack_mm(self, wires: Sequence[str]) -> float:
        """Return how tall a bundle is drawn."""
        return sum(self.widths[one] for one in wires) + BETWEEN * max(len(wires) - 1, 0)

    def _sorted(self, wires: Sequence[str]) -> tuple[str, ...]:
        return tuple(sorted(wires, key=self._place.__getitem__))

    def _at(self, spot: str) -> list[Flag]:
        return self._flags_at.get(spot, [])

    @cached_property
    def _place(self) -> dict[str, int]:
        return {wire: n for n, wire in enumerate(self.order)}

    @cached_property
    def _flags_at(self) -> dict[str, list[Flag]]:
        """By spot, its flags from the top down."""
        found: dict[str, list[Flag]] = {}
        for one in sorted(self.tree.ends, key=lambda one: self._place[one.wire]):
            found.setdefault(one.spot, []).append(self.flags[one.wire, one.side, one.spot])
        return found

    # --- blocks ---------------------------------------------------------------------------------------

    def _limb(self, chain: list[str], x: float, *, right: bool, first: bool) -> Block:
        """Return a chain of pegs level around y = 0, with all that hangs on it. The first peg is at x."""
        block, at = Block(), [x]
        ways = 1.0 if right else -1.0
        for a, b in pairwise(chain):
            section = self.tree.between(a, b)
            at.append(at[-1] + ways * section.metres * self.scale)
            left, far = sorted(at[-2:])
            block.levels.append(Level(section, left, far, 0.0, self._sorted(section.wires)))
            half = self.stack_mm(section.wires) / 2
            block.boxes.append(
                Box(left, -half - (0.0 if first else _NAME), far, half + (_NAME if first else 0.6))
            )
        block.pegs = {spot: (x, 0.0) for spot, x in zip(chain, at, strict=True)}
        block.add(self._ends(chain[-1], at[-1], right=right))
        if first:
            block.add(self._ends(chain[0], at[0], right=not right))
        taken = Taken()
        for box in block.boxes:
            taken.add(box.grown(_CLEAR))
        for spot, x_spot in reversed(list(zip(chain, at, strict=True))[1:-1]):
            for part in self._hanging(spot, chain, x_spot):
                self._attach(block, taken, spot, x_spot, part)
        return block

    def _hanging(self, spot: str, chain: Sequence[str], x: float) -> Iterator[tuple[Block, tuple[str, ...]]]:
        """Yield the blocks that hang on a peg of a chain, each with the wires of its step."""
        near = {a for pair in pairwise(chain) if spot in pair for a in pair}
        for section in self.tree.at(spot):
            there = section.other(spot)
            if there not in near:
                branch = self._longest(spot, there)
                right = self._fits(branch, x)
                yield self._limb(branch, x, right=right, first=False), self._sorted(section.wires)
        if self._at(spot):
            right = x + self._reach(spot, stepped=True) + max(_ASIDE) <= self.room[1]
            block = self._ends(spot, x, right=right, stepped=True)
            block.pegs[spot] = (x, 0.0)
            yield block, tuple(one.end.wire for one in self._at(spot))

    def _fits(self, chain: Sequence[str], x: float) -> bool:
        """Say whether a branch finds room to the right of its peg, or more than to the left."""
        long = self.scale * sum(self.tree.between(a, b).metres for a, b in pairwise(chain)) + self._reach(
            chain[-1]
        )
        return x + long <= self.room[1] or x - long < self.room[0]

    def _longest(self, spot: str, there: str) -> list[str]:
        """Return the chain with most metres of wire that leaves a peg towards a neighbour."""
        best, most = [spot, there], 0.0
        for further in self.tree.at(there):
            beyond = further.other(there)
            if beyond != spot:
                chain = self._longest(there, beyond)
                wire_m = self._wire_m(chain)
                if wire_m > most:
                    best, most = [spot, *chain], wire_m
        return best

    def _wire_m(self, chain: Sequence[str]) -> float:
        return sum(
            one.metres * len(one.wires) for a, b in pairwise(chain) for one in [self.tree.between(a, b)]
        )

    def _ends(self, spot: str, x: float, *, right: bool, stepped: bool = False) -> Block:
        """Return the ends at a peg as they spread around y = 0."""
        flags = self._at(spot)
        block = Block()
        if flags:
            block.fans.append(Fan(spot, x, 0.0, right, tuple(flags), stepped))
            tall = sum(one.height for one in flags)
            far = x + self._reach(spot, stepped=stepped) * (1.0 if right else -1.0)
            block.boxes.append(Box(min(x, far), -tall / 2, max(x, far), tall / 2))
        return block

    def _attach(
        self, onto: Block, taken: Taken, spot: str, x: float, part: tuple[Block, tuple[str, ...]]
    ) -> None:
        """Put a block above or below a chain, where it finds room nearest to it."""
        block, wires = part
        half = self.stack_mm(wires) / 2
        best: tuple[float, float, float] | None = None
        for up in (True, False):
            y = _free(block, taken, up=up)
            low, high = sorted((0.0, y))
            for aside in _ASIDE:
                crossed = _crosses(taken, Box(x + aside - half, low, x + aside + half, high), onto)
                grown = max(0.0, onto.top - (block.top + y)) + max(0.0, block.bottom + y - onto.bottom)
                cost = grown + 0.15 * abs(y) + (400.0 if crossed else 0.0) + abs(aside)
                if best is None or cost < best[0]:
                    best = cost, y, aside
                if not crossed:
                    break
        assert best is not None
        _, y, aside = best
        moved = block.moved(y)
        if not moved.levels:
            moved.fans = [replace(one, x=one.x + aside) for one in moved.fans]
            moved.boxes = [box.moved((aside, 0.0)) for box in moved.boxes]
        right = (block.levels[0].left >= x - 0.01) if block.levels else block.fans[0].right
        moved.steps.append(Step(spot, x + aside, 0.0, y, right, wires))
        low, high = sorted((0.0, y))
        moved.boxes.append(Box(x + aside - half, low, x + aside + half, high))
        for box in moved.boxes:
            taken.add(box.grown(_CLEAR))
        onto.add(moved)


def _free(block: Block, taken: Taken, *, up: bool) -> float:
    """Return how far a block must go up or down until nothing is in its way."""
    y, moves = 0.0, True
    while moves:
        moves = False
        for box in block.boxes:
            hit = taken.in_the_way(box.moved((0.0, y)))
            if hit is not None:
                y = hit.top - box.bottom - 0.01 if up else hit.bottom - box.top + 0.01
                moves = True
    return y


def _crosses(taken: Taken, step: Box, onto: Block) -> bool:
    """Say whether a step would cross something else than the chain that it leaves."""
    own = [box for level, box in zip(onto.levels, onto.boxes, strict=False) if level.y == 0.0]
    top = min(box.top for box in own) - _CLEAR
    bottom = max(box.bottom for box in own) + _CLEAR
    for low, high in ((step.top, min(step.bottom, top)), (max(step.top, bottom), step.bottom)):
        if high - low > 0.1 and taken.in_the_way(Box(step.left, low, step.right, high)) is not None:
            return True
    return False


__all__ = ["BETWEEN", "FAN", "TO_FLAG", "Block", "Fan", "Flag", "Layout", "Level", "Step", "is_comb"]
