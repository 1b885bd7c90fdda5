"""Cases of the rules on cuts and starts, lamp circuits of the vehicle, and what a trailer is fed from."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

STARTER = (
    "starter: {kind: vehicle_battery, place: seat_base, chemistry: agm, capacity: 70 Ah, resistance: 20 mΩ}"
)
DC_DC = "dc_dc: {kind: alternator, charges: starter, current: 10 A, form: dc_dc, output: 14.4 V}"


def _cut(amps: float, waits: str = "0 s") -> str:
    """A pump's start behind a cut that opens below 11.6 V: the battery's 20 mΩ lose 0.4 V at 20 A."""
    return plan(
        f"""cut: {{kind: low_voltage_cut, place: seat_base, cut_out: 11.6 V, delay: {waits}, idle: 0 A,
        resistance: 0 mΩ}}
        pump: {{kind: water_pump, place: kitchen, running: 2 A, start: {amps} A for 80 ms}}""".replace(
            ",\n", ","
        ),
        f"""C1: {{from: P1.1, fuse: 15 A, through: cut, to: pump, {WIRE}}}
        C2: {{from: cut.minus, to: E1, area: 1 mm², length: 0.4 m, resistance: 0 mΩ}}""",
    )


def lamp_feed(more: str, to: str = "camera") -> str:
    """A camera and the vehicle's reversing lamp: the circuit of the lamp goes to the camera, or to a coil."""
    back = "return: {to: E2, length: 0.4 m}"
    camera = f"C2: {{from: P1.1, fuse: 3 A, through: K1, to: camera, {WIRE}}}" if to != "camera" else ""
    relay = "K1: {kind: relay, place: kitchen, coil: 0.15 A, resistance: 0 mΩ}" if to != "camera" else ""
    return plan(
        f"""starter: {{kind: vehicle_battery, place: seat_base, chemistry: agm, capacity: 70 Ah}}
        reversing: {{kind: vehicle_feed, place: kitchen, live: reversing{more}}}
        camera: {{kind: camera, place: kitchen, running: 0.2 A}}
        {relay}""",
        f"""C1: {{from: reversing, fuse: 3 A, to: {to}, area: 1 mm², length: 1 m, resistance: 0 mΩ, {back}}}
        {camera}""",
    )


def trailer(feed: str) -> str:
    """The supply of a trailer's socket, from the house or from the vehicle."""
    return plan(
        """starter: {kind: vehicle_battery, place: seat_base, chemistry: agm, capacity: 70 Ah}
        tow: {kind: tow_socket, place: kitchen, pins: 13}""",
        f"""T9: {{from: {feed}, fuse: 15 A high_breaking, to: tow.9, area: 4 mm², length: 3 m}}
        T13: {{from: tow.13, to: E2, area: 4 mm², length: 0.4 m}}""",
    )


def fridge_of_trailer(through: str) -> str:
    """The supply with the ignition of a trailer's socket, straight or through a relay of the engine."""
    coil = (
        "" if not through else "K10: {from: alternator.d_plus, fuse: 3 A, to: K1.86, area: 1 mm², return: E2}"
    )
    return plan(
        """starter: {kind: vehicle_battery, place: seat_base, chemistry: agm, capacity: 70 Ah}
        K1: {kind: relay, place: seat_base, rating: 30 A, coil: 0.2 A}
        alternator: {kind: alternator, place: seat_base, charges: starter, current: 120 A, output: 14.2 V}
        tow: {kind: tow_socket, place: kitchen, pins: 13}""",
        f"""T10: {{from: starter, fuse: 15 A high_breaking, {through} to: tow.10, area: 4 mm², length: 3 m}}
        {coil}
        T11: {{from: tow.11, to: E2, area: 4 mm², length: 0.4 m}}""",
    )


def tapped(amps: float, feed: str = "leisure.plus") -> str:
    """Two batteries in series, and a radio on the lower one alone, or behind a converter on both."""
    converter = "" if feed == "leisure.plus" else f"C2: {{from: P1.1, fuse: 10 A, to: converter, {WIRE}}}"
    part = "converter: {kind: converter, place: seat_base, output: 12 V, current: 10 A}" if converter else ""
    text = plan(
        f"""upper: {{like: leisure}}
        radio: {{kind: radio, place: kitchen, voltage: 12 V, running: {amps:.5f} A}}
        {part}""",
        f"""link: {{from: leisure.plus, to: upper.minus, area: 16 mm², length: 0.3 m, resistance: 0 mΩ}}
        {converter}
        C1: {{from: {feed}, fuse: 5 A high_breaking, to: radio, {WIRE}}}""",
    ).replace("region: eu\n", "region: eu\nsystem: 24 V\n")
    text = text.replace("chemistry: agm", "chemistry: agm, voltage: 12 V")
    return text.replace("main: {from: leisure.plus", "main: {from: upper.plus")


def d_plus(amps: float) -> str:
    """A load of so much on D+ of the alternator."""
    return plan(
        f"""starter: {{kind: vehicle_battery, place: seat_base, chemistry: agm, capacity: 70 Ah}}
        alternator: {{kind: alternator, place: seat_base, charges: starter, current: 120 A, output: 14.2 V}}
        heater: {{kind: load, place: kitchen, running: {amps} A}}""",
        f"C1: {{from: alternator.d_plus, fuse: 15 A, to: heater, {WIRE}}}",
    )


def alternator(amps: float) -> str:
    """The DC-DC of an electric vehicle, and a load of so much on its battery."""
    return plan(
        f"""{STARTER}
        {DC_DC}
        ignition: {{kind: vehicle_feed, place: seat_base, live: ignition}}
        K1: {{kind: relay, place: seat_base, coil: 0.2 A, resistance: 0 mΩ}}
        heater: {{kind: load, place: kitchen, running: {amps:.4f} A}}""",
        f"""C1: {{from: starter.plus, fuse: 15 A, through: K1, to: heater, {WIRE}}}
        C2: {{from: ignition, fuse: 3 A, to: K1.86, area: 1 mm², length: 1 m, return: {{to: E1}}}}""",
    )


def charger(amps: float) -> str:
    """A charger between batteries that gives so much, on a DC-DC of 10 A."""
    run = "area: 6 mm², length: 1 m, resistance: 0 mΩ"
    return plan(
        f"""{STARTER}
        {DC_DC}
        b2b: {{kind: b2b, place: seat_base, current: {amps} A, output: 14.4 V, start_on: d_plus}}""",
        f"""W1: {{from: starter.plus, fuse: 30 A high_breaking, to: b2b, {run}}}
        W2: {{from: b2b, fuse: 25 A high_breaking at to, to: leisure.plus, {run}}}
        W3: {{from: b2b.minus, to: E1, {run}}}
        W4: {{from: dc_dc.d_plus, fuse: 3 A, to: b2b.signal, area: 1 mm², length: 1 m}}""",
    )


TOPOLOGIES: dict[str, Case] = {
    "cut_opens_at_start": Case(
        _cut(21.0),
        _cut(21.0, "1 s"),
        "fault",
        "A pump starts with 21 A, the cut behind the battery's 20 mΩ opens below 11.6 V and does not wait.",
        (Flip(_cut, 20.0, "fault"),),
    ),
    "load_between_batteries": Case(
        tapped(3.0),
        tapped(3.0, "converter"),
        "fault",
        "A 12 V radio hangs on the lower of two batteries in series.",
        (Flip(tapped, 0.02, "fault"),),
    ),
    "monitored_lamp_feed_loaded": Case(
        lamp_feed(", monitored: yes"),
        lamp_feed(", monitored: yes", "K1.86"),
        "fault",
        "A reversing camera is fed from the reversing lamp, which the vehicle watches.",
    ),
    "alternator_overloaded": Case(
        charger(12.0),
        charger(8.0),
        "fault",
        "A charger takes 14 A from the DC-DC of an electric vehicle that gives 10 A.",
        (Flip(alternator, 10.0, "fault"),),
    ),
    "d_plus_overloaded": Case(
        d_plus(9.0),
        d_plus(1.9),
        "fault",
        "A heater that takes 9 A hangs on D+ of the alternator.",
        (Flip(d_plus, 2.0, "fault"),),
    ),
    "trailer_drains_parked": Case(
        fridge_of_trailer(""),
        fridge_of_trailer("through: K1,"),
        "watch",
        "The feed of the trailer's fridge comes straight from the starter battery.",
    ),
    "trailer_fed_from_house": Case(
        trailer("leisure"),
        trailer("starter"),
        "fault",
        "The permanent supply of the trailer's socket comes from the house battery.",
    ),
}
