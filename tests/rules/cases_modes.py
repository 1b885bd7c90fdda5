"""Cases of the rules that need modes: the van parked, driven, its chargers at work, its switches moved."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

LAMP = "lamp: {kind: lamp, place: kitchen, running: 1 A}"
BATTERY = "kind: vehicle_battery, place: seat_base, chemistry: flooded, vent: hose, capacity: 70 Ah"
STARTER = f"starter: {{{BATTERY}, resistance: 40 mΩ}}"
ALTERNATOR = "alternator: {kind: alternator, charges: starter, current: 120 A, output: {cruise: 12.6 V}}"
THICK = "area: 16 mm², length: 1 m, resistance: 0 mΩ"


def _buzzer(coil_from: str) -> str:
    """A change-over relay whose lamp hangs on 87a, its coil on the box or on that same contact."""
    back = "return: {to: E2, length: 0.4 m}"
    return plan(
        f"""K1: {{kind: relay, contact: change_over, place: kitchen}}
        X: {{kind: splice, place: kitchen}}
        {LAMP}""",
        f"""C1: {{from: P1.1, fuse: 3 A, to: K1.30, area: 1 mm², length: 3 m}}
        C2: {{from: K1.87a, to: X, area: 1 mm², length: 0.2 m}}
        C3: {{from: X, to: lamp, area: 1 mm², length: 0.2 m, {back}}}
        C4: {{from: {coil_from}, to: K1.86, area: 1 mm², length: 0.2 m, {back}}}""",
    )


def _joined(by: str) -> str:
    """The two batteries joined by a wire, or by a relay that the volts of the alternator close."""
    return plan(
        f"""{STARTER}
        {ALTERNATOR}
        relay: {{kind: sensing_relay, place: seat_base, rating: 100 A}}
        {LAMP}""",
        f"""link: {{from: starter.plus, fuse: 60 A bolted at both, {by}to: leisure, {THICK}}}
        C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}""",
    )


def _alternator_on(chemistry: str) -> str:
    """An alternator on a vehicle battery of a chemistry; the house is apart."""
    battery = STARTER.replace("flooded, vent: hose", chemistry)
    return plan(
        f"{battery}\n{ALTERNATOR}\n{LAMP}",
        f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}",
    )


def _parked(amps: float) -> str:
    """Half of 70 Ah is 35 Ah: two weeks at 0.104 A."""
    return plan(
        f"{STARTER}\ndashcam: {{kind: electronics, place: kitchen, running: {amps:.6f} A}}",
        f"D1: {{from: starter.plus, fuse: 3 A, to: dashcam, {WIRE}}}",
    )


def _charged(amps: float) -> str:
    """12 A from the mains and this much from a second charger, into a battery that takes 20 A."""
    ends = "fuse: 30 A bolted at to, to: leisure.plus, return: wire"
    run = f"{ends}, area: 6 mm², length: 1 m, resistance: 0 mΩ"
    return plan(
        f"""one: {{kind: mains_charger, place: kitchen, current: 12 A, output: 14.4 V}}
        two: {{kind: mains_charger, place: kitchen, current: {amps} A, output: 14.4 V}}
        inlet: {{kind: inlet, place: kitchen}}""",
        f"""charge_one: {{from: one.plus, {run}}}
        charge_two: {{from: two.plus, {run}}}""",
    )


def _two_way(a: str, b: str) -> str:
    """Two switches, two lines between them; the second pair of ends may be swapped onto one line."""
    line = "area: 1.5 mm², length: 1 m, resistance: 0 mΩ"
    return plan(
        f"S1: {{kind: two_way, place: kitchen}}\nS2: {{kind: two_way, place: kitchen}}\n{LAMP}",
        f"""C1: {{from: P1.1, fuse: 3 A, to: S1.com, {line}}}
        L1: {{from: S1.a, to: S2.{a}, {line}}}
        L2: {{from: S1.b, to: S2.{b}, {line}}}
        C2: {{from: S2.com, to: lamp, {line}, return: {{to: E2, length: 0.4 m}}}}""",
    )


def mains_plan(parts: str, wiring: str) -> str:
    """An inverter and an inlet that feed one breaker box, somehow."""
    return plan(
        f"""inlet: {{kind: inlet, place: kitchen, lid: yes}}
        inverter: {{kind: inverter, place: seat_base, power: 300 W, efficiency: 90 %}}
        U1: {{kind: breaker_box, place: kitchen, ways: 2}}
        {parts}""",
        f"I1: {{from: leisure, fuse: 60 A bolted, to: inverter, {THICK}, return: wire}}\n{wiring}",
    )


_SIDE_BY_SIDE = "M1: {from: inlet, to: U1, area: 2.5 mm²}\nM2: {from: inverter, to: U1, area: 2.5 mm²}"
_EITHER_OR = """M1: {from: inlet, to: change.in_1, area: 2.5 mm²}
    M2: {from: inverter, to: change.in_2, area: 2.5 mm²}
    M3: {from: change, to: U1, area: 2.5 mm²}"""

MODES = {
    "relay_chatters": Case(
        _buzzer("X"),
        _buzzer("P1.1"),
        "fault",
        "The coil of a change-over relay hangs behind its own resting contact.",
    ),
    "batteries_joined_at_rest": Case(
        _joined(""),
        _joined("through: relay, "),
        "fault",
        "A cable joins the vehicle's battery to that of the house, with nothing that opens it.",
    ),
    "starter_drained_parked": Case(
        _parked(0.2),
        _parked(0.1),
        "watch",
        "A camera takes 0.2 A from the vehicle's battery, also while the van is parked.",
        (Flip(_parked, 35.0 / 336.0, "watch"),),
    ),
    "charged_too_hard": Case(
        _charged(9.0),
        _charged(8.0),
        "watch",
        "Two chargers of 12 and 9 A feed a battery that takes 20 A.",
        (Flip(lambda amps: _charged(amps - 12.0), 20.0, "watch"),),
    ),
    "inlet_live_from_inverter": Case(
        mains_plan("", _SIDE_BY_SIDE),
        mains_plan("change: {kind: change_over, place: kitchen, poles: 2}", _EITHER_OR),
        "danger",
        "The inverter is wired to the breaker box of the inlet, beside its cable.",
    ),
    "load_dump": Case(
        _alternator_on("lifepo4"),
        _alternator_on("flooded"),
        "watch",
        "The vehicle's battery is a lithium one, and the alternator charges no other.",
    ),
    "two_way_does_not_turn": Case(
        _two_way("a", "a"),
        _two_way("a", "b"),
        "fault",
        "Both lines between two two-way switches end on the same contact of the second.",
    ),
}
