"""The mains side in JSON and on paper: what stands there is what was worked out, absent is null.

By hand (IEC 60228, 20 °C): 0.8 Ω at the post, 25 m + 1 m of 2.5 mm² and 4 m of 2.5 mm², there and back, are
0.8 + 2 · 30 m · 7.98 mΩ/m = 1.279 Ω; 230 V drive 180 A.
"""

from __future__ import annotations

import pytest

from loomwright import check, read_text
from loomwright.documents.mains import mains_dict
from tests.rules.cases_mains import MAINS, van


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
