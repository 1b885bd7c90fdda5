"""For each rule a plan that trips it, one that just passes, and where a figure flips it.

All plans stand on the base of `base.py`; fuses and shorts are in `cases_guarding.py`, batteries, supplies,
dimmers and what is accepted in `cases_static2.py`.
"""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan
from tests.rules.cases_breaks import BREAKS
from tests.rules.cases_charging import CHARGING
from tests.rules.cases_energy import ENERGY
from tests.rules.cases_feeding_back import FEEDING_BACK
from tests.rules.cases_guarding import GUARDING
from tests.rules.cases_mains import MAINS
from tests.rules.cases_modes import MODES
from tests.rules.cases_shorts import SHORTS
from tests.rules.cases_static1 import STATIC1
from tests.rules.cases_static2 import STATIC2
from tests.rules.cases_topologies import TOPOLOGIES
from tests.rules.cases_under_load import UNDER_LOAD
from tests.rules.cases_weighing import WEIGHING
from tests.rules.cases_zones import ZONES

# One load of 10 A on a wire of so many milliohms, and its relatives


def _drop(mohm: float) -> str:
    return plan(
        "heater: {kind: load, place: kitchen, running: 10 A}",
        f"C1: {{from: P1.1, fuse: 15 A, to: heater, {WIRE}}}".replace("0 mΩ", f"{mohm} mΩ"),
    )


def _charging(mohm: float) -> str:
    return plan(
        "charger: {kind: mains_charger, place: kitchen, current: 10 A, output: 14.4 V}",
        f"""charge: {{from: charger.plus, fuse: 15 A blade at to, to: leisure.plus, area: 4 mm², length: 3 m,
        resistance: {mohm} mΩ, return: wire}}""".replace("\n", " "),
    )


def _least_input(volts: float) -> str:
    """144 W through 25.6 mΩ from 12.6 V arrive at 12.3 V."""
    ohm = (12.6 - 12.3) * 12.3 / 144.0
    return plan(
        f"""starter: {{kind: vehicle_battery, place: seat_base, chemistry: flooded, capacity: 70 Ah,
        resistance: 20 mΩ}}
        alternator: {{kind: alternator, charges: starter, current: 120 A, output: {{cruise: 12.6 V}}}}
        b2b: {{kind: b2b, place: seat_base, current: 10 A, output: 14.4 V, efficiency: 100 %,
        start_on: engine, input_min: {volts} V}}""".replace(",\n", ","),
        f"""W1: {{from: starter.plus, fuse: 20 A, to: b2b, {WIRE}}}
        W2: {{from: b2b, fuse: 15 A at to, to: leisure.plus, area: 4 mm², length: 1 m, resistance: 0 mΩ}}
        """.replace("0 mΩ", f"{1e3 * ohm} mΩ", 1),
    )


def _start(mohm: float, seconds: str = "80 ms") -> str:
    return plan(
        f"pump: {{kind: water_pump, place: kitchen, running: 2 A, start: 20 A for {seconds}}}",
        f"C1: {{from: P1.1, fuse: 15 A, to: pump, {WIRE}}}".replace("0 mΩ", f"{mohm} mΩ"),
    )


def _long_start(seconds: float) -> str:
    """20 A through a 10 A blade: it opens after 0.15 s at the soonest, after 5 s at the latest."""
    return plan(
        f"pump: {{kind: water_pump, place: kitchen, running: 2 A, start: 20 A for {seconds} s}}",
        f"C1: {{from: P1.1, fuse: 10 A, to: pump, {WIRE}}}",
    )


def _cut_out(volts: float) -> str:
    """5 A through 40 mΩ leave 11.8 V."""
    return plan(
        f"fridge: {{kind: fridge, place: kitchen, running: 5 A, cut_out: {volts} V}}",
        f"C1: {{from: P1.1, fuse: 10 A, to: fridge, {WIRE}}}".replace("0 mΩ", "40 mΩ"),
    )


def _dip(mohm: float) -> str:
    """The battery's inside is all that the two circuits share; 20 A start through it."""
    return plan(
        """pump: {kind: water_pump, place: kitchen, running: 5 A, start: 20 A for 80 ms}
        lamp: {kind: lamp, place: kitchen, running: 1 A}""",
        f"""C1: {{from: P1.1, fuse: 15 A, to: pump, {WIRE}}}
        C2: {{from: P1.2, fuse: 3 A, to: lamp, {WIRE}}}""",
    ).replace("resistance: 20 mΩ", f"resistance: {mohm} mΩ")


def _together(mohm: float) -> str:
    """Two loads of 10 A through one main feed: alone each loses half."""
    return plan(
        """one: {kind: load, place: kitchen, running: 10 A}
        other: {kind: load, place: kitchen, running: 10 A}""",
        f"""C1: {{from: P1.1, fuse: 15 A, to: one, {WIRE}}}
        C2: {{from: P1.2, fuse: 15 A, to: other, {WIRE}}}""",
    ).replace("length: 0.5 m, resistance: 0 mΩ", f"length: 0.5 m, resistance: {mohm} mΩ")


def _joint(mohm: float) -> str:
    return plan(
        "heater: {kind: load, place: kitchen, running: 20 A}",
        f"C1: {{from: P1.1, fuse: 30 A, to: heater, {WIRE}}}",
    ).replace("E2: {place: kitchen}", f"E2: {{place: kitchen, resistance: {mohm} mΩ}}")


# What hangs together


def _class(volts: float) -> str:
    return plan(
        f"strip: {{kind: strip, place: kitchen, voltage: {volts} V, running: 1 A}}",
        f"C1: {{from: P1.1, fuse: 3 A, to: strip, {WIRE}}}",
    )


def _held(watts: float) -> str:
    """Through 50 mΩ a 12 V battery holds 12² / (4 · 0.05) = 720 W at most."""
    return plan(
        f"heater: {{kind: load, place: kitchen, running: {watts} W}}",
        f"C1: {{from: P1.1, fuse: 15 A, to: heater, {WIRE}}}".replace("0 mΩ", "50 mΩ"),
    )


LAMP = "lamp: {kind: lamp, place: kitchen, running: 1 A}"
SWITCHED = plan(
    f"{LAMP}\nS1: {{kind: switch, place: kitchen, resistance: 0 mΩ}}",
    f"C1: {{from: P1.1, fuse: 3 A, through: S1, to: lamp, {WIRE}}}",
)


# Currents


def _cable(amps: float) -> str:
    """A panel's wire of 1 mm², which carries 19 A and has no fuse."""
    return plan(
        f"""panel: {{kind: solar_panel, place: kitchen, power: 350 Wp, working_current: {amps} A}}
        regulator: {{kind: solar_regulator, place: kitchen, regulation: pwm, current: 10 A}}""",
        """W1: {from: panel, to: regulator, area: 1 mm², length: 3 m, resistance: 0 mΩ, return: wire}
        W2: {from: regulator, fuse: 20 A blade at to, to: leisure.plus, area: 4 mm², length: 1 m,
        resistance: 0 mΩ, return: wire}""".replace(",\n", ","),
    )


def _fill(amps: float) -> str:
    return plan(
        f"heater: {{kind: load, place: kitchen, running: {amps} A}}",
        f"C1: {{from: P1.1, fuse: 10 A, to: heater, {WIRE}}}",
    )


def _pin(amps: float) -> str:
    return plan(
        f"""heater: {{kind: load, place: kitchen, running: {amps} A}}
        X1: {{kind: plug, place: kitchen, pins: 2, rating: 10 A}}""",
        f"C1: {{from: P1.1, fuse: 15 A, through: X1.1, to: heater, {WIRE}}}",
    )


def _in_the_heat(amps: float) -> str:
    """A converter made for 20 A that gives half of it at the 30 °C of the basis."""
    return plan(
        f"""conv: {{kind: converter, place: kitchen, output: 12 V, current: 20 A,
            derate: {{20 °C: 100 %, 40 °C: 0 %}}}}
        heater: {{kind: load, place: kitchen, running: {amps} A}}""",
        f"""C1: {{from: P1.1, fuse: 25 A, to: conv.in, {WIRE}}}
        C2: {{from: conv.out, to: heater, {WIRE}}}
        C1_back: {{from: conv.minus, to: E2, area: 4 mm², length: 0.4 m, resistance: 0 mΩ}}""",
    )


def _rings(count: int) -> str:
    lamps = range(1, count + 1)
    return plan(
        "\n".join(f"lamp_{k}: {{kind: lamp, place: kitchen, running: 1 A}}" for k in lamps),
        "\n".join(f"C{k}: {{from: P1.{k}, fuse: 3 A, to: lamp_{k}, {WIRE}}}" for k in lamps),
    )


CASES: dict[str, Case] = {
    "drop_too_large": Case(
        _drop(61.0),
        _drop(47.9),
        "fault",
        "A heater takes 10 A through 61 mΩ of wire, joints and earth: 0.61 V or 5.1 % of 12 V are lost.",
        (Flip(_drop, 48.0, "watch"), Flip(_drop, 60.0, "fault")),
    ),
    "charging_drop_too_large": Case(
        _charging(37.0),
        _charging(35.9),
        "watch",
        "A charger of 10 A sits at the end of 37 mΩ: 0.37 V or 3.1 % of 12 V never reach the battery.",
        (Flip(_charging, 36.0, "watch"), Flip(_charging, 72.0, "fault")),
    ),
    "charger_input_too_low": Case(
        _least_input(12.4),
        _least_input(12.29),
        "fault",
        "A charger between the batteries gets 12.3 V while driving, and it is made to work from 12.4 V up.",
        (Flip(_least_input, 12.3, "fault"),),
    ),
    "start_drop_too_large": Case(
        _start(61.0),
        _start(47.9),
        "fault",
        "A pump takes 20 A for a moment when it starts, and 61 mΩ take 1.22 V or 10.2 % of 12 V from it. "
        "A start of more than 10 s is judged by the limit of a running load.",
        (
            Flip(_start, 48.0, "watch"),
            Flip(_start, 60.0, "fault"),
            Flip(lambda mohm: _start(mohm, "11 s"), 24.0, "watch"),
            Flip(lambda mohm: _start(mohm, "11 s"), 30.0, "fault"),
        ),
    ),
    "load_near_cut_out": Case(
        _cut_out(11.6),
        _cut_out(11.49),
        "watch",
        "A fridge gets 11.8 V while it runs and switches itself off at 11.6 V.",
        (Flip(_cut_out, 11.5, "watch"), Flip(_cut_out, 11.8, "fault")),
    ),
    "dip_at_other_load": Case(
        _dip(16.0),
        _dip(14.9),
        "watch",
        "A pump's start of 20 A goes through 16 mΩ that it shares with a lamp: the lamp falls by 0.32 V.",
        (Flip(_dip, 15.0, "watch"), Flip(_dip, 50.0, "fault")),
    ),
    "drop_together": Case(
        _together(31.0),
        _together(29.9),
        "note",
        "Two loads of 10 A share a main feed of 31 mΩ. Alone each loses 2.6 %, both together 5.2 %, more "
        "than `drop_too_large` calls a fault.",
        (Flip(_together, 30.0, "note"),),
    ),
    "joint_loses_too_much": Case(
        _joint(5.5),
        _joint(4.9),
        "watch",
        "20 A go through a stud of 5.5 mΩ: 0.11 V or 2.2 W in one spot.",
        (Flip(_joint, 5.0, "watch"), Flip(_joint, 10.0, "fault")),
    ),
    "wrong_voltage_class": Case(
        _class(24.0),
        _class(12.0),
        "fault",
        "A 24 V strip hangs on a 12 V battery.",
        (Flip(_class, 12.0 / 0.7, "fault"),),
    ),
    "load_not_fed": Case(
        plan(
            f"{LAMP}\nP2: {{kind: fuse_box, place: kitchen, ways: 2}}",
            f"C1: {{from: P2.1, fuse: 3 A, to: lamp, {WIRE}}}",
        ),
        plan(
            f"{LAMP}\nP2: {{kind: fuse_box, place: kitchen, ways: 2}}",
            f"C1: {{from: P2.1, fuse: 3 A, to: lamp, {WIRE}}}\n"
            "feed: {from: P1.1, fuse: 20 A, to: P2, area: 4 mm², length: 1 m, resistance: 0 mΩ}",
        ),
        "fault",
        "A lamp hangs on a second fuse box that no wire feeds.",
    ),
    "load_reversed": Case(
        plan(
            LAMP,
            "C1: {from: P1.1, fuse: 3 A, to: lamp.minus, area: 1 mm², length: 3 m}\n"
            "C1_back: {from: lamp.plus, to: E2, area: 1 mm², length: 0.4 m}",
        ),
        plan(
            LAMP,
            "C1: {from: P1.1, fuse: 3 A, to: lamp.plus, area: 1 mm², length: 3 m}\n"
            "C1_back: {from: lamp.minus, to: E2, area: 1 mm², length: 0.4 m}",
        ),
        "fault",
        "The feed of a lamp ends on its minus, and its plus goes to the earth.",
    ),
    "battery_shorted": Case(
        plan("", "C1: {from: leisure.plus, fuse: 30 A, to: E2, area: 4 mm², length: 3 m}"),
        plan("", "C1: {from: leisure.minus, to: E2, area: 16 mm², length: 3 m}"),
        "danger",
        "A wire joins the plus of a battery to the body that its minus hangs on.",
    ),
    "open_return": Case(
        plan(LAMP, "C1: {from: P1.1, fuse: 3 A, to: lamp, area: 1 mm², length: 3 m}"),
        plan(LAMP, "C1: {from: P1.1, fuse: 3 A, to: lamp, area: 1 mm², length: 3 m, return: wire}"),
        "fault",
        "A lamp has a feed, and nothing brings the minus back.",
    ),
    "not_wired": Case(
        plan(LAMP, ""),
        plan(LAMP.replace("running", "wired: no, running"), ""),
        "note",
        "A lamp stands among the parts, and no run ends on it.",
    ),
    "open_end": Case(
        plan("S1: {kind: switch, place: kitchen}", f"C1: {{from: P1.1, fuse: 3 A, to: S1, {WIRE}}}").replace(
            ", return: {to: E2, length: 0.4 m}", ""
        ),
        SWITCHED,
        "watch",
        "A live wire ends at a switch, and nothing goes on behind it.",
    ),
    "stud_not_named": Case(
        plan(LAMP, "C1: {from: P1.1, fuse: 3 A, to: lamp, area: 1 mm², length: 3 m, return: body}"),
        plan(LAMP, "C1: {from: P1.1, fuse: 3 A, to: lamp, area: 1 mm², length: 3 m, return: {to: E2}}"),
        "watch",
        "The minus of a lamp goes to the body, and no stud is named.",
    ),
    "load_cannot_be_held": Case(
        _held(760.0),
        _held(50.0),
        "fault",
        "760 W are asked of 12 V through 50 mΩ, which can bring 720 W at most: the volts collapse.",
        (Flip(_held, 720.0, "fault"),),
    ),
    "cable_overloaded": Case(
        _cable(19.4),
        _cable(18.9),
        "fault",
        "A panel drives 19.4 A for hours through a wire of 1 mm² that is good for 19 A.",
        (Flip(_cable, 19.0, "fault"),),
    ),
    "fuse_overloaded": Case(
        _fill(8.5),
        _fill(7.9),
        "watch",
        "8.5 A last through a 10 A fuse.",
        (Flip(_fill, 8.0, "watch"), Flip(_fill, 10.0, "fault")),
    ),
    "fuse_opens_at_start": Case(
        _long_start(0.2),
        _long_start(0.1),
        "watch",
        "A pump takes 20 A for 0.2 s while it starts, behind a 10 A fuse.",
        (Flip(_long_start, 0.15, "watch"), Flip(_long_start, 5.0, "fault")),
    ),
    "fuse_rating_unknown": Case(
        plan(LAMP, f"C1: {{from: P1.1, fuse: unknown, to: lamp, {WIRE}}}"),
        plan(LAMP, f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}"),
        "watch",
        "There is a fuse, and nobody wrote down which.",
    ),
    "size_unknown": Case(
        plan(LAMP, f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}".replace("4 mm²", "unknown")),
        plan(LAMP, f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}"),
        "watch",
        "An old wire is kept, and nobody measured its size.",
    ),
    "passage_overloaded": Case(
        _pin(10.5),
        _pin(9.9),
        "fault",
        "10.5 A go through a plug pin made for 10 A.",
        (Flip(_pin, 10.0, "fault"),),
    ),
    "hot_place_derates": Case(
        _in_the_heat(10.5),
        _in_the_heat(9.9),
        "fault",
        "A converter made for 20 A gives 10 A at the 30 °C of its place, and 10.5 A are asked.",
        (Flip(_in_the_heat, 10.0, "fault"),),
    ),
    "too_many_rings_on_stud": Case(
        _rings(5),
        _rings(4),
        "watch",
        "Five rings lie on one stud.",
    ),
}
CASES |= GUARDING | MAINS | SHORTS | MODES | STATIC1 | STATIC2 | TOPOLOGIES | FEEDING_BACK
CASES |= UNDER_LOAD | CHARGING | ENERGY | BREAKS | WEIGHING | ZONES
#: Not a rule of its own: what is said of a finding that only the bad end of an unknown figure brings.
UNKNOWN_DECIDES = plan(
    "heater: {kind: load, place: kitchen, running: 10 A}",
    "C1: {from: P1.1, fuse: 15 A, to: heater, area: 1.5 mm², length: unknown, return: {to: E2}}",
)
