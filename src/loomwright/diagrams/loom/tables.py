"""The tables below a loom: what lies in each section, how many ends there are, the order on the bench."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from loomwright.diagrams.common import length
from loomwright.drawing.ink import FIELD, THIN
from loomwright.drawing.lettering import shorten, wrap
from loomwright.drawing.scene import Drawn, Polyline, Sign, Symbol, Text
from loomwright.loom.tree import Section

from .picture import Picture, count_of

_ROW, _LINE, _SIZE = 4.6, 3.5, 2.7
#: Columns of the table of sections, from its left edge. [mm]
_FROM, _LONG, _WIRES, _THICK, _WRAP, _END = 10.0, 66.0, 82.0, 152.0, 162.0, 208.0
#: The column of ends and that of the order on the bench. [mm]
_ENDS, _ORDER = 216.0, 258.0
_HEAD = 9.0
Made = tuple[float, Callable[[float], Iterator[Drawn]]]
_Row = tuple[float, Callable[[float, float], Iterator[Drawn]]]


def head(picture: Picture, left: float, y: float) -> Iterator[Drawn]:
    """Yield the line above a loom: its name, its scale, how it is to be read."""
    loom = picture.loom
    part = f", part {picture.part}" if picture.part else ""
    name = Text((left, y), f"Loom {loom.id}  {shorten(loom.name, 90.0, 3.6, 600)}{part}", 3.6, 600)
    yield name
    says = f"1:{picture.scale}; level lengths true, steps up and down not counted; slack lies at the ends."
    if not picture.fits:
        says = ""
    elif not loom.known:
        says = (
            "not to scale: nobody says how long these paths are (≈ is shared out of the wires' lengths). "
            "Measure them by string."
        )
    yield Text((left + name.width + 4.0, y), says, 2.9, ink="grey")


def tables(picture: Picture, left: float, right: float, tallest: float) -> list[Made]:
    """Return the tables of a loom as pieces, each with its height, none taller than a sheet. [mm]"""
    parts: list[list[_Row]] = [[]]
    for row in (_row(picture, one) for one in picture.sections):
        if _HEAD + sum(height for height, _ in (*parts[-1], row)) > tallest:
            parts.append([])
        parts[-1].append(row)
    lines = [line for text in _order(picture) for line in _numbered(text, right - left - _ORDER)]
    ends = list(count_of(picture.ends, picture.tree.ends).items())
    found: list[Made] = []
    for n, rows in enumerate(parts):
        tall = _HEAD + sum(height for height, _ in rows)
        side = max(_HEAD + _LINE * len(lines) + 2.0, _HEAD + 5.2 * len(ends) + 6.0) if n == 0 else 0.0
        draw = partial(_drawn, rows, ends if n == 0 else [], lines if n == 0 else [], left, right)
        found.append((min(max(tall, side), tallest), draw))
    return found


def _drawn(
    rows: Sequence[_Row],
    ends: Sequence[tuple[str, tuple[Sign, int]]],
    lines: Sequence[tuple[str, str]],
    left: float,
    right: float,
    y: float,
) -> Iterator[Drawn]:
    yield Polyline(((left - 2.5, y), (right + 2.5, y)), FIELD, layer="frame")
    yield from _sections(rows, left, y)
    if ends:
        yield from _ends(ends, left + _ENDS, y)
    if lines:
        yield Text((left + _ORDER, y + 4.6), "Order on the bench", 3.2, 600)
    for n, (number, line) in enumerate(lines):
        base = y + 9.4 + _LINE * n
        if number:
            yield Text((left + _ORDER, base), number, _SIZE, 600)
        yield Text((left + _ORDER + 4.0, base), line, _SIZE)


def _row(picture: Picture, section: Section) -> _Row:
    number = picture.numbers[section.a, section.b]
    pegs = " to ".join(
        sorted((picture.letters[section.a], picture.letters[section.b]), key=lambda one: (len(one), one))
    )
    way = section.path.replace("_", " ") if section.path else "free"
    wires = [picture.ends.number(wire) for wire in section.wires]
    broken = wrap("  ".join(wires), _THICK - _WIRES - 3.0, _SIZE, 500)
    cover = picture.covers[section.a, section.b]
    words = wrap(cover.says, _END - _WRAP, _SIZE, most_lines=2)
    lines = max(len(broken), len(words), 1)
    height = _ROW + _LINE * (lines - 1)

    def draw(left: float, y: float) -> Iterator[Drawn]:
        base = y + 3.3
        yield Text((left, base), number, _SIZE, 600)
        yield Text((left + _FROM, base), shorten(f"{pegs}: {way}", _LONG - _FROM - 12.0, _SIZE), _SIZE)
        about = "" if section.known else "≈ "
        yield Text((left + _WIRES - 3.0, base), f"{about}{section.metres:.2f} m", _SIZE, 400, "end")
        for n, line in enumerate(broken):
            yield Text((left + _WIRES, base + _LINE * n), line, _SIZE, 500)
        yield Text((left + _WRAP - 3.0, base), f"{section.thick_mm:.1f}", _SIZE, 400, "end")
        for n, line in enumerate(words):
            yield Text((left + _WRAP, base + _LINE * n), line, _SIZE)
        yield Polyline(((left, y + height), (left + _END, y + height)), THIN, layer="frame")

    return height, draw


def _sections(
    rows: Sequence[tuple[float, Callable[[float, float], Iterator[Drawn]]]], left: float, y: float
) -> Iterator[Drawn]:
    for x, words in ((0.0, "Section"), (_WIRES, "wires in it"), (_WRAP, "wrap")):
        yield Text((left + x, y + 4.6), words, 3.2 if x == 0.0 else _SIZE, 600 if x == 0.0 else 400)
    yield Text((left + _WIRES - 3.0, y + 4.6), "length", _SIZE, 400, "end")
    yield Text((left + _WRAP - 3.0, y + 4.6), "Ø mm", _SIZE, 400, "end")
    yield Polyline(((left, y + 6.6), (left + _END, y + 6.6)), FIELD, layer="frame")
    at = y + 7.0
    for height, draw in rows:
        yield from draw(left, at)
        at += height


def _ends(ends: Sequence[tuple[str, tuple[Sign, int]]], left: float, y: float) -> Iterator[Drawn]:
    yield Text((left, y + 4.6), "Ends", 3.2, 600)
    for n, (words, (sign, count)) in enumerate(ends):
        base = y + 10.0 + 5.2 * n
        yield Symbol(sign, (left, base - 0.9), layer="frame")
        yield Text((left + 7.0, base), shorten(words, 25.0, _SIZE), _SIZE)
        yield Text((left + 38.0, base), str(count), _SIZE, 600, "end")


def _numbered(text: str, room: float) -> Iterator[tuple[str, str]]:
    number, _, words = text.partition(" ")
    for n, line in enumerate(wrap(words, room - 4.0, _SIZE)):
        yield (number if n == 0 else ""), line


def _order(picture: Picture) -> Iterator[str]:
    """Yield the steps of making a loom, each with its number."""
    job, tree = picture.job, picture.tree
    last = picture.letters[tree.trunk[-1]]
    first = picture.letters[tree.trunk[0]]
    yield f"1 Drive the pegs in: trunk {first} to {last} by the ruler, then the branches."
    wires = sorted(tree.wires, key=lambda one: -(job.wires[one].area_mm2 or 0.0))
    thick = [one for one in wires if (job.wires[one].area_mm2 or 0.0) >= 6.0]
    thin = [one for one in wires if one not in thick]
    n = 2
    for words, group in (("Thick ones first, they set the trunk", thick), ("Then", thin)):
        if group:
            told = ", ".join(f"{picture.ends.number(one)} {length(job.wires[one])}".strip() for one in group)
            yield f"{n} {words}: {told}."
            n += 1
    short = [one for one in wires if (tail := picture.looms.tail_m(one, tree)) is not None and tail < 0.05]
    if short:
        told = ", ".join(picture.ends.number(one) for one in short)
        yield f"{n} Measure before you cut: {told}: the typed length leaves no slack on this way."
        n += 1
    for loose, beside in tree.cuts:
        one, other = picture.letters.get(loose), picture.letters.get(beside)
        if one and other:
            yield f"{n} Pegs {one} and {other} are one place in the van: tie them together there."
            n += 1
    yield f"{n} Label both ends before you cut the next wire."
    yield f"{n + 1} Tape the branches, then tube and sleeve, then the rest of the tape."
    yield f"{n + 2} Crimp, pull each end, ring out each wire."


__all__ = ["Made", "head", "tables"]
