"""The year of a van as JSON and as text with a picture: months, flat nights, autonomy, promises."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.assessment.energy.answers import (
    Cycles,
    Fill,
    Parked,
    Stop,
    cycles_of,
    fills_of,
    parked_of,
    stops_of,
)
from loomwright.assessment.energy.year import LONGEST_DAYS, Kept, MonthFigure, Spread, Year, year_of
from loomwright.assessment.record import Assessment
from loomwright.diagrams.energy import energy_sheets, no_year_sheet
from loomwright.drawing.scene import Sheet
from loomwright.errors import NoYearError
from loomwright.plan.calendar import MONTH_NAMES
from loomwright.rules.check import Checked

from .table import table

#: Bars of the picture, from empty to full.
_BARS = " ▁▂▃▄▅▆▇█"
CAUTION = (
    "Weather is drawn by lot from the climate of the place: a year to come is none of these. A cold\n"
    "battery, a shaded roof and other habits change every figure; on the way, read the battery monitor."
)


@dataclass(frozen=True, slots=True)
class YearReport:
    """What years of weather do to a van."""

    assessment: Assessment
    year: Year

    def as_dict(self) -> dict[str, object]:
        """Return it as one JSON object; keys carry their unit, absent figures are None."""
        year, job = self.year, self.assessment
        months = {one.month: one for one in year.months}
        used = {id: one for id, one in months.items() if one.season}
        return {
            "title": job.plan.title,
            "years": year.years,
            "seed": year.seed,
            "weather": year.taken_from,
            "sun_band_pct": year.band_pct,
            "season": {id: one.season or None for id, one in months.items()},
            "load_ah_per_day": {id: one.load_ah for id, one in months.items()},
            "solar_ah_per_day": {id: one.clear_sun_ah for id, one in months.items()},
            "solar_with_snow_ah_per_day": {id: one.sun_ah for id, one in months.items()},
            "driven_ah_per_day": {id: one.driven_ah for id, one in months.items()},
            "hook_up_ah_per_day": {id: one.hook_up_ah for id, one in months.items()},
            "missed_ah_per_day": {id: one.missed_ah for id, one in months.items()},
            "spilled_ah_per_day": {id: one.spilled_ah for id, one in months.items()},
            "lowest_charge_pct": {id: _spread(one.lowest_pct) for id, one in months.items()},
            "flat_nights_per_month": {id: one.flat_nights for id, one in months.items()},
            "flat_nights_per_year": {"mean": year.flat_nights[0], "p90": year.flat_nights[1]},
            "autonomy_days": {id: _spread(one.autonomy) for id, one in used.items()},
            "autonomy_counted_to_days": LONGEST_DAYS,
            "longest_without_full_days": year.longest_from_full_d,
            "promises": [_kept(one) for one in year.promises],
            "charge_pct_by_day": {
                name: [round(float(v), 1) for v in row]
                for name, row in zip(("p10", "p50", "p90"), year.held_pct, strict=True)
            },
            "stops": [one.as_dict() for one in stops_of(job)],
            "half_to_full": [one.as_dict() for one in fills_of(job)],
            "vehicle_battery_parked": [one.as_dict() for one in parked_of(job)],
            "battery_life": [one.as_dict() for one in cycles_of(job)],
        }

    def as_text(self) -> str:
        """Return it for people."""
        year, job = self.year, self.assessment
        mean, worst = year.flat_nights
        parts = [
            f"{job.plan.title}: {year.years} years of weather, from full each January",
            "",
            f"Charge through the year, one year in ten is lower:  {_picture(year)}",
            "                                                    J  F  M  A  M  J  J  A  S  O  N  D",
            "",
            f"Nights on which something is cut: {mean:.0f} a year; nine years in ten have no more than "
            f"{worst:.0f}.",
            "",
            table(MONTH_HEADS, self.months()),
        ]
        for head, lines in self.said():
            parts += ["", head, *lines]
        parts += [
            "",
            f"Weather: {year.taken_from}.",
            f"The sun may be out by {year.band_pct:.0f} % either way.",
        ]
        return "\n".join([*parts, "", CAUTION])

    def months(self) -> list[tuple[str, ...]]:
        """Return the months for people, as cells under `MONTH_HEADS`."""
        return [_row(one) for one in self.year.months]

    def said(self) -> list[tuple[str, list[str]]]:
        """Return what is told beside the months: heads with their sentences."""
        job = self.assessment
        answers = (
            ("Promises", [_promise(one) for one in self.year.promises]),
            ("What stops first", [_stop(one) for one in stops_of(job)]),
            ("From half empty to full", [_fill(one) for one in fills_of(job)]),
            ("The vehicle's battery, parked", [_parked(one) for one in parked_of(job)]),
            ("How old the batteries get", [_life(one) for one in cycles_of(job)]),
        )
        return [(head, lines) for head, lines in answers if lines]


def year_sheets(checked: Checked, years: int = 100) -> tuple[Sheet, ...]:
    """Draw the year of a van with what it means in words, or say why it has none."""
    try:
        report = YearReport(checked.assessment, year_of(checked.assessment, years))
    except NoYearError as none:
        return (no_year_sheet(checked, str(none)),)
    return energy_sheets(checked, report.year, report.said())


MONTH_HEADS = (
    "month",
    "season",
    "taken",
    "sun",
    "driving",
    "missed",
    "flat nights",
    "full batteries last, days",
)


def _row(one: MonthFigure) -> tuple[str, ...]:
    lasts = "–" if one.autonomy is None or not one.season else _days(one.autonomy)
    return (
        MONTH_NAMES[one.month],
        one.season or "–",
        f"{one.load_ah:.0f} Ah",
        f"{one.sun_ah:.0f} Ah",
        f"{one.driven_ah + one.hook_up_ah:.0f} Ah",
        f"{one.missed_ah:.0f} Ah",
        f"{one.flat_nights:.1f}",
        lasts,
    )


def _days(one: Spread) -> str:
    """Return a spread in words: one in ten is shorter, half, one in ten is longer."""
    if one.p10 >= LONGEST_DAYS:
        return f"more than {LONGEST_DAYS}"
    high = f"{one.p90:.1f}" if one.p90 < LONGEST_DAYS else f"over {LONGEST_DAYS}"
    mid = f"{one.p50:.1f}" if one.p50 < LONGEST_DAYS else f"over {LONGEST_DAYS}"
    return f"{mid} ({one.p10:.1f} to {high})"


def _picture(year: Year) -> str:
    """Return a line of bars: the charge that one year in ten is below, three bars a month."""
    low = year.held_pct[0]
    marks = []
    for n in range(36):
        part = low[round(n * 365 / 36) : round((n + 1) * 365 / 36)]
        marks.append(_BARS[min(int(float(part.mean()) / 100.0 * 8.999), 8)])
    return "".join(marks)


def _promise(one: Kept) -> str:
    """Return how often a promise is kept, and the honest sentence instead."""
    promise = one.promise
    month = MONTH_NAMES[promise.day.month]
    kept = (
        f"  {promise.id}: {promise.asked:.3g} days are kept in {one.of_100:.0f} of 100 such stays in {month}."
    )
    if one.of_100 >= 90.0:
        return kept
    days = int(one.nine_in_ten * 4.0) / 4.0
    return f"{kept} To be kept in nine of ten: {days:g} days."


def _stop(one: Stop) -> str:
    why = {
        "empty": "because the battery is then as empty as is planned",
        "cut-out": f"at its own cut-out of {one.cut_out_v:.1f} V" if one.cut_out_v is not None else "",
    }[one.why]
    return (
        f"  {one.load} stops at {one.charge_pct:.0f} % charge, {why}; the way to it loses {one.drop_v:.2f} V."
    )


def _fill(one: Fill) -> str:
    if one.hours is None:
        return f"  {one.by} never fills it."
    return f"  {one.by}: {one.hours:.1f} h."


def _parked(one: Parked) -> str:
    return (
        f"  {one.battery}: {1000.0 * one.drain_a:.0f} mA and what it loses by itself take half of it in "
        f"{one.half_days.low:.0f} to {one.half_days.high:.0f} days; after four weeks about "
        f"{one.after_four_weeks_pct:.0f} % is left."
    )


def _life(one: Cycles) -> str:
    return (
        f"  {one.battery}: {one.depth_pct:.0f} % a day in {one.season}; {one.years.low:.0f} to "
        f"{one.years.high:.0f} years, if it is filled up often."
    )


def _spread(one: Spread | None) -> dict[str, float] | None:
    return None if one is None else {"p10": one.p10, "p50": one.p50, "p90": one.p90}


def _kept(one: Kept) -> dict[str, object]:
    return {
        "promise": one.promise.id,
        "asked_days": one.promise.asked,
        "month": one.promise.day.month,
        "kept_of_100": one.of_100,
        "kept_in_nine_of_ten_days": one.nine_in_ten,
    }


__all__ = ["MONTH_HEADS", "YearReport", "year_sheets"]
