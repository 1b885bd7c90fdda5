"""The sheet "who feeds what": every load in every mode, its reasons, nothing over anything; its tables."""

from functools import cache
from pathlib import Path

import pytest

import loomwright
from loomwright import read_text
from loomwright.diagrams.modes import mode_sheets, told_rows
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Band, Sheet, Text
from loomwright.drawing.spacing import text_on_ink, text_on_text
from loomwright.drawing.svg import to_svg
from loomwright.rules.check import Checked, check_plan
from tests.diagrams.test_wiring import VANS, checked
from tests.plans import big_plan

OUT = Path(__file__).parents[1] / "out" / "modes"


@cache
def big() -> Checked:
    return check_plan(read_text(big_plan(60, 200)))


def words(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Text)]


def in_table(sheet: Sheet) -> list[Text]:
    """Return the texts within the field."""
    texts = (item for item in sheet.items if isinstance(item, Text))
    return [text for text in texts if FIELD_BOX.holds(text.box()) and text.layer == "text"]


@pytest.mark.parametrize("van", VANS)
def test_nothing_stands_over_anything(van: str):
    for sheet in mode_sheets(checked(van)):
        assert text_on_text(sheet.items) == ()
        assert text_on_ink(sheet.items) == ()
        bands = [item for item in sheet.items if isinstance(item, Band)]
        for text in in_table(sheet):
            assert all(text.box().gap(band.box()) > 0.3 for band in bands), text


def test_many_loads_go_on_on_further_sheets_and_none_is_lost():
    found = mode_sheets(big())
    assert len(found) > 1
    for sheet in found:
        assert text_on_text(sheet.items) == ()
        assert text_on_ink(sheet.items) == ()
    told = [text for sheet in found for text in words(sheet)]
    for load in big().assessment.modes.figures["parked"].feeds:
        assert told.count(load) == 1


def test_alderford_as_drawn():
    (sheet,) = mode_sheets(checked("alderford"))
    told = words(sheet)
    assert {"parked vehicle", "hook up", "master off", "Batteries joined"} <= set(told)
    assert "U1/KM is off, its coil waits for S0.master" in told
    assert "U1/KP is off, held so by U1/dp" in told
    assert any(text.startswith("V starter") and "M U1/charger" in text for text in told)
    assert told.count("yes") == 0
    figures = checked("alderford").assessment.modes.figures
    fed = sum(
        bool(by) for figure in figures.values() for by in (*figure.feeds.values(), *figure.charges.values())
    )
    assert sum(isinstance(item, Band) for item in sheet.items) == fed


@pytest.mark.parametrize("van", VANS)
def test_tables_say_what_the_sheet_says(van: str):
    job = checked(van).assessment
    rows = told_rows(job)
    assert [row.id for row in rows if not row.said[0].startswith(("charged", "not charged"))] == list(
        job.modes.figures["parked"].feeds
    )
    for row in rows:
        assert len(row.said) == len(job.modes.figures)


def test_a_name_is_text_and_nothing_else():
    text = """loomwright: 1
title: "<b>&"
region: eu
places: {here: [0, 0, 0]}
studs: {E1: {place: here}}
parts:
  house: {kind: battery, place: here, chemistry: agm, capacity: 100 Ah}
  lamp: {kind: lamp, name: "<i>\\u202e", place: here, running: 1 A}
wiring:
  W1: {from: house.plus, fuse: 5 A, to: lamp, length: 1 m, area: 1.5 mm², return: {to: E1, length: 0.3 m}}
  W2: {from: house.minus, to: E1, area: 16 mm², length: 0.3 m}
modes:
  a_b: {engine: stopped}
"""
    (sheet,) = mode_sheets(check_plan(read_text(text)))
    svg = to_svg(sheet, inline_fonts=False)
    assert b"<b>" not in svg
    assert b"<i>" not in svg


def test_pictures_to_be_looked_at():
    OUT.mkdir(parents=True, exist_ok=True)
    for van in VANS:
        made = to_pdf(mode_sheets(checked(van)))
        assert made.startswith(b"%PDF")
        (OUT / f"{van}.pdf").write_bytes(made)


def test_it_can_be_asked_for():
    plan = read_text((Path(__file__).parents[2] / "examples" / "mossgrove.yaml").read_text("utf-8"))
    (svg,) = loomwright.draw(plan, "modes")
    assert b"Who feeds what" in svg
