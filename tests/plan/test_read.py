"""Plans that load: the example vans, the awkward topologies, and what stands in the records."""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Mapping
from pathlib import Path

import pytest

from loomwright.plan import model
from loomwright.plan.model import Part, Plan
from loomwright.plan.read import read_data, read_plan
from loomwright.plan.tree import parse, to_data
from loomwright.plan.values import AUTO, NONE, UNKNOWN, Curve, End, Fuse, Passage, Quantity, Word

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
HEAD = "loomwright: 1\ntitle: Van\nregion: eu\n"


def load(path: Path) -> Plan:
    """Read one of the example vans."""
    return read_plan(path.read_text(encoding="utf-8"), path.name)


def example(name: str) -> Plan:
    """Read an example van by its name."""
    return load(next(path for path in EXAMPLES if path.stem == name))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_examples_load(path):
    plan = load(path)
    assert plan.title
    assert plan.parts


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_same_plan_as_data(path):
    text = path.read_text(encoding="utf-8")
    assert read_data(to_data(parse(text))) == read_plan(text)


def records_in(value: object) -> typing.Iterator[object]:
    """Give all dataclass instances in a plan."""
    if dataclasses.is_dataclass(value):
        yield value
        for field in dataclasses.fields(value):
            yield from records_in(getattr(value, field.name))
    elif isinstance(value, Mapping):
        for item in value.values():
            yield from records_in(item)
    elif isinstance(value, tuple):
        for item in value:
            yield from records_in(item)


def fits(value: object, hint: object) -> bool:
    """Tell whether a value is of a type as annotated."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (typing.Union, types.UnionType):
        return any(fits(value, one) for one in inner)
    if origin is tuple:
        if not isinstance(value, tuple):
            return False
        if inner[-1] is Ellipsis:
            return all(fits(item, inner[0]) for item in value)
        return len(value) == len(inner) and all(map(fits, value, inner))
    if origin is frozenset:
        return isinstance(value, frozenset)
    if origin is not None:  # a mapping
        return isinstance(value, Mapping) and all(
            fits(key, inner[0]) and fits(item, inner[1]) for key, item in value.items()
        )
    if hint is type(None):
        return value is None
    if hint is int:
        return isinstance(value, int) and not isinstance(value, bool)
    return isinstance(value, typing.cast(type, hint))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_values_are_of_the_annotated_types(path):
    wrong = []
    for record in records_in(load(path)):
        if type(record).__module__.startswith(model.__name__):
            hints = typing.get_type_hints(type(record))
            for field in dataclasses.fields(record):
                value = getattr(record, field.name)
                if not fits(value, hints[field.name]):
                    wrong.append(f"{type(record).__name__}.{field.name} = {value!r}")
    assert not wrong, "\n".join(wrong)


def test_what_was_not_typed():
    plan = read_plan(HEAD + "studs:\n  E1: {place: a}\nplaces:\n  a:\nparts:\n  lamp: {kind: lamp}\n")
    lamp, stud, place = plan.parts["lamp"], plan.studs["E1"], plan.places["a"]
    assert (stud.thread, stud.sealed, stud.factory, stud.resistance) == ("M8", True, False, None)
    assert (place.at, place.zones, place.temperature) == (None, ("living",), None)
    assert lamp.running.amount is UNKNOWN
    assert lamp.start.amount is NONE
    assert (lamp.count, lamp.mass, lamp.voltage, lamp.rests) == (1, UNKNOWN, None, None)
    assert lamp.standby == Quantity(0.0, 0.0, "A", "0 A")
    assert lamp.typed == {"kind"}
    assert isinstance(plan.system, Quantity)
    assert plan.system.low == 12.0
    assert plan.wiring == {}
    assert plan.labels.numbers == {}
    assert (lamp.line, lamp.column) == (9, 3)


def test_kinds_with_a_value_of_their_own():
    plan = read_plan(
        HEAD + "parts: {h: {kind: air_heater}, l: {kind: lamp}, a: {kind: alarm, keep_on: no}}\n"
    )
    assert [plan.parts[id].keep_on for id in "hla"] == [True, False, False]


def test_a_run_with_everything():
    run = example("planeshed").wiring["I1"]
    (fuse,) = run.fuse if isinstance(run.fuse, tuple) else ()
    assert run.through == (Passage("main_switch"),)
    assert (fuse.type, fuse.at) == ("blade", "main_switch")
    assert isinstance(fuse.breaks, Quantity)
    assert fuse.breaks.low == 1000.0
    assert run.return_ is not None
    assert run.return_.to == End("battery_a", "minus")
    assert run.legs == {}


def test_loads_joined():
    run = example("mossgrove").wiring["W4"]
    assert [str(end) for end in run.to] == ["pump", "usb", "lamps"]
    assert list(run.legs) == ["pump", "usb", "lamps"]
    plan = read_plan(
        HEAD + "parts:\n  b: {kind: battery, chemistry: agm, capacity: 9 Ah}\n"
        "  l: {kind: lamp}\n  f: {kind: fan}\n"
        "wiring:\n  W: {from: b, to: {l: {length: 2 m, fuse: 3 A}, f: {}}, return: b.minus}\n"
    )
    legs = plan.wiring["W"].legs
    assert legs["l"].length == Quantity(2.0, 2.0, "m", "2 m")
    assert legs["l"].fuse == (Fuse(Quantity(3.0, 3.0, "A", "3 A")),)
    assert (legs["f"].length, legs["f"].fuse) == (Quantity(0.0, 0.0, "m", "0 m"), None)


def test_words_in_place_of_fuses_and_lengths():
    plan = read_plan(
        HEAD + "parts:\n  b: {kind: fuse_box, ways: unknown}\n  l: {kind: lamp}\n"
        "wiring:\n  a: {from: b.1, to: l}\n  b: {from: b.2, to: l, fuse: none, length: unknown}\n"
        "  c: {from: b.3, to: l, fuse: unknown}\n  d: {from: b.29, to: l, fuse: auto, area: auto}\n"
    )
    assert [run.fuse for run in plan.wiring.values()] == [None, (), UNKNOWN, AUTO]
    assert [run.length for run in plan.wiring.values()] == [AUTO, UNKNOWN, AUTO, AUTO]


def test_like_takes_all_but_name_and_serial():
    saltpan = example("saltpan").parts
    assert saltpan["upper"].capacity == saltpan["lower"].capacity
    assert saltpan["upper"].like == "lower"
    plan = read_plan(
        HEAD + "parts:\n  c: {like: b, voltage: 24 V}\n  b: {like: a, resistance: {0 °C: 8 mΩ}}\n"
        "  a: {kind: battery, chemistry: agm, capacity: 9 Ah, name: A, serial: 12, "
        "resistance: {25 °C: 4 mΩ}}\n"
    )
    last = plan.parts["c"]
    assert (last.kind, last.chemistry, last.name, last.serial) == ("battery", "agm", None, None)
    assert last.resistance == Curve(
        "°C", {25.0: Quantity(0.004, 0.004, "Ω", "4 mΩ"), 0.0: Quantity(0.008, 0.008, "Ω", "8 mΩ")}
    )


def test_season_like():
    use = example("saltpan").use
    assert use["travel"].months == use["camp"].months
    assert use["travel"].loads == use["camp"].loads
    assert use["travel"].drives
    assert not use["camp"].drives


def test_curves():
    site = example("saltpan").site
    assert site.sun_hours is not None
    only = site.sun_hours.only()
    assert isinstance(only, Quantity)
    assert only.low == 19_800.0
    battery = example("planeshed").parts["battery_a"]
    assert battery.open_circuit is not None
    assert battery.open_circuit.axis == "%"
    assert list(battery.open_circuit.points) == [1.0, 0.7, 0.5]


def test_points_and_extents():
    ceiling = example("highcol").places["ceiling"].at
    assert ceiling is not None
    x, y, z = ceiling
    assert x is not None
    assert y is not None
    assert z is not None
    assert (x.low, x.high, y.mid, z.known) == (0.4, 3.2, 0.0, True)


TOPOLOGIES = {
    "split relay": (
        "starter: {kind: vehicle_battery}, leisure: {kind: battery, chemistry: agm, capacity: 95 Ah}, "
        "relay: {kind: sensing_relay}",
        "W1: {from: starter, fuse: 100 A at both, through: relay, to: leisure}",
    ),
    "b2b": (
        "starter: {kind: vehicle_battery}, leisure: {kind: battery, chemistry: agm, capacity: 95 Ah}, "
        "alternator: {kind: alternator}, b2b: {kind: b2b, current: 30 A, start_on: [d_plus, above 13.2 V]}",
        "W1: {from: starter, fuse: 60 A at both, to: b2b}, W2: {from: b2b, to: leisure}, "
        "sig: {from: alternator.d_plus, to: b2b.signal}",
    ),
    "battery selector": (
        "starter: {kind: vehicle_battery}, P1: {kind: fuse_box, ways: 4}, sel: {kind: selector, "
        "positions: {vehicle: com-vehicle, off: none, both: [com-vehicle, com-leisure]}}",
        "A: {from: starter, fuse: 20 A, to: sel.vehicle}, C: {from: sel, to: P1}",
    ),
    "master in the return": (
        "leisure: {kind: battery, chemistry: agm, capacity: 95 Ah}, lamp: {kind: lamp}, "
        "master: {kind: master_switch}",
        "W: {from: leisure, to: lamp, return: {through: master, to: leisure.minus}}",
    ),
    "inverter": (
        "leisure: {kind: battery, chemistry: agm, capacity: 95 Ah}, S1: {kind: mains_socket}, "
        "inverter: {kind: inverter, power: 1000 W}, master: {kind: master_switch}",
        "I1: {from: leisure, through: master, fuse: 250 A bolted at master, to: inverter, return: wire}, "
        "I2: {from: inverter, to: S1}, bond: {from: inverter.case, to: E1}",
    ),
    "two-way switches": (
        "P1: {kind: fuse_box, ways: 4}, lamp: {kind: lamp}, S1: {kind: two_way}, S2: {kind: two_way}, "
        "X1: {kind: intermediate}, D1: {kind: dimmer}",
        "L: {from: P1.1, through: [S1, X1, S2, D1], to: lamp, return: {to: E1}}",
    ),
    "relay by a panel": (
        "P1: {kind: fuse_box, ways: 4}, K1: {kind: relay}, pump: {kind: water_pump}, "
        "panel: {kind: control_panel, outputs: {pump: {switches: minus, rating: 0.1 A}}}",
        "K: {from: P1.3, to: K1.86, return: {to: panel.pump}}, pump: {from: P1.4, through: K1, to: pump}",
    ),
    "tank sender": (
        "gauge: {kind: gauge}, tank: {kind: sender}",
        "G: {from: gauge.sender, to: tank, return: {to: gauge.minus}}",
    ),
    "tow socket": (
        "starter: {kind: vehicle_battery}, tow: {kind: tow_socket, pins: 13}",
        "T9: {from: starter, fuse: 20 A, to: tow.9}, T13: {from: tow.13, to: body}",
    ),
    "portable panel": (
        "folding: {kind: solar_panel, power: 100 Wp, portable: yes}, X7: {kind: plug, pins: 2}, "
        "reg_2: {kind: solar_regulator, regulation: mppt}",
        "F: {from: folding, through: [X7.1], to: reg_2, return: {through: X7.2, to: wire}}",
    ),
    "change-over relay": (
        "P1: {kind: fuse_box, ways: 4}, K1: {kind: relay, contact: change_over}, lamp: {kind: lamp}",
        "L: {from: P1.1, through: K1.30-87a, to: lamp}",
    ),
    "priority": (
        "U2: {kind: breaker_box, ways: 2, rcd: 30 mA 2-pole}, "
        "boiler: {kind: appliance, power: 700 W, plugged: S3}, "
        "S3: {kind: mains_socket}, prio: {kind: priority_relay, priority: [boiler]}",
        "M: {from: U2.1, breaker: 6 A B 2-pole, through: prio, to: S3}",
    ),
}


@pytest.mark.parametrize("name", TOPOLOGIES)
def test_awkward_topologies_load(name):
    parts, wiring = TOPOLOGIES[name]
    ground = "places: {a: {}}\nstuds: {E1: {place: a}}\n"
    plan = read_plan(f"{HEAD}{ground}parts: {{{parts}}}\nwiring: {{{wiring}}}\n")
    assert plan.wiring


COMPOSITE = """
parts:
  EB1:
    kind: unit
    ports: {leisure: bar, minus: minus_bar, light: box.1, pump_switch: pump_relay.85, mains: charger.mains}
    inside:
      parts:
        bar: {kind: busbar, rating: 50 A}
        minus_bar: {kind: busbar}
        box: {kind: fuse_box, ways: 4}
        pump_relay: {kind: relay}
        charger: {kind: mains_charger}
      wiring:
        rail: {from: bar, to: box, area: 6 mm², length: 0.1 m}
        pump: {from: box.4, fuse: 10 A, to: pump_relay.30, area: 2.5 mm², length: 0.1 m}
  lamp: {kind: lamp}
  inlet: {kind: inlet}
wiring:
  L1: {from: EB1.light, fuse: 10 A, to: lamp, return: {to: EB1.minus}}
  M1: {from: inlet, to: EB1.mains}
modes:
  night: {switches: {EB1/pump_relay: off}}
"""


def test_composite():
    plan = read_plan(HEAD + COMPOSITE)
    unit = plan.parts["EB1"]
    assert unit.inside is not None
    assert isinstance(unit.inside.parts["box"], Part)
    assert unit.ports["light"] == End("box", "1")
    assert unit.inside.wiring["rail"].typed == {"from", "to", "area", "length"}


def test_words_are_words():
    for value in example("highcol").parts["leisure"].cut_off, example("planeshed").parts["P1"]:
        assert value is not None
    cut_off = example("highcol").parts["leisure"].cut_off
    assert cut_off is not None
    assert cut_off.charge_below is NONE
    assert isinstance(cut_off.discharge_below, Quantity)
    assert example("planeshed").parts["P1"].ways is UNKNOWN
    assert example("planeshed").parts["b2b"].start_on is None
    assert isinstance(example("planeshed").wiring["I3"].length, Word)
