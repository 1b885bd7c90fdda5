"""Low-voltage cuts: what a start does to them alone and with everything on, and where they are in a unit."""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.plan.edit import apply_edits
from loomwright.rules.check import check_plan
from loomwright.rules.finding import Finding
from loomwright.sizing.cures import cures
from tests.rules.base import WIRE, plan
from tests.scenarios.lines import text_of

HEATER = (
    "heater: {kind: load, place: kitchen, running: 10 A}",
    f"C3: {{from: P1.2, fuse: 15 A, to: heater, {WIRE}}}",
)

ZERO = "resistance: 0 mΩ"


def cut(volts: str = "11.6 V", start: str = "15 A for 80 ms", more: str = "", others: bool = False) -> str:
    """Return a plan with a pump behind a cut; with a heater of 10 A beside it, if asked."""
    part, run = HEATER if others else ("", "")
    return plan(
        f"""cut: {{kind: low_voltage_cut, place: seat_base, cut_out: {volts}, idle: 0 A, {ZERO}{more}}}
        pump: {{kind: water_pump, place: kitchen, running: 2 A, start: {start}}}
        {part}""",
        f"""C1: {{from: P1.1, fuse: 15 A, through: cut, to: pump, {WIRE}}}
        C2: {{from: cut.minus, to: E1, area: 1 mm², length: 0.4 m, resistance: 0 mΩ}}
        {run}""",
    )


def of_cut(text: str) -> list[Finding]:
    return [one for one in check_plan(read_text(text)).findings if one.rule == "cut_opens_at_start"]


def test_a_start_that_opens_it_only_with_everything_on_is_a_watch():
    """15 A lose 0.3 V in the battery's 20 mΩ, 10 A of the heater 0.2 V."""
    assert of_cut(cut(more=", delay: 0 s")) == []
    (one,) = of_cut(cut(more=", delay: 0 s", others=True))
    assert one.severity == "watch"
    assert "with everything else on" in one.says
    assert one.value is not None
    assert abs(one.value - 11.5) < 0.001


@pytest.mark.parametrize("delay", ["", ", delay: unknown"])
def test_a_wait_that_nobody_states_is_asked_for(delay):
    (one,) = of_cut(cut(start="21 A for 80 ms", more=delay))
    assert one.severity == "watch"
    assert "nobody says how long it waits" in one.says


def test_the_wait_may_stand_with_the_volts():
    assert of_cut(cut("11.6 V for 60 s", "21 A for 80 ms")) == []
    (one,) = of_cut(cut("11.6 V for 50 ms", "21 A for 80 ms"))
    assert one.severity == "fault"


def test_a_cut_inside_a_unit_watches_against_its_battery():
    """The fridge relay of Alderford has no minus wire; the pump's 16 A lower the unit's bar to 11.88 V."""
    text = text_of("alderford", "").replace("cut_out: 11.4 V for 60 s", "cut_out: 11.9 V for 50 ms")
    (one,) = of_cut(text)
    assert (one.where, one.severity) == ("U1/KF", "fault")
    cure = next(
        answer.cure for answer in cures(read_text(text)) if answer.cure and "Fridge" in answer.cure.says
    )
    assert of_cut(apply_edits(text, cure.edits)) == []


def test_a_relay_that_lets_go_at_few_volts_is_a_cut_too():
    text = (
        cut("11.6 V", "21 A for 80 ms")
        .replace("low_voltage_cut", "relay")
        .replace("idle: 0 A, ", "delay: 0 s, ")
    )
    text = text.replace("from: cut.minus", "from: cut.85")
    text = text.replace(
        "wiring:\n", "wiring:\n  C4: {from: P1.3, fuse: 3 A, to: cut.86, area: 1 mm², length: 1 m}\n"
    )
    (one,) = of_cut(text)
    assert one.severity == "fault"


def test_a_cut_below_its_threshold_anyway_is_not_blamed_on_a_start():
    assert of_cut(cut("12.1 V", "21 A for 80 ms", ", delay: 0 s")) == []


def test_the_cure_waits_where_the_wait_is_typed():
    text = cut("11.6 V for 50 ms", "21 A for 80 ms")
    (cure,) = (answer.cure for answer in cures(read_text(text)))
    assert cure is not None
    assert "cut_out: 11.6 V for 30 s" in apply_edits(text, cure.edits)
    assert [(one.before, one.after) for one in cure.before_after] == [(0.05, 30.0)]
