"""The sheet of lists says in tables what the drawings say: everything is there, and can be chosen."""

from __future__ import annotations

from fastapi.testclient import TestClient

from loomwright.documents.report import is_listed
from loomwright.web.work import Work


def test_every_finding_wire_stud_and_part_can_be_chosen(page: TestClient, work: Work):
    lists = page.get("/board?sheet=list").json()["drawing"]
    reading = work.now().reading
    job = reading.checked.assessment
    wanted = [("finding", str(number)) for number in range(1, len(reading.checked.findings) + 1)]
    wanted += [("wire", wire.id) for wire in job.wires.values() if is_listed(wire)]
    wanted += [("stud", id) for id in job.studs]
    wanted += [("part", id) for id in reading.plan.parts]
    assert len(wanted) > 60
    assert [pair for pair in wanted if 'data-kind="{}" data-id="{}"'.format(*pair) not in lists] == []


def test_figures_are_those_of_check(page: TestClient):
    """The thin pump feed of the demo van: 0.38 V running, 1.36 V at its start, as its reasons say."""
    lists = page.get("/board?sheet=list").json()["drawing"]
    row = next(line for line in lists.splitlines() if 'data-id="pump"' in line and "mΩ" in line)
    assert "0.38 V, 3.2 %" in row
    assert "1.36 V, 11.3 %" in row


def test_a_finding_leads_to_the_sheet_that_draws_it(page: TestClient):
    things = page.get("/board").json()["things"]
    finding = next(thing for thing in things if thing["kind"] == "finding" and thing["id"] == "2")
    wire = next(thing for thing in things if thing["kind"] == "wire" and thing["id"] == "C4")
    laid = [key for key in wire["sheets"] if key.startswith(("van", "loom"))]
    assert laid[0] == "van"
    assert len(laid) == 2
    assert [key for key in wire["sheets"] if key not in laid] == ["wiring-3", "faults-3"]
    assert [key for key in finding["sheets"] if not key.startswith(("van", "loom"))] == [
        "wiring-3",
        "faults-3",
    ]


def test_the_lists_of_the_loom_stand_on_the_sheet_and_their_names_can_be_chosen(page: TestClient, work: Work):
    lists = page.get("/board?sheet=list").json()["drawing"]
    for name in ("cuts", "reels", "ends", "splices", "earths", "holes", "order", "weights", "prices"):
        assert f'href="#list-{name}"' in lists
        assert f'id="list-{name}"' in lists
    assert '<tr class="heading"><td colspan="6">2.5 mm², PK, PVC 70 °C, reel 1</td></tr>' in lists
    assert work.now().reading.plan.labels.numbers == {}


def test_numbers_are_given_from_the_lists_in_one_step_and_stand_in_all_of_them(page: TestClient, work: Work):
    rev = work.now().rev
    told = page.post("/change/number", json={"rev": rev, "stay": "yes", "show": {"sheet": "list"}}).json()
    numbers = work.now().reading.plan.labels.numbers
    assert told["says"] == f"{len(numbers)} wires have got a number."
    assert told["sheet"] == "list"
    assert told["chosen"] is None
    c4 = numbers["C4"]
    assert told["drawing"].count(f'<th scope="row">{c4}</th>') == 3  # the cut list and both ends
    again = page.post("/change/number", json={"rev": work.now().rev, "stay": "yes"}).json()
    assert again["says"] == "Every wire has its number already."
    page.post("/change/undo", json={"rev": work.now().rev})
    assert work.now().reading.plan.labels.numbers == {}


def test_a_wire_says_what_it_can_be_found_by_and_what_is_printed_on_it(page: TestClient, work: Work):
    page.post(
        "/change/edit",
        json={"rev": work.now().rev, "edits": [{"at": "labels", "write": {"C4": "140", "V1": "141"}}]},
    )
    board = page.get("/board?sheet=system&kind=wire&id=C4").json()
    said = next(one["said"] for one in board["things"] if (one["kind"], one["id"]) == ("wire", "C4"))
    assert said.startswith("140: blue 1 mm², U1.way_4 > pump; ")
    assert "rear left" in said
    assert "Printed on it: 140" in board["slip"]
    assert ">141 RD 16 mm²<" in board["drawing"]
