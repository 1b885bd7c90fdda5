"""Currents in a mode, by hand and by what must always hold. (Against another solver: tests/reference.)"""

from __future__ import annotations

from collections import defaultdict

import pytest

from loomwright import assess, read_text
from loomwright.assessment.mode_network import Asked
from loomwright.assessment.record import Assessment
from loomwright.circuit.network import Resistor
from tests.plans import random_plan
from tests.rules.base import plan
from tests.scenarios.lines import VANS, text_of


def job_of(van: str) -> Assessment:
    return assess(read_text(text_of(van, "")))


def test_alderford_driven_on_the_vehicle_battery():
    """The charger gives its 25 A, the alternator what that takes and what hangs on the selected bar."""
    job = job_of("alderford")
    flow = job.flows.of(job.modes.figures["driving_vehicle"])
    selected = sum(flow.loads[id].amps for id in ("roof_lights", "kitchen_strip", "bed_strip", "usb_kitchen"))
    selected += sum(flow.loads[id].amps for id in ("usb_bed", "fan"))
    assert flow.gives_a["b2b"] == pytest.approx(25.0)
    assert "pump" not in flow.loads  # held off while the engine runs
    assert flow.branch_a["V3"] == pytest.approx(selected, abs=0.01)
    taken = 14.4 * 25.0 / 0.92 / 12.6  # were the charger at its largest output volts and at full input volts
    assert flow.branch_a["V1"] < taken
    assert flow.gives_a["alternator"] == pytest.approx(flow.branch_a["V1"] + flow.branch_a["V3"], abs=0.2)


def test_a_battery_takes_no_more_than_its_limit():
    """Saltpan's two in series, driven: the upper one's limit is 25 A; the radio's 3 A go past the lower."""
    job = job_of("saltpan")
    flow = job.flows.of(job.modes.figures["driving"], sun=True)
    assert flow.gives_a["upper"] == pytest.approx(-25.0)
    assert flow.gives_a["lower"] == pytest.approx(-22.0)


def test_what_asks_for_too_much_is_named_and_left_out():
    """Saltpan's converter gives 20 A; with everything on, 33 A are asked of it."""
    job = job_of("saltpan")
    flow = job.flows.of(job.modes.figures["parked"])
    assert set(flow.collapsed) == {"pump", "usb"}
    assert flow.gives_a["converter"] == pytest.approx(12.0)


def test_only_what_is_named_runs():
    job = job_of("alderford")
    flow = job.flows.of(job.modes.figures["parked_leisure"], running=["fan"], starting=["fan"])
    assert flow.loads["fan"].amps == pytest.approx(4.0)
    assert "fridge" not in flow.loads


def test_a_pulled_fuse_stops_what_hangs_on_it():
    job = job_of("mossgrove")
    pulled = job.modes.figure("", {"fuse P1.1": "pulled"})
    whole = job.flows.of(job.modes.figures["parked"])
    flow = job.flows.of(pulled)
    assert whole.loads.keys() - flow.loads.keys() == {load for load, by in pulled.feeds.items() if not by}
    assert whole.loads.keys() > flow.loads.keys()


@pytest.mark.parametrize("text", [text_of(van, "") for van in VANS] + [random_plan(k, 12) for k in range(8)])
def test_currents_into_every_point_sum_to_nothing(text):
    job = assess(read_text(text))
    for figure in job.modes.figures.values():
        network, solution = job.flows.settled(job.flows.elements(figure, Asked()))
        if not solution.works:
            continue
        into: dict[str, float] = defaultdict(float)
        other = set()
        for one in network.elements:
            if isinstance(one, Resistor):
                into[one.a] -= solution.amps[one.id]
                into[one.b] += solution.amps[one.id]
            else:
                other |= {getattr(one, name) for name in ("plus", "minus", "a", "k") if hasattr(one, name)}
                other |= {getattr(one, name) for name in dir(one) if name.startswith(("in_", "out_"))}
        assert all(abs(amps) < 1e-6 for point, amps in into.items() if point not in other)


def test_a_lamp_by_hand():
    """12 V behind 20 mΩ: 2 A lose what the circuit alone loses, and 40 mV."""
    text = plan(
        "lamp: {kind: lamp, place: kitchen, running: 2 A}",
        "C1: {from: P1.1, fuse: 3 A, to: lamp, area: 1.5 mm², length: 4 m, return: {to: E2, length: 0.4 m}}",
    )
    job = assess(read_text(text))
    flow = job.flows.of(job.modes.figures["parked"])
    circuit = next(one for one in job.circuits.values() if one.load == "lamp")
    assert circuit.drop_v is not None
    assert flow.loads["lamp"].volts == pytest.approx(12.0 - circuit.drop_v - 2.0 * 0.020, abs=1e-6)
