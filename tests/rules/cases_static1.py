"""Cases of the rules on colours, terminals, studs and leads."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

LAMP = "lamp: {kind: lamp, place: kitchen, running: 1 A}"
LEFT = "area: 1 mm², length: 3 m, resistance: 0 mΩ, via: left, return: {to: E2, length: 0.4 m}"
SOUND = plan(LAMP, f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}")


def with_path(text: str) -> str:
    """Return a plan with a path, to lay looms in."""
    return text.replace("studs:\n", "paths:\n  left: {length: 3 m}\nstuds:\n", 1)


# Colours


def _coloured(colour: str, back: str = "BK") -> str:
    """A lamp whose feed and return have these colours."""
    run = f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}, colour: {colour}}}"
    return plan(LAMP, run.replace("length: 0.4 m}", f"length: 0.4 m, colour: {back}}}"))


def _two_voltages(colour: str) -> str:
    """A 12 V lamp behind a converter, its wire in one loom with a red 24 V wire."""
    parts = """upper: {like: leisure}
        converter: {kind: converter, place: seat_base, output: 12 V, current: 10 A}
        lamp: {kind: lamp, place: kitchen, voltage: 12 V, running: 1 A}
        heater: {kind: load, place: kitchen, running: 1 A}"""
    wiring = f"""link: {{from: leisure.plus, to: upper.minus, area: 16 mm², length: 0.3 m, resistance: 0 mΩ}}
        C1: {{from: P1.1, fuse: 3 A, to: heater, {LEFT}, colour: RD}}
        C2: {{from: P1.2, fuse: 10 A, to: converter, {WIRE}}}
        C3: {{from: converter, fuse: 3 A, to: lamp, {LEFT}, colour: {colour}}}"""
    text = plan(parts, wiring).replace("region: eu\n", "region: eu\nsystem: 24 V\n")
    text = text.replace("chemistry: agm", "chemistry: agm, voltage: 12 V")
    return with_path(text.replace("main: {from: leisure.plus", "main: {from: upper.plus"))


def _beside_mains(colour: str) -> str:
    parts = f"""{LAMP}
        inlet: {{kind: inlet, place: seat_base}}
        U1: {{kind: breaker_box, place: kitchen, ways: 1, rcd: 30 mA 2-pole}}"""
    wiring = f"""C1: {{from: P1.1, fuse: 3 A, to: lamp, {LEFT}, colour: {colour}}}
        M1: {{from: inlet, to: U1, area: 2.5 mm², length: 3 m, via: left}}"""
    return with_path(plan(parts, wiring))


# Terminals


def _takes(largest: float) -> str:
    """A wire of 4 mm² on a lamp."""
    return SOUND.replace("running: 1 A}", f"running: 1 A, takes: 0.5..{largest} mm²}}")


def _relay(more: str, plus: str = "86", minus: str = "85") -> str:
    """A lamp behind a relay whose coil is wired by hand."""
    parts = f"""{LAMP}
        K1: {{kind: relay, place: kitchen, coil: 0.15 A, rating: 30 A, resistance: 0 mΩ{more}}}"""
    wiring = f"""C1: {{from: P1.1, fuse: 3 A, through: K1, to: lamp, {WIRE}}}
        C2: {{from: P1.2, fuse: 3 A, to: K1.{plus}, area: 1 mm², length: 3 m, resistance: 0 mΩ}}
        C3: {{from: K1.{minus}, to: E2, area: 1 mm², length: 0.4 m, resistance: 0 mΩ}}"""
    return plan(parts, wiring)


def _start(amps: float, seconds: str = "4 min") -> str:
    """A heater that glows through a switch made for 10 A."""
    return plan(
        f"""heater: {{kind: load, place: kitchen, running: 2 A, start: {amps} A for {seconds}}}
        S1: {{kind: switch, place: kitchen, rating: 10 A, resistance: 0 mΩ}}""",
        f"C1: {{from: P1.1, fuse: 15 A, through: S1, to: heater, {WIRE}}}",
    )


def _output_start(amps: float) -> str:
    """A pump that starts through an output made for 10 A."""
    return plan(
        f"""pump: {{kind: water_pump, place: kitchen, running: 2 A, start: {amps} A for 80 ms}}
        S0: {{kind: control_panel, place: kitchen, resistance: 0 mΩ, idle: 0 A,
        outputs: {{pump: {{switches: plus, rating: 10 A}}}}}}""".replace(",\n", ","),
        f"""C1: {{from: P1.1, fuse: 15 A, to: S0.plus, {WIRE}}}
        C2: {{from: S0.pump, to: pump, {WIRE}}}""".replace(", return: {to: E2, length: 0.4 m}", "", 1),
    )


# Studs


def _stud(words: str) -> str:
    return SOUND.replace("E2: {place: kitchen}", f"E2: {{place: kitchen, {words}}}")


def _ring(mm2: float) -> str:
    """A return of so many square millimetres on an M6 stud."""
    text = SOUND.replace("length: 0.4 m}", f"length: 0.4 m, area: {mm2} mm²}}", 1)
    return text.replace("E2: {place: kitchen}", "E2: {place: kitchen, thread: M6}")


def _sensor(amps: float, sender_to: str = "E2") -> str:
    """A tank sender whose return shares the stud of a heater of so many amperes."""
    return plan(
        f"""heater: {{kind: load, place: kitchen, running: {amps} A}}
        gauge: {{kind: gauge, place: kitchen, running: 0.1 A}}
        tank: {{kind: sender, place: kitchen, tank: 80 l}}""",
        f"""C1: {{from: P1.1, fuse: 15 A, to: heater, {WIRE}}}
        C2: {{from: P1.2, fuse: 3 A, to: gauge, {WIRE.replace("E2", "E1")}}}
        G: {{from: gauge.sender, to: tank, area: 1 mm², length: 2 m, return: {{to: {sender_to}}}}}""",
    )


# Leads


def _lead(fuse: float) -> str:
    """A lamp with a tail of 0.75 mm², which carries 15 A."""
    text = SOUND.replace("running: 1 A}", "running: 1 A, lead: 0.75 mm²}")
    return text.replace("fuse: 3 A", f"fuse: {{rating: {fuse} A, resistance: 0 mΩ}}")


STATIC1: dict[str, Case] = {
    "green_yellow_not_earth": Case(
        _coloured("RD", back="GNYE"),
        _coloured("RD"),
        "fault",
        "The return of a lamp is green-yellow.",
    ),
    "colour_at_both_poles": Case(
        _coloured("BK"),
        _coloured("RD"),
        "watch",
        "Feed and return of a lamp are both black.",
    ),
    "colour_at_two_voltages": Case(
        _two_voltages("RD"),
        _two_voltages("WH"),
        "watch",
        "A 12 V feed and a 24 V feed lie in one loom, both red.",
    ),
    "green_or_yellow_beside_mains": Case(
        _beside_mains("YE"),
        _beside_mains("RD"),
        "note",
        "A yellow wire lies in one path with a mains cable.",
    ),
    "colours_in_other_order": Case(
        _coloured("BURD"),
        _coloured("RDBU"),
        "note",
        "A wire with red and blue is written blue first.",
    ),
    "wire_outside_terminal": Case(
        _takes(2.5),
        _takes(4.0),
        "fault",
        "A wire of 4 mm² ends on a lamp whose terminals take up to 2.5 mm².",
        (Flip(lambda area: _takes(4.0 * 4.0 / area), 4.0, "fault"),),
    ),
    "coil_diode_reversed": Case(
        _relay(", diode: yes", plus="85", minus="86"),
        _relay(", diode: yes"),
        "fault",
        "A relay with a diode has its feed on 85, the diode's minus.",
    ),
    "start_overloads_passage": Case(
        _start(12.0),
        _start(9.9),
        "fault",
        "A heater glows with 12 A for four minutes through a switch made for 10 A. A start of under 10 s is "
        "judged at the outputs of panels only.",
        (Flip(_start, 10.0, "fault"), Flip(_output_start, 10.0, "watch")),
    ),
    "stud_on_forbidden_bolt": Case(
        _stud("bolt: seat_belt"),
        _stud("bolt: own"),
        "fault",
        "The return of a lamp goes under the bolt of a seat belt.",
    ),
    "stud_on_paint": Case(
        _stud("surface: painted"),
        _stud("surface: zinc"),
        "fault",
        "Nobody took the paint off under the ring.",
    ),
    "stud_not_sealed": Case(
        _stud("sealed: no"),
        _stud("sealed: yes"),
        "watch",
        "A stud was tightened and left as it is.",
    ),
    "cable_too_large_for_stud": Case(
        _ring(35.0),
        _ring(25.0),
        "watch",
        "A return of 35 mm² ends on an M6 stud.",
        (Flip(_ring, 25.0, "watch"),),
    ),
    "sensor_shares_stud": Case(
        _sensor(10.5),
        _sensor(9.9),
        "watch",
        "The sender of a tank shares its stud with the return of a heater that takes 10.5 A.",
        (Flip(_sensor, 10.0, "watch"),),
    ),
    "fuse_above_lead_rating": Case(
        _lead(20.0),
        _lead(14.9),
        "fault",
        "A lamp has a tail of 0.75 mm², good for 15 A, and a 20 A fuse stands before it.",
        (Flip(_lead, 15.0, "watch"), Flip(_lead, 15.3, "fault")),
    ),
}
