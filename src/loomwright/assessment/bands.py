"""Default bands out of the tables, under the names that the plan uses."""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.errors import OutOfTableError
from loomwright.plan.values import Amount, Curve
from loomwright.protection import fusing
from loomwright.protection.resistance import conductor_resistance
from loomwright.protection.sizing import sizes
from loomwright.source import Source
from loomwright.tables import awg, batteries, iec_60228
from loomwright.tables.contacts import CONTACTS

#: What kind of contact a closed passage of a part is. Others count as a switch.
_CONTACT_OF = {
    "plug": "pin",
    "master_switch": "isolator",
    "sensing_relay": "isolator",
    "shunt": "isolator",
    "control_panel": "switch",
}


def contact(name: str) -> tuple[float, float, Source]:
    """Return the fresh band of a kind of joint, and its source. [Ω]"""
    row = CONTACTS[name]
    return row.fresh_ohm.low, row.fresh_ohm.high, row.source


def worn_ohm(name: str) -> float:
    """Return the most that a kind of joint resists after years. [Ω]"""
    return CONTACTS[name].aged_ohm.high


def contact_name(kind: str) -> str:
    """Return the kind of contact that a part of this kind closes with."""
    return _CONTACT_OF.get(kind, "switch")


def usual_fuse_kind(rating_a: float | None) -> str:
    """Return the fuse type taken where none is said: blade up to 30 A, bolted above."""
    return fusing.usual_type(0.0 if rating_a is None else rating_a)


def fuse(kind: str, rating_a: float) -> tuple[float, float, Source]:
    """Return the cold resistance of a fuse as a band, and its source. [Ω]"""
    band = fusing.fuse_resistance(kind, rating_a)
    return band.low, band.high, fusing.fuse_resistance_source(kind, rating_a)


def largest_fuse(kind: str, lasting_a: float, up_to_a: float) -> float | None:
    """Return the largest standard fuse that a cable good for `up_to_a` allows and that carries `lasting_a`.

    One of the same type if there is one, else a bolted one; None if no fuse does both. [A]
    """
    for tried in (kind, "bolted"):
        try:
            ratings = fusing.standard_ratings(tried)
        except OutOfTableError:
            continue
        best = max((rating for rating in ratings if rating <= up_to_a), default=0.0)
        if best >= lasting_a and best > 0:
            return best
    return None


def typed_fuse(fuses: Mapping[str, Curve] | None, kind: str, rating_a: float) -> Amount | None:
    """Return the resistance that the plan's basis gives such a fuse, None if it gives none."""
    curve = (fuses or {}).get(kind)
    if curve is None:
        return None
    return next((ohm for rating, ohm in curve.points.items() if rating == rating_a), None)


def breaks_a(kind: str, rating_a: float | None, volts: float) -> float | None:
    """Return the breaking capacity of a fuse at these volts, None if not known. [A]"""
    known = None if rating_a is None else fusing.breaking_capacity(kind, rating_a, volts)
    return None if known is None else known[0]


def charge_limit(chemistry: str, capacity_ah: float) -> tuple[float, float, Source]:
    """Return the usual largest charging current of a battery as a band, and its source. [A]"""
    try:
        band = batteries.charge_limit(chemistry, capacity_ah)
    except OutOfTableError:
        band = batteries.charge_limit("agm", capacity_ah)
    return band.low, band.high, batteries.CHARGE_SOURCE


def copper_ohm(area_mm2: float, length_m: float, temp_c: float, conductors: str) -> float:
    """Return the resistance of a conductor; a size beyond the table counts in proportion to its end. [Ω]"""
    try:
        return conductor_resistance(area_mm2, length_m, temp_c, conductors)
    except OutOfTableError:
        listed = sizes(conductors)
        end = listed[-1] if area_mm2 > listed[-1] else listed[0]
        return conductor_resistance(end, length_m, temp_c, conductors) * end / area_mm2


def conductor_source(conductors: str) -> Source:
    """Return the source of the ohms per metre counted with."""
    if conductors == "awg":
        return awg.AWG_SOURCE
    return iec_60228.CLASS_2_SOURCE if "class_2" in conductors else iec_60228.CLASS_5_SOURCE


def inner_resistance(chemistry: str, capacity_ah: float, nominal_v: float) -> tuple[float, float, Source]:
    """Return the planning band of a battery's inner resistance, full and at 25 °C, and its source. [Ω]"""
    known = chemistry if chemistry in batteries.CHEMISTRIES else "flooded"
    band = batteries.internal_resistance(known, capacity_ah, nominal_v)
    return band.low, band.high, batteries.RESISTANCE_SOURCE
