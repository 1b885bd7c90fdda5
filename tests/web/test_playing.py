"""Play without a browser: what the page is told of a state, and what it refuses."""

import json

import pytest

from loomwright.web.playing import Play, Played
from loomwright.web.thing import Thing


def board(page, sets=None, **more):
    """Return what the page is told with the van in a state."""
    play = json.dumps({"mode": more.pop("mode", "parked"), "sets": sets or {}, "sun": more.pop("sun", False)})
    return page.get("/board", params={"sheet": "wiring-3", "play": play, **more}).json()


def test_at_rest_nothing_is_played(page):
    told = page.get("/board", params={"sheet": "wiring-3"}).json()
    assert (told["playing"], told["play"]) == (None, "")
    assert "at rest" in told["caution"]
    assert 'data-layer="overlay"' not in told["drawing"]


def test_a_state_is_drawn_and_told(page):
    told = board(page, {"S3": "off"})
    assert told["playing"]["positions"]["S3"] == "off"
    assert told["playing"]["hand"]["S3"] == ["off", "on"]
    assert "kitchen_strip" not in told["playing"]["on"]
    assert "kitchen_strip" in board(page)["playing"]["on"]
    assert "parked, changed" in told["caution"]
    assert 'data-layer="overlay"' in told["drawing"]
    assert "U1/KS" not in told["playing"]["hand"], "a relay is moved by its coil, not by a hand"


def test_what_is_not_in_the_plan_is_left_out(page):
    told = board(page, {"S99": "on", "S3": "sideways", "<b>": "&"}, mode="flying")
    assert told["playing"]["sets"] == {}
    assert told["playing"]["mode"] == "parked"


@pytest.mark.parametrize(
    "text",
    ["{", "[]", "3", '{"sets": []}', '{"sets": {"S3": 1}}', '{"mode": 3}', '{"sun": "yes"}', " " * 30_000],
)
def test_what_is_no_state_is_refused_in_words(page, text):
    answer = page.get("/board", params={"play": text})
    assert answer.status_code == 422
    assert answer.json()["says"].startswith("play: a map of mode, sets")


def test_an_engine_that_runs_has_its_ignition_on(work):
    play = Play(work.now().reading, Played(sets={"@engine": "running"}))
    assert play.figure.positions["@ignition"] == "on"
    assert play.figure.positions["b2b"] == "on"


def test_the_sun_makes_the_regulator_give(work):
    reading = work.now().reading
    dark, bright = (Play(reading, Played(sun=sun)).flow.gives_a for sun in (False, True))
    assert dark.get("regulator", 0.0) == 0.0
    assert bright["regulator"] > 5.0


def test_who_feeds_a_wire_now_and_through_what(work):
    reading = work.now().reading
    told = Play(reading, Played()).fed_now(Thing("wire", "C2"))
    assert "leisure" in told
    assert "S3" in told
    assert "0.96 A" in told or "960 mA" in told
    off = Play(reading, Played(sets={"S3": "off"})).fed_now(Thing("wire", "C2"))
    assert "Nothing." in off
    assert "S3, Switch of the kitchen strip is off" in off
    pulled = Play(reading, Played(sets={"fuse U1/ways_s.1": "pulled"})).fed_now(Thing("wire", "C2"))
    assert "fuse U1/ways_s.1 is pulled" in pulled
    back = Play(reading, Played()).fed_now(Thing("wire", "C2.return"))
    assert "Where does this lead back to now?" in back
    assert "leisure" in back
    assert "0.96 A" in back or "960 mA" in back
    dark = Play(reading, Played(sets={"S3": "off"})).fed_now(Thing("wire", "C2.return"))
    assert "Nothing comes back here." in dark


LATCHING = """loomwright: 1
title: Latching
region: eu
places: {here: [0, 0, 0]}
studs: {E1: {place: here}}
parts:
  house: {kind: battery, place: here, chemistry: lifepo4, capacity: 100 Ah}
  button: {kind: switch, place: here}
  K1: {kind: relay, place: here, latching: yes, coil: 0.2 A, rating: 40 A}
  charger: {kind: mains_charger, place: here, current: 20 A}
  K2: {kind: sensing_relay, place: here, cut_in: 13.3 V, cut_out: 12.8 V, delay: 20 s, rating: 40 A}
  lamp: {kind: lamp, place: here, running: 1 A}
  heater: {kind: heat_mat, place: here, running: 3 A}
wiring:
  W0: {from: house.minus, to: E1, area: 16 mm², length: 0.3 m}
  W1: {from: house, fuse: 5 A high_breaking, through: K1, to: lamp, area: 1.5 mm², return: {to: E1}}
  W2: {from: house, fuse: 3 A high_breaking, through: button, to: K1.86, area: 1 mm², return: {to: E1}}
  W3: {from: charger, fuse: 25 A high_breaking, to: house, length: 1 m, area: 6 mm²}
  W5: {from: charger.minus, to: E1, length: 1 m, area: 6 mm²}
  W4: {from: house, fuse: 5 A high_breaking, through: K2, to: heater, area: 1.5 mm², return: {to: E1}}
"""


def test_what_turns_by_itself_begins_as_it_stood(work):
    reading = work.type(LATCHING, work.now().rev).reading
    on = Play(reading, Played(sets={"button": "on"}))
    assert on.figure.positions["K1"] == "on"
    let_go = Played(sets={"button": "off"}, stood={"K1": "on"})
    assert Play(reading, let_go).figure.positions["K1"] == "on", "a latching relay stays"
    assert Play(reading, Played(sets={"button": "off"})).figure.positions["K1"] == "off"


def test_a_delay_holds_a_relay_until_it_is_over(work):
    reading = work.type(LATCHING, work.now().rev).reading
    there = {"@hook_up": "there"}
    assert Play(reading, Played(sets=there)).figure.positions["K2"] == "closed"
    waits = Play(reading, Played(sets={**there, "delay K2": "runs"}))
    assert waits.figure.positions["K2"] == "open", "it has not closed yet"
    held = Play(reading, Played(sets={"delay K2": "runs"}, stood={"K2": "closed"}))
    assert held.figure.positions["K2"] == "closed", "it has not opened yet"


def test_a_management_that_gives_nothing_leaves_the_van_dark(work):
    reading = work.type(LATCHING, work.now().rev).reading
    stood = {"K1": "on"}
    dark = Play(reading, Played(sets={"management house": "gives nothing"}, stood=stood))
    assert dark.figure.feeds["lamp"] == frozenset()
    assert "lamp" not in dark.flow.loads
    fed = Play(reading, Played(sets={"management house": "gives nothing", "@hook_up": "there"}, stood=stood))
    assert fed.figure.feeds["lamp"] == {"charger"}
    assert fed.flow.loads["lamp"].amps == pytest.approx(1.0)
    full = Play(
        reading, Played(sets={"management house": "takes no charge", "@hook_up": "there"}, stood=stood)
    )
    assert full.figure.charges["house"] == frozenset()
    assert full.flow.gives_a["house"] >= 0.0
    assert {"management house", "delay K2"} <= full.told()["hand"].keys()


def test_a_state_that_is_kept_is_a_mode_like_any_other(page, work):
    play = json.dumps({"mode": "driving", "sets": {"S3": "off", "fuse D2": "pulled"}, "sun": True})
    asked = {"rev": work.now().rev, "id": "night_drive", "play": play}
    answer = page.post("/change/keep_state", json=asked)
    assert answer.status_code == 200, answer.text
    mode = work.now().reading.plan.modes["night_drive"]
    assert (mode.engine, mode.hook_up, mode.switches["S3"]) == ("running", "none", "off")
    assert not any(id.startswith(("@", "fuse")) for id in mode.switches)
    assert "The sun, pulled fuses, delays and managements are not kept" in answer.json()["says"]
    assert work.now().reading.checked.assessment.modes.figures["night_drive"].positions["S3"] == "off"
    again = page.post("/change/keep_state", json=asked | {"rev": work.now().rev})
    assert again.status_code == 422
    assert "night_drive" in again.json()["says"]


def test_names_of_a_plan_are_text_in_the_strip(page, work):
    text = work.now().text.replace("Switch of the kitchen strip", "<i>&quot;S\\u00e4ge</i>")
    work.type(text, work.now().rev)
    told = board(page)
    assert "<i>" not in told["play"]
    assert "&lt;i&gt;" in told["play"]
