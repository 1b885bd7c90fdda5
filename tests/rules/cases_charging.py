"""Cases of the rules on charging while driving, and on contacts in the first seconds.

By hand: an alternator of 120 A has 0.7 · 120 - 30 = 54 A to spare when hot; a battery limited to 20 A takes
them for the whole hour that a relay is closed at 14.4 V; a contact for 5 A makes 15 A.
"""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

BATTERY = "kind: vehicle_battery, place: seat_base, chemistry: flooded, vent: hose, capacity: 70 Ah"
STARTER = f"starter: {{{BATTERY}, resistance: 40 mΩ}}"
ALTERNATOR = "alternator: {kind: alternator, charges: starter, current: 120 A, output: {cruise: 14.4 V}}"
THICK = "area: 16 mm², length: 1 m, resistance: 0 mΩ"
RUN = "area: 25 mm², length: 1 m, resistance: 0 mΩ"


def _promised(ah: float) -> str:
    text = plan(
        f"""{STARTER}
        {ALTERNATOR}
        relay: {{kind: sensing_relay, place: seat_base, rating: 100 A}}
        lamp: {{kind: lamp, place: kitchen, running: 1 A}}""",
        f"""link: {{from: starter.plus, fuse: 60 A bolted at both, through: relay, to: leisure, {THICK}}}
        C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}""",
    )
    return f"{text}promises:\n  driving: {{says: Full by noon, charges: {ah} Ah/h}}\n"


def _charger(amps: float) -> str:
    """A charger without losses takes so much at 14.4 V."""
    text = plan(
        f"""{STARTER}
        {ALTERNATOR}
        b2b: {{kind: b2b, place: seat_base, current: {amps} A, output: 14.4 V, efficiency: 100 %,
        start_on: d_plus}}""".replace(",\n", ","),
        f"""W1: {{from: starter.plus, fuse: 100 A bolted, to: b2b, {RUN}}}
        W2: {{from: b2b, fuse: 100 A bolted at to, to: leisure.plus, {RUN}}}
        W3: {{from: b2b.minus, to: E1, {RUN}}}
        W4: {{from: alternator.d_plus, fuse: 3 A, to: b2b.signal, area: 1 mm², length: 1 m}}""",
    )
    return text.replace("charge_limit: 20 A", "charge_limit: 100 A")


def _switched(amps: float) -> str:
    """A pump that starts with so much through a switch for 5 A."""
    return plan(
        f"""pump: {{kind: water_pump, place: kitchen, running: 2 A, start: {amps} A for 80 ms}}
        S1: {{kind: switch, place: kitchen, rating: 5 A}}""",
        f"C1: {{from: P1.1, fuse: 15 A, through: S1, to: pump, {WIRE}}}",
    )


CHARGING: dict[str, Case] = {
    "promised_charge_missed": Case(
        _promised(25.0),
        _promised(20.0),
        "fault",
        "25 Ah are promised of an hour's drive to a battery that takes 20 A at most.",
        (Flip(_promised, 20.0, "fault"),),
    ),
    "alternator_has_no_spare": Case(
        _charger(70.0),
        _charger(50.0),
        "watch",
        "A charger takes 70 A from an alternator of 120 A, which gives 84 A when hot.",
        (Flip(_charger, 0.7 * 120.0 - 30.0, "watch"),),
    ),
    "contact_may_weld": Case(
        _switched(20.0),
        _switched(14.0),
        "watch",
        "A pump starts with 20 A through a small switch for 5 A.",
        (Flip(_switched, 15.0, "watch"),),
    ),
}
