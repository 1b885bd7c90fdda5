"""The tables of the mains: the loop of a live case on each pitch, what runs there, what guards a socket."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.assessment.mains.cases import COLD_C, Reach
from loomwright.assessment.mains.faulted import CaseFault
from loomwright.assessment.mains.guards import guarded_by
from loomwright.assessment.mains.layout import Span
from loomwright.assessment.mains.pitch import Pitch
from loomwright.assessment.mains.taken import Taken
from loomwright.assessment.record import Assessment
from loomwright.protection.resistance import conductor_resistance
from loomwright.tables.iec_60364_4_41 import DISCONNECTION_SOURCE

from .figures import figure, quantity
from .record import Row, Table


def pitch_tables(job: Assessment, id: str) -> Iterator[Table]:
    """Give the tables of a supply of the plan."""
    side = job.mains
    inlet = side.inlet
    if id not in job.plan.supplies or inlet is None:
        return
    for one in side.faults:
        if one.pitch.id == id:
            yield _fault(job, side.reaches[inlet], one)
    for pitch, taken in side.taken:
        if pitch.id == id:
            yield _together(job, pitch, taken)


def _fault(job: Assessment, reach: Reach, one: CaseFault) -> Table:
    pitch, point = one.pitch, job.mains.layout.outlets[one.outlet]
    parts = {"pitch": pitch.live_ohm + (pitch.electrode_ohm if pitch.earthing == "tt" else pitch.back_ohm)}
    parts["lead"] = 2.0 * conductor_resistance(pitch.lead_mm2, pitch.lead_m, COLD_C)
    for step in reach.way(point):
        if isinstance(step, Span) and step.ohm(COLD_C) > 0.0:
            parts[step.id] = 2.0 * step.ohm(COLD_C)
    rows: list[Row] = [
        *(Row(what=name, value=f"{ohm:.3f}", unit="Ω") for name, ohm in parts.items()),
        Row(what="Loop, cold", value=f"{one.loop_ohm:.2f}", unit="Ω", is_total=True),
        _figure("A tester shows", one.expected_a, "A", f"{pitch.volts:g} V ÷ {one.loop_ohm:.2f} Ω"),
        _figure("At the least, cables hot", one.least_a, "A"),
        Row(what="On the case till then", value=f"{one.touch_v:.0f}", unit="V"),
        *_openings(one),
    ]
    return Table(
        key=f"case_{one.outlet}",
        title=f"A live case at {one.outlet}",
        rows=tuple(rows),
        result=f"stays live longer than {one.allowed_s:g} s"
        if one.stays
        else f"off within {one.allowed_s:g} s",
    )


def _figure(what: str, value: float, unit: str, sum: str = "") -> Row:
    text, printed = figure(value, unit)
    return Row(what=what, sum=sum, value=text, unit=printed)


def _openings(one: CaseFault) -> Iterator[Row]:
    for opening in one.clearing.openings:
        by = "RCD" if opening.by == "residual" else "breaker"
        at_most = opening.after.high
        value = f"{at_most:.2g}" if math.isfinite(at_most) else "–"
        yield Row(
            what=f"{opening.device} ({by}) opens within", value=value, unit="s", source=DISCONNECTION_SOURCE
        )


def guard_tables(job: Assessment, id: str) -> Iterator[Table]:
    """Give what guards each thing that hangs behind an inlet, a breaker box or a socket on hook-up."""
    if job.mains.inlet is None or id not in job.wiring.parts:
        return
    for one in guarded_by(job, job.mains.inlet):
        parts = {job.mains.inlet, one.outlet, *(gate.part for gate in one.gates)}
        if not any(name == id or name.startswith(f"{id}/") for name in parts):
            continue
        rows = [Row(what="RCD", value="–", unit="mA")] if one.trips_a is None else []
        for gate in one.gates:
            if gate.residual is not None:
                rows.append(_gate(f"RCD at {gate.id}", 1e3 * gate.residual.trips_a, "mA", gate.poles))
            if gate.breaker is not None:
                rows.append(_gate(f"Breaker at {gate.id}", gate.breaker.rating_a, "A", gate.poles))
        yield Table(
            key=f"guards_{one.outlet}", title=f"What guards {one.outlet} on hook-up", rows=tuple(rows)
        )


def _gate(what: str, value: float, unit: str, poles: int | None) -> Row:
    told = "" if poles is None else f", {poles} {'pole' if poles == 1 else 'poles'}"
    return Row(what=f"{what}{told}", value=f"{value:g}", unit=unit)


def _together(job: Assessment, pitch: Pitch, taken: Taken) -> Table:
    takers = job.mains.takers
    rows = [
        Row(
            what=id if takers[id].lasting else f"{id}, for minutes", value=f"{takers[id].watts:.0f}", unit="W"
        )
        for id in taken.running
    ]
    watts = sum(takers[id].watts for id in taken.running)
    rows += [
        Row(
            what="Together",
            sum=f"{watts:.0f} W ÷ {pitch.volts:g} V",
            value=figure(taken.amps, "A")[0],
            unit="A",
            is_total=True,
        ),
        _figure("Of it for hours", taken.lasting_a, "A"),
        Row(what="Lost along the lead", value=f"{taken.lead_v:.1f}", unit="V"),
    ]
    title = f"What runs in {taken.mode}" if taken.mode else "What is wired"
    return Table(
        key=f"taken_{taken.mode}",
        title=f"{title}, on {pitch.id}",
        rows=tuple(rows),
        result=f"{quantity(taken.amps, 'A')} of {pitch.rated_a:g} A",
    )


__all__ = ["guard_tables", "pitch_tables"]
