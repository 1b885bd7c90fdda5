"""The air of each hour of synthetic years, from the months of a climate and the days' sun.

Warm and cold spells stay for days, bright days are warm in summer and cold in winter, and the coldest hour is
about sunrise. Spread and persistence: 15 German test reference years (computed); how the spread grows with
the distance of the months is fitted by eye to them and to three stations. Months have the means of the
climate in the long run.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from loomwright.energy.climate import Climate
from loomwright.energy.days import MOST_KT
from loomwright.energy.standard_year import DAYS, MONTH_OF_DAY
from loomwright.energy.sun import Floats, smooth_days


def _day_shape() -> Floats:
    """Return the course of a day, warmest less coldest 1, mean 0: Erbs and others 1983 (from memory)."""
    t = 2 * np.pi * (np.arange(24.0) + 0.5 - 1) / 24
    shape = 0.4632 * np.cos(t - 3.805) + 0.0984 * np.cos(2 * t - 0.360)
    shape += 0.0168 * np.cos(3 * t - 0.822) + 0.0138 * np.cos(4 * t - 3.513)
    shape -= shape.mean()
    return np.asarray(shape / (shape.max() - shape.min()))


_DAY_SHAPE: Final = _day_shape()
#: A warm or a cold day lasts: correlation with the day before, of 15 German stations. (computed)
AIR_STAYS: Final = 0.68


def air_of(climate: Climate, kt: Floats, kt_by_month: Floats, normal: Floats) -> Floats:
    """Return the air of each hour of synthetic years.

    The wider the months lie apart, the further days stray from them: 1 + 0.135 · (warmest - coldest month),
    3.4 °C in Germany. Bright days are warm in summer (correlation 0.54) and cold in winter (-0.22).

    Parameters
    ----------
    climate : Climate
        Its months of air, and its hemisphere.
    kt : ndarray, shape (count, 365)
        Clearness of each day.
    kt_by_month : ndarray, shape (count, 12)
        Mean clearness of each month.
    normal : ndarray, shape (count, 395)
        Random numbers, normal: the first sets the spell before January 1, the last 365 move the days.

    Returns
    -------
    ndarray, shape (count, 8760)
        Temperature. [°C]
    """
    count = len(kt)
    spread = 1.0 + 0.135 * (max(climate.air_c) - min(climate.air_c))
    season = np.cos(2 * np.pi * (np.arange(DAYS) - 15) / DAYS) * (1 if climate.lat_deg >= 0 else -1)
    together = 0.16 - 0.38 * season
    bright = np.clip((kt - kt_by_month[:, MONTH_OF_DAY]) / 0.155, -3.0, 3.0)
    linked = together / 0.8  # what the day before leaves, and months that are dull as a whole, blur it
    push = linked * bright + np.sqrt(np.maximum(0.0, 1 - linked**2)) * normal[:, 30:]
    push *= spread * np.sqrt(1 - AIR_STAYS**2) / np.sqrt(1 + 0.47 * linked**2)
    stray = np.empty((count, DAYS))
    last = normal[:, 0] * spread
    for day in range(DAYS):
        last = AIR_STAYS * last + push[:, day]
        stray[:, day] = last
    daily = smooth_days(climate.air_c) + stray
    span = 1.5 + 14.0 * np.clip(kt, 0.0, MOST_KT)
    return _eased(daily) + _eased(span) * np.tile(_DAY_SHAPE, DAYS)


def _eased(daily: Floats) -> Floats:
    """Return hourly values of daily ones, (count, 365) -> (count, 8760), led over three hours at midnight."""
    before, after = np.roll(daily, 1, -1), np.roll(daily, -1, -1)
    part = (np.arange(24) + 0.5) / 24
    early = np.maximum(0.5 - part * 4, 0.0)
    late = early[::-1]
    hours = daily[..., None] * (1 - late - early) + before[..., None] * early + after[..., None] * late
    return np.asarray(hours.reshape(len(daily), 24 * DAYS))
