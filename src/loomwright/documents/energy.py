"""Energy by the day as it stands in JSON, and as a table for people: a mean day of each month of use."""

from __future__ import annotations

import math

from loomwright.assessment.energy.answers import left_on
from loomwright.assessment.energy.days import Day, Energy, day_promises, days_of_use
from loomwright.assessment.energy.stores import efficiency_of
from loomwright.assessment.record import Assessment
from loomwright.plan.calendar import MONTH_NAMES, in_words

from .table import table


def energy_dict(job: Assessment) -> dict[str, object]:
    """Return the daily balance of each month of use, and what is promised; None where nobody knows."""
    days = days_of_use(job)
    return {
        "season": {day.month: day.season for day in days},
        "load_ah_per_day": {day.month: day.taken_ah for day in days},
        "solar_ah_per_day": {day.month: day.sun_ah for day in days},
        "driven_ah_per_day": {day.month: day.driven_ah for day in days},
        "days_from_full": {day.month: _finite(day.days) if day.sun_ah is not None else None for day in days},
        "days_in_rain_from_full": _in_rain(job),
        "engine_h_per_day": {day.month: _engine_h(job, day) for day in days},
        "left_on_ah_per_day": left_on(job),
        "keeps_up": {day.month: math.isinf(day.days) for day in days if day.sun_ah is not None},
        "loads": [
            {"month": day.month, "load": one.load, "ah_per_day": one.ah, "through": one.through}
            for day in days
            for one in day.takes
        ],
        "promises": [
            {
                "promise": one.id,
                "asked_days": one.asked,
                "month": one.day.month,
                "days": _finite(one.day.days),
            }
            for one in day_promises(job)
        ],
    }


def _finite(days: float) -> float | None:
    return days if math.isfinite(days) else None


def _in_rain(job: Assessment) -> dict[str, float | None]:
    """Return by month how many rainy days full batteries last, parked; None if for ever, or unknown."""
    energy = Energy(job)
    found: dict[str, float | None] = {}
    for season, month in energy.seasons() if energy.stores else ():
        day = energy.day(season, month, energy.stores[0], sun="rainy", drive=False)
        if day.takes:
            found[month] = None if day.sun_ah is None else _finite(day.days)
    return found


def _engine_h(job: Assessment, day: Day) -> float | None:
    """Return how long the engine has to run a day to make up for what is lost; None if it can't."""
    energy = Energy(job)
    store = next(one for one in energy.stores if one.id == day.store)
    lost = energy.day(day.season, day.month, store, drive=False).net_ah
    brought = sum(one.ah_per_h for one in energy.brings if one.store == store.id)
    if lost <= 0.0:
        return 0.0
    return lost / (efficiency_of(job, store).value * brought) if brought > 0.0 else None


HEADS = ("month", "season", "taken", "sun", "driving", "full batteries last")


def energy_rows(job: Assessment) -> list[tuple[str, ...]]:
    """Return the mean day of each month of use for people, as cells under `HEADS`."""
    return [
        (
            MONTH_NAMES[day.month],
            in_words(day.season),
            f"{day.taken_ah:.0f} Ah",
            "?" if day.sun_ah is None else f"{day.snow * day.sun_ah:.0f} Ah",
            f"{day.driven_ah:.0f} Ah",
            "?" if day.sun_ah is None else "keeps up" if math.isinf(day.days) else f"{day.days:.2g} days",
        )
        for day in days_of_use(job)
    ]


def energy_table(job: Assessment) -> str:
    """Return the same as a table; "" where the plan has no season of use."""
    rows = energy_rows(job)
    return table(HEADS, rows) if rows else ""


__all__ = ["HEADS", "energy_dict", "energy_rows", "energy_table"]
