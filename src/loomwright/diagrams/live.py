"""What makes a thing live, as letters and patterns: the same on every sheet."""

from __future__ import annotations

from collections.abc import Iterable

from loomwright.drawing.scene import Pattern
from loomwright.plan.pieces import Wiring

#: What a source is, by the kind of its part: vehicle battery, leisure battery, charger, mains charger.
LETTERS = VEHICLE, LEISURE, CHARGER, MAINS = "V", "L", "C", "M"
_CLASSES = {
    "vehicle_battery": VEHICLE, "vehicle_feed": VEHICLE, "battery": LEISURE, "mains_charger": MAINS,
    "inverter_charger": MAINS,
}  # fmt: skip
#: On the band of a live wire; that of a vehicle battery is plain.
PATTERNS: dict[str, Pattern] = {LEISURE: "dots", CHARGER: "slant", MAINS: "cross"}


def letters_of(wiring: Wiring, sources: Iterable[str]) -> str:
    """Return the letters of some sources, each once, in their order; empty if there are none."""
    parts = [id if id in wiring.parts else wiring.part_of(id) for id in sources]
    found = {
        _CLASSES.get(wiring.parts[id].kind, CHARGER) for id in parts if id is not None and id in wiring.parts
    }
    return "".join(one for one in LETTERS if one in found)


def patterns_of(letters: str) -> tuple[Pattern, ...]:
    """Return the patterns that go with some letters."""
    return tuple(PATTERNS[one] for one in letters if one in PATTERNS)
