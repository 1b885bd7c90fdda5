"""Runs of dull and bright days: daily clearness drawn from a library of Markov matrices.

A day's clearness is its sun over the sun outside the atmosphere. The mean of the month picks one of ten
matrices; today's state, a tenth of the matrix's range, picks the row that tomorrow is drawn from. What comes
out is a chain whose mean, spread and persistence are those of the class; `sums_met` then scales a month to
the sun that it has to give.

Two cures. In the class of 0.45 to 0.50 one entry of the second row was read as 0.530 where 0 makes the row
sum to 1. The class of 0.30 to 0.35 has too few days behind it (no persistence at all): the next class stands
in for it.

Source: Aguiar, Collares-Pereira and Conde 1988, Solar Energy 40(3), 269-279, tables of matrices (one source;
each row sums to 1 within 0.012 and is made to sum to it).
"""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files
from typing import Final

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, MONTH_OF_DAY
from loomwright.energy.sun import Floats
from loomwright.source import Source

SOURCE: Final = Source(
    work="Aguiar, Collares-Pereira and Conde 1988, Solar Energy 40(3)",
    place="pages 269-279, library of Markov matrices",
    checked="one source",
)
STATES: Final = 10
#: The class that stands in for one with too few days behind it.
_STANDS_IN: Final = {1: 2}
#: No day is duller, and none brighter: what stations show. (common practice)
LEAST_KT: Final = 0.03
MOST_KT: Final = 0.85


@cache
def library() -> tuple[Floats, Floats, Floats]:
    """Return the ten matrices as printed, rows made to sum to 1, and the range of clearness of each.

    Returns
    -------
    tuple of 3 ndarray
        Chances, shape (10, 10, 10): class, state of today, state of tomorrow; least clearness, shape (10,);
        most, shape (10,).
    """
    text = files("loomwright.energy").joinpath("climate_data/days.csv").read_text(encoding="ascii")
    rows = list(csv.DictReader(text.splitlines()))
    chances = np.array([[float(row[f"s{k}"]) for k in range(STATES)] for row in rows])
    chances = chances.reshape(-1, STATES, STATES)
    chances /= chances.sum(-1, keepdims=True)
    firsts = rows[::STATES]
    least, most = (np.array([float(row[end]) for row in firsts]) for end in ("least", "most"))
    return chances, least, most


def class_of(kt: float) -> int:
    """Return the class (0 to 9) of a month's mean clearness."""
    return int(np.clip(np.floor((kt - 0.25) / 0.05 + 1e-9), 0, STATES - 1))


def drawn(kt_by_month: Floats, uniform: Floats) -> Floats:
    """Draw daily clearness for several years at once; the means of months are not met yet.

    Parameters
    ----------
    kt_by_month : ndarray, shape (count, 12)
        Mean clearness of each month of each year.
    uniform : ndarray, shape (count, 366)
        Random numbers from 0 to 1; the first sets the state before January 1.

    Returns
    -------
    ndarray, shape (count, 365)
        Clearness of each day.
    """
    chances, least, most = library()
    sums = np.cumsum(chances, axis=-1)
    before = np.concatenate([np.zeros((*sums.shape[:2], 1)), sums[..., :-1]], axis=-1)
    classes = np.clip(np.floor((kt_by_month - 0.25) / 0.05 + 1e-9), 0, STATES - 1).astype(np.intp)
    for poor, better in _STANDS_IN.items():
        classes[classes == poor] = better
    state: NDArray[np.intp] = np.minimum(uniform[:, 0] * STATES, STATES - 1).astype(np.intp)
    done = np.empty((len(uniform), DAYS))
    for day in range(DAYS):
        which, chance = classes[:, MONTH_OF_DAY[day]], uniform[:, day + 1]
        row = sums[which, state]
        after = np.minimum((row < chance[:, None]).sum(-1), STATES - 1)
        wide = np.maximum(row[np.arange(len(after)), after] - before[which, state, after], 1e-12)
        within = np.clip((chance - before[which, state, after]) / wide, 0.0, 1.0)
        done[:, day] = least[which] + (most - least)[which] * (after + within) / STATES
        state = after
    return done


def sums_met(kt: Floats, outside: Floats, wanted: Floats, ceiling: Floats) -> Floats:
    """Scale daily clearness so that each month gives the sun that is wanted of it.

    Parameters
    ----------
    kt : ndarray, shape (count, 365)
        Clearness of each day.
    outside : ndarray, shape (365,)
        Sun outside the atmosphere. [kWh/m²/day]
    wanted : ndarray, shape (count, 12)
        Mean sun of each month. [kWh/m²/day]
    ceiling : ndarray, shape (365,)
        Clearness of a cloudless day. No day goes above it, unless its month could not give its sun then: such
        a month gets a ceiling that its mean reaches by nine tenths.

    Returns
    -------
    ndarray, shape (count, 365)
        Scaled clearness; 0 where there is no sun at all.
    """
    done = kt.copy()
    for month in range(12):
        days = np.asarray(month == MONTH_OF_DAY)
        light = outside[days]
        if light.sum() < 0.02 * days.sum():
            done[:, days] = 0.0
            continue
        need = wanted[:, month] * days.sum()
        fullest = (ceiling[days] * light).sum()
        top = ceiling[days] * np.maximum(1.0, need / (0.9 * fullest))[:, None]
        part = np.minimum(done[:, days], top)
        for _ in range(30):
            part *= (need / np.maximum((part * light).sum(-1), 1e-9))[:, None]
            part = np.clip(part, np.minimum(LEAST_KT, need / light.sum())[:, None], top)
        done[:, days] = part
    return done
