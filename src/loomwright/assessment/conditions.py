"""Devices beside the switches of a plan: conditions of a mode, fuses, managements, delays of relays.

They have positions as a switch has, and no part can have their names. A mode or a person at play sets them;
nothing that is searched over every position of the switches moves a fuse or a management.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from loomwright.circuit.states import Device
from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity

from .sources import is_battery

#: Set by the mode, with their positions; the first is that of a parked van.
CONDITIONS: Mapping[str, tuple[str, ...]] = {
    "engine": ("stopped", "running"),
    "ignition": ("off", "on"),
    "hook_up": ("none", "there"),
}
#: Conditions that only a van has which has a feed that follows them; each is off or on.
SIGNALS = ("lights", "reversing", "brake")
#: What hangs on the socket for a trailer: nothing, a trailer, one with a battery of its own.
TOWING = ("no", "trailer", "trailer with a battery")
#: Of a relay that waits before it turns: whether it waits.
DELAY_OVER, DELAY_RUNS = "over", "runs"
#: Chemistries whose batteries have a management that parts their cells from their posts.
MANAGED = ("lifepo4",)
#: What a management does: nothing, keep charge out, keep current in.
CLOSED, NO_CHARGE, NO_DISCHARGE = "closed", "takes no charge", "gives nothing"


def condition(name: str) -> str:
    """Return the id of the device that stands for a condition; no part can have it."""
    return f"@{name}"


def is_condition(id: str) -> bool:
    """Say whether a device stands for a condition of the mode, not for a part."""
    return id.startswith("@")


def fuse_device(at: str) -> str:
    """Return the id of the device that stands for a fuse; no part can have it.

    `at` is the way it sits in ("P1.2"), or else the wire ("W4").
    """
    return f"fuse {at}"


def is_fuse(id: str) -> bool:
    """Say whether a device stands for a fuse, which is whole or pulled."""
    return id.startswith("fuse ")


def management_device(battery: str) -> str:
    """Return the id of the device that stands for the management of a battery; no part can have it."""
    return f"management {battery}"


def is_management(id: str) -> bool:
    """Say whether a device stands for the management of a battery."""
    return id.startswith("management ")


def delay_device(relay: str) -> str:
    """Return the id of the device that stands for the delay of a relay; no part can have it."""
    return f"delay {relay}"


def is_delay(id: str) -> bool:
    """Say whether a device stands for the delay of a relay, which is over or runs."""
    return id.startswith("delay ")


def has_delay(part: Part) -> bool:
    """Say whether a relay waits before it turns."""
    waits = isinstance(part.delay, Quantity) and part.delay.high > 0.0
    return waits and part.kind in ("relay", "sensing_relay")


def is_beside(id: str) -> bool:
    """Say whether a device is none of the plan's own switches, relays and chargers."""
    return is_condition(id) or is_fuse(id) or is_management(id) or is_delay(id)


def conditions_of(wiring: Wiring) -> Mapping[str, tuple[str, ...]]:
    """Return the conditions that a van knows, with their positions, that of a parked van first."""
    followed = {str(part.live) for part in wiring.parts.values() if part.kind == "vehicle_feed"}
    towed = {"towing": TOWING} if any(part.kind == "tow_socket" for part in wiring.parts.values()) else {}
    return dict(CONDITIONS) | {name: ("off", "on") for name in SIGNALS if name in followed} | towed


def is_managed(wiring: Wiring, id: str) -> bool:
    """Say whether a battery has a management that may part its cells from its posts."""
    return is_battery(wiring, id) and wiring.parts[id].chemistry in MANAGED


def devices_beside(wiring: Wiring) -> Iterator[Device]:
    """Give the conditions, fuses, delays and managements of a van; a whole fuse joins its two points."""
    for name, known in conditions_of(wiring).items():
        yield Device(condition(name), dict.fromkeys(known, ()), known[0])
    for at, ends in fuses_of(wiring).items():
        yield Device(fuse_device(at), {"whole": (ends,), "pulled": ()}, "whole")
    for id, part in wiring.parts.items():
        if has_delay(part):
            yield Device(delay_device(id), {DELAY_OVER: (), DELAY_RUNS: ()}, DELAY_OVER)
        if is_managed(wiring, id):
            positions = dict.fromkeys((CLOSED, NO_CHARGE, NO_DISCHARGE), ())
            yield Device(management_device(id), positions, CLOSED)


def fuses_of(wiring: Wiring) -> dict[str, tuple[str, str]]:
    """Return the two points that each fuse joins, by its way or wire; two in one wire count as one."""
    found: dict[str, tuple[str, str]] = {}
    for flat in wiring.runs.values():
        for piece in flat.pieces if not flat.mains else ():
            for spot in piece.spots:
                if spot.way is None:
                    found[piece.id] = (piece.a, piece.b)
                else:
                    found[spot.way] = (f"{wiring.part_of(spot.way)}.in", spot.way)
    return found


__all__ = [
    "CLOSED",
    "CONDITIONS",
    "DELAY_RUNS",
    "NO_CHARGE",
    "NO_DISCHARGE",
    "SIGNALS",
    "TOWING",
    "condition",
    "conditions_of",
    "delay_device",
    "devices_beside",
    "fuse_device",
    "fuses_of",
    "has_delay",
    "is_beside",
    "is_condition",
    "is_delay",
    "is_fuse",
    "is_managed",
    "is_management",
    "management_device",
]
