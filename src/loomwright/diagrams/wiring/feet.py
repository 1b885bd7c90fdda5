"""The foot of each column: what it is, its ratings, its result. Results come from the assessment."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from loomwright.assessment.record import CircuitFigure
from loomwright.diagrams.common import Numbered, drop, name_of, typed
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.ink import FIELD, THIN, Pen
from loomwright.drawing.lettering import Weight, shorten, text_width_mm, wrap
from loomwright.drawing.scene import Drawn, Link, Polyline, Text
from loomwright.plan.kinds import is_consumer
from loomwright.plan.model import Part

from .in_state import InState
from .outlines import free_way_name
from .paint import Painter
from .strands import PartStep, PortStep, Strand
from .strip import COLUMNS, Leaf
from .units import GOES, TURN

#: Upper edge of the feet, the line above the results, the lower edge. [mm]
TOP, RESULTS, BOTTOM = 217.6, 235.4, FIELD_BOX.bottom
_WIDTH = FIELD_BOX.width / COLUMNS
_UNDERLINE = Pen("ink", 0.5)
_FAILED = ("drop_too_large", "charging_drop_too_large", "start_drop_too_large")


@dataclass(slots=True)
class Cell:
    """One foot: columns `first` to `last` (from 0), the parts it speaks of, the wires that stand in it."""

    first: int
    last: int
    parts: list[str] = field(default_factory=list)
    wires: set[str] = field(default_factory=set)
    words: str = ""
    unwired: bool = False


def draw_feet(
    painter: Painter, findings: tuple[Numbered, ...], state: InState | None = None
) -> Iterator[Drawn]:
    """Yield the feet of all columns of a sheet; in a state, with what each load gets."""
    yield Polyline(((FIELD_BOX.left, TOP), (FIELD_BOX.right, TOP)), FIELD, layer="frame")
    yield Polyline(((FIELD_BOX.left, RESULTS), (FIELD_BOX.right, RESULTS)), THIN, layer="frame")
    failed = {
        (one.finding.rule, one.finding.where, id)
        for one in findings
        if one.finding.severity in ("danger", "fault")
        for id in (*one.ids, "")
    }
    cells = list(_cells(painter.leaf, painter))
    for cell in cells:
        x = FIELD_BOX.left + (cell.last + 1) * _WIDTH
        if cell.last + 1 < COLUMNS:
            yield Polyline(((x, TOP), (x, BOTTOM)), THIN, layer="frame")
        yield from _cell(painter, cell, failed, state)


def _cells(leaf: Leaf, painter: Painter) -> Iterator[Cell]:
    """Yield the feet: one for all columns of a block, one for each other column."""
    cell: Cell | None = None
    blocks: set[str] = set()
    for index, column in enumerate(leaf.columns):
        here = {block for block, _ in column.blocks}
        here |= {f"{TURN} {strand.b.id}" for strand in column.strands if strand.b.kind == TURN}
        if cell is None or not (here & blocks):
            if cell is not None:
                yield cell
            cell, blocks = Cell(index, index), set()
        blocks |= here
        cell.last = index
        cell.parts += [block for block, _ in column.blocks if block not in cell.parts]
        for strand in column.strands:
            cell.parts += [step.part for step in strand.steps if isinstance(step, PartStep)]
            cell.wires |= {piece.id for piece in strand.pieces()}
        cell.words = cell.words or _of_column(painter, index)
        if column.unwired:
            cell.parts.append(column.unwired)
            cell.unwired = True
    if cell is not None:
        yield cell


def _of_column(painter: Painter, index: int) -> str:
    """Return the words for a column without a part that uses current."""
    column = painter.leaf.columns[index]
    for strand in column.strands:
        words = _of_strand(painter, strand)
        if words:
            return words
    for bar, way in column.free_ways:
        return f"Way {free_way_name(painter, bar, way)}"
    return ""


def _of_strand(painter: Painter, strand: Strand) -> str:
    """Return what a line without a load is there for: a feed, a port of a unit, a link of two rails."""
    end, ports = strand.b, [step for step in strand.steps if isinstance(step, PortStep)]
    if end.id.endswith(GOES):
        onward = [s for s in painter.hang.strands if s.a.id == end.id]
        ports = [step for one in onward for step in one.steps if isinstance(step, PortStep)]
        return f"To {ports[0].unit}, {ports[0].port}" if ports else ""
    if end.kind == "open" and "/" in end.id:
        return painter.words.port(end.id)
    if strand.a.id in painter.hang.scatter and ports:
        return f"Minus of {ports[0].unit}"
    if strand.a.id.endswith(GOES) and ports:
        return f"{ports[0].unit}, {ports[0].port}"
    if end.kind != "bar" or not painter.hang.above[end.id] or painter.hang.bars[end.id] == "joint":
        return ""
    target = painter.job.wiring.part_of(end.id.partition("#")[0]) or end.id.partition("#")[0]
    kind = painter.hang.bars[end.id]
    if kind == "rail":
        return f"Link to {painter.words.id(target)}"
    part = painter.parts.get(target)
    name = part.name if part is not None and part.name and kind == "bus" else painter.words.id(target)
    return f"Feed to {name}" if part is not None else ""


def _subject(painter: Painter, cell: Cell) -> str:
    """Return the part that a foot speaks of: a load before a box, a box before a switch."""
    parts = [id for id in dict.fromkeys(cell.parts) if id in painter.parts or "+" in id]
    kinds = {id: painter.parts[id].kind for id in parts if id in painter.parts}
    passive = {
        "switch",
        "two_way",
        "intermediate",
        "plug",
        "shunt",
        "diode",
        "master_switch",
        "low_voltage_cut",
    }
    passive |= {"relay", "dimmer", "selector", "change_over", "solar_panel"}
    loads = [id for id in parts if id in kinds and kinds[id] not in passive]
    return next(iter(loads), next((id for id in parts if id in kinds), ""))


def _cell(
    painter: Painter, cell: Cell, failed: set[tuple[str, str, str]], state: InState | None
) -> Iterator[Drawn]:
    job = painter.job
    boxed = any(id in painter.block_columns for id in cell.parts)
    subject = "" if cell.words.startswith("Feed") and not boxed else _subject(painter, cell)
    part = painter.parts.get(subject)
    title = painter.words.title(subject) if part is not None else name_of(part, subject) or cell.words
    ratings = painter.words.ratings(part) if part is not None else []
    panel = next(
        (id for id in cell.parts if id in painter.parts and painter.parts[id].kind == "solar_panel"), ""
    )
    if panel and panel != subject:
        ratings = [f"panel {typed(painter.parts[panel].power)}".strip(), *ratings]
    of = Link("part", subject) if subject else None
    room = (cell.last - cell.first + 1) * _WIDTH - 1.4
    middle = FIELD_BOX.left + (cell.first + cell.last + 1) * _WIDTH / 2
    y = TOP + 4.2
    for line in wrap(title, room, 3.15, 600, most_lines=2):
        yield Text((middle, y), line, 3.15, 600, "middle", layer="frame", of=of)
        y += 3.9
    lines = [line for text in _joined(ratings, room) for line in wrap(text, room, 2.9, most_lines=2)]
    for line in lines[: max(0, int((RESULTS - 0.6 - y) / 3.6) + 1)]:
        yield Text((middle, y), line, 2.9, 400, "middle", layer="frame", of=of)
        y += 3.6
    results = list(_results(painter, cell, subject, failed, room))
    if not results and cell.words.startswith("Way"):
        results = [("free", False)]
    if cell.unwired:
        results = [("not wired", False)]
    if not results and subject and job.loads.get(subject) is not None and not job.loads[subject].fed:
        results = [("not fed", False)]
    now = state.load_words(subject) if state is not None and part is not None and _consumes(part) else ""
    if now:
        results = [(now, False)]
    for row, (text, bad) in enumerate(results[:2]):
        yield from _result(middle, RESULTS + 3.5 + 4.0 * row, text, room, bad)


def _consumes(part: Part) -> bool:
    return is_consumer(part.kind) and part.kind != "standby"


def _joined(ratings: list[str], room: float) -> list[str]:
    """Return ratings on as few lines as they fit."""
    lines: list[str] = []
    for rating in ratings:
        if lines and text_width_mm(f"{lines[-1]}, {rating}", 2.9) <= room:
            lines[-1] += f", {rating}"
        else:
            lines.append(rating)
    return lines


def _results(
    painter: Painter, cell: Cell, subject: str, failed: set[tuple[str, str, str]], room: float
) -> Iterator[tuple[str, bool]]:
    """Yield the results of the circuits that end in this foot, and whether each failed."""
    found = [one for one in painter.job.circuits.values() if _belongs(one, cell, subject)]
    for circuit in found:
        name = f"{circuit.wire} " if len(found) > 1 else ""
        bad = any((rule, circuit.wire, circuit.load) in failed for rule in _FAILED[:2])
        text = drop(circuit.drop_v, circuit.drop_pct)
        if text:
            yield name + text, bad
        if circuit.start_drop_v is not None and len(found) == 1:
            bad = (_FAILED[2], circuit.wire, circuit.load) in failed
            start = "start " + drop(circuit.start_drop_v, circuit.start_drop_pct)
            short = f"start {circuit.start_drop_pct:.1f} %" if circuit.start_drop_pct is not None else start
            yield start if text_width_mm(start, 2.6, 600) <= room else short, bad


def _belongs(circuit: CircuitFigure, cell: Cell, subject: str) -> bool:
    if circuit.path == "signal":
        return False
    if circuit.load in cell.parts and circuit.load == subject and circuit.path == "ordinary":
        return True
    return circuit.path == "charging" and circuit.wire in cell.wires and circuit.load != circuit.feeder


def _result(middle: float, y: float, text: str, room: float, bad: bool) -> Iterator[Drawn]:
    weight: Weight = 600 if bad else 500
    size = 2.9
    while size > 2.6 and text_width_mm(text, size, weight) > room:
        size -= 0.1
    text = shorten(text, room, size, weight)
    yield Text((middle, y), text, size, weight, "middle", layer="frame")
    if bad:
        half = text_width_mm(text, size, weight) / 2
        yield Polyline(((middle - half, y + 0.85), (middle + half, y + 0.85)), _UNDERLINE, layer="frame")
