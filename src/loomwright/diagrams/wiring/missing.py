"""Draws a danger that is something missing where it should be: the dashed outline of a fuse."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from loomwright.assessment.unfused import barest_end
from loomwright.drawing.geometry import Box as Room
from loomwright.drawing.scene import Link, Symbol
from loomwright.drawing.symbols_parts import FUSE_MISSING
from loomwright.rules.check import Checked

from .marks import PartMark, middle_of
from .spread import Placed, Put
from .strands import FuseStep, LinkStep

if TYPE_CHECKING:
    from .paint import Painter


def missing_ends(checked: Checked) -> frozenset[tuple[str, str]]:
    """Return (piece, "a" or "b") of each end of a wire at which a fuse that is missing is a danger."""
    unfused = checked.assessment.faults.unfused
    runs = [f.where for f in checked.findings if f.rule == "missing_fuse" and f.severity == "danger"]
    ends = (barest_end(unfused, run) for run in runs)
    return frozenset((end.piece, end.side) for end in ends if end is not None)


def draw_missing(painter: Painter, placed: Placed) -> None:
    """Draw where fuses are missing in a strand, and let its wire run through there."""
    x = middle_of(placed.column)
    for put in placed.puts:
        step = put.step
        if isinstance(step, FuseStep) and step.missing and step.piece is not None:
            middle = (put.top + put.bottom) / 2
            painter.canvas.add([Symbol(FUSE_MISSING, (x, middle), of=Link("wire", step.piece.id))])
            room = Room(x - 2.0, put.top, x + 2.0, put.bottom)
            painter.marks.parts.append(PartMark(step.piece.id, "missing", room, placed.column, step))
    placed.puts = _run_through(placed.puts)


def _run_through(puts: Sequence[Put]) -> list[Put]:
    """Return the things of a strand; the lines on both sides of a missing fuse become one."""
    whole: list[Put] = []
    over: FuseStep | None = None
    for put in puts:
        if isinstance(put.step, FuseStep) and put.step.missing:
            over = put.step
        elif over is not None and over.piece is not None:
            line = LinkStep(wire=over.piece.id) if isinstance(put.step, LinkStep) else put.step
            whole[-1] = Put(line, whole[-1].top, put.bottom)
            over = None
        else:
            whole.append(put)
    return whole
