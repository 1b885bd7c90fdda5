"""The table of a day: what each load takes, what sun and driving bring, how long full batteries last."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.energy.days import Day, day_promises, lasting_seasons
from loomwright.assessment.record import Assessment
from loomwright.plan.calendar import MONTH_NAMES, in_words

from .figures import quantity, row
from .record import Table


def day_tables(job: Assessment, id: str) -> Iterator[Table]:
    """Give the table of a promise of days, or of a season."""
    for one in day_promises(job):
        if one.id == id:
            yield _day(one.day, f"asked {quantity(one.asked, 'd')}, ")
    if id in job.plan.use:
        for day in lasting_seasons(job):
            if day.season == id:
                yield _day(day, "")


def _day(day: Day, asked: str) -> Table:
    rows = tuple(row(step) for step in day.steps)
    return Table(
        key="day",
        title=f"A day of {in_words(day.season)} in {MONTH_NAMES[day.month]}, at the posts of the batteries",
        rows=rows,
        result=f"{asked}full batteries last {quantity(day.days, 'd')}",
    )


__all__ = ["day_tables"]
