"""A van through many years of weather: how often it goes dark, month by month, and what is promised of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, HOURS, MONTH_OF_DAY
from loomwright.energy.tank import Hours
from loomwright.plan.calendar import MONTHS

from ..record import Assessment
from .days import day_promises
from .year_record import InFrost, MonthFigure, Spread, Year
from .year_run import Progress, YearRun, flat_days

Floats = NDArray[np.float64]


def year_of(job: Assessment, count: int = 100, seed: int = 0, progress: Progress | None = None) -> Year:
    """Run a van through years of weather.

    Parameters
    ----------
    job : Assessment
    count : int
        How many years.
    seed : int
        Another seed, another weather; the same, the same.
    progress : callable or None
        Told how many steps of how many are done.

    Returns
    -------
    Year

    Raises
    ------
    NoYearError
        As `YearRun`.
    MissingExtra
        pvlib is not installed.
    """
    said = progress or (lambda done, of: None)
    run = YearRun(job, count, seed)
    said(3, 16)
    hours = run.whole()
    said(4, 16)
    lasting = run.lasts(range(12), run.sun_a)
    said(14, 16)
    year = figures_of(run, hours, lasting)
    promises = tuple(run.kept(one) for one in day_promises(job) if one.day.store == run.store.id)
    return replace(year, promises=promises, habits=run.habits(year.flat_nights[0]))


def figures_of(run: YearRun, hours: Hours, lasting: Floats | None = None) -> Year:
    """Return the figures of some years, without promises and habits.

    Parameters
    ----------
    run : YearRun
    hours : Hours
        Of its years, as they came.
    lasting : ndarray or None
        How long full batteries last from days of each month, shape (12, n); None leaves it out. [days]
    """
    months = [_month(run, hours, m, None if lasting is None else lasting[m]) for m in range(12)]
    nights = flat_days(hours).sum(1)
    daily = hours.held_ah.reshape(run.count, DAYS, 24)[:, :, -1] * 100.0 / run.tank.capacity_ah
    return Year(
        store=run.store,
        level=run.level,
        capacity_ah=run.tank.capacity_ah,
        months=tuple(months),
        flat_nights=(float(nights.mean()), float(np.percentile(nights, 90))),
        years=run.count,
        seed=run.seed,
        taken_from=run.weather.taken_from,
        band_pct=run.climate.band_pct,
        held_pct=np.percentile(daily, (10, 50, 90), axis=0),
        floor_pct=_floor_pct(run),
        promises=(),
        longest_from_full_d=float(np.median(_longest_gap(hours, run.tank.capacity_ah))),
        in_frost=_in_frost(run, hours),
    )


def _in_frost(run: YearRun, hours: Hours) -> InFrost | None:
    frost = run.frost
    if frost.least_c is None:
        return None
    charged = ((hours.stored_ah > 1e-9) & frost.too_cold).sum(1)
    a_year = HOURS / frost.stopped.shape[1]
    return InFrost(
        least_c=frost.least_c,
        charged_h=(float(charged.mean()), float(np.percentile(charged, 90))),
        stopped_h=float(frost.stopped.sum(1).mean() * a_year),
        pad_ah=float(frost.pad_a.sum(1).mean() * HOURS / frost.pad_a.shape[1]),
    )


def _floor_pct(run: YearRun) -> Floats:
    floor = np.broadcast_to(run.floor_ah, (run.count, HOURS)).reshape(run.count, DAYS, 24)
    return np.asarray(floor.mean((0, 2)) * 100.0 / run.tank.capacity_ah)


def _longest_gap(hours: Hours, capacity_ah: float) -> Floats:
    """Return the longest time of each year in which the batteries are not full. [days]"""
    full = hours.held_ah >= 0.98 * capacity_ah
    longest, now = np.zeros(len(full)), np.zeros(len(full))
    for t in range(full.shape[1]):
        now = np.where(full[:, t], 0.0, now + 1.0)
        longest = np.maximum(longest, now)
    return np.asarray(longest / 24.0)


def _month(run: YearRun, hours: Hours, month: int, lasting: Floats | None) -> MonthFigure:
    days = np.flatnonzero(month == MONTH_OF_DAY)
    here = slice(24 * int(days[0]), 24 * (int(days[-1]) + 1))
    per_day = 24.0

    def mean(array: Floats) -> float:
        return float(array[..., here].mean()) * per_day

    load = run.schedule.load_a
    lowest = hours.held_ah[:, here].min(1) * 100.0 / run.tank.capacity_ah
    taken = mean(load)
    return MonthFigure(
        month=MONTHS[month],
        season=run.schedule.seasons[month] or "",
        load_ah=taken,
        missed_ah=mean(hours.missed_ah),
        clear_sun_ah=mean(run.clear_a),
        sun_ah=mean(run.shone_a),
        spilled_ah=mean(hours.spilled_ah),
        driven_ah=mean(run.schedule.drive_a),
        hook_up_ah=mean(run.schedule.hook_up_a),
        lowest_pct=Spread.of(lowest),
        flat_nights=float(flat_days(hours)[:, days].sum(1).mean()),
        autonomy=Spread.of(lasting) if taken > 0.0 and lasting is not None else None,
    )


__all__ = ["figures_of", "year_of"]
