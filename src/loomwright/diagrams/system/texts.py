"""Lines of text in boxes: an id with its name, a fact; what boxes take their words from. All in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.drawing.geometry import Point
from loomwright.drawing.lettering import Weight, shorten, text_width_mm
from loomwright.drawing.scene import Anchor, Link, Text

from .levels import Level
from .things import USED, Graph, Thing
from .words import title_of

#: From the edge of a box to its words. [mm]
PAD = 2.0
#: Title and line of text, as shares of their sizes, from one base line to the next.
TITLE_PITCH, LINE_PITCH = 1.3, 1.24


@dataclass(frozen=True, slots=True)
class Pages:
    """What the words of boxes are taken from."""

    graph: Graph
    job: Assessment
    level: Level
    mains: bool = False
    columns: tuple[float, float] = (0.0, 0.0)


def link_of(thing: Thing) -> Link:
    """Return what a thing's items belong to: its part, or the run whose loads are joined there."""
    return Link("part", thing.id) if thing.part is not None else Link("wire", thing.id.rstrip("~"))


def text_line(
    thing: Thing,
    at: Point,
    text: str,
    room: float,
    size: float,
    weight: Weight = 400,
    anchor: Anchor = "start",
    grey: bool = False,
) -> Iterator[Text]:
    """Yield a text that fits, nothing if there is no room worth a word."""
    if text and room > 2.0:
        fitted = shorten(text, room, size, weight)
        if fitted != "…":
            yield Text(at, fitted, size, weight, anchor, "grey" if grey else "ink", of=link_of(thing))


def title_line(thing: Thing, left: float, base: float, room: float, size: float) -> Iterator[Text]:
    """Yield the id in heavy letters and, if there is room, its name behind it, cut between words."""
    id, name = title_of(thing)
    width = text_width_mm(id, size, 600)
    size = size if width <= room else max(2.5, 0.8 * size, size * room / width * 0.999)
    yield from text_line(thing, (left, base), id, room, size, 600)
    used = text_width_mm(id, size, 600) + behind(name, size)
    told = cut_between_words(name, room - used, size) if thing.field == USED else name
    if told and text_width_mm(told, size) <= room - used:
        yield from text_line(thing, (left + used, base), told, room - used, size, 400)


def cut_between_words(text: str, room: float, size: float) -> str:
    """Return the words of a text that fit, ended by "…" if there are more; "" if not one does."""
    words = text.split()
    for count in range(len(words), 0, -1):
        cut = " ".join(words[:count]) + ("…" if count < len(words) else "")
        if text_width_mm(cut, size) <= room:
            return "" if cut == "·…" else cut
    return ""


def behind(name: str, size: float) -> float:
    """Return the room between an id and what stands behind it."""
    return size * (0.25 if name.startswith("·") else 0.4)
