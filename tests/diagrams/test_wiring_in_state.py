"""The wiring diagram as it stands in a mode: what moves, what is banded, what stays where it was."""

from dataclasses import replace
from functools import cache

import pytest

from loomwright.diagrams.wiring import WiringDrawing
from loomwright.diagrams.wiring.in_state import InState
from loomwright.drawing.scene import Band, Drawn, Sheet, Symbol, Text, Wire
from loomwright.drawing.spacing_wires import bend_faults, wiring_violations
from loomwright.drawing.svg import to_svg
from tests.diagrams.test_wiring import VANS, checked, sheets

MODES = [(van, mode) for van in VANS for mode in checked(van).assessment.modes.figures]


@cache
def drawing(van: str) -> WiringDrawing:
    return WiringDrawing(checked(van))


@cache
def in_mode(van: str, mode: str, **sets: str) -> tuple[Sheet, ...]:
    """Return the sheets of a van in one of its modes, with something else set by hand."""
    job = checked(van).assessment
    figure = job.modes.figures[mode]
    if sets:
        figure = job.modes.figure(mode, {**figure.sets, **sets})
    return drawing(van).sheets(figure, job.flows.of(figure))


def pulled(van: str, mode: str, fuse: str) -> tuple[Sheet, ...]:
    return in_mode(van, mode, **{f"fuse {fuse}": "pulled"})


def signs(found: tuple[Sheet, ...], device: str) -> set[str]:
    """Return the names of the signs that a device is drawn with."""
    symbols = (item for sheet in found for item in sheet.items if isinstance(item, Symbol))
    return {item.sign.name for item in symbols if item.poses is not None and item.poses.of == device}


def texts(found: tuple[Sheet, ...], kind: str, id: str) -> list[str]:
    items = (item for sheet in found for item in sheet.items if isinstance(item, Text))
    return [item.text for item in items if item.of == (kind, id)]


def bands(found: tuple[Sheet, ...], id: str) -> set[tuple[str, ...]]:
    """Return the patterns behind a wire, on all its stretches; empty if it bears no band."""
    items = (item for sheet in found for item in sheet.items if isinstance(item, Band))
    return {item.patterns for item in items if item.of == ("wire", id)}


@pytest.mark.parametrize(("van", "mode"), MODES)
def test_nothing_is_too_near_to_anything_in_any_mode(van: str, mode: str):
    for sheet in in_mode(van, mode):
        assert [str(fault) for fault in wiring_violations(sheet.items)] == []
        assert bend_faults(sheet.items, 3) == ()


@pytest.mark.parametrize(("van", "mode"), MODES)
def test_only_signs_words_and_bands_differ_from_the_sheet_at_rest(van: str, mode: str):
    def geometry(item: Drawn) -> Drawn:
        if isinstance(item, Symbol):
            return replace(item, sign=BLANK)
        return replace(item, text="", size=1.0) if isinstance(item, Text) else item

    for rest, now in zip(sheets(van), in_mode(van, mode), strict=True):
        before = [geometry(item) for item in rest.items if item.layer != "frame"]
        after = [geometry(item) for item in now.items if item.layer != "frame" and not isinstance(item, Band)]
        assert after[: len(before)] == before
        assert {type(item) for item in after[len(before) :]} <= {Text}


BLANK = next(item.sign for item in sheets("alderford")[0].items if isinstance(item, Symbol))


def test_the_sheet_at_rest_is_the_same_whatever_was_drawn_before():
    one = WiringDrawing(checked("alderford"))
    first = [to_svg(sheet, inline_fonts=False) for sheet in one.sheets()]
    job = checked("alderford").assessment
    figure = job.modes.figures["driving"]
    one.sheets(figure, job.flows.of(figure))
    assert [to_svg(sheet, inline_fonts=False) for sheet in one.sheets()] == first


def test_the_selector_of_alderford_moves_its_relay():
    """On leisure the relay rests on 87a, on vehicle it is on 87; the master's latching relay is shut."""
    rest, moved = in_mode("alderford", "parked"), in_mode("alderford", "parked_vehicle")
    assert signs(rest, "U1/KS") == {"selector_2_5_2"}
    assert signs(moved, "U1/KS") == {"selector_2_5_1"}
    assert signs(rest, "S0.selector") == {"panel_contact"}
    assert signs(moved, "S0.selector") == {"panel_contact_on"}
    assert signs(moved, "U1/KM") == {"relay_contact_on"}


def test_live_wires_are_banded_by_what_makes_them_live():
    rest, moved = in_mode("alderford", "parked"), in_mode("alderford", "parked_vehicle")
    assert bands(rest, "C1") == {("dots", "slant")}, "the leisure battery and the regulator on it"
    assert bands(moved, "C1") == {("slant",)}, "the starter battery, plain, and the regulator's second output"
    assert bands(moved, "C1.return") == set()
    assert bands(moved, "D2") == set(), "nothing signals while the engine stands"
    assert bands(in_mode("alderford", "driving"), "D2") != set()


def test_letters_at_a_wire_say_the_same_as_its_band():
    found = in_mode("alderford", "parked_vehicle")
    assert "VC" in texts(found, "wire", "C1")
    assert not {"V", "L", "C", "VC", "LC"} & set(texts(found, "wire", "C1.return"))


def test_behind_a_pulled_fuse_all_is_dead():
    found = pulled("alderford", "parked", "U1/way_light.1")
    assert signs(found, "fuse U1/way_light.1") == {"fuse_pulled"}
    assert bands(found, "C1") == set()
    assert "0 A" in texts(found, "wire", "C1")
    assert "lamp" in {item.sign.name for sheet in found for item in sheet.items if isinstance(item, Symbol)}


def test_amperes_stand_where_the_length_stood_and_lamps_are_lit():
    found = in_mode("alderford", "parked")
    assert texts(sheets("alderford"), "wire", "C1")[-1] == "2.8 m"
    assert "1.25 A" in texts(found, "wire", "C1")
    symbols = [item for sheet in found for item in sheet.items if isinstance(item, Symbol)]
    lit = {one.of.id for one in symbols if one.of and one.sign.name in ("lamp_lit", "strip_lit")}
    assert lit == {"roof_lights", "kitchen_strip", "bed_strip"}
    off = in_mode("alderford", "parked", S3="off")
    assert signs(off, "S3") == {"switch"}
    assert "off" in [item.text for sheet in off for item in sheet.items if isinstance(item, Text)]


def test_two_way_switches_stand_on_the_line_that_they_join():
    """With both on one line the lamp is on, and both blades lie level on it; one of them moved: it is off."""
    on, off = in_mode("amberquay", "parked"), in_mode("amberquay", "parked", switch_bed="b")
    assert signs(on, "switch_door") == signs(on, "switch_bed")
    assert signs(off, "switch_door") != signs(off, "switch_bed")


def test_every_wire_keeps_its_colours():
    for rest, now in zip(sheets("highcol"), in_mode("highcol", "driving"), strict=True):
        assert [w for w in rest.items if isinstance(w, Wire)] == [w for w in now.items if isinstance(w, Wire)]


def test_a_page_finds_the_contact_of_a_device():
    svg = b"".join(to_svg(sheet, inline_fonts=False) for sheet in in_mode("alderford", "driving"))
    for device in ("S3", "S0.selector", "U1/KS", "fuse U1/ways_s.1"):
        assert f'data-device="{device}"'.encode() in svg


def test_a_mode_of_any_name_is_text_and_nothing_else():
    job = checked("alderford").assessment
    figure = replace(job.modes.figures["parked"], id='<b>&amp;_"off"')
    (svg, *_) = (to_svg(sheet, inline_fonts=False) for sheet in drawing("alderford").sheets(figure))
    assert b"<b>" not in svg
    assert b"&lt;b&gt;&amp;amp;" in svg


def test_without_a_flow_lengths_stay_and_no_lamp_is_lit():
    job = checked("alderford").assessment
    state = InState(job, job.modes.figures["parked"])
    assert not state.is_on("roof_lights")
    assert state.load_words("roof_lights") == ""
