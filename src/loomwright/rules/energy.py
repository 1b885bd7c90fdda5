"""Rules on energy by the day: promises of days, batteries that are empty on the first one."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.energy.days import Day, DaysPromise, day_promises, lasting_seasons
from loomwright.plan.calendar import MONTH_NAMES
from loomwright.source import Source
from loomwright.tables.limits import DUST

from .finding import Finding
from .registry import Job, rule
from .under_load import PROMISE

DAILY = Source(
    work="common practice",
    place="a battery carries the use of one mean day at least, with the sun and the drives of its season",
    checked="common practice",
)
#: Full batteries last so long at least in every season of use. [days]
LEAST_DAYS = 1.0
_SUN = {"none": "without sun", "rainy": "in rain", "average": "in average sun", "good": "in good sun"}


@rule(
    worst="fault",
    asks="Do full batteries last as many days as was promised?",
    why="What was promised is what the customer plans a weekend with; a flat battery ends it.",
    source=PROMISE,
)
def promised_days_missed(job: Job) -> Iterator[Finding]:
    for one in day_promises(job.assessment):
        if one.day.days >= one.asked * (1.0 - DUST):
            continue
        yield Finding(
            rule="promised_days_missed",
            severity="fault",
            where=one.id,
            also=one.day.level.level,
            place=job.place(*one.day.level.level),
            value=one.day.days,
            limit=one.asked,
            unit="d",
            says=_lasts(job, one),
            do="use less, fit a larger battery or more sun, or promise what holds",
            source=PROMISE,
            unknown=one.day.unknown,
        )


def _lasts(job: Job, one: DaysPromise) -> str:
    day = one.day
    cold = day.level.temperature_c
    air = f" at {cold:.0f} °C" if cold is not None and cold < 5.0 else ""
    drive = "" if one.drive else ", without driving"
    return (
        f"{one.asked:.3g} days are promised; in {MONTH_NAMES[day.month]} {_SUN[one.sun]}{drive} "
        f"full batteries last {day.days:.2g}: {day.level.ah:.3g} Ah usable{air}, {_lost(day)} a day"
    )


def _lost(day: Day) -> str:
    came = day.taken_ah - day.net_ah
    if came < 0.05:
        return f"{day.net_ah:.3g} Ah taken"
    return f"{day.net_ah:.3g} Ah more taken than comes back"


@rule(
    worst="fault",
    asks="Do full batteries carry one mean day of each season of use?",
    why="What is empty on its first day is never full again, and deep discharge is what kills batteries.",
    source=DAILY,
)
def empty_within_a_day(job: Job) -> Iterator[Finding]:
    for day in lasting_seasons(job.assessment):
        if day.days >= LEAST_DAYS * (1.0 - DUST):
            continue
        yield Finding(
            rule="empty_within_a_day",
            severity="fault",
            where=day.season,
            also=day.level.level,
            place=job.place(*day.level.level),
            value=day.days,
            limit=LEAST_DAYS,
            unit="d",
            says=_empties(day),
            do="use less, fit a larger battery, or charge more",
            source=DAILY,
            unknown=day.unknown,
        )


def _empties(day: Day) -> str:
    came = day.snow * (day.sun_ah or 0.0) + day.driven_ah
    return (
        f"{day.season} takes {day.taken_ah:.3g} Ah a day; in {MONTH_NAMES[day.month]} sun and "
        f"driving bring {came:.3g} Ah, and of {day.level.ah:.3g} Ah usable nothing is left after "
        f"{24.0 * day.days:.2g} hours"
    )
