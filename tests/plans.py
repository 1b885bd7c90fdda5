"""Random vans as plan texts, the same on every run: for properties, for the reference, for the bench.

Each is a van that a person could build, well or badly: batteries, a way of charging, fuse boxes, circuits
with switches, two-ways and plugs, returns by body or by wire, shared feeds, figures left to the program.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random

AREAS = ("0.75", "1", "1.5", "2.5", "4", "6", "10", "16")
GAUGES = ("18", "16", "14", "12", "10", "8", "6", "4")
#: Kind, running, start (empty: none). Currents are of 12 V; they are halved at 24 V.
LOADS = (
    ("lamp", "{a:.2f} W", 2, 12, ""),
    ("lamp", "{a:.2f} A", 0.1, 2, ""),
    ("strip", "{a:.1f} W", 5, 30, ""),
    ("water_pump", "{a:.1f} A", 3, 8, "{s:.1f} A for 80 ms"),
    ("fridge", "{a:.1f} A", 3, 6, "{s:.1f} A for 100 ms"),
    ("fan", "{a:.2f} A", 0.3, 3, "{s:.1f} A"),
    ("usb", "{a:.1f} A", 1, 5, ""),
    ("socket_12v", "{a:.0f} A", 5, 10, ""),
    ("air_heater", "{a:.1f} A", 1, 2, "{s:.1f} A for 4 min"),
    ("heat_mat", "{a:.0f} W", 20, 60, ""),
    ("tv", "{a:.0f} W", 20, 40, ""),
    ("electronics", "{a:.2f} A", 0.05, 1, ""),
)
PLACES = {
    "engine_bay": "{at: [-1.8, -0.5, 0.4], zones: [engine_bay], temperature: 60 °C}",
    "seat_base": "[-0.4, -0.45, 0.12]",
    "bench": "[1.9, -0.6, 0.2]",
    "kitchen": "[0.6, 0.7, 0.4]",
    "ceiling": "{at: [1.2, 0, 1.85], temperature: 40 °C}",
    "bed": "[2.6, 0.5, 0.9]",
    "door": "[0.2, -0.86, 1.1]",
    "roof": "{at: [1.0, 0, 1.95], zones: [outside]}",
}
INSIDE = ("seat_base", "bench", "kitchen", "ceiling", "bed", "door")
STUDS = {"E1": "seat_base", "E2": "bench", "E3": "kitchen", "E4": "bed"}


@dataclass
class Van:
    """The lines of a van while it is drawn up; `wires` counts the pieces of wire that are laid."""

    chance: Random
    autos: bool
    system: int
    region: str
    pinned: bool
    parts: list[str] = field(default_factory=list)
    wiring: list[str] = field(default_factory=list)
    ways: list[tuple[str, int]] = field(default_factory=list)  # free ways, and the volts there
    wires: int = 0
    circuits: int = 0

    def likely(self, part: float) -> bool:
        """Return True that often."""
        return self.chance.random() < part

    def add(self, key: str, fields: str, pieces: int) -> None:
        """Add a run of so many pieces."""
        self.wiring.append(f"  {key}: {{{fields}}}")
        self.wires += pieces

    def part(self, key: str, fields: str) -> str:
        """Add a part and return its id."""
        self.parts.append(f"  {key}: {{{fields}}}")
        return key

    def length(self, low: float = 0.5, high: float = 7.0) -> str:
        """Return a length field; now and then it is left to the program."""
        if self.autos and self.likely(0.15):
            return ", length: unknown" if self.likely(0.2) else ""
        return f", length: {self.chance.uniform(low, high):.2f} m"

    def area(self, least: int = 0) -> str:
        """Return an area field; sometimes it is left to the program."""
        if self.autos and self.likely(0.3):
            return self.chance.choice(["", ", area: auto"])
        step = self.chance.randrange(least, len(AREAS))
        return f", area: {GAUGES[step]} AWG" if self.region == "na" else f", area: {AREAS[step]} mm²"

    def surroundings(self) -> str:
        """Return insulation, bundle and temperature fields, mostly none."""
        words = ""
        if self.likely(0.2):
            words += f", bundle: {self.chance.randint(2, 7)}"
        if self.likely(0.15):
            words += f", temperature: {self.chance.choice([20, 40, 50])} °C"
        if self.likely(0.2):
            words += ", insulation: automotive 105 °C"
        return words

    def text(self, title: str) -> str:
        """Return the plan."""
        basis = "{copper: 20 °C, contacts: {crimp: 0.5 mΩ, lug: 0.2 mΩ, stud: 0.3 mΩ, body: 1.2 mΩ}}"
        lines = [
            "loomwright: 1",
            f"title: {title}",
            f"region: {self.region}",
            f"system: {self.system} V",
            *([f"basis: {basis}"] if self.pinned else []),
            "places:",
            *(f"  {key}: {where}" for key, where in PLACES.items()),
            "studs:",
            *(f"  {key}: {{place: {place}}}" for key, place in STUDS.items()),
            "parts:",
            *self.parts,
            "wiring:",
            *self.wiring,
        ]
        return "\n".join(lines) + "\n"


def random_plan(seed: int, wires: int, *, autos: bool = True, pinned: bool | None = None) -> str:
    """Return a random plan of at least so many laid wires.

    Parameters
    ----------
    seed : int
        Same seed, same plan.
    wires : int
        From 5 to a few hundred.
    autos : bool
        Whether areas, fuses and lengths are now and then left to the program.
    pinned : bool, optional
        Whether the plan states the copper's temperature and its contacts; by default as it comes.
    """
    chance = Random(f"{seed} {wires} {autos}")
    system = 24 if chance.random() < 0.2 else 12
    stated = chance.random() < 0.5
    region = chance.choice(["eu", "uk", "au", "nz", "na"])
    van = Van(chance, autos, system, region, stated if pinned is None else pinned)
    _sources(van, rich=wires >= 20)
    while van.wires < wires or van.circuits == 0:
        _any_circuit(van)
    return van.text(f"Random {seed}")


def big_plan(circuits: int = 60, wires: int = 200) -> str:
    """Return a plan of so many circuits and at least so many laid wires, nothing left to the program."""
    van = Van(Random(f"big {circuits} {wires}"), False, 12, "eu", pinned=False)
    _sources(van, rich=True)
    while van.circuits < circuits:
        each = -(-(wires - van.wires) // (circuits - van.circuits))  # so many wires a circuit, rounded up
        _circuit(van, *_free_way(van), switches=max(each - 2, 0))
    return van.text("Big")


def with_circuit_inserted(text: str, at: int) -> str:
    """Return a plan with one more circuit, `new_1`, among the lines of its wiring.

    It starts in the last way of the box P1, which is always free.
    """
    head, wiring = text.split("\nwiring:\n")
    lines = wiring.splitlines()
    fields = (
        "from: P1.99, fuse: 5 A, to: new_lamp, area: 1.5 mm², length: 2.5 m, return: {to: E3, length: 0.4 m}"
    )
    lines.insert(at % (len(lines) + 1), f"  new_1: {{{fields}}}")
    lamp = "\n  new_lamp: {kind: lamp, place: kitchen, running: 0.4 A, voltage: 12 V}"
    return head + lamp + "\nwiring:\n" + "\n".join(lines) + "\n"


# --- what feeds ------------------------------------------------------------------------------------------


def _sources(van: Van, *, rich: bool) -> None:
    chance, volts = van.chance, van.system
    chemistry = chance.choice(["agm", "flooded", "gel", "lifepo4"])
    inside = f", resistance: {chance.uniform(2, 6):.1f} mΩ" if van.likely(0.7) else ""
    van.part(
        "leisure",
        f"kind: battery, place: seat_base, chemistry: {chemistry}, capacity: {chance.randrange(80, 220)} Ah"
        f", charge_limit: {chance.randrange(15, 50)} A{inside}",
    )
    van.part("minus_bar", "kind: busbar, place: seat_base")
    van.add("minus", "from: minus_bar, to: leisure.minus, area: 25 mm², length: 0.4 m", 1)
    van.add("earth", "from: leisure.minus, to: E1, area: 25 mm², length: 0.3 m", 1)
    plus = "leisure.plus"
    if rich:
        plus = _main(van)
        _vehicle(van, plus)
        if van.likely(0.7):
            _solar(van, plus)
        if van.likely(0.2):
            _inverter(van, plus)
    _boxes(van, plus, volts)


def _main(van: Van) -> str:
    """Add a plus bar behind a main fuse and perhaps a master switch; return it."""
    bar = van.part("plus_bar", "kind: busbar, place: seat_base")
    through = ""
    if van.likely(0.6):
        van.part(
            "master", f"kind: master_switch, place: seat_base, rating: {van.chance.choice([100, 300])} A"
        )
        through = ", through: master"
    fields = f"from: leisure.plus, fuse: 150 A bolted{through}, to: {bar}, area: 50 mm², length: 0.5 m"
    van.add("main", fields, 2 if through else 1)
    return bar


def _vehicle(van: Van, bar: str) -> None:
    """Add the vehicle battery with a split relay or a charger between the batteries."""
    van.part("starter", "kind: vehicle_battery, place: engine_bay, chemistry: flooded, capacity: 80 Ah")
    cruise = f"output: {{cruise: {van.system * 1.05:.1f} V}}"
    van.part("alternator", f"kind: alternator, place: engine_bay, charges: starter, current: 120 A, {cruise}")
    van.add("strap", "from: starter.minus, to: body, factory: yes, resistance: 0.5 mΩ", 0)
    if van.likely(0.5):
        van.part("split", "kind: sensing_relay, place: seat_base, rating: 120 A")
        fields = "from: starter.plus, fuse: 100 A bolted at both, through: split, to: leisure.plus"
        van.add("link", f"{fields}, area: 25 mm², length: 4 m", 2)
        return
    current = van.chance.choice([20, 25, 40])
    van.part("b2b", f"kind: b2b, place: seat_base, current: {current} A, start_on: engine")
    fields = (
        f"from: starter.plus, fuse: 70 A bolted at both, to: b2b, area: {van.chance.choice([10, 16])} mm²"
    )
    van.add("link", f"{fields}, length: 4 m, return: {{to: E1, length: 0.3 m}}", 2)
    van.add("charge", f"from: b2b, fuse: 60 A bolted at to, to: {bar}, area: 16 mm², length: 0.8 m", 1)


def _solar(van: Van, bar: str) -> None:
    regulation = van.chance.choice(["pwm", "mppt"])
    van.part(
        "panel",
        f"kind: solar_panel, place: roof, power: {van.chance.randrange(80, 300)} Wp, working_current: 8 A",
    )
    van.part("regulator", f"kind: solar_regulator, place: seat_base, regulation: {regulation}, current: 20 A")
    van.add("sun", "from: panel, to: regulator, area: 6 mm², length: 3.5 m, return: wire", 2)
    van.add("sun_bar", f"from: regulator, fuse: 25 A blade at to, to: {bar}, area: 6 mm², length: 0.5 m", 1)
    van.add("sun_minus", "from: regulator.battery_minus, to: minus_bar, area: 6 mm², length: 0.5 m", 1)


def _inverter(van: Van, bar: str) -> None:
    """Add an inverter on the plus bar, its fuse and its cable perhaps left to the program."""
    power = van.chance.choice([300, 600, 1000])
    van.part(
        "inverter",
        f"kind: inverter, place: bench, power: {power} W, voltage: {van.system} V, efficiency: 88 %",
    )
    left = van.autos and van.likely(0.5)
    sized = "fuse: auto" if left else "area: 35 mm², fuse: 125 A bolted"
    fields = f"from: {bar}, {sized}, to: inverter, length: 1.5 m, return: {{to: minus_bar}}"
    van.add("power", fields, 2)


def _boxes(van: Van, plus: str, volts: int) -> None:
    """Add P1 at 12 V, on a 24 V van behind a converter or beside a box at 24 V; perhaps a second box."""
    if volts == 24:
        limit = van.chance.choice(["current: 20 A", "current: 30 A, fold_back: 32 A"])
        van.part("converter", f"kind: converter, place: seat_base, output: 12 V, {limit}, efficiency: 90 %")
        fields = f"from: {plus}, fuse: 30 A, to: converter, area: 10 mm², length: 0.5 m"
        van.add("conv_in", f"{fields}, return: {{to: minus_bar}}", 2)
        _box(van, "P1", "converter", "fuse: 40 A bolted", 12)
        if van.likely(0.7):
            _box(van, "P2", plus, "fuse: 60 A bolted", 24)
        return
    _box(van, "P1", plus, "fuse: 80 A bolted", 12)
    if van.likely(0.5):
        _box(van, "P2", plus, "fuse: 60 A bolted", 12)


def _box(van: Van, name: str, feed: str, fuse: str, volts: int) -> None:
    """Add a fuse box with a minus rail; its way 99 stays free."""
    van.part(name, f"kind: fuse_box, place: {van.chance.choice(INSIDE)}, ways: 99, minus_rail: yes")
    back = "{to: converter.out_minus}" if feed == "converter" else "{to: minus_bar}"
    fields = f"from: {feed}, {fuse}, to: {name}, area: 16 mm², length: {van.chance.uniform(0.4, 3):.1f} m"
    van.add(f"{name}_feed", f"{fields}, return: {back}", 2)
    van.ways += [(f"{name}.{way}", volts) for way in range(1, 99)]


def _free_way(van: Van) -> tuple[str, int]:
    return van.ways.pop(van.chance.randrange(len(van.ways)))


# --- what is fed -----------------------------------------------------------------------------------------


def _any_circuit(van: Van) -> None:
    """Add a circuit of some kind."""
    way, volts = _free_way(van)
    pick = van.chance.random()
    if pick < 0.15:
        _shared(van, way, volts)
    elif pick < 0.25:
        _two_ways(van, way, volts)
    elif pick < 0.33:
        _by_relay(van, way, volts)
    else:
        _circuit(van, way, volts, switches=van.chance.choice([0, 0, 0, 1, 1, 2]))


def _load(van: Van, volts: int) -> tuple[str, float]:
    """Add a load; return its id and its amperes, start left out."""
    kind, running, low, high, start = van.chance.choice(LOADS)
    value = van.chance.uniform(low, high) * (12 / volts if running.endswith("A") else 1.0)
    key = f"{kind}_{len(van.parts)}"
    words = f"kind: {kind}, place: {van.chance.choice(INSIDE)}, voltage: {volts} V"
    if not (van.autos and van.likely(0.05)):  # now and then nobody knows
        words += f", running: {running.format(a=value)}"
    if start:
        words += f", start: {start.format(s=value * van.chance.uniform(1.5, 3.0))}"
    return van.part(key, words), value / volts if running.endswith("W") else value


def _fuse(van: Van, amps: float) -> str:
    """Return the fuse of a way; sometimes it is left to the program."""
    if van.autos and van.likely(0.4):
        return van.chance.choice(["", ", fuse: auto"])
    if van.autos and van.likely(0.03):
        return ", fuse: unknown"
    wide = next(rating for rating in (3, 5, 7.5, 10, 15, 20, 25, 30, 30) if rating >= min(amps * 1.3, 30))
    return f", fuse: {van.chance.choice([wide, wide, 5, 15]):g} A"


def _return(van: Van) -> str:
    """Return a return: to a stud, the bare body, the bar, the rail of the box."""
    way = van.chance.choice(["stud", "stud", "wire", "bar", "body"])
    if way == "stud":
        return (
            f", return: {{to: {van.chance.choice(list(STUDS))}, length: {van.chance.uniform(0.2, 1):.1f} m}}"
        )
    return {"wire": ", return: wire", "bar": ", return: {to: minus_bar}", "body": ", return: body"}[way]


def _run(van: Van, key: str, way: str, to: str, amps: float, through: Sequence[str], pieces: int) -> None:
    passed = f", through: [{', '.join(through)}]" if through else ""
    fields = f"from: {way}{_fuse(van, amps)}{passed}, to: {to}{van.area()}{van.length()}{van.surroundings()}"
    van.add(key, fields + _return(van), pieces)
    van.circuits += 1


def _circuit(van: Van, way: str, volts: int, switches: int) -> None:
    load, amps = _load(van, volts)
    through = []
    for _ in range(switches):
        if van.likely(0.7):
            through.append(van.part(f"S{len(van.parts)}", "kind: switch, place: door"))
        else:
            through.append(
                van.part(f"X{len(van.parts)}", "kind: plug, place: bench, pins: 2, rating: 20 A") + ".1"
            )
    _run(van, f"C{len(van.wiring)}", way, load, amps, through, 2 + switches)


def _two_ways(van: Van, way: str, volts: int) -> None:
    load, amps = _load(van, volts)
    pair = [van.part(f"T{len(van.parts)}", f"kind: two_way, place: {place}") for place in ("door", "bed")]
    middle = [van.part(f"I{len(van.parts)}", "kind: intermediate, place: kitchen")] if van.likely(0.3) else []
    _run(van, f"C{len(van.wiring)}", way, load, amps, [pair[0], *middle, pair[1]], 5 + 2 * len(middle))


def _shared(van: Van, way: str, volts: int) -> None:
    """Add a run with several loads: joined at its end, by legs, or one after the other."""
    loads = [_load(van, volts) for _ in range(van.chance.choice([2, 3]))]
    amps = sum(amps for _, amps in loads)
    names = [name for name, _ in loads]
    to, laid = f"[{', '.join(names)}]", 0
    if van.likely(0.5):
        to = (
            "{" + ", ".join(f"{name}: {{length: {van.chance.uniform(0.2, 2):.1f} m}}" for name in names) + "}"
        )
        laid = 2 * len(names)
    chained = ", joined: chain" if van.likely(0.3) else ""
    _run(van, f"C{len(van.wiring)}", way, to + chained, amps, [], 2 + laid)


def _by_relay(van: Van, way: str, volts: int) -> None:
    """Add a load behind a relay whose coil hangs on a switch of its own."""
    load, amps = _load(van, volts)
    relay = van.part(f"K{len(van.parts)}", f"kind: relay, place: bench, rating: 30 A, voltage: {volts} V")
    box = way.partition(".")[0]
    coil_way = next(one for one in van.ways if one[0].startswith(f"{box}."))
    van.ways.remove(coil_way)
    switch = van.part(f"S{len(van.parts)}", "kind: switch, place: door")
    fields = f"from: {coil_way[0]}, fuse: 3 A, through: {switch}, to: {relay}.86, area: 1 mm², length: 2 m"
    van.add(f"K{len(van.wiring)}", f"{fields}, return: {{to: minus_bar}}", 3)
    _run(van, f"C{len(van.wiring)}", way, load, amps, [relay], 3)
