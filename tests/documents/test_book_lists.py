"""The CSV lists: the figures of `check`, and no cell that a spreadsheet would run (RFC 4180)."""

from __future__ import annotations

import csv
import io
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright import read_text
from loomwright.documents.book import book_lists
from loomwright.documents.book.lists import cell
from loomwright.rules.check import check_plan
from tests.printed import lists as lists_of
from tests.printed import report as reported
from tests.rules.cases import plan
from tests.scenarios.lines import VANS
from tests.scenarios.lines import checked as of_van

LISTS = ("wires", "fuses", "studs", "joints", "findings", "parts")
#: What makes a spreadsheet take a cell for a formula (as public advice on CSV injection lists it).
FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")


def rows(data: bytes) -> list[dict[str, str]]:
    assert data.startswith(b"\xef\xbb\xbf")
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize("name", VANS)
def test_wires_are_those_of_check(name):
    report = json.loads(json.dumps(reported(name).as_dict()))
    found = rows(lists_of(name)["wires"])
    assert [row["wire"] for row in found] == [cell(wire["id"]) for wire in report["wires"]]
    for row, wire in zip(found, report["wires"], strict=True):
        assert (row["from"], row["to"], row["colour"]) == (wire["from"], wire["to"], wire["colour"])
        for key in ("area_mm2", "length_m", "current_a", "rating_a", "drop_v", "drop_pct"):
            want = wire[key]
            assert (
                row[key] == "" if want is None else float(row[key]) == pytest.approx(want, rel=1e-5, abs=1e-6)
            )
        for fuse in wire["fuses"]:
            assert f"{fuse['rating_a']:g} A" in row["fuses"] if fuse["rating_a"] else "?" in row["fuses"]


@pytest.mark.parametrize("name", VANS)
def test_findings_and_studs_are_those_of_check(name):
    report, lists = json.loads(json.dumps(reported(name).as_dict())), lists_of(name)
    assert [(row["severity"], row["rule"], row["where"]) for row in rows(lists["findings"])] == [
        (one["severity"], one["rule"], one["where"]) for one in report["findings"]
    ]
    studs = {one["id"]: one for one in report["studs"]}
    for row in rows(lists["studs"]):
        assert float(row["current_a"]) == pytest.approx(studs[row["stud"]]["current_a"], rel=1e-5, abs=1e-6)
        assert int(row["rings"]) == studs[row["stud"]]["lugs"]


@pytest.mark.parametrize("name", ["alderford", "saltpan"])
def test_joints_are_those_of_check(name):
    report, lists = json.loads(json.dumps(reported(name).as_dict())), lists_of(name)
    found = rows(lists["joints"])
    assert len(found) == len(report["faults"]["joints"]) > 20
    for row, joint in zip(found, report["faults"]["joints"], strict=True):
        assert (row["joint"], row["of"], row["first"]) == (joint["what"], joint["of"], joint["first"])
        assert float(row["worn_w"]) == pytest.approx(joint["watts_w"], rel=1e-4, abs=1e-6)


@pytest.mark.parametrize("typed", ["=1+1", "+1", "-2+3", "@SUM(A1)", " =1", "a;=1", 'x","=1', "two\nlines"])
def test_a_name_is_never_a_formula(typed):
    quoted = json.dumps(typed)
    text = plan(f"lamp: {{kind: lamp, name: {quoted}, order: {quoted}, place: kitchen, running: 1 A}}", "")
    data = book_lists(check_plan(read_text(text)))
    lamp = next(row for row in rows(data["parts"]) if row["part"] == "lamp")
    assert lamp["name"].replace("'", "") == typed
    for name in LISTS:
        for row in csv.reader(io.StringIO(data[name].decode("utf-8-sig"), newline="")):
            assert not [one for one in row if one.lstrip().startswith(FORMULA) and not _is_figure(one)]


def _is_figure(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


@settings(derandomize=True, max_examples=300, deadline=None)
@given(st.text(alphabet=st.sampled_from("=+-@;,|\t\r\n\" 'a1＝\x00")))
def test_whatever_parts_the_cells_none_is_a_formula(text):
    """A spreadsheet may part cells at a comma, a semicolon, a tab or a line end."""
    for separator in ',;|\n"':
        for piece in cell(text).split(separator):
            assert not piece.lstrip().startswith(FORMULA)


@pytest.mark.parametrize("name", LISTS)
def test_same_plan_same_bytes(name):
    assert book_lists(of_van("saltpan"))[name] == book_lists(of_van("saltpan"))[name]
