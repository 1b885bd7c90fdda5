"""One loom ready to be put on a sheet: its scale, its layout, the names of its pegs and sections."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Literal

from loomwright.assessment.looms import BenchLoom, Looms
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import inks_of
from loomwright.drawing.ink import WIRE_OUTLINE_MM, Token, core_width_mm
from loomwright.drawing.lettering import text_width_mm, wrap
from loomwright.drawing.scene import Drawn, Sign, Text
from loomwright.loom.tree import LoomTree, Section, WireEnd

from .cover import Cover, cover_of
from .ends import Ends
from .layout import Block, Flag, Layout
from .paint import Painter, dimensions, ruler

#: Scales, the larger drawing first, each with the longest trunk that it is for. [m]
SCALES = ((25, 6.5), (50, 13.0), (100, 26.0), (200, 99.0))
#: Wires are drawn so much narrower than on the wiring sheet.
RATIO = 0.7
#: Widest flags that are tried, the more generous first. [mm]
_FLAG_WIDTHS = (36.0, 30.0, 25.0)
_NAME, _SMALL, _LINE = 2.9, 2.6, 3.4
#: How flags may say what terminal there is: below the label, beside it, not at all.
Form = Literal["below", "beside", "without"]
_FORMS: tuple[Form, ...] = ("below", "beside", "without")
#: A flag with its terminal beside its label may be so wide, by the widths above. [mm]
_LONG = dict(zip(_FLAG_WIDTHS, (62.0, 46.0, 36.0), strict=True))
#: Above the drawing: the ruler; below it: the line of lengths. [mm]
_RULER, _LENGTHS = 9.0, 11.5
#: The least room of a flag without its terminal. [mm]
_BRIEF = 5.4
#: Words in the place of a drawing. [mm]
_WORDS = 10.0


@dataclass(frozen=True)
class Picture:
    """A loom as it is drawn.

    Parameters
    ----------
    looms : Looms
    loom : BenchLoom
    ends : Ends
    room : tuple of float
        Left and right edge of the field. [mm]
    tallest : float
        It should not be taller. [mm]
    only : LoomTree or None
        The part of the loom that is drawn; None: all of it.
    part : str
        "part 1", "" for a whole one.
    """

    looms: Looms
    loom: BenchLoom
    ends: Ends
    room: tuple[float, float]
    tallest: float
    only: LoomTree | None = None
    part: str = ""

    @property
    def tree(self) -> LoomTree:
        """What of its tree is drawn."""
        return self.loom.tree if self.only is None else self.only

    @property
    def job(self) -> Assessment:
        """The assessment of its van."""
        return self.looms.job

    @cached_property
    def letters(self) -> dict[str, str]:
        """The letter of each peg: along the trunk, then along the branches."""
        whole = self.loom.tree
        beside = (at for one in _ordered(whole) for at in (one.a, one.b))
        spots = dict.fromkeys((*whole.trunk, *beside))
        return {spot: letter_of(n) for n, spot in enumerate(spots)}

    def parts(self) -> list[Picture]:
        """Return it whole if it fits; else its parts, the trunk cut at the peg that halves its ends best."""
        if self.fits or len(self.tree.trunk) < 3:
            return [self]
        best, most = self.tree.trunk[1], 10**6
        for spot in self.tree.trunk[1:-1]:
            halves = self.tree.parted(spot)
            larger = max(len(one.ends) for one in halves)
            if larger < most:
                best, most = spot, larger
        if most >= len(self.tree.ends):
            return [self]
        return [
            part
            for n, tree in enumerate(self.tree.parted(best), 1)
            for part in replace(self, only=tree, part=f"{self.part}{'.' * bool(self.part)}{n}").parts()
        ]

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """The sections in their order: those of the trunk, then those of the branches as they leave it."""
        return _ordered(self.tree)

    @cached_property
    def numbers(self) -> dict[tuple[str, str], str]:
        """The name of each section of the whole loom, by its spots."""
        return {(one.a, one.b): f"S{n}" for n, one in enumerate(_ordered(self.loom.tree), 1)}

    @cached_property
    def covers(self) -> dict[tuple[str, str], Cover]:
        """What is around each section, by its spots."""
        return {(one.a, one.b): cover_of(self.job, one) for one in self.sections}

    @cached_property
    def cores(self) -> dict[str, tuple[float, tuple[Token, ...]]]:
        """By wire, the width of its core and its inks. [mm]"""
        found: dict[str, tuple[float, tuple[Token, ...]]] = {}
        for id in self.tree.wires:
            wire = self.job.wires[id]
            found[id] = core_width_mm(wire.area_mm2 or 1.0, RATIO), inks_of(wire.colour)
        return found

    @cached_property
    def _laid(self) -> tuple[int, Layout, Block, float]:
        """Return scale, layout, block and the x of the first peg: what fits first, else the last tried."""
        found = None
        most = Counter(one.spot for one in self.tree.ends).most_common(1)[0][1]
        for scale, longest in SCALES:
            if self.tree.trunk_m > longest or (found and most * _BRIEF > self.tallest):
                continue
            for form in _FORMS:
                for width in _FLAG_WIDTHS:
                    layout = self._ordered(1000.0 / scale, width, form)
                    x = self.room[0] + layout.first_fan_mm
                    block = layout.block(x)
                    left = min(box.left for box in block.boxes)
                    if left < self.room[0]:
                        x += self.room[0] - left
                        block = layout.block(x)
                    found = scale, layout, block, x
                    right = max(box.right for box in block.boxes)
                    tall = block.bottom - block.top + _RULER + _LENGTHS
                    if right <= self.room[1] and tall <= self.tallest:
                        return found
        assert found is not None
        return found

    def _ordered(self, scale: float, width: float, form: Form) -> Layout:
        """Return a layout whose wires lie in each bundle as their ends lie."""
        widths = {id: core + 2 * WIRE_OUTLINE_MM for id, (core, _) in self.cores.items()}
        flags = {(one.wire, one.side, one.spot): self._flag(one, width, form) for one in self.tree.ends}
        order: Sequence[str] = self.tree.wires
        layout = Layout(self.tree, scale, widths, flags, self.room, order)
        for _ in range(2):
            block = layout.block(self.room[0] + layout.first_fan_mm)
            at: dict[str, list[float]] = {}
            for fan in block.fans:
                for wire in fan.wires:
                    at.setdefault(wire, []).append(fan.y)
            place = {wire: n for n, wire in enumerate(self.tree.wires)}
            order = sorted(at, key=lambda wire: (round(sum(at[wire]) / len(at[wire]), 1), place[wire]))
            layout = Layout(self.tree, scale, widths, flags, self.room, order)
        return layout

    def _flag(self, end: WireEnd, width: float, form: Form) -> Flag:
        words = self.ends.of(end.wire, end.side)
        label, last = words.label, words.within(width - 2.0, _SMALL)
        if end.goes_on:
            label, last = f"{self.ends.number(end.wire)}, on at peg {self.letters[end.goes_on]}", ""
        lines = wrap(label, (width if form == "below" else _LONG[width]) - 2.0, _NAME, 600)
        wide = max(text_width_mm(line, _NAME, 600) for line in lines)
        room = _LONG[width] - wide - 5.0
        if form == "beside" and last and len(lines) == 1 and room > 8.0:
            last = words.within(room, _SMALL)
            wide += text_width_mm(last, _SMALL) + 3.0
            return Flag(end, lines, last, wide + 2.0, _BRIEF + 0.2, beside=True)
        last = last if form == "below" else ""
        count = len(lines) + bool(last)
        wide = max(wide, text_width_mm(last, _SMALL))
        return Flag(
            end, lines, last, wide + 2.0, max(count * _LINE + 2.2, 9.0 if form == "below" else _BRIEF)
        )

    @property
    def scale(self) -> int:
        """1 : so many."""
        return self._laid[0]

    @property
    def height(self) -> float:
        """So much it takes of a sheet: that of a line of words if it does not fit at all. [mm]"""
        block = self._laid[2]
        if not self.fits:
            return _WORDS
        return block.bottom - block.top + _RULER + _LENGTHS

    @property
    def fits(self) -> bool:
        """Say whether it keeps inside its room."""
        block = self._laid[2]
        right = max(box.right for box in block.boxes)
        return right <= self.room[1] + 0.01 and block.bottom - block.top + _RULER + _LENGTHS <= self.tallest

    def items(self, top: float) -> Iterator[Drawn]:
        """Yield the drawing, its ruler at the top."""
        scale, layout, block, x = self._laid
        if not self.fits:
            says = "Too many ends at one peg to be drawn on a sheet: see the table, the board and the labels."
            yield Text((self.room[0], top + 5.0), says, 2.9)
            return
        down = top + _RULER - block.top
        moved = block.moved(down)
        far = max(one.right for one in moved.levels)
        trunk = [self.tree.between(a, b) for a, b in pairwise(self.tree.trunk)]
        if self.loom.known:
            yield from ruler(x, top + 2.4, max(far - x, 0.1) * scale / 1000.0, 1000.0 / scale)
        yield from Painter(
            layout, moved, self.ends, self.cores, self.covers, self.letters, self.numbers, down
        ).items()
        parts = [(one.metres, one.path, one.known) for one in trunk]
        yield from dimensions(x, moved.bottom + 4.6, parts, 1000.0 / scale)


def _ordered(tree: LoomTree) -> tuple[Section, ...]:
    found = [tree.between(a, b) for a, b in pairwise(tree.trunk)]
    queue = list(tree.trunk)
    for spot in queue:
        for one in tree.at(spot):
            if one not in found:
                found.append(one)
                queue.append(one.other(spot))
    return tuple(found)


def letter_of(n: int) -> str:
    """Return the letter of a peg, counted from 0: a ... z, aa, ab ...

    Examples
    --------
    >>> letter_of(0), letter_of(25), letter_of(26)
    ('a', 'z', 'aa')
    """
    more, last = divmod(n, 26)
    return (letter_of(more - 1) if more else "") + chr(ord("a") + last)


def count_of(ends: Ends, tree_ends: Sequence[WireEnd]) -> dict[str, tuple[Sign, int]]:
    """Return how many ends of each sort there are, and their sign, by their words."""
    found: dict[str, tuple[Sign, int]] = {}
    for one in tree_ends:
        if not one.goes_on:
            words = ends.of(one.wire, one.side)
            found[words.kind] = words.sign, found.get(words.kind, (words.sign, 0))[1] + 1
    return dict(sorted(found.items(), key=lambda one: -one[1][1]))


__all__ = ["Picture", "count_of", "letter_of"]
