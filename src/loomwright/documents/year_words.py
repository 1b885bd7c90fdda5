"""What the year of a van means, in sentences: promises, habits, cold; what stops, fills, stands and ages."""

from __future__ import annotations

from collections.abc import Iterator

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
from loomwright.assessment.energy.habits import Habit
from loomwright.assessment.energy.year_record import InFrost, Kept, Year
from loomwright.assessment.record import Assessment
from loomwright.plan.calendar import MONTH_NAMES, in_words, months_in_words


def said_of(job: Assessment, year: Year) -> list[tuple[str, list[str]]]:
    """Return what is told beside the months: heads with their sentences, those without any left out."""
    answers = (
        ("Promises", [_promise(one) for one in year.promises]),
        ("One habit", [_habit(one, year.flat_nights[0]) for one in year.habits]),
        ("Lithium in the cold", [] if year.in_frost is None else list(_cold(year.in_frost))),
        ("What stops first", [_stop(one) for one in stops_of(job)]),
        ("From half empty to full", [_fill(one) for one in fills_of(job)]),
        ("The vehicle's battery, parked", [line for one in parked_of(job) for line in _parked(one)]),
        ("How old the batteries get", [_life(one) for one in cycles_of(job)]),
    )
    return [(head, lines) for head, lines in answers if lines]


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


_HABITS = {
    "fridge_off_at_night": "off from 22 to 7 h",
    "fridge_one_degree_warmer": "set one degree warmer",
    "inverter_off_when_unused": "off while nothing runs behind it",
}


def _habit(one: Habit, before: float) -> str:
    """Return what a habit brings, and what it costs."""
    said = f"  {' and '.join(one.parts)} {_HABITS[one.habit]}: {one.saved_ah:.2g} Ah a day less"
    if round(one.flat_nights) != round(before):
        said += f", {one.flat_nights:.0f} flat nights a year instead of {before:.0f}"
    elif round(before) > 0:
        said += ", as many flat nights as now"
    if one.warmer_c < 1.0:
        return f"{said}."
    return f"{said}. What is in it gets {one.warmer_c:.0f} °C warmer: not for food that has to stay cold."


def _cold(one: InFrost) -> Iterator[str]:
    """Give what the cold does to the charge of lithium, where it does anything."""
    mean, worst = one.charged_h
    if mean >= 0.5:
        yield (
            f"  It is charged below {one.least_c:g} °C in {mean:.0f} hours a year, one year in ten more than "
            f"{worst:.0f}: that spoils the cells, and nothing in the plan stops it."
        )
    if one.stopped_h >= 0.5:
        yield f"  The cold stops its charge in {one.stopped_h:.0f} hours a year with something to come."
    if one.pad_ah >= 0.5:
        yield f"  The heat pad takes {one.pad_ah:.0f} Ah of the charge in a year."


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


def _parked(one: Parked) -> Iterator[str]:
    yield (
        f"  {one.battery}: {1000.0 * one.drain_a:.0f} mA and what it loses by itself take half of it in "
        f"{one.half_days.low:.0f} to {one.half_days.high:.0f} days; after four weeks about "
        f"{one.after_four_weeks_pct:.0f} % is left."
    )
    if one.second_ah:
        yield f"  {_second(one)}"


def _second(one: Parked) -> str:
    """Return what a second output of the sun's regulator does for a parked battery."""
    ends = sorted(one.second_ah, key=lambda month: one.second_ah[month])
    brings = " and ".join(f"{one.second_ah[m]:.2g} Ah a day in {MONTH_NAMES[m]}" for m in (ends[0], ends[-1]))
    said = f"With the house full, the sun's second output brings it at least {brings}"
    if not one.falls_in:
        return f"{said}: it stays full."
    less = "" if len(one.falls_in) == len(one.second_ah) else f" in {months_in_words(one.falls_in)}"
    return f"{said}; it loses up to {one.lost_ah.high:.2g} Ah, so it may fall{less}."


def _life(one: Cycles) -> str:
    return (
        f"  {one.battery}: {one.depth_pct:.0f} % a day in {in_words(one.season)}; {one.years.low:.0f} to "
        f"{one.years.high:.0f} years, if it is filled up often."
    )


__all__ = ["said_of"]
