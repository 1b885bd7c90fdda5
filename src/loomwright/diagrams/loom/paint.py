"""A laid-out loom as drawn things: wires, tape, tube, ends with their labels, pegs, ruler, lengths."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import FIELD, LEADER, THIN, Pen, Token
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Circle, Drawn, Link, Polyline, Symbol, Text, Wire, rectangle
from loomwright.drawing.spacing_marks import strokes_of
from loomwright.drawing.symbols_ends import END_MM, GOES_ON
from loomwright.drawing.taken import Taken

from .cover import Cover
from .ends import Ends
from .layout import BETWEEN, TO_FLAG, Block, Fan, Flag, Layout, Level, Step, is_comb

_NAME, _SMALL, _LINE = 2.9, 2.6, 3.4
_PEG_MM = 2.2
_TAPE_MM = 1.6
_FLAG = Pen("ink", 0.25)
#: Places around a peg where its letter may stand, the nearest first. [mm]
_AROUND = tuple(
    sorted(
        ((float(x), float(y)) for x in range(-14, 15, 1) for y in range(-14, 15, 1) if abs(x) + abs(y) > 3),
        key=lambda at: (round(at[0] ** 2 + at[1] ** 2), at[1] < 0, at[0]),
    )
)


#: So far below the lowest wire the words of the line of lengths begin. [mm]
_LENGTHS_MM = 0.4


@dataclass(frozen=True)
class Painter:
    """Draws one loom.

    Parameters
    ----------
    layout : Layout
    block : Block
        As the layout gave it, moved to where it shall lie on the sheet.
    ends : Ends
    cores : mapping of str to (float, tuple of Token)
        By wire the width of its core and its inks. [mm]
    covers : mapping of (str, str) to Cover
        By the spots of a section, what is put around it.
    letters : mapping of str to str
        The letter of each peg.
    numbers : mapping of (str, str) to str
        The name of each section.
    axis : float
        y of the trunk. [mm]
    """

    layout: Layout
    block: Block
    ends: Ends
    cores: Mapping[str, tuple[float, tuple[Token, ...]]]
    covers: Mapping[tuple[str, str], Cover]
    letters: Mapping[str, str]
    numbers: Mapping[tuple[str, str], str]
    axis: float = 0.0

    def items(self) -> list[Drawn]:
        """Return the drawing without ruler and lengths."""
        found: list[Drawn] = []
        for level in self.block.levels:
            found += self._cover(level)
        stepped = {(one.spot, one.to_y): one for one in self.block.steps}
        for fan in self.block.fans:
            found += self._fan(fan)
        for level in sorted(self.block.levels, key=lambda one: abs(one.y - self.axis), reverse=True):
            found += self._level(level, stepped)
        found += self._tapes()
        taken = Taken()
        for index, item in enumerate(found):
            for stroke in strokes_of(index, item):
                taken.add(stroke.box())
            if isinstance(item, Text):
                taken.add(item.box())
        for fan in self.block.fans:
            for box in self._fan_boxes(fan):
                taken.add(box)
        low, wide = self.block.bottom + _LENGTHS_MM, max(one.right for one in self.block.boxes)
        taken.add(Box(0.0, low, wide, low + 10.0))  # the line of lengths goes there
        found += self._pegs(taken)
        found += self._names(taken)
        return found

    # --- wires ----------------------------------------------------------------------------------------

    def lanes(self, wires: Sequence[str], y: float) -> dict[str, float]:
        """Return the y of each wire of a bundle around an axis."""
        at = y - self.layout.stack_mm(wires) / 2
        found = {}
        for wire in wires:
            width = self.layout.widths[wire]
            found[wire] = at + width / 2
            at += width + BETWEEN
        return found

    def _turns(self, step: Step) -> dict[str, float]:
        """Return the x at which each wire of a step turns, so that none crosses another."""
        outer_first = (step.to_y < step.y) == step.right
        wires = step.wires if outer_first else step.wires[::-1]
        return self.lanes(wires, step.x)

    def _wire(self, wire: str, points: Sequence[Point]) -> Wire:
        core, inks = self.cores[wire]
        return Wire(tuple(points), core, inks, of=Link("wire", wire))

    def _level(self, level: Level, stepped: Mapping[tuple[str, float], Step]) -> Iterator[Drawn]:
        lanes = self.lanes(level.wires, level.y)
        step = next(
            (
                one
                for spot in (level.section.a, level.section.b)
                if (one := stepped.get((spot, level.y))) is not None
            ),
            None,
        )
        for wire in level.wires:
            y = lanes[wire]
            if step is None:
                yield self._wire(wire, ((level.left, y), (level.right, y)))
                continue
            x = self._turns(step)[wire]
            far = level.right if step.right else level.left
            yield self._wire(wire, ((x, step.y), (x, y), (far, y)))

    def _fan(self, fan: Fan) -> Iterator[Drawn]:
        ways = 1.0 if fan.right else -1.0
        lanes = self.lanes(fan.wires, fan.y)
        far = fan.x + ways * self.layout.fan_mm(fan.flags, stepped=fan.stepped)
        tops = list(fan.tops())
        step = next(
            (one for one in self.block.steps if fan.stepped and (one.spot, one.to_y) == (fan.spot, fan.y)),
            None,
        )
        turns = self._turns(step) if step is not None else {}
        combs = self._comb(fan, tops, lanes) if is_comb(fan.flags) else {}
        for flag, y in tops:
            wire, lane = flag.end.wire, lanes[flag.end.wire]
            if step is not None:
                points = [(turns[wire], step.y), (turns[wire], y)]
            elif wire in combs:
                points = [(fan.x, lane), (combs[wire], lane), (combs[wire], y)]
            else:
                points = [(fan.x, lane), (fan.x + 0.8 * ways, lane), (far - 0.8 * ways, y)]
            yield self._wire(wire, (*points, (far, y)))
            yield from self._end(flag, (far, y), ways)

    def _comb(
        self, fan: Fan, tops: Sequence[tuple[Flag, float]], lanes: Mapping[str, float]
    ) -> dict[str, float]:
        """Return the x at which each wire of a tall fan turns: the outer ones first, so that none crosses."""
        ways = 1.0 if fan.right else -1.0
        found = {}
        for part in ([one for one in tops if one[1] < lanes[one[0].end.wire]],
                     [one for one in tops[::-1] if one[1] >= lanes[one[0].end.wire]]):  # fmt: skip
            x = fan.x + ways * 0.8
            for flag, _ in part:
                width = self.layout.widths[flag.end.wire]
                found[flag.end.wire] = x + ways * width / 2
                x += ways * (width + BETWEEN)
        return found

    def _end(self, flag: Flag, at: Point, ways: float) -> Iterator[Drawn]:
        x, y = at
        link = Link("wire", flag.end.wire)
        words = self.ends.of(flag.end.wire, flag.end.side)
        sign = GOES_ON if flag.end.goes_on else words.sign
        yield Symbol(sign, at, mirrored=ways < 0, of=link)
        left = x + ways * (END_MM + TO_FLAG) - (flag.width if ways < 0 else 0.0)
        tall = flag.height - 1.0
        yield rectangle(left, y - tall / 2, flag.width, tall, fill="paper", pen=_FLAG, of=link)
        lines = len(flag.lines) + (bool(flag.last) and not flag.beside)
        base = y - lines * _LINE / 2 + 2.55
        for n, line in enumerate(flag.lines):
            yield Text((left + 1.0, base + n * _LINE), line, _NAME, 600, of=link)
        if flag.beside:
            right = left + flag.width - 1.0
            yield Text((right, base), flag.last, _SMALL, 400, "end", "grey", of=link)
        elif flag.last:
            yield Text((left + 1.0, base + len(flag.lines) * _LINE), flag.last, _SMALL, ink="grey", of=link)

    def _fan_boxes(self, fan: Fan) -> Iterator[Box]:
        ways = 1.0 if fan.right else -1.0
        far = fan.x + ways * (self.layout.fan_mm(fan.flags, stepped=fan.stepped) + END_MM + TO_FLAG)
        for flag, y in fan.tops():
            end = far + ways * flag.width
            yield Box(min(fan.x, end), y - flag.height / 2, max(fan.x, end), y + flag.height / 2)

    # --- tape and tube ----------------------------------------------------------------------------------

    def _cover(self, level: Level) -> Iterator[Drawn]:
        """Yield what lies around a bundle: a tube as ribs, a sleeve as a lattice; tape comes on top."""
        cover = self.covers[level.section.a, level.section.b]
        if cover.kind not in ("tube", "sleeve"):
            return
        half = self.layout.stack_mm(level.wires) / 2 + 0.9
        left, right = level.left + 2.2, level.right - 2.2
        if right - left < 3.0:
            return
        yield rectangle(left, level.y - half, right - left, 2 * half, fill="tint", pen=THIN, layer="places")
        step = 1.3 if cover.kind == "tube" else 2.4
        for k in range(1, int((right - left) / step)):
            x = left + k * step
            lean = 0.0 if cover.kind == "tube" else min(2 * half, right - x)
            yield Polyline(
                ((x, level.y - half), (x + lean, level.y - half + (lean or 2 * half))), THIN, layer="places"
            )
            if lean:
                yield Polyline(((x, level.y + half), (x + lean, level.y + half - lean)), THIN, layer="places")

    def _tapes(self) -> Iterator[Drawn]:
        for spot, (x, y) in self.block.pegs.items():
            stacks = [self.layout.stack_mm(one.wires) for one in self.block.levels
                      if spot in (one.section.a, one.section.b) and one.y == y]  # fmt: skip
            tall = max(stacks, default=1.0) + 1.2
            yield rectangle(x - 1.1, y - tall / 2, 2.2, tall, fill="grey", pen=None)
            for one in self.block.steps:
                if one.spot == spot and one.y == y:
                    half = self.layout.stack_mm(one.wires) / 2 + 0.5
                    mouth = y - tall / 2 - _TAPE_MM if one.to_y < y else y + tall / 2
                    yield rectangle(one.x - half, mouth, 2 * half, _TAPE_MM, fill="grey", pen=None)
        for level in self.block.levels:
            cover = self.covers[level.section.a, level.section.b]
            if cover.tape_m:
                tall = self.layout.stack_mm(level.wires) + 1.0
                pitch = cover.tape_m * self.layout.scale
                for k in range(1, int((level.right - level.left - 3.0) / pitch) + 1):
                    x = level.left + k * pitch
                    yield rectangle(
                        x - _TAPE_MM / 2, level.y - tall / 2, _TAPE_MM, tall, fill="ink", pen=None
                    )

    # --- pegs and names -----------------------------------------------------------------------------------

    def _pegs(self, taken: Taken) -> Iterator[Drawn]:
        for spot, (x, y) in self.block.pegs.items():
            for dx, dy in _AROUND:
                at = x + dx, y + dy
                box = Box(
                    at[0] - _PEG_MM - 0.9, at[1] - _PEG_MM - 0.9, at[0] + _PEG_MM + 0.9, at[1] + _PEG_MM + 0.9
                )
                if taken.in_the_way(box) is None:
                    break
            else:
                continue
            far = (dx * dx + dy * dy) ** 0.5
            if far > 7.0:
                k = (far - _PEG_MM) / far
                yield Polyline(((x, y), (x + dx * k, y + dy * k)), LEADER)
            yield Circle(at, _PEG_MM, "paper", FIELD)
            yield Text((at[0], at[1] + 1.0), self.letters[spot], _NAME, 600, "middle")
            taken.add(box)

    def _names(self, taken: Taken) -> Iterator[Drawn]:
        for level in self.block.levels:
            section = level.section
            about = "≈ " if not section.known else ""
            number, thick = self.numbers[section.a, section.b], f"Ø {section.thick_mm:.1f}"
            texts = [f"{number} {about}{section.metres:.2f} m {thick}", f"{number} {thick}", number]
            found = next((one for text in texts for one in self._beside(level, text, taken)), None)
            if found is not None:
                taken.add(found.box().grown(0.4))
                yield found

    def _beside(self, level: Level, text: str, taken: Taken) -> Iterator[Text]:
        """Yield the places where a name finds room above or below its bundle."""
        half = self.layout.stack_mm(level.wires) / 2 + 1.0
        middle, width = (level.left + level.right) / 2, text_width_mm(text, _NAME, 500)
        room = max(level.right - level.left - width, 0.0) / 2
        for dy in (half + 3.2, -half - 1.2, half + 6.0, -half - 4.0):
            for share in (0.0, -0.4, 0.4, -0.8, 0.8, -1.0, 1.0):
                one = Text((middle + share * room, level.y + dy), text, _NAME, 500, "middle")
                if width <= level.right - level.left + 4.0 and taken.in_the_way(one.box().grown(0.5)) is None:
                    yield one


def ruler(x: float, y: float, metres: float, scale: float) -> Iterator[Drawn]:
    """Yield a ruler in metres from the first peg on."""
    right = x + metres * scale
    yield Polyline(((x, y), (right, y)), FIELD, layer="frame")
    yield Text((x - 3.0, y + 4.2), "m", _NAME, 400, "end", "grey")
    for k in range(int(metres * 10 + 1e-6) + 1):
        long = 2.0 if k % 10 == 0 else 1.5 if k % 5 == 0 else 0.9
        at = x + k * scale / 10
        yield Polyline(((at, y), (at, y - long)), THIN if k % 10 else FIELD, layer="frame")
        if k % 10 == 0:
            yield Text((at, y + 4.2), str(k // 10), _NAME, 600, "middle")


def dimensions(
    x: float, y: float, sections: Sequence[tuple[float, str, bool]], scale: float
) -> Iterator[Drawn]:
    """Yield the line of lengths below a trunk: of each section how long it is and its path. [m]"""
    at = [x]
    for metres, _, _ in sections:
        at.append(at[-1] + metres * scale)
    yield Polyline(((at[0] - 1.5, y), (at[-1] + 1.5, y)), THIN, layer="frame")
    for one in at:
        yield Polyline(((one, y - 1.8), (one, y + 1.8)), THIN, layer="frame")
        yield Polyline(((one - 0.9, y + 0.9), (one + 0.9, y - 0.9)), FIELD, layer="frame")
    for (left, right), (metres, path, known) in zip(pairwise(at), sections, strict=True):
        text = f"{'' if known else '≈ '}{metres:.2f}"
        room = right - left - 2.6
        if text_width_mm(text, _NAME, 600) <= room:
            yield Text(((left + right) / 2, y - 1.2), text, _NAME, 600, "middle")
        if path and room > 8.0:
            yield Text(
                ((left + right) / 2, y + 4.4),
                shorten(path.replace("_", " "), room, _SMALL),
                _SMALL,
                400,
                "middle",
                "grey",
            )


__all__ = ["Painter", "dimensions", "ruler"]
