"""Months and days by the names that a plan has for them."""

from __future__ import annotations

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
