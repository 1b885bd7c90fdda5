"""The year of a van as JSON and as text with a picture: months, flat nights, autonomy, promises."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.assessment.energy.answers import cycles_of, fills_of, parked_of, stops_of
from loomwright.assessment.energy.year import year_of
from loomwright.assessment.energy.year_record import Kept, MonthFigure, Spread, Year
from loomwright.assessment.energy.year_run import LONGEST_DAYS
from loomwright.assessment.record import Assessment
from loomwright.diagrams.energy import energy_sheets, no_year_sheet
from loomwright.drawing.scene import Sheet
from loomwright.errors import NoYearError
from loomwright.plan.calendar import MONTH_NAMES, in_words
from loomwright.rules.check import Checked

from .table import table
from .year_words import said_of

#: Bars of the picture, from empty to full.
_BARS = " ▁▂▃▄▅▆▇█"
CAUTION = (
    "Weather is drawn by lot from the climate or the weather file: a year to come is none of these. A cold\n"
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
            "habits": [one.as_dict() for one in year.habits],
            "lithium_in_cold": None if year.in_frost is None else year.in_frost.as_dict(),
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
            _how_sure(year),
        ]
        return "\n".join([*parts, "", CAUTION])

    def months(self) -> list[tuple[str, ...]]:
        """Return the months for people, as cells under `MONTH_HEADS`."""
        return [_row(one) for one in self.year.months]

    def said(self) -> list[tuple[str, list[str]]]:
        """Return what is told beside the months: heads with their sentences."""
        return said_of(self.assessment, self.year)


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
        in_words(one.season) or "–",
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


def _how_sure(year: Year) -> str:
    """Return how far the sun may be out; a file's own is not, but it holds few years."""
    if year.band_pct > 0.0:
        return f"The sun may be out by {year.band_pct:.0f} % either way."
    return "A year to come may be duller than any of the file."


def _picture(year: Year) -> str:
    """Return a line of bars: the charge that one year in ten is below, three bars a month."""
    low = year.held_pct[0]
    marks = []
    for n in range(36):
        part = low[round(n * 365 / 36) : round((n + 1) * 365 / 36)]
        marks.append(_BARS[min(int(float(part.mean()) / 100.0 * 8.999), 8)])
    return "".join(marks)


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
