"""What a supposed year differs in from the plan's own, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.energy.year_record import Year
from loomwright.diagrams.energy import tightest
from loomwright.plan.calendar import MONTH_NAMES
from loomwright.sizing.what_if import Knob, Tried

WRITTEN = (
    "Written into the plan. Look at its findings: cables, fuses, regulators and weights of the other sizes "
    "are checked anew."
)


def supposed(tried: Tried) -> str:
    """Return what was changed: "Panels 260 Wp instead of 180 Wp; fridge set warmer by 1 °C"."""
    said = "; ".join(_changed(knob, value) for knob, value in tried.changed)
    return said[:1].upper() + said[1:]


def written(tried: Tried) -> str:
    """Return what the step of undo is called that writes the sizes into the plan."""
    said = (f"{knob.says.lower()} {value:g} {knob.unit}" for knob, value in tried.changed if knob.parts)
    return f"what if: {', '.join(said)}"


def differences(tried: Tried, before: Year) -> list[str]:
    """Return what comes of it, beside the plan's own figures, in sentences.

    Parameters
    ----------
    tried : Tried
    before : Year
        The plan's own, of as many years.
    """
    return list(_differences(tried, before))


def _changed(knob: Knob, value: float) -> str:
    says = knob.says[:1].lower() + knob.says[1:]
    if not knob.parts:
        return f"{says} {value:g} {'day' if knob.unit == 'days' and value == 1 else knob.unit}"
    return f"{says} {value:g} {knob.unit} instead of {knob.now:g} {knob.unit}"


def _differences(tried: Tried, before: Year) -> Iterator[str]:
    after = tried.year
    was, now = round(before.flat_nights[0]), round(after.flat_nights[0])
    yield (
        f"{_more(now - was, 'flat night')} a year: {now} instead of {was}."
        if now != was
        else (f"As many flat nights a year as now: {was}." if was else "No flat nights, as now.")
    )
    one = tightest(after.months)
    if one is not None:
        own = next(month for month in before.months if month.month == one.month)
        said = f"Smallest margin in {MONTH_NAMES[one.month]}: {one.flat_nights:.1f} flat nights in it, now "
        said += f"{own.flat_nights:.1f}"
        low, own_low = one.lowest_pct.p10, own.lowest_pct.p10
        yield (
            f"{said}; one year in ten falls to {low:.0f} % charge, now {own_low:.0f} %."
            if abs(low - own_low) >= 2.0
            else f"{said}."
        )
    missed = [sum(month.missed_ah for month in year.months if month.season) for year in (before, after)]
    used = sum(1 for month in after.months if month.season)
    if used and abs(missed[1] - missed[0]) >= 0.1 * used:
        yield f"On a mean day of use {missed[1] / used:.1f} Ah are missed, now {missed[0] / used:.1f} Ah."
    if tried.clipped_a:
        yield f"The regulator stays: it brings no more than its {tried.clipped_a:g} A of them."
    warmer = next((value for knob, value in tried.changed if knob.name == "warmer"), 0.0)
    if warmer:
        yield f"What is in the fridge gets {warmer:g} °C warmer: not for food that has to stay cold."


def _more(by: int, what: str) -> str:
    return f"{abs(by)} {'more' if by > 0 else 'fewer'} {what}{'' if abs(by) == 1 else 's'}"


__all__ = ["WRITTEN", "differences", "supposed", "written"]
