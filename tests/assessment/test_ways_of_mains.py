"""Which contacts let an inverter reach the inlet."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.assessment.mains.side import MainsSide
from loomwright.assessment.mains.ways import live_inlets
from loomwright.plan.pieces import take_apart
from tests.rules.cases_modes import mains_plan

FROM_INVERTER = "M2: {from: inverter, to: S1.in, area: 2.5 mm²}\nM3: {from: S1.out, to: U1, area: 2.5 mm²}"
INLET = "M1: {from: inlet, to: U1, area: 2.5 mm²}"
CHANGE = "change: {kind: change_over, place: kitchen, poles: 2}"


def found(parts: str, wiring: str) -> list[tuple[tuple[str, str], ...]]:
    """Return the positions in which the inlet of a plan is live."""
    return [
        one.positions for one in live_inlets(MainsSide(take_apart(read_text(mains_plan(parts, wiring))), {}))
    ]


def test_a_switch_in_the_way_is_named_with_its_position():
    assert found("S1: {kind: switch, place: kitchen}", f"{INLET}\n{FROM_INVERTER}") == [(("S1", "on"),)]


def test_a_way_out_of_one_box_into_another_counts():
    wiring = f"{INLET}\nM2: {{from: inverter, to: U1.2, area: 2.5 mm²}}"
    assert found("", wiring) == [()]


@pytest.mark.parametrize(
    ("parts", "wiring"),
    [
        (CHANGE, "M1: {from: inlet, to: change.in_1}\nM2: {from: inverter, to: change.in_2}"),
        (
            "T1: {kind: transformer, place: kitchen}",
            f"{INLET}\nM2: {{from: inverter, to: T1}}\nM3: {{from: T1.out, to: U1}}",
        ),
        ("socket: {kind: mains_socket, place: kitchen}", f"{INLET}\nM2: {{from: inverter, to: socket}}"),
    ],
    ids=["a change-over", "a transformer", "a socket of its own"],
)
def test_what_parts_the_two_is_clean(parts, wiring):
    assert found(parts, wiring) == []
