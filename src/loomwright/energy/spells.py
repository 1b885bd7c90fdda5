"""Spells of dull days, and the same weather with each of them longer.

A day is dull if its sun is less than half of the mean of its month; a spell is one such day or several in a
row. A longer spell repeats the sun of its last day on the days after it, in place of what they had. The air
of those days stays, and nothing is taken back for it elsewhere: the year gets darker.

Sources: that a store is sized by days without sun in a row is common practice; the half is ours.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, MONTH_OF_DAY
from loomwright.energy.sun import Floats

#: A day with less than this share of the mean of its month is dull.
DULL_SHARE: Final = 0.5


def dull_days(ghi_w_m2: Floats) -> NDArray[np.bool_]:
    """Return which days are dull.

    Parameters
    ----------
    ghi_w_m2 : ndarray, shape (years, 8760)
        Sun on a level plane. [W/m²]

    Returns
    -------
    ndarray of bool, shape (years, 365)
    """
    daily = ghi_w_m2.reshape(-1, DAYS, 24).sum(-1)
    means = np.array([daily[:, m == MONTH_OF_DAY].mean() for m in range(12)])
    return np.asarray(daily < DULL_SHARE * means[MONTH_OF_DAY])


def longer(dull: NDArray[np.bool_], days: int) -> NDArray[np.int64]:
    """Return whose sun each day has when every spell is longer.

    Parameters
    ----------
    dull : ndarray of bool, shape (years, 365)
    days : int
        So many days are added to each spell; those that are dull by themselves stay as they are.

    Returns
    -------
    ndarray of int, shape (years, 365)
        The day of the same year, 0 to 364.

    Examples
    --------
    >>> dull = np.zeros((1, 365), dtype=bool)
    >>> dull[0, [3, 4]] = True
    >>> longer(dull, 2)[0, :9].tolist()
    [0, 1, 2, 3, 4, 4, 4, 7, 8]
    """
    whose = np.tile(np.arange(DAYS), (len(dull), 1))
    last, left = np.zeros(len(dull), dtype=np.int64), np.zeros(len(dull), dtype=np.int64)
    for day in range(DAYS):
        is_dull = dull[:, day]
        repeats = ~is_dull & (left > 0)
        whose[:, day] = np.where(repeats, last, day)
        last = np.where(is_dull, day, last)
        left = np.where(is_dull, days, left - repeats)
    return whose


def of_days(hours: Floats, whose: NDArray[np.int64]) -> Floats:
    """Return hours of which each day is that of another, shape (years, 8760).

    Parameters
    ----------
    hours : ndarray, shape (years, 8760)
    whose : ndarray of int, shape (years, 365)
        As from `longer`.
    """
    by_day = hours.reshape(len(hours), DAYS, 24)
    return np.take_along_axis(by_day, whose[:, :, None], axis=1).reshape(hours.shape)


__all__ = ["DULL_SHARE", "dull_days", "longer", "of_days"]
