"""The wiring diagram banded by how soon a short is over: which bands, which words, and where they turn."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from loomwright import draw, read_text
from loomwright.assessment.along_record import FAST, FOLDS, NEVER, SLOW, SOON
from loomwright.diagrams.wiring import WiringDrawing, fault_sheets
from loomwright.diagrams.wiring.in_faults import PATTERNS
from loomwright.drawing.dxf import to_dxf
from loomwright.drawing.scene import Band, Sheet, Text, Wire
from loomwright.drawing.spacing_wires import bend_faults, wiring_violations
from loomwright.drawing.svg import to_svg
from tests.diagrams.test_wiring import VANS, checked, sheets
from tests.scenarios.lines import text_of


@cache
def banded(van: str) -> tuple[Sheet, ...]:
    return fault_sheets(checked(van))


def bands(van: str, id: str) -> list[Band]:
    items = (item for sheet in banded(van) for item in sheet.items)
    return [item for item in items if isinstance(item, Band) and item.of == ("wire", id)]


def words(van: str, id: str) -> list[str]:
    said = {FAST, SOON, SLOW, NEVER, FOLDS, "0.1 s", "5 s", "folds"}
    items = (item for sheet in banded(van) for item in sheet.items if isinstance(item, Text))
    return [item.text for item in items if item.of == ("wire", id) and item.text in said]


@pytest.mark.parametrize("van", VANS)
def test_nothing_is_too_near_to_anything(van: str):
    for sheet in banded(van):
        assert [str(fault) for fault in wiring_violations(sheet.items)] == []
        assert bend_faults(sheet.items, 3) == ()


@pytest.mark.parametrize("van", VANS)
def test_every_wire_keeps_its_place_and_colours(van: str):
    for rest, now in zip(sheets(van), banded(van), strict=True):
        assert [w for w in rest.items if isinstance(w, Wire)] == [w for w in now.items if isinstance(w, Wire)]


@pytest.mark.parametrize("van", VANS)
def test_every_wire_that_can_be_shorted_bears_its_bands_and_no_other(van: str):
    """A feed is banded by the words along it; what nothing is known of bears none."""
    along = checked(van).assessment.faults.along
    for id, one in along.items():
        shown = {band.patterns for band in bands(van, id)}
        assert shown, id
        assert shown <= {PATTERNS[stretch.word] for stretch in one.stretches}, id
        assert any(band.edged for band in bands(van, id)) == one.harmed, id
    for wire in checked(van).assessment.wires.values():
        if wire.role == "return":
            assert bands(van, wire.id) == []


def test_the_four_patterns_are_four():
    assert len({PATTERNS[word] for word in (FAST, SOON, SLOW, NEVER)}) == 4


def test_a_red_edge_where_the_cable_burns_and_nowhere_else():
    edged = {b.of.id for van in VANS for sheet in banded(van) for b in sheet.items
             if isinstance(b, Band) and b.edged and b.of is not None}  # fmt: skip
    assert edged == {"T1", "W1.relay"}


def test_a_red_edge_in_every_writing():
    """One closed line more in SVG and in DXF for each band that has it."""
    sheet = banded("mossgrove")[0]
    edged = sum(isinstance(item, Band) and item.edged for item in sheet.items)
    plain = replace(
        sheet, items=tuple(replace(i, edged=False) if isinstance(i, Band) else i for i in sheet.items)
    )
    assert edged == 1
    drawn = [to_svg(one, inline_fonts=False).count(b"<path") for one in (sheet, plain)]
    assert drawn[0] - drawn[1] == edged
    lines = [to_dxf(one).count(b"AcDbPolyline") for one in (sheet, plain)]
    assert lines[0] - lines[1] == edged


def test_a_band_turns_where_the_wire_does():
    """Alderford's V2 begins at the charger, low on the sheet: over under 0.1 s near the battery's fuse alone.

    Its first 1.5 of 3.3 m are the lower 45 % of its line.
    """
    upper, lower = sorted(bands("alderford", "V2"), key=lambda band: min(y for _, y in band.points))
    assert (upper.patterns, lower.patterns) == ((), ("dots",))
    heights = [abs(band.points[0][1] - band.points[-1][1]) for band in (upper, lower)]
    assert heights[1] / sum(heights) == pytest.approx(1.5 / 3.3, abs=0.01)
    assert words("alderford", "V2") == ["0.1 s", SOON]


def test_words_stand_at_the_wires():
    assert words("saltpan", "W5") == [SLOW]
    assert words("alderford", "T1") == [NEVER]
    assert words("mossgrove", "W6") == [FOLDS]


def test_legs_of_no_length_are_banded_as_the_end_they_hang_at():
    """Mossgrove's W4 parts at once behind its rear pod: its end is over under 5 s."""
    assert {band.patterns for band in bands("mossgrove", "W4.lamps")} == {("dots",)}


def test_the_overlay_is_named_and_only_one():
    for sheet in banded("alderford"):
        assert sheet.title.endswith(": shorts")
        assert any(isinstance(item, Text) and "Red edge" in item.text for item in sheet.items)


def test_the_same_plan_gives_the_same_sheets():
    again = fault_sheets(checked("amberquay"))
    assert [to_svg(s, inline_fonts=False) for s in again] == [
        to_svg(s, inline_fonts=False) for s in banded("amberquay")
    ]


def test_the_sheet_at_rest_is_the_same_after_it():
    one = WiringDrawing(checked("amberquay"))
    first = [to_svg(sheet, inline_fonts=False) for sheet in one.sheets()]
    one.faults()
    assert [to_svg(sheet, inline_fonts=False) for sheet in one.sheets()] == first


@pytest.mark.parametrize("to", ["svg", "dxf", "pdf"])
def test_it_is_drawn_to_every_format(to: str):
    (made,) = draw(read_text(text_of("planeshed", "")), "faults", to)
    assert len(made) > 10_000
