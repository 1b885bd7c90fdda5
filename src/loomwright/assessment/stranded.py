"""Chargers left without a battery: what drives them stays, and a switch has taken their battery away."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomwright.plan.pieces import Wiring

from .joined import Joined, Pair, always_closed, doors_of, openers
from .states import Contact

#: Plus and minus of what charges, and the terminal at which it is driven; "": it drives itself.
_CHARGERS = {
    "solar_regulator": ("battery", "battery_minus", "panel"),
    "b2b": ("out", "minus", "in"),
    "mains_charger": ("plus", "minus", ""),
    "fuel_cell": ("plus", "minus", ""),
}
_DRIVERS = {"panel": ("solar_panel",), "in": ("battery", "vehicle_battery", "alternator")}
#: What takes a battery away as a whole.
_OPENS = ("master_switch", "switch", "low_voltage_cut")


def left_without_battery(wiring: Wiring, closed: Sequence[Contact]) -> dict[str, tuple[str, ...]]:
    """Return the devices that leave chargers without any battery when they open, and these chargers.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    closed : sequence of Contact
        As they stand for the consumers; links between vehicle and house are open.
    """
    chargers = list(_wired(wiring))
    if not chargers:
        return {}
    fixed = always_closed(wiring)
    held, known = Joined(wiring, fixed), set(fixed)
    doors = [contact for contact in closed if contact not in known]
    posts = {plus for plus, _ in held.sources}, {minus for _, minus in held.sources}
    by_point, found = doors_of(doors), dict[str, list[str]]()
    for charger, ends in chargers:
        if not held.feeds(*ends, doors):
            continue
        pairs = zip(posts, ends, strict=True)
        on_way = [part for starts, end in pairs for part in openers(held.graph, by_point, starts, end)]
        for device in dict.fromkeys(on_way):
            if wiring.parts[device].kind in _OPENS:
                rest = [contact for contact in doors if contact.part != device]
                if not held.feeds(*ends, rest) and _driven(held, rest, charger):
                    found.setdefault(device, []).append(charger)
    return {device: tuple(left) for device, left in found.items()}


def _wired(wiring: Wiring) -> Iterator[tuple[str, Pair]]:
    """Give the chargers whose output is wired, with its plus and minus."""
    for part_id, part in wiring.parts.items():
        if part.kind in _CHARGERS:
            plus, minus = (f"{part_id}.{terminal}" for terminal in _CHARGERS[part.kind][:2])
            if plus in wiring.by_point:
                yield part_id, (plus, minus)


def _driven(held: Joined, closed: Sequence[Contact], charger: str) -> bool:
    """True if what drives a charger still reaches it."""
    parts = held.wiring.parts
    terminal = _CHARGERS[parts[charger].kind][2]
    if not terminal:
        return True
    group = held.with_closed(closed)
    here = group.get(f"{charger}.{terminal}", -1)
    drivers = (id for id, part in parts.items() if part.kind in _DRIVERS[terminal])
    return any(group.get(f"{id}.plus", -2) == here for id in drivers)
