"""The van sheet on the page: what is sent to move things, and what a move does to the plan."""

from __future__ import annotations

import pytest

from loomwright.web.thing import Thing


@pytest.fixture
def board(page):
    """Return the van sheet as a page asks for it."""
    return lambda **asked: page.get("/board", params={"sheet": "van", **asked}).json()


def act(page, work, name: str, **what):
    return page.post(f"/change/{name}", json={"rev": work.now().rev, "show": {"sheet": "van"}, **what})


def line_of(work, begin: str) -> str:
    return next(line for line in work.now().text.splitlines() if line.strip().startswith(begin))


def test_the_sheet_comes_with_what_moves_things(board):
    shown = board()
    assert shown["sheet"] == "van"
    assert shown["drawing"].startswith("<svg")
    assert shown["along"] is None
    moving = shown["moving"]
    handles = {(one["kind"], one["id"], one.get("corner")): one for one in moving["handles"]}
    kitchen = handles["place", "kitchen", None]
    assert kitchen["at"] == [0.6, 0.68, 0.4]
    assert kitchen["with"] == ["fridge", "socket_kitchen"]
    assert handles["path", "left_sill", 1]["at"] == [-0.3, -0.82, 0.05]
    for number, x, y in kitchen["spots"]:
        view = moving["views"][number]
        for way, mm in enumerate((x, y)):
            axis, edge, per_mm = view["axes"][way]
            assert edge + (mm - view["box"][way]) * per_mm == pytest.approx(kitchen["at"][axis])


def test_bands_bring_what_shorts_do_metre_by_metre(board, work):
    along = board(band="opening")["along"]
    job = work.now().reading.checked.assessment
    one = along["C4"]
    assert one["long"] == pytest.approx(job.wires["C4"].length_m)
    metres = [m for line in one["lines"] for _, _, m in line]
    assert min(metres) == pytest.approx(0.0)
    assert max(metres) == pytest.approx(one["long"])
    assert one["at"][0][1:] == pytest.approx(list(job.faults.along["C4"].at(0.0)))
    faults = board(sheet="faults-3")["along"]["C4"]
    ends = [m for line in faults["lines"] for _, _, m in line]
    assert (min(ends), max(ends)) == pytest.approx((0.0, one["long"]))


def test_a_place_is_moved_told_and_taken_back(page, work):
    before = line_of(work, "tank:")
    answer = act(page, work, "move", kind="place", id="tank", to=[1.45, 0.7, 0.25]).json()
    assert line_of(work, "tank:") == before.replace("0.15", "0.25")
    assert answer["says"].startswith("tank to 1.45 m rearward, 0.70 m right, 0.25 m up.")
    assert answer["undo"] == "moving tank"
    assert page.post("/change/undo", json={"rev": work.now().rev}).status_code == 200
    assert line_of(work, "tank:") == before


def test_a_corner_is_moved_and_a_part_with_coordinates_of_its_own(page, work):
    answer = act(page, work, "move", kind="path", id="left_sill", corner=1, to=["-0,30", "−0.80", "0.05 m"])
    assert answer.status_code == 200
    assert "[-0.30, -0.80, 0.05]" in line_of(work, "left_sill:")
    text = work.now().text
    work.type(
        text.replace("pump: {kind: water_pump,", "pump: {kind: water_pump, at: [1.4, 0.7, 0.1],"),
        work.now().rev,
    )
    answer = act(page, work, "move", kind="part", id="pump", to=[1.5, 0.7, 0.1]).json()
    assert "pump to 1.50 m rearward" in answer["says"]
    assert "at: [1.50, 0.7, 0.1]" in line_of(work, "pump: {kind")


@pytest.mark.parametrize(
    "what",
    [
        {"kind": "place", "id": "tank", "to": [1.0, 2.0]},
        {"kind": "place", "id": "tank", "to": [1.0, 2.0, "high"]},
        {"kind": "place", "id": "tank", "to": [1.0, 2.0, 1e9]},
        {"kind": "place", "id": "tank", "to": [1.0, True, 0.0]},
        {"kind": "place", "id": "tank", "to": "[1, 2, 3]"},
        {"kind": "place", "id": "nowhere", "to": [1.0, 2.0, 0.0]},
        {"kind": "wire", "id": "C4", "to": [1.0, 2.0, 0.0]},
        {"kind": "path", "id": "left_sill", "corner": 9, "to": [1.0, 2.0, 0.0]},
        {"kind": "path", "id": "left_sill", "corner": "1", "to": [1.0, 2.0, 0.0]},
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_changed(page, work, what):
    text = work.now().text
    answer = act(page, work, "move", **what)
    assert answer.status_code == 422
    assert answer.json()["says"]
    assert work.now().text == text


def test_what_nobody_says_the_place_of_is_listed_and_put_in_the_middle(page, work, board):
    assert 'data-middle="cab_floor"' in board()["van"], "a path without points"
    work.type(work.now().text.replace("places:\n", "places:\n  loft: {note: <b>up</b>}\n"), work.now().rev)
    assert "Nobody says where these are: loft, cab_floor" in board()["van"]
    answer = act(page, work, "put_in_the_middle", id="loft").json()
    assert "loft is in the middle now" in answer["says"]
    assert answer["chosen"] == Thing("place", "loft")._asdict()
    assert work.now().reading.plan.places["loft"].at is not None
    assert 'data-middle="loft"' not in board()["van"]


def test_a_path_gets_a_corner_and_loses_it_again(page, work):
    before = line_of(work, "right_sill: {along")
    answer = act(page, work, "corner", id="right_sill", corner=0, what="more").json()
    assert "[1.55, 0.80, 0.05], [1.07, 0.82, 0.05], [0.60, 0.84, 0.05]" in line_of(work, "right_sill: {along")
    assert answer["says"].startswith("right_sill. ")
    assert act(page, work, "corner", id="right_sill", corner=1, what="out").status_code == 200
    assert line_of(work, "right_sill: {along") == before
    act(page, work, "corner", id="roof_gland", corner=0, what="more")
    assert "[1.95, -0.45, 1.88], [2.45, -0.45, 1.88]" in line_of(work, "roof_gland:")
    for wrong in (
        {"corner": 9, "what": "out"},
        {"corner": 0, "what": "away"},
        {"corner": "0", "what": "out"},
    ):
        assert act(page, work, "corner", id="right_sill", **wrong).status_code == 422
    assert act(page, work, "put_in_the_middle", kind="path", id="cab_floor").status_code == 200
    assert act(page, work, "corner", id="cab_floor", corner=0, what="out").status_code == 200
    assert act(page, work, "corner", id="cab_floor", corner=0, what="out").status_code == 422
    assert work.now().reading.plan.paths["cab_floor"].zones == ("cab",)


def test_the_list_has_a_field_for_each_coordinate(board, work):
    shown = board(as_list=True)
    assert shown["moving"] is None
    plan = work.now().reading.plan
    corners = sum(not isinstance(stop, str) for path in plan.paths.values() for stop in path.along or ())
    assert shown["drawing"].count('inputmode="decimal"') == 3 * (len(plan.places) + corners)


def test_a_van_of_which_nobody_says_where_anything_is_has_a_list(page, work):
    work.type("loomwright: 1\ntitle: Bare\nregion: eu\nplaces: {kitchen: {}}\n", work.now().rev)
    shown = page.get("/board", params={"sheet": "van"}).json()
    assert 'class="list spots"' in shown["drawing"]
    assert "data-middle" in shown["van"]
    assert act(page, work, "put_in_the_middle", id="kitchen").json()["drawing"].startswith("<svg")
