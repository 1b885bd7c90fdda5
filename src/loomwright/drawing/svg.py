"""A sheet as SVG: presentation attributes only, real text, the same bytes every time.

A drawing that lies in a page uses the page's own font files and carries no style, so that a strict
content policy holds; a file that travels alone carries the faces it uses in one `<style>`.
"""

import base64
import math
from collections.abc import Iterable, Iterator, Mapping
from importlib.resources import files
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import DAY, EDGE, EVENING, PATTERN, Pen, Token
from loomwright.drawing.lettering import all_letters_held, clean
from loomwright.drawing.scene import (
    LAYERS,
    Arc,
    Band,
    Circle,
    Drawn,
    Link,
    Polygon,
    Polyline,
    Shape,
    Sheet,
    Symbol,
    Text,
    Wire,
    texts_of,
)

SANS = "Loomwright Sans"
MONO = "Loomwright Mono"
FAMILY = f"'{SANS}','IBM Plex Sans Condensed','DejaVu Sans Condensed',sans-serif"
MONO_FAMILY = f"'{MONO}','IBM Plex Mono','DejaVu Sans Mono',monospace"
_STYLES = {400: "Regular", 500: "Medium", 600: "SemiBold"}


def to_svg(sheet: Sheet, *, inline_fonts: bool, evening: bool = False) -> bytes:
    """Return a sheet as one SVG document.

    Parameters
    ----------
    sheet : Sheet
        What to draw.
    inline_fonts : bool
        Carry the faces used, as data in one `<style>`; without it the file carries no style at all.
    evening : bool
        Take the evening colours; for the screen only.

    Returns
    -------
    bytes
        UTF-8; items of one thing of the plan are grouped in `<g data-kind data-id>`.
    """
    writer = _Writer(EVENING if evening else DAY)
    width, height = _number(sheet.width), _number(sheet.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" font-family="{FAMILY}" fill="none">',
        f"<title>{escape(clean(sheet.title))}</title>",
        f"<desc>{escape(clean(sheet.description))}</desc>",
    ]
    if inline_fonts:
        lines.append(f"<style>{''.join(_font_faces(sheet))}</style>")
    lines.append(f'<rect width="{width}" height="{height}" fill="{writer.colours["paper"]}"/>')
    for layer in LAYERS:
        items = sheet.in_layer(layer)
        if items:
            lines += [f'<g data-layer="{layer}">', *writer.grouped(items), "</g>"]
    return "\n".join([*lines, "</svg>", ""]).encode()


def _font_faces(sheet: Sheet) -> Iterator[str]:
    """Yield a rule with the font file for each face used on the sheet."""
    texts = [text for item in sheet.items for text in texts_of(item)]
    faces = sorted({(MONO, 400) if text.mono else (SANS, text.weight) for text in texts})
    for family, weight in faces:
        name = f"fonts/{family.replace(' ', '')}-{_STYLES[weight]}.woff2"
        data = base64.b64encode(files("loomwright.drawing").joinpath(name).read_bytes()).decode("ascii")
        yield (
            f"@font-face{{font-family:'{family}';font-weight:{weight};"
            f"src:url(data:font/woff2;base64,{data}) format('woff2')}}"
        )


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _path(points: Iterable[Point], end: str = "") -> str:
    return "M" + "L".join(f"{_number(x)} {_number(y)}" for x, y in points) + end


class _Writer:
    """Turns items into elements, in one set of colours."""

    def __init__(self, colours: Mapping[Token, str]) -> None:
        self.colours = colours

    def grouped(self, items: Iterable[Drawn]) -> Iterator[str]:
        """Yield the elements of items; neighbours that stand for the same thing share a group."""
        for link, run in groupby(items, key=lambda item: item.of):
            elements = "".join(element for item in run for element in self.elements(item))
            yield elements if link is None else f"{_open_group(link)}{elements}</g>"

    def elements(self, item: Drawn) -> Iterator[str]:
        """Yield the elements of one item."""
        match item:
            case Text():
                yield self._text(item)
            case Wire():
                yield from self._wire(item)
            case Band():
                yield from self._band(item)
            case Symbol():
                moves = f" data-device={quoteattr(clean(item.poses.of))}" if item.poses else ""
                yield f'<g data-sign="{item.sign.name}"{moves}>'
                yield from map(self._shape, item.shapes())
                yield from map(self._text, item.texts())
                yield "</g>"
            case _:
                yield self._shape(item)

    def _shape(self, shape: Shape) -> str:
        match shape:
            case Polyline(points=points, pen=pen):
                return f'<path d="{_path(points)}"{self._stroke(pen)}/>'
            case Polygon(points=points, fill=fill, pen=pen):
                return f'<path d="{_path(points, "Z")}"{self._fill(fill)}{self._stroke(pen)}/>'
            case Circle(centre=(x, y), radius=radius, fill=fill, pen=pen):
                place = f'cx="{_number(x)}" cy="{_number(y)}" r="{_number(radius)}"'
                return f"<circle {place}{self._fill(fill)}{self._stroke(pen)}/>"
            case Arc(pen=pen):
                return f'<path d="{_arc(shape)}"{self._stroke(pen)}/>'

    def _fill(self, ink: Token | None) -> str:
        return f' fill="{self.colours[ink]}"' if ink else ""

    def _stroke(self, pen: Pen | None) -> str:
        if pen is None:
            return ""
        dash = f' stroke-dasharray="{" ".join(map(_number, pen.dash))}"' if pen.dash else ""
        return f' stroke="{self.colours[pen.ink]}" stroke-width="{_number(pen.width)}"{dash}'

    def _text(self, text: Text) -> str:
        x, y = _number(text.at[0]), _number(text.at[1])
        marks = [f'x="{x}" y="{y}" font-size="{_number(text.size)}"']
        if text.mono:
            marks.append(f'font-family="{MONO_FAMILY}"')
        elif text.weight != 400:
            marks.append(f'font-weight="{text.weight}"')
        if text.anchor != "start":
            marks.append(f'text-anchor="{text.anchor}"')
        if not text.upright:
            marks.append(f'transform="rotate(-90 {x} {y})"')
        if not all_letters_held(text.text, text.weight, text.mono):
            marks.append(f'textLength="{_number(text.width)}" lengthAdjust="spacingAndGlyphs"')
        backing = ""
        if text.backed:
            backing = self._shape(Polygon(text.box().corners(), "paper"))
        return f"{backing}<text {' '.join(marks)}{self._fill(text.ink)}>{escape(text.text)}</text>"

    def _band(self, band: Band) -> Iterator[str]:
        pen = Pen(band.fill, 2 * band.half_width)
        yield f'<path d="{_path(band.points)}" stroke-linejoin="round"{self._stroke(pen)}/>'
        strokes = "".join(_path(ends) for ends in band.strokes())
        if strokes:
            yield f'<path d="{strokes}"{self._stroke(PATTERN)}/>'
        if band.edged:
            yield f'<path d="{_path(band.edge())}"{self._stroke(EDGE)}/>'

    def _wire(self, wire: Wire) -> Iterator[str]:
        for start, points in wire.pieces():
            path = f'<path d="{_path(points)}" stroke-linejoin="round"'
            if not wire.colours:
                yield f"{path}{self._stroke(Pen('ink', wire.core, wire.dash))}/>"
                continue
            yield f"{path}{self._stroke(Pen('wire_outline', 2 * wire.half_width, wire.dash))}/>"
            yield f"{path}{self._stroke(Pen(wire.colours[0], wire.core, wire.dash))}/>"
            if len(wire.colours) > 1:
                bands = wire.bands
                offset = f' stroke-dashoffset="{_number(start % sum(bands))}"' if start % sum(bands) else ""
                yield f"{path}{self._stroke(Pen(wire.colours[1], wire.core, bands))}{offset}/>"


def _open_group(link: Link) -> str:
    return f"<g data-kind={quoteattr(link.kind)} data-id={quoteattr(clean(link.id))}>"


def _arc(arc: Arc) -> str:
    (x, y), radius = arc.centre, arc.radius
    ends = [math.radians(arc.start_deg + sweep) for sweep in (0.0, arc.sweep_deg)]
    (x0, y0), (x1, y1) = ((x + radius * math.cos(a), y + radius * math.sin(a)) for a in ends)
    r, large = _number(radius), int(arc.sweep_deg > 180.0)
    return f"M{_number(x0)} {_number(y0)}A{r} {r} 0 {large} 1 {_number(x1)} {_number(y1)}"
