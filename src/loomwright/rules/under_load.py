"""Rules on batteries under large loads: promised power, inverters that sag, peaks that nothing holds."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.banks import MANAGEMENT, BankOpens, Opening, banks_under_load
from loomwright.assessment.sag import Sag, SagState
from loomwright.assessment.sag_hours import lasts_at_full_power
from loomwright.assessment.sag_promises import PowerPromise, power_promises
from loomwright.source import Source
from loomwright.tables.battery_states import PEUKERT_SOURCE

from .finding import Finding, Severity
from .registry import Job, rule

PROMISE = Source(
    work="the plan",
    place="what the customer was told holds in every state of the batteries that was named",
    checked="read in the work",
)
SAGS = Source(
    work="common practice",
    place="an inverter is counted on for what batteries hold half full and cold",
    checked="common practice",
)
#: At this charge an inverter is counted on. Common practice. [%]
COUNTED_ON_PCT = 50.0
#: Full batteries that are empty sooner at full power are worth a word. Common practice. [h]
SOON_H = 1.0


@rule(
    worst="fault",
    asks="Do batteries and cables hold the power that was promised?",
    why="The volts of a battery fall with charge, cold and load; below its alarm an inverter soon stops.",
    source=PROMISE,
)
def promised_power_missed(job: Job) -> Iterator[Finding]:
    for one in power_promises(job.assessment):
        if not one.missed:
            continue
        worst, name = one.worst, job.name(one.part)
        yield Finding(
            rule="promised_power_missed",
            severity="fault",
            where=one.id,
            also=(one.part, *(sorted(one.sag.batteries) if one.sag is not None else ())),
            place=job.place(one.part),
            value=worst.most_w,
            limit=one.asked_w,
            unit="W",
            says=f"{one.asked_w:,.0f} W are promised of {name}, at {_state(worst)} there are "
            f"{worst.most_w:,.0f} W{_until(job, worst, one.sag)}{_held_from(one)}",
            do="promise less, or use larger cables, more batteries, or promise it for a fuller battery",
            source=PROMISE,
            unknown=one.sag.unknown if one.sag is not None else (),
        )


def _state(state: SagState) -> str:
    return f"{state.charge_pct:.3g} % charge and {state.temperature_c:.3g} °C"


def _until(job: Job, state: SagState, sag: Sag | None) -> str:
    """Return in words what ends the power."""
    if state.held_by == "collapse":
        return ", then the volts collapse"
    if state.held_by not in ("alarm", "cut-out"):
        return f", then {job.name(state.held_by)} is at its limit"
    volts = "" if sag is None or sag.limit_v is None else f" of {sag.limit_v:g} V"
    return f" before its {state.held_by}{volts}"


def _held_from(one: PowerPromise) -> str:
    if one.held_from_pct is None:
        return f"; at {one.worst.temperature_c:.3g} °C not even full"
    return f"; at {one.worst.temperature_c:.3g} °C it is held from {one.held_from_pct:.0f} % on"


@rule(
    worst="fault",
    asks="Does each inverter get the volts for its full power?",
    why="An inverter asks for more current as its volts fall, and stops when they are too low.",
    source=SAGS,
)
def inverter_sags(job: Job) -> Iterator[Finding]:
    promised = {one.part for one in power_promises(job.assessment)}
    for part, sag in job.assessment.under_load.sags.items():
        if part in promised or job.assessment.wiring.parts[part].power is None:
            continue
        best = sag.states[0]
        counted = [one for one in sag.states if one.charge_pct >= COUNTED_ON_PCT]
        worst = min(counted, key=lambda one: one.most_w)
        severity = _severity(sag, best) or ("note" if worst.most_w < sag.rated_w else None)
        if severity is None or not _is_inverter(job, part):
            continue
        state = worst if severity == "note" else best
        even = "" if severity == "note" else "even "
        yield Finding(
            rule="inverter_sags",
            severity=severity,
            where=part,
            also=tuple(sorted(sag.batteries)),
            place=job.place(part),
            value=state.most_w,
            limit=sag.rated_w,
            unit="W",
            says=f"{job.name(part)} is made for {sag.rated_w:,.0f} W; {even}at {_state(state)} it can give "
            f"{state.most_w:,.0f} W{_until(job, state, sag)}",
            do="use larger cables or more batteries, or count on less",
            source=SAGS,
            unknown=sag.unknown,
        )


def _is_inverter(job: Job, part: str) -> bool:
    return job.assessment.wiring.parts[part].kind in ("inverter", "inverter_charger")


def _severity(sag: Sag, best: SagState) -> Severity | None:
    """Return how poor it is what an inverter gets of full and warm batteries."""
    if best.most_w >= sag.rated_w:
        return None
    warns = best.held_by == "alarm" and best.volts_v is not None and best.volts_v >= sag.stops_v
    return "watch" if warns else "fault"


@rule(
    worst="note",
    asks="Do batteries and cables hold the peak of each inverter?",
    why="A motor starts on the peak of an inverter; if the volts fall through its cut-out, it stops instead.",
    source=SAGS,
)
def inverter_peak_out_of_reach(job: Job) -> Iterator[Finding]:
    for part, sag in job.assessment.under_load.sags.items():
        best, volts = sag.states[0], sag.peak_v
        if sag.peak_w is None or best.most_w < sag.rated_w:
            continue  # no peak, or its full power is out of reach already
        if volts is not None and volts >= sag.stops_v:
            continue
        gets = (
            "the volts collapse" if volts is None else f"it gets {volts:.1f} V and stops at {sag.stops_v:g} V"
        )
        yield Finding(
            rule="inverter_peak_out_of_reach",
            severity="note",
            where=part,
            also=tuple(sorted(sag.batteries)),
            place=job.place(part),
            value=volts,
            limit=sag.stops_v,
            unit="V",
            says=f"the peak of {job.name(part)}, {sag.peak_w:,.0f} W, is out of reach: at {_state(best)} "
            f"{gets}",
            do="do not count on it for motors that start hard, or use larger cables and more batteries",
            source=SAGS,
            unknown=sag.unknown,
        )


@rule(
    worst="note",
    asks="How long do full batteries last at the full power of an inverter?",
    why="The faster a battery is emptied, the less it gives; whoever counts its capacity counts too much.",
    source=PEUKERT_SOURCE,
)
def full_power_empties_soon(job: Job) -> Iterator[Finding]:
    for part, sag in job.assessment.under_load.sags.items():
        one = lasts_at_full_power(job.assessment, sag) if _is_inverter(job, part) else None
        if one is None or one.hours >= SOON_H:
            continue
        minutes = 60.0 * one.hours
        gives = f"{'at most ' if one.at_most else ''}{one.ah:.0f} Ah of {one.capacity_ah:.0f}"
        yield Finding(
            rule="full_power_empties_soon",
            severity="note",
            where=part,
            also=tuple(sorted(sag.batteries)),
            place=job.place(part),
            value=minutes,
            limit=60.0 * SOON_H,
            unit="min",
            says=f"at its full {sag.rated_w:,.0f} W {job.name(part)} takes {one.amps:.3g} A: full batteries "
            f"give {gives} and are empty after {'at most ' if one.at_most else ''}{minutes:.0f} min",
            do="this is for information; at less power they last longer than in proportion",
            source=PEUKERT_SOURCE,
            unknown=sag.unknown,
        )


@rule(
    worst="fault",
    asks="Do the batteries of each bank hold when one of them opens?",
    why="One battery above its limit opens, the rest take its part, and within seconds everything is dark.",
)
def bank_opens_in_turn(job: Job) -> Iterator[Finding]:
    for one in banks_under_load(job.assessment):
        if len(one.cascade.opens) < 2:
            continue  # one alone: the rest hold, and its own overload is told
        first, *others = one.cascade.opens
        end = "then all is dark" if one.cascade.dark else f"then {_left(job, one)} hold"
        yield Finding(
            rule="bank_opens_in_turn",
            severity="fault",
            where=first.battery,
            also=tuple(id for id in one.batteries if id != first.battery),
            place=job.place(*one.batteries),
            value=first.amps,
            limit=one.limits_a[first.battery],
            unit="A",
            says=f"with everything on {_opens(job, first)}; "
            f"{'; '.join(f'then {_opens(job, other)}' for other in others)}; {end}",
            do="share the current alike, use batteries that may give more, add one, or run less at once",
            source=job.limits.load_over_rating.source,
            unknown=one.unknown,
        )


def _opens(job: Job, one: Opening) -> str:
    what = "its management" if one.what == MANAGEMENT else f"its {one.what}"
    return f"{job.name(one.battery)} gives {one.amps:.3g} A and {what} opens"


def _left(job: Job, one: BankOpens) -> str:
    return " and ".join(job.name(id) for id in one.cascade.left_a)
