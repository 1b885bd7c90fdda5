"""What a solar panel gives at its terminals, hour by hour, from the weather.

Light on the panel (beam, sky, and what the surface below throws back; what glass turns away at a slant), the
temperature of its cells by how it is mounted, dirt, snow and shade. Out come watts for each watt of its
rating at the best point of its curve, and the cells' temperature, with which `current_a` tells what flows at
any other voltage: a regulator without a converter holds the panel at the battery's. Cables and connectors are
left out, they are the loom's.

Sources: sky of Hay and Davies 1980; slant losses of glass by Fresnel and Bouguer as in De Soto, Klein and
Beckman 2006, and for light from all around Marion 2017; cells by the heat balance of Faiman 2008 (all from
memory, compared with pvlib in the tests). Losses: NREL/TP-6A20-62641, default list, less what a level roof on
its own does not have.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import DAYS, MONTH_OF_DAY, MONTH_OF_HOUR
from loomwright.energy.sun import GROUND_ALBEDO, Floats
from loomwright.energy.weather import Weather
from loomwright.source import Source

Mounting = Literal["free", "gap", "bonded"]
#: Heat that leaves a panel, for each square metre and kelvin: on a free rack; over an air gap of 20 to 60 mm;
#: glued to the roof. (common practice) [W/m²K]
HEAT_W_M2_K: Final[dict[Mounting, float]] = {"free": 29.0, "gap": 20.0, "bonded": 15.0}
#: Share of the light that a panel takes up, and of that what leaves it as electricity. (common practice)
TAKEN_UP, EFFICIENCY = 0.9, 0.2
#: Glass: refractive index, extinction [1/m], thickness [m].
_INDEX, _EXTINCTION, _THICK_M = 1.526, 4.0, 0.002
#: Sun lower than this counts as this high where light is led from level ground to a slope: sine of 1°.
_LOWEST: Final = 0.01745

SNOW_SOURCE: Final = Source(
    work="NS 3031", place="monthly soiling loss by snow", checked="published, second hand"
)
#: Share of its sun that a roof nobody sweeps loses to snow, January first. [%]
SNOW_PCT: Final = {
    "Oslo": (60, 75, 60, 2, 2, 2, 2, 2, 2, 2, 15, 45),
    "Bergen": (15, 30, 15, 2, 2, 2, 2, 2, 2, 2, 2, 23),
    "Trondheim": (60, 75, 45, 8, 2, 2, 2, 2, 2, 2, 15, 54),
    "Tromsø": (75, 75, 75, 75, 2, 2, 2, 2, 2, 30, 45, 60),
    "Lillehammer": (75, 75, 75, 30, 2, 2, 2, 2, 2, 2, 30, 75),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """What a panel loses of its rating whatever the weather, up to its terminals. [%]

    Attributes
    ----------
    dirt, mismatch, light_induced, nameplate, age : float
        A level panel does not wash itself: 3 to 5 % of dirt, 10 % under trees.
    wiring, connections : float
        0: the loom works them out. 2 and 0.5 are usual for a whole plant.
    """

    dirt: float = 3.0
    mismatch: float = 1.0
    light_induced: float = 1.5
    nameplate: float = 1.0
    age: float = 0.0
    wiring: float = 0.0
    connections: float = 0.0

    @property
    def kept(self) -> float:
        """The share that is left after all of them, one after the other."""
        parts = (self.dirt, self.mismatch, self.light_induced, self.nameplate, self.age)
        return left_of((*parts, self.wiring, self.connections))


def left_of(losses_pct: tuple[float, ...]) -> float:
    """Return what is left when losses come one after the other.

    Parameters
    ----------
    losses_pct : tuple of float
        Each of what the one before has left. [%]

    Returns
    -------
    float
        Between 0 and 1.
    """
    return float(np.prod([1 - loss / 100 for loss in losses_pct]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """How a panel lies, and how it minds the heat.

    Attributes
    ----------
    tilt_deg, azimuth_deg : float
        0 is level; 0 north, 90 east, 180 south. [°]
    mounting : str
        "free", "gap" (over an air gap on the roof) or "bonded" (glued to it).
    per_c_pct : float
        Power for each degree of its cells above 25 °C; crystalline silicon -0.29 to -0.40. [%/°C]
    losses : Losses
        What it loses whatever the weather.
    shade_pct : float or tuple of 12 float
        Share of its light that something around takes away, always or by month. [%]
    snow_days : tuple of 12 float, optional
        Days of each month with snow on it: the coldest ones of the month give nothing.
    """

    tilt_deg: float = 0.0
    azimuth_deg: float = 180.0
    mounting: Mounting = "gap"
    per_c_pct: float = -0.35
    losses: Losses = field(default_factory=Losses)
    shade_pct: float | tuple[float, ...] = 0.0
    snow_days: tuple[float, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Output:
    """What a panel gives.

    Attributes
    ----------
    w_per_wp : ndarray, shape (count, 8760)
        At the best point of its curve, for each watt of its rating. [W/W]
    light_w_m2 : ndarray, shape (count, 8760)
        Light that reaches the cells, after glass, dirt, shade and snow: 1000 gives the rated current. [W/m²]
    cell_c : ndarray, shape (count, 8760)
        Temperature of the cells. [°C]
    """

    w_per_wp: Floats
    light_w_m2: Floats
    cell_c: Floats

    def sum_by_year(self) -> Floats:
        """Return each year's yield, shape (count,). [kWh/kWp]"""
        return np.asarray(self.w_per_wp.sum(-1))


def output(weather: Weather, panel: Panel) -> Output:
    """Return what a panel gives in each hour.

    Parameters
    ----------
    weather : Weather
        Years of hours.
    panel : Panel
        How it lies.

    Returns
    -------
    Output
        Never below 0; 0 while the sun is down.
    """
    beam, around, below = on_panel(weather, panel.tilt_deg, panel.azimuth_deg)
    sky_glass, below_glass = glass_all_around(panel.tilt_deg)
    cosine = facing(weather, panel.tilt_deg, panel.azimuth_deg)
    open_part = 1 - np.asarray(panel.shade_pct, dtype=np.float64) / 100
    if open_part.ndim:
        open_part = open_part[MONTH_OF_HOUR]
    open_part = open_part * np.ones(weather.air_c.shape)
    if panel.snow_days is not None:
        open_part = open_part * ~np.repeat(snowed(weather.air_c, panel.snow_days), 24, axis=-1)
    taken = (beam + around + below) * open_part
    through = (beam * glass(cosine) + around * sky_glass + below * below_glass) * open_part
    cell = weather.air_c + taken * TAKEN_UP * (1 - EFFICIENCY) / HEAT_W_M2_K[panel.mounting]
    light = through * panel.losses.kept
    watts = light / 1000 * np.maximum(1 + panel.per_c_pct / 100 * (cell - 25.0), 0.0)
    return Output(w_per_wp=watts, light_w_m2=light, cell_c=cell)


# Light


def facing(weather: Weather, tilt_deg: float, azimuth_deg: float) -> Floats:
    """Return the cosine of the angle between the sun and the panel's face, shape (8760,), 0 from behind."""
    tilt, azimuth = np.radians(tilt_deg), np.radians(azimuth_deg)
    sun = weather.sun
    cosine = np.sin(tilt) * (np.sin(azimuth) * sun.east + np.cos(azimuth) * sun.north) + np.cos(tilt) * sun.up
    return np.asarray(np.where(sun.up > 0, np.clip(cosine, 0.0, 1.0), 0.0))


def on_panel(weather: Weather, tilt_deg: float, azimuth_deg: float) -> tuple[Floats, Floats, Floats]:
    """Return the light on a panel: from the sun and close about it, from the sky, from below.

    Parameters
    ----------
    weather : Weather
        Years of hours.
    tilt_deg, azimuth_deg : float
        0 is level; 0 north, 90 east, 180 south. [°]

    Returns
    -------
    tuple of 3 ndarray, shape (count, 8760)
        By the sky of Hay and Davies; their sum for a level panel is the level sun. [W/m²]
    """
    sun, tilt = weather.sun, np.radians(tilt_deg)
    direct = weather.ghi_w_m2 - weather.dhi_w_m2
    led = facing(weather, tilt_deg, azimuth_deg) / np.maximum(sun.up, _LOWEST)
    clear = np.clip(direct / np.maximum(sun.up, _LOWEST) / sun.beam_outside_w_m2, 0.0, 1.0)
    most = sun.beam_outside_w_m2 * facing(weather, tilt_deg, azimuth_deg)
    beam = np.minimum((direct + weather.dhi_w_m2 * clear) * led, most) if tilt_deg else (
        (direct + weather.dhi_w_m2 * clear) * np.minimum(led, 1.0)
    )  # fmt: skip
    around = weather.dhi_w_m2 * (1 - clear) * (1 + np.cos(tilt)) / 2
    if not tilt_deg:
        around = weather.ghi_w_m2 - beam
    below = weather.ghi_w_m2 * GROUND_ALBEDO * (1 - np.cos(tilt)) / 2
    return beam, around, below


def glass(cosine: Floats) -> Floats:
    """Return the share of light that passes glass at a slant, over that which passes it straight on.

    Parameters
    ----------
    cosine : ndarray
        Of the angle from straight on.

    Returns
    -------
    ndarray
        1 straight on, 0 along the glass.
    """
    c = np.clip(cosine, 1e-9, 1.0)
    inner = np.sqrt(1 - (1 - c**2) / _INDEX**2)
    across = ((c - _INDEX * inner) / (c + _INDEX * inner)) ** 2
    along = ((inner - _INDEX * c) / (inner + _INDEX * c)) ** 2
    straight = (1 - ((_INDEX - 1) / (_INDEX + 1)) ** 2) * np.exp(-_EXTINCTION * _THICK_M)
    passed = (1 - (across + along) / 2) * np.exp(-_EXTINCTION * _THICK_M / inner)
    return np.asarray(np.where(cosine > 0, passed / straight, 0.0))


@lru_cache(maxsize=64)
def glass_all_around(tilt_deg: float) -> tuple[float, float]:
    """Return the same for light from the whole sky, and from below, that a panel sees.

    Parameters
    ----------
    tilt_deg : float
        0 is level. [°]

    Returns
    -------
    tuple of 2 float
        Sky, below; 0 for a part that it does not see.
    """
    tilt = np.radians(tilt_deg)
    theta = ((np.arange(180) + 0.5) / 180 * np.pi / 2)[:, None]
    phi = ((np.arange(180) + 0.5) / 180 * np.pi)[None, :]  # the other half is the same
    weight = np.cos(theta) * np.sin(theta) * np.ones_like(phi)
    above = np.cos(theta) * np.cos(tilt) + np.sin(theta) * np.cos(phi) * np.sin(tilt) > 0
    passed = glass(np.cos(theta)) * weight
    parts = []
    for part in (above, ~above):
        seen = float(weight[part].sum())
        parts.append(float(passed[part].sum()) / seen if seen > 0 else 0.0)
    return parts[0], parts[1]


def snowed(air_c: Floats, snow_days: tuple[float, ...]) -> NDArray[np.bool_]:
    """Return on which days snow lies on the panel: the coldest of each month.

    Parameters
    ----------
    air_c : ndarray, shape (count, 8760)
        Temperature of the air. [°C]
    snow_days : tuple of 12 float
        So many days of each month, rounded to whole ones.

    Returns
    -------
    ndarray of bool, shape (count, 365)
        Whether it lies.
    """
    daily = air_c.reshape(-1, DAYS, 24).mean(-1)
    lies = np.zeros(daily.shape, dtype=bool)
    for month, days in enumerate(snow_days):
        here = np.flatnonzero(month == MONTH_OF_DAY)
        coldest = np.argsort(daily[:, here], axis=-1, kind="stable")[:, : round(days)]
        np.put_along_axis(lies, here[coldest], True, axis=-1)
    return lies
