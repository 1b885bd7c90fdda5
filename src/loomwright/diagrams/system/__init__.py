"""The system sheet: who charges whom, from the sources on the left to what is used on the right.

One A3 sheet whatever the plan holds: boxes say less and stand closer until all of it fits. Only the plus side
is drawn; returns, switches of single loads and the inside of units are on the wiring sheet or told in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from loomwright.assessment.energy.day_flows import day_flows
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import (
    Numbered,
    cautions,
    danger_band,
    mains_notice,
    margin_entries,
    numbered,
    title_block,
)
from loomwright.drawing.frame import FIELD_BOX, PAPER, Border, border_items, column_row
from loomwright.drawing.geometry import Box, Point, box_of_points
from loomwright.drawing.ink import PLANNED, SYMBOL, THIN, Pen
from loomwright.drawing.lettering import wrap
from loomwright.drawing.scene import Drawn, Polygon, Polyline, Sheet, Sign, Symbol, Text, rectangle
from loomwright.drawing.symbols_parts import joint
from loomwright.rules.check import Checked

from .amperes import amperes
from .day import DayDrawn, figures, said, tank
from .field import COLUMNS, Drawing, draw_field
from .marks import place_sign
from .sheet import BOTTOM, field_heads, further_wires, listed

TITLE = "System: who charges whom"

_WAY = Sign(
    "way_of_energy",
    "way of the energy",
    (
        Polyline(((-4.0, 0.0), (2.0, 0.0)), Pen("ink", 1.0)),
        Polygon(((4.2, 0.0), (1.2, -1.3), (1.2, 1.3)), "ink"),
    ),
    {},
)
_CONTROL = Sign(
    "control_line", "control line", (Polyline(((-4.2, 0.0), (4.2, 0.0)), Pen("ink", 0.4, (0.35, 1.0))),), {}
)
_NOT_WIRED = Sign("not_wired", "not wired in the plan", (rectangle(-4.0, -1.8, 8.0, 3.6, pen=PLANNED),), {})
_MAINS_LINE = Sign("mains_line", "mains, not checked", (Polyline(((-4.2, 0.0), (4.2, 0.0)), SYMBOL),), {})


def system_sheets(checked: Checked, month: str = "") -> list[Sheet]:
    """Return the system sheet of a plan.

    Parameters
    ----------
    checked : Checked
        A plan's assessment with its findings.
    month : str
        jan ... dec: whose mean day is drawn in ampere-hours; "" for that of the smallest margin, "none" for
        none. Nothing is drawn of a month without use.

    Returns
    -------
    list of Sheet
        One A3 sheet.
    """
    job = checked.assessment
    drawing = draw_field(job)
    band = list(_band(drawing, mains_notice(checked.assessment)))
    drawing.paper.take(band)
    further = [*_left_out_note(drawing), *further_wires(drawing.paper, drawing.main, job)]
    signs, spots = _findings(checked, drawing)
    further += _without_signs(checked, drawing, spots)
    bottom = BOTTOM if drawing.mains is None else min(BOTTOM, drawing.band_top - 1.0)
    flows = None if month == "none" else day_flows(job, month)
    day = figures(drawing, job, flows) if flows is not None else DayDrawn((), ())
    further += day.beside
    further += amperes(drawing.paper, job, bottom)
    further += tank(drawing.paper, flows, bottom) if flows is not None else []
    border = Border(
        columns=COLUMNS,
        title_block=title_block(job.plan, TITLE, reads_with=("Wiring sheets",)),
        findings=margin_entries(numbered(checked), spots),
        danger_band=danger_band(checked),
        notice=mains_notice(job),
        cautions=cautions(job),
        key="Wire id · colour letters (IEC 60757) and mm² · fuse · current with all on. Plus side only.",
        signs=tuple(_signs_used(drawing)),
    )
    items: list[Drawn] = [
        *border_items(border),
        *day.behind,
        *field_heads(drawing.main.lefts),
        *drawing.main.items,
    ]
    items += [*band, *further]
    description = f"{job.plan.title}: sources, charging, store, what is shared out and what is used."
    description += f" {said(flows)}" if flows is not None else ""
    return [
        Sheet(width=PAPER[0], height=PAPER[1], title=TITLE, description=description, items=(*items, *signs))
    ]


def _band(drawing: Drawing, notice: str) -> Iterator[Drawn]:
    """Yield the band of the mains side."""
    if drawing.mains is None:
        return
    y, right = drawing.band_top, drawing.band_right
    corner = [(FIELD_BOX.left, y), (right, y)]
    yield Polyline((*corner, *([(right, FIELD_BOX.bottom)] if right < FIELD_BOX.right else [])), THIN)
    yield Text((30.0, y + 5.0), "MAINS", 2.9, 600, ink="grey")
    yield Text((42.0, y + 5.0), f"{notice or 'Boxes and plain lines only'}; its own sheet tells more.", 2.9)
    yield from drawing.mains.items


def _left_out_note(drawing: Drawing) -> list[Text]:
    if not drawing.left_out:
        return []
    x = max(box.left for box in drawing.main.boxes.values())
    note = Text((x, BOTTOM), f"and {drawing.left_out} more, see the wiring sheet", 2.9, 500)
    drawing.paper.take((note,))
    return [note]


def _signs_used(drawing: Drawing) -> Iterator[Sign]:
    strands = drawing.main.strands
    if strands:
        yield _WAY
    if any(strand.line.control for strand in strands):
        yield _CONTROL
    if any(strand.joint for strand in strands):
        yield joint()
    if any(isinstance(item, Symbol) and any(getattr(shape, "pen", None) == PLANNED for shape in item.shapes())
           for item in drawing.main.items):  # fmt: skip
        yield _NOT_WIRED
    if drawing.mains is not None:
        yield _MAINS_LINE


def _findings(checked: Checked, drawing: Drawing) -> tuple[list[Drawn], dict[int, str]]:
    """Place the signs of findings near what they mean; return them and their spots."""
    items: list[Drawn] = []
    spots: dict[int, str] = {}
    for one in numbered(checked):
        targets = _targets(one, checked.assessment, drawing)
        boxes, ids = [box for box, _ in targets], {id for _, id in targets}
        placed = place_sign(drawing.paper, one.number, one.finding.severity, boxes, ids)
        if placed:
            items += placed
            spots[one.number] = column_row(_at(placed[0]), COLUMNS)
    return items, spots


def _without_signs(checked: Checked, drawing: Drawing, spots: Mapping[int, str]) -> list[Drawn]:
    """Return a list of the findings whose signs have no room near what they mean."""
    told = [f"{one.number} {one.finding.where}" for one in numbered(checked) if one.number not in spots]
    return listed(drawing.paper, "Findings without a sign here", wrap(" · ".join(told), 60.0, 2.6))


def _at(item: Drawn) -> Point:
    assert isinstance(item, Symbol)
    return item.at


def _targets(one: Numbered, job: Assessment, drawing: Drawing) -> list[tuple[Box, str]]:
    """Return where a finding's things stand on the sheet, with their ids, the nearest meant first.

    The box of what is used tells the wire that leads to it, so it stands for that wire too.
    """
    found: list[tuple[Box, str]] = []
    told: list[tuple[Box, str]] = []
    pictures = [drawing.main, *([drawing.mains] if drawing.mains else [])]
    for id in one.ids:
        run = job.wires[id].run if id in job.wires else id
        part = id.partition("/")[0]
        for shown in pictures:
            if part in shown.boxes:
                found.append((shown.boxes[part], part))
            for exact in (True, False):
                for strand in shown.strands:
                    ids = (strand.wire, *strand.line.wires)
                    runs = {job.wires[wire].run for wire in ids if wire in job.wires}
                    if (id in ids) if exact else (run in runs):
                        name = strand.wire or strand.line.start
                        found += [(box_of_points((a, b), 0.5), name) for a, b in _pieces(strand.points)]
                        told += [(shown.boxes[id], id) for id in shown.rows if id in strand.leads_to]
    return [*found, *dict.fromkeys(told)]


def _pieces(points: tuple[Point, ...]) -> list[tuple[Point, Point]]:
    return sorted(pairwise(points), key=lambda pair: -abs(pair[0][0] - pair[1][0]))


__all__ = ["COLUMNS", "TITLE", "Drawing", "draw_field", "system_sheets"]
