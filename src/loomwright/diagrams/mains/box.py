"""A breaker box: RCD and main breaker, bars for lines, neutral and earth, a breaker for each way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from loomwright.assessment.mains.layout import Gate
from loomwright.assessment.record import Assessment
from loomwright.drawing.ink import UNIT
from loomwright.drawing.scene import Link, rectangle
from loomwright.drawing.symbols_mains import POLE_HALF

from .paint import LINE, Painter
from .place import BOX_OVER, PITCH, Placed
from .tree import Node
from .words import breaker_words, rcd_words, title_words

_EDGE, _RING, _WORDS = 3.0, 5.0, 13.0
#: From the last line to the lower edge of the frame. [mm]
UNDER = 9.4 + LINE


@dataclass(frozen=True, slots=True)
class Inside:
    """What a box holds: what opens everything, what opens its ways, and how wide each zone is. [mm]"""

    rcd: Gate
    main: Gate
    ways: dict[str, Gate]
    head: float
    bars: float
    way: float

    @property
    def width(self) -> float:
        """Of the frame."""
        return 2 * _EDGE + self.head + self.bars + self.way


def inside_of(job: Assessment, id: str, lines: int) -> Inside:
    """Return what a breaker box holds."""
    gates = {gate.id: gate for gate in job.mains.layout.gates if gate.part == id}
    rcd, main = gates[f"{id}.rcd"], gates[f"{id}.main"]
    ways = {gate.id: gate for gate in gates.values() if gate not in (rcd, main)}
    head = 2 * POLE_HALF + _RING + 1.0 if rcd.residual else 0.0
    head += _gate_width(main) + (1.0 if main.breaker else 0.0)
    way = max((_gate_width(gate) for gate in ways.values()), default=0.0)
    return Inside(rcd, main, ways, max(head, _WORDS), PITCH * (lines - 1) + 5.0, max(way, _WORDS))


def _gate_width(gate: Gate) -> float:
    if gate.breaker is None and gate.residual is None:
        return 0.0
    return 2 * POLE_HALF + (_RING if gate.residual is not None else 0.0)


def paint_box(painter: Painter, node: Node, inside: Inside, cores: Sequence[str]) -> float:
    """Draw a breaker box; return where its earth bar stands. [mm]"""
    placed, id, of = painter.placed, node.unit.id, Link("part", node.unit.part)
    left, (first, last) = placed.left[id], placed.rows[id]
    right, bottom = left + placed.width[id], last + placed.last_line + UNDER
    top = first - BOX_OVER
    painter.items.append(rectangle(left, top, right - left, bottom - top, pen=UNIT, layer="places", of=of))
    taken = {core for edge in node.edges for core in edge.cable.cores}
    rows = _rows(placed, node)
    title, more = title_words(painter.job, node.unit.part)
    free = 0 if node.cut else len(node.unit.outs) - sum(1 for way, _ in rows if way)
    free_words = f"{free} {'way' if free == 1 else 'ways'} free" if free else ""
    legs = "each way on L1 or L2" if "L2" in cores and "L2" not in taken else ""
    more = ", ".join(word for word in (more, free_words, legs) if word)
    painter.title(title, more, (left, top - 1.6), right - left + 14.0, of)
    x = _head(painter, inside, cores, first, left, of)
    bars = left + _EDGE + inside.head + 1.0
    painter.level(cores, first, (x, bars), of)
    _bars(painter, cores, rows, bars, taken, of)
    end = right - _EDGE
    for way, y in rows:
        own = next((edge.cable.cores for edge in node.edges if edge.cable.a == way), tuple(cores))
        _way(painter, inside, way, own, y, (bars, end, right), of)
    return bars


def _head(painter: Painter, inside: Inside, cores: Sequence[str], y: float, left: float, of: Link) -> float:
    """Draw RCD and main breaker with their words; return where they end. [mm]"""
    x, under = left + _EDGE, y + painter.placed.last_line + 4.0
    painter.level(cores, y, (left, x), of)
    start = x
    x = painter.gate(inside.rcd, cores, y, x, of)
    told = rcd_words(inside.rcd)
    if inside.rcd.residual is not None or inside.main.breaker is None:
        painter.words((start, under), told, max(x - start, _WORDS), of=of, grey=False)
        told = ()
    if inside.main.breaker is not None:
        painter.level(cores, y, (x, x + 1.0), of)
        start = x = x + 1.0
        x = painter.gate(inside.main, cores, y, x, of)
        painter.words(
            (start, under), (*breaker_words(inside.main), *told), x - start + 2.0, of=of, grey=False
        )
    return x


def _rows(placed: Placed, node: Node) -> list[tuple[str, float]]:
    """Return the ways in use with the heights of their rows."""
    found: dict[str, float] = {}
    for edge in node.edges:
        found.setdefault(edge.cable.a, placed.edge_y[edge.cable.id])
    return list(found.items()) or [("", placed.rows[node.unit.id][0])]


def bar_x(bars: float, core: str, order: Sequence[str]) -> float:
    """Return where the bar of a core stands: earth at the left, lines at the right. [mm]"""
    reversed_ = list(reversed(order))
    return bars + PITCH * (reversed_.index(core) if core in order else len(order) - 1)


def _bars(
    painter: Painter,
    cores: Sequence[str],
    rows: Sequence[tuple[str, float]],
    bars: float,
    taken: set[str],
    of: Link,
) -> None:
    """Draw the bars; the second leg ends at its own where the plan does not say which ways it feeds."""
    order = painter.placed.order
    for core in cores:
        x = bar_x(bars, core, order)
        used = rows[:1] if core == "L2" and "L2" not in taken else rows
        heights = [painter.y(y, core) for _, y in used]
        painter.line(core, ((bars, heights[0]), (x, heights[0])), of)
        if len(heights) > 1:
            painter.line(core, ((x, heights[0]), (x, heights[-1])), of)
            for y in heights[:-1]:
                painter.dot((x, y), of)


def _way(
    painter: Painter,
    inside: Inside,
    way: str,
    cores: Sequence[str],
    y: float,
    x: tuple[float, float, float],
    of: Link,
) -> None:
    """Draw one way from the bars to the right edge."""
    bars, end, right = x
    order, gate = painter.placed.order, inside.ways.get(way)
    start = end - inside.way
    for core in cores:
        at = painter.y(y, core)
        painter.line(core, ((bar_x(bars, core, order), at), (start, at)), of)
    stop = start if gate is None else painter.gate(gate, cores, y, start, of)
    painter.level(cores, y, (stop, right), of)
    if way:
        words = breaker_words(gate) if gate is not None else ()
        name = f"way {way.rpartition('.')[2]}"
        under = y + painter.placed.last_line + 4.0
        painter.words((start, under), words or ("no breaker",), inside.way + 2.0, of=of, grey=False)
        painter.words((start + 2.0, y - 4.8), [name], inside.way, of=of)


__all__ = ["UNDER", "Inside", "bar_x", "inside_of", "paint_box"]
