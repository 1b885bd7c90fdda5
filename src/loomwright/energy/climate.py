"""Sun and air of a place, month by month, from a file in the package: no network, numpy alone.

The file holds land at every half degree (how it is made: `tools/make_climate.py`). Near a place that a
national table prints (`climate_data/published.csv`), the table wins and fades out by 150 km. Sun is that of a
free horizon: no trees, no hills, no street.

How far to trust it: in the United Kingdom and Germany the year came within 5 % (one standard deviation) of 26
published series; single months within 6 to 9 % from April to October and 13 to 17 % in winter. Elsewhere only
a few single points were compared, so that 15 % is assumed. Alpine valleys in winter come out up to a quarter
too sunny.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from loomwright.energy.nodes import modelled
from loomwright.energy.published import compared, published_about
from loomwright.energy.sun import Floats, clearness, plane_factors
from loomwright.source import Source

#: Air gets colder by so much on the way up: the standard atmosphere of ISO 2533.
LAPSE_C_PER_M: Final = 0.0065
SOURCE: Final = Source(
    work="MERRA-2 and GLDAS (NASA), ERA5 (Copernicus Climate Change Service)",
    place="monthly means by half degrees; see climate_data/ATTRIBUTION.txt",
    checked="computed",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """Twelve months of sun and air at a place, January first.

    Attributes
    ----------
    lat_deg, lon_deg : float
        North and east positive. [°]
    altitude_m : float
        That of the place if it was given, else the mean of the land about it. [m]
    ghi_kwh_m2_day : tuple of 12 float
        Irradiation of a level plane: the sun hours a day of a panel that lies flat. [kWh/m²/day]
    air_c : tuple of 12 float
        Mean temperature of the air, day and night. [°C]
    band_pct : float
        How far the sun of a whole year may be out, either way. [%]
    source : Source
        The work behind it.
    taken_from : str
        In words: which cells, which published table, what was put right.
    """

    lat_deg: float
    lon_deg: float
    altitude_m: float
    ghi_kwh_m2_day: tuple[float, ...]
    air_c: tuple[float, ...]
    band_pct: float
    source: Source
    taken_from: str

    @property
    def clearness(self) -> tuple[float, ...]:
        """Each month's sun over that outside the atmosphere."""
        return clearness(self.ghi_kwh_m2_day, self.lat_deg)

    @property
    def day_range_c(self) -> tuple[float, ...]:
        """Warmest less coldest hour of a mean day by month, 1.5 + 14 · clearness. [°C]

        Fitted to 15 German test reference years; single stations lie up to 4 °C off at a clear sky.
        """
        return tuple(1.5 + 14.0 * kt for kt in self.clearness)

    @property
    def night_c(self) -> tuple[float, ...]:
        """Coldest hour of a mean day by month. [°C]"""
        return tuple(mean - span / 2 for mean, span in zip(self.air_c, self.day_range_c, strict=True))

    @property
    def day_c(self) -> tuple[float, ...]:
        """Warmest hour of a mean day by month. [°C]"""
        return tuple(mean + span / 2 for mean, span in zip(self.air_c, self.day_range_c, strict=True))


def at(lat_deg: float, lon_deg: float = 0.0, altitude_m: float | None = None) -> Climate:
    """Return the climate of a place on land.

    Parameters
    ----------
    lat_deg, lon_deg : float
        North and east positive. [°] Without a longitude that of London is taken.
    altitude_m : float, optional
        Height above the sea, if known: the air is put right by 6.5 °C a kilometre. [m]

    Returns
    -------
    Climate
        Its twelve months, and where they come from.

    Raises
    ------
    OutOfClimate
        Not a place on earth, or further than 2° from all land of the file (57° S to 72° N).

    Examples
    --------
    >>> [round(hours, 1) for hours in at(51.5, -0.1).ghi_kwh_m2_day][::3]
    [0.7, 3.9, 5.0, 1.8]
    """
    ghi, air, ground, where = modelled(lat_deg, lon_deg)
    ghi_factor, air_step, table = published_about(lat_deg, lon_deg)
    height = ground if altitude_m is None else altitude_m
    air = air + air_step - LAPSE_C_PER_M * (height - ground)
    words = [where, table, "" if altitude_m is None else f"air for {altitude_m:g} m above the sea"]
    return Climate(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        altitude_m=float(round(height)),
        ghi_kwh_m2_day=_tuple(ghi * ghi_factor),
        air_c=_tuple(air),
        band_pct=5.0 if compared(lat_deg, lon_deg) else 15.0,
        source=SOURCE,
        taken_from="; ".join(word for word in words if word),
    )


def from_months(
    lat_deg: float,
    ghi_kwh_m2_day: Sequence[float],
    air_c: Sequence[float],
    *,
    lon_deg: float = 0.0,
    altitude_m: float = 0.0,
    band_pct: float = 0.0,
) -> Climate:
    """Return a climate from twelve months that somebody gives.

    Parameters
    ----------
    lat_deg : float
        North positive. [°]
    ghi_kwh_m2_day, air_c : sequence of 12 float
        Sun of a level plane and mean air, January first. [kWh/m²/day, °C]
    lon_deg, altitude_m : float
        Where it is, for the haze of a clear sky. [°, m]
    band_pct : float
        How far the sun may be out. [%]

    Returns
    -------
    Climate
        Of these months; its source is whoever gave them.
    """
    given = Source(work="own figures", place="twelve months as given", checked="one source")
    return Climate(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        altitude_m=altitude_m,
        ghi_kwh_m2_day=tuple(ghi_kwh_m2_day),
        air_c=tuple(air_c),
        band_pct=band_pct,
        source=given,
        taken_from="months as given",
    )


def on_plane(climate: Climate, tilt_deg: float, azimuth_deg: float = 180.0) -> tuple[float, ...]:
    """Return the factors by which a tilted plane gets more, or less, sun than a level one, by month.

    Parameters
    ----------
    climate : Climate
        The place.
    tilt_deg, azimuth_deg : float
        0 is level; 0 north, 90 east, 180 south. [°]

    Returns
    -------
    tuple of 12 float
        To multiply `ghi_kwh_m2_day` with; see `sun.plane_factors`.
    """
    return plane_factors(climate.ghi_kwh_m2_day, climate.lat_deg, tilt_deg, azimuth_deg)


def _tuple(values: Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)
