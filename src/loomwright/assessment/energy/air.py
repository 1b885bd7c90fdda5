"""The air of a month where the van stands, and how cold its batteries get then.

What the plan's site does not say of a month is that of its weather file, else of the climate at its latitude
and longitude.

A battery where people live is about as warm as they are; one with the outside air about it follows that air
with the time constant of its place.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from loomwright.energy.climate import Climate, at
from loomwright.errors import OutOfClimate
from loomwright.plan.calendar import MONTHS
from loomwright.plan.model import Season
from loomwright.plan.values import Curve, Quantity
from loomwright.tables.living import ROOM_C, USUAL_SWING_C

from ..housing import spot_of
from ..record import Assessment
from ..zones import OPEN_AIR, lag_h, lagged_low_c
from .own_weather import own_weather


@dataclass(frozen=True, slots=True)
class Air:
    """The outside air of a month, by day and night. [°C]"""

    low_c: float
    high_c: float

    @property
    def mean_c(self) -> float:
        """The day's mean. [°C]"""
        return (self.low_c + self.high_c) / 2.0


def air_of(job: Assessment, month: str) -> Air | None:
    """Return the air of a month: as the plan's site says, else its climate's; None if it says no place."""
    site = job.plan.site
    if site is None:
        return None
    night, day, mean = (of_month(curve, month) for curve in (site.night, site.day, site.mean))
    if night is not None and day is not None:
        return Air(night.low, day.low)
    if mean is not None:
        return Air(mean.low - USUAL_SWING_C / 2.0, mean.low + USUAL_SWING_C / 2.0)
    known = night or day
    if known is None:
        climate = climate_of(job)
        n = MONTHS.index(month)
        return None if climate is None else Air(climate.night_c[n], climate.day_c[n])
    return Air(known.low, known.low + USUAL_SWING_C) if night else Air(known.low - USUAL_SWING_C, known.low)


def climate_of(job: Assessment) -> Climate | None:
    """Return the months of the plan's weather file, else the climate of its site.

    None where it has no latitude, or lies far out at sea.
    """
    site = job.plan.site
    own = own_weather(job.plan)
    if own is not None:
        return own.climate
    if site is None or not isinstance(site.lat, Quantity):
        return None
    lon = site.lon.mid if isinstance(site.lon, Quantity) else 0.0
    height = site.altitude if "altitude" in site.typed else None
    return _climate(site.lat.mid, lon, height.mid if isinstance(height, Quantity) else None)


@lru_cache(maxsize=8)
def _climate(lat_deg: float, lon_deg: float, altitude_m: float | None) -> Climate | None:
    try:
        return at(lat_deg, lon_deg, altitude_m)
    except OutOfClimate:
        return None


def of_month(curve: Curve | None, month: str) -> Quantity | None:
    """Return what a curve says of a month: the month's own point, or the one value that holds always."""
    if curve is None:
        return None
    value = curve.points.get(month) if curve.axis == "month" else curve.only()
    return value if isinstance(value, Quantity) else None


def battery_c(job: Assessment, battery: str, season: Season, month: str) -> float | None:
    """Return how cold a battery gets in a month of a season; None if nobody knows. [°C]"""
    place, air = spot_of(job.wiring, battery), air_of(job, month)
    typed = of_month(place.temperature, month) if place is not None else None
    if typed is not None:
        return typed.low
    if place is None or not OPEN_AIR & set(place.zones):
        return room_c(season)
    if air is None:
        return None
    return lagged_low_c(air.low_c, air.high_c, lag_h(place))


def room_c(season: Season) -> float:
    """Return how warm people keep the van in a season. [°C]"""
    return season.rooms.low if isinstance(season.rooms, Quantity) else ROOM_C


def inside_c(job: Assessment, season: Season, month: str) -> float:
    """Return the mean of the air inside: as warm as people keep it, warmer where it is warm outside. [°C]"""
    air = air_of(job, month)
    return max(room_c(season), air.mean_c) if air is not None else room_c(season)


__all__ = ["Air", "air_of", "battery_c", "climate_of", "inside_c", "of_month", "room_c"]
