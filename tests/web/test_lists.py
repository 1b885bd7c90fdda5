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
