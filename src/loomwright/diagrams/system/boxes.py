"""Boxes with their words: sources and chargers, bars, units, rows of what is used."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from loomwright.assessment.record import Assessment
from loomwright.drawing.geometry import Box, Point
from loomwright.drawing.ink import PLANNED, THIN, UNIT
from loomwright.drawing.lettering import Weight, shorten, text_width_mm, wrap
from loomwright.drawing.scene import Anchor, Drawn, Link, Polyline, Shape, Sign, Symbol, Text, rectangle

from .layout import Layout
from .levels import Level
from .rooms import Measures, width_of
from .things import USED, Graph, Line, Thing
from .words import consumer_wire, details, switched_by, takes, title_of

_PAD = 2.0
#: Room for the names of ways at the right of a combined unit. [mm]
_WAYS = 11.0
_BARS = ("fuse_box", "busbar", "splice", "joint")
#: Title and line of text, as shares of their sizes, from one base line to the next.
_TITLE_PITCH, _LINE_PITCH = 1.3, 1.24


@dataclass(frozen=True, slots=True)
class Pages:
    """What the words of boxes are taken from."""

    graph: Graph
    job: Assessment
    level: Level
    mains: bool = False
    columns: tuple[float, float] = (0.0, 0.0)


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
    lead = level.title * _TITLE_PITCH + 2.0 if thing.kind == "unit" else level.edge
    grows = thing.kind in ("unit", "battery", "control_panel")
    return Measures(_text_height(level, count) + 1.6, 0.0, grows, lead)


def _lines(thing: Thing, pages: Pages, width: float, kept: float, most: int | None = None) -> list[str]:
    """Return the lines of a box, broken to its width: the facts that fit whole, the most telling first.

    At the right `kept` is left to the names of ways. With `most` lines a given name that had no room behind
    the id comes first; without, for the height of the box, names do not count.
    """
    level, room = pages.level, width - 2 * _PAD - kept
    name = "" if most is None else _name_below(thing, level, width)
    most = most if most is not None else level.lines + (3 if level.lines > 1 or thing.kind == "unit" else 0)
    found = [name] if name and most > 1 else []
    for fact in _merged(details(thing, pages.job), room, level.text):
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
    room = width - 2 * _PAD
    used = text_width_mm(id, level.title, 600) + _behind(name, level.title)
    fits = used + text_width_mm(name, level.title) <= room
    plain = name.removeprefix("· ")
    known = plain.casefold() == thing.kind.replace("_", " ")
    return "" if fits or known else _cut_between_words(plain, room, level.text)


def _behind(name: str, size: float) -> float:
    """Return the room between an id and what stands behind it."""
    return size * (0.25 if name.startswith("·") else 0.4)


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
    facts = _merged(details(thing, pages.job), level.bar_words, level.text)
    fitting = [fact for fact in facts if text_width_mm(fact, level.text) <= level.bar_words]
    told = [fact for fact in fitting if not fact.startswith("in ")]
    return (told or fitting)[:most]


def _text_height(level: Level, lines: int) -> float:
    return level.title * _TITLE_PITCH + lines * level.text * _LINE_PITCH + (0.6 if lines else 0.2)


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
            yield from _mains_words(
                thing, box, (box.top + box.bottom) / 2 + pages.level.text * 0.35, pages.level
            )
        elif thing.field == USED:
            yield from _row(thing, box, pages)
        elif is_bar(thing):
            yield from _bar_words(thing, box, pages, ways.get(thing.id, ()), heads(pages)[thing.id])
        else:
            yield from _box_words(thing, box, pages, ways.get(thing.id, ()))
    if pages.level.row == 0:
        yield from _lists(rows, layout, pages)


def _box_symbol(name: str, thing: Thing, box: Box, terminals: Sequence[Point]) -> Symbol:
    shapes: tuple[Shape, ...] = (
        rectangle(0.0, 0.0, box.width, box.height, fill="paper", pen=UNIT if thing.wired else PLANNED),
    )
    ends = {str(place): (x - box.left, y - box.top) for place, (x, y) in enumerate(terminals)}
    sign = Sign(name, thing.id, shapes, ends)
    return Symbol(sign, (box.left, box.top), of=_link(thing))


def _link(thing: Thing) -> Link:
    return Link("part", thing.id) if thing.part is not None else Link("wire", thing.id.rstrip("~"))


def _text(
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
            yield Text(at, fitted, size, weight, anchor, "grey" if grey else "ink", of=_link(thing))


def _title(thing: Thing, left: float, base: float, room: float, size: float) -> Iterator[Text]:
    """Yield the id in heavy letters and, if there is room, its name behind it, cut between words."""
    id, name = title_of(thing)
    width = text_width_mm(id, size, 600)
    size = size if width <= room else max(2.5, 0.8 * size, size * room / width * 0.999)
    yield from _text(thing, (left, base), id, room, size, 600)
    used = text_width_mm(id, size, 600) + _behind(name, size)
    behind = _cut_between_words(name, room - used, size) if thing.field == USED else name
    if behind and text_width_mm(behind, size) <= room - used:
        yield from _text(thing, (left + used, base), behind, room - used, size, 400)


def _cut_between_words(text: str, room: float, size: float) -> str:
    """Return the words of a text that fit, ended by "…" if there are more; "" if not one does."""
    words = text.split()
    for count in range(len(words), 0, -1):
        cut = " ".join(words[:count]) + ("…" if count < len(words) else "")
        if text_width_mm(cut, size) <= room:
            return "" if cut == "·…" else cut
    return ""


def _box_words(thing: Thing, box: Box, pages: Pages, ways: Sequence[tuple[float, str]]) -> Iterator[Drawn]:
    level = pages.level
    kept = _WAYS if ways else 0.0
    left, room = box.left + _PAD, box.width - 2 * _PAD
    base = box.top + level.title * _TITLE_PITCH
    yield from _title(thing, left, base, room, level.title)
    pitch = level.text * _LINE_PITCH
    base += pitch + 0.2
    fit = int((box.bottom - 0.6 - 0.3 * level.text - base) / pitch + 1.001)
    place = thing.part.place if thing.part else None
    for line in _lines(thing, pages, box.width, kept, fit):
        grey = line in (place, f"in {place}") or not thing.wired
        yield from _text(thing, (left, base), line, room - kept, level.text, grey=grey)
        base += pitch
    for y, name in ways:
        if y - 0.8 > box.top + level.title * _TITLE_PITCH + 0.9:
            yield from _text(thing, (box.right - 1.2, y + 0.9), name, kept - 1.0, 2.6, 400, "end", grey=True)


def _bar_words(
    thing: Thing, box: Box, pages: Pages, ways: Sequence[tuple[float, str]], width: float
) -> Iterator[Drawn]:
    """Yield the name and one line above a bar, set to its right edge, and the ways inside."""
    level = pages.level
    lines = _bar_lines(thing, pages)
    room = max(box.width, min(width, level.bar_words))
    base = box.top - 1.2 - level.text * _LINE_PITCH * len(lines)
    id, name = title_of(thing)
    id = shorten(id, room, level.title, 600)
    name_room = room - text_width_mm(id, level.title, 600) - _behind(name, level.title)
    right = box.right
    if name and text_width_mm(name, level.title) <= name_room:
        yield Text((right, base), name, level.title, 400, "end", of=_link(thing))
        right -= text_width_mm(name, level.title) + _behind(name, level.title)
    yield Text((right, base), id, level.title, 600, "end", of=_link(thing))
    for place, line in enumerate(reversed(lines)):
        at = (box.right, box.top - 1.2 - level.text * _LINE_PITCH * place)
        yield from _text(thing, at, line, room, level.text, 400, "end", grey=True)
    for y, way in ways:
        at = ((box.left + box.right) / 2, y + 0.9)
        yield from _text(thing, at, way, box.width - 1.0, 2.5, 400, "middle")


def _row(thing: Thing, box: Box, pages: Pages) -> Iterator[Drawn]:
    """Yield the words of one thing that is used: name, current, wire, fuse and area."""
    level, job = pages.level, pages.job
    left, room = box.left + _PAD, box.width - 2 * _PAD
    draws, wire = takes(thing, job), consumer_wire(thing, pages.graph, job)
    by = switched_by(thing, pages.graph)
    if level.row == 1:
        base = (box.top + box.bottom) / 2 + level.text * 0.35
        yield from _columns(thing, box, base, pages)
        return
    base = box.top + level.title * _TITLE_PITCH
    top_room = room
    if level.row == 2 and draws:
        yield from _text(thing, (box.right - _PAD, base), draws, room * 0.6, level.text, 400, "end")
        top_room = room - min(text_width_mm(draws, level.text), room * 0.6) - 2.0
    yield from _title(thing, left, base, top_room, level.title)
    base += level.text * _LINE_PITCH + 0.3
    if level.row == 3:
        yield from _text(thing, (left, base), draws, room, level.text)
        by_room = room - (text_width_mm(draws, level.text) + 2.0 if draws else 0.0)
        at = (box.right - _PAD, base) if draws else (left, base)
        yield from _text(thing, at, by, by_room, level.text, 400, "end" if draws else "start", grey=True)
        base += level.text * _LINE_PITCH if draws or by else 0.0
        by = ""
    spare = room - text_width_mm(wire, level.text) - 2.0
    by_room = min(text_width_mm(by, level.text), max(room * 0.45, spare)) if by else 0.0
    yield from _text(thing, (left, base), wire, room - by_room - (2.0 if by else 0.0), level.text, grey=True)
    yield from _text(thing, (box.right - _PAD, base), by, by_room + 0.1, level.text, 400, "end", grey=True)


def _columns(thing: Thing, box: Box, base: float, pages: Pages) -> Iterator[Text]:
    """Yield one line in three columns: name, current, wire."""
    size = pages.level.text
    left, room = box.left + 1.4, box.width - 2.8
    draws, wire = takes(thing, pages.job), consumer_wire(thing, pages.graph, pages.job)
    draw_room, wire_room = pages.columns
    name_room = room - draw_room - wire_room - 2.0
    yield from _title(thing, left, base, name_room, size)
    yield from _text(thing, (left + name_room + 1.0, base), draws, draw_room, size)
    yield from _text(thing, (box.right - 1.4, base), wire, wire_room, size, 400, "end", grey=True)


def row_columns(graph: Graph, job: Assessment, level: Level) -> tuple[float, float]:
    """Return the widths of the columns for current and wire: what they need, names keeping three tenths."""
    used = [thing for thing in graph.things.values() if thing.field == USED]
    room = level.widths[USED] - 4.8
    draws = max((text_width_mm(takes(thing, job), level.text) for thing in used), default=0.0) + 0.1
    wires = max((text_width_mm(consumer_wire(thing, graph, job), level.text) for thing in used), default=0.0)
    wire_room = min(wires + 0.1, room * 0.5)
    return min(draws, room * 0.7 - wire_room), wire_room


def cut_words(graph: Graph, job: Assessment, level: Level, columns: tuple[float, float]) -> int:
    """Return how many words of rows of one line are cut: names, currents and wires."""
    draw_room, wire_room = columns
    name_room = level.widths[USED] - 4.8 - draw_room - wire_room
    size = level.text
    used = [thing for thing in graph.things.values() if thing.field == USED]
    return sum(
        (text_width_mm(title_of(thing)[0], size, 600) > name_room)
        + (text_width_mm(takes(thing, job), size) > draw_room)
        + (text_width_mm(consumer_wire(thing, graph, job), size) > wire_room)
        for thing in used
    )


def _mains_words(thing: Thing, box: Box, base: float, level: Level) -> Iterator[Text]:
    """Yield the one line of a mains part: its name, and what is told of it at the right."""
    told = ", ".join(thing.words)
    room = box.width - 3.2
    used = min(text_width_mm(told, level.text), room * 0.6)
    yield from _text(thing, (box.right - 1.6, base), told, used + 0.05, level.text, 400, "end", grey=True)
    yield from _title(thing, box.left + 1.6, base, room - used - 1.5, level.text)


def _lists(rows: Sequence[Thing], layout: Layout, pages: Pages) -> Iterator[Drawn]:
    """Yield rows set close, as lists with thin lines between, one list for each box that feeds them."""
    ordered = sorted(rows, key=lambda thing: layout.boxes[thing.id].top)
    groups: list[list[Thing]] = []
    for thing in ordered:
        box = layout.boxes[thing.id]
        if groups and abs(layout.boxes[groups[-1][-1].id].bottom - box.top) < 0.01:
            groups[-1].append(thing)
        else:
            groups.append([thing])
    for number, group in enumerate(groups):
        first, last = layout.boxes[group[0].id], layout.boxes[group[-1].id]
        outer = Box(first.left, first.top, first.right, last.bottom)
        pen = UNIT if any(thing.wired for thing in group) else PLANNED
        shapes: list[Shape] = [rectangle(0.0, 0.0, outer.width, outer.height, fill="paper", pen=pen)]
        for thing in group[1:]:
            y = layout.boxes[thing.id].top - outer.top
            shapes.append(Polyline(((0.0, y), (outer.width, y)), THIN))
        points = [point for thing in group for point in layout.terminals.get(thing.id, ())]
        ends = {str(place): (x - outer.left, y - outer.top) for place, (x, y) in enumerate(points)}
        yield Symbol(Sign(f"list_{number}", "list", tuple(shapes), ends), (outer.left, outer.top))
        for thing in group:
            box = layout.boxes[thing.id]
            base = (box.top + box.bottom) / 2 + pages.level.text * 0.3
            if pages.mains:
                yield from _mains_words(thing, box, base, pages.level)
                continue
            yield from _columns(thing, box, base, pages)


def way_names(line: Line, job: Assessment) -> str:
    """Return the way or port at which a line leaves a box, "" if it has none."""
    wire = job.wires.get(line.wires[0]) if line.wires else None
    if wire is None or not wire.from_.startswith(f"{line.start}."):
        return ""
    return wire.from_[len(line.start) + 1 :]
