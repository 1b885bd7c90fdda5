"""Months and days by the names that a plan has for them."""

from __future__ import annotations

from collections.abc import Sequence

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
#: The same written out, as people say them.
MONTH_NAMES = dict(
    zip(
        MONTHS,
        ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
         "November", "December"),
        strict=True,
    )
)  # fmt: skip
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun", "daily", "weekdays", "weekends")


def in_words(season: str) -> str:
    """Return the id of a season as words.

    Examples
    --------
    >>> in_words("spring_autumn")
    'spring autumn'
    """
    return season.replace("_", " ")


def months_in_words(months: Sequence[str]) -> str:
    """Return months as people say them, those that follow each other together, over the turn of the year too.

    Examples
    --------
    >>> months_in_words(("jan", "feb", "jun", "nov", "dec"))
    'November to February and June'
    """
    at = {MONTHS.index(month) for month in months}
    if len(at) == len(MONTHS):
        return "all months"
    spans = []
    for first in sorted(one for one in at if (one - 1) % 12 not in at):
        last = first
        while (last + 1) % 12 in at:
            last = (last + 1) % 12
        ends = [MONTH_NAMES[MONTHS[first]], MONTH_NAMES[MONTHS[last]]]
        joint = " and " if (last - first) % 12 == 1 else " to "
        spans.append((last < first, first, ends[0] if first == last else joint.join(ends)))
    said = [words for _, _, words in sorted(spans, key=lambda one: (not one[0], one[1]))]
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} and {said[-1]}"
