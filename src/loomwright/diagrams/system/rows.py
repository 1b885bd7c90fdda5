"""Rows of what is used and boxes of the mains: of three lines, two, one, or a line of a list. All in mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomwright.assessment.record import Assessment
from loomwright.drawing.geometry import Box
from loomwright.drawing.ink import PLANNED, THIN, UNIT
from loomwright.drawing.lettering import text_width_mm
from loomwright.drawing.scene import Drawn, Polyline, Shape, Sign, Symbol, Text, rectangle

from .layout import Layout
from .levels import Level
from .texts import LINE_PITCH, PAD, TITLE_PITCH, Pages, text_line, title_line
from .things import USED, Graph, Thing
from .words import consumer_wire, switched_by, takes, title_of


def row_words(thing: Thing, box: Box, pages: Pages) -> Iterator[Drawn]:
    """Yield the words of one thing that is used: name, current, wire, fuse and area."""
    level, job = pages.level, pages.job
    left, room = box.left + PAD, box.width - 2 * PAD
    draws, wire = takes(thing, job), consumer_wire(thing, pages.graph, job)
    by = switched_by(thing, pages.graph)
    if level.row == 1:
        base = (box.top + box.bottom) / 2 + level.text * 0.35
        yield from _columns(thing, box, base, pages)
        return
    base = box.top + level.title * TITLE_PITCH
    top_room = room
    if level.row == 2 and draws:
        yield from text_line(thing, (box.right - PAD, base), draws, room * 0.6, level.text, 400, "end")
        top_room = room - min(text_width_mm(draws, level.text), room * 0.6) - 2.0
    yield from title_line(thing, left, base, top_room, level.title)
    base += level.text * LINE_PITCH + 0.3
    if level.row == 3:
        yield from text_line(thing, (left, base), draws, room, level.text)
        by_room = room - (text_width_mm(draws, level.text) + 2.0 if draws else 0.0)
        at = (box.right - PAD, base) if draws else (left, base)
        yield from text_line(thing, at, by, by_room, level.text, 400, "end" if draws else "start", grey=True)
        base += level.text * LINE_PITCH if draws or by else 0.0
        by = ""
    spare = room - text_width_mm(wire, level.text) - 2.0
    by_room = min(text_width_mm(by, level.text), max(room * 0.45, spare)) if by else 0.0
    yield from text_line(
        thing, (left, base), wire, room - by_room - (2.0 if by else 0.0), level.text, grey=True
    )
    yield from text_line(thing, (box.right - PAD, base), by, by_room + 0.1, level.text, 400, "end", grey=True)


def _columns(thing: Thing, box: Box, base: float, pages: Pages) -> Iterator[Text]:
    """Yield one line in three columns: name, current, wire."""
    size = pages.level.text
    left, room = box.left + 1.4, box.width - 2.8
    draws, wire = takes(thing, pages.job), consumer_wire(thing, pages.graph, pages.job)
    draw_room, wire_room = pages.columns
    name_room = room - draw_room - wire_room - 2.0
    yield from title_line(thing, left, base, name_room, size)
    yield from text_line(thing, (left + name_room + 1.0, base), draws, draw_room, size)
    yield from text_line(thing, (box.right - 1.4, base), wire, wire_room, size, 400, "end", grey=True)


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


def list_boxes(rows: Sequence[Thing], layout: Layout, pages: Pages) -> Iterator[Drawn]:
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
                yield from mains_words(thing, box, base, pages.level)
                continue
            yield from _columns(thing, box, base, pages)


def mains_words(thing: Thing, box: Box, base: float, level: Level) -> Iterator[Text]:
    """Yield the one line of a mains part: its name, and what is told of it at the right."""
    told = ", ".join(thing.words)
    room = box.width - 3.2
    used = min(text_width_mm(told, level.text), room * 0.6)
    yield from text_line(thing, (box.right - 1.6, base), told, used + 0.05, level.text, 400, "end", grey=True)
    yield from title_line(thing, box.left + 1.6, base, room - used - 1.5, level.text)
