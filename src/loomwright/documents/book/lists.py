"""The lists of a van as CSV, in a form that a spreadsheet opens without running anything.

UTF-8 with a byte order mark, comma, every cell in quotes, lines end in CR LF (RFC 4180). A text that a
spreadsheet would take for a formula gets an apostrophe before it, also behind a comma, semicolon or line end
inside it, as some spreadsheets part cells there. Figures are written as they are, their unit is in the head.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence

from loomwright.assessment.record import Assessment
from loomwright.assessment.warmth import conductor_c
from loomwright.diagrams.fuse_label import fuse_boxes, loose_fuses
from loomwright.documents.lists import List, Lists
from loomwright.rules.check import Checked

from .loose import joint_list
from .studs import stud_rows
from .wires import wire_rows

Cell = str | float | int | None
Row = Sequence[Cell]
#: Where a formula could begin: at the start, or behind what some spreadsheet takes for the end of a cell.
_FORMULA = re.compile(r"((?:^|[,;|\t\r\n\"])[\s\x00-\x1f]*)(?=[=+\-@＝＋－＠])")
#: Figures are rounded to so many digits behind the point: far beyond what any of them is worth.
_DIGITS = 6


def book_lists(checked: Checked) -> dict[str, bytes]:
    """Return the lists by name: wires, fuses, studs, joints, findings, parts, and those of the loom.

    Parameters
    ----------
    checked : Checked
        A plan assessed and judged.
    """
    job, loom = checked.assessment, Lists(checked.assessment)
    return {
        "wires": _csv(_wires(checked, loom)),
        "fuses": _csv(_fuses(job)),
        "studs": _csv(_studs(checked)),
        "joints": _csv(joint_list(job)),
        "findings": _csv(_findings(checked)),
        "parts": _csv(_parts(job)),
        **{one.name: _csv(_loom_list(one)) for one in loom.every},
    }


def _csv(rows: Iterator[Row]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    for row in rows:
        writer.writerow([cell(one) for one in row])
    return text.getvalue().encode("utf-8-sig", errors="replace")


def cell(value: Cell) -> str:
    """Return what stands in a cell; a text is never a formula.

    Examples
    --------
    >>> cell("=1+1"), cell("pump;@SUM"), cell(-0.25), cell(None), cell("1 mm²")
    ("'=1+1", "pump;'@SUM", '-0.25', '', '1 mm²')
    """
    if value is None:
        return ""
    if isinstance(value, str):
        return _FORMULA.sub(r"\1'", value.replace("\x00", ""))
    return f"{round(value, _DIGITS):g}" if isinstance(value, float) else str(value)


def _loom_list(made: List) -> Iterator[Row]:
    yield tuple(column.key for column in made.columns)
    for row in made.rows:
        yield tuple(
            " ".join(one)
            if isinstance(one, tuple)
            else ("yes" if one else "no")
            if isinstance(one, bool)
            else one
            for one in row
        )


def _wires(checked: Checked, loom: Lists) -> Iterator[Row]:
    yield (
        "wire", "label", "run", "from", "to", "area_mm2", "gauge", "colour", "length_m", "chosen", "fuses",
        "current_a", "rating_a", "drop_v", "drop_pct", "places", "findings", "conductor_c", "paths",
        "from_end", "to_end",
    )  # fmt: skip
    for row in wire_rows(checked):
        wire = row.figure
        fuses = ", ".join(f"{fuse.rating} at {fuse.at}" for fuse in row.fuses)
        yield (
            wire.id, row.label, wire.run, wire.from_, wire.to, wire.area_mm2, wire.gauge, wire.colour,
            wire.length_m, " ".join(sorted(wire.chosen)), fuses, wire.current_a, wire.rating_a,
            wire.drop_v, wire.drop_pct, ", ".join(wire.places), " ".join(str(m.number) for m in row.marks),
            conductor_c(checked.assessment, wire), _paths(checked.assessment, wire.id),
            *(end.terminal.words for end in loom.ends[wire.id]),
        )  # fmt: skip


def _paths(job: Assessment, wire: str) -> str:
    laid = job.loom.laid.get(wire)
    return "" if laid is None or laid.route is None else " ".join(laid.route.paths)


def _fuses(job: Assessment) -> Iterator[Row]:
    yield "box", "way", "at", "feeds", "wires", "rating_a", "rating", "type"
    for row in [*(row for box in fuse_boxes(job) for row in box.rows), *loose_fuses(job)]:
        yield row.box, row.way, row.at, row.feeds, " ".join(row.wires), row.rating_a, row.rating, row.kind


def _studs(checked: Checked) -> Iterator[Row]:
    yield "stud", "place", "bolt", "rings", "wires", "current_a", "volts_v", "note", "findings"
    for row in stud_rows(checked):
        stud = row.figure
        yield (
            row.id, stud.place, row.bolt, stud.lugs, " ".join(ring.wire for ring in row.rings),
            stud.current_a, stud.volts_v, row.note, " ".join(str(mark.number) for mark in row.marks),
        )  # fmt: skip


def _findings(checked: Checked) -> Iterator[Row]:
    yield (
        "number", "severity", "rule", "where", "also", "place", "says", "value", "limit", "unit", "do",
        "accepted", "source", "confidence",
    )  # fmt: skip
    for number, finding in enumerate(checked.findings, 1):
        yield (
            number, finding.severity, finding.rule, finding.where, " ".join(finding.also), finding.place,
            finding.says, finding.value, finding.limit, finding.unit, finding.do,
            finding.accepted or None,
            f"{finding.source.work}, {finding.source.place}", finding.source.checked,
        )  # fmt: skip


def _parts(job: Assessment) -> Iterator[Row]:
    yield "part", "kind", "name", "place", "count", "status", "type", "order", "serial", "note"
    for id, part in job.plan.parts.items():
        count = part.count if isinstance(part.count, int) else None
        yield (
            id, part.kind, part.name, part.place, count, part.status, part.type, part.order, part.serial,
            part.note,
        )  # fmt: skip
