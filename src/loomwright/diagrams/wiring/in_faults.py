"""The wiring diagram banded by how soon a short is over, with the word at each wire and where it changes.

Nothing is laid out anew: what is drawn at rest is drawn again with a band behind each feed. A band turns
into another where the answer does, as far along the line as that is along the wire.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import dist

from loomwright.assessment.along_record import FAST, FOLDS, NEVER, NOT_KNOWN, SLOW, SOON, Along, Stretch
from loomwright.assessment.record import Assessment
from loomwright.drawing.geometry import Point, cut_out, length_along
from loomwright.drawing.scene import Band, Drawn, Link, Pattern, Text, Wire
from loomwright.plan.pieces import Piece

from .canvas import Canvas
from .labels import Form, Line, beside_line
from .marks import Marks, WireMark

KEY = "Short over: plain under 0.1 s, dots 5 s, slant slow, cross never. Red edge: it burns."
PATTERNS: Mapping[str, tuple[Pattern, ...]] = {
    FAST: (),
    SOON: ("dots",),
    SLOW: ("slant",),
    NEVER: ("cross",),
    FOLDS: ("cross",),
}
#: The words as they stand at a wire, and shorter where there is little room.
_SAID: Mapping[str, tuple[str, ...]] = {
    FAST: (FAST, "0.1 s"),
    SOON: (SOON, "5 s"),
    SLOW: (SLOW,),
    NEVER: (NEVER,),
    FOLDS: (FOLDS, "folds"),
    NOT_KNOWN: (NOT_KNOWN, "?"),
}
_SIZE, _LEAST = 2.6, 5.0


@dataclass(frozen=True, slots=True)
class InFaults:
    """When shorts are over, for drawing.

    Attributes
    ----------
    along : mapping of str to Along
        By piece of wire.
    joined : mapping of str to str
        By leg of no length, the piece at whose end it hangs.
    marks : Marks
        Of the sheet.
    whole : frozenset of str
        Pieces of which one sheet has everything, in one column.
    """

    along: Mapping[str, Along]
    joined: Mapping[str, str]
    marks: Marks
    whole: frozenset[str]

    def drawn(self, items: Iterable[Drawn]) -> list[Drawn]:
        """Return the items of a sheet with a band behind each wire that a short is looked at on."""
        return [new for item in items for new in (*self._bands(item), item)]

    def _bands(self, item: Drawn) -> Iterator[Band]:
        if not isinstance(item, Wire) or item.of is None or item.of.kind != "wire":
            return
        for points, stretch in self._parts(item, item.of.id):
            if stretch.word != NOT_KNOWN:
                yield Band(
                    points, PATTERNS[stretch.word], item.half_width + 1.2, edged=stretch.harmed, of=item.of
                )

    def _parts(self, item: Wire, id: str) -> Iterator[tuple[tuple[Point, ...], Stretch]]:
        """Give the parts of a line, each with the stretch that it stands for."""
        one = self.along.get(id)
        if item.points in self.marks.stubs:
            return
        if one is None:
            if id in self.joined:
                yield item.points, self.along[self.joined[id]].stretches[-1]
            return
        lines = self.marks.laid.get(id, [])
        if len(one.stretches) == 1 or id not in self.whole or item.points not in [p for p, _ in lines]:
            yield item.points, worst_of(one)
            return
        yield from self._cut(item.points, one, lines)

    def _cut(
        self, points: tuple[Point, ...], one: Along, lines: Sequence[tuple[tuple[Point, ...], bool | None]]
    ) -> Iterator[tuple[tuple[Point, ...], Stretch]]:
        """Cut a line where the wire's stretches end; its lines lie one below the other."""
        down = sorted(lines, key=lambda line: min(y for _, y in line[0]))
        begins = bool(down[0][1])
        total = sum(length_along(line) for line, _ in down)
        before = sum(length_along(line) for line, _ in down[: [line for line, _ in down].index(points)])
        own, metres = length_along(points), one.at_m[-1]
        for stretch in one.stretches if begins else reversed(one.stretches):
            ends = [stretch.from_m / metres, stretch.to_m / metres]
            first, last = ends if begins else (1.0 - ends[1], 1.0 - ends[0])
            start, end = max(first * total - before, 0.0), min(last * total - before, own)
            if end - start > 1e-6:
                yield cut_out(points, start, end), stretch

    # --- words at the wires --------------------------------------------------------------------------

    def worded(self, canvas: Canvas) -> Iterator[Text]:
        """Give the word of each stretch beside it, once for each wire and word, where there is room."""
        said: set[tuple[str, str]] = set()
        for mark in self.marks.wires:
            for top, bottom, stretch in self._upright(mark):
                key = mark.piece.id, stretch.word
                if key in said or bottom - top < _LEAST:
                    continue
                texts = _word(canvas, mark, (top, bottom), stretch)
                if texts:
                    said.add(key)
                    yield from texts

    def _upright(self, mark: WireMark) -> Iterator[tuple[float, float, Stretch]]:
        """Give the upright parts of a line at a mark, each with its stretch."""
        one = self.along.get(mark.piece.id)
        if one is None or mark.stub:
            return
        lines = self.marks.laid.get(mark.piece.id, [])
        own = [line for line, _ in lines if any(_near(x, mark.x) for x, _ in line)]
        if len(one.stretches) == 1 or mark.piece.id not in self.whole or not own:
            yield mark.top, mark.bottom, worst_of(one)
            return
        for line in own:
            for points, stretch in self._cut(line, one, lines):
                ys = [y for x, y in points if _near(x, mark.x)]
                if len(ys) > 1:
                    yield max(min(ys), mark.top), min(max(ys), mark.bottom), stretch


def _word(canvas: Canvas, mark: WireMark, reach: tuple[float, float], stretch: Stretch) -> list[Text] | None:
    of = Link("wire", mark.piece.id)
    forms: list[Form] = [(Line(word, _SIZE, 600),) for word in _SAID[stretch.word]]
    return beside_line(canvas, forms, mark.x, reach, mark.half + 0.6, of, start=0.5)


def metres_on(
    along: Mapping[str, Along], marks: Marks, whole: Iterable[str]
) -> dict[str, list[list[tuple[float, float, float]]]]:
    """Return by wire its lines, corner by corner: where on the sheet, and which metre of the wire. [mm, m]

    The metre is the share of the drawn way. Only of wires that are drawn whole in one column it can be told.
    """
    found: dict[str, list[list[tuple[float, float, float]]]] = {}
    for id in whole:
        if id not in along or id not in marks.laid:
            continue
        down = sorted(marks.laid[id], key=lambda line: min(y for _, y in line[0]))
        begins, metres = bool(down[0][1]), along[id].at_m[-1]
        total, done = sum(length_along(line) for line, _ in down), 0.0
        found[id] = []
        for points, _ in down:
            far = [done + length_along(points[: k + 1]) for k in range(len(points))]
            shares = [one / total if begins else 1.0 - one / total for one in far]
            found[id].append([(x, y, metres * share) for (x, y), share in zip(points, shares, strict=True)])
            done = far[-1]
    return found


def worst_of(one: Along) -> Stretch:
    """Return the stretch that a whole wire is drawn by: one that harms, else that with the gravest word."""
    return next((s for s in one.stretches if s.harmed), next(s for s in one.stretches if s.word == one.word))


def joined_to(job: Assessment) -> dict[str, str]:
    """Return by leg of no length the piece at whose end it hangs."""
    along = job.faults.along
    return {
        piece.id: piece.run
        for piece in job.wiring.pieces()
        if piece.role == "leg" and piece.id not in along and piece.run in along
    }


def pieces_in_one_line(sheets: Sequence[Marks]) -> frozenset[str]:
    """Return the pieces that are drawn in one column of one sheet, whose beginning is known."""
    found: dict[str, int] = {}
    for marks in sheets:
        for id, lines in marks.laid.items():
            columns = {round(x, 2) for line, _ in lines for x, _ in line}
            known = all(begins is not None for _, begins in lines) and len({b for _, b in lines}) == 1
            found[id] = found.get(id, 0) + (1 if known and len(columns) == 1 else 2)
    return frozenset(id for id, count in found.items() if count == 1)


def begins_above(piece: Piece, above: Iterable[str], below: Iterable[str]) -> bool | None:
    """Say whether a wire begins at the upper end of its line; None if that can't be told.

    Parameters
    ----------
    piece : Piece
        The wire.
    above, below : iterable of str
        The points that lie at the upper and at the lower end of it.
    """
    up, down = set(above), set(below)
    if piece.a in up or piece.b in down:
        return True
    return False if piece.b in up or piece.a in down else None


def _near(one: float, other: float) -> bool:
    return dist((one,), (other,)) < 0.01


__all__ = ["KEY", "InFaults", "begins_above", "joined_to", "metres_on", "pieces_in_one_line", "worst_of"]
