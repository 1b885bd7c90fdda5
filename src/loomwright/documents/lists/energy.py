"""The lists of energy: a mean day of each month, what was promised, what is dialled into the chargers."""

from __future__ import annotations

import math
from collections.abc import Sequence

from loomwright.assessment.energy.days import Day, DaysPromise
from loomwright.assessment.energy.settings import Setting
from loomwright.plan.calendar import MONTH_NAMES, in_words
from loomwright.plan.model import Plan
from loomwright.tables.charge_profiles import PROFILE_SOURCE
from loomwright.units import Band

from .record import NONE, Column, List


def day_table(days: Sequence[Day]) -> List:
    """Return the mean day of each month of use."""
    rows = [
        (
            MONTH_NAMES[day.month], in_words(day.season), day.taken_ah, day.sun_ah,
            None if day.sun_ah is None else day.snow * day.sun_ah, day.driven_ah, _lasts(day),
        )
        for day in days
    ]  # fmt: skip
    return List(
        "days",
        "A mean day of each month",
        "What the use takes at the batteries, what sun and driving bring, and how long full batteries last.",
        (
            Column("month", "Month"),
            Column("season", "Season"),
            Column("taken_ah", "Taken", "Ah"),
            Column("solar_ah", "Sun, clear roof", "Ah"),
            Column("solar_with_snow_ah", "Sun", "Ah"),
            Column("driven_ah", "Driving", "Ah"),
            Column("lasts_d", "Full batteries last, days"),
        ),
        tuple(rows),
        ("Mean days: a spell of dull weather is worse; the years of weather count how often it comes.",),
    )


def _lasts(day: Day) -> str:
    if day.sun_ah is None:
        return NONE
    return "without end" if math.isinf(day.days) else f"{day.days:.2g}"


def promise_table(plan: Plan, promised: Sequence[DaysPromise]) -> List:
    """Return what the customer was told, and what the sums say of days."""
    days = {one.id: one for one in promised}
    rows = []
    for id, promise in plan.promises.items():
        one = days.get(id)
        holds = (
            None if one is None else f"{one.day.days:.2g} days" if math.isfinite(one.day.days) else "keeps up"
        )
        month = None if one is None else MONTH_NAMES[one.day.month]
        rows.append((promise.says, None if one is None else one.asked, month, holds))
    return List(
        "promises",
        "What was promised",
        "In the customer's words, and what the mean day of the worst month of its season makes of it.",
        (
            Column("says", "Promised", wide=3.0),
            Column("asked_d", "Asked", "d", wide=0.7),
            Column("month", "Worst month"),
            Column("holds", "Full batteries last"),
        ),
        tuple(rows),
    )


def setting_table(settings: Sequence[Setting]) -> List:
    """Return what is dialled into each charger."""
    rows = [
        (
            one.charger, one.battery, one.chemistry, _volts(one.absorption_v), _volts(one.float_v),
            _volts(one.equalise_v) or "never", _cold(one.per_c_v), one.limit_a,
            None if one.full_a is None else f"{one.full_a.low:.1f} to {one.full_a.high:.1f} A",
            one.least_c, one.typed, "",
        )
        for one in settings
    ]  # fmt: skip
    return List(
        "settings",
        "What is dialled into the chargers",
        "Usual volts of the chemistry; the battery maker's sheet wins. Write down what was dialled in.",
        (
            Column("charger", "Charger", of="part"),
            Column("battery", "Battery", of="part"),
            Column("chemistry", "Kind", wide=0.8),
            Column("absorption_v", "Absorption", wide=1.4),
            Column("float_v", "Float", wide=1.4),
            Column("equalise_v", "Equalising", wide=0.8),
            Column("per_c_v", "For each °C above 25"),
            Column("limit_a", "At most together", "A", wide=0.8),
            Column("full", "Full below"),
            Column("least_c", "Not below", "°C", wide=0.7),
            Column("typed", "In the plan", wide=1.2),
            Column("done", "Dialled in", wide=1.0),
        ),
        tuple(rows),
        (f"Volts: {PROFILE_SOURCE}.",),
    )


def _volts(band: Band | None) -> str | None:
    if band is None:
        return None
    return f"{band.low:.1f} V" if band.low == band.high else f"{band.low:.1f} to {band.high:.1f} V"


def _cold(band: Band | None) -> str:
    return "nothing" if band is None else f"{1000 * band.low:.0f} to {1000 * band.high:.0f} mV less"


__all__ = ["day_table", "promise_table", "setting_table"]
