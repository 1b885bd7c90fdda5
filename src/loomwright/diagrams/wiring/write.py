"""Writes on a painted sheet: what is found first keeps its place, the rest goes where there is room."""

from __future__ import annotations

from .labels import near_point
from .marks import WireMark
from .paint import Painter
from .strands import FuseStep
from .write_bars import BarWriter
from .write_boxes import BoxWriter
from .write_columns import ColumnWriter

#: A wire that is shorter has its label before the parts beside it have their names. [mm]
_SHORT = 28.0


def write_sheet(painter: Painter) -> None:
    """Write all words of a painted sheet on it."""
    bars, boxes, columns = BarWriter(painter), BoxWriter(painter), ColumnWriter(painter)
    for bar_id in painter.leaf.met:
        bars.bar(bar_id)
    bars.body_number()
    for stud in painter.marks.studs:
        bars.stud(*stud)
    for box in painter.marks.outlines:
        boxes.box(box)
    for unit, room in painter.marks.units:
        boxes.unit(unit, room)
    for port, at in painter.marks.ports:
        boxes.port(port, at)
    for id, at in painter.marks.pieces:
        boxes.piece(id, at)
    for place, room in painter.marks.places:
        boxes.place(place, room)
    for box, way, at, _ in painter.marks.ways:
        boxes.way(box, way, at)
    for box, at in painter.marks.free:
        boxes.free(box, at)
    bars.body_words()
    fuses = [
        mark for mark in painter.marks.parts if isinstance(mark.step, FuseStep) and not mark.step.missing
    ]
    for fuse in sorted(fuses, key=lambda mark: -mark.column):  # the last of a box has least room at its right
        columns.fuse(fuse)
    longest: dict[str, WireMark] = {}
    for wire in sorted(painter.marks.wires, key=lambda w: w.top - w.bottom):
        figure = painter.job.wires.get(wire.piece.id)
        if figure is None or not figure.inner:
            longest.setdefault(wire.piece.id, wire)
    for switch in painter.marks.parts:
        if switch.kind == "switch":
            columns.part(switch)
    cores = {id for cable in painter.marks.cables for id in cable.wires}
    alone = [wire for id, wire in longest.items() if id not in cores]
    for wire in reversed([wire for wire in alone if _is_short(wire)]):
        columns.wire(wire, start=0.0)  # the next one may find room under it
    for part in painter.marks.parts:
        if part.kind == "unwired":
            columns.unwired(part)
        if part.kind in ("part", "block"):
            columns.part(part)
    for wire in painter.marks.wires:
        columns.core(wire)
    for cable in painter.marks.cables:
        columns.cable(cable)
    for wire in alone:
        if not _is_short(wire):
            columns.wire(wire)
    for bar_id in painter.leaf.met:
        bars.goes_on(bar_id)
    for id, at in painter.marks.opens:
        near_point(painter.canvas, painter.words.open_forms(id), at, None)


def _is_short(wire: WireMark) -> bool:
    return wire.bottom - wire.top < _SHORT
