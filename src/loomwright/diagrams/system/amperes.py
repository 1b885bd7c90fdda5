"""What each source gives in a few states, and what charges which battery: two small tables on free paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from loomwright.assessment.mode_flow import ModeFlow
from loomwright.assessment.record import Assessment
from loomwright.assessment.sources import is_battery
from loomwright.diagrams.wiring.in_state import flowing
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import Box
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Anchor, Drawn, Text

from .marks import Paper
from .sheet import TOP

HEAD = "Amperes given, all loads on (− takes)"
CHARGED = "Charged by, and when"
#: The states of a mode, by the name of its column; the sun shines on a parked van.
_MODES = {"parked": "parked", "driving": "driving", "hook_up": "hook-up", "on_inverter": "on inverter"}
SUN = "sun"
_SIZE, _LINE, _COLUMN, _NAME = 2.6, 3.4, 15.0, 40.0
_MOST, _WIDEST = 9, 90.0


def amperes(paper: Paper, job: Assessment, bottom: float) -> list[Drawn]:
    """Return what each source gives by state and what charges whom, where the paper has room for them.

    Parameters
    ----------
    paper : Paper
        What is taken already; takes what is drawn.
    job : Assessment
    bottom : float
        The lower end of the room. [mm]
    """
    flows = dict(_flows(job))
    rows, told = list(_rows(job, flows)), list(_charged(job))
    return _block(paper, tuple(flows), rows, told, bottom) or [
        *_block(paper, tuple(flows), rows, [], bottom),
        *_block(paper, (), [], told, bottom),
    ]


def _flows(job: Assessment) -> Iterator[tuple[str, ModeFlow]]:
    figures = job.modes.figures
    for mode, name in _MODES.items():
        if mode in figures:
            yield name, job.flows.of(figures[mode])
    if any(part.kind == "solar_regulator" for part in job.wiring.parts.values()):
        yield SUN, job.flows.of(figures["parked"], sun=True)


def _rows(job: Assessment, flows: Mapping[str, ModeFlow]) -> Iterator[tuple[str, ...]]:
    """Give for each source its name and what it gives in each state."""
    known = dict.fromkeys(id for flow in flows.values() for id in flow.gives_a)
    order = list(job.wiring.parts)
    for id in sorted(known, key=lambda id: (order.index(id.partition(".")[0]), id)):
        amps = [flow.gives_a.get(id) for flow in flows.values()]
        if any(one is not None and abs(one) >= 0.0005 for one in amps):
            yield id, *("–" if one is None else _amount(one) for one in amps)


def _amount(amps: float) -> str:
    return ("−" if amps <= -0.0005 else "") + flowing(amps)


def _charged(job: Assessment) -> Iterator[str]:
    """Give for each battery what charges it, and in which of the states."""
    figures = job.modes.figures
    for battery in job.wiring.parts:
        if not is_battery(job.wiring, battery):
            continue
        when: dict[str, str] = {}
        for mode, name in _MODES.items():
            if mode in figures:
                for charger in sorted(figures[mode].charges.get(battery, ())):
                    when.setdefault(charger, SUN if _is_solar(job, charger) else name)
        if when:
            yield f"{battery}: {', '.join(f'{charger} ({name})' for charger, name in when.items())}"


def _is_solar(job: Assessment, charger: str) -> bool:
    part = job.wiring.parts.get(charger) or job.wiring.parts.get(charger.rpartition(".")[0])
    return part is not None and part.kind == "solar_regulator"


def _block(
    paper: Paper, states: Sequence[str], rows: Sequence[tuple[str, ...]], told: Sequence[str], bottom: float
) -> list[Drawn]:
    """Return the table with the list under it, where the field is free; nothing without room."""
    shown = [*rows[:_MOST], *([(f"and {len(rows) - _MOST} more",)] if len(rows) > _MOST else [])]
    lines = [shorten(line, _WIDEST, _SIZE) for line in told[:_MOST]]
    name = min(_NAME, max((text_width_mm(row[0], _SIZE, 500) for row in shown), default=0.0) + 2.0)
    widths = [text_width_mm(line, _SIZE) for line in lines]
    widths += [name + _COLUMN * len(states), text_width_mm(HEAD, _SIZE, 600)] if shown else []
    height = _LINE * ((len(shown) + 3 if shown else 0) + (len(lines) + 1 if lines else 0))
    width = max(widths, default=0.0)
    for top in range(int(bottom - height), int(TOP), -4) if widths else ():
        for left in range(31, int(FIELD_BOX.right - width) - 2, 6):
            if paper.free(Box(left, top, left + width, top + height), 1.2):
                texts = list(_texts(left, top + _SIZE, name, states, shown))
                under = top + _SIZE + height - _LINE * len(lines)
                if lines:
                    texts.append(Text((left, under - _LINE), CHARGED, _SIZE, 600, ink="grey"))
                texts += [Text((left, under + _LINE * n), line, _SIZE) for n, line in enumerate(lines)]
                paper.take(texts)
                return list(texts)
    return []


def _texts(
    left: float, y: float, name: float, states: Sequence[str], rows: Sequence[tuple[str, ...]]
) -> Iterator[Text]:
    if not rows:
        return
    yield Text((left, y), HEAD, _SIZE, 600, ink="grey")
    end: Anchor = "end"
    for column, state in enumerate(states, 1):
        yield Text((left + name + _COLUMN * column, y + _LINE), state, _SIZE, anchor=end, ink="grey")
    for place, (id, *amounts) in enumerate(rows, 2):
        yield Text((left, y + _LINE * place), shorten(id, name - 0.5, _SIZE, 500), _SIZE, 500)
        for column, amount in enumerate(amounts, 1):
            yield Text((left + name + _COLUMN * column, y + _LINE * place), amount, _SIZE, anchor=end)
