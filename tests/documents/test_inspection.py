"""The inspection sheet and the notices: each blank has its expected value and limit, none looks filled in.

By hand (IEC 60228, 20 °C): 1 m + 4 m of 2.5 mm² are 5 · 7.98 mΩ = 0.040 Ω, there and back 0.080 Ω. Largest
loops: BS 7671 Table 41.3 times 0.8 (10 A B: 4.37 Ω, 3.49 Ω cold), Table 41.5 (30 mA: 1667 Ω); on the European
mainland 230 V · 2/3 / 50 A = 3.06 Ω. RCD: 300 ms, and shut at half its current (IEC 61008-1). Order: BS 7671
643, AS/NZS 3017, NEC 551.60.
"""

from __future__ import annotations

import re
from functools import cache

import pymupdf
import pytest

from loomwright import assess, read_text
from loomwright.assessment.record import Assessment
from loomwright.documents.book.inspection import Blank, inspection_steps
from loomwright.documents.book.notice import notices
from loomwright.tables.mains_tests import inspection_order
from tests.diagrams.mains_plans import PLANS
from tests.printed import book
from tests.rules.cases_mains import MAINS, van
from tests.scenarios.lines import checked as of_van

#: What a result, or a certificate, would say.
RESULTS = re.compile(r"\b(pass(ed)?|fail(ed)?|satisfactory|ok|good|certificate|result)\b", re.IGNORECASE)


@cache
def job(text: str) -> Assessment:
    return assess(read_text(text))


def blanks(text: str, test: str) -> dict[str, Blank]:
    steps = {step.test: step for step in inspection_steps(job(text))}
    return {blank.where: blank for blank in steps[test].blanks}


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("region", ["uk", "eu", "na", "au", "nz"])
def test_every_blank_has_its_expected_value_and_limit_in_the_order_of_the_region(name, region):
    text = re.sub(r"region: \w+", f"region: {region}", PLANS[name])
    steps = inspection_steps(job(text))
    order = [test.step for test in inspection_order(region)]
    assert [step.step for step in steps] == [one for one in order if one in {s.step for s in steps}]
    assert set(order) - {step.step for step in steps} <= {"I-5"}  # no supply with an electrode of its own
    for step in steps:
        assert step.blanks
        for blank in step.blanks:
            assert blank.where, step.test
            assert blank.expect, step.test
            assert blank.limit, step.test
            assert not RESULTS.search(" ".join((blank.expect, blank.limit)))


def test_continuity_by_hand():
    found = blanks(van(), "continuity of protective and bonding conductors")
    assert found["earth of inlet to earth of socket (R2; M1, M2)"] == Blank(
        "earth of inlet to earth of socket (R2; M1, M2)", "0.04 Ω", "0.09 Ω with one joint"
    )
    assert found["R1 + R2 at socket, line and earth joined there"].expect == "0.08 Ω"
    bare = blanks(MAINS["shell_not_bonded"].trips, "continuity of protective and bonding conductors")
    assert bare["earth of inlet to the body"].expect == "no bond in the plan: see findings"


@pytest.mark.parametrize(
    ("region", "limit"),
    [
        ("uk", "3.49 Ω for 10 A B; or 1667 Ω for the RCD of 30 mA"),
        ("eu", "3.06 Ω for 10 A B; or 1667 Ω for the RCD of 30 mA"),
        ("nz", "3.68 Ω for 10 A B; or 1667 Ω for the RCD of 30 mA"),  # 230 V · 0.8 / 50 A
    ],
)
def test_loop_limits_by_the_printed_tables(region, limit):
    found = blanks(van(region=region), "earth fault loop")["pitch: socket (Zs)"]
    assert found == Blank("pitch: socket (Zs)", "1.28 Ω, 180 A", limit)


def test_a_loop_that_nothing_opens_on_says_so():
    found = blanks(MAINS["case_stays_live"].trips, "earth fault loop")["pitch: socket (Zs)"]
    assert found.expect.endswith("above, see findings")
    assert found.limit == "no breaker or RCD of the van opens on it: see findings"


def test_rcd_and_short_circuit_by_hand():
    found = blanks(van(), "RCD")
    assert found["U1.rcd at 30 mA"].limit == "300 ms"
    assert found["U1.rcd at 15 mA"].expect == "stays closed"
    short = blanks(van(), "prospective short-circuit current")["pitch: at the inlet, line to neutral"]
    assert short.expect.startswith("192 A; ")  # 230 V / (0.8 + 2 · 25 · 0.00798) Ω
    class_a = blanks(PLANS["north_america"], "residual protection")["S1.rcd at 6 mA"]
    assert class_a.limit == "5.6 s"  # (20/6)^1.43 s, UL 943


def test_the_pins_of_the_inlet_on_the_inverter():
    found = blanks(PLANS["generator"], "function")
    assert found["pins of inlet, lead pulled, while genset feeds"].expect == "dead, pin by pin"
    assert found["genset on, lead pulled: neutral to earth"].expect == "joined"
    two = blanks(PLANS["two_inlets"], "function")
    assert two["pins of inlet_left, lead pulled, while inlet_right feeds"].expect == "dead, pin by pin"
    live = MAINS.get("inlet_live_from_inverter")
    text = live.trips if live is not None else van(
        parts="inverter: {kind: inverter, place: kitchen, power: 300 W, neutral_bond: none}",
        runs=("M1: {from: inlet, to: U1, area: 2.5 mm²}", "M2: {from: inverter, to: U1, area: 2.5 mm²}",
              "M3: {from: U1.1, breaker: 10 A B 2-pole, to: socket, area: 2.5 mm²}"),
    )  # fmt: skip
    assert blanks(text, "function")["pins of inlet, lead pulled, while inverter feeds"].expect.startswith(
        "live from inverter"
    )


def test_notices_say_volts_amperes_and_what_to_do():
    (one,) = notices(of_van("alderford").assessment)
    assert one.ratings.split() == ["230", "V", "~", "50", "Hz", "16", "A"]
    words = " ".join((*one.connect, *one.disconnect, one.test))
    for word in ("Main switch off", "Unwind the lead wholly", "test button", "Guides differ", "three years"):
        assert word in words
    (split,) = notices(job(PLANS["two_legs"]))
    assert split.ratings.startswith("120/240 V ~")
    assert any("RCD (S1)" in line for line in split.connect)
    assert notices(of_van("planeshed").assessment) == ()


def test_the_pages_are_there_for_vans_with_mains_only():
    with pymupdf.open(stream=book("alderford")) as document:
        texts = [page.get_text() for page in document]
    found = [text for text in texts if "Expected, worked out" in text]
    assert "For the licensed person who inspects and tests" in " ".join(found[0].split())
    assert sum("To disconnect" in text for text in texts) == 1
    assert inspection_steps(of_van("mossgrove").assessment) == ()
    assert notices(of_van("mossgrove").assessment) == ()
    for text in found:
        assert not RESULTS.search(text), RESULTS.search(text)
