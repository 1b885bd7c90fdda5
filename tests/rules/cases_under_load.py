"""Cases of the rules on batteries under large loads.

By hand: an AGM battery rests at 12.8 V full and at 12.1 V half full, behind 60 mΩ at 25 °C and 77.4 mΩ at
0 °C (the table's 1 + 0.5 · 25 / 43); nothing else resists. P = (U0 - U) U / R.
"""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

WIDE = "area: 10 mm², length: 1 m, resistance: 0 mΩ, return: {to: E2, length: 0.4 m}"
SAYS = "neutral_bond: none, rcd: none"


def _inverter(watts: float, more: str) -> str:
    """An inverter without losses on a battery of 60 mΩ."""
    text = plan(
        f"inverter: {{kind: inverter, place: kitchen, power: {watts} W, efficiency: 100 %, {SAYS}, {more}}}",
        f"I1: {{from: leisure.plus, fuse: 60 A bolted, to: inverter, {WIDE}}}",
    )
    return text.replace("resistance: 20 mΩ", "resistance: 60 mΩ")


def _warns(watts: float) -> str:
    return _inverter(watts, "alarm: 11.0 V")


def _stops(watts: float) -> str:
    return _inverter(watts, "cut_out: 10.5 V")


def _promised(watts: float) -> str:
    said = "{says: As much as that, part: inverter, power: %s W, charge: 50..100 %%, temperature: 25 °C}"
    return _inverter(100.0, "alarm: 11.0 V") + f"promises:\n  power: {said % watts}\n"


def _peak(watts: float) -> str:
    return _inverter(100.0, f"cut_out: 10.5 V, peak: {watts} W for 2 s")


def _converter(start: float, beside: float) -> str:
    """A pump that starts behind a converter of 20 A, beside a heater."""
    wire = "area: 4 mm², length: 3 m, resistance: 0 mΩ, return: wire"
    return plan(
        f"""converter: {{kind: converter, place: seat_base, output: 12 V, current: 20 A, efficiency: 100 %}}
        bar: {{kind: fuse_box, place: kitchen, ways: 2, minus_rail: yes}}
        pump: {{kind: water_pump, place: kitchen, running: 2 A, start: {start} A for 80 ms}}
        heater: {{kind: load, place: kitchen, running: {beside} A}}""",
        f"""C1: {{from: P1.1, fuse: 30 A, to: converter, {wire.replace("wire", "E1")}}}
        C2: {{from: converter, fuse: none, to: bar, {wire}}}
        C3: {{from: bar.1, fuse: 10 A, to: pump, {wire}}}
        C4: {{from: bar.2, fuse: 10 A, to: heater, {wire}}}""",
    )


def _small(amps: float) -> str:
    """An inverter that takes so much at 12.8 V of a full battery of 25 Ah, exponent 1.1."""
    text = _inverter(12.8 * amps, "alarm: 10.0 V").replace(
        "resistance: 60 mΩ", "resistance: 20 mΩ, peukert: 1.1"
    )
    return text.replace("capacity: 100 Ah", "capacity: 25 Ah")


#: 20 · (25 / 20 I)^1.1 = 1 h at 19.06 A, which 20 mΩ bring to 12.42 V: 18.5 A at 12.8 V.
_HOUR_A = 25.0 / 20.0 * 20.0 ** (1 / 1.1) * (12.8 - 0.020 * 25.0 / 20.0 * 20.0 ** (1 / 1.1)) / 12.8


def _bank(amps: float) -> str:
    """A heater on two batteries side by side that share alike and may give 5 A each."""
    link = "area: 16 mm², length: 0.3 m, resistance: 0 mΩ"
    text = plan(
        f"""other: {{kind: battery, place: seat_base, chemistry: agm, capacity: 100 Ah, charge_limit: 20 A,
        discharge_limit: 5 A, resistance: 40 mΩ}}
        heater: {{kind: load, place: kitchen, running: {amps} A}}""".replace(",\n", ","),
        f"""link_plus: {{from: leisure.plus, to: other.plus, {link}}}
        link_minus: {{from: leisure.minus, to: other.minus, {link}}}
        C1: {{from: P1.1, fuse: 15 A, to: heater, {WIRE}}}""",
    )
    return text.replace("resistance: 20 mΩ", "discharge_limit: 5 A, resistance: 40 mΩ")


UNDER_LOAD: dict[str, Case] = {
    "promised_power_missed": Case(
        _promised(300.0),
        _promised(199.0),
        "fault",
        "300 W are promised down to half a charge, and the battery resists so much that its volts "
        "fall through the alarm at 202 W.",
        (Flip(_promised, (12.1 - 11.0) * 11.0 / 0.060, "fault"),),
    ),
    "inverter_sags": Case(
        _warns(350.0),
        _warns(150.0),
        "watch",
        "An inverter of 350 W hangs on a small battery that holds 330 W when it is full and warm.",
        (
            Flip(_warns, (12.8 - 11.0) * 11.0 / 0.060, "watch"),
            Flip(_stops, (12.8 - 10.5) * 10.5 / 0.060, "fault"),
            Flip(_warns, (12.1 - 11.0) * 11.0 / (0.060 * (1.0 + 0.5 * 25.0 / 43.0)), "note"),
        ),
    ),
    "inverter_peak_out_of_reach": Case(
        _peak(600.0),
        _peak(390.0),
        "note",
        "An inverter is sold with a peak of 600 W; its battery lets it fall to its cut-out at 402 W.",
        (Flip(_peak, (12.8 - 10.5) * 10.5 / 0.060, "note"),),
    ),
    "converter_folds_back": Case(
        _converter(24.0, 1.0),
        _converter(14.0, 5.0),
        "fault",
        "A pump that starts with 24 A hangs on a converter that gives 20 A.",
        (
            Flip(lambda amps: _converter(amps, 1.0), 20.0, "fault"),
            Flip(lambda amps: _converter(15.0, amps - 15.0), 20.0, "watch"),
        ),
    ),
    "bank_opens_in_turn": Case(
        _bank(10.4),
        _bank(9.9),
        "fault",
        "Two batteries that may give 5 A each share 10.4 A: one opens, the other has it all and opens too.",
        (Flip(_bank, 10.0, "fault"),),
    ),
    "full_power_empties_soon": Case(
        _small(22.0),
        _small(18.0),
        "note",
        "An inverter takes 22 A from a battery of 25 Ah.",
        (Flip(_small, _HOUR_A, "note"),),
    ),
}
