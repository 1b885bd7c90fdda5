"""The hour loops of `tank` and `sweep` once more, for the compiler of the extra `fast`.

Not to be imported for its own sake: `tank` and `sweep` load it where the compiler is installed, and run numpy
where it is not. Without the compiler the same functions are plain Python and slow. They do the arithmetic of
`one_tank` in its order. The compiler may neither reorder sums nor fuse a product with a sum; what may differ
in its last bit is a power (Peukert), which numpy takes for many numbers at once in a way of its own, and what
a compiler takes out of a loop. Promised is 1e-12 of the largest figure.

Compiled code is kept beside this file, else in the user's cache, and is used again by the next process.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import HOURS, MONTH_OF_HOUR

try:
    from numba import njit
except ImportError:
    njit = None
#: False where the compiler is missing, or does not go with what is installed.
IS_COMPILED = njit is not None

Floats = NDArray[np.float64]
Function = TypeVar("Function", bound=Callable[..., Any])
_DUST_AH, _NOON = 1e-9, 12


def compiled(function: Function) -> Function:
    """Return a function compiled when it is first called, or as it is without a compiler."""
    if njit is None:
        return function
    try:
        made: Function = njit(cache=True, nogil=True)(function)
    except RuntimeError:  # no folder to keep compiled code in
        made = njit(nogil=True)(function)
    return made


@compiled
def hour(
    held: float, is_on: bool, load: float, source: float, floor: float, share: float, figures: Floats
) -> tuple[float, bool, float, float, float, float, float, float]:
    """Take one battery on by an hour.

    Parameters
    ----------
    held : float
        In it. [Ah]
    is_on : bool
        Its loads were not cut.
    load, source, floor, share : float
        Of this hour, as for `one_tank`.
    figures : ndarray, shape (11,)
        Capacity, efficiency, limit, knee, fall over the taper, its span, what brings loads back, rest, rated
        and fastest current, Peukert's exponent.

    Returns
    -------
    tuple
        Held, on, stored, given, drained, missed, spilled, rested.
    """
    size, efficiency, limit, knee, fall, span, back, rest, rated, fastest, exponent = figures
    is_on = held > floor and (is_on or held >= floor + back)
    asked = load if is_on else 0.0
    over = source - asked
    left = max(over, 0.0)
    short = left - over
    takes = limit - fall * (max(held - knee, 0.0) / span)
    stored = min(min(left, max(takes * share, 0.0)), (size - held) / efficiency)
    times = 1.0
    if short > rated and exponent != 1.0:
        times = (min(short, fastest) / rated) ** (exponent - 1.0)
    drained = min(short * times, max(held - floor, 0.0))
    given = drained / times
    filled = held + efficiency * stored - drained
    rested = min(rest, filled)
    missed = load - asked + (short - given)
    return filled - rested, is_on, stored, given, drained, missed, left - stored, rested


@compiled
def tanks(
    figures: Floats,
    load: Floats,
    source: Floats,
    floor: Floats,
    share: Floats,
    start: Floats,
    out: Floats,
) -> None:
    """Run batteries one after the other.

    Parameters
    ----------
    figures : ndarray, shape (n, 11)
        As for `hour`.
    load, source, floor, share : ndarray, shape (n, hours) or (1, hours)
    start : ndarray, shape (n,)
    out : ndarray, shape (7, n, hours)
        Takes held, stored, given, drained, missed, spilled, rested.
    """
    for i in range(len(start)):
        held, is_on, own = start[i], True, figures[i]
        a = load[i if len(load) > 1 else 0]
        b = source[i if len(source) > 1 else 0]
        c = floor[i if len(floor) > 1 else 0]
        d = share[i if len(share) > 1 else 0]
        for t in range(len(a)):
            held, is_on, stored, given, drained, missed, spilled, rested = hour(
                held, is_on, a[t], b[t], c[t], d[t], own
            )
            out[0, i, t], out[1, i, t], out[2, i, t], out[3, i, t] = held, stored, given, drained
            out[4, i, t], out[5, i, t], out[6, i, t] = missed, spilled, rested


@compiled
def flat_nights(
    figures: Floats,
    usable: Floats,
    sun_a: Floats,
    most_a: Floats,
    times: Floats,
    load: Floats,
    hooked: Floats,
    driven: Floats,
    courses: Floats,
    clear: Floats,
    warmth: Floats,
    may_charge: Floats,
    nights: NDArray[np.int64],
) -> None:
    """Count the nights of each design and year, noon to noon, on which something is cut.

    Parameters
    ----------
    figures : ndarray, shape (n, 11)
        As for `hour`.
    usable, times : ndarray, shape (n,)
    sun_a : ndarray, shape (n, arrays, 12)
    most_a : ndarray, shape (n, arrays)
    load : ndarray, shape (8760,)
    hooked, driven, clear, warmth, may_charge : ndarray, shape (years, 8760) or (1, 8760)
    courses : ndarray, shape (arrays, years, 8760)
    nights : ndarray of int, shape (n, years)
        Takes the counts.
    """
    n, years = nights.shape
    for i in range(n):
        own, size = figures[i], figures[i, 0]
        for y in range(years):
            held, is_on, cut, first, count = size, True, False, False, 0
            a = driven[y if len(driven) > 1 else 0]
            b = hooked[y if len(hooked) > 1 else 0]
            c = clear[y if len(clear) > 1 else 0]
            d = warmth[y if len(warmth) > 1 else 0]
            e = may_charge[y if len(may_charge) > 1 else 0]
            for t in range(HOURS):
                sun, month = 0.0, MONTH_OF_HOUR[t]
                for k in range(len(courses)):
                    sun = sun + min(courses[k, y, t] * sun_a[i, k, month], most_a[i, k])
                source = sun * c[t] + a[t] * times[i] + b[t]
                held, is_on, _, _, _, missed, _, _ = hour(
                    held, is_on, load[t], source, size - usable[i] * d[t], e[t], own
                )
                cut = cut or missed > _DUST_AH
                if t % 24 == _NOON - 1:
                    if t < 24:
                        first = cut
                    elif cut:
                        count += 1
                    cut = False
            nights[i, y] = count + (1 if cut or first else 0)


__all__ = ["IS_COMPILED", "compiled", "flat_nights", "hour", "tanks"]
