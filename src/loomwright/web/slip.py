"""The slip that lies beside the drawing: the reasons of the chosen thing, and the form to change it."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from typing import Any, cast

from loomwright.documents.reasons import Head, Reasons, reasons
from loomwright.documents.reasons.expected import open_verdicts, spreads
from loomwright.documents.reasons.record import Kind
from loomwright.rules.finding import SEVERITIES
from loomwright.sizing.flip import flips

from .accepting import accept_markup
from .entries import entry_slip
from .forms import acts, adding, changing, lacking, wanted
from .markup import fill
from .reading import Reading
from .thing import VAN, Thing
from .work import Moment

#: How a step begins after which one goes on building: the next part without a wire is offered.
_BUILDING = ("adding", "connecting", "duplicating")
#: What flips is looked for so long. [s]
FLIPS_WITHIN_S = 3.0


def slip(moment: Moment, chosen: Thing, things: Mapping[Thing, Any], now: str = "") -> str:
    """Return the slip of a thing; `now` is what is told of it in the state that is played."""
    if chosen.kind == "add":
        return adding(moment.reading, chosen.id)
    if chosen.kind == "entry":
        return entry_slip(moment.reading, chosen, acts(chosen, tuple(chosen.id.split("."))))
    told, entry = _told(moment.reading, chosen), entry_of(moment.reading, chosen)
    return fill(
        "slip.html",
        reasons=told,
        now=now,
        label=moment.reading.plan.labels.numbers.get(chosen.id) if chosen.kind == "wire" else None,
        severities=SEVERITIES,
        accepting={one.number: accept_markup(moment.reading, one.number) for one in told.findings},
        sources=_sources(told),
        change=changing(moment.reading, chosen, entry),
        acts=acts(chosen, entry),
        lacking=wanted(moment.reading.plan, chosen) or _next(moment, chosen),
    )


def _next(moment: Moment, chosen: Thing) -> str:
    return lacking(moment.reading.plan, chosen) if moment.undo.startswith(_BUILDING) else ""


class _NotAskedAnyMoreError(Exception):
    """Another text lies on the table: nobody waits for the bands of this one."""


def flips_markup(reading: Reading, thing: Thing, asked_still: Callable[[], bool]) -> str:
    """Return what would flip the verdict on a thing, as far as it is found in time and while it is asked."""
    stop_at = time.monotonic() + FLIPS_WITHIN_S

    def go_on() -> bool:
        return time.monotonic() < stop_at and asked_still()

    def stopped(_done: int, _of: int) -> None:
        if not asked_still():
            raise _NotAskedAnyMoreError

    try:
        reading.checked.banded(stopped)
    except _NotAskedAnyMoreError:
        return ""
    return _sure(reading, thing) + fill(
        "flips.html", flips=list(flips(reading.plan, thing.kind, thing.id, go_on=go_on))
    )


def _sure(reading: Reading, thing: Thing) -> str:
    """Return the bands of a thing that a limit parts, and what would settle a verdict that is not sure."""
    about = subject(reading, thing) if thing.kind == "finding" else thing
    checked = reading.checked
    asked = open_verdicts(checked, about.id)
    return fill("expected.html", spreads=spreads(checked, about.kind, about.id), asked=asked)


def _sources(told: Reasons) -> list[str]:
    rows = [row for table in told.tables for row in table.rows]
    rows += [detail for row in rows for detail in row.details]
    return list(dict.fromkeys(str(row.source) for row in rows if row.source))


def _told(reading: Reading, thing: Thing) -> Reasons:
    """Return the reasons of a thing; of one without any figure, what it is."""
    try:
        return reasons(reading.checked, cast(Kind, thing.kind), thing.id)
    except KeyError:
        return Reasons(kind="part", id=thing.id, head=Head(id=thing.id, what=name_of(reading, thing)))


def entry_of(reading: Reading, thing: Thing) -> tuple[str, ...]:
    """Return where the thing is written in the plan, such as ("wiring", "W4")."""
    job = reading.checked.assessment
    id = thing.id
    if thing.kind == "finding":
        return _entry_of_finding(reading, int(thing.id))
    if "/" in id:
        return _inside(reading, thing.kind, id)
    if thing.kind == "wire" and thing.id in job.wires:
        wire = job.wires[thing.id]
        back = wire.role == "return" and reading.plan.wiring[wire.run].return_ is not None
        return ("wiring", wire.run, "return") if back else ("wiring", wire.run)
    if thing.kind == "add" or thing == VAN:
        return ()
    if thing.kind == "entry":
        return tuple(thing.id.split("."))
    if thing.kind == "terminal":
        return "parts", id.partition(".")[0]
    return {"part": "parts", "stud": "studs", "place": "places", "wire": "wiring"}[thing.kind], id


def _inside(reading: Reading, kind: str, id: str) -> tuple[str, ...]:
    """Return where a wire or part inside a unit is written: U1/panel at parts.U1.inside.wiring.panel."""
    job = reading.checked.assessment
    run = job.wires[id].run if kind == "wire" and id in job.wires else ""
    *units, name = (run or id).split("/")
    path = [step for unit in units for step in ("parts", unit, "inside")]
    return *path, "wiring" if run else "parts", name.partition(".")[0]


def _entry_of_finding(reading: Reading, number: int) -> tuple[str, ...]:
    where = reading.checked.findings[number - 1].where
    plan, job = reading.plan, reading.checked.assessment
    if "/" in where:
        return _inside(reading, "wire" if where in job.wires else "part", where)
    if where in job.wires:
        return "wiring", job.wires[where].run
    for section, held in (("wiring", plan.wiring), ("parts", plan.parts), ("studs", plan.studs)):
        if (id := where.split("/")[0].split(".")[0]) in held:
            return section, id
    return ()


def name_of(reading: Reading, thing: Thing) -> str:
    """Return what a thing is called in words."""
    plan = reading.plan
    if thing.kind == "part" and thing.id in plan.parts:
        return plan.parts[thing.id].name or ""
    if thing.kind == "finding":
        finding = reading.checked.findings[int(thing.id) - 1]
        return f"{finding.where}: {finding.says}"
    return ""


def subject(reading: Reading, thing: Thing) -> Thing:
    """Return the thing that a finding is about; the finding itself if that is none that can be chosen."""
    where = reading.checked.findings[int(thing.id) - 1].where
    job, plan = reading.checked.assessment, reading.plan
    if where in job.wires:
        return Thing("wire", where)
    if where in plan.studs:
        return Thing("stud", where)
    return Thing("part", where) if where in job.wiring.parts else thing


def marked(reading: Reading, chosen: Thing) -> list[Thing]:
    """Return what is marked on the sheet: a wire with all that is run with it, else the thing itself."""
    job = reading.checked.assessment
    if chosen.kind == "wire" and chosen.id in job.wires:
        run = job.wires[chosen.id].run
        return [Thing("wire", wire.id) for wire in job.wires.values() if wire.run == run]
    return [] if chosen.kind in ("add", "entry", "finding") else [chosen]
