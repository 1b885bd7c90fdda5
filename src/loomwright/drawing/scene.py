"""What is drawn on a sheet: a display list in millimetres that any writer can replay.

Nothing here knows electrics. An item knows its layer, its box, and which thing of the plan it stands
for (`of`), so that a page can link to it and a test can tell a wire's own label from a foreign one.
Items are drawn layer by layer, within a layer in the order given: the same list gives the same bytes.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import pairwise
from math import dist
from typing import Literal, NamedTuple, get_args

from loomwright.drawing.geometry import (
    Box,
    Placement,
    Point,
    Turn,
    box_of_boxes,
    box_of_points,
    cut_out,
    length_along,
)
from loomwright.drawing.ink import (
    EARTH_DASH_MM,
    SECOND_COLOUR_DASH_MM,
    SYMBOL,
    WIRE_OUTLINE_MM,
    Pen,
    Token,
)
from loomwright.drawing.lettering import CAP_HEIGHT_EM, Weight, clean, text_extent_mm, text_width_mm

#: From the bottom of the sheet to the top.
Layer = Literal["frame", "places", "overlay", "rails", "wires", "symbols", "text", "findings"]
LAYERS: tuple[Layer, ...] = get_args(Layer)
Anchor = Literal["start", "middle", "end"]
#: How much of a text lies before the point that it is set at.
_BEFORE: Mapping[Anchor, float] = {"start": 0.0, "middle": 0.5, "end": 1.0}
#: Clear paper around a text that has paper laid under it. [mm]
BACKING_MM = 0.4


class Link(NamedTuple):
    """The thing of the plan that an item stands for, such as ("wire", "W4.return")."""

    kind: Literal["wire", "part", "terminal", "place", "stud", "finding", "entry", "corner"]
    id: str

    @property
    def owner(self) -> "Link":
        """The part whose terminal this is; any other thing stands for itself."""
        return Link("part", self.id.rpartition(".")[0]) if self.kind == "terminal" else self


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """What all drawn things have: a layer, and the thing they stand for."""

    layer: Layer = "symbols"
    of: Link | None = None


def _scaled(pen: Pen, scale: float) -> Pen:
    """Return the pen for a sign drawn smaller or larger; a line never gets thinner than 0.18 mm."""
    if scale == 1.0:
        return pen
    return Pen(pen.ink, max(0.18, pen.width * scale), tuple(step * scale for step in pen.dash))


@dataclass(frozen=True, slots=True)
class Polyline(Item):
    """An open line through two points or more."""

    points: tuple[Point, ...]
    pen: Pen = SYMBOL

    def box(self) -> Box:
        """Return the box of the inked line."""
        return box_of_points(self.points, self.pen.width / 2)

    def placed(self, place: Placement) -> "Polyline":
        """Return the line as part of a placed sign."""
        pen = _scaled(self.pen, place.scale)
        return replace(self, points=tuple(map(place.point, self.points)), pen=pen)


@dataclass(frozen=True, slots=True)
class Polygon(Item):
    """A closed shape, filled, outlined or both."""

    points: tuple[Point, ...]
    fill: Token | None = None
    pen: Pen | None = None

    def box(self) -> Box:
        """Return the box of the inked shape."""
        return box_of_points(self.points, self.pen.width / 2 if self.pen else 0.0)

    def placed(self, place: Placement) -> "Polygon":
        """Return the shape as part of a placed sign."""
        points = tuple(map(place.point, self.points))
        return replace(self, points=points, pen=self.pen and _scaled(self.pen, place.scale))


def rectangle(
    left: float,
    top: float,
    width: float,
    height: float,
    *,
    fill: Token | None = None,
    pen: Pen | None = SYMBOL,
    layer: Layer = "symbols",
    of: Link | None = None,
) -> Polygon:
    """Return an upright rectangle."""
    right, bottom = left + width, top + height
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Polygon(corners, fill, pen, layer=layer, of=of)


@dataclass(frozen=True, slots=True)
class Circle(Item):
    """A circle, filled, outlined or both."""

    centre: Point
    radius: float
    fill: Token | None = None
    pen: Pen | None = SYMBOL

    def box(self) -> Box:
        """Return the box of the inked circle."""
        return box_of_points((self.centre,), self.radius + (self.pen.width / 2 if self.pen else 0.0))

    def placed(self, place: Placement) -> "Circle":
        """Return the circle as part of a placed sign."""
        return replace(
            self,
            centre=place.point(self.centre),
            radius=self.radius * place.scale,
            pen=self.pen and _scaled(self.pen, place.scale),
        )


@dataclass(frozen=True, slots=True)
class Arc(Item):
    """Part of a circle, from `start_deg` clockwise over `sweep_deg`; 0° points right, 90° down."""

    centre: Point
    radius: float
    start_deg: float
    sweep_deg: float
    pen: Pen = SYMBOL

    def box(self) -> Box:
        """Return the box of the whole circle, which is never too small."""
        return box_of_points((self.centre,), self.radius + self.pen.width / 2)

    def placed(self, place: Placement) -> "Arc":
        """Return the arc as part of a placed sign."""
        start = self.start_deg + self.sweep_deg if place.mirrored else self.start_deg
        return replace(
            self,
            centre=place.point(self.centre),
            radius=self.radius * place.scale,
            start_deg=place.angle(start) % 360.0,
            pen=_scaled(self.pen, place.scale),
        )


@dataclass(frozen=True, slots=True)
class Text(Item):
    """One line of text; `at` is on the base line, at the left, middle or right as `anchor` says.

    `upright=False` turns it to read upwards, for axes and dimensions. `backed` lays paper under it.
    """

    at: Point
    text: str
    size: float = 3.0
    weight: Weight = 400
    anchor: Anchor = "start"
    ink: Token = "ink"
    mono: bool = False
    upright: bool = True
    backed: bool = False
    layer: Layer = field(default="text", kw_only=True)

    def __post_init__(self) -> None:
        object.__setattr__(self, "text", clean(self.text))

    @property
    def width(self) -> float:
        """How far the text runs. [mm]"""
        return text_width_mm(self.text, self.size, self.weight, self.mono)

    def box(self) -> Box:
        """Return the box of the letters, with the paper laid under them, if any."""
        width, above, below = text_extent_mm(self.text, self.size, self.weight, self.mono)
        start = -width * _BEFORE[self.anchor]
        (x, y), end = self.at, start + width
        box = Box(x + start, y - above, x + end, y + below)
        if not self.upright:
            box = Box(x - above, y - end, x + below, y - start)
        return box.grown(BACKING_MM) if self.backed else box


Shape = Polyline | Polygon | Circle | Arc


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for a text in a sign. The text stays level however the sign is turned.

    `at` is the middle of the capitals' height; `default` is shown if the symbol gives no value.
    """

    name: str
    at: Point
    default: str = ""
    size: float = 2.9
    weight: Weight = 400
    anchor: Anchor = "middle"
    ink: Token = "ink"


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign of the drawing language, in its own coordinates around (0, 0)."""

    name: str
    title: str
    shapes: tuple[Shape, ...]
    terminals: Mapping[str, Point]
    slots: tuple[Slot, ...] = ()

    def __hash__(self) -> int:
        return hash(self.name)

    def box(self) -> Box:
        """Return the box of the shapes, slots left out."""
        return box_of_boxes(_boxes_at_origin(self, 0, False, 1.0))


@lru_cache(maxsize=1024)
def _boxes_at_origin(sign: Sign, turn: Turn, mirrored: bool, scale: float) -> tuple[Box, ...]:
    """Return the box of each shape of a sign placed at (0, 0): a sign is drawn many times on a sheet."""
    place = Placement((0.0, 0.0), turn, mirrored, scale)
    return tuple(shape.placed(place).box() for shape in sign.shapes)


#: No letter on a sheet is smaller, so that it still reads when A3 is printed on A4. [mm]
SMALLEST_TYPE_MM = 2.5


@dataclass(frozen=True, slots=True)
class Poses:
    """What a sign is when it moves: the name of what moves it, and the sign in each of its positions."""

    of: str
    signs: Mapping[str, Sign]


@dataclass(frozen=True, slots=True)
class Symbol(Item):
    """A sign placed on the sheet, with the texts for its slots; `poses` if it is one that moves."""

    sign: Sign
    at: Point
    turn: Turn = 0
    mirrored: bool = False
    scale: float = 1.0
    values: tuple[tuple[str, str], ...] = ()
    poses: Poses | None = None

    @property
    def place(self) -> Placement:
        """How the sign comes to lie on the sheet."""
        return Placement(self.at, self.turn, self.mirrored, self.scale)

    def terminal(self, name: str) -> Point:
        """Return where a terminal of the sign lies on the sheet."""
        return self.place.point(self.sign.terminals[name])

    def shapes(self) -> tuple[Shape, ...]:
        """Return the shapes as they lie on the sheet."""
        return tuple(replace(shape.placed(self.place), layer=self.layer) for shape in self.sign.shapes)

    def shape_boxes(self) -> Iterator[Box]:
        """Yield the box of each shape as it lies on the sheet."""
        boxes = _boxes_at_origin(self.sign, self.turn, self.mirrored, self.scale)
        return (box.moved(self.at) for box in boxes)

    def slot_texts(self) -> tuple[Text | None, ...]:
        """Return the text of each slot as it lies on the sheet; None for a slot left empty."""
        given = dict(self.values)
        filled = ((slot, given.get(slot.name, slot.default)) for slot in self.sign.slots)
        return tuple(self._slot_text(slot, text) if text else None for slot, text in filled)

    def texts(self) -> tuple[Text, ...]:
        """Return the texts of the filled slots."""
        return tuple(text for text in self.slot_texts() if text is not None)

    def _slot_text(self, slot: Slot, text: str) -> Text:
        x, y = self.place.point(slot.at)
        size = max(slot.size * self.scale, SMALLEST_TYPE_MM)
        turned = self.mirrored != (self.turn == 180)
        anchor: Anchor = slot.anchor
        if turned and slot.anchor != "middle":
            anchor = "end" if slot.anchor == "start" else "start"
        base_line = y + CAP_HEIGHT_EM * size / 2
        return Text((x, base_line), text, size, slot.weight, anchor, slot.ink, layer=self.layer, of=self.of)

    def box(self) -> Box:
        """Return the box of shapes and texts."""
        return box_of_boxes([*self.shape_boxes(), *(text.box() for text in self.texts())])


@dataclass(frozen=True, slots=True)
class Wire(Item):
    """A conductor: a core in one or two colours with an outline; without colours a plain ink line.

    `gaps` are the stretches left open where it passes another wire, as distances from its first point;
    `lies_at` names the point that a line hangs on which stands for no thing of the plan.
    """

    points: tuple[Point, ...]
    core: float
    colours: tuple[Token, ...] = ()
    dash: tuple[float, ...] = ()
    gaps: tuple[tuple[float, float], ...] = ()
    lies_at: str = ""
    layer: Layer = field(default="wires", kw_only=True)

    @property
    def half_width(self) -> float:
        """From the middle to the outer edge of the outline. [mm]"""
        return self.core / 2 + (WIRE_OUTLINE_MM if self.colours else 0.0)

    @property
    def bands(self) -> tuple[float, float]:
        """Pattern of the second colour: drawn and left out, from the first point. [mm]"""
        return EARTH_DASH_MM if set(self.colours) == {"GN", "YE"} else SECOND_COLOUR_DASH_MM

    def box(self) -> Box:
        """Return the box of the outline."""
        return box_of_points(self.points, self.half_width)

    def pieces(self) -> list[tuple[float, tuple[Point, ...]]]:
        """Return the drawn pieces between gaps, each with its distance from the first point."""
        if not self.gaps:
            return [(0.0, self.points)]
        edges = [0.0, *(edge for gap in sorted(self.gaps) for edge in gap), length_along(self.points)]
        pairs = zip(edges[::2], edges[1::2], strict=True)
        return [(start, cut_out(self.points, start, end)) for start, end in pairs if end > start]


Pattern = Literal["dots", "slant", "cross"]


@dataclass(frozen=True, slots=True)
class Band(Item):
    """A band that lies behind a line and says something of it: a tint, with any patterns on it.

    One that is `edged` has a line of danger around it; `fill` is its tint.
    """

    points: tuple[Point, ...]
    patterns: tuple[Pattern, ...] = ()
    half_width: float = 1.7
    edged: bool = False
    fill: Token = "band"
    layer: Layer = field(default="overlay", kw_only=True)

    def box(self) -> Box:
        """Return the box of the band."""
        return box_of_points(self.points, self.half_width)

    def edge(self) -> tuple[Point, ...]:
        """Return the line around it, closed."""
        left = aside(self.points, self.half_width)
        right = aside(self.points[::-1], self.half_width)
        return (*left, *right, left[0])

    def strokes(self) -> Iterator[tuple[Point, Point]]:
        """Yield the short strokes of its patterns, all of one pen."""
        half, step = self.half_width, 2.4
        for a, b in pairwise(self.points):
            length = dist(a, b)
            along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length else (0.0, 0.0)

            def at(far: float, aside: float, a: Point = a, along: Point = along) -> Point:
                return a[0] + far * along[0] - aside * along[1], a[1] + far * along[1] + aside * along[0]

            for number in range(int(length / step)):
                middle = (number + 0.5) * step
                if "dots" in self.patterns:
                    off = half * 0.62 * (1 if number % 2 else -1)
                    yield at(middle - 0.3, off), at(middle + 0.3, off)
                if {"slant", "cross"} & set(self.patterns):
                    yield at(middle - 0.7, -half), at(middle + 0.7, half)
                if "cross" in self.patterns:
                    yield at(middle - 0.7, half), at(middle + 0.7, -half)


def aside(points: Sequence[Point], far: float) -> list[Point]:
    """Return a line moved to its left, corner by corner; sharp corners are not drawn out to a point. [mm]"""
    corners = [points[0], *(b for a, b in pairwise(points) if a != b)]
    steps = [(b[0] - a[0], b[1] - a[1], dist(a, b)) for a, b in pairwise(corners)]
    ways = [(x / long, y / long) for x, y, long in steps]
    found = []
    for k, (x, y) in enumerate(corners):
        one, other = ways[max(k - 1, 0)], ways[min(k, len(ways) - 1)]
        stretch = far / max(0.25, (1.0 + one[0] * other[0] + one[1] * other[1]))
        found.append((x + stretch * (one[1] + other[1]), y - stretch * (one[0] + other[0])))
    return found


Drawn = Shape | Text | Symbol | Wire | Band


def texts_of(item: Drawn) -> tuple[Text, ...]:
    """Return the texts that an item shows."""
    if isinstance(item, Symbol):
        return item.texts()
    return (item,) if isinstance(item, Text) else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet of paper and all that stands on it."""

    width: float
    height: float
    title: str
    description: str
    items: tuple[Drawn, ...]

    def in_layer(self, layer: Layer) -> tuple[Drawn, ...]:
        """Return the items of one layer, in the order in which they are drawn."""
        return tuple(item for item in self.items if item.layer == layer)
