"""For each rule on places and paths a plan that trips it, one that just passes, and what flips it.

Clips, segregation, gas compartments, stranded copper: IEC 60364-7-721 and BS 7671, section 721 (second hand;
the distances from memory); 12 V fixings: ISO 10133, 7.3. Bundles: 1.2 times the root of the sum of squares.
"""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

LAMP = "lamp: {kind: lamp, place: kitchen, running: 1 A}"
MAINS = """inlet: {kind: inlet, place: seat_base, rating: 16 A}
        U1: {kind: breaker_box, place: kitchen, ways: 1, rcd: 30 mA 2-pole}
        S1: {kind: mains_socket, place: kitchen}"""
SOCKET = """
M2: {from: U1.1, breaker: 16 A B 2-pole, to: S1, area: 2.5 mm², length: 0.5 m}
pe: {from: U1.earth, to: E2, area: 6 mm², length: 0.5 m}"""


def lamp(more: str, paths: str = "", parts: str = "", wires: str = "") -> str:
    """A lamp whose wire has something more, and paths."""
    text = plan(f"{LAMP}\n{parts}", f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}{more}}}\n{wires}")
    return text.replace("studs:\n", f"paths:\n{paths}studs:\n", 1) if paths else text


def _past(zone: str, more: str = "") -> str:
    """A wire that is led along two paths, one of them in a zone."""
    return lamp(f", via: [sill, short_cut]{more}", f"  sill: {{}}\n  short_cut: {{zones: [{zone}]}}\n")


def _mains_past(zone: str) -> str:
    """A mains cable that is led along a path in a zone."""
    cable = "M1: {from: inlet, to: U1, area: 2.5 mm², length: 2 m, via: short_cut}" + SOCKET
    return lamp("", f"  short_cut: {{zones: [{zone}]}}\n", MAINS, cable)


def _beside(via: str) -> str:
    """A mains cable in a closed pipe, and the wire of a lamp by some path."""
    return lamp(
        f", via: {via}",
        "  pipe: {conduit: yes}\n  sill: {}\n",
        MAINS,
        "M1: {from: inlet, to: U1, area: 2.5 mm², length: 2 m, via: pipe}" + SOCKET,
    )


def _clips(metres: float) -> str:
    return lamp(f", clips: {metres} m")


def _hole(mm: float) -> str:
    """One wire of 4 mm² in a path with a hole: it is 3.7 mm thick, and a bundle fills 80 % of a bore."""
    paths = f"  sill: {{along: [[-0.4, -0.4, 0.1], [0.6, 0.7, 0.4]], hole: {mm} mm}}\n"
    return lamp(", via: sill", paths)


def frost(celsius: float, stops: str = "none", more: str = "") -> str:
    """A lithium battery and its charger in a place as cold as that."""
    text = plan(
        f"{LAMP}\ncharger: {{kind: mains_charger, place: kitchen, current: 10 A, output: 14.2 V}}",
        f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}\n"
        "charge: {from: charger.plus, to: leisure.plus, area: 4 mm², length: 1 m, fuse: 15 A blade at to, "
        "return: wire}",
    )
    cold = f"seat_base: {{at: [-0.4, -0.4, 0.1], temperature: {celsius} °C}}"
    stopped = f"chemistry: lifepo4, cut_off: {{charge_below: {stops}}}{more}"
    return text.replace("seat_base: [-0.4, -0.4, 0.1]", cold).replace("chemistry: agm", stopped)


def _door(zone: str) -> str:
    """A lamp that returns to a stud at a place of some zone."""
    text = lamp("")
    return text.replace("kitchen: [0.6, 0.7, 0.4]", f"kitchen: {{at: [0.6, 0.7, 0.4], zones: [{zone}]}}")


def _mixed(measured: str = "") -> str:
    """A van of several materials, with the ohms between its studs or without."""
    text = lamp("").replace("basis:\n", "vehicle: {body: mixed}\nbasis:\n", 1)
    return text.replace("E1: {place: seat_base}", f"E1: {{place: seat_base{measured}}}")


def _pipe(mm: float) -> str:
    """One wire of 4 mm², 4.4 mm thick, in a pipe: it may fill 53 % of the bore."""
    return lamp(", via: pipe", f"  pipe: {{conduit: yes, hole: {mm} mm}}\n")


def _air(celsius: float) -> str:
    """A wire of PVC for 70 °C along a path as hot as that."""
    return lamp(", via: sill", f"  sill: {{temperature: {celsius} °C}}\n")


def _loop(left_m: float) -> str:
    """A wire over a slide so much longer than its way of √(1.0² + 1.1² + 0.3²) = 1.517 m."""
    paths = "  slide: {along: [[-0.4, -0.4, 0.1], [0.6, 0.7, 0.4]], zones: [moving]}\n"
    return lamp(", via: slide", paths).replace("length: 3 m", f"length: {1.51658 + left_m} m", 1)


def _inlet(metres: float, floor: str = "0.6 m") -> str:
    """An inlet so high above the road, with a load floor of 0.6 m."""
    at = f"at: [0.6, 0.7, {metres - 0.6:.3f}]"
    text = lamp("", parts=f"inlet: {{kind: inlet, place: kitchen, {at}, rating: 16 A, wired: no}}")
    return text.replace("basis:\n", f"vehicle: {{floor_height: {floor}}}\nbasis:\n", 1)


def _two_ways(mm: float) -> str:
    """A wire led through a hole, and one that nobody leads: two of 4.4 mm side by side are 80 % of 11 mm."""
    return lamp(
        ", via: sill",
        f"  sill: {{along: [[-0.4, -0.4, 0.1], [0.6, 0.7, 0.4]], hole: {mm} mm}}\n"
        "  roof: {along: [[-0.4, -0.4, 0.1], [-0.4, -0.4, 1.7], [0.6, 0.7, 1.7], [0.6, 0.7, 0.4]]}\n",
        "other: {kind: lamp, place: kitchen, running: 1 A}",
        f"C2: {{from: P1.2, fuse: 3 A, to: other, {WIRE}}}",
    )


ZONES = {
    "led_past_full_hole": Case(
        _two_ways(10.9), _two_ways(11.1), "note", "A wire that nobody leads finds the hole of a sill full."
    ),
    "pipe_too_full": Case(_pipe(6.0), _pipe(6.1), "watch", "A wire of 4.4 mm lies in a pipe of 6 mm."),
    "insulation_below_air": Case(
        _air(71.0),
        _air(69.0),
        "fault",
        "A wire with PVC for 70 °C lies in a roof void that gets 71 °C.",
        (Flip(_air, 69.9, "fault"),),
    ),
    "no_loop_at_moving_part": Case(
        _loop(0.05), _loop(0.12), "watch", "A wire over a slide is as long as its way and no longer."
    ),
    "inlet_too_high": Case(
        _inlet(1.9),
        _inlet(1.8),
        "fault",
        "The inlet sits 1.9 m above the road.",
        (Flip(_inlet, 1.8, "fault"), Flip(lambda m: _inlet(m, "0.6..0.7 m"), 1.7, "watch")),
    ),
    "return_over_moving_part": Case(
        _door("moving"), _door("living"), "fault", "A lamp on a door returns to a stud on the door."
    ),
    "return_by_mixed_shell": Case(
        _mixed(),
        _mixed(", body_to: {E2: 0 mΩ}"),
        "watch",
        "The body is part steel, part plastic, and nobody measured it between the studs.",
    ),
    "wire_in_gas_locker": Case(
        _mains_past("gas_locker"),
        _mains_past("wet"),
        "danger",
        "A mains cable passes through the compartment of the gas bottles.",
    ),
    "wire_along_airbag": Case(
        _past("airbag"), _past("cab"), "fault", "The wire of a lamp lies along an airbag."
    ),
    "wire_by_flue": Case(
        _past("flue"),
        _past("flue", ", insulation: silicone 180 °C"),
        "watch",
        "The wire of a lamp passes the flue of a heater in ordinary insulation.",
    ),
    "mains_beside_low_voltage": Case(
        _beside("pipe"), _beside("sill"), "fault", "A mains cable and the wire of a lamp lie in one pipe."
    ),
    "wire_not_flexible": Case(
        lamp(", conductor: solid"), lamp(""), "fault", "The wire of a lamp is of solid copper."
    ),
    "clips_too_far_apart": Case(
        _clips(0.5),
        _clips(0.45),
        "fault",
        "The wire of a lamp is fixed every half metre.",
        (Flip(_clips, 0.45, "fault"),),
    ),
    "bundle_too_thick_for_hole": Case(
        _hole(4.0), _hole(6.0), "watch", "A wire does not pass the grommet of its path."
    ),
    "lithium_charged_in_frost": Case(
        frost(-5.0),
        frost(1.0),
        "fault",
        "A lithium battery sits where it gets 5 °C below zero, and nothing stops its charger.",
    ),
}
