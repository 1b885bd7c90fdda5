"""Chargers left without a battery: what drives them stays, and a switch has taken their battery away."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomwright.plan.pieces import Wiring

from .diodes import diodes_of
from .joined import Joined, always_closed, openers, sources_by_themselves
from .states import Contact, neighbours

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
    found: dict[str, list[str]] = {}
    diodes = [way for way, _ in diodes_of(wiring)]
    whole: Joined | None = None
    for charger, ends in _wired(wiring):
        whole = whole or Joined(wiring, [*closed, *diodes])
        if not whole.feeds(*ends):
            continue
        for device in _devices(wiring, closed, ends):
            rest = [contact for contact in (*closed, *diodes) if contact.part != device]
            apart = Joined(wiring, rest)
            if not apart.feeds(*ends) and _driven(apart, charger):
                found.setdefault(device, []).append(charger)
    return {device: tuple(chargers) for device, chargers in found.items()}


def _wired(wiring: Wiring) -> Iterator[tuple[str, tuple[str, str]]]:
    for part_id, part in wiring.parts.items():
        if part.kind in _CHARGERS:
            plus, minus = (f"{part_id}.{terminal}" for terminal in _CHARGERS[part.kind][:2])
            if plus in wiring.by_point:
                yield part_id, (plus, minus)


def _devices(wiring: Wiring, closed: Sequence[Contact], ends: tuple[str, str]) -> Iterator[str]:
    """Give the switches on the way from a charger to the nearest batteries."""
    fixed = always_closed(wiring)
    held, graph = set(fixed), neighbours(wiring, fixed)
    doors = [contact for contact in closed if contact not in held]
    sources = list(sources_by_themselves(wiring))
    ways = (
        openers(graph, doors, {plus for plus, _ in sources}, ends[0]),
        openers(graph, doors, {minus for _, minus in sources}, ends[1]),
    )
    for part_id in dict.fromkeys(part for way in ways for part in way):
        if wiring.parts[part_id].kind in _OPENS:
            yield part_id


def _driven(apart: Joined, charger: str) -> bool:
    terminal = _CHARGERS[apart.wiring.parts[charger].kind][2]
    return not terminal or apart.meets(f"{charger}.{terminal}", _DRIVERS[terminal])
