"""How warm copper gets: by hand, and against the tables' own figures."""

from __future__ import annotations

import pytest

import loomwright
from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.warmth import conductor_c, conductor_step
from loomwright.steps import evaluate

VAN = """loomwright: 1
title: Warm
region: eu
basis: {{cable_rating: vde_0298_4, insulation: PVC 70 °C, temperature: 30 °C, copper: 20 °C}}
places:
  seat: [-0.4, -0.4, 0.1]
  roof: {{at: [1.0, 0.0, 1.9], zones: [roof_void], temperature: 50 °C}}
parts:
  leisure: {{kind: battery, place: seat, chemistry: agm, capacity: 95 Ah}}
  load: {{kind: heat_mat, place: {place}, running: {amps} A, behaves: current}}
wiring:
  C1: {{from: leisure, fuse: 30 A blade, to: load, area: 2.5 mm², length: 4 m, return: wire}}
"""


def warmth(amps: float, place: str = "seat") -> tuple[float, float, float]:
    """Return the temperature, what the wire is good for, and the air."""
    job = assess(read_text(VAN.format(amps=amps, place=place)))
    wire = job.wires["C1"]
    found, step = conductor_c(job, wire), conductor_step(job, wire)
    assert found is not None
    assert step is not None
    assert found == pytest.approx(evaluate(step))
    assert wire.rating_a is not None
    return found, wire.rating_a, wire.ambient_c


def test_at_its_rating_the_copper_has_the_temperature_of_its_insulation():
    """DIN VDE 0298-4: the table current of 2.5 mm² PVC heats it from 30 °C to 70 °C; half gives a quarter."""
    _, rating, _ = warmth(1.0)
    assert warmth(rating)[0] == pytest.approx(70.0)
    assert warmth(rating / 2.0)[0] == pytest.approx(40.0)
    assert warmth(rating * 1.1)[0] == pytest.approx(30.0 + 40.0 * 1.21)


def test_the_place_counts_in_air_and_in_rating():
    """At 50 °C the rating falls by the root of (70 - 50) / (70 - 30), 0.71; the table's factor is 0.71."""
    warm, rating, air = warmth(10.0, "roof")
    assert air == 50.0
    assert warm == pytest.approx(50.0 + 20.0 * (10.0 / rating) ** 2)
    # the rise is that of the same current in cooler air, within what two digits of the factor leave
    assert warm - air == pytest.approx(warmth(10.0)[0] - 30.0, rel=0.02)


def test_it_stands_in_the_check_whatever_the_plan_pins_for_drops():
    done = loomwright.check(read_text(VAN.format(amps=10, place="seat"))).as_dict()
    (wire,) = [one for one in done["wires"] if one["id"] == "C1"]
    assert wire["conductor_c"] == pytest.approx(warmth(10.0)[0])
    assert wire["conductor_c"] > 30.0
