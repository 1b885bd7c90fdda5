"""Vans with a mains side of every kind: small plans for the tests of its sheet."""

from __future__ import annotations

_HEAD = """loomwright: 1
title: {title}
region: {region}
places: {{rear: [2.0, 0.5, 0.3], kitchen: [0.8, 0.7, 0.5]}}
studs: {{E1: {{place: rear}}}}
parts:
  leisure: {{kind: battery, place: rear, chemistry: lifepo4, capacity: 200 Ah}}
"""
_BATTERY = """  B1: {from: leisure.minus, to: E1, area: 25 mm², length: 0.4 m}
  B2: {from: leisure, fuse: 150 A high_breaking, to: inverter, area: 35 mm², length: 1 m, return: wire}
  case: {from: inverter.case, to: E1, area: 16 mm², length: 0.5 m}
"""
_EARTH = "  pe: {from: U1.earth, to: E1, area: 6 mm², length: 0.5 m}\n"


def _plan(title: str, parts: str, wiring: str, tail: str = "", region: str = "eu") -> str:
    return f"{_HEAD.format(title=title, region=region)}{parts}wiring:\n{wiring}{tail}"


def sockets(count: int) -> str:
    """A box with so many ways, a socket on each."""
    ways = range(1, count + 1)
    parts = "".join(f"  S{n}: {{kind: mains_socket, place: kitchen}}\n" for n in ways)
    runs = "".join(
        f"  C{n}: {{from: U1.{n}, breaker: 10 A B 2-pole, to: S{n}, area: 1.5 mm², length: {n} m}}\n"
        for n in ways
    )
    return _plan(
        f"{count} sockets",
        f"  inlet: {{kind: inlet, place: rear, rating: 16 A}}\n"
        f"  U1: {{kind: breaker_box, place: rear, ways: {count}, rcd: 30 mA 2-pole type A}}\n{parts}",
        f"  M1: {{from: inlet, to: U1, area: 2.5 mm², length: 1 m}}\n{runs}{_EARTH}",
        "supplies:\n  site: {current: 10 A, earthing: tn}\n",
    )


TWO_INLETS = _plan(
    "Two inlets",
    """  inlet_left: {kind: inlet, place: rear, rating: 16 A}
  inlet_right: {kind: inlet, place: rear, rating: 16 A}
  change: {kind: change_over, place: rear, poles: 2, rating: 16 A}
  U1: {kind: breaker_box, place: rear, ways: 2, rcd: 30 mA 2-pole type A, main_breaker: 16 A C 2-pole}
  S1: {kind: mains_socket, place: kitchen}
""",
    """  M1: {from: inlet_left, to: change.in_1, area: 2.5 mm², length: 1 m}
  M2: {from: inlet_right, to: change.in_2, area: 2.5 mm², length: 1.5 m}
  M3: {from: change, to: U1, area: 2.5 mm², length: 0.5 m}
  M4: {from: U1.1, breaker: 10 A B 2-pole 30 mA, to: S1, area: 1.5 mm², length: 3 m}
"""
    + _EARTH,
    "supplies:\n  site: {current: 10 A}\n",
)
GENERATOR = _plan(
    "A generator, an inverter that charges, a change-over",
    """  inlet: {kind: inlet, place: rear, rating: 16 A}
  genset: {kind: generator, place: rear, power: 2 kW, neutral_bond: fixed, rcd: none}
  change: {kind: change_over, place: rear, poles: 2, rating: 16 A}
  inverter: {kind: inverter_charger, place: rear, power: 1200 W, charge_current: 40 A, neutral_bond: relay}
  U1: {kind: breaker_box, place: rear, ways: 3, rcd: 30 mA 2-pole type A}
  S1: {kind: mains_socket, place: kitchen}
  S2: {kind: mains_socket, place: kitchen, rcd: 10 mA 2-pole}
  S3: {kind: mains_socket, place: kitchen}
  heater: {kind: appliance, place: rear, power: 1 kW}
""",
    """  M1: {from: inlet, to: change.in_1, area: 2.5 mm², length: 1 m}
  M2: {from: genset, to: change.in_2, area: 2.5 mm², length: 2 m}
  M3: {from: change, to: inverter.in, area: 2.5 mm², length: 0.5 m}
  M4: {from: inverter.out, to: U1, area: 2.5 mm², length: 0.5 m}
  M5: {from: U1.1, breaker: 10 A B 2-pole, to: S1, area: 1.5 mm², length: 3 m}
  M6: {from: S1, to: S2, area: 1.5 mm², length: 1 m}
  M7: {from: S2.load, to: S3, area: 1.5 mm², length: 1 m}
  M8: {from: U1.2, breaker: 6 A B 2-pole, to: heater, area: 1.5 mm², length: 2 m}
"""
    + _BATTERY
    + _EARTH,
    "supplies:\n  site: {current: 16 A, earthing: tt, electrode: 80 Ω, rcd: 30 mA}\n",
)
NORTH_AMERICA = _plan(
    "30 A",
    """  inlet: {kind: inlet, place: rear, rating: 30 A}
  U1: {kind: breaker_box, place: rear, ways: 3, rcd: none, main_breaker: 30 A C 1-pole}
  S1: {kind: mains_socket, place: kitchen, rcd: 6 mA 2-pole}
  fridge: {kind: appliance, place: kitchen, power: 300 W}
""",
    """  M1: {from: inlet, to: U1, area: 10 AWG, length: 1 m}
  M2: {from: U1.1, breaker: 15 A C 1-pole, to: S1, area: 14 AWG, length: 3 m}
  M3: {from: U1.2, breaker: 15 A C 1-pole, to: fridge, area: 14 AWG, length: 3 m}
"""
    + _EARTH,
    "supplies:\n  park: {current: 30 A, earthing: tn, loop: 0.3 Ω}\n",
    region="na",
)
TWO_LEGS = NORTH_AMERICA.replace("title: 30 A", "title: 50 A on two legs").replace(
    "M1: {from: inlet, to: U1, area: 10 AWG,", "M1: {from: inlet, to: U1, cores: 4, area: 6 AWG,"
).replace("30 A C 1-pole", "50 A C 2-pole").replace("current: 30 A", "current: 50 A")  # fmt: skip
PLANS = {
    "two_inlets": TWO_INLETS, "generator": GENERATOR, "north_america": NORTH_AMERICA, "two_legs": TWO_LEGS,
    "sockets": sockets(14),
}  # fmt: skip
