"""A sound van of each region, and of each way to make mains on board, comes out clean of more than notes.

Sizes are those of the tables of `mains_clauses`: 30 mA and two poles in the United Kingdom, Europe, Australia
and New Zealand; one pole and 5 mA at the breaker in North America, on 120 V and on two legs of it.
"""

from __future__ import annotations

import pytest

from loomwright import check, read_text

VAN = """\
loomwright: 1
title: Sound
region: {region}
places:
  seat: [-0.4,-0.4,0.1]
  kitchen: [0.6,0.7,0.4]
studs:
  E1: {{place: seat}}
  E2: {{place: kitchen}}
parts:
  leisure: {{kind: battery, place: seat, chemistry: agm, capacity: 100 Ah}}
  lead: {{kind: hook_up_lead, length: {lead_m} m, area: {lead}}}
  inlet: {{kind: inlet, place: kitchen, rating: {rated} A, lid: yes, notice: yes, ip: IP44}}
  U1: {{kind: breaker_box, place: kitchen, ways: 3, rcd: {rcd}, main_breaker: {main}}}
  S1: {{kind: mains_socket, place: kitchen}}
  S2: {{kind: mains_socket, place: kitchen, rcd: none}}
  charger: {{kind: mains_charger, place: seat, current: 20 A, output: 14.4 V, power: 350 W}}
  kettle: {{kind: appliance, power: 900 W}}
{parts}
wiring:
  earth: {{from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}}
  K: {{from: charger.plus, fuse: 30 A bolted at to, to: leisure.plus, area: 6 mm², length: 0.5 m,
    return: wire}}
{before}
  M1: {{from: inlet, to: {box}, area: {m1}, length: 1 m}}
  M2: {{from: U1.1, breaker: {b}, to: S1, area: {m2}, length: 4 m}}
  M3: {{from: S1, to: S2, area: {m2}, length: 2 m}}
  M4: {{from: U1.2, breaker: {b2}, to: charger, area: {m2}, length: 2 m}}
  pe: {{from: U1.earth, to: E2, area: {pe}, length: 0.5 m}}
{runs}
supplies:
{supplies}
"""
USUAL = {
    "lead_m": 25, "lead": "2.5 mm²", "rated": 16, "rcd": "30 mA 2-pole type A", "main": "none",
    "m1": "2.5 mm²",
    "m2": "1.5 mm²", "b": "10 A B 2-pole", "b2": "6 A B 2-pole", "pe": "6 mm²", "parts": "", "runs": "",
    "box": "U1", "before": "",
}  # fmt: skip
AMERICAN = {
    "region": "na", "lead_m": 7.5, "rcd": "none", "m2": "2.08 mm²", "b": "15 A 1-pole 5 mA",
    "b2": "15 A 1-pole 5 mA", "pe": "8.37 mm²",
}  # fmt: skip
OWN = "area: 1.5 mm², length: 1 m"
THICK = "area: 16 mm², length: 1 m, return: wire"
CHANGE = "  change: {kind: change_over, place: seat, poles: 2, rating: 16 A}\n"
SECOND = """\
  U2: {kind: breaker_box, place: kitchen, ways: 2, rcd: 30 mA 2-pole}
  S5: {kind: mains_socket, place: kitchen}
  S6: {kind: mains_socket, place: kitchen}
"""
CASE = "  I2: {from: MAKER.case, to: E1, area: 16 mm², length: 0.5 m}\n"
SOCKETS = f"""\
  C4: {{from: U2.1, breaker: 10 A B 2-pole, to: S5, {OWN}}}
  C5: {{from: U2.2, breaker: 10 A B 2-pole, to: S6, {OWN}}}
"""
VANS = {
    "uk": {
        "region": "uk",
        "supplies": """\
  p: {current: 16 A, earthing: tn, loop: 0.35 Ω}
  q: {current: 10 A, earthing: tt, electrode: 120 Ω, rcd: 30 mA}
  r: {current: 10 A}
  s: {current: 6 A, polarity: reversed, earthing: tt}""",
    },
    "eu": {
        "region": "eu",
        "supplies": "  p: {current: 16 A, earthing: tn, polarity: reversed}\n  q: {current: 6 A}",
    },
    "au": {
        "region": "au",
        "rated": 15,
        "lead": "1.5 mm²",
        "supplies": "  p: {current: 15 A}\n  q: {current: 10 A}",
    },
    "nz": {"region": "nz", "supplies": "  p: {current: 16 A}"},
    "30 A of North America": AMERICAN
    | {
        "rated": 30,
        "lead": "5.26 mm²",
        "m1": "5.26 mm²",
        "main": "30 A 2-pole",
        "supplies": "  p: {current: 30 A, earthing: tn, loop: 0.3 Ω}\n  q: {current: 15 A}",
    },
    "two legs of North America": AMERICAN
    | {
        "rated": 50,
        "lead": "13.3 mm²",
        "m1": "13.3 mm²",
        "main": "50 A 2-pole",
        "supplies": "  p: {current: 50 A, earthing: tn, loop: 0.2 Ω}",
    },
    "an inverter behind a change-over": {
        "region": "uk",
        "supplies": "  p: {current: 16 A, earthing: tn}",
        "parts": "  inverter: {kind: inverter, place: seat, power: 300 W, efficiency: 90 %,\n"
        f"    neutral_bond: fixed, rcd: 30 mA 2-pole}}\n{CHANGE}{SECOND}",
        "runs": f"""\
  I1: {{from: leisure, fuse: 60 A bolted, to: inverter, {THICK}}}
{CASE.replace("MAKER", "inverter")}\
  C1: {{from: U1.3, breaker: 10 A B 2-pole, to: change.in_1, {OWN}}}
  C2: {{from: inverter, to: change.in_2, {OWN}}}
  C3: {{from: change, to: U2, {OWN}}}
{SOCKETS}\
  pe_2: {{from: U2.earth, to: E2, area: 6 mm², length: 0.5 m}}""",
    },
    "an inverter that charges": {
        "region": "eu",
        "supplies": "  p: {current: 16 A, earthing: tn}",
        "parts": "  combi: {kind: inverter_charger, place: seat, power: 300 W, efficiency: 90 %,\n"
        f"    neutral_bond: relay, transfer: 16 A, charge_current: 20 A}}\n{SECOND}",
        "runs": f"""\
  I1: {{from: leisure, fuse: 60 A bolted, to: combi, {THICK}}}
{CASE.replace("MAKER", "combi")}\
  C1: {{from: U1.3, breaker: 16 A B 2-pole, to: combi.in, area: 2.5 mm², length: 1 m}}
  C3: {{from: combi.out, to: U2, area: 2.5 mm², length: 1 m}}
{SOCKETS}""",
    },
    "a generator behind a change-over": {
        "region": "eu",
        "supplies": "  p: {current: 16 A, earthing: tn}",
        "box": "change.in_1",
        "before": "  M0: {from: change, to: U1, area: 2.5 mm², length: 0.3 m}",
        "parts": "  generator: {kind: generator, place: seat, power: 2000 W, neutral_bond: fixed,\n"
        f"    rcd: 30 mA 2-pole}}\n{CHANGE}",
        "runs": "  G1: {from: generator, to: change.in_2, area: 2.5 mm², length: 1 m}",
    },
}


@pytest.mark.parametrize("van", VANS)
def test_a_sound_van_stays_clean(van):
    findings = check(read_text(VAN.format(**(USUAL | VANS[van])))).findings
    assert [one for one in findings if one.severity != "note"] == []


@pytest.mark.parametrize("van", [name for name, one in VANS.items() if one["region"] != "na"])
def test_the_same_van_without_its_rcds_is_a_danger(van):
    text = VAN.format(**(USUAL | {"rcd": "none"} | {k: v for k, v in VANS[van].items() if k != "rcd"}))
    found = {one.rule: one.severity for one in check(read_text(text)).findings}
    assert found["no_rcd"] == "danger"
