"""Lithium in the cold, hour by hour: when its charge stops, what a heat pad takes, when nothing stops it.

A charge stops where the battery's management stops it (`cut_off.charge_below`), or where the charger has a
temperature probe fitted (`probe: fitted`) and the battery is colder than it may be charged. Management cuts
all sources from the battery and loads still get what comes; a charger with a probe stops itself. Where
neither does it, the battery is charged below its limit, and the hours are counted.

The warmth is that of its place with its lag, and of a pad, which works whenever something could charge.
Below `cut_off.discharge_below` it gives nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.energy.standard_year import HOURS
from loomwright.energy.warmth import Padded, warmed
from loomwright.plan.values import Quantity
from loomwright.tables.battery_warmth import HEAT_WH_PER_KG_C, USUAL_LAG_H, WANTED_ABOVE_C
from loomwright.tables.charge_profiles import PROFILES
from loomwright.tables.masses import BATTERY_KG_PER_AH

from ..housing import spot_of
from ..loads import count_of
from ..zones import lag_h
from .days import Energy
from .schedule import mains_currents
from .stores import Store, capacity_of

Floats = NDArray[np.float64]
_LITHIUM = "lifepo4"


@dataclass(frozen=True, slots=True, eq=False)
class Sources:
    """What could charge a tank by the hour, shapes (years, 8760) or (1, 8760). [A]"""

    sun_a: Floats
    drive_a: Floats
    hook_up_a: Floats

    @property
    def all_a(self) -> Floats:
        """All together."""
        return np.asarray(self.sun_a + self.drive_a + self.hook_up_a)


@dataclass(frozen=True, slots=True, eq=False)
class Frost:
    """A tank in the cold.

    Attributes
    ----------
    sources : Sources
        What is left of them: less what a pad takes, and where probes stop chargers.
    battery_c : ndarray
        How warm the battery is, its pad included. [°C]
    may_charge : ndarray
        0 where its management stops a charge, else 1.
    gives : ndarray
        0 where it is too cold to give anything, else 1.
    too_cold : ndarray of bool
        Colder than it may be charged; False for other kinds than lithium.
    stopped : ndarray of bool
        Something could charge and is stopped by management or all of it by probes.
    pad_a : ndarray
        What pads take. [A]
    least_c : float or None
        Charged from here on; None for other kinds. [°C]
    """

    sources: Sources
    battery_c: Floats
    may_charge: Floats
    gives: Floats
    too_cold: NDArray[np.bool_]
    stopped: NDArray[np.bool_]
    pad_a: Floats
    least_c: float | None


def frost_of(energy: Energy, store: Store, level: tuple[str, ...], celsius: Floats, come: Sources) -> Frost:
    """Return what the cold does to the charge of a level of a tank.

    Parameters
    ----------
    energy : Energy
    store : Store
    level : tuple of str
        Its batteries; the first speaks for all, their pads work together.
    celsius : ndarray
        How warm their place keeps them. [°C]
    come : Sources
        What could charge them.
    """
    part = energy.job.wiring.parts[level[0]]
    if part.chemistry != _LITHIUM:
        none = np.zeros((1, 1), dtype=bool)
        one = np.ones((1, HOURS))
        return Frost(come, celsius, one, one, none, none, np.zeros((1, 1)), None)
    typed = part.charge_temperature
    least = typed.low if isinstance(typed, Quantity) else PROFILES[_LITHIUM].least_c or 0.0
    celsius, pad_a = _padded(energy, store, level, celsius, come.all_a, least)
    too_cold = celsius < least
    fed = _less(come, pad_a)
    left = _probed(energy, store, fed, too_cold)
    stops = part.cut_off.charge_below if part.cut_off is not None else None
    shut = celsius < stops.low if isinstance(stops, Quantity) else np.zeros(celsius.shape, dtype=bool)
    ends = part.cut_off.discharge_below if part.cut_off is not None else None
    gives = np.where(celsius < ends.low, 0.0, 1.0) if isinstance(ends, Quantity) else np.ones((1, HOURS))
    stopped = (fed.all_a > 1e-9) & (shut | (too_cold & (left.all_a <= 0.0)))
    return Frost(left, celsius, np.where(shut, 0.0, 1.0), gives, too_cold, stopped, pad_a, least)


def _padded(
    energy: Energy, store: Store, level: tuple[str, ...], celsius: Floats, come_a: Floats, least_c: float
) -> tuple[Floats, Floats]:
    """Return how warm batteries are with their pads, and what those take. [°C, A]"""
    job = energy.job
    parts = [job.wiring.parts[id] for id in level]
    pad_w = sum(one.heat_pad.low * count_of(one) for one in parts if isinstance(one.heat_pad, Quantity))
    if pad_w <= 0.0:
        return celsius, np.zeros((1, 1))
    kilos = 0.0
    for id, part in zip(level, parts, strict=True):
        usual = BATTERY_KG_PER_AH[_LITHIUM].mid * capacity_of(job, id)[0] * store.volts / 12.8
        kilos += part.mass.mid * count_of(part) if isinstance(part.mass, Quantity) else usual
    place = spot_of(job.wiring, level[0])
    heat, lag = HEAT_WH_PER_KG_C * kilos, lag_h(place) if place is not None else 0.0
    if place is not None and isinstance(place.heat_loss, Quantity) and place.heat_loss.high > 0.0:
        lag = heat / place.heat_loss.high
    volts = store.volts / len(store.levels)
    one = Padded(pad_w=pad_w, heat_wh_per_c=heat, lag_h=lag or USUAL_LAG_H, wanted_c=least_c + WANTED_ABOVE_C)
    wide = np.broadcast_to(celsius, np.broadcast_shapes(celsius.shape, come_a.shape)).copy()
    warm, watts = warmed(one, wide, come_a * volts)
    return warm, watts / volts


def _less(come: Sources, taken_a: Floats) -> Sources:
    """Return sources less what is taken of them, each by its share."""
    whole = come.all_a
    left = np.where(whole > 0.0, 1.0 - taken_a / np.where(whole > 0.0, whole, 1.0), 1.0)
    return Sources(come.sun_a * left, come.drive_a * left, come.hook_up_a * left)


def _probed(energy: Energy, store: Store, come: Sources, too_cold: NDArray[np.bool_]) -> Sources:
    """Return sources without the chargers that a probe stops in hours that are too cold."""
    panels = {array: sum(_watts(energy, id) for id in array.panels) for array in energy.arrays
              if array.store == store.id}  # fmt: skip
    driven = [(one.part, one.ah_per_h) for one in energy.brings if one.store == store.id]
    shares = (
        _share(energy, ((array.regulator, watts) for array, watts in panels.items())),
        _share(energy, driven),
        _share(energy, mains_currents(energy)),
    )
    sun, drive, hooked = (np.where(too_cold, 1.0 - share, 1.0) for share in shares)
    return Sources(come.sun_a * sun, come.drive_a * drive, come.hook_up_a * hooked)


def _watts(energy: Energy, panel: str) -> float:
    part = energy.job.wiring.parts[panel]
    return part.power.mid * count_of(part) if isinstance(part.power, Quantity) else 1.0


def _share(energy: Energy, chargers: Iterable[tuple[str, float]]) -> float:
    """Return the share of what chargers bring that comes through those with a probe fitted."""
    parts, listed = energy.job.wiring.parts, list(chargers)
    whole = sum(brings for _, brings in listed)
    probed = sum(brings for id, brings in listed if id in parts and parts[id].probe == "fitted")
    return probed / whole if whole > 0.0 else 0.0


__all__ = ["Frost", "Sources", "frost_of"]
