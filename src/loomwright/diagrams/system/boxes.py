"""Boxes with their words: sources and chargers, bars, units, rows of what is used."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from loomwright.assessment.record import Assessment
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import PLANNED, UNIT
from loomwright.drawing.lettering import shorten, text_width_mm, wrap
from loomwright.drawing.scene import Drawn, Shape, Sign, Symbol, Text, rectangle

from .layout import Layout
from .levels import Level
from .rooms import Measures, width_of
from .rows import list_boxes, mains_words, row_words
from .texts import (
    LINE_PITCH,
    PAD,
    TITLE_PITCH,
    Pages,
    behind,
    cut_between_words,
    link_of,
    text_line,
    title_line,
)
from .things import USED, Line, Thing
from .words import details, title_of

#: Room for the names of ways at the right of a combined unit. [mm]
_WAYS = 11.0
_BARS = ("fuse_box", "busbar", "splice", "joint")


def is_bar(thing: Thing) -> bool:
    """Say whether a thing is drawn as a bar with its name above."""
    return thing.kind in _BARS and thing.wired and thing.field != USED


def measures(pages: Pages) -> dict[str, Measures]:
    """Return the room that each thing asks for."""
    return {thing.id: _measures(thing, pages) for thing in pages.graph.things.values()}


def _measures(thing: Thing, pages: Pages) -> Measures:
    level = pages.level
    if pages.mains:
        return Measures(level.row_height, 0.0, False, level.edge)
    if is_bar(thing):
        return Measures(6.0, _text_height(level, len(_bar_lines(thing, pages))) + 0.6, True, level.edge)
    count = len(_lines(thing, pages, width_of(thing, level), _WAYS if thing.kind == "unit" else 0.0))
    lead = level.title * TITLE_PITCH + 2.0 if thing.kind == "unit" else level.edge
    grows = thing.kind in ("unit", "battery", "control_panel")
    return Measures(_text_height(level, count) + 1.6, 0.0, grows, lead)


def _facts(thing: Thing, pages: Pages) -> tuple[str, ...]:
    """Return the facts of a thing: the same on every page that is tried of one graph."""
    known = pages.graph.facts
    if thing.id not in known:
        known[thing.id] = details(thing, pages.job)
    return known[thing.id]


def _lines(thing: Thing, pages: Pages, width: float, kept: float, most: int | None = None) -> list[str]:
    """Return the lines of a box, broken to its width: the facts that fit whole, the most telling first.

    At the right `kept` is left to the names of ways. With `most` lines a given name that had no room behind
    the id comes first; without, for the height of the box, names do not count.
    """
    level, room = pages.level, width - 2 * PAD - kept
    name = "" if most is None else _name_below(thing, level, width)
    most = most if most is not None else level.lines + (3 if level.lines > 1 or thing.kind == "unit" else 0)
    found = [name] if name and most > 1 else []
    for fact in _merged(_facts(thing, pages), room, level.text):
        place = fact.startswith("in ") and text_width_mm(fact, level.text) > room
        rows = wrap(fact.removeprefix("in ") if place else fact, room, level.text)
        if len(found) + len(rows) <= most:
            found += rows
        elif not found and most > 0:
            found += wrap(fact, room, level.text, most_lines=most)
    return found


def _name_below(thing: Thing, level: Level, width: float) -> str:
    """Return a given name that does not fit behind the id, "" if it does or only says the kind again."""
    id, name = title_of(thing)
    if thing.part is None or thing.part.name is None or not name:
        return ""
    room = width - 2 * PAD
    used = text_width_mm(id, level.title, 600) + behind(name, level.title)
    fits = used + text_width_mm(name, level.title) <= room
    plain = name.removeprefix("· ")
    known = plain.casefold() == thing.kind.replace("_", " ")
    return "" if fits or known else cut_between_words(plain, room, level.text)


def _merged(facts: Sequence[str], room: float, size: float) -> tuple[str, ...]:
    """Return facts with a voltage on one line with what follows, if both fit there."""
    both = " · ".join(facts[:2])
    if len(facts) < 2 or not facts[0].endswith(" V") or facts[1].startswith("in "):
        return tuple(facts)
    return (both, *facts[2:]) if text_width_mm(both, size) <= room else tuple(facts)


def _bar_lines(thing: Thing, pages: Pages) -> list[str]:
    """Return the lines above a bar: voltage and ways, or where it is; two at most, none in a list."""
    level = pages.level
    most = min(2, level.lines) if level.row else 0
    facts = _merged(_facts(thing, pages), level.bar_words, level.text)
    fitting = [fact for fact in facts if text_width_mm(fact, level.text) <= level.bar_words]
    told = [fact for fact in fitting if not fact.startswith("in ")]
    return (told or fitting)[:most]


def _text_height(level: Level, lines: int) -> float:
    return level.title * TITLE_PITCH + lines * level.text * LINE_PITCH + (0.6 if lines else 0.2)


def heads(pages: Pages) -> dict[str, float]:
    """Return the width of the words above each bar; a given name takes the room that its kind would."""
    found = {}
    for thing in pages.graph.things.values():
        if is_bar(thing):
            unnamed = replace(thing, part=replace(thing.part, name=None)) if thing.part else thing
            id, name = title_of(unnamed)
            size = pages.level.title
            found[thing.id] = 0.5 + max(
                text_width_mm(f"{id} {name}".strip(), size, 600),
                *(text_width_mm(line, pages.level.text) for line in ("", *_bar_lines(thing, pages))),
            )
    return found


def draw_boxes(
    layout: Layout, pages: Pages, ways: Mapping[str, Sequence[tuple[float, str]]]
) -> Iterator[Drawn]:
    """Yield all boxes; `ways` are the names at the right edge of a thing, with their heights."""
    rows = [
        thing for thing in pages.graph.things.values() if thing.field == USED and thing.id in layout.boxes
    ]
    for number, thing in enumerate(pages.graph.things.values()):
        if thing.id not in layout.boxes or (thing.field == USED and pages.level.row == 0):
            continue
        box, terminals = layout.boxes[thing.id], layout.terminals.get(thing.id, ())
        yield _box_symbol(f"box_{number}", thing, box, terminals)
        if pages.mains:
            yield from mains_words(
                thing, box, (box.top + box.bottom) / 2 + pages.level.text * 0.35, pages.level
            )
        elif thing.field == USED:
            yield from row_words(thing, box, pages)
        elif is_bar(thing):
            yield from _bar_words(thing, box, pages, ways.get(thing.id, ()), heads(pages)[thing.id])
        else:
            yield from _box_words(thing, box, pages, ways.get(thing.id, ()))
    if pages.level.row == 0:
        yield from list_boxes(rows, layout, pages)


def _box_symbol(name: str, thing: Thing, box: Box, terminals: Sequence[Point]) -> Symbol:
    shapes: tuple[Shape, ...] = (
        rectangle(0.0, 0.0, box.width, box.height, fill="paper", pen=UNIT if thing.wired else PLANNED),
    )
    ends = {str(place): (x - box.left, y - box.top) for place, (x, y) in enumerate(terminals)}
    sign = Sign(name, thing.id, shapes, ends)
    return Symbol(sign, (box.left, box.top), of=link_of(thing))


def _box_words(thing: Thing, box: Box, pages: Pages, ways: Sequence[tuple[float, str]]) -> Iterator[Drawn]:
    level = pages.level
    kept = _WAYS if ways else 0.0
    left, room = box.left + PAD, box.width - 2 * PAD
    base = box.top + level.title * TITLE_PITCH
    yield from title_line(thing, left, base, room, level.title)
    pitch = level.text * LINE_PITCH
    base += pitch + 0.2
    fit = int((box.bottom - 0.6 - 0.3 * level.text - base) / pitch + 1.001)
    place = thing.part.place if thing.part else None
    for line in _lines(thing, pages, box.width, kept, fit):
        grey = line in (place, f"in {place}") or not thing.wired
        yield from text_line(thing, (left, base), line, room - kept, level.text, grey=grey)
        base += pitch
    for y, name in ways:
        if y - 0.8 > box.top + level.title * TITLE_PITCH + 0.9:
            yield from text_line(
                thing, (box.right - 1.2, y + 0.9), name, kept - 1.0, 2.6, 400, "end", grey=True
            )


def _bar_words(
    thing: Thing, box: Box, pages: Pages, ways: Sequence[tuple[float, str]], width: float
) -> Iterator[Drawn]:
    """Yield the name and one line above a bar, set to its right edge, and the ways inside."""
    level = pages.level
    lines = _bar_lines(thing, pages)
    room = max(box.width, min(width, level.bar_words))
    base = box.top - 1.2 - level.text * LINE_PITCH * len(lines)
    id, name = title_of(thing)
    id = shorten(id, room, level.title, 600)
    name_room = room - text_width_mm(id, level.title, 600) - behind(name, level.title)
    right = box.right
    if name and text_width_mm(name, level.title) <= name_room:
        yield Text((right, base), name, level.title, 400, "end", of=link_of(thing))
        right -= text_width_mm(name, level.title) + behind(name, level.title)
    yield Text((right, base), id, level.title, 600, "end", of=link_of(thing))
    for place, line in enumerate(reversed(lines)):
        at = (box.right, box.top - 1.2 - level.text * LINE_PITCH * place)
        yield from text_line(thing, at, line, room, level.text, 400, "end", grey=True)
    for y, way in ways:
        at = ((box.left + box.right) / 2, y + 0.9)
        yield from text_line(thing, at, way, box.width - 1.0, 2.5, 400, "middle")


def way_names(line: Line, job: Assessment) -> str:
    """Return the way or port at which a line leaves a box, "" if it has none."""
    wire = job.wires.get(line.wires[0]) if line.wires else None
    if wire is None or not wire.from_.startswith(f"{line.start}."):
        return ""
    return wire.from_[len(line.start) + 1 :]
