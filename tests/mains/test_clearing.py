"""What opens after a fault: cases that can be told by hand, then laws that hold for every net."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.mains.breakers import breaker_time
from loomwright.mains.clearing import Clearing, clear
from loomwright.mains.net import BODY, GROUND, Breaker, Device, Fault, Link, Net, Residual, solve
from loomwright.units import Band
from tests.mains.nets import EARTH, LINE, NEUTRAL, inverter, van

TO_EARTH = Fault("fault", LINE, EARTH)
NEUTRAL_TO_EARTH = Fault("fault", NEUTRAL, EARTH)
ACROSS = Fault("fault", LINE, NEUTRAL)
NEVER_DANGEROUS = Band(0.0, 0.0)


def opened(clearing: Clearing) -> list[tuple[str, str]]:
    return [(opening.device, opening.by) for opening in clearing.openings]


def test_the_rcd_opens_before_the_breaker_has_to():
    clearing = clear(van(), TO_EARTH, [BODY])
    assert opened(clearing) == [("rcd", "residual")]
    assert clearing.openings[0].after == Band(0.0, 0.04)
    assert clearing.openings[0].others == ("breaker",)  # which may act at once
    assert not clearing.sure
    assert clearing.volts_at_start[BODY] > 50.0
    assert clearing.volts_after[BODY] < 1e-6
    assert clearing.dangerous_for == Band(0.0, 0.04)
    assert (clearing.never, clearing.still_live) == (False, ())


def test_a_breaker_alone_ends_a_fault_where_the_loop_is_low():
    clearing = clear(van(rcd=False), TO_EARTH, [BODY])
    assert opened(clearing) == [("breaker", "breaker")]
    assert clearing.sure
    assert clearing.dangerous_for == Band(0.0, 0.1)


@pytest.mark.parametrize(("rcd", "latest_s"), [(True, 0.04), (False, math.inf)])
def test_behind_an_electrode_only_the_rcd_sees_a_fault(rcd, latest_s):
    clearing = clear(van(electrode_ohm=100.0, rcd=rcd), TO_EARTH, [BODY])
    assert clearing.amps_at_start == pytest.approx(230.0 / 101.0, abs=0.05)  # less what the kettle drops
    assert clearing.never is not rcd
    assert clearing.dangerous_for.high == latest_s


def test_a_breaker_of_one_pole_leaves_a_reversed_line_on():
    """It opens what is the supply's neutral: the short is over, and the socket is live on both pins."""
    clearing = clear(van(reversed_supply=True, poles=1, rcd=False), ACROSS, [BODY])
    assert opened(clearing) == [("breaker", "breaker")]
    assert not clearing.never
    assert set(clearing.still_live) == {LINE, NEUTRAL, ("way", "line"), ("way", "neutral")}
    two_poles = clear(van(reversed_supply=True, poles=2, rcd=False), ACROSS, [BODY])
    assert (opened(two_poles), two_poles.still_live) == (opened(clearing), ())
    assert clear(van(poles=1, rcd=False), ACROSS, [BODY]).still_live == ()


def test_a_breaker_of_one_pole_never_sees_the_line_of_a_reversed_supply():
    clearing = clear(van(reversed_supply=True, poles=1, rcd=False), NEUTRAL_TO_EARTH, [BODY])
    assert (clearing.openings, clearing.never) == ((), True)
    assert clearing.dangerous_for.high == math.inf


def test_without_its_earth_the_body_is_live_until_someone_touches_it():
    lost = ("lead.earth", "tyres")
    nobody = clear(van(lost=lost), TO_EARTH, [BODY])
    assert (nobody.openings, nobody.never) == ((), False)
    assert nobody.volts_at_start[BODY] == pytest.approx(230.0, abs=3.0)  # less what the kettle drops
    assert nobody.dangerous_for == Band(math.inf, math.inf)
    someone = clear(van(lost=lost), TO_EARTH, [BODY], person=(BODY, GROUND))
    assert opened(someone) == [("rcd", "residual")]
    assert someone.openings[0].amps == pytest.approx(0.23, abs=0.003)
    assert someone.dangerous_for == Band(0.0, 0.04)
    unguarded = clear(van(lost=lost, rcd=False), TO_EARTH, [BODY], person=(BODY, GROUND))
    assert (unguarded.openings, unguarded.never) == ((), True)


def test_the_first_fault_on_a_floating_inverter_trips_nothing_and_touches_nobody():
    clearing = clear(inverter(bonded=False), TO_EARTH, [BODY])
    assert (clearing.openings, clearing.never) == ((), False)
    assert clearing.dangerous_for == NEVER_DANGEROUS


def test_a_bonded_inverter_trips_its_rcd_though_it_can_trip_no_breaker():
    clearing = clear(inverter(bonded=True), TO_EARTH, [BODY])
    assert opened(clearing) == [("rcd", "residual")]
    assert clearing.openings[0].amps == pytest.approx(20.0, rel=1e-4)
    both = Device("breaker", ("rcd.line",), ("rcd.line",), Breaker(16.0, "B"))
    alone = clear(replace(inverter(bonded=True), devices=(both,)), TO_EARTH, [BODY])
    assert alone.openings == ()  # 20 A is 1.25 times 16 A: it may open within hours, and need not
    assert (alone.never, alone.sure) == (True, False)


def test_links_that_were_open_before():
    """The socket's neutral is out: a fault of its line is fed all the same."""
    clearing = clear(van(), TO_EARTH, [BODY], opened=frozenset({"wire.neutral"}))
    assert clearing.opened == {"wire.neutral", "rcd.line", "rcd.neutral"}
    assert clearing.still_live == ()
    assert clearing.amps_at_start > 100.0


def test_metal_that_the_net_does_not_have():
    with pytest.raises(ValueError, match="hand: no node sink in this net"):
        clear(van(), TO_EARTH, [("sink", "")])


def with_pitch(net: Net, pitch: Residual) -> Net:
    """Return a net with a residual device at the pitch ahead of the van's own."""
    cores = ("lead.line", "lead.neutral")
    return replace(net, devices=(*net.devices, Device("pitch", cores, cores, residual=pitch)))


def test_a_selective_device_at_the_pitch_waits_for_the_vans():
    net = van(electrode_ohm=100.0)
    waits = clear(with_pitch(net, Residual(0.1, "selective")), TO_EARTH, [BODY])
    assert opened(waits) == [("rcd", "residual")]
    assert waits.sure
    races = clear(with_pitch(net, Residual(0.03)), TO_EARTH, [BODY])
    assert len(races.openings) == 1
    assert not races.sure


def test_what_has_waited_goes_on_from_there():
    """Common practice: a slow overload behind a faster breaker does not begin anew when another load goes."""
    links = [
        Link("bond", ("grid", "neutral"), GROUND, 0.0),
        Link("main", ("grid", "line"), ("board", "line"), 0.0),
        Link("one", ("board", "line"), ("heater", "line"), 0.0),
        Link("heat", ("heater", "line"), ("grid", "neutral"), 2.3),
        Link("rest", ("board", "line"), ("grid", "neutral"), 2.3),
    ]
    feeds = van().feeds
    slow = Device("slow", ("main",), ("main",), Breaker(50.0, "D"))
    quick = Device("quick", ("one",), ("one",), Breaker(16.0, "B"))
    clearing = clear(Net(links, feeds, [slow, quick]), None, [])
    first, second = clearing.openings
    assert (first.device, second.device) == ("quick", "slow")
    assert second.after.high > first.after.high
    alone = clear(Net([x for x in links if x.id != "heat"], feeds, [slow]), None, []).openings[0]
    assert second.after.high == alone.after.high  # the longest of its times, from the start
    assert second.after.low < alone.after.low


def test_a_current_that_rises_counts_with_what_it_was():
    """Two breakers side by side: when one has opened, the other takes all, and may be as late as before."""
    line, far = ("grid", "line"), ("load", "line")
    links = [
        Link("bond", ("grid", "neutral"), GROUND, 0.0),
        Link("one", line, far, 0.01),
        Link("two", line, far, 0.01),
        Link("load", far, ("grid", "neutral"), 0.95),
    ]
    devices = [
        Device("slow", ("one",), ("one",), Breaker(50.0, "D")),
        Device("quick", ("two",), ("two",), Breaker(10.0, "B")),
    ]
    first, second = clear(Net(links, van().feeds, devices), None, []).openings
    assert (first.device, second.device) == ("quick", "slow")
    assert second.amps > 1.8 * first.amps
    assert second.after.high == pytest.approx(breaker_time("D", 50.0, first.amps).high)
    assert second.after.low == breaker_time("D", 50.0, second.amps).low > first.after.high


def test_the_one_that_is_surely_first_opens_first():
    """At 2.3 A a selective device of 0.1 A needs 0.05 to 0.15 s, a general one of 1.5 A up to 0.30 s."""
    late = Device("rcd", ("rcd.line", "rcd.neutral"), ("rcd.line", "rcd.neutral"), residual=Residual(1.5))
    net = replace(van(electrode_ohm=100.0, rcd=False), devices=(late,))
    opening = clear(with_pitch(net, Residual(0.1, "selective")), TO_EARTH, [BODY]).openings[0]
    assert (opening.device, opening.after, opening.others) == ("pitch", Band(0.05, 0.15), ("rcd",))


def test_danger_lasts_beyond_an_opening_that_does_not_end_it():
    clearing = clear(van(reversed_supply=True, poles=1, rcd=False), ACROSS, [LINE])
    assert len(clearing.openings) == 1
    assert min(clearing.volts_at_start[LINE], clearing.volts_after[LINE]) > 50.0
    assert clearing.dangerous_for == Band(math.inf, math.inf)


def test_whoever_holds_on_is_counted_once():
    """Behind 1000 Ω a person of 1000 Ω has half of the volts."""
    net = van(lost=("lead.earth", "tyres", "kettle"), rcd=False)
    fault = Fault("fault", LINE, EARTH, 1000.0)
    held = clear(net, fault, [BODY], person=(BODY, GROUND)).volts_at_start
    assert held == {BODY: pytest.approx(115.0, abs=0.1)}
    assert held[BODY] == pytest.approx(clear(net, fault, [BODY]).volts_at_start[BODY])


ohms = st.floats(0.01, 2.0)
nets = st.fixed_dictionaries(
    {
        "electrode_ohm": st.none() | st.floats(5.0, 2000.0),
        "reversed_supply": st.booleans(),
        "poles": st.sampled_from([1, 2]),
        "lost": st.sampled_from([(), ("lead.earth",), ("lead.neutral",), ("kettle",)]),
        "lead_ohm": ohms,
    }
)
faults = st.builds(
    Fault, st.just("fault"), st.sampled_from([LINE, NEUTRAL]), st.sampled_from([EARTH, BODY]), ohms
)


@settings(max_examples=40, deadline=None)
@given(nets, faults, st.booleans())
def test_taking_an_rcd_away_never_shortens_the_danger(wanted, fault, held):
    person = (BODY, GROUND) if held else None
    with_, without = (clear(van(**wanted, rcd=rcd), fault, [BODY], person) for rcd in (True, False))
    assert with_.dangerous_for.high <= without.dangerous_for.high


@settings(max_examples=40, deadline=None)
@given(nets, faults, st.floats(1.0, 5.0))
def test_a_longer_lead_never_raises_the_current_of_a_fault(wanted, fault, times):
    short = solve(van(**wanted), fault).amps["fault"]
    long = solve(van(**wanted | {"lead_ohm": times * wanted["lead_ohm"]}), fault).amps["fault"]
    if (fault.a == NEUTRAL) is wanted["reversed_supply"]:  # at the supply's line, not at its neutral
        assert abs(long) <= abs(short) * (1.0 + 1e-9) + 1e-9


@settings(max_examples=40, deadline=None)
@given(nets, ohms)
def test_with_two_poles_everywhere_a_reversed_supply_changes_no_verdict(wanted, ohm):
    def verdict(reversed_supply: bool) -> tuple[object, ...]:
        core = NEUTRAL if reversed_supply else LINE  # where the supply's line arrives
        net = van(**wanted | {"poles": 2, "reversed_supply": reversed_supply, "lost": ()})
        c = clear(net, Fault("fault", core, EARTH, ohm), [BODY])
        return opened(c), c.never, c.sure, c.still_live, c.dangerous_for, pytest.approx(c.amps_at_start)

    assert verdict(False) == verdict(True)


@settings(max_examples=40, deadline=None)
@given(nets, faults, st.booleans())
def test_currents_at_every_node_sum_to_nothing(wanted, fault, held):
    net, person = van(**wanted), (BODY, GROUND) if held else None
    state = solve(net, fault, person=person)
    sums = dict.fromkeys(net.nodes, 0.0)
    ends = [(link.id, link.a, link.b) for link in (*net.links, Link(*fault))]
    ends += [(feed.id, feed.low, feed.high) for feed in net.feeds]
    ends += [("person", *person)] if person else []
    for name, a, b in ends:
        sums[a] -= state.amps[name]
        sums[b] += state.amps[name]
    assert max(map(abs, sums.values())) < 1e-7
