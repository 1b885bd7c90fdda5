"""Batteries by charge, temperature and age: how much more they resist, what they accept, how long they last.

The factors multiply the inner resistance of a new battery that is at least half full and warm (`batteries`).
Lead resists little more until it is half empty, then steeply; lithium iron phosphate gains most in the cold.

Sources: lead in the cold (half as much again at -18 °C) and near empty (two to three times) are handbook
lore from memory, so is the row of lithium; exponents of Peukert by three public lists of battery monitors;
lives in years and the taper of the charging current are common practice. A maker's sheet is better.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import log
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.tables.batteries import AGED_RESISTANCE, CHEMISTRIES, COLD_RESISTANCE
from loomwright.tables.lookup import between
from loomwright.units import Band

STATE_SOURCE = Source(
    work="common practice",
    place="inner resistance by charge, temperature and age, planning factors",
    checked="from memory",
)
PEUKERT_SOURCE = Source(
    work="manuals of battery monitors",
    place="lists of exponents by kind of battery",
    checked="published, second hand",
)
TAPER_SOURCE = Source(
    work="common practice",
    place="a lead battery takes its full charging current up to four fifths, then less and less",
    checked="common practice",
)
RISE_SOURCE = Source(
    work="common practice",
    place="volts of a lead battery that takes its full charging current, above those at rest",
    checked="from memory",
)
LIFE_SOURCE = Source(
    work="common practice", place="years of life by kind of battery", checked="common practice"
)

Points = tuple[tuple[float, float], ...]
_LEAD_BY_CHARGE: Points = ((0.0, AGED_RESISTANCE.mid), (20.0, 1.5), (50.0, 1.0), (100.0, 1.0))
_LEAD_BY_TEMPERATURE: Points = ((-30.0, 1.8), (-18.0, COLD_RESISTANCE), (25.0, 1.0), (60.0, 1.0))
#: Charge in per cent, and by how much a battery resists more. [%, ratio]
BY_CHARGE: Mapping[str, Points] = MappingProxyType(
    {
        **dict.fromkeys(("flooded", "efb", "agm", "gel", "unknown"), _LEAD_BY_CHARGE),
        "lifepo4": ((0.0, 2.0), (10.0, 1.4), (20.0, 1.2), (50.0, 1.0), (100.0, 1.0)),
    }
)
#: Temperature of the cells, and by how much a battery resists more. [°C, ratio]
BY_TEMPERATURE: Mapping[str, Points] = MappingProxyType(
    {
        **dict.fromkeys(("flooded", "efb", "agm", "gel", "unknown"), _LEAD_BY_TEMPERATURE),
        "lifepo4": ((-20.0, 3.0), (0.0, 1.6), (25.0, 1.0), (60.0, 1.0)),
    }
)
#: How long batteries last. [years]
LIFE_YEARS: Mapping[str, Band] = MappingProxyType(
    {
        "flooded": Band(4.0, 6.0),
        "efb": Band(4.0, 6.0),
        "agm": Band(5.0, 8.0),
        "gel": Band(5.0, 8.0),
        "lifepo4": Band(10.0, 15.0),
        "unknown": Band(4.0, 15.0),
    }
)
#: Exponent of Peukert.
PEUKERT: Mapping[str, Band] = MappingProxyType(
    {
        "flooded": Band(1.14, 1.30),
        "efb": Band(1.14, 1.30),
        "agm": Band(1.05, 1.15),
        "gel": Band(1.10, 1.25),
        "lifepo4": Band(1.02, 1.05),
        "unknown": Band(1.02, 1.30),
    }
)
#: Charge above which a battery takes less and less. [%]
TAPERS_FROM_PCT: Mapping[str, float] = MappingProxyType(
    {**dict.fromkeys(("flooded", "efb", "agm", "gel", "unknown"), 80.0), "lifepo4": 95.0}
)
#: What a full battery still takes, as a share of its capacity. [A per Ah]
TAIL_SHARE: Mapping[str, float] = MappingProxyType(
    {**dict.fromkeys(("flooded", "efb", "agm", "gel", "unknown"), 0.02), "lifepo4": 0.03}
)
#: A lead battery that takes its full charging current stands so much above its resting volts. [V per 12 V]
CHARGING_RISE_V = Band(0.6, 1.2)
#: Lithium iron phosphate likewise; its own resistance is most of it. [V per 12 V]
LITHIUM_RISE_V = Band(0.1, 0.3)


def resistance_factor(
    chemistry: str, charge_pct: float, temperature_c: float, age_years: float = 0.0
) -> float:
    """Return how many times as much a battery resists as a new one, half full or more and at 25 °C.

    Parameters
    ----------
    chemistry : str
        One of `batteries.CHEMISTRIES`, or "unknown".
    charge_pct : float
        Charge, 0 to 100. [%]
    temperature_c : float
        Of the cells; beyond the ends of the table its end holds. [°C]
    age_years : float
        Grows in a straight line to the middle of `AGED_RESISTANCE` at the middle of its life, and no
        further. [years]

    Returns
    -------
    float
        The product of the three, 1 or more.

    Raises
    ------
    OutOfTableError
        No such chemistry.

    Examples
    --------
    >>> resistance_factor("agm", 100.0, 25.0), resistance_factor("agm", 20.0, -18.0)
    (1.0, 2.25)
    """
    known(chemistry)
    aged = 1.0 + (AGED_RESISTANCE.mid - 1.0) * min(max(age_years, 0.0) / LIFE_YEARS[chemistry].mid, 1.0)
    return factor_by_charge(chemistry, charge_pct) * factor_by_temperature(chemistry, temperature_c) * aged


def factor_by_charge(chemistry: str, charge_pct: float) -> float:
    """Return the part of `resistance_factor` that charge has."""
    known(chemistry)
    return between(BY_CHARGE[chemistry], charge_pct)


def factor_by_temperature(chemistry: str, temperature_c: float) -> float:
    """Return the part of `resistance_factor` that the temperature of the cells has."""
    known(chemistry)
    return between(BY_TEMPERATURE[chemistry], temperature_c)


def accepts(chemistry: str, bulk_a: float, capacity_ah: float, charge_pct: float) -> float:
    """Return what a battery takes at its charging volts: all of its limit, then less in a straight line.

    Parameters
    ----------
    chemistry : str
        One of `batteries.CHEMISTRIES`, or "unknown".
    bulk_a : float
        The most that it takes. [A]
    capacity_ah : float
        At the 20 h rate. [Ah]
    charge_pct : float
        Charge, 0 to 100. [%]

    Returns
    -------
    float
        [A]

    Raises
    ------
    OutOfTableError
        No such chemistry.

    Examples
    --------
    >>> [accepts("agm", 25.0, 100.0, charge) for charge in (50.0, 80.0, 90.0, 100.0)]
    [25.0, 25.0, 13.5, 2.0]
    """
    known(chemistry)
    tail = min(TAIL_SHARE[chemistry] * capacity_ah, bulk_a)
    return between(((0.0, bulk_a), (TAPERS_FROM_PCT[chemistry], bulk_a), (100.0, tail)), charge_pct)


def hours_to_taper(
    bulk_a: float, tail_a: float, capacity_ah: float, from_share: float, to_share: float = 1.0
) -> float:
    """Return how long a battery charges from one state to another while its current tapers.

    Parameters
    ----------
    bulk_a, tail_a : float
        Current where the taper begins, and at full. [A]
    capacity_ah : float
        [Ah]
    from_share, to_share : float
        Where the taper begins, and where the charge ends, as shares of the capacity; the current falls in a
        straight line over the charge to full.

    Returns
    -------
    float
        τ · ln(I_bulk / I_end), τ = C (1 - s) / (I_bulk - I_tail). [h]

    Raises
    ------
    OutOfTableError
        The current does not fall, or the charge does not rise.

    Examples
    --------
    >>> round(hours_to_taper(20.0, 2.0, 100.0, 0.85), 3)
    1.919
    """
    if not (0.0 < tail_a < bulk_a and 0.0 <= from_share < to_share <= 1.0 and capacity_ah > 0.0):
        raise OutOfTableError(f"no taper from {bulk_a:g} A to {tail_a:g} A, {from_share:g} to {to_share:g}")
    ends_a = bulk_a + (tail_a - bulk_a) * (to_share - from_share) / (1.0 - from_share)
    return capacity_ah * (1.0 - from_share) / (bulk_a - tail_a) * log(bulk_a / ends_a)


def charging_rise_v(chemistry: str, nominal_v: float = 12.0) -> Band:
    """Return by how much a battery stands above its resting volts at its full charging current. [V]

    Raises
    ------
    OutOfTableError
        No such chemistry.
    """
    known(chemistry)
    return (LITHIUM_RISE_V if chemistry == "lifepo4" else CHARGING_RISE_V).times(nominal_v / 12.0)


def known(chemistry: str) -> None:
    """Raise OutOfTableError for a chemistry that is not held."""
    if chemistry not in BY_CHARGE:
        raise OutOfTableError(f'no battery chemistry "{chemistry}"; held: {", ".join(CHEMISTRIES)}, unknown')
