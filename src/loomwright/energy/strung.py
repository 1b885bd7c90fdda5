"""Many years out of the few of a weather file: the file's own first, then stretches of them strung together.

A file of one year says nothing of how years differ. A further year is made of stretches of five days; each is
taken from about the same time of a year of the file, up to ten days earlier or later, by lot. So days follow
each other as they did, dull spells of some days meet or miss each other, and no month comes from another
season. The sun is carried over as clearness, so that each hour has the light of its own date.

A typical year is put together from months that are none of them unusual: what is strung from it strays less
than the years of the place do.

Sources: block bootstrap of a series (Künsch 1989, Annals of Statistics 17(3), 1217-1241, from memory); the
length of a stretch follows the persistence of days, about 0.3 from one to the next.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, HOURS
from loomwright.energy.sun import Floats
from loomwright.energy.weather import Weather

#: Days of a stretch, and how many stretches earlier or later it may be taken from.
STRETCH: Final = 5
NEAR: Final = 2
#: In hours with less sun outside the atmosphere clearness is that of the day. [W/m²]
_LOW_W_M2: Final = 20.0
#: The clearest an hour is: edges of clouds throw light.
_CLEAREST: Final = 1.2


def strung(real: Weather, count: int, seed: int = 0) -> Weather:
    """Return as many years as are asked for.

    Parameters
    ----------
    real : Weather
        The years of a file.
    count : int
        How many years; those of the file come first, as they are.
    seed : int
        Another seed, other years; the same, the same.

    Returns
    -------
    Weather
        In the clock of the file.
    """
    made = max(count - real.count, 0)
    parts = [(real.ghi_w_m2, real.dhi_w_m2, real.air_c)]
    if made:
        parts.append(_made(real, [_drawn(real, seed, real.count + k) for k in range(made)]))
    ghi, dhi, air = (np.concatenate(of)[:count] for of in zip(*parts, strict=True))
    kept = min(count, real.count)
    words = f"{real.taken_from}: {kept} year{'s' if kept > 1 else ''} as measured or modelled there"
    if made:
        words += f", {made} strung from stretches of {STRETCH} days of them, seed {seed}"
    return Weather(
        ghi_w_m2=ghi, dhi_w_m2=dhi, air_c=air, sun=real.sun, clock=real.clock, taken_from=words
    )  # fmt: skip


def _drawn(real: Weather, seed: int, year: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return from which year and which day of it each day of a made year comes, shape (365,) each."""
    lot = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, year])))
    stretches = -(-DAYS // STRETCH)
    whose = lot.integers(0, real.count, stretches)
    moved = STRETCH * lot.integers(-NEAR, NEAR + 1, stretches)
    of_day = np.arange(DAYS) // STRETCH
    return whose[of_day], (np.arange(DAYS) + moved[of_day]) % DAYS


def _made(
    real: Weather, drawn: list[tuple[NDArray[np.intp], NDArray[np.intp]]]
) -> tuple[Floats, Floats, Floats]:
    """Return sun, sky and air of made years, shape (years, 8760) each."""
    years, days = (np.stack(of) for of in zip(*drawn, strict=True))
    outside = real.sun.outside_w_m2.reshape(DAYS, 24)
    level = real.ghi_w_m2.reshape(-1, DAYS, 24)
    whole = level.sum(-1) / np.maximum(outside.sum(-1), 1.0)
    clear = np.where(outside > _LOW_W_M2, level / np.maximum(outside, 1.0), whole[..., None])
    share = np.where(level > 0.0, real.dhi_w_m2.reshape(level.shape) / np.maximum(level, 1e-9), 1.0)
    ghi = np.clip(clear[years, days], 0.0, _CLEAREST) * outside
    air = real.air_c.reshape(level.shape)[years, days]
    dhi = ghi * share[years, days]
    shape = (len(years), HOURS)
    return ghi.reshape(shape), dhi.reshape(shape), air.reshape(shape)


__all__ = ["NEAR", "STRETCH", "strung"]
