"""The standard year that everything is counted in: 365 days, 8760 hours, no 29 February."""

from __future__ import annotations

import numpy as np

#: Days of each month, January first.
DAYS_IN_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
DAYS = 365
HOURS = 24 * DAYS
#: Month (0 to 11) of each day, shape (365,), and of each hour, shape (8760,).
MONTH_OF_DAY = np.repeat(np.arange(12), DAYS_IN_MONTH)
MONTH_OF_HOUR = np.repeat(MONTH_OF_DAY, 24)
