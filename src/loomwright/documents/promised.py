"""What was promised, for the customer: kept how far, the sentence that holds instead, what it hangs on.

By the mean day of each month it asks for; where years of weather were run, in how many of a hundred such
stays as well.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.assessment.charging_taken import ChargePromise, charge_promises
from loomwright.assessment.energy.days import Day, DaysPromise, day_promises
from loomwright.assessment.energy.year_record import Kept, Year
from loomwright.assessment.record import Assessment
from loomwright.assessment.sag_promises import PowerPromise, power_promises
from loomwright.plan.calendar import MONTH_NAMES, months_in_words
from loomwright.rules.check import Checked

CAUTION = (
    "Worked out from mean days of each month, with full batteries at the start. A spell of dull weather, a "
    "cold or old battery, a shaded roof or more use make it shorter. On the way the battery monitor counts, "
    "not this page; it is no guarantee."
)
#: Of stays in a hundred, so many have to keep a promise that is to be called kept.
OFTEN = 90.0
#: Days are said in such parts; rounded down.
PART_OF_DAY = 0.25
_SUN = {"none": "without sun", "rainy": "in rain", "average": "in average sun", "good": "in good sun"}
#: So many loads are named, the largest first.
_NAMED = 3


@dataclass(frozen=True, slots=True)
class Promised:
    """One promise.

    Attributes
    ----------
    says : str
        In the customer's words.
    verdict : str
        "kept", "not always", "not kept" or "not worked out".
    often : str
        How far it is kept, in a sentence.
    instead : str
        What could be said instead; "" where it may stand.
    hangs_on : tuple of (str, str)
        What it depends on, and how far.
    """

    says: str
    verdict: str
    often: str
    instead: str
    hangs_on: tuple[tuple[str, str], ...]


def promised_of(checked: Checked, year: Year | None = None) -> tuple[Promised, ...]:
    """Return each promise of a plan, in its order.

    Parameters
    ----------
    checked : Checked
        A plan assessed and judged.
    year : Year or None
        Its years of weather, if they were run.
    """
    job = checked.assessment
    days = {one.id: one for one in day_promises(job)}
    kept = {one.promise.id: one for one in year.promises} if year is not None else {}
    power = {one.id: one for one in power_promises(job)}
    charge = {one.id: one for one in charge_promises(job)}
    found = []
    for id, promise in job.plan.promises.items():
        if id in days:
            found.append(_days(job, promise.says, days[id], kept.get(id)))
        elif id in power:
            found.append(_power(promise.says, power[id]))
        elif id in charge:
            found.append(_charge(promise.says, charge[id]))
        elif promise.switch is not None:
            found.append(_switch(checked, id, promise.says))
        else:
            words = "the plan says too little of it: its season, its sun, or what feeds it"
            found.append(Promised(promise.says, "not worked out", f"Not worked out: {words}.", "", ()))
    return tuple(found)


# Days


def _days(job: Assessment, says: str, one: DaysPromise, kept: Kept | None) -> Promised:
    holds = [day.month for day in one.months if day.days >= one.asked * (1.0 - 1e-6)]
    rare = kept is not None and kept.of_100 < OFTEN
    verdict = "kept" if len(holds) == len(one.months) else "not always" if holds else "not kept"
    if verdict == "kept" and rare:
        verdict = "not always"
    return Promised(
        says, verdict, _often(one, holds, kept), _instead(one, kept, verdict), tuple(_hangs_on(job, one))
    )


def _often(one: DaysPromise, holds: list[str], kept: Kept | None) -> str:
    worst = MONTH_NAMES[one.day.month]
    lasts = "without end" if math.isinf(one.day.days) else f"{one.day.days:.2g} days"
    if len(one.months) == 1:
        said = f"On mean days of {worst} full batteries last {lasts}, {one.asked:.3g} days are asked."
    else:
        said = f"On mean days it is kept in {len(holds)} of {len(one.months)} months"
        if 0 < len(holds) < len(one.months):
            said += f": in {months_in_words(holds)}"
        said += f". In {worst}, the worst, full batteries last {lasts}; {one.asked:.3g} days are asked."
    if kept is not None:
        said += f" Of 100 such stays in {worst}, in years of weather drawn by lot, {kept.of_100:.0f} keep it."
    return said


def _instead(one: DaysPromise, kept: Kept | None, verdict: str) -> str:
    if verdict == "kept":
        return ""
    days = one.day.days if kept is None else min(one.day.days, kept.nine_in_ten)
    drive = "with the usual drives" if one.drive else "without driving"
    under = f"{_SUN[one.sun]}, {drive}, in {MONTH_NAMES[one.day.month]}"
    whole = math.floor(days / PART_OF_DAY) * PART_OF_DAY
    if whole < PART_OF_DAY:
        return f"Nothing: full batteries don't last a quarter of a day {under}."
    return f"{whole:g} day{'s' if whole != 1.0 else ''} from full batteries, {under}."


def _hangs_on(job: Assessment, one: DaysPromise) -> Iterator[tuple[str, str]]:
    day = one.day
    months = _capital(months_in_words([each.month for each in one.months]))
    yield "Season", f"{months}{'' if len(one.months) == 1 else '; the figures are those of the worst'}."
    sun = day.snow * (day.sun_ah or 0.0)
    if one.sun == "none":
        yield "Sun", "None is counted on: sun makes it longer."
    else:
        yield (
            "Sun",
            f"{_capital(_SUN[one.sun])}: it brings {sun:.2g} Ah of {day.taken_ah:.2g} Ah that a day takes.",
        )
    if one.drive:
        yield "Driving", f"The usual drives bring {day.driven_ah:.2g} Ah a day."
    else:
        yield "Driving", "None is counted on: a drive makes it longer."
    yield "Habit", f"Of the {day.taken_ah:.2g} Ah a day: {', '.join(_taking(job, day))}."
    cold = day.level.temperature_c
    if cold is not None and cold < 5.0:
        yield "Cold", f"The battery is counted at {cold:.0f} °C, where it holds less."


def _taking(job: Assessment, day: Day) -> Iterator[str]:
    names: dict[str, float] = {}
    for take in day.takes:
        part = job.wiring.parts.get(take.load)
        name = (part.name if part is not None and part.name else take.load).replace("_", " ")
        names[name or "all loads together"] = names.get(name or "all loads together", 0.0) + take.ah
    for name, ah in sorted(names.items(), key=lambda one: -one[1])[:_NAMED]:
        yield f"{name} {ah:.2g} Ah"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


# Power, charge, switches


def _power(says: str, one: PowerPromise) -> Promised:
    worst = one.worst
    at = f"at {worst.charge_pct:.0f} % charge and {worst.temperature_c:.0f} °C"
    often = f"Least it can have, {at}: {_watts(worst.most_w)}; {_watts(one.asked_w)} are asked."
    hangs = (
        ("Charge", "The emptier the batteries, the lower their volts and the more current it takes."),
        ("Cold", "Cold batteries give less."),
        ("Habit", "What else runs at the time takes its part."),
    )
    if not one.missed:
        return Promised(says, "kept", often, "", hangs)
    verdict = "not always" if len(one.missed) < len(one.states) else "not kept"
    from_pct = one.held_from_pct
    least = math.floor(worst.most_w / 50.0) * 50.0
    either = f"{_watts(least)} at any time"
    if from_pct is not None:
        either = f"{_watts(one.asked_w)} from {math.ceil(from_pct):.0f} % charge on, or {either}"
    return Promised(says, verdict, often, f"{either}, down to {worst.temperature_c:.0f} °C.", hangs)


def _watts(watts: float) -> str:
    return f"{watts:,.0f} W"


def _charge(says: str, one: ChargePromise) -> Promised:
    low, high = one.ah_per_h.low, one.ah_per_h.high
    brings = f"{low:.2g} Ah" if high - low < 0.05 * max(high, 1.0) else f"{low:.2g} to {high:.2g} Ah"
    often = f"An hour's drive brings {brings}; {one.asked_ah:.3g} Ah are asked."
    verdict = "kept" if low >= one.asked_ah else "not kept" if high < one.asked_ah else "not always"
    hangs = (
        ("Engine", "What its alternator gives while it cruises, hot and with the vehicle's own loads on."),
        ("Charge", "A battery more than half full takes less."),
    )
    instead = "" if verdict == "kept" else f"{low:.2g} Ah for each hour driven, with half-empty batteries."
    return Promised(says, verdict, often, instead, hangs)


def _switch(checked: Checked, id: str, says: str) -> Promised:
    missed = next((one for one in checked.findings if one.where == id and one.severity != "note"), None)
    if missed is None:
        return Promised(says, "kept", "With that switch off, what was named stays live.", "", ())
    return Promised(says, "not kept", f"{_capital(missed.says)}.", f"{_capital(missed.do)}.", ())


def as_data(rows: tuple[Promised, ...]) -> list[Mapping[str, object]]:
    """Return promises as plain data for a page."""
    return [
        {
            "says": one.says,
            "verdict": one.verdict,
            "often": one.often,
            "instead": one.instead,
            "hangs_on": [{"what": what, "how": how} for what, how in one.hangs_on],
        }
        for one in rows
    ]


__all__ = ["CAUTION", "Promised", "as_data", "promised_of"]
