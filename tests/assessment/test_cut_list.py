"""The cut list: every wire of the schedule once, nothing lost between schedule, lots and reels."""

from __future__ import annotations

import math

import pytest

from loomwright import assess, read, read_text
from loomwright.assessment.cut_list import cut_list
from loomwright.assessment.ends import listed_wires
from loomwright.assessment.record import Assessment
from tests.plans import random_plan
from tests.rules.cases import plan
from tests.scenarios.lines import EXAMPLES, VANS


def jobs() -> list[Assessment]:
    vans = [read(EXAMPLES / f"{name}.yaml") for name in VANS]
    return [assess(one) for one in (*vans, *(read_text(random_plan(seed, 40)) for seed in range(4)))]


def test_every_wire_is_cut_once_or_kept_and_nothing_is_lost():
    for job in jobs():
        done = cut_list(job)
        wires = {wire.id: wire for wire in listed_wires(job)}
        cut = [wire for lot in done.lots for one in lot.cuts for wire in one.wires]
        assert sorted([*cut, *done.kept]) == sorted(wires)
        assert done.cut_m == pytest.approx(sum(wires[id].length_m for id in cut))  # each has one core here
        for lot in done.lots:
            assert [one.metres for one in lot.cuts] == sorted((one.metres for one in lot.cuts), reverse=True)
            on_reels = [piece for reel in lot.reels for piece in reel.cuts]
            assert sorted(on_reels) == sorted((one.wires[0], one.metres) for one in lot.cuts)
            assert lot.bought_m >= 1.12 * lot.cut_m - 1e-6
            for one in lot.cuts:
                figure = wires[one.wires[0]]
                assert (figure.area_mm2, figure.colour) == (lot.stock.area_mm2, lot.stock.colour)


def test_feed_and_return_in_one_sheath_are_cut_as_one_and_what_lies_there_is_kept():
    job = assess(
        read_text(
            plan(
                """lamp: {kind: lamp, running: 1 A, place: kitchen}
                pump: {kind: water_pump, running: 4 A, place: kitchen}""",
                """L: {from: P1.1, to: lamp, area: 1.5 mm², length: 4 m, cores: 2, return: wire}
                M: {from: P1.2, to: pump, area: 2.5 mm², length: 3 m, status: existing, return: wire}""",
            )
        )
    )
    done = cut_list(job)
    (lot,) = (lot for lot in done.lots if lot.stock.cores == 2)
    assert [(one.wires, one.metres) for one in lot.cuts] == [(("L", "L.return"), 4.0)]
    assert lot.stock.size == "2 × 1.5 mm²"
    assert {"M", "M.return"} <= set(done.kept)
    assert math.isclose(done.cut_m, sum(lot.cut_m for lot in done.lots))
