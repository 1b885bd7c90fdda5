"""A mean day in ampere-hours on the system sheet: bands behind the wires, figures beside them, the tank."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.assessment.energy.day_flows import DayFlows, Flow
from loomwright.assessment.record import Assessment
from loomwright.drawing.geometry import Box
from loomwright.drawing.ink import SYMBOL, THIN, Pen
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Drawn, Link, Polyline, Text, Wire, rectangle
from loomwright.plan.calendar import MONTH_NAMES

from .day_bands import TINTS, bands, scale_of, sums_of
from .field import Drawing
from .graph import build_graph
from .layout import Strand
from .marks import Paper, Words, place_label
from .sheet import TOP

#: Less than this is told nowhere. [Ah]
_LEAST_AH = 0.05
_SIZE, _LINE = 2.6, 3.5
#: The tank: its width and least height; the names beside it, and the longest bar of the day. [mm]
_TANK, _HIGH, _NAME, _BAR = 13.0, 30.0, 27.0, 30.0
_HATCH = 2.2
#: So many loads stand in the list by name.
_LOADS = (7, 4, 2)


@dataclass(frozen=True, slots=True)
class DayDrawn:
    """What is drawn of a day: what lies behind the wires, and what stands beside them."""

    behind: tuple[Drawn, ...]
    beside: tuple[Drawn, ...]


def figures(drawing: Drawing, job: Assessment, flows: DayFlows) -> DayDrawn:
    """Return the bands and the figures beside the wires that have room for one.

    Parameters
    ----------
    drawing : Drawing
        The field; its paper takes what is drawn.
    job : Assessment
    flows : DayFlows
    """
    strands = drawing.main.strands
    sums = sums_of(flows, strands, build_graph(job), job)
    wires = {item.of: item for item in drawing.main.items if isinstance(item, Wire)}
    halves = {place: wires[_link(strands[place])].half_width for place in sums}
    scale = scale_of(sums, strands, halves)
    beside: list[Drawn] = []
    for place, one in sums.items():
        link = _link(strands[place])
        words = [f"{what} {_ah(one[what])}" for what in TINTS if one.get(what, 0.0) >= _LEAST_AH]
        if words:
            beside += place_label(drawing.paper, wires[link], [Words(" · ".join(words))], _SIZE) or ()
    return DayDrawn(tuple(bands(sums, strands, halves, scale)), tuple(beside))


def _link(strand: Strand) -> Link:
    return Link("wire", strand.wire) if strand.wire else Link("part", strand.line.start)


def tank(paper: Paper, flows: DayFlows, bottom: float) -> list[Drawn]:
    """Return the tank with what goes in and out, where the paper has room for it.

    Parameters
    ----------
    paper : Paper
        What is taken already; takes what is drawn.
    flows : DayFlows
    bottom : float
        The lower end of the room. [mm]
    """
    for named in _LOADS:
        rows = _rows(flows, named)
        height = max(_LINE * (len(rows) + 4.4), _HIGH)
        told = max(text_width_mm(line, _SIZE) for line in (_left(flows), _kept(flows)))
        width = max(_TANK + _NAME + _BAR + 17.0, told)
        for top in range(int(bottom - height), int(TOP), -4):
            for left in range(31, 350, 6):
                if paper.free(Box(left, top, left + width, top + height), 1.2):
                    drawn = list(_block(left, top, height, flows, rows))
                    paper.block([Box(left, top, left + width, top + height)])
                    return drawn
    return []


def said(flows: DayFlows) -> str:
    """Return the day in a sentence, for who does not see the sheet."""
    rows = "; ".join(f"{name} {_ah(ah)}" for name, ah, _ in _rows(flows, 99))
    return f"{_head(flows)}: {rows}. {_left(flows)}"


def _ah(ah: float) -> str:
    return f"{ah:.0f} Ah" if ah >= 9.95 else f"{ah:.1f} Ah"


def _head(flows: DayFlows) -> str:
    return f"A mean day in {MONTH_NAMES[flows.month]}, Ah at the battery"


def _left(flows: DayFlows) -> str:
    if not math.isfinite(flows.days):
        return "As much comes as is taken."
    left = f"From full, {_ah(flows.left_ah)} of {_ah(flows.usable_ah)} are left after it"
    return f"{left}; full batteries last {flows.days:.1f} days."


def _kept(flows: DayFlows) -> str:
    kept = flows.capacity_ah - flows.usable_ah
    return f"The tank holds {_ah(flows.capacity_ah)}; hatched: {_ah(kept)} are kept back."


def _rows(flows: DayFlows, named: int) -> list[tuple[str, float, Flow | None]]:
    """Return what comes and what goes, by names; further loads together."""
    comes = [one for one in flows.flows if one.what != "use"]
    goes = [one for one in flows.flows if one.what == "use"]
    rows: list[tuple[str, float, Flow | None]] = [(f"{one.what}: {one.part}", one.ah, one) for one in comes]
    rows += [(one.part or "all loads, as stated", one.ah, one) for one in goes[:named]]
    rest = goes[named:]
    if len(rest) == 1:
        rows.append((rest[0].part, rest[0].ah, rest[0]))
    elif rest:
        rows.append((f"{len(rest)} others", sum(one.ah for one in rest), rest[0]))
    return rows


def _block(
    left: float, top: float, height: float, flows: DayFlows, rows: Sequence[tuple[str, float, Flow | None]]
) -> Iterator[Drawn]:
    yield Text((left, top + _SIZE), _head(flows), _SIZE, 600, ink="grey")
    yield from _tank(left, top + _LINE + 1.0, height - 3.4 * _LINE - 1.0, flows)
    x, most = left + _TANK + 4.0, max((ah for _, ah, _ in rows), default=1.0)
    for n, (name, ah, flow) in enumerate(rows):
        y = top + _LINE * (n + 2)
        yield Text((x, y), shorten(name, _NAME - 1.0, _SIZE, 500), _SIZE, 500)
        fill = TINTS[flow.what] if flow is not None else "use"
        wide = max(_BAR * ah / most, 0.4)
        yield rectangle(x + _NAME, y - 2.1, wide, 2.3, fill=fill, pen=THIN)
        yield Text((x + _NAME + wide + 1.0, y), _ah(ah), _SIZE)
    yield Text((left, top + height - 0.4 - _LINE), _left(flows), _SIZE)
    yield Text((left, top + height - 0.4), _kept(flows), _SIZE, ink="grey")


def _tank(left: float, top: float, high: float, flows: DayFlows) -> Iterator[Drawn]:
    """Yield the tank to scale: what is kept back hatched, what is left after a day from full tinted."""
    size = max(flows.capacity_ah, 1e-9)
    kept = high * (size - flows.usable_ah) / size
    held = high * flows.left_ah / size
    foot = top + high
    if held > 0.2:
        yield rectangle(left, foot - kept - held, _TANK, held, fill="sun", pen=None)
    for n in range(1, int((kept + _TANK) / _HATCH) + 1):
        far = _HATCH * n
        start = (left + max(far - kept, 0.0), foot - min(far, kept))
        end = (left + min(far, _TANK), foot - max(far - _TANK, 0.0))
        if start[0] < end[0]:
            yield Polyline((start, end), THIN)
    yield Polyline(((left, foot - kept), (left + _TANK, foot - kept)), Pen("ink", 0.35, (1.6, 1.2)))
    yield rectangle(left, top, _TANK, high, fill=None, pen=SYMBOL)


__all__ = ["DayDrawn", "figures", "said", "tank"]
