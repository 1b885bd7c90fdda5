"""The same van on every pitch: what must always hold, what the rules say too, and figures by hand."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.assessment.mains.case import Case
from loomwright.assessment.mains.cases import COLD_C, pitch_net
from loomwright.assessment.mains.choices import choices_of, settled
from loomwright.assessment.mains.side import MainsSide
from loomwright.assessment.mains.tried import tried
from loomwright.assessment.mains.words import leg_volts, said
from loomwright.mains.net import Fault, solve
from loomwright.web.examples import example_text
from tests.mains.cases import every_case, side_of, try_case
from tests.rules.cases_mains import ELECTRODE, M1, M2, PE, PITCH, van

EXAMPLES = ("alderford", "amberquay", "planeshed")


@cache
def example(name: str) -> MainsSide:
    return side_of(example_text(name))


def small(lead_m: float = 25.0, electrode: float = 50.0, poles: int = 2, post: str = "none") -> str:
    text = van(
        pitch=ELECTRODE.replace("OHM", f"{electrode:g}").replace("rcd: none", f"rcd: {post}"),
        runs=(M1, M2.replace("2-pole", f"{poles}-pole"), PE),
    )
    return text.replace("length: 25 m", f"length: {lead_m:g} m")


VANS = st.builds(
    small,
    lead_m=st.floats(2.0, 50.0),
    electrode=st.floats(1.0, 800.0),
    poles=st.sampled_from((1, 2)),
    post=st.sampled_from(("none", "30 mA", "300 mA")),
)


def without_an_rcd_nothing_is_lower(side: MainsSide) -> None:
    for case in every_case(side, missing="rcd"):
        with_it, without = (tried(side.case_nets, replace(case, missing=one)) for one in ("", "rcd"))
        for one, other in zip(with_it.touches, without.touches, strict=True):
            assert other.before_v >= one.before_v - 1e-9
            assert other.after_v >= one.after_v - 1e-9, case
        assert without.clearing.dangerous_for.high >= with_it.clearing.dangerous_for.high


@pytest.mark.parametrize("name", EXAMPLES)
def test_removing_an_rcd_never_lowers_a_touch_voltage(name):
    without_an_rcd_nothing_is_lower(example(name))


@settings(max_examples=8, deadline=None)
@given(VANS)
def test_removing_an_rcd_never_lowers_a_touch_voltage_on_other_vans(text):
    without_an_rcd_nothing_is_lower(side_of(text))


@pytest.mark.parametrize("name", ["alderford", "amberquay"])
def test_a_longer_lead_never_raises_a_fault_current(name):
    text = example_text(name)
    assert "length: 25 m, area" in text
    short, long = (side_of(text.replace("length: 25 m, area", f"length: {m} m, area")) for m in (10, 40))
    drew = []
    for case in every_case(short):
        if case.fault in ("case", "chafed", "short"):
            near, far = (abs(tried(s.case_nets, case).before.amps.get("fault", 0.0)) for s in (short, long))
            assert far <= near + 1e-9, case
            drew.append(near - far)
    assert max(drew) > 50.0


@pytest.mark.parametrize("side", [example("alderford"), side_of(small()), side_of(van(pitch=PITCH))])
def test_reversing_changes_no_verdict_where_everything_opens_both_poles(side):
    count = 0
    for case in every_case(side):
        if case.polarity == "right":
            ends = [
                tried(side.case_nets, replace(case, polarity=one)).verdict for one in ("right", "reversed")
            ]
            assert ends[0] == ends[1], case
            count += 1
    assert count > 15


def test_reversing_leaves_a_socket_live_behind_a_breaker_of_one_pole():
    side = side_of(small(poles=1).replace("rcd: 30 mA 2-pole type A", "rcd: none"))
    right, turned = (
        try_case(side, earthing="tn", polarity=one, fault="short") for one in ("right", "reversed")
    )
    assert [one.clearing.openings[0].device for one in (right, turned)] == ["U1.1", "U1.1"]
    assert not right.clearing.still_live
    assert ("socket.load", "neutral") in turned.clearing.still_live
    assert "still live behind what opened: U1.1, socket." in said(turned)


@pytest.mark.parametrize("name", ["alderford", "amberquay"])
def test_a_live_case_is_that_of_the_rules(name):
    side = example(name)
    for one in side.faults:
        pitch = one.pitch
        case = settled(side, Case(source=pitch.id, earthing=pitch.earthing, outlet=one.outlet))
        here = tried(side.case_nets, case)
        assert abs(here.before.amps["fault"]) == pytest.approx(one.expected_a, abs=1e-9)
        assert here.touches[0].before_v == pytest.approx(one.touch_v, abs=1e-9)
        assert here.clearing.openings == one.clearing.openings
        assert here.stays == one.stays


def test_pitches_that_differ_by_rating_share_their_conductors_and_lose_nothing_by_it():
    """Against the net of each pitch built by itself."""
    side = example("amberquay")
    nets, pitches = side.nets("inlet"), {pitch.id: pitch for pitch in side.pitches}
    small_, large = (nets.of(pitches[id], COLD_C) for id in ("small", "large"))
    assert small_.kept is large.kept
    assert [net.devices[0].breaker.rating_a for net in (small_, large)] == [6.0, 16.0]
    fault = Fault("fault", ("S1.load", "line"), ("S1.load", "earth"))
    for id, net in (("small", small_), ("large", large)):
        alone = solve(pitch_net(side.layout, side.reaches["inlet"], pitches[id], COLD_C), fault)
        assert solve(net, fault).amps == pytest.approx(alone.amps, abs=1e-9)


def test_the_same_van_on_two_pitches():
    """By hand: 230 V over 0.8 + 0.40 + 0.02 + 0.09 Ω are 176 A; over 50 Ω of electrode 229 V stay."""
    side = example("amberquay")
    assert said(try_case(side, source="large", outlet="S1")) == (
        "On large (TN earth) a live case at S1 stands at 115 V and draws 176 A; "
        "the breaker U1.1 or the post's breaker opens within 0.1 s."
    )
    assert said(try_case(side, source="electrode", outlet="S1")) == (
        "On electrode (TT earth) a live case at S1 stands at 229 V and draws 4.55 A; nothing opens; "
        "who touches it gets 229 mA, and nothing opens."
    )


def test_a_hand_on_the_line_is_seen_by_the_rcd_alone():
    """IEC 61008-1: beyond five times 30 mA an RCD opens within 0.04 s; 230 V drive 230 mA through 1000 Ω."""
    one = try_case(side_of(van()), fault="hand")
    assert one.touches[0].before_ma == pytest.approx(230.0, abs=0.5)
    assert [(o.by, o.after.high) for o in one.clearing.openings] == [("residual", 0.04)]
    assert not try_case(side_of(van()), fault="hand", missing="rcd").clearing.openings


def test_a_lost_earth_waits_for_somebody_to_touch():
    """Common practice: with the earth gone a live case draws nothing, and the RCD sees the person only."""
    one = try_case(side_of(van()), fault="case", missing="post_earth")
    assert one.clearing.openings == ()
    assert one.worst.after_v == pytest.approx(230.0, abs=1.0)
    assert one.held is not None
    assert one.held.openings[0].by == "residual"
    assert one.lasts_s == 0.04


def test_a_lost_neutral_of_two_legs_shares_240_v_by_resistance():
    """120/240 V, 1500 W and 300 W in series: 9.6 and 48 Ω share 240 V as 40 and 200 V (Ohm's law)."""
    runs = (
        M1,
        M2,
        M2.replace("M2", "M3").replace("U1.1", "U1.2").replace("socket", "other"),
        PE,
    )
    text = van(
        parts="""other: {kind: mains_socket, place: kitchen}
        heater: {kind: appliance, power: 1500 W, plugged: socket}
        lamp: {kind: appliance, power: 300 W, plugged: other}""",
        runs=runs,
        pitch=PITCH.replace("current: 16 A", "current: 50 A").replace("0.8 Ω", "0.04 Ω"),
        modes="evening: {hook_up: any, running: [heater, lamp]}",
        region="na",
    )
    side = side_of(text.replace("length: 25 m, area: 2.5 mm²", "length: 5 m, area: 16 mm²"))
    kept, lost = (leg_volts(try_case(side, fault="none", missing=one)) for one in ("", "post_neutral"))
    assert kept == pytest.approx({"heater": 120.0, "lamp": 120.0}, rel=0.03)
    assert lost == pytest.approx({"heater": 40.0, "lamp": 200.0}, rel=0.03)
    assert "V across lamp" in said(try_case(side, fault="none", missing="post_neutral"))


def test_what_names_nothing_of_the_van_counts_as_not_chosen():
    side = example("amberquay")
    asked = Case(
        mode="x", source="<b>", earthing="?", polarity="", fault="fire", outlet="moon", missing="rcd"
    )
    case = settled(side, asked)
    assert (case.mode, case.source, case.earthing, case.fault) == ("hook_up", "small", "tn", "case")
    assert (case.outlet, case.missing) == ("S1", ""), "this van has no RCD that could stick"
    assert "rcd" not in choices_of(side, case).missing


def test_a_plan_without_pitches_stands_on_the_usual_one_of_its_region():
    text = van()
    side = side_of(text[: text.index("supplies:")])
    assert try_case(side).case.source == "usual"
    assert try_case(side).stand.pitch.rated_a == 16.0


def test_a_combined_earth_stands_as_tn_and_an_unknown_one_on_an_electrode_first():
    for typed, stands in (("tn_c_s", "tn"), ("unknown", "tt"), ("none", "none")):
        side = side_of(van(pitch=PITCH.replace("earthing: tn", f"earthing: {typed}")))
        assert settled(side, Case()).earthing == stands


def test_an_inverter_that_floats_drives_nothing_through_a_case():
    """IEC 60364-4-41, 413: one fault of a separated circuit closes no loop (second hand)."""
    side = example("planeshed")
    one = try_case(side, mode="inverter", fault="case")
    bonded = one.before.amps.get("fault", 0.0)
    assert one.case.source == ""
    assert (abs(bonded) > 1.0) == bool(one.clearing.openings)


def test_a_loose_pipe_waits_for_somebody_to_turn_the_tap():
    """Bonded, the RCD of 30 mA sees the fault at once; loose, it sees no more than who touches the pipe."""

    def on_pipe(stands: str):
        side = side_of(van().replace("basis:", f"vehicle: {{pipes: {stands}}}\nbasis:"))
        return try_case(side, fault="pipe")

    bonded, loose = on_pipe("bonded"), on_pipe("loose")
    assert bonded.clearing.openings
    assert bonded.clearing.dangerous_for.high <= 0.3
    assert not loose.clearing.openings
    assert loose.touches[0].thing == "pipe"
    assert loose.touches[0].before_v == pytest.approx(230.0, rel=0.01)
    assert loose.held.openings[0].by == "residual"
    assert "pipe" not in choices_of(side_of(van()), settled(side_of(van()), Case())).faults
