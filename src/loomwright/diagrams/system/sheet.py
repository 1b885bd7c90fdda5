"""The system sheet's field: boxes, wires with arrowheads, labels; the first level at which all fits."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import inks_of
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import Box, Point, box_of_points
from loomwright.drawing.ink import FACTORY_CORE_MM, Token, core_width_mm
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Drawn, Link, Polygon, Symbol, Text, Wire
from loomwright.drawing.symbols_parts import joint
from loomwright.drawing.wires import broken_at_crossings

from .boxes import draw_boxes, heads, measures, way_names
from .labels import leads_to_use, place_labels
from .layout import RIGHT, Strand, lay_out
from .levels import Level
from .marks import Paper
from .order import Columns, arrange, count_crossings
from .place import Placer
from .rooms import RATIO, Rooms
from .route import route
from .rows import cut_words, row_columns
from .texts import Pages
from .things import SHARED, USED, Graph
from .words import current_words, fuse_words, wire_words

#: Below the heads of the fields; the lower end of what is drawn, and the same with the foot's room kept. [mm]
TOP, BOTTOM, RESERVED = 28.0, 241.0, 197.0
_DOTTED = (0.35, 1.0)
#: What it costs, in steps of density, if a word of a row is cut.
_CUT = 0.4


@dataclass(frozen=True, slots=True)
class Network:
    """A graph with its columns in order."""

    graph: Graph
    columns: Columns
    crossings: int


def network_of(graph: Graph) -> Network:
    """Return a graph with its columns in order; they serve all levels."""
    columns = arrange(graph)
    return Network(graph, columns, count_crossings(columns))


@dataclass(frozen=True, slots=True)
class Picture:
    """What is drawn of one network, where its things stand, which are used; bends and length before these."""

    items: tuple[Drawn, ...]
    boxes: Mapping[str, Box]
    rows: frozenset[str]
    strands: tuple[Strand, ...]
    lefts: Mapping[int, float]
    edges: tuple[tuple[float, float], ...]
    lowest: float
    crossings: int
    wanting: float
    untold: tuple[str, ...]
    bends: int
    length: float


def picture(
    network: Network,
    job: Assessment,
    level: Level,
    paper: Paper,
    top: float,
    bottom: float,
    *,
    mains: bool = False,
    deep: float | None = None,
    right: float = RIGHT,
) -> Picture | None:
    """Return the drawn network, None if it does not fit.

    Parameters
    ----------
    network, job, level : Network, Assessment, Level
        What is drawn, with whose figures, how dense.
    paper : Paper
        What is taken already; takes what is drawn.
    top, bottom : float
        Of the room. [mm]
    mains : bool
        It is the mains side: boxes and plain lines.
    deep : float, optional
        The lower end for what is used and the boxes that feed it, if it is another; the room below the
        others is kept free.
    right : float
        The right end of the last column. [mm]
    """
    graph, columns = network.graph, network.columns
    columned = not mains and level.row < 2
    widths = row_columns(graph, job, level) if columned else (0.0, 0.0)
    pages = Pages(graph, job, level, mains, widths)
    areas = {id: wire.area_mm2 for id, wire in job.wires.items() if wire.area_mm2 is not None}
    count, lowest = len(columns.slots), bottom if deep is None else deep
    rooms = Rooms(columns, level, measures(pages), areas)
    placer = Placer(columns, rooms, top, [*[bottom] * (count - 2), lowest, lowest])
    if not placer.place():
        return None
    channels = route(columns, rooms.apart)
    layout = lay_out(columns, channels, level, heads(pages), right)
    if layout is None:
        return None
    if deep is not None:
        paper.block([Box(FIELD_BOX.left, bottom + 3.0, layout.edges[-3][1] + 1.5, FIELD_BOX.bottom)])
    wires = [item for strand in layout.strands for item in _strand(strand, job, level, mains)]
    boxes = list(draw_boxes(layout, pages, _ways(columns, job)))
    drawn = broken_at_crossings(tuple(wires))
    paper.take((*boxes, *drawn))
    paper.block(layout.boxes.values())
    for id, box in layout.boxes.items():
        paper.show(box, id)
    for item in boxes:
        if isinstance(item, Text) and item.of is not None:
            paper.show(item.box(), item.of.id)
    for strand in layout.strands:
        for pair in pairwise(strand.points):
            paper.show(box_of_points(pair, 0.5), strand.wire or strand.line.start)
    labels, wanting, untold = place_labels(layout, job, level, drawn, paper, graph, mains)
    wanting += _CUT * cut_words(graph, job, level, widths) if columned else 0.0
    before_use = [strand for strand in layout.strands if not leads_to_use(strand, graph)]
    return Picture(
        (*boxes, *drawn, *labels),
        layout.boxes,
        frozenset(id for id in layout.boxes if graph.things[id].field == USED),
        layout.strands,
        layout.field_lefts,
        layout.edges,
        placer.lowest,
        network.crossings,
        wanting,
        untold,
        sum(len(strand.points) - 2 for strand in before_use),
        sum(math.dist(*pair) for strand in before_use for pair in pairwise(strand.points)),
    )


def _ways(columns: Columns, job: Assessment) -> dict[str, list[tuple[float, str]]]:
    """Return the names of ways and ports with their heights, by thing."""
    found: defaultdict[str, list[tuple[float, str]]] = defaultdict(list)
    for column in columns.slots:
        for slot in column:
            for port in slot.rights:
                name = way_names(port.line, job) if slot.thing and slot.key == port.line.start else ""
                kind = slot.thing.kind if slot.thing else ""
                if name and (kind == "unit" or (kind == "fuse_box" and name.isdigit())):
                    found[slot.key].append((port.y, name))
    return found


def _strand(strand: Strand, job: Assessment, level: Level, mains: bool) -> Iterator[Drawn]:
    """Yield a wire and its arrowheads and dot."""
    figure = job.wires.get(strand.wire)
    link = Link("wire", strand.wire) if strand.wire else Link("part", strand.line.start)
    colours: tuple[Token, ...] = ()
    dash: tuple[float, ...] = ()
    core = FACTORY_CORE_MM * RATIO
    if mains:
        core = 0.35
    elif strand.line.control:
        core, dash = 0.4, _DOTTED
    elif figure is not None:
        colours = inks_of(figure.colour)
        core = core_width_mm(figure.area_mm2 or 1.0, RATIO)
    yield Wire(strand.points, core, colours, dash, of=link)
    small = level.row == 0 and len(strand.points) > 0 and core < 1.0
    if strand.arrow_end and not mains:
        yield _arrow(strand.points[-2], strand.points[-1], core, small, link)
    if strand.arrow_start and not mains:
        yield _arrow(strand.points[1], strand.points[0], core, small, link)
    if strand.joint is not None:
        run = Link("wire", strand.line.wires[-1]) if strand.line.wires else link
        yield Symbol(joint(), strand.joint, scale=0.75, of=run)


def _arrow(before: Point, tip: Point, core: float, small: bool, link: Link) -> Polygon:
    """Return an arrowhead whose point touches what it leads to."""
    length, half = (2.0, 0.85) if small else (2.8, max(1.1, core / 2 + 0.65))
    dx, dy = tip[0] - before[0], tip[1] - before[1]
    size = abs(dx) + abs(dy)
    ux, uy = dx / size, dy / size
    tip = (tip[0] - ux * 0.3, tip[1] - uy * 0.3)
    base = (tip[0] - ux * length, tip[1] - uy * length)
    corners = (tip, (base[0] - uy * half, base[1] + ux * half), (base[0] + uy * half, base[1] - ux * half))
    return Polygon(corners, "ink", None, of=link)


def field_heads(lefts: Mapping[int, float]) -> Iterator[Text]:
    """Yield the heads of the five fields."""
    names = ("SOURCES", "CHARGING", "STORE", "SHARED OUT", "USED")
    for field, left in lefts.items():
        yield Text((left, 21.4), names[field], 2.9, 600, ink="grey")


def further_wires(paper: Paper, shown: Picture, job: Assessment) -> list[Drawn]:
    """Return a list of the wires whose labels had no room for fuse or current, where the field is free."""
    lines = {strand.wire: strand.line for strand in shown.strands}
    told = []
    for wire in shown.untold:
        words = (wire_words(wire, job), fuse_words(lines[wire], job), current_words(lines[wire], job))
        told.append(f"{wire}  " + " · ".join(word for word in words if word))
    return listed(paper, "Labels without room", told)


def listed(paper: Paper, head: str, rows: Sequence[str]) -> list[Drawn]:
    """Return a list with its head where the field is free, nothing without rows or without room."""
    if not rows:
        return []
    lines = [shorten(row, 70.0, 2.6) for row in (head, *rows)]
    width, height = max(text_width_mm(line, 2.6, 600) for line in lines), 3.4 * len(lines)
    for top in range(int(BOTTOM - height), int(TOP), -4):
        for left in range(31, int(FIELD_BOX.right - width) - 2, 6):
            if paper.free(Box(left, top, left + width, top + height), 1.0):
                texts = [Text((left, top + 2.6), lines[0], 2.6, 600, ink="grey")]
                texts += [
                    Text((left, top + 2.6 + 3.4 * place), lines[place], 2.6) for place in range(1, len(lines))
                ]
                paper.take(texts)
                return list(texts)
    return []


def without_last(graph: Graph, keep: int) -> Graph:
    """Return the graph with no more than `keep` things that are used, the last of the plan left out."""
    used = sorted(
        (thing for thing in graph.things.values() if thing.field == USED),
        key=lambda thing: (not thing.wired, thing.order),
    )
    gone = {thing.id for thing in used[keep:]}
    lines = []
    for line in graph.lines:
        tips = tuple(tip for tip in line.tips if tip.thing not in gone)
        if tips and line.start not in gone:
            lines.append(replace(line, tips=tips))
    things = {id: thing for id, thing in graph.things.items() if id not in gone}
    return Graph(things, tuple(lines))


def field_paper() -> Paper:
    """Return the paper of the field with its edges kept free."""
    return Paper(Box(FIELD_BOX.left + 1.0, 22.6, FIELD_BOX.right - 0.9, FIELD_BOX.bottom - 1.0))


__all__ = [
    "BOTTOM",
    "RESERVED",
    "SHARED",
    "TOP",
    "Picture",
    "field_heads",
    "field_paper",
    "picture",
    "without_last",
]
