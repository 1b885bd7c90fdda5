"""A battery as a tank of ampere-hours, hour by hour: what is served, stored, spilled and missed.

In each hour the sources first serve the loads; what is over goes into the battery, as much as it accepts, and
what is short comes out of it down to its floor. Below the floor the loads are cut, and stay cut until it is
filled to where they come back. A battery takes its full charging current up to some charge and then less and
less, in a straight line down to its tail current; what goes in comes out again but for a share. What it
gives faster than its rated current takes more off its charge than comes out (Peukert); a rest gives none of
that back.

`one_tank` is plain Python over the hours of one year; `tanks` runs any number side by side with numpy, or one
after the other in compiled code (`kernels`) where the extra `fast` is installed. All do the same sums in the
same order. Volts are left out: limits in volts are turned into charge before.

Sources: energy balance of stand-alone systems with a taper (common practice); the check values of
`tests/energy/test_tank.py` were worked out by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
#: What is missed below this is dust of a sum. [Ah]
DUST_AH = 1e-9


@cache
def is_fast() -> bool:
    """Say whether the compiler of the extra `fast` is there; asked when hours are run, it is loaded then."""
    if find_spec("numba") is None:
        return False
    from loomwright.energy import kernels

    return kernels.IS_COMPILED


@dataclass(frozen=True, slots=True, kw_only=True)
class Tank:
    """A battery, or several side by side.

    Attributes
    ----------
    capacity_ah : float
        [Ah]
    efficiency : float
        Ampere-hours out for each one in.
    limit_a : float
        Largest charging current. [A]
    taper_from : float
        Charge from which on it takes less; 1: never. [share]
    tail_a : float
        What it takes when full. [A]
    back_ah : float
        So much above the floor cut loads come back. [Ah]
    rest_a : float
        What it loses by itself. [A]
    rated_a, fastest_a : float
        Up to the first its capacity holds; beyond the second Peukert's law says no more. [A]
    exponent : float
        Peukert's, above that; 1: it always holds.
    """

    capacity_ah: float
    efficiency: float = 1.0
    limit_a: float = float("inf")
    taper_from: float = 1.0
    tail_a: float = 0.0
    back_ah: float = 0.0
    rest_a: float = 0.0
    rated_a: float = float("inf")
    fastest_a: float = float("inf")
    exponent: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hours:
    """What came of each hour; every array has the shape of the loads. [Ah in the hour, held: at its end]

    Attributes
    ----------
    held_ah : ndarray
        In the battery.
    stored_ah : ndarray
        Gone into it, at its posts.
    given_ah : ndarray
        Come out of it.
    drained_ah : ndarray
        Gone from its charge for that.
    missed_ah : ndarray
        Asked for and not served.
    spilled_ah : ndarray
        Could have come and was not wanted.
    rested_ah : ndarray
        Lost by itself.
    """

    held_ah: Floats
    stored_ah: Floats
    given_ah: Floats
    drained_ah: Floats
    missed_ah: Floats
    spilled_ah: Floats
    rested_ah: Floats


_ROWS = tuple(Hours.__dataclass_fields__)


def one_tank(
    tank: Tank,
    load_a: Sequence[float],
    source_a: Sequence[float],
    floor_ah: Sequence[float],
    charge_share: Sequence[float],
    start_ah: float,
) -> Hours:
    """Run one battery through its hours, in plain Python.

    Parameters
    ----------
    tank : Tank
    load_a, source_a : sequence of float
        What is asked for, and what could come, by hour. [A]
    floor_ah : sequence of float
        What has to stay in it, by hour: it is higher where the cold locks some of it away. [Ah]
    charge_share : sequence of float
        Share of its charging current that it may take, by hour: 0 while lithium is below zero.
    start_ah : float
        In it at first. [Ah]

    Returns
    -------
    Hours
        Arrays of the length of `load_a`.
    """
    held, is_on, size = start_ah, True, tank.capacity_ah
    knee, span = tank.taper_from * size, (1.0 - tank.taper_from) * size
    rows: list[tuple[float, ...]] = []
    for load, source, floor, share in zip(load_a, source_a, floor_ah, charge_share, strict=True):
        is_on = held > floor if is_on else held >= floor + tank.back_ah and held > floor
        asked = load if is_on else 0.0
        over = source - asked
        takes = tank.limit_a
        if held > knee and span > 0.0:
            takes = tank.limit_a - (tank.limit_a - tank.tail_a) * ((held - knee) / span)
        stored = min(max(over, 0.0), max(takes * share, 0.0), (size - held) / tank.efficiency)
        short, there = max(-over, 0.0), max(held - floor, 0.0)
        times = _times(short, tank)
        drained = min(short * times, there)
        given = drained / times
        missed = load - asked + (short - given)
        filled = held + tank.efficiency * stored - drained
        rested = min(tank.rest_a, filled)
        held = filled - rested
        rows.append((held, stored, given, drained, missed, max(over, 0.0) - stored, rested))
    return _hours(np.array(rows, dtype=np.float64).reshape(-1, len(_ROWS)).T)


def _times(amps: float, tank: Tank) -> float:
    """Return how much more goes from the charge than comes out at a current."""
    if amps <= tank.rated_a or tank.exponent == 1.0:
        return 1.0
    return float((min(amps, tank.fastest_a) / tank.rated_a) ** (tank.exponent - 1.0))


def _hours(table: Floats) -> Hours:
    """Return the rows of a run as hours."""
    return Hours(**dict(zip(_ROWS, table, strict=True)))


def beside(years: Sequence[Hours]) -> Hours:
    """Return the hours of several years side by side, shape (n, hours) from (hours,) each."""
    names = Hours.__dataclass_fields__
    return Hours(**{name: np.stack([getattr(one, name) for one in years]) for name in names})


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tanks:
    """Batteries side by side; each figure as in `Tank`, shape (n,)."""

    capacity_ah: Floats
    efficiency: Floats
    limit_a: Floats
    taper_from: Floats
    tail_a: Floats
    back_ah: Floats
    rest_a: Floats
    rated_a: Floats
    fastest_a: Floats
    exponent: Floats

    @classmethod
    def of(cls, tanks: Sequence[Tank]) -> Tanks:
        """Return the batteries side by side."""
        names = cls.__dataclass_fields__
        return cls(**{name: np.array([getattr(one, name) for one in tanks], dtype=float) for name in names})

    @property
    def figures(self) -> Floats:
        """What compiled code is told of each, shape (n, 11); see `kernels.hour`."""
        span = (1.0 - self.taper_from) * self.capacity_ah
        tapers = span > 0.0
        with np.errstate(invalid="ignore"):
            fall = np.where(tapers, self.limit_a - self.tail_a, 0.0)
        knee, over = self.taper_from * self.capacity_ah, np.where(tapers, span, 1.0)
        columns = (
            self.capacity_ah,
            self.efficiency,
            self.limit_a,
            knee,
            fall,
            over,
            self.back_ah,
            self.rest_a,
            self.rated_a,
            self.fastest_a,
            self.exponent,
        )
        return np.ascontiguousarray(np.stack(columns, axis=-1))


class Hourly:
    """Batteries side by side, taken from hour to hour.

    Parameters
    ----------
    many : Tanks
        Each figure of a shape that goes with that of `start_ah`.
    start_ah : ndarray
        In them at first. [Ah]
    """

    def __init__(self, many: Tanks, start_ah: Floats) -> None:
        self.many = many
        span = (1.0 - many.taper_from) * many.capacity_ah
        tapers = span > 0.0
        self._knee = many.taper_from * many.capacity_ah
        self._fall = np.where(tapers, many.limit_a - many.tail_a, 0.0)
        self._over_span = np.where(tapers, span, 1.0)
        self._slow_a = float(np.min(np.where(many.exponent > 1.0, many.rated_a, np.inf)))
        self.held_ah = np.array(start_ah, dtype=float)
        self._is_on = np.ones(self.held_ah.shape, dtype=bool)

    def hour(self, load: Floats, source: Floats, floor: Floats, share: Floats) -> tuple[Floats, ...]:
        """Go on by an hour; return what was stored, given, drained, missed, spilled and rested. [Ah]

        Parameters
        ----------
        load, source, floor, share : ndarray
            Of this hour, as for `one_tank`.
        """
        many, held = self.many, self.held_ah
        above = held > floor
        self._is_on = is_on = above & (self._is_on | (held >= floor + many.back_ah))
        asked = np.where(is_on, load, 0.0)
        over = source - asked
        left = np.maximum(over, 0.0)
        short = left - over
        takes = many.limit_a - self._fall * (np.maximum(held - self._knee, 0.0) / self._over_span)
        room = (many.capacity_ah - held) / many.efficiency
        stored = np.minimum(np.minimum(left, np.maximum(takes * share, 0.0)), room)
        there = np.maximum(held - floor, 0.0)
        if np.max(short) <= self._slow_a:
            given = drained = np.minimum(short, there)
        else:
            times = self._times(short)
            drained = np.minimum(short * times, there)
            given = drained / times
        filled = held + many.efficiency * stored - drained
        rested = np.minimum(many.rest_a, filled)
        self.held_ah = filled - rested
        return stored, given, drained, load - asked + (short - given), left - stored, rested

    def _times(self, short: Floats) -> Floats:
        """As for one tank, for all."""
        many = self.many
        counted = np.maximum(np.minimum(short, many.fastest_a) / many.rated_a, 1.0)
        return np.asarray(counted ** (many.exponent - 1.0))


def tanks(
    many: Tanks, load_a: Floats, source_a: Floats, floor_ah: Floats, charge_share: Floats, start_ah: Floats
) -> Hours:
    """Run batteries side by side.

    Parameters
    ----------
    many : Tanks
        n of them.
    load_a, source_a, floor_ah, charge_share : ndarray, shape (n, hours) or (1, hours)
        As for `one_tank`.
    start_ah : ndarray, shape (n,)
        [Ah]

    Returns
    -------
    Hours
        Arrays of shape (n, hours).
    """
    hours, n = load_a.shape[1], len(many.capacity_ah)
    if is_fast():
        from loomwright.energy import kernels

        load, source, floor, share = (
            np.ascontiguousarray(one) for one in (load_a, source_a, floor_ah, charge_share)
        )
        found = np.empty((len(_ROWS), n, hours))
        kernels.tanks(many.figures, load, source, floor, share, np.array(start_ah, dtype=float), found)
        return _hours(found)
    run, out = Hourly(many, start_ah), np.empty((len(_ROWS), hours, n))
    by_hour = [np.ascontiguousarray(one.T) for one in (load_a, source_a, floor_ah, charge_share)]
    for t in range(hours):
        load, source, floor, share = (one[t] for one in by_hour)
        out[1:, t] = run.hour(load, source, floor, share)
        out[0, t] = run.held_ah
    return _hours(out.transpose(0, 2, 1))


__all__ = ["DUST_AH", "Hourly", "Hours", "Tank", "Tanks", "beside", "is_fast", "one_tank", "tanks"]
