"""The van sheet on the page: what is sent to move things, and what a move does to the plan."""

from __future__ import annotations

import pytest

from loomwright.web.thing import Thing
from loomwright.web.work import Work, copy_of

TEXT = """loomwright: 1
title: Board
region: eu
vehicle: {load_space: [3 m, 1.8 m, 1.9 m]}
places:
  seat: [-0.40, 0.50, 0.20]
  kitchen: [0.60, 0.65, 0.50]   # by the door
  rear: [2.80, -0.80, 1.00]
  loft: {}
paths:
  sill: {along: [[-0.40, 0.80, 0.10], [1.20, 0.80, 0.10], [2.80, 0.80, 0.10]], hole: 20 mm}
  floor: {zones: [cab]}
studs: {E1: {place: seat}}
parts:
  house: {kind: battery, place: seat, chemistry: agm, capacity: 80 Ah, resistance: 5 mΩ}
  fridge: {kind: fridge, place: kitchen, running: 5 A}
  tap: {kind: water_pump, place: kitchen, running: 4 A}
  lamp: {kind: lamp, place: rear, running: 1 A}
wiring:
  W0: {from: house.minus, to: E1, area: 16 mm², length: 0.3 m}
  W1: {from: house, fuse: 15 A blade, to: fridge, area: 2.5 mm², return: wire}
  W2: {from: house, fuse: 15 A blade, to: tap, area: 2.5 mm², length: 2.0 m, return: E1}
  W3: {from: house, fuse: 5 A blade, via: sill, to: lamp, area: 1.5 mm², return: wire}
"""


@pytest.fixture
def work() -> Work:
    return Work(copy_of(TEXT, "board.yaml"))


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
    assert kitchen["at"] == [0.6, 0.65, 0.5]
    assert kitchen["with"] == ["fridge", "tap"]
    assert handles["path", "sill", 1]["at"] == [1.2, 0.8, 0.1]
    for number, x, y in kitchen["spots"]:
        view = moving["views"][number]
        for way, mm in enumerate((x, y)):
            axis, edge, per_mm = view["axes"][way]
            assert edge + (mm - view["box"][way]) * per_mm == pytest.approx(kitchen["at"][axis])


def test_bands_bring_what_shorts_do_metre_by_metre(board, work):
    along = board(band="opening")["along"]
    job = work.now().reading.checked.assessment
    one = along["W3"]
    assert one["long"] == pytest.approx(job.wires["W3"].length_m)
    metres = [m for line in one["lines"] for _, _, m in line]
    assert min(metres) == pytest.approx(0.0)
    assert max(metres) == pytest.approx(one["long"])
    assert one["at"][0][1:] == pytest.approx(list(job.faults.along["W3"].at(0.0)))
    faults = board(sheet="faults-1")["along"]["W3"]
    ends = [m for line in faults["lines"] for _, _, m in line]
    assert (min(ends), max(ends)) == pytest.approx((0.0, one["long"]))


def test_a_place_is_moved_told_and_taken_back(page, work):
    answer = act(page, work, "move", kind="place", id="rear", to=[2.8, -0.8, 0.75]).json()
    assert line_of(work, "rear:") == "  rear: [2.80, -0.80, 0.75]"
    assert answer["says"].startswith("rear to 2.80 m rearward, 0.80 m left, 0.75 m up. 2 wires ")
    assert answer["undo"] == "moving rear"
    assert page.post("/change/undo", json={"rev": work.now().rev}).status_code == 200
    assert work.now().text == TEXT


def test_a_corner_is_moved_and_a_part_with_coordinates_of_its_own(page, work):
    answer = act(page, work, "move", kind="path", id="sill", corner=1, to=["1,20", "−0.70", "0.10 m"])
    assert answer.json()["says"].startswith("Corner 2 of sill to 1.20 m rearward, 0.70 m left, 0.10 m up.")
    assert "[1.20, -0.70, 0.10]" in line_of(work, "sill:")
    own = work.now().text.replace("{kind: water_pump,", "{kind: water_pump, at: [0.7, 0.7, 0.1],")
    work.type(own, work.now().rev)
    answer = act(page, work, "move", kind="part", id="tap", to=[0.8, 0.7, 0.1]).json()
    assert "tap to 0.80 m rearward" in answer["says"]
    assert "at: [0.80, 0.7, 0.1]" in line_of(work, "tap: {kind")


@pytest.mark.parametrize(
    "what",
    [
        {"kind": "place", "id": "rear", "to": [1.0, 2.0]},
        {"kind": "place", "id": "rear", "to": [1.0, 2.0, "high"]},
        {"kind": "place", "id": "rear", "to": [1.0, 2.0, 1e9]},
        {"kind": "place", "id": "rear", "to": [1.0, True, 0.0]},
        {"kind": "place", "id": "rear", "to": "[1, 2, 3]"},
        {"kind": "place", "id": "nowhere", "to": [1.0, 2.0, 0.0]},
        {"kind": "wire", "id": "W3", "to": [1.0, 2.0, 0.0]},
        {"kind": "path", "id": "sill", "corner": 9, "to": [1.0, 2.0, 0.0]},
        {"kind": "path", "id": "sill", "corner": "1", "to": [1.0, 2.0, 0.0]},
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_changed(page, work, what):
    text = work.now().text
    answer = act(page, work, "move", **what)
    assert answer.status_code == 422
    assert answer.json()["says"]
    assert work.now().text == text


def test_what_nobody_says_the_place_of_is_listed_and_put_in_the_middle(page, work, board):
    assert "Nobody says where these are: loft, floor</summary>" in board()["van"]
    answer = act(page, work, "put_in_the_middle", id="loft").json()
    assert answer["says"].startswith("loft is in the middle now: move it to where it is.")
    assert answer["chosen"] == Thing("place", "loft")._asdict()
    assert work.now().reading.plan.places["loft"].at is not None
    assert 'data-middle="loft"' not in board()["van"]
    answer = act(page, work, "put_in_the_middle", kind="path", id="floor").json()
    assert answer["chosen"] == Thing("entry", "paths.floor")._asdict()
    assert "Nobody says" not in board()["van"]
    assert work.now().reading.plan.paths["floor"].zones == ("cab",)


def test_a_path_gets_a_corner_and_loses_it_again(page, work):
    answer = act(page, work, "corner", id="sill", corner=0, what="more").json()
    assert "[-0.40, 0.80, 0.10], [0.40, 0.80, 0.10], [1.20, 0.80, 0.10]" in line_of(work, "sill:")
    assert answer["says"].startswith("sill has one corner more. ")
    assert act(page, work, "corner", id="sill", corner=1, what="out").status_code == 200
    assert work.now().text == TEXT
    act(page, work, "corner", id="sill", corner=2, what="more")
    assert "[2.80, 0.80, 0.10], [3.30, 0.80, 0.10]]" in line_of(work, "sill:")
    for wrong in (
        {"corner": 9, "what": "out"},
        {"corner": 0, "what": "away"},
        {"corner": "0", "what": "out"},
    ):
        assert act(page, work, "corner", id="sill", **wrong).status_code == 422
    done = [act(page, work, "corner", id="sill", corner=0, what="out").status_code for _ in range(4)]
    assert done == [200, 200, 200, 422], "the last corner stays"


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
