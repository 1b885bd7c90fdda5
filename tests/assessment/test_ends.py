"""What is put on the ends of wires: from the plan, else as such parts usually are, else unknown."""

from __future__ import annotations

from functools import cache

import pytest

from loomwright import assess, read, read_text
from loomwright.assessment.ends import WireEnd, ends_of, listed_wires, splices_of
from loomwright.assessment.record import Assessment
from loomwright.errors import PlanError
from loomwright.tables import terminals
from tests.plans import random_plan
from tests.rules.cases import plan
from tests.scenarios.lines import EXAMPLES, VANS

Ends = dict[str, tuple[WireEnd, WireEnd]]


@cache
def van(name: str) -> tuple[Assessment, Ends]:
    job = assess(read(EXAMPLES / f"{name}.yaml"))
    return job, ends_of(job)


@pytest.mark.parametrize("name", VANS)
def test_each_wire_has_two_ends_and_a_terminal_is_known_or_said_to_be_unknown(name: str):
    job, ends = van(name)
    assert list(ends) == [wire.id for wire in listed_wires(job)]
    for wire, pair in ends.items():
        for end in pair:
            assert (end.wire, end.label) == (wire, wire)
            assert end.terminal.kind in terminals.KINDS
            if end.terminal.kind == terminals.UNKNOWN or (
                end.terminal.kind == terminals.RING and not end.terminal.size
            ):
                assert end.terminal.unknown
            if end.point in job.plan.studs:
                assert (end.terminal.kind, end.terminal.size) == (
                    "ring",
                    job.plan.studs[end.point].thread,
                )


def test_ends_of_mossgrove():
    job, ends = van("mossgrove")
    box, load = ends["W4"]
    assert (box.terminal.words, box.barrel, box.strip_mm) == ("receptacle 6.3 mm", "0.5–1 mm²", 5)
    assert (load.terminal.kind, load.place) == ("splice", "rear_pod")
    post, relay = ends["W1.relay"]
    assert (post.holder, post.link.kind, post.barrel) == ("100 A bolted", "ring", "25 mm²")
    assert "adhesive-lined" in post.sleeve  # in the engine bay
    assert relay.sleeve.startswith("heat-shrink")
    assert ends["W5.return"][1].shared == ("W3.return",)
    assert not ends["starter_earth"][0].made  # the maker's own
    assert {one.point: one.tails for one in splices_of(job, ends)}["W4~"] == ("pump", "usb", "lamps")


def test_a_plug_in_the_wet_has_pins_with_seals_and_a_number_stands_in_the_place_of_the_id():
    text = plan(
        """X5: {kind: plug, pins: 4, place: underneath}
        lamp: {kind: lamp, running: 1 A, place: kitchen}""",
        "L: {from: P1.1, through: X5.2, to: lamp, area: 1.5 mm², length: 4 m, return: E2}",
    )
    text = text.replace("places:", "places:\n  underneath: {zones: [underfloor]}", 1)
    job = assess(read_text(text + "\nlabels: {L.X5.2: 107}\n"))
    before, after = ends_of(job)["L.X5.2"][1], ends_of(job)["L"][0]
    for end in (before, after):
        assert (end.terminal.kind, end.pin, end.place) == ("pin", "2", "underneath")
        assert end.seal == "single-wire seal for 3 mm"
    assert (before.label, after.label) == ("107", "L")


def test_barrels_take_the_cable_and_tubes_slip_over_it():
    """Ferrules as long as DIN 46228-4 has them, stripped 2 mm more (from memory)."""
    for area, long_mm in {
        0.75: 8,
        1.5: 8,
        2.5: 8,
        4: 10,
        6: 12,
        10: 12,
        16: 12,
        25: 16,
        35: 16,
        50: 20,
    }.items():
        assert terminals.strip_mm("ferrule", area) == long_mm + 2
    for rows in terminals.STRIP_MM.values():
        assert list(rows) == sorted(rows)
        assert list(rows.values()) == sorted(rows.values())
    assert terminals.strip_mm("ring", 500.0) is None
    assert terminals.barrel("ring", 3.31, "12 AWG") == "4–6 mm², yellow"
    assert terminals.barrel("ring", 21.2, "4 AWG") == "4 AWG"


def test_random_vans_have_their_ends():
    for seed in range(4):
        job = assess(read_text(random_plan(seed, 30)))
        for pair in ends_of(job).values():
            for end in pair:
                assert end.terminal.kind != "receptacle" or (job.wires[end.wire].area_mm2 or 0) <= 6.0


def test_what_the_plan_types_of_a_part_comes_before_what_is_usual():
    text = plan(
        """P9: {kind: fuse_box, ways: 3, place: kitchen, posts: {in: m6, 2: ferrule, 3: socket, all: 9.5 mm}}
        lamp: {kind: lamp, running: 1 A, place: kitchen, posts: {all: bare}}""",
        """A: {from: leisure, fuse: 30 A, to: P9, area: 6 mm², length: 1 m}
        L: {from: P9.1, to: lamp, area: 2.5 mm², length: 4 m, return: E2}
        M: {from: P9.2, to: lamp, area: 2.5 mm², length: 4 m}
        N: {from: P9.3, to: lamp, area: 2.5 mm², length: 4 m}""",
    )
    ends = ends_of(assess(read_text(text)))
    assert [ends[id][k].terminal.words for id, k in (("A", 1), ("L", 0), ("M", 0), ("N", 0), ("L", 1))] == [
        "ring M6", "receptacle 9.5 mm", "ferrule", "connector of the part socket", "bare end",
    ]  # fmt: skip
    assert ends["L"][0].source is None
    with pytest.raises(PlanError, match=r'posts.plus: there is no terminal "plus"'):
        read_text(text.replace("in: m6", "plus: m6"))
