"""What is told when something comes loose: on the slip of a thing, and in the book."""

from __future__ import annotations

import io
from functools import cache

import pypdf
import pytest

from loomwright import read_text
from loomwright.assessment.weak_joints import check_first, weak_joints
from loomwright.documents.book import book_pdf
from loomwright.documents.book.loose import fuse_rows, joint_rows, odd_rows
from loomwright.documents.reasons import Row, reasons
from loomwright.rules.check import Checked, check_plan
from tests.assessment.test_breaks import HEAD, THIN, WIRES
from tests.plans import random_plan

CLUSTER = f"""{HEAD}  brake: {{kind: lamp, place: rear, name: "Brake #light*",
    running: 21 W, behaves: resistance}}
  tail_left: {{kind: lamp, place: rear, running: 5 W, behaves: resistance}}
  tail_right: {{kind: lamp, place: rear, running: 5 W, behaves: resistance}}
  S1: {{kind: switch, place: seat, rating: 5 A}}
  cluster: {{kind: busbar, place: rear}}
  joint: {{kind: splice, place: rear}}
{WIRES}  C1: {{from: P1.1, fuse: 5 A, to: brake, {THIN}, return: {{to: cluster, length: 0.1 m}}}}
  C2: {{from: P1.2, fuse: 5 A, through: S1, to: joint, {THIN}}}
  C4: {{from: joint, to: tail_left, {THIN}, return: {{to: cluster, length: 0.1 m}}}}
  C5: {{from: joint, to: tail_right, {THIN}, return: {{to: E1, length: 0.3 m}}}}
  C3: {{from: cluster, to: E2, {THIN}}}
"""


@cache
def cluster() -> Checked:
    return check_plan(read_text(CLUSTER))


def told(kind: str, id: str, key: str) -> list[Row]:
    slip = reasons(cluster(), kind, id)
    return [row for table in slip.tables if table.key == key for row in table.rows]


def test_the_slip_of_a_lost_earth():
    rows = {row.what: (row.sum, row.value, row.unit) for row in told("wire", "C3", "loose")}
    assert rows["Stops"] == ("Brake #light*, the tail left", "2", "")
    assert rows["The tail left glows dim"][::2] == ("in series, backwards, with S1 off", "V")
    assert rows["The tail right glows dim"][::2] == ("in series, with S1 off", "V")
    # by hand 12 V · 28.8 / (6.86 + 28.8 + 28.8), less some millivolts in the wires
    assert float(rows["The tail left glows dim"][1]) == pytest.approx(5.36, abs=0.07)
    assert rows["Live then, and should be at minus"][0] == "the cluster"
    assert told("stud", "E2", "loose")[0].sum == "Brake #light*, the tail left"


def test_the_slips_of_a_fuse_box_and_a_switch():
    by_way = {row.what: row.sum for row in told("part", "P1", "loose")}
    assert by_way == {"P1 way 1": "stops Brake #light*", "P1 way 2": "stops the tail left, the tail right"}
    assert told("part", "S1", "loose")[0].sum == "the tail left, the tail right"
    titles = [table.title for table in reasons(cluster(), "wire", "main").tables]
    assert "If it comes loose, or its fuse blows" in titles


def test_worn_joints_on_the_slip_are_those_of_the_list():
    joints = [one for one in weak_joints(cluster().assessment) if one.of == "E2"]
    (row,) = told("stud", "E2", "worn")
    assert row.value == f"{1e3 * joints[0].worn_ohm:.1f}"
    assert "W of heat" in row.sum


def test_the_chapter_of_the_book_has_it_all_as_text():
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(book_pdf(cluster()))).pages)
    flat = "".join(text.split())
    for words in ("If something comes loose", "The joints to check first", "Brake #light*", "glows dim"):
        assert "".join(words.split()) in flat
    for row in joint_rows(cluster().assessment):
        assert "".join(row.joint.split()) in flat


@pytest.mark.parametrize("seed", range(3))
def test_rows_of_random_vans(seed: int):
    """Each fuse that carries anything has its row; ten joints at the most, no two of one wire alike."""
    job = check_plan(read_text(random_plan(seed, 40))).assessment
    rows = fuse_rows(job)
    assert len(rows) == sum(one.matters for one in job.breaks.fuses.values()) > 3
    assert all(row.stops or row.quiet for row in rows)
    assert len(joint_rows(job)) == len(check_first(weak_joints(job))) <= 10
    odd, more = odd_rows(job)
    assert more == 0 or len(odd) == 24
