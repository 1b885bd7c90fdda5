"""Energy by the day as it stands in JSON, and as a table for people: a mean day of each month of use."""

from __future__ import annotations

import math

from loomwright.assessment.energy.days import Day, Energy, day_promises
from loomwright.assessment.record import Assessment
from loomwright.plan.scalars import MONTH_NAMES

from .table import table


def energy_dict(job: Assessment) -> dict[str, object]:
    """Return the daily balance of each month of use, and what is promised; None where nobody knows."""
    days = _months(job)
    return {
        "season": {day.month: day.season for day in days},
        "load_ah_per_day": {day.month: day.taken_ah for day in days},
        "solar_ah_per_day": {day.month: day.sun_ah for day in days},
        "driven_ah_per_day": {day.month: day.driven_ah for day in days},
        "days_from_full": {day.month: _finite(day.days) if day.sun_ah is not None else None for day in days},
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


def _months(job: Assessment) -> list[Day]:
    energy = Energy(job)
    if not energy.stores:
        return []
    days = [energy.day(season, month, energy.stores[0], drive=True) for season, month in energy.seasons()]
    return [day for day in days if day.takes]


HEADS = ("month", "season", "taken", "sun", "driving", "full batteries last")


def energy_rows(job: Assessment) -> list[tuple[str, ...]]:
    """Return the mean day of each month of use for people, as cells under `HEADS`."""
    return [
        (
            MONTH_NAMES[day.month],
            day.season,
            f"{day.taken_ah:.0f} Ah",
            "?" if day.sun_ah is None else f"{day.snow * day.sun_ah:.0f} Ah",
            f"{day.driven_ah:.0f} Ah",
            "?" if day.sun_ah is None else "keeps up" if math.isinf(day.days) else f"{day.days:.2g} days",
        )
        for day in _months(job)
    ]


def energy_table(job: Assessment) -> str:
    """Return the same as a table; "" where the plan has no season of use."""
    rows = energy_rows(job)
    return table(HEADS, rows) if rows else ""


__all__ = ["HEADS", "energy_dict", "energy_rows", "energy_table"]
