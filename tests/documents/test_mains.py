"""The mains side in JSON and on paper: what stands there is what was worked out, absent is null.

By hand (IEC 60228, 20 °C): 0.8 Ω at the post, 25 m + 1 m of 2.5 mm² and 4 m of 2.5 mm², there and back, are
0.8 + 2 · 30 m · 7.98 mΩ/m = 1.279 Ω; 230 V drive 180 A.
"""

from __future__ import annotations

import pytest

from loomwright import check, read_text
from loomwright.documents.lists import Lists
from loomwright.documents.mains import mains_dict
from tests.rules.cases_mains import M1, M2, MAINS, PE, van


def mains(text: str) -> dict:
    return mains_dict(check(read_text(text)).assessment)


def test_a_socket_on_a_pitch_by_hand():
    point = mains(van())["supplies"]["pitch"]["points"]["socket"]
    assert point["loop_ohm"] == pytest.approx(1.279, abs=0.001)
    assert point["fault_current_a"] == pytest.approx(230.0 / 1.279, abs=0.2)
    assert point["touch_v"] == pytest.approx(115.0, abs=0.5)  # half of it: as much copper back as there
    assert point["opens"][0] == {"at": "U1.rcd", "by": "rcd", "at_most_s": 0.04}  # IEC 61008-1 at 5 times
    assert (point["allowed_s"], point["stays_live"]) == (0.4, False)


def test_what_nobody_knows_is_null_and_the_worse_earthing_counts():
    unknown = van(pitch="pitch: {current: 10 A}", box="ways: 2, rcd: 30 mA")
    found = mains(unknown)
    supply = found["supplies"]["pitch"]
    assert (supply["earthing"], supply["polarity"]) == (None, None)
    assert supply["points"]["socket"]["earthing"] == "tt"
    assert found["outlets"]["socket"]["inlet"]["rcd_type"] is None
    assert found["outlets"]["socket"]["inlet"]["breaker_a"] == 10.0
    assert mains(MAINS["no_rcd"].trips)["outlets"]["socket"]["inlet"]["rcd_ma"] is None


LOADS = """kettle: {kind: appliance, power: 900 W, plugged: any}
        heater: {kind: appliance, power: 750 W, plugged: any}
        charger: {kind: mains_charger, place: kitchen, power: 330 W}"""
FEED = "M3: {from: U1.2, breaker: 6 A B 2-pole, to: charger.mains, area: 1.5 mm², length: 1 m}"


def test_what_may_run_on_6_a_by_hand():
    """6 A · 230 V = 1380 W: charger and kettle take 1230 W; all three 1980 W, 8.61 A, 1.435 times."""
    text = van(parts=LOADS, runs=(M1, M2, PE, FEED), pitch="low: {current: 6 A, earthing: tn}")
    table = {one.name: one for one in Lists(check(read_text(text)).assessment).every}["pitch"]
    low = [row for row in table.as_dicts() if row["pitch"] == "low: 6 A, 230 V"]
    first, second, everything = low
    assert set(first["runs"]) == {"kettle", "charger"}
    assert (first["amps_a"], first["spare_w"], first["off"]) == (
        pytest.approx(1230 / 230),
        pytest.approx(150.0),
        ["heater"],
    )
    assert set(second["runs"]) == {"heater", "charger"}
    assert everything["amps_a"] == pytest.approx(1980 / 230)
    assert everything["then"].startswith("holds for")  # under 1.45 times a breaker need not open
    usual = [row for row in table.as_dicts() if row["pitch"] == "16 A, 230 V"]
    assert [set(row["runs"]) for row in usual] == [{"kettle", "heater", "charger"}]
    said = check(read_text(text)).as_text()
    assert "On the pitch\nlow: 6 A, 230 V\n  run kettle, charger: 5.35 A; off: heater\n" in said


def test_a_priority_relay_drops_in_the_order_of_the_plan():
    """Heater 750 W and kettle 900 W on 6 A, 1380 W: the heater goes first, though it is the smaller."""
    relay = "relay: {kind: priority_relay, place: kitchen, power: 1380 W, priority: [heater, kettle]}"
    run = "M4: {from: U1.2, breaker: 10 A B 2-pole, to: relay, area: 2.5 mm², length: 1 m}"
    text = van(parts=f"{LOADS}\n{relay}", runs=(M1, M2, PE, run), pitch="low: {current: 6 A, earthing: tn}")
    table = {one.name: one for one in Lists(check(read_text(text)).assessment).every}["pitch"]
    (held,) = (row for row in table.as_dicts() if row["pitch"].startswith("low") and "relay" in row["then"])
    assert held["then"] == "holds: the priority relay drops heater"
    assert held["runs"] == ["kettle"]
