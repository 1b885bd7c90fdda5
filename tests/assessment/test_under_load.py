"""Batteries under load in whole vans: against ngspice, over what is not known, and what must always hold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loomwright import read_text
from loomwright.assessment.assess import Corner, assess
from loomwright.assessment.banks import banks_under_load, own_fuses, working_together
from loomwright.assessment.banks_states import ohm_in_state, resting_v, string_of
from loomwright.assessment.charging_least import phases_of
from loomwright.assessment.charging_taken import driven_charges
from loomwright.assessment.inputs import Inputs
from loomwright.assessment.sag_promises import power_promises
from loomwright.assessment.sources import inner_ohm
from loomwright.circuit.network import Load, Network
from loomwright.circuit.solve import solve
from loomwright.plan.edit import Edit, apply_edits
from loomwright.tables.battery_states import hours_to_taper
from tests.reference.spice import spice_volts
from tests.scenarios.lines import EXAMPLES, checked

STATES = [(100.0, 25.0), (50.0, -5.0), (20.0, -5.0)]


def planeshed() -> str:
    return (EXAMPLES / "planeshed.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(("charge", "celsius"), STATES)
def test_an_inverter_gets_what_ngspice_gives_it(charge, celsius):
    """All wires, joints and both batteries of Planeshed, the inverter as a constant power."""
    job = checked("planeshed").assessment
    supply = job.under_load
    port = supply.port_of("inverter")
    sources = [
        replace(
            one,
            volts=resting_v(job.wiring, one.id, charge),
            ohm=ohm_in_state(job.wiring, supply.inputs, one.id, charge, celsius),
        )
        for one in supply.net.sources
        if one.id in ("battery_a", "battery_b")
    ]
    load = Load("load inverter", port.plus, port.minus, watts=port.watts)
    network = Network([*(one.resistor() for one in supply.net.branches), *sources, load])
    volts = spice_volts(network, solve(network))  # it starts from our general solver, on the upper answer
    ours = supply.state(port, charge, celsius)
    assert ours.volts_v == pytest.approx(volts[port.plus] - volts[port.minus], abs=1e-5)


def test_what_is_not_known_holds_what_it_may_be_within():
    """The AGM pair without a stated resistance: at either end of its band, the typed one lies between."""
    text = planeshed()
    unknown = apply_edits(text, [Edit("parts.battery_a.resistance", remove=True)])
    ends = [assess(read_text(unknown), corner) for corner in (Corner.BAD, Corner.GOOD)]
    bad, good = ([one.volts_v for one in job.under_load.sags["inverter"].states] for job in ends)
    typed = apply_edits(text, [Edit("parts.battery_a.resistance", "4 mΩ")])
    inside = [one.volts_v for one in assess(read_text(typed)).under_load.sags["inverter"].states]
    assert all(low < value < high for low, value, high in zip(bad, inside, good, strict=True))
    assert "parts.battery_a.resistance" in ends[0].under_load.sags["inverter"].unknown


@pytest.mark.parametrize("mohm", [3.0, 6.0, 12.0])
def test_more_resistance_inside_never_raises_the_volts(mohm):
    volts = []
    for ohm in (mohm, 1.3 * mohm):
        text = apply_edits(planeshed(), [Edit("parts.battery_a.resistance", f"{ohm} mΩ")])
        job = assess(read_text(text))
        states = job.under_load.sags["inverter"].states
        volts.append([(one.volts_v or 0.0, one.most_w) for one in states])
    assert all(then <= now for now, then in zip(*volts, strict=True))


def test_a_promise_is_held_from_the_charge_that_is_told():
    """By its page: below 77 % in winter and 59 % in summer the alarm comes; else the power is there."""
    job = checked("planeshed").assessment
    (promise,) = power_promises(job)
    assert promise.held_from_pct == pytest.approx(77.0, abs=1.5)
    supply, port = job.under_load, job.under_load.port_of("inverter")
    assert supply.held_from_pct(port, 2000.0, 25.0) == pytest.approx(59.0, abs=1.5)
    assert supply.state(port, promise.held_from_pct, -5.0).most_w >= 2000.0
    assert supply.state(port, promise.held_from_pct - 1.0, -5.0).most_w < 2000.0


def test_typed_volts_and_ohms_are_taken_between_and_beyond_their_points():
    job = checked("planeshed").assessment
    wiring, inputs = job.wiring, job.under_load.inputs
    assert resting_v(wiring, "battery_a", 60.0) == pytest.approx((12.40 + 12.15) / 2)
    below = resting_v(wiring, "battery_a", 40.0)
    assert below == pytest.approx(12.15 - (12.10 - 12.00))  # goes on as sealed lead does
    airs = (25.0, 10.0, -5.0, -15.0)
    at = [ohm_in_state(wiring, inputs, "battery_a", 100.0, celsius) for celsius in airs]
    assert at[:3] == pytest.approx([4.5e-3, 5.625e-3, 6.75e-3])
    assert at[3] > at[2]


def test_who_works_together():
    assert working_together(checked("planeshed").assessment) == [("battery_a", "battery_b")]
    saltpan = checked("saltpan").assessment
    assert working_together(saltpan) == [("lower", "upper")]
    assert string_of(saltpan.wiring, "upper") == ("upper", "lower")
    (bank,) = banks_under_load(saltpan)
    assert bank.cascade.opens == ()
    assert not bank.cascade.dark


TWO = """\
loomwright: 1
title: Two batteries on bars
region: eu
parts:
  a: {kind: battery, chemistry: lifepo4, capacity: 100 Ah, resistance: 3 mΩ}
  b: {like: a}
  bar: {kind: busbar}
  back: {kind: busbar}
  heater: {kind: load, running: 100 A}
wiring:
  A: {from: a.plus, fuse: 40 A bolted, to: bar, area: 25 mm², length: 0.3 m}
  B: {from: b.plus, fuse: 80 A bolted, to: bar, area: 25 mm², length: 0.3 m}
  A_minus: {from: a.minus, to: back, area: 25 mm², length: 0.3 m}
  B_minus: {from: b.minus, to: back, area: 25 mm², length: 0.3 m}
  main: {from: bar, fuse: 125 A bolted, to: heater, area: 35 mm², length: 1 m, return: back}
"""


def test_a_fuse_of_its_own_opens_its_battery_and_the_next_one_follows():
    """50 A each are 125 % of the 40 A fuse: it need not open; at 70 A it does, the other has it all."""
    job = assess(read_text(TWO))
    fuses = own_fuses(job, ("a", "b"))
    assert {id: fuse.rating_a for id, fuse in fuses.items()} == {"a": 40.0, "b": 80.0}
    (bank,) = banks_under_load(job)
    assert (bank.cascade.opens, bank.limits_a) == ((), {"a": 40.0, "b": 80.0})
    heavier = apply_edits(TWO, [Edit("parts.heater.running", "140 A")])
    (bank,) = banks_under_load(assess(read_text(heavier)))
    opened = [(one.battery, one.what) for one in bank.cascade.opens]
    assert opened == [("a", "40 A fuse"), ("b", "80 A fuse")]
    assert bank.cascade.opens[1].amps == pytest.approx(140.0)
    assert bank.cascade.dark


def test_an_hour_of_mossgrove():
    """By its page: 14.4 V for 12 min less 30 s of delay, then bursts of 15 V for 6 %, perhaps too short."""
    job = checked("mossgrove").assessment
    phases, guessed = phases_of(job.wiring, job.under_load.inputs, "starter")
    assert [(phase.volts, phase.bursts) for phase in phases] == [(14.4, False), (12.6, False), (15.0, True)]
    assert sum(phase.hours for phase in phases) == pytest.approx(1.0)
    assert guessed == ()
    (charge,) = driven_charges(job)
    assert charge.closed_h.low == pytest.approx(11.5 / 60.0)
    assert charge.closed_h.high == pytest.approx(11.5 / 60.0 + 0.06)
    assert (charge.ah_per_h.low, charge.ah_per_h.high) == pytest.approx((4.8, 6.3), abs=0.05)


def test_from_half_empty_to_full_by_the_closed_form():
    """95 Ah: 30 % of it at 25 A, then the taper from 80 %, 25 A down to 2 % of 95 Ah: 3.3 h closed.

    The relay of Mossgrove is closed for a quarter of an hour of each hour driven, at the most.
    """
    (charge,) = driven_charges(checked("mossgrove").assessment)
    by_hand = 0.3 * 95.0 / 25.0 + hours_to_taper(25.0, 0.02 * 95.0, 95.0, 0.8)
    assert charge.to_full_h == pytest.approx(by_hand, rel=0.01)
    assert charge.to_full_h / charge.closed_h.high > 12.0


LINKED = """\
loomwright: 1
title: Two batteries behind a relay
region: eu
places: {seat: [-0.4, -0.4, 0.1]}
studs: {E1: {place: seat}}
parts:
  starter: {kind: vehicle_battery, place: seat, chemistry: efb, capacity: 80 Ah, resistance: 5 mΩ}
  alternator: {kind: alternator, charges: starter, current: 150 A, output: 14.4 V}
  a: {kind: battery, place: seat, chemistry: agm, capacity: 110 Ah, resistance: 4.5 mΩ, charge_limit: 25 A}
  b: {like: a}
  K1: {kind: relay, place: seat, rating: 120 A, resistance: 0.5 mΩ}
wiring:
  earth: {from: a.minus, to: E1, area: 35 mm², length: 0.4 m}
  plus: {from: a.plus, to: b.plus, area: 35 mm², length: 0.3 m, sheathed: yes}
  minus: {from: a.minus, to: b.minus, area: 35 mm², length: 0.3 m, sheathed: yes}
  link: {from: starter.plus, fuse: 100 A high_breaking at both, through: K1, to: a.plus,
    area: 35 mm², length: 3 m}
  coil: {from: alternator.d_plus, fuse: 3 A, to: K1.86, area: 1 mm², length: 2 m, return: {to: E1}}
"""


def linked_a(**typed: str) -> tuple[float, float]:
    """Return what a link is judged at, and what lies in its way: amperes and ohms."""
    edits = [Edit(f"parts.alternator.{field}", text) for field, text in typed.items()]
    link = assess(read_text(apply_edits(LINKED, edits))).circuits["link"]
    return link.running_a, link.loop_resistance_ohm


def test_a_bank_behind_a_relay_takes_as_much_as_its_batteries_together():
    assert linked_a()[0] == pytest.approx(50.0)
    (charge,) = driven_charges(assess(read_text(LINKED)))
    assert (charge.ah_per_h.low, charge.ah_per_h.high) == (50.0, 50.0)


def test_no_more_flows_than_a_hot_alternator_gives():
    """0.7 · 60 A."""
    assert linked_a(current="60 A")[0] == pytest.approx(42.0)


def test_no_more_flows_than_the_volts_drive():
    """12.4 V all the time against 11.7 V at 20 %: 0.7 V over the link and 0.9 V / 50 A inside."""
    amps, loop = linked_a(output="12.4 V")
    assert amps == pytest.approx((12.4 - 11.7) / (loop + 0.9 / 50.0))
    assert amps < 50.0


SIDE_BY_SIDE = """loomwright: 1
title: Side by side
region: eu
places: {bench: [1, 0, 0]}
parts:
  house: {kind: battery, place: bench, chemistry: agm, JOINED capacity: 80 Ah}
"""


def test_batteries_side_by_side_resist_half_as_much_by_the_usual_figure_too():
    one, two = (
        assess(read_text(SIDE_BY_SIDE.replace("JOINED", joined)))
        for joined in ("", "count: 2, joined: bars,")
    )
    ohms = [inner_ohm(job.wiring, Inputs(job.plan, Corner.BAD), "house") for job in (one, two)]
    assert ohms[1] == pytest.approx(ohms[0] / 2)
