"""A sheet as DXF R2010: layers, blocks for signs with attributes, true colours, the same bytes again.

y is turned upwards and 1 unit is 1 mm. Ink is colour 7, so that it shows on a dark screen and on paper;
all other colours are true colours. A text is fitted between its measured ends, so that it stays in its
place whatever face the reader has. Each entity carries the kind and id of what it stands for as
extended data, each block its id as a hidden attribute. Paper laid under signs and texts is a wipeout.
"""

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from io import StringIO
from typing import TYPE_CHECKING, Any

from loomwright.drawing.geometry import Placement, Point, arc_points, cut_out, length_along, stretches
from loomwright.drawing.ink import DAY, EDGE, PATTERN, Pen, Token
from loomwright.drawing.lettering import CAP_HEIGHT_EM, clean, with_held_letters
from loomwright.drawing.scene import (
    LAYERS,
    Arc,
    Band,
    Circle,
    Drawn,
    Item,
    Polygon,
    Polyline,
    Shape,
    Sheet,
    Sign,
    Symbol,
    Text,
    Wire,
)

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.layouts.base import BaseLayout

#: The widths of lines that DXF knows. [1/100 mm]
_LINE_WEIGHTS = (18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100, 106, 120, 140, 158, 200, 211)
#: From this width on a line is drawn as a band of that width, since screens often hide line weights. [mm]
_BAND_MM = 1.0
_APP = "LOOMWRIGHT"
_FACES = {400: "LoomwrightSans-Regular", 500: "LoomwrightSans-Medium", 600: "LoomwrightSans-SemiBold"}
_MONO = "LoomwrightMono-Regular"


def to_dxf(sheet: Sheet) -> bytes:
    """Return a sheet as one DXF document, in model space, its lower left corner at (0, 0).

    Parameters
    ----------
    sheet : Sheet
        What to draw; one layer of DXF for each of its layers.

    Returns
    -------
    bytes
        DXF R2010, UTF-8.
    """
    with _fixed_times():
        document = _drawn(sheet)
        text = StringIO()
        document.write(text)
    return document.encode(text.getvalue())


def _drawn(sheet: Sheet) -> "Drawing":
    """Return a document with all items of a sheet in its model space."""
    from ezdxf.filemanagement import new  # takes a fifth of a second, which only a DXF should cost

    document = new("R2010", units=4)  # millimetres
    set_wipeouts: Any = document.set_wipeout_variables  # has no types of its own
    set_wipeouts(frame=0)
    document.appids.add(_APP)
    document.header.custom_vars.append("Title", clean(sheet.title))
    document.header.custom_vars.append("Subject", clean(sheet.description))
    for name in LAYERS:
        document.layers.add(name, color=7)
    for face in (*_FACES.values(), _MONO):
        document.styles.add(face, font=f"{face}.ttf")
    writer = _Writer(document, sheet.height)
    for layer in LAYERS:
        for item in sheet.in_layer(layer):
            writer.draw(item)
    return document


@contextmanager
def _fixed_times() -> Iterator[None]:
    """Keep moments and random ids out of the file while it is written."""
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def plain(text: str) -> str:
    """Return a text in which no letters mean something to a DXF reader (%%d, ^I, \\\\U+00B0)."""
    text = re.sub("%(?=%)|(?<=%)%", "%%%", text).replace("^", "^ ")
    return re.sub(r"\\(?=[UuMm]\+)", r"\\ ", text)


class _Writer:
    """Draws items into the model space of one document."""

    def __init__(self, document: "Drawing", height: float) -> None:
        self.document = document
        self.space = document.modelspace()
        self.height = height

    def draw(self, item: Drawn) -> None:
        """Draw one item."""
        match item:
            case Text():
                self._text(item)
            case Wire():
                self._wire(item)
            case Symbol():
                self._symbol(item)
            case Band():
                self._band(item)
            case _:
                for made in _shape(self.document, self.space, item, self.height, true_ink=False):
                    _link(made, item)

    def _band(self, band: Band) -> None:
        pen = Pen(band.fill, 2 * band.half_width)
        _link(_polyline(self.document, self.space, band.points, pen, self.height, band=True), band)
        for ends in band.strokes():
            _link(_polyline(self.document, self.space, ends, PATTERN, self.height), band)
        if band.edged:
            _link(_polyline(self.document, self.space, band.edge(), EDGE, self.height), band)

    def _text(self, text: Text) -> None:
        if text.text:
            if text.backed:
                _link(
                    _filled(self.space, _up(text.box().corners(), self.height), "paper", true_ink=False), text
                )
            made = self.space.add_text("", height=text.size * CAP_HEIGHT_EM)
            _set_text(made, text, self.height)
            _link(made, text)

    def _wire(self, wire: Wire) -> None:
        line = Pen("ink", wire.core, wire.dash)
        if not wire.colours:
            for _, points in wire.pieces():
                _link(_polyline(self.document, self.space, points, line, self.height), wire)
            return
        outline = Pen("wire_outline", 2 * wire.half_width, wire.dash)
        for start, points in wire.pieces():
            drawn = [(points, outline), (points, Pen(wire.colours[0], wire.core, wire.dash))]
            for second in wire.colours[1:]:
                bands = stretches(length_along(points), wire.bands, start)
                drawn += [(cut_out(points, *band), Pen(second, wire.core)) for band in bands]
            for part, pen in drawn:
                made = _polyline(self.document, self.space, part, pen, self.height, band=True)
                _link(made, wire)

    def _symbol(self, symbol: Symbol) -> None:
        insert = self.space.add_blockref(
            _block(self.document, symbol.sign, symbol.scale),
            (symbol.at[0], self.height - symbol.at[1]),
            dxfattribs={"xscale": -1.0 if symbol.mirrored else 1.0, "rotation": -symbol.turn},
        )
        _link(insert, symbol)
        names = [slot.name for slot in symbol.sign.slots]
        for name, text in zip(names, symbol.slot_texts(), strict=True):
            if text is not None:
                made = insert.add_attrib(name.upper(), "", (0, 0), {"height": text.size * CAP_HEIGHT_EM})
                _set_text(made, text, self.height)
                made.dxf.layer = symbol.layer
        if symbol.of:
            hidden = insert.add_attrib("ID", plain(clean(symbol.of.id)), insert.dxf.insert, {"height": 2.0})
            hidden.is_invisible = True
            hidden.dxf.layer = symbol.layer


def _link(made: "DXFGraphic", item: Item) -> None:
    """Put an entity on its item's layer and write down what it stands for."""
    made.dxf.layer = item.layer
    if item.of:
        made.set_xdata(_APP, [(1000, item.of.kind), (1000, clean(item.of.id)[:255])])


def _colour(ink: Token, *, true_ink: bool = False) -> dict[str, int]:
    if ink in ("ink", "wire_outline") and not true_ink:
        return {"color": 256}
    return {"true_color": int(DAY[ink][1:], 16)}


def _pen(document: "Drawing", pen: Pen, *, true_ink: bool = False) -> dict[str, Any]:
    wanted = round(pen.width * 100)
    weight = min(_LINE_WEIGHTS, key=lambda known: abs(known - wanted))
    attributes: dict[str, Any] = {"lineweight": weight, **_colour(pen.ink, true_ink=true_ink)}
    if pen.dash:
        attributes["linetype"] = _line_type(document, pen.dash)
    return attributes


def _line_type(document: "Drawing", dash: tuple[float, ...]) -> str:
    """Return the name of a line type with this pattern, made when first asked for."""
    name = "DASH_" + "_".join(f"{step:.2f}" for step in dash)
    if name not in document.linetypes:
        steps = [step if index % 2 == 0 else -step for index, step in enumerate(dash)]
        document.linetypes.add(name, pattern=[sum(dash), *steps])
    return name


def _up(points: Iterable[Point], height: float) -> list[Point]:
    return [(x, height - y) for x, y in points]


def _polyline(
    document: "Drawing",
    space: "BaseLayout",
    points: Iterable[Point],
    pen: Pen,
    height: float,
    *,
    closed: bool = False,
    band: bool = False,
    true_ink: bool = False,
) -> "DXFGraphic":
    """Draw a line, as a band of its true width if it is wide or is to be one."""
    attributes = _pen(document, pen, true_ink=true_ink)
    if band or pen.width >= _BAND_MM:
        attributes |= {"const_width": pen.width, "lineweight": 0}
    return space.add_lwpolyline(_up(points, height), close=closed, dxfattribs=attributes)


def _shape(
    document: "Drawing", space: "BaseLayout", shape: Shape, height: float, *, true_ink: bool
) -> Iterator["DXFGraphic"]:
    """Draw one shape and yield its entities."""
    match shape:
        case Polyline(points=points, pen=pen):
            yield _polyline(document, space, points, pen, height, true_ink=true_ink)
        case Polygon(points=points, fill=fill, pen=pen):
            if fill:
                yield _filled(space, _up(points, height), fill, true_ink=true_ink)
            if pen:
                yield _polyline(document, space, points, pen, height, closed=True, true_ink=true_ink)
        case Circle(centre=centre, radius=radius, fill=fill, pen=pen):
            if fill:
                edge = _up(arc_points(centre, radius, 0.0, 360.0)[:-1], height)
                yield _filled(space, edge, fill, true_ink=true_ink)
            if pen:
                attributes = _pen(document, pen, true_ink=true_ink)
                yield space.add_circle((centre[0], height - centre[1]), radius, dxfattribs=attributes)
        case Arc(centre=(x, y), radius=radius, start_deg=start, sweep_deg=sweep, pen=pen):
            yield space.add_arc(
                (x, height - y), radius, -(start + sweep), -start, dxfattribs=_pen(document, pen)
            )


def _filled(space: "BaseLayout", edge: list[Point], fill: Token, *, true_ink: bool) -> "DXFGraphic":
    """Fill a shape with ink, or hide with paper what lies under it."""
    if fill == "paper":
        return space.add_wipeout(edge)
    hatch = space.add_hatch(dxfattribs=_colour(fill, true_ink=true_ink))
    hatch.paths.add_polyline_path(edge, is_closed=True)
    return hatch


def _block(document: "Drawing", sign: Sign, scale: float) -> str:
    """Return the name of the block of a sign, made when first asked for; its content is on layer 0.

    A sign drawn smaller has a block of its own, because line weights and dashes do not shrink with an insert.
    """
    name = sign.name if scale == 1.0 else f"{sign.name}_at_{scale:.3f}"
    if name not in document.blocks:
        block = document.blocks.new(name)
        place = Placement((0.0, 0.0), scale=scale)
        on_dark = any(slot.ink in ("paper", "on_danger") for slot in sign.slots)
        for shape in sign.shapes:
            for _ in _shape(document, block, shape.placed(place), 0.0, true_ink=on_dark):
                pass
        for slot in sign.slots:
            x, y = place.point(slot.at)
            size = slot.size * scale * CAP_HEIGHT_EM
            block.add_attdef(slot.name.upper(), (x, -y), slot.default, height=size)
    return name


def _set_text(made: Any, text: Text, height: float) -> None:
    """Fit a text between its measured ends."""
    from ezdxf.enums import TextEntityAlignment

    made.dxf.text = plain(with_held_letters(text.text, text.weight, text.mono))
    made.dxf.style = _MONO if text.mono else _FACES[text.weight]
    for name, value in _colour(text.ink).items():
        made.dxf.set(name, value)
    start = {"start": 0.0, "middle": -text.width / 2, "end": -text.width}[text.anchor]
    x, y = text.at
    ends = [(x + s, height - y) if text.upright else (x, height - y + s) for s in (start, start + text.width)]
    made.dxf.rotation = 0.0 if text.upright else 90.0
    made.set_placement(*ends, align=TextEntityAlignment.FIT)
