"""Cases of the rules on what is live from behind."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan
from tests.rules.cases_static2 import LAMP, RUN, solar

_PANEL = """panel: {kind: solar_panel, place: kitchen, power: 100 Wp, working_current: 5 A}
        regulator: {kind: solar_regulator, place: seat_base, regulation: pwm, current: 10 A}"""


def _second_box(to: str) -> str:
    """A second fuse box behind a way of the first, and a solar regulator on it or on the battery."""
    return plan(
        f"""P2: {{kind: fuse_box, place: kitchen, ways: 4}}
        {_PANEL}
        {LAMP}""",
        f"""C1: {{from: P1.1, fuse: 15 A, to: P2, {RUN}}}
        W1: {{from: panel, to: regulator, {RUN}, return: wire}}
        W2: {{from: regulator, fuse: 10 A blade at to, to: {to}, {RUN}}}
        W2_minus: {{from: regulator.battery_minus, to: E1, {RUN}}}
        C2: {{from: P2.1, fuse: 3 A, to: lamp, {WIRE}}}""",
    )


def _override(more: str) -> str:
    """A split relay whose coil hangs on D+, and on a switch to close it by hand."""
    return plan(
        """starter: {kind: vehicle_battery, place: seat_base, chemistry: flooded, vent: hose,
        capacity: 70 Ah, resistance: 20 mΩ}
        alternator: {kind: alternator, charges: starter, current: 120 A, output: 14.2 V}
        K1: {kind: relay, place: seat_base, rating: 70 A, resistance: 0 mΩ}
        S1: {kind: switch, place: kitchen, resistance: 0 mΩ}""".replace(",\n", ","),
        f"""W1: {{from: starter.plus, fuse: 60 A bolted at both, through: K1, to: leisure.plus, area: 16 mm²,
        length: 3 m, resistance: 0 mΩ}}
        coil: {{from: alternator.d_plus, fuse: 3 A, to: K1.86, area: 1 mm², length: 2 m, return: {{to: E1}}}}
        {more}""".replace(",\n", ","),
    )


_BY_HAND = "C1: {from: P1.1, fuse: 3 A, through: S1, to: K1.86, area: 1 mm², length: 2 m}"

_MASTER = solar("leisure.plus")
_ROUND_IT = _MASTER.replace(
    "  C1: {", f"  past: {{from: leisure.plus, fuse: 30 A bolted, to: bar, {RUN}}}\n  C1: {{"
)

_THICK = "area: 16 mm², length: 0.4 m, resistance: 0 mΩ"


def _shunt(lamp_minus: str) -> str:
    """A shunt in the minus of the battery; the lamp returns to this terminal."""
    return plan(
        f"SH: {{kind: shunt, place: seat_base, resistance: 0 mΩ}}\n{LAMP}",
        f"""earth_2: {{from: SH.load, to: E1, {_THICK}}}
        C1: {{from: P1.1, fuse: 3 A, to: lamp, area: 4 mm², length: 3 m, resistance: 0 mΩ,
        return: {{to: {lamp_minus}, length: 3 m}}}}""".replace(",\n", ","),
    ).replace("from: leisure.minus, to: E1", "from: leisure.minus, to: SH.battery")


def _fan(through: str) -> str:
    switch = "S1: {kind: switch, place: kitchen, resistance: 0 mΩ}\n" if through else ""
    return plan(
        f"{switch}fan: {{kind: fan, place: kitchen, running: 1 A, own_switch: yes}}",
        f"C1: {{from: P1.1, fuse: 3 A, {through}to: fan, {WIRE}}}",
    )


def _selector(cut_out: str) -> str:
    """Two batteries at a change-over relay that its lamp hangs on, moved by a switch."""
    line = "area: 4 mm², length: 1 m, resistance: 0 mΩ"
    return (
        plan(
            f"""starter: {{kind: vehicle_battery, place: seat_base, chemistry: flooded, vent: hose,
        capacity: 95 Ah, resistance: 20 mΩ}}
        K1: {{kind: relay, contact: change_over, place: kitchen, rating: 20 A, resistance: 0 mΩ{cut_out}}}
        S1: {{kind: switch, place: kitchen, resistance: 0 mΩ}}
        lamp: {{kind: lamp, place: kitchen, running: 0.1 A}}""".replace(",\n", ","),
            f"""C1: {{from: P1.1, fuse: 3 A, to: K1.87a, {line}}}
        C2: {{from: starter.plus, fuse: 3 A, to: K1.87, {line}}}
        C3: {{from: K1.30, to: lamp, {WIRE}}}
        C4: {{from: starter.plus, fuse: 3 A, through: S1, to: K1.86, {line}, return: {{to: E2}}}}""",
        )
        + "modes:\n  on_vehicle: {switches: {S1: on}}\n"
    )


def _on_vehicle(amps: float) -> str:
    """A relay that D+ moves: its load then hangs on the vehicle battery, by a fuse of 10 A."""
    line = "area: 4 mm², length: 1 m, resistance: 0 mΩ"
    return plan(
        f"""starter: {{kind: vehicle_battery, place: seat_base, chemistry: flooded, vent: hose,
        capacity: 95 Ah, resistance: 20 mΩ}}
        alternator: {{kind: alternator, charges: starter, current: 120 A, output: 14.2 V}}
        K1: {{kind: relay, contact: change_over, place: kitchen, rating: 40 A, resistance: 0 mΩ}}
        heater: {{kind: load, place: kitchen, running: {amps} A}}""".replace(",\n", ","),
        f"""C1: {{from: P1.1, fuse: 30 A bolted, to: K1.87a, {line}}}
        C2: {{from: starter.plus, fuse: 10 A, to: K1.87, {line}}}
        C3: {{from: K1.30, to: heater, {WIRE}}}
        C4: {{from: alternator.d_plus, fuse: 3 A, to: K1.86, {line}, return: {{to: E2}}}}""",
    )


def _boards(mains: str, inverter: str, more: str = "") -> str:
    """An inlet, an inverter of 120 W and a box with an appliance of the mains."""
    return plan(
        f"""inlet: {{kind: inlet, place: kitchen, lid: yes, notice: yes}}
        inverter: {{kind: {inverter}, place: kitchen, power: 120 W, efficiency: 90 %}}
        box: {{kind: breaker_box, place: kitchen, ways: 2, rcd: 30 mA 2-pole}}
        {more}""",
        f"""I1: {{from: P1.1, fuse: 40 A bolted, to: inverter, area: 16 mm², length: 0.5 m, resistance: 0 mΩ,
        return: wire}}
        pe: {{from: box.earth, to: E2, area: 6 mm², length: 0.5 m}}
        {mains}""".replace(",\n", ","),
    )


_MAINS = "area: 2.5 mm², length: 1 m"


def _bond(kind: str) -> str:
    mains = f"""M1: {{from: inlet, to: inverter.in, {_MAINS}}}
        M2: {{from: inverter.out, to: box, {_MAINS}}}"""
    charges = f"inverter_charger, charge_current: 10 A, neutral_bond: {kind}"
    return _boards(mains, charges)


def _boiler(watts: float) -> str:
    mains = f"""M1: {{from: inlet, to: first, {_MAINS}}}
        pe_1: {{from: first.earth, to: E2, area: 6 mm², length: 0.5 m}}
        M2: {{from: inverter, to: box, {_MAINS}}}
        M3: {{from: box.1, breaker: 6 A B 2-pole, to: boiler, {_MAINS}}}"""
    more = f"""boiler: {{kind: appliance, place: kitchen, power: {watts} W}}
        first: {{kind: breaker_box, place: kitchen, ways: 2, rcd: 30 mA 2-pole}}"""
    return _boards(mains, "inverter", more)


FEEDING_BACK: dict[str, Case] = {
    "back_feeds": Case(
        _second_box("P2.4"),
        _second_box("leisure.plus"),
        "watch",
        "The fuse of a second fuse box is pulled, and a solar regulator on that box keeps it live.",
    ),
    "vehicle_fed_backwards": Case(
        _override(_BY_HAND),
        _override("").replace("  S1: {kind: switch, place: kitchen, resistance: 0 mΩ}\n", ""),
        "fault",
        "A switch closes the split relay by hand, and D+ is live with the engine stopped.",
    ),
    "master_bypassed": Case(
        _ROUND_IT,
        _MASTER,
        "fault",
        "A lead goes from the battery to the bar behind the master switch.",
    ),
    "shunt_bypassed": Case(
        _shunt("SH.battery"),
        _shunt("SH.load"),
        "watch",
        "The return of a lamp is on the battery's bolt of the shunt.",
    ),
    "bond_stays_on_hook_up": Case(
        _bond("fixed"),
        _bond("relay"),
        "fault",
        "An inverter that charges keeps neutral and earth joined while hook-up passes through it.",
    ),
    "appliance_above_inverter": Case(
        _boiler(125.0),
        _boiler(119.0),
        "watch",
        "A boiler of 125 W hangs on the circuit of an inverter that gives 120 W.",
        (Flip(_boiler, 120.0, "watch"),),
    ),
    "overloaded_when_moved": Case(
        _on_vehicle(10.4),
        _on_vehicle(7.8),
        "fault",
        "The way to the vehicle battery was laid for a lamp, and a heater follows the selector.",
        (Flip(_on_vehicle, 10.0, "fault"), Flip(_on_vehicle, 8.0, "watch")),
    ),
    "falls_back": Case(
        _selector(", cut_out: 12.2 V for 30 s"),
        _selector(""),
        "note",
        "A relay keeps a lamp on the vehicle battery until that is down to 12.2 V.",
    ),
    "double_switch": Case(
        _fan("through: S1, "),
        _fan(""),
        "note",
        "A roof fan with buttons of its own lies behind a wall switch.",
    ),
}
