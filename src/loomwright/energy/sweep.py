"""Many designs of battery, panels and charger under the same weather: on how many nights each is flat.

The sums are those of `tank`, hour by hour, compiled where the extra `fast` is installed; nothing is kept of
an hour but whether something was cut. All designs of a sweep have the same loads, air and sky, so that what
differs between them is their own doing.

Sources: as `tank`; that one weather for all makes differences sharper than their parts is common practice of
simulation (common random numbers).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import HOURS, MONTH_OF_HOUR
from loomwright.energy.tank import DUST_AH, Hourly, Tanks, is_fast

Floats = NDArray[np.float64]
_NOON = 12


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sky:
    """What all designs share.

    Attributes
    ----------
    load_a : ndarray, shape (8760,)
        What is asked for. [A]
    hook_up_a, driven_a : ndarray, shape (years, 8760) or (1, 8760)
        What the mains bring, and drives in the plan as it stands. [A]
    courses : tuple of ndarray, shape (years, 8760)
        The course of each array's sun; a design turns it into amperes by month.
    clear : ndarray, shape (years, 8760) or (1, 1)
        What snow leaves of the sun.
    warmth : ndarray, shape (years, 8760) or (1, 8760)
        What the cold leaves of a battery's capacity.
    may_charge : ndarray, shape (years, 8760) or (1, 8760)
        0 where a battery is too cold to be charged, else 1.
    """

    load_a: Floats
    hook_up_a: Floats
    driven_a: Floats
    courses: tuple[Floats, ...]
    clear: Floats
    warmth: Floats
    may_charge: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Designs:
    """What each of n designs is made of.

    Attributes
    ----------
    tanks : Tanks
        Their batteries, each figure of shape (n,).
    usable_ah : ndarray, shape (n,)
        What may be taken out of them while they are warm. [Ah]
    sun_a : ndarray, shape (n, arrays, 12)
        Amperes for each unit of an array's course, by month. [A]
    most_a : ndarray, shape (n, arrays)
        An array brings no more. [A]
    driven_times : ndarray, shape (n,)
        Drives bring so many times what they bring in the plan as it stands.
    """

    tanks: Tanks
    usable_ah: Floats
    sun_a: Floats
    most_a: Floats
    driven_times: Floats

    def some(self, first: int, beyond: int) -> Designs:
        """Return those from `first` until before `beyond`."""
        one = slice(first, beyond)
        names = Tanks.__dataclass_fields__
        return Designs(
            tanks=Tanks(**{name: getattr(self.tanks, name)[one] for name in names}),
            usable_ah=self.usable_ah[one],
            sun_a=self.sun_a[one],
            most_a=self.most_a[one],
            driven_times=self.driven_times[one],
        )


def flat_nights(sky: Sky, designs: Designs, years: int) -> NDArray[np.int64]:
    """Return on how many nights of each year, noon to noon, something is cut; each year begins full.

    Parameters
    ----------
    sky : Sky
    designs : Designs
        n of them.
    years : int

    Returns
    -------
    ndarray of int, shape (n, years)
    """
    if is_fast():
        return _compiled(sky, designs, years)
    n, capacity = len(designs.usable_ah), designs.tanks.capacity_ah[:, None]
    usable, times = designs.usable_ah[:, None], designs.driven_times[:, None]
    names = Tanks.__dataclass_fields__
    side_by_side = Tanks(**{name: getattr(designs.tanks, name)[:, None] for name in names})
    run = Hourly(side_by_side, np.broadcast_to(capacity, (n, years)))
    wide = (sky.clear, sky.warmth, sky.may_charge)
    clear, warmth, may_charge = (_by_hour(one, years) for one in wide)
    driven, hooked = (_by_hour(one, years) for one in (sky.driven_a, sky.hook_up_a))
    courses = [_by_hour(one, years) for one in sky.courses]
    by_month = [np.ascontiguousarray(one.T)[:, :, None] for one in designs.sun_a.transpose(1, 0, 2)]
    most = [designs.most_a[:, k, None] for k in range(len(courses))]
    nights = np.zeros((n, years), dtype=np.int64)
    cut, first_noon = np.zeros((n, years), dtype=bool), np.zeros((n, years), dtype=bool)
    for t in range(HOURS):
        sun = np.zeros((n, years))
        for course, amps, limit in zip(courses, by_month, most, strict=True):
            sun = sun + np.minimum(course[t] * amps[MONTH_OF_HOUR[t]], limit)
        source = sun * clear[t] + driven[t] * times + hooked[t]
        floor = capacity - usable * warmth[t]
        _, _, _, missed, _, _ = run.hour(sky.load_a[t], source, floor, may_charge[t])
        cut |= missed > DUST_AH
        if t % 24 == _NOON - 1:
            if t < 24:
                first_noon = cut
            else:
                nights += cut
            cut = np.zeros((n, years), dtype=bool)
    return nights + (cut | first_noon)


def _compiled(sky: Sky, designs: Designs, years: int) -> NDArray[np.int64]:
    """Return the same from compiled code."""
    from loomwright.energy import kernels

    nights = np.zeros((len(designs.usable_ah), years), dtype=np.int64)
    rows = (sky.hook_up_a, sky.driven_a, sky.clear, sky.warmth, sky.may_charge)
    hooked, driven, clear, warmth, may_charge = (_by_year(one) for one in rows)
    courses = [np.broadcast_to(one, (years, HOURS)) for one in sky.courses]
    kernels.flat_nights(
        designs.tanks.figures,
        designs.usable_ah,
        np.ascontiguousarray(designs.sun_a),
        np.ascontiguousarray(designs.most_a),
        designs.driven_times,
        sky.load_a,
        hooked,
        driven,
        np.array(courses, dtype=float).reshape(len(courses), years, HOURS),
        clear,
        warmth,
        may_charge,
        nights,
    )
    return nights


def _by_year(array: Floats) -> Floats:
    """Return an array with all hours in each row."""
    return np.ascontiguousarray(np.broadcast_to(array, (array.shape[0], HOURS)), dtype=float)


def _by_hour(array: Floats, years: int) -> Floats:
    """Return an array with the hours first, shape (8760, 1) or (8760, years)."""
    wide = np.broadcast_to(array, (array.shape[0], HOURS))
    assert wide.shape[0] in (1, years), "one row for all years, or one for each"
    return np.ascontiguousarray(wide.T)


__all__ = ["Designs", "Sky", "flat_nights"]
