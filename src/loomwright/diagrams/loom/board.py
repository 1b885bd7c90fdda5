"""One loom at true size on a board: every metre of it is a metre there, steps off the trunk counted.

Branches leave the trunk upright, turn level on a lane that is free, and end where their length ends.
Beyond the peg each wire has its own line as long as its slack, with a mark where it is cut. Millimetres of
the board: x from the first peg, y down from the trunk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial
from itertools import pairwise

from loomwright.diagrams.common import inks_of
from loomwright.drawing.geometry import Box, Point, box_of_boxes, box_of_points
from loomwright.drawing.ink import LEADER, THIN, WIRE_OUTLINE_MM, Pen
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Circle, Drawn, Link, Polyline, Text, Wire, rectangle
from loomwright.drawing.taken import Taken
from loomwright.loom.bundles import bundle_diameter_mm
from loomwright.loom.lengths import END_SLACK_M
from loomwright.loom.tree import Section

from .picture import Picture

#: From the trunk to the first lane, from lane to lane; between lines of ends. [mm]
_FIRST, _LANE, _LINE = 32.0, 10.0, 10.0
#: No end is drawn shorter, whatever its length leaves. [mm]
LEAST_TAIL = 50.0
_PEG_MM = 4.0
_NAME, _SMALL, _LETTER = 4.2, 3.4, 6.0
#: What a bundle holds is written at every so many mm.
_EVERY = 600.0
_CLEAR = 4.0
#: So many lanes are tried.
_LANES = 90
_CORE = Pen("ink", 0.5)


@dataclass
class _Part:
    """A piece of a board while it is laid: what is drawn, the room it takes, where its pegs are."""

    items: list[Drawn] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    pegs: dict[str, Point] = field(default_factory=dict)
    turned: dict[str, bool] = field(default_factory=dict)

    def add(self, other: _Part) -> None:
        self.items += other.items
        self.boxes += other.boxes
        self.pegs |= other.pegs
        self.turned |= other.turned


@dataclass(frozen=True)
class Board:
    """The board of one loom.

    Parameters
    ----------
    picture : Picture
        As the sheet has it: letters, numbers, ends.
    """

    picture: Picture

    @cached_property
    def _laid(self) -> _Part:
        tree = self.picture.tree
        whole, taken = _Part(), Taken()
        chain = list(tree.trunk)
        at = [0.0]
        for a, b in pairwise(chain):
            at.append(at[-1] + 1000.0 * tree.between(a, b).metres)
        for (a, b), (left, right) in zip(pairwise(chain), pairwise(at), strict=True):
            self._take(whole, taken, self._bundle(tree.between(a, b), ((left, 0.0), (right, 0.0))))
        whole.pegs |= {spot: (x, 0.0) for spot, x in zip(chain, at, strict=True)}
        self._take(whole, taken, self._spread(chain[0], (0.0, 0.0), -1.0))
        self._take(whole, taken, self._spread(chain[-1], (at[-1], 0.0), 1.0))
        for spot, x in list(zip(chain, at, strict=True))[-2:0:-1]:
            self._hang(whole, taken, spot, (x, 0.0), set(chain))
        return whole

    @cached_property
    def items(self) -> tuple[Drawn, ...]:
        """What is drawn, in millimetres of the board."""
        found = list(self._laid.items)
        for spot, (x, y) in self._laid.pegs.items():
            found.append(Circle((x, y), _PEG_MM, "paper", _CORE))
            found += [
                Polyline(((x - 6.5, y), (x + 6.5, y)), LEADER),
                Polyline(((x, y - 6.5), (x, y + 6.5)), LEADER),
            ]
            beside = [one.thick_mm / 2 for one in self.picture.tree.at(spot)]
            off = max(*beside, _PEG_MM) + 1.5
            letter = self.picture.letters[spot]
            ends = [self._laid.pegs[one.other(spot)][0] for one in self.picture.tree.at(spot)]
            back = len(ends) == 1 and ends[0] < x - 1.0
            at = (x - off if back else x + off, y - off)
            found.append(Text(at, letter, _LETTER, 600, "end" if back else "start", backed=True))
        return tuple(found)

    @property
    def pegs(self) -> dict[str, Point]:
        """Where each peg is driven in. [mm]"""
        return self._laid.pegs

    @cached_property
    def box(self) -> Box:
        """All that is drawn. [mm]"""
        return box_of_boxes([item.box() for item in self.items])

    # --- laying -----------------------------------------------------------------------------------------

    @staticmethod
    def _take(whole: _Part, taken: Taken, part: _Part) -> None:
        for box in part.boxes:
            taken.add(box.grown(_CLEAR))
        whole.add(part)

    def _hang(self, whole: _Part, taken: Taken, spot: str, at: Point, known: set[str]) -> None:
        """Lay all that leaves a peg: its ends, then its branches."""
        if any(one.spot == spot for one in self.picture.tree.ends):
            self._lay(whole, taken, lambda lane, up, ways: self._stepped(spot, at, lane, up, ways))
        for section in self.picture.tree.at(spot):
            there = section.other(spot)
            if there not in known:
                chain = self._longest(spot, there)
                self._lay(whole, taken, partial(self._branch, chain, at))
                for further in chain[1:-1]:
                    self._hang(whole, taken, further, whole.pegs[further], {*known, *chain})

    def _lay(self, whole: _Part, taken: Taken, make: Callable[[float, bool, float], _Part]) -> None:
        """Lay a part on the lane where least is in its way, near the trunk first."""
        best: tuple[int, _Part] | None = None
        for k in range(_LANES):
            for up in (True, False):
                for ways in (1.0, -1.0):
                    part = make(_FIRST + k * _LANE, up, ways)
                    met = sum(taken.in_the_way(box) is not None for box in part.boxes)
                    if best is None or met < best[0]:
                        best = met, part
                    if met == 0:
                        self._take(whole, taken, part)
                        return
        if best is not None:
            self._take(whole, taken, best[1])

    def _branch(self, chain: Sequence[str], at: Point, lane: float, up: bool, ways: float) -> _Part:
        """Return a branch that leaves its peg upright, then runs level on a lane."""
        part = _Part()
        x, y = at
        sign = -1.0 if up else 1.0
        done, far = 0.0, 1000.0 * sum(self.picture.tree.between(a, b).metres for a, b in pairwise(chain))
        corner = min(lane, far)

        def point(metres: float) -> Point:
            if metres <= corner:
                return x, y + sign * metres
            return x + ways * (metres - corner), y + sign * corner

        for a, b in pairwise(chain):
            section = self.picture.tree.between(a, b)
            to = done + 1000.0 * section.metres
            middle = (point(corner),) if done < corner < to else ()
            part.add(self._bundle(section, (point(done), *middle, point(to)), leaves=done == 0.0))
            part.pegs[b] = point(to)
            done = to
        end = part.pegs[chain[-1]]
        part.add(self._spread(chain[-1], end, ways))
        return part

    def _longest(self, spot: str, there: str) -> list[str]:
        tree, best, most = self.picture.tree, [spot, there], 0.0
        for further in tree.at(there):
            if further.other(there) != spot:
                chain = self._longest(there, further.other(there))
                metres = sum(tree.between(a, b).metres for a, b in pairwise(chain))
                if metres > most:
                    best, most = [spot, *chain], metres
        return best

    # --- drawing ----------------------------------------------------------------------------------------

    def _bundle(self, section: Section, points: Sequence[Point], *, leaves: bool = False) -> _Part:
        """Return a section as two edges at its true thickness, with what it holds written along it."""
        part = _Part()
        half = max(section.thick_mm / 2, 0.6)
        number = self.picture.numbers[section.a, section.b]
        wires = "  ".join(self.picture.ends.number(one) for one in section.wires)
        path = section.path.replace("_", " ")
        says = f"{number} {path} {section.metres:.2f} m Ø {section.thick_mm:.1f}: {wires}"
        for (x, y), (x_2, y_2) in pairwise(points):
            left, right = sorted((x, x_2))
            top, bottom = sorted((y, y_2))
            box = (
                Box(left, top - half, right, bottom + half)
                if top == bottom
                else Box(left - half, top, right + half, bottom)
            )
            part.items.append(
                rectangle(box.left, box.top, box.width, box.height, fill="tint", pen=THIN, layer="places")
            )
            part.items.append(Polyline(((x, y), (x_2, y_2)), LEADER, layer="places"))
            inner = Box(left, top - half, right, bottom + half)
            if leaves:
                inner = _without_start(box, (x, y), _FIRST - 2 * _CLEAR)
                leaves = False
            part.boxes.append(inner)
            if top == bottom and right - left > 40.0:
                line = shorten(says, right - left - 16.0, _SMALL)
                wide = text_width_mm(line, _SMALL)
                part.boxes.append(Box(left + 8.0, y + half, right - 4.0, y + half + 6.0))
                for k in range(int((right - left) // _EVERY) + 1):
                    start = left + 12.0 + k * _EVERY
                    if k == 0 or start + wide < right:
                        part.items.append(Text((start, y + half + 4.6), line, _SMALL))
        return part

    def _thick(self, wire: str) -> float:
        return self.picture.job.loom.thick_mm(wire) or 2.0

    def _tails(self, spot: str) -> list[tuple[str, str, float]]:
        """Return the ends at a peg: wire, side, and how long it is from there, the shortest first. [mm]"""
        found = []
        for end in self.picture.tree.ends:
            if end.spot == spot:
                tail = self.picture.looms.tail_m(end.wire, self.picture.tree)
                long = 1000.0 * (END_SLACK_M if tail is None else tail)
                found.append((end.wire, end.side, max(long, LEAST_TAIL)))
        return sorted(found, key=lambda one: one[2])

    def _spread(self, spot: str, at: Point, ways: float) -> _Part:
        """Return the ends at the end of a chain: they spread, then run level, each as long as its slack."""
        part, (x, y) = _Part(), at
        tails = self._tails(spot)
        for n, (wire, side, long) in enumerate(tails):
            y_end = y + (n - (len(tails) - 1) / 2) * _LINE
            slant = (15.0**2 + (y_end - y) ** 2) ** 0.5
            x_turn = x + ways * 15.0
            x_end = x_turn + ways * (long - slant)
            at_text = None
            if long <= slant:
                at_text = (x + ways * 19.0, y_end)
                x_turn = x_end = x + ways * 15.0 * long / slant
                y_end = y + (y_end - y) * long / slant
            line = ((x, y), (x_turn, y_end), (x_end, y_end))
            part.add(self._end(wire, side, line, ways, long, at_text))
        return part

    def _stepped(self, spot: str, at: Point, lane: float, up: bool, ways: float) -> _Part:
        """Return the ends at a peg within a chain: they leave it upright, each to its own line."""
        part, (x, y) = _Part(), at
        tails = self._tails(spot)
        farthest = min(lane + (len(tails) - 1) * _LINE, max(long for _, _, long in tails))
        half = max(bundle_diameter_mm(self._thick(wire) for wire, _, _ in tails) / 2, 0.6)
        top, bottom = (y - farthest, y) if up else (y, y + farthest)
        part.items.append(
            rectangle(x - half, top, 2 * half, bottom - top, fill="tint", pen=THIN, layer="places")
        )
        part.boxes.append(_without_start(Box(x - half, top, x + half, bottom), at, _FIRST - 2 * _CLEAR))
        for n, (wire, side, long) in enumerate(tails):
            away = lane + n * _LINE
            y_end = y + (-away if up else away)
            if away < long:
                points = ((x + ways * half, y_end), (x + ways * max(long - away, half + 1.0), y_end))
                part.add(self._end(wire, side, points, ways, long))
            else:
                mark = (x, y + (-long if up else long))
                part.add(self._end(wire, side, (mark,), ways, long, text_at=(x + ways * (half + 4.0), y_end)))
        return part

    def _end(
        self,
        wire: str,
        side: str,
        points: Sequence[Point],
        ways: float,
        long: float,
        text_at: Point | None = None,
    ) -> _Part:
        """Return the line of one end, the mark where it is cut, and its words."""
        words, link = self.picture.ends.of(wire, side), Link("wire", wire)
        (x, y) = points[-1]
        length = self.picture.job.wires[wire].length_m
        whole = f", cut {length:.2f} m in all" if length and side == "a" else ""
        line = [one for k, one in enumerate(points) if k == 0 or one != points[k - 1]]
        core = max(self._thick(wire) - 2 * WIRE_OUTLINE_MM, 0.7)
        inks = inks_of(self.picture.job.wires[wire].colour)
        items: list[Drawn] = [Wire(tuple(line), core, inks, of=link)] if len(line) > 1 else []
        upright = len(line) == 1
        mark = ((x - 4.4, y), (x + 4.4, y)) if upright else ((x, y - 4.4), (x, y + 4.4))
        items.append(Polyline(mark, _CORE, layer="symbols", of=link))
        name = Text((0.0, 0.0), words.label, _NAME, 600)
        says = Text((0.0, 0.0), f"{words.terminal}; {long:.0f} mm from the peg{whole}", _SMALL, ink="grey")
        wide = name.width + 3.0 + says.width
        gap = 4.0 + self._thick(wire) / 2
        start, base = (text_at[0], text_at[1] + 1.4) if text_at else (x + ways * gap, y + 1.4)
        left = start if ways > 0 else start - wide
        items.append(Text((left, base), words.label, _NAME, 600, of=link))
        items.append(Text((left + name.width + 3.0, base), says.text, _SMALL, ink="grey", of=link))
        room = Box(left, base - 4.2, left + wide, base + 1.4)
        level = [box_of_points(pair, 1.0) for pair in pairwise(line) if pair[0][1] == pair[1][1]]
        return _Part(items, [*level, room])


def _without_start(box: Box, start: Point, mm: float) -> Box:
    """Return a box without so much of its end at a point: there it may lie on what it leaves. [mm]"""
    x, y = start
    if box.width > box.height:
        return (
            Box(min(box.left + mm, box.right), *box[1:])
            if abs(box.left - x) < 1.0
            else Box(box.left, box.top, max(box.right - mm, box.left), box.bottom)
        )
    if abs(box.top - y) < 1.0:
        return Box(box.left, min(box.top + mm, box.bottom), box.right, box.bottom)
    return Box(box.left, box.top, box.right, max(box.bottom - mm, box.top))


def words_of(board: Board) -> Iterator[str]:
    """Yield what a board is, in words."""
    box = board.box
    yield f"{box.width / 1000:.2f} m by {box.height / 1000:.2f} m"


__all__ = ["LEAST_TAIL", "Board", "words_of"]
