"""The tables on the system sheet: what each source gives by state, and what charges whom."""

import pytest

from loomwright.diagrams.system import system_sheets
from loomwright.diagrams.system.amperes import CHARGED, HEAD
from loomwright.drawing.scene import Sheet, Text
from tests.diagrams.test_wiring import VANS, checked


def texts(sheet: Sheet) -> list[Text]:
    return [item for item in sheet.items if isinstance(item, Text)]


def row(sheet: Sheet, name: str) -> list[str]:
    """Return the row of the table that begins with a name, from the left."""
    all_texts = texts(sheet)
    head = next(text for text in all_texts if text.text == HEAD)
    ids = [text for text in all_texts if text.text == name and text.at[0] == head.at[0] and text.size == 2.6]
    (id,) = ids
    return [text.text for text in all_texts if text.at[1] == id.at[1] and text is not id and text.size == 2.6]


@pytest.mark.parametrize("van", VANS)
def test_every_van_has_both(van: str):
    (sheet,) = system_sheets(checked(van))
    words = {text.text for text in texts(sheet)}
    assert {HEAD, CHARGED} <= words


def test_alderford_by_state():
    """With all loads on the B2B gives its 25 A while driving, on hook-up the charger its 18 A."""
    (sheet,) = system_sheets(checked("alderford"))
    job = checked("alderford").assessment
    assert row(sheet, "b2b") == ["–", "25 A", "–", "–"]
    assert row(sheet, "U1/charger") == ["–", "–", "18 A", "–"]
    parked = job.flows.of(job.modes.figures["parked"]).gives_a["leisure"]
    assert row(sheet, "leisure")[0] == f"{parked:.3g} A"
    assert row(sheet, "leisure")[1].startswith("−")
    told = [text.text for text in texts(sheet)]
    assert "leisure: regulator (sun), b2b (driving), U1/charger (hook-up)" in told
    assert "starter: regulator.second (sun), alternator (driving)" in told


def test_the_tables_stand_above_the_mains():
    (sheet,) = system_sheets(checked("alderford"))
    band = next(text for text in texts(sheet) if text.text == "MAINS")
    assert all(text.at[1] < band.at[1] for text in texts(sheet) if text.text in (HEAD, CHARGED))
