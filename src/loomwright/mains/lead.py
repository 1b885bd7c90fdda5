"""Volts lost along a lead and the van's cables, and the heat of a lead that is left wound up.

Two ways to the same drop: the printed tables per ampere and metre, hot and rounded up, and the resistance
of the conductors. Left out: reactance, which is not felt up to 16 mm² (BS 7671, Appendix 4).

Sources: BS 7671 Appendix 4 (tables, formula); IEC 60228 by `protection.resistance`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from loomwright.errors import OutOfTableError
from loomwright.protection.resistance import conductor_resistance
from loomwright.tables.flex_drop import TABLES, WOUND_SHARE
from loomwright.tables.lookup import listed


class Leg(NamedTuple):
    """A stretch of cable, both conductors together, and what hangs at its far end. [Ω, W]"""

    ohm: float
    watts: float = 0.0


def table_drop_v(kind: str, area_mm2: float, amps: float, length_m: float) -> float:
    """Return the drop by the printed figure per ampere and metre.

    Parameters
    ----------
    kind : str
        One of `tables.flex_drop.TABLES`.
    area_mm2 : float
        A size that the table holds. [mm²]
    amps : float
        In line and neutral. [A]
    length_m : float
        Of the cable, one way. [m]

    Returns
    -------
    float
        There and back, at the cable's full heat. [V]

    Raises
    ------
    OutOfTableError
        No such kind or size.

    Examples
    --------
    >>> round(table_drop_v("flex_60", 2.5, 16.0, 25.0), 2)
    7.6

    References
    ----------
    BS 7671, Appendix 4, section 6.
    """
    if kind not in TABLES:
        raise OutOfTableError(f"no volt drops of {kind!r}; held: {', '.join(TABLES)}")
    table = TABLES[kind].mv_per_a_m
    if area_mm2 not in table:
        raise OutOfTableError(
            f"no volt drop of {area_mm2:g} mm² in {TABLES[kind].source.place}; sizes held: {listed(table)}"
        )
    return table[area_mm2] * amps * length_m / 1000.0


def cable_ohm(
    area_mm2: float, length_m: float, temp_c: float = 70.0, conductors: str = "iec_60228_class_5"
) -> float:
    """Return the resistance of two equal conductors of a cable, there and back.

    Parameters
    ----------
    area_mm2 : float
        Of each. [mm²]
    length_m : float
        Of the cable, one way. [m]
    temp_c : float
        Of the copper. [°C]
    conductors : str
        One of `protection.resistance.CONDUCTORS`.

    Returns
    -------
    float
        [Ω]

    Raises
    ------
    OutOfTableError
        Size or kind of conductor is not held.

    Examples
    --------
    >>> round(cable_ohm(2.5, 25.0), 3)
    0.477

    References
    ----------
    IEC 60228, Table 3; IEC 60028.
    """
    return 2.0 * conductor_resistance(area_mm2, length_m, temp_c, conductors)


def volts_along(volts: float, legs: Sequence[Leg]) -> tuple[float, ...] | None:
    """Return the volts at the end of each leg of one line, with loads that take their watts at any volts.

    Parameters
    ----------
    volts : float
        At the supply. [V]
    legs : sequence of Leg
        From the supply on: the lead, the van's cable, the last cable to the socket.

    Returns
    -------
    tuple of float or None
        At each end [V]; None if the line can't bring so many watts.
    """
    found = [volts] * len(legs)
    for _ in range(200):
        amps = [leg.watts / at for leg, at in zip(legs, found, strict=True)]
        now, at = [], volts
        for k, leg in enumerate(legs):
            at -= leg.ohm * sum(amps[k:])
            now.append(at)
        if min(now, default=volts) <= 0.0:
            return None
        if max((abs(a - b) for a, b in zip(now, found, strict=True)), default=0.0) < 1e-10 * volts:
            return tuple(now)
        found = now
    return None


def lead_heat_w(ohm: float, amps: float) -> float:
    """Return the heat of a lead, which a wound one can't shed: unwind it wholly before it is loaded.

    Parameters
    ----------
    ohm : float
        Both conductors. [Ω]
    amps : float
        In each. [A]

    Returns
    -------
    float
        [W]

    Examples
    --------
    >>> round(lead_heat_w(cable_ohm(1.5, 25.0), 13.0))
    134
    """
    return ohm * amps**2


def most_amps_wound(amps_unwound: float) -> float:
    """Return an order of size for what a lead on its drum carries, by what one drum is marked with.

    Parameters
    ----------
    amps_unwound : float
        What it carries laid out. [A]

    Returns
    -------
    float
        For a caution, not for sizing. [A]

    References
    ----------
    Markings of one cable drum, 500 W wound and 2300 W unwound: one source.
    """
    return amps_unwound * WOUND_SHARE
