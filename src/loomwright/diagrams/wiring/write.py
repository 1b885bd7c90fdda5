"""Writes on a painted sheet: what is found first keeps its place, the rest goes where there is room."""

from __future__ import annotations

from .labels import near_point
from .paint import Painter
from .strands import FuseStep
from .write_bars import BarWriter
from .write_boxes import BoxWriter
from .write_columns import ColumnWriter


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
    for part in painter.marks.parts:
        if part.kind == "fuse" and isinstance(part.step, FuseStep):
            columns.fuse(part)
    for part in painter.marks.parts:
        if part.kind == "unwired":
            columns.unwired(part)
        if part.kind in ("part", "block", "switch"):
            columns.part(part)
    for wire in painter.marks.wires:
        columns.core(wire)
    for cable in painter.marks.cables:
        columns.cable(cable)
    done = {id for cable in painter.marks.cables for id in cable.wires}
    for wire in sorted(painter.marks.wires, key=lambda w: w.top - w.bottom):
        figure = painter.job.wires.get(wire.piece.id)
        if wire.piece.id not in done and (figure is None or not figure.inner):
            done.add(wire.piece.id)
            columns.wire(wire)
    for id, at in painter.marks.opens:
        near_point(painter.canvas, painter.words.open_forms(id), at, None)
