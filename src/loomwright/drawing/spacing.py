"""What a careful draughtsman keeps apart, as checks on a scene before any writer sees it.

Each check returns the places where its rule is broken, so that a test can print them; an empty tuple
means that the rule holds. `wiring_violations` runs those that bind a sheet with upright wires.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from loomwright.drawing.frame import FRAME_BOX
from loomwright.drawing.frame_foot import LOWEST
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.scene import Band, Drawn, Link, Symbol, Text, Wire, texts_of
from loomwright.drawing.spacing_marks import Neighbours, Stroke, outline, strokes_of
from loomwright.drawing.symbols import FINDINGS, SIGNS

#: Clear paper that is kept. [mm]
TEXT_TO_TEXT, TEXT_TO_WIRE = 0.15, 0.3
SYMBOL_TO_SYMBOL, SIGN_TO_ANYTHING, PLACE_TO_CONTENTS = 2.0, 0.8, 1.0
#: Slack for the rounding of sums; no eye sees it. [mm]
SLACK = 0.005


@dataclass(frozen=True, slots=True)
class Violation:
    """A rule that is broken at a spot: what is there, what was measured, what is asked."""

    rule: str
    at: Point
    what: str
    measured: float
    asked: float

    def __str__(self) -> str:
        x, y = self.at
        return f"{self.rule} at {x:.1f}, {y:.1f}: {self.what}: {self.measured:.2f}, asked {self.asked:g}"


def name_of(item: Drawn) -> str:
    """Return words by which a reader of a violation finds the item."""
    own = {Text: "text", Symbol: "symbol", Wire: "wire"}.get(type(item), type(item).__name__.lower())
    detail = item.text if isinstance(item, Text) else item.sign.name if isinstance(item, Symbol) else ""
    link = f" of {item.of.kind} {item.of.id}" if item.of else ""
    return f"{own} {detail!r}{link}" if detail else own + link


def worst_of_each(violations: Iterable[Violation]) -> tuple[Violation, ...]:
    """Return one violation for each pair of things, the worst, in the order in which they came."""
    worst: dict[tuple[str, Point, str], Violation] = {}
    for violation in violations:
        pair = violation.rule, violation.at, violation.what
        if pair not in worst or violation.measured < worst[pair].measured:
            worst[pair] = violation
    return tuple(worst.values())


def texts_with_owner(items: Sequence[Drawn]) -> list[tuple[int, Text]]:
    """Return every text of a scene with the index of the item that shows it."""
    return [(index, text) for index, item in enumerate(items) for text in texts_of(item)]


def text_on_text(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return where two texts are nearer than 0.15."""
    texts = texts_with_owner(items)
    near = Neighbours.of(text.box() for _, text in texts)
    found = []
    for index, (_, text) in enumerate(texts):
        for other in near.near(near.boxes[index], TEXT_TO_TEXT - SLACK):
            if other > index:
                gap = near.boxes[index].gap(near.boxes[other])
                what = f"{text.text!r} and {texts[other][1].text!r}"
                found.append(Violation("text on text", text.at, what, gap, TEXT_TO_TEXT))
    return tuple(found)


def text_on_ink(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return where a text meets a line or the edge of a sign, or is nearer than 0.3 to a foreign wire.

    A text with paper laid under it may cover a line that stands for nothing, such as a leader, though not a
    wire; its own wire it may not touch. The words in a sign keep clear of the sign's own lines; only the
    number of a finding may fill its sign.
    """
    strokes = [stroke for index, item in enumerate(items) for stroke in strokes_of(index, item)]
    near = Neighbours.of(stroke.box() for stroke in strokes)
    found = []
    for owner, text in texts_with_owner(items):
        box = text.box()
        for index in near.near(box, TEXT_TO_WIRE):
            stroke = strokes[index]
            asked = _kept_from(stroke, text, isinstance(items[stroke.item], Wire))
            if asked is None or (stroke.item == owner and is_finding_sign(items[owner])):
                continue
            distance = stroke.distance(box)
            if distance < asked - SLACK or (asked == 0.0 and distance <= 0.0):
                what = f"{text.text!r} and {name_of(items[stroke.item])}"
                found.append(Violation("text on ink", text.at, what, distance, asked))
    return worst_of_each(found)


def _kept_from(stroke: Stroke, text: Text, of_wire: bool) -> float | None:
    """Return how far a text keeps from a stroke; None if it may lie on it. [mm]"""
    if of_wire:
        return 0.0 if text.of is not None and text.of == stroke.of else TEXT_TO_WIRE
    return None if text.backed and stroke.of is None else 0.0


def outside(items: Sequence[Drawn], frame: Box = FRAME_BOX, lowest: float = LOWEST) -> tuple[Violation, ...]:
    """Return what lies outside the frame, frame marks left out, and texts and signs too low in the foot."""
    found = []
    for item in items:
        box = item.box()
        text_or_sign = isinstance(item, Text | Symbol)
        if item.layer == "frame" and not text_or_sign:
            continue
        inner = Box(frame.left, frame.top, frame.right, lowest if text_or_sign else frame.bottom)
        if not inner.grown(SLACK).holds(box):
            over = max(
                inner.left - box.left,
                inner.top - box.top,
                box.right - inner.right,
                box.bottom - inner.bottom,
            )
            found.append(Violation("outside the frame", box.centre, name_of(item), over, 0.0))
    return tuple(found)


def is_finding_sign(item: Drawn) -> bool:
    """Say whether an item is the sign of a finding."""
    return isinstance(item, Symbol) and item.sign in FINDINGS.values()


def in_field(items: Sequence[Drawn]) -> list[tuple[int, Symbol]]:
    """Return the symbols of the drawing itself: not of the legend, not signs of findings."""
    return [
        (index, item)
        for index, item in enumerate(items)
        if isinstance(item, Symbol) and item.layer != "frame" and not is_finding_sign(item)
    ]


def body(symbol: Symbol) -> list[Box]:
    """Return the boxes of a symbol's shapes, texts left out."""
    return [shape.box() for shape in symbol.shapes()]


def _same_thing(one: Link | None, other: Link | None) -> bool:
    """Say whether two signs stand for one thing, such as a box and a terminal of it."""
    return one is not None and other is not None and one.owner == other.owner


def symbol_on_symbol(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return where symbols of different things are nearer than 2.0."""
    symbols = [item for _, item in in_field(items)]
    boxes = [(index, box) for index, symbol in enumerate(symbols) for box in body(symbol)]
    near = Neighbours.of(box for _, box in boxes)
    worst: dict[tuple[int, int], float] = {}
    for index, box in boxes:
        for other in (boxes[found][0] for found in near.near(box, SYMBOL_TO_SYMBOL - SLACK)):
            if other > index and not _same_thing(symbols[index].of, symbols[other].of):
                gap = min(box.gap(their) for their in body(symbols[other]))
                worst[index, other] = min(gap, worst.get((index, other), gap))
    return tuple(
        Violation(
            "symbol on symbol",
            symbols[one].at,
            f"{name_of(symbols[one])} and {name_of(symbols[other])}",
            gap,
            SYMBOL_TO_SYMBOL,
        )
        for (one, other), gap in sorted(worst.items())
    )


def sign_on_anything(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return where the sign of a finding is nearer than 0.8 to anything but its own leader and entry."""
    strokes = [stroke for index, item in enumerate(items) for stroke in strokes_of(index, item)]
    texts = texts_with_owner(items)
    near_ink = Neighbours.of(stroke.box() for stroke in strokes)
    near_text = Neighbours.of(text.box() for _, text in texts)
    found = []
    for index, sign in enumerate(items):
        if not isinstance(sign, Symbol) or not is_finding_sign(sign):
            continue
        box = sign.sign.box()
        box = Box(
            box.left * sign.scale, box.top * sign.scale, box.right * sign.scale, box.bottom * sign.scale
        )
        box = box.moved(sign.at)
        for other in near_ink.near(box, SIGN_TO_ANYTHING):
            stroke = strokes[other]
            if stroke.item != index and (stroke.of is None or stroke.of != sign.of):
                distance = stroke.distance(box)
                if distance < SIGN_TO_ANYTHING - SLACK:
                    what = f"{name_of(sign)} and {name_of(items[stroke.item])}"
                    found.append(Violation("sign on something", sign.at, what, distance, SIGN_TO_ANYTHING))
        for other in near_text.near(box, SIGN_TO_ANYTHING - SLACK):
            if texts[other][0] != index:
                what = f"{name_of(sign)} and {texts[other][1].text!r}"
                gap = box.gap(near_text.boxes[other])
                found.append(Violation("sign on something", sign.at, what, gap, SIGN_TO_ANYTHING))
    return worst_of_each(found)


def place_on_contents(items: Sequence[Drawn]) -> tuple[Violation, ...]:
    """Return where the outline of a place is nearer than 1.0 to a text or symbol.

    A terminal may lie on the outline with its middle: that is how a wire leaves a place.
    """
    texts = [(text.text, text.box(), None) for _, text in texts_with_owner(items)]
    symbols = [
        (name_of(symbol), box, symbol.at if symbol.sign == SIGNS["terminal"] else None)
        for _, symbol in in_field(items)
        for box in body(symbol)
    ]
    things = [*texts, *symbols]
    near = Neighbours.of(box for _, box, _ in things)
    found = []
    for index, item in enumerate(items):
        if item.layer != "places" or isinstance(item, Text | Symbol | Wire | Band):
            continue
        for stroke in strokes_of(index, item):
            for name, box, middle in (things[other] for other in near.near(stroke.box(), PLACE_TO_CONTENTS)):
                distance = stroke.distance(box)
                lies_on = middle is not None and stroke.distance(Box(*middle, *middle)) == 0.0
                if distance < PLACE_TO_CONTENTS - SLACK and not lies_on:
                    what = f"{name_of(item)} and {name}"
                    at = outline(item)[0]
                    found.append(Violation("place on contents", at, what, distance, PLACE_TO_CONTENTS))
    return worst_of_each(found)
