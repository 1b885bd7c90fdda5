"""For each rule on fuses and shorts a plan that trips it, one that just passes, and what flips it.

By hand: the base's AGM battery rests at 12.8 V when full and at 11.7 V at 20 %, behind 20 mΩ, and nothing
else resists; 4 mm² carries 42 A and 1.5 mm² 24 A (DIN VDE 0298-4, one core in free air).
"""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

HEATER = "heater: {kind: load, place: kitchen, running: 10 A}"
BATTERY = "resistance: 20 mΩ"
MAIN_FUSE = "fuse: 60 A bolted"


def _bare(metres: float) -> str:
    """A battery's wire without a fuse."""
    return plan(
        HEATER,
        f"C1: {{from: leisure.plus, fuse: none, to: heater, area: 4 mm², length: {metres} m, "
        "resistance: 0 mΩ, return: {to: E2, length: 0.4 m}}",
    )


def _together(amps: float) -> str:
    """A charger and a battery behind 30 A on one bar, and an unfused wire of 4 mm² from there."""
    wire = "area: 4 mm², length: 1 m, resistance: 0 mΩ"
    return plan(
        f"""{HEATER}
        bar: {{kind: busbar, place: kitchen}}
        charger: {{kind: mains_charger, place: kitchen, current: {amps} A, output: 14.4 V}}""",
        f"""W1: {{from: charger.plus, fuse: none, to: bar, {wire}}}
        W1_back: {{from: charger.minus, to: E2, {wire}}}
        W2: {{from: bar, fuse: 30 A blade at to, to: leisure.plus, {wire}}}
        C1: {{from: bar, fuse: none, to: heater, {WIRE}}}""",
    )


def _drawn(amps: float, fuse: str) -> str:
    """A main fuse asked for so much: 12.8 V by the battery's resistance."""
    text = plan("", "").replace(MAIN_FUSE, f"fuse: {fuse}")
    return text.replace(BATTERY, f"resistance: {12.8e3 / amps} mΩ")


def _stated(amps: float) -> str:
    return _drawn(amps, "{rating: 60 A, type: bolted, breaks: 1 kA}")


def _blade(amps: float) -> str:
    return _drawn(amps, "30 A blade")


def _bolted(amps: float) -> str:
    return _drawn(amps, "60 A bolted")


def _far(metres: float) -> str:
    return plan("", "").replace(
        MAIN_FUSE, f"fuse: {{rating: 60 A, type: bolted, distance: {metres} m, resistance: 0 mΩ}}"
    )


def _volts(share: float) -> str:
    """A 24 V battery, and a fuse made for 24 V by this share."""
    text = plan("", "").replace(
        MAIN_FUSE, f"fuse: {{rating: 60 A, type: bolted, voltage: {24.0 / share} V, resistance: 0 mΩ}}"
    )
    return text.replace("region: eu", "region: eu\nsystem: 24 V").replace(BATTERY, "resistance: 40 mΩ")


def marked(mark: str) -> str:
    """A breaker at the battery whose plus mark looks at one end of its wire."""
    return plan(HEATER, f"C1: {{from: P1.1, fuse: 15 A, to: heater, {WIRE}}}").replace(
        MAIN_FUSE, f"fuse: {{rating: 60 A, type: breaker, plus_mark: {mark}, resistance: 0 mΩ}}"
    )


def _made(rating: str) -> str:
    return plan("", "").replace(MAIN_FUSE, f"fuse: {{rating: {rating}, type: bolted, resistance: 0 mΩ}}")


def _fuse(amps: float) -> str:
    return plan(
        HEATER,
        f"C1: {{from: P1.1, fuse: {{rating: {amps} A, resistance: 0 mΩ}}, to: heater, {WIRE}}}".replace(
            "4 mm²", "1.5 mm²"
        ),
    )


def _far_short(mohm: float) -> str:
    """A blade of 30 A, too much for 1.5 mm², on so many milliohms, half of them in the return."""
    return plan(
        HEATER,
        f"C1: {{from: P1.1, fuse: 30 A, to: heater, {WIRE}}}".replace("4 mm²", "1.5 mm²").replace(
            "resistance: 0 mΩ", f"resistance: {mohm} mΩ"
        ),
    )


#: By hand: between 160 % (50 s) and 200 % (5 s) a 30 A blade takes 50 s · (I / 48 A)^-10.32 at the longest,
#: 1.5 mm² stands (115 · 1.5 / I)² s; both are 9.3 s at 56.5 A, which 11.7 V drive through 207 mΩ: the
#: battery's 20, twice as many when it is old or nearly empty, and those of the wire there and back.
BURNS_AT_MOHM = 167.1

GUARDING: dict[str, Case] = {
    "missing_fuse": Case(
        _bare(2.0),
        _bare(0.29),
        "danger",
        "Two metres of wire go from a battery to a heater, and no fuse is anywhere.",
        (Flip(_bare, 0.3, "danger"), Flip(_together, 1.02 * 42.0 - 30.0, "fault")),
    ),
    "fuse_breaks_too_little": Case(
        _stated(2000.0),
        _stated(990.0),
        "fault",
        "A battery drives 2 kA into a short behind a fuse whose sheet says 1 kA.",
        (
            Flip(_stated, 1000.0, "fault"),
            Flip(_blade, 1000.0, "watch"),
            Flip(_bolted, 1000.0, "note"),
            Flip(_bolted, 5000.0, "fault"),
        ),
    ),
    "fuse_too_far": Case(
        _far(0.4),
        _far(0.29),
        "fault",
        "The main fuse sits 0.4 m down the cable from the battery.",
        (Flip(_far, 0.3, "fault"),),
    ),
    "fuse_volts_too_low": Case(
        _volts(2.0),
        _volts(0.75),
        "fault",
        "A fuse made for 12 V guards a 24 V battery.",
        (Flip(_volts, 1.0, "fault"), Flip(_volts, 24.0 / 25.6, "watch")),
    ),
    "breaker_wrong_way": Case(
        marked("to"),
        marked("from"),
        "fault",
        "The breaker at the battery has its plus mark turned away from it.",
    ),
    "fuse_not_made": Case(
        _made("45 A"),
        _made("40 A"),
        "watch",
        "The plan has a bolted fuse of 45 A, which nobody makes.",
    ),
    "fuse_above_cable_rating": Case(
        _fuse(25.0),
        _fuse(23.9),
        "fault",
        "A wire of 1.5 mm², good for 24 A, hangs behind a 25 A fuse.",
        (
            Flip(_fuse, 24.0, "watch"),
            Flip(_fuse, 24.48, "fault"),
            Flip(_far_short, BURNS_AT_MOHM, "danger"),
        ),
    ),
}
