"""Where a battery sits: inside with people or not, how warm it gets, how much gas it gives."""

from __future__ import annotations

from loomwright.errors import OutOfTableError
from loomwright.plan.model import Place
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity
from loomwright.protection.gassing import air_m3_h

from .sizes import ZONE_C, place_of
from .sources import UNSAID_CAPACITY_AH, battery_class

#: A place of such a zone has no air in common with the people.
_APART = ("outside", "underfloor", "engine_bay", "gas_locker")


def spot_of(wiring: Wiring, part_id: str) -> Place | None:
    """Return the place of a part, None if the plan does not say."""
    return wiring.plan.places.get(place_of(wiring, f"{part_id}.plus") or "")


def among_people(wiring: Wiring, part_id: str) -> bool:
    """True if a part is known to sit where people breathe the same air."""
    place = spot_of(wiring, part_id)
    return place is not None and not set(place.zones) & set(_APART)


def warmest_c(place: Place) -> float | None:
    """Return how warm a place gets: as typed, else by its zones; None if neither says. [°C]"""
    if place.temperature is not None:
        typed = [one.high for one in place.temperature.points.values() if isinstance(one, Quantity)]
        if typed:
            return max(typed)
    return max((ZONE_C[zone] for zone in place.zones if zone in ZONE_C), default=None)


def air_of(wiring: Wiring, part_id: str) -> float | None:
    """Return the air that thins out what a lead battery gives off, `count` alike; None for others. [m³/h]"""
    part = wiring.parts[part_id]
    capacity = part.capacity.high if isinstance(part.capacity, Quantity) else UNSAID_CAPACITY_AH
    alike = part.count if isinstance(part.count, int) and part.joined != "series" else 1
    try:
        return alike * air_m3_h(str(part.chemistry), capacity, battery_class(wiring, part_id))
    except OutOfTableError:
        return None
