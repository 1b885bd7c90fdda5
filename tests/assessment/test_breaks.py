"""Breaks of whole vans: against reach in NetworkX, the solver without the branch, and circuits by hand."""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest

import loomwright
from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.breaks_network import PROBE_S, BreaksNetwork
from loomwright.assessment.record import Assessment
from loomwright.circuit.network import Load, Network
from loomwright.circuit.solve import solve

from ..plans import random_plan

HEAD = """loomwright: 1
title: Something loose
region: eu
basis: {copper: 20 °C, contacts: {crimp: 0.5 mΩ, lug: 0.2 mΩ, stud: 0.3 mΩ, body: 1 mΩ}}
places:
  seat: [-0.4, -0.4, 0.1]
  rear: [2.8, -0.7, 0.5]
studs:
  E1: {place: seat}
  E2: {place: rear}
parts:
  leisure: {kind: battery, place: seat, chemistry: agm, capacity: 95 Ah, resistance: 5 mΩ}
  P1: {kind: fuse_box, place: seat, ways: 6}
"""
WIRES = """wiring:
  earth: {from: leisure.minus, to: E1, area: 16 mm², length: 0.4 m}
  main: {from: leisure, fuse: 60 A bolted, to: P1, area: 16 mm², length: 0.5 m}
"""
THIN = "area: 1.5 mm², length: 3 m"


def van(parts: str, wires: str) -> Assessment:
    return assess(read_text(f"{HEAD}{parts}{WIRES}{wires}"))


def test_a_lost_earth_of_a_lamp_cluster_by_hand():
    """Brake 21 W and tail 5 W share the left earth; the right tail lamp has its own. As in `test_circuit`:
    with the tail lamps off, 12 V lies across 6.86 + 28.8 + 28.8 Ω (Ohm), wires of some mΩ left out.
    """
    job = van(
        """  brake: {kind: lamp, place: rear, running: 21 W, behaves: resistance}
  tail_left: {kind: lamp, place: rear, running: 5 W, behaves: resistance}
  tail_right: {kind: lamp, place: rear, running: 5 W, behaves: resistance}
  S1: {kind: switch, place: seat, rating: 5 A}
  cluster: {kind: busbar, place: rear}
  joint: {kind: splice, place: rear}
""",
        f"""  C1: {{from: P1.1, fuse: 5 A, to: brake, {THIN}, return: {{to: cluster, length: 0.1 m}}}}
  C2: {{from: P1.2, fuse: 5 A, through: S1, to: joint, {THIN}}}
  C4: {{from: joint, to: tail_left, {THIN}, return: {{to: cluster, length: 0.1 m}}}}
  C5: {{from: joint, to: tail_right, {THIN}, return: {{to: E1, length: 0.3 m}}}}
  C3: {{from: cluster, to: E2, {THIN}}}
""",
    )
    lost = job.breaks.wires["C3"]
    assert set(lost.stops) == {"brake", "tail_left"}
    assert lost.live == ("cluster",)
    assert lost.live_v == pytest.approx(12.0, abs=0.05)
    series = {one.load: one.volts_v for one in lost.in_series}
    assert {one.when for one in lost.in_series} == {"S1 off"}
    # the brake lamp gets 1.28 V: too little to glow, so it is only among what stops
    assert series == pytest.approx({"tail_left": -5.36, "tail_right": 5.36}, abs=0.02)
    assert job.breaks.studs["E2"].stops == lost.stops
    assert job.breaks.fuses["P1.1"].stops == ("brake",)
    assert set(job.breaks.fuses["main"].stops) == {"brake", "tail_left", "tail_right"}


def test_what_is_electronic_passes_nothing_backwards():
    text = """  pump: {kind: water_pump, place: rear, running: 5 A}
  strip: {kind: strip, place: rear, running: 1 A}
  other: {kind: strip, place: rear, running: 1 A}
  S1: {kind: switch, place: seat, rating: 5 A}
  rail: {kind: busbar, place: rear}
  joint: {kind: splice, place: rear}
"""
    wires = f"""  C1: {{from: P1.1, fuse: 10 A, to: pump, {THIN}, return: {{to: rail, length: 0.1 m}}}}
  C2: {{from: P1.2, fuse: 5 A, through: S1, to: joint, {THIN}}}
  C4: {{from: joint, to: strip, {THIN}, return: {{to: rail, length: 0.1 m}}}}
  C5: {{from: joint, to: other, {THIN}, return: {{to: E1, length: 0.3 m}}}}
  C3: {{from: rail, to: E2, {THIN}}}
"""
    assert van(text, wires).breaks.wires["C3"].in_series == ()
    winding = text.replace("strip: {kind: strip", "strip: {kind: valve", 1)
    assert {one.load for one in van(winding, wires).breaks.wires["C3"].in_series} == {"strip", "other"}


def test_a_relay_falls_with_its_coil_and_takes_its_load_along():
    job = van(
        """  lamp: {kind: lamp, place: rear, running: 2 A}
  K1: {kind: relay, place: seat, rating: 30 A, coil: 0.15 A}
  S1: {kind: switch, place: seat, rating: 5 A}
""",
        f"""  C1: {{from: P1.1, fuse: 5 A, through: K1, to: lamp, {THIN}, return: {{to: E2, length: 0.3 m}}}}
  C2: {{from: P1.2, fuse: 3 A, through: S1, to: K1.86, {THIN}, return: {{to: E1, length: 0.3 m}}}}
""",
    )
    assert set(job.breaks.fuses["P1.2"].stops) == {"lamp", "K1"}
    assert set(job.breaks.contacts["S1"].stops) == {"lamp", "K1"}
    assert job.breaks.fuses["P1.1"].stops == ("lamp",)
    assert job.breaks.contacts["K1"].stops == ("lamp",)


@pytest.mark.parametrize(
    ("more", "load", "falls"),
    [("", "87", True), (", latching: yes", "87", False), (", contact: change_over", "87a", False)],
)
def test_only_a_contact_that_its_coil_holds_falls_with_it(more: str, load: str, falls: bool):
    job = van(
        f"""  lamp: {{kind: lamp, place: rear, running: 2 A}}
  K1: {{kind: relay, place: seat, rating: 30 A, coil: 0.15 A{more}}}
  S1: {{kind: switch, place: seat, rating: 5 A}}
""",
        f"""  C1: {{from: P1.1, fuse: 5 A, to: K1.30, {THIN}}}
  C2: {{from: K1.{load}, to: lamp, {THIN}, return: E2}}
  C3: {{from: P1.2, fuse: 3 A, through: S1, to: K1.86, {THIN}, return: E1}}
""",
    )
    assert ("lamp" in job.breaks.fuses["P1.2"].stops) == falls
    assert "K1" in job.breaks.fuses["P1.2"].stops


def test_a_return_that_finds_a_thin_way():
    """The inverter's minus cable and a 1.5 mm² strap of its case share by their ohms.

    By hand: 600 W / 0.85 are 706 W of constant power behind some 37 mΩ, 27 of them 2 m of 1.5 mm² (IEC 60228,
    13.3 Ω/km), the rest joints, stud, body and battery: V = (12 + √(12² − 4 · 0.037 · 706)) / 2 = 9.2 V, so
    77 A in a strap that is good for 24 A.
    """
    job = van(
        """  inverter: {kind: inverter, place: seat, power: 600 W, efficiency: 85 %}
  bar: {kind: busbar, place: seat}
""",
        """  I1: {from: leisure, fuse: 80 A bolted, to: inverter, area: 16 mm², length: 1 m,
    return: {to: bar, area: 16 mm²}}
  I2: {from: bar, to: leisure.minus, area: 16 mm², length: 0.4 m}
  strap: {from: inverter.minus, to: E2, area: 1.5 mm², length: 2 m}
""",
    )
    lost = job.breaks.wires["I1.return"]
    assert lost.stops == ()
    assert lost.goes_on == ("inverter",)
    (strap,) = [one for one in lost.other_ways if one.wire == "strap"]
    assert strap.amps_a == pytest.approx(77.0, abs=3.0)
    assert not strap.holds
    assert job.wires["strap"].current_a == pytest.approx(strap.before_a, rel=0.1)


@pytest.mark.parametrize("seed", range(14))
def test_what_stops_against_reach_in_networkx(seed: int):
    """A load that a break parts from every source, with its coil or converter, is told of; no other."""
    job = assess(read_text(random_plan(seed, 25)))
    network = job.breaks.network
    for one in job.breaks.wires.values():
        graph = nx.MultiGraph()
        graph.add_edges_from((r.a, r.b, r.id) for r in network.resistors if r.id != one.of)
        fed = _fed(network, graph)
        told = {*one.stops, *one.charges_no_more, *(part.load for part in one.in_series)}
        volts = network.with_followers([network.place(one.of)])[0].volts / network.own_v
        for k, port in enumerate(network.ports):
            if network.fed[k] and k not in fed:  # it may live on what comes through another load
                assert port.part in told or 0.8 < volts[k] < 1.2
            elif network.fed[k]:
                assert volts[k] > 0.8 or port.part in told


def _fed(network: BreaksNetwork, graph: nx.MultiGraph) -> set[int]:
    """Return the loads that a source reaches at both ends, relays and converters followed till none falls."""
    gone: set[str] = set()
    while True:
        metal = nx.Graph(graph)
        metal.remove_nodes_from(gone & set(metal))
        reaches = [
            (nx.node_connected_component(metal, s.plus), nx.node_connected_component(metal, s.minus))
            for s in network.sources
            if s.plus in metal and s.minus in metal and s.plus not in gone
        ]
        fed = {
            k
            for k, port in enumerate(network.ports)
            if any(port.plus in plus and port.minus in minus for plus, minus in reaches)
        }
        more = set[str]()
        for k, port in enumerate(network.ports):
            if network.fed[k] and k not in fed:
                if port.kind == "coil":
                    more.add(f"{port.part}.87")
                elif port.kind == "converter_input":
                    more.add(f"{port.part}@gives ")
        if more <= gone:
            return fed
        gone |= more


@pytest.mark.parametrize("seed", range(8))
def test_volts_and_currents_against_the_whole_solver_without_the_branch(seed: int):
    job = assess(read_text(random_plan(seed, 40)))
    network = job.breaks.network
    names = [f"load {k}" for k in range(len(network.ports))]
    loads = [
        Load(name, port.plus, port.minus, siemens=float(s))
        for name, port, s in zip(names, network.ports, network.net.siemens, strict=True)
        if s > PROBE_S
    ]
    for place in range(0, len(network.net.bridge), 4):
        kept = [r for r, at in zip(network.resistors, network.net.place, strict=True) if at != place]
        solution = solve(Network([*kept, *network.sources, *loads]))
        opened = network.net.opened([place])
        for load in loads:
            k = names.index(load.id)
            assert opened.volts[k] == pytest.approx(solution.amps[load.id] / load.siemens, abs=2e-3)
        for resistor, amps in zip(network.resistors, opened.amps, strict=True):
            if resistor.ohm > 1e-5:
                assert abs(amps - solution.amps.get(resistor.id, 0.0)) < 0.02
    assert np.all(network.net.whole_v[network.fed] > 0.0)


def test_a_plug_that_is_pulled_opens_all_its_pins():
    job = van(
        """  lamp: {kind: lamp, place: rear, running: 2 A}
  fan: {kind: fan, place: rear, running: 1 A}
  X1: {kind: plug, place: rear, pins: 2, rating: 10 A}
""",
        f"""  C1: {{from: P1.1, fuse: 5 A, through: X1.1, to: lamp, {THIN}, return: E2}}
  C2: {{from: P1.2, fuse: 5 A, through: X1.2, to: fan, {THIN}, return: E2}}
""",
    )
    assert job.breaks.contacts["X1.1"].stops == ("lamp",)
    assert job.breaks.contacts["X1.2"].stops == ("fan",)
    assert set(job.breaks.plugs["X1"].stops) == {"lamp", "fan"}


def test_a_switch_of_two_poles_is_off_with_both():
    """The lost earth of one lamp would feed back through the second pole, were that left closed."""
    job = van(
        """  lamp: {kind: lamp, place: rear, running: 2 A}
  other: {kind: lamp, place: rear, running: 2 A}
  S1: {kind: switch, place: seat, rating: 10 A, poles: 2}
  rail: {kind: busbar, place: rear}
""",
        f"""  C1: {{from: P1.1, fuse: 5 A, through: S1, to: lamp, {THIN}, return: rail}}
  C2: {{from: P1.2, fuse: 5 A, through: [S1.in_2-out_2], to: other, {THIN}, return: rail}}
  C3: {{from: rail, to: E2, {THIN}}}
""",
    )
    (switch,) = job.breaks.network.switches
    assert switch[0] == "S1"
    assert len(switch[1]) == 2
    assert job.breaks.wires["C3"].in_series == ()


def test_what_follows_is_in_the_check():
    text = f"{HEAD}  lamp: {{kind: lamp, place: rear, running: 2 A}}\n{WIRES}"
    text += f"  C1: {{from: P1.1, fuse: 5 A, to: lamp, {THIN}, return: {{to: E2, length: 0.3 m}}}}\n"
    breaks = loomwright.check(read_text(text)).as_dict()["faults"]["breaks"]
    (blown,) = [one for one in breaks if one["kind"] == "fuse" and one["of"] == "P1.1"]
    assert blown["stops"] == ["lamp"]
    assert blown["amps_a"] == pytest.approx(2.0, rel=0.05)
