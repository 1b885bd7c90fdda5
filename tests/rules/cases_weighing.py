"""The rule on what the van weighs; its masses are typed, but for that of one fan."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

#: Payload of the van, and what its typed parts weigh. [kg]
PAYLOAD_KG, TYPED_KG = 300.0, 27.0 + 1.0
#: A fan of unknown mass (`tables.masses`, from memory). [kg]
FAN_KG = 0.1, 6.0


def _loaded(kg: float) -> str:
    """Return a van that carries so much; its cables are in the cargo of its electrics."""
    text = plan(
        "fan: {kind: fan, place: kitchen, running: 2 A}",
        f"C1: {{from: P1.1, fuse: 15 A, to: fan, {WIRE}}}",
    )
    text = text.replace("capacity: 100 Ah,", "capacity: 100 Ah, mass: 27 kg,").replace(
        "ways: 6}", "ways: 6, mass: 1 kg}"
    )
    return text + (
        f"\nvehicle: {{ready_mass: 2500 kg, permitted_mass: {2500 + PAYLOAD_KG:g} kg}}\n"
        f"cargo: {{luggage: {kg:.3f} kg, cables: {{mass: 0.001 kg, share: electrics}}}}\n"
    )


_AT_THE_MOST = PAYLOAD_KG - TYPED_KG - FAN_KG[1]
_SURELY = PAYLOAD_KG - TYPED_KG - FAN_KG[0]

WEIGHING = {
    "too_heavy": Case(
        _loaded(280.0),
        _loaded(200.0),
        "fault",
        "A battery, a fan and 280 kg of luggage in a van that may load 300 kg.",
        (Flip(_loaded, _SURELY, "fault"), Flip(_loaded, _AT_THE_MOST, "watch")),
    ),
}
