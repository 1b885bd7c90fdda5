"""The sheet Mains without a browser: what is chosen, what is told, what is refused."""

import json

import pytest

from loomwright.diagrams.tried import chain_of, picture_of
from loomwright.web.examples import example_text
from loomwright.web.mains import sheet, told
from loomwright.web.work import read
from tests.assessment.test_mains_tried import example
from tests.mains.cases import every_case, try_case
from tests.rules.cases_mains import M2, PE, van


def reading(name):
    return read(example_text(name), f"{name}.yaml", None)


def board(page, **chosen):
    return page.get("/board", params={"sheet": "mains", "mains": json.dumps(chosen)}).json()


def test_the_sheet_says_what_opens_and_what_a_person_meets(page):
    shown = board(page, source="tt_16", missing="rcd", fault="case")
    assert shown["sheet"] == "mains"
    assert shown["mains"]["earthing"] == "tt"
    for words in ("On tt_16 (TT earth, RCDs stuck) a live case", "opens within", "licensed person", "mA"):
        assert words in shown["drawing"]
    assert 'data-mains="polarity" data-to="right" aria-pressed="true"' in shown["drawing"]


def test_two_pitches_stand_side_by_side():
    amber = reading("amberquay")
    drawn = sheet(amber, {"source": "large", "beside_source": "electrode", "outlet": "S1"})
    assert drawn.count('<svg class="case"') == 2
    assert "stands at 115 V" in drawn
    assert "stands at 229 V" in drawn
    assert told(amber, {"beside_source": "electrode"})["beside_earthing"] == "tt"


def test_a_page_that_is_loaded_again_shows_the_same(page):
    served = page.get("/", params={"sheet": "mains", "mains": json.dumps({"source": "tt_16"})}).text
    assert 'data-mains="source" data-to="tt_16" aria-pressed="true"' in served


def test_what_is_chosen_stays_while_the_plan_changes(page):
    now = board(page)
    show = {"sheet": "mains", "mains": json.dumps({"source": "tt_16"})}
    after = page.post("/change/undo", json={"rev": now["rev"], "show": show}).json()
    assert after["mains"]["source"] == "tt_16"


@pytest.mark.parametrize("text", ["{", "[]", "3", '{"source": 3}', " " * 3_000])
def test_what_is_no_choice_is_refused_in_words(page, text):
    answer = page.get("/board", params={"sheet": "mains", "mains": text})
    assert answer.status_code == 422
    assert answer.json()["says"].startswith("mains: a map")


def test_text_of_a_user_stays_text(page):
    shown = board(page, source="<b>", fault="<script>", outlet='"><i>')
    assert "<b>" not in shown["drawing"]
    assert "<i>" not in shown["drawing"]


def test_a_van_without_mains_says_what_it_would_show():
    bare = reading("mossgrove")
    assert told(bare, {}) == {}
    drawn = sheet(bare, {"source": "large"})
    assert 'data-add="part.inlet"' in drawn
    assert "what volts somebody would touch" in drawn


def test_an_inlet_that_feeds_nothing_yet_is_no_dead_end():
    plan = read(van(runs=()), "bare.yaml", None)
    assert "inlet feeds no socket or appliance yet." in sheet(plan, {})
    loose = read(van(runs=(M2, PE)), "loose.yaml", None)
    assert "nothing feeds them yet: socket" in sheet(loose, {})


@pytest.mark.parametrize("name", ["alderford", "amberquay", "planeshed"])
def test_every_case_has_its_picture_with_every_word_inside(name):
    side = example(name)
    for case in list(every_case(side))[::9]:
        one = try_case(side, **{key: getattr(case, key) for key in case.__slots__})
        for after in (False, True):
            chain = chain_of(side, one, after=after)
            picture = picture_of(one, chain, "eu", after=after)
            assert chain[-1].name == case.outlet
            assert all(0 <= word.x <= picture.width and 0 < word.y < picture.height for word in picture.words)


def test_the_picture_bands_what_carries_current_and_opens_what_has_opened():
    side = example("amberquay")
    one = try_case(side, source="large", outlet="S1")
    before, after = (picture_of(one, chain_of(side, one, after=at), "eu", after=at) for at in (False, True))
    bands = [[shape for shape in drawn.shapes if shape.of == "band"] for drawn in (before, after)]
    assert len(bands[0]) == 2 * 5, "line and earth, in post, lead, M1, breaker and M2"
    assert bands[1] == []
    assert "115 V" in {word.text for word in before.words}
    (breaker,) = (stop for stop in chain_of(side, one, after=True) if stop.id == "U1.1")
    assert (breaker.open, breaker.opens, breaker.switched) == ({"line"}, 1, ("line",))


def test_a_lost_earth_is_open_at_the_post():
    side = example("amberquay")
    one = try_case(side, source="large", outlet="S1", missing="post_earth")
    assert chain_of(side, one)[0].open == {"earth"}
