"""Letters and their measures, against the font files as fontTools reads them."""

from importlib.resources import files

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawing.lettering import (
    REPLACEMENT,
    UNKNOWN_WIDTH_EM,
    all_letters_held,
    clean,
    shorten,
    text_reach_mm,
    text_width_mm,
    with_held_letters,
    wrap,
)

FONTS = files("loomwright.drawing").joinpath("fonts")
FACES = {
    (400, False): "LoomwrightSans-Regular",
    (500, False): "LoomwrightSans-Medium",
    (600, False): "LoomwrightSans-SemiBold",
    (400, True): "LoomwrightMono-Regular",
}
#: What the sheets write: units, signs of sums, arrows, quotes and letters of European names.
USED = "0123456789 ABCXYZabcxyz+−×·°±≥≤≈≠ΩΔµ²³√∞→←↑↓–—…‘’“”§%&/()[]<>=#@_'\"€£éßøŁčřőşțñ" + REPLACEMENT


def font(face):
    return TTFont(str(FONTS.joinpath(f"{FACES[face]}.ttf")))


@pytest.mark.parametrize("face", FACES, ids=FACES.values())
def test_every_sign_we_use_is_in_the_face(face):
    letters = font(face).getBestCmap()
    assert [letter for letter in USED if ord(letter) not in letters] == []
    assert all_letters_held(USED, *face)


@pytest.mark.parametrize("face", FACES, ids=FACES.values())
def test_measures_are_those_of_the_font_file(face):
    """Every letter: advance width from hmtx, lowest and highest point from the outline itself."""
    read = font(face)
    glyphs = read.getGlyphSet()
    for code, name in read.getBestCmap().items():
        letter = chr(code)
        if letter.isspace():
            continue
        if clean(letter) == letter:
            assert text_width_mm(letter, 1000.0, *face) == pytest.approx(read["hmtx"][name][0])
        pen = BoundsPen(glyphs)
        glyphs[name].draw(pen)
        if clean(letter) == letter and pen.bounds:
            above, below = text_reach_mm(letter, 1000.0, *face)
            assert (above, -below) == pytest.approx((pen.bounds[3], pen.bounds[1]), abs=1.0)


@pytest.mark.parametrize("face", FACES, ids=FACES.values())
def test_figures_all_take_the_same_width(face):
    assert len({text_width_mm(figure, 10.0, *face) for figure in "0123456789−"}) == 1


@pytest.mark.parametrize("face", FACES, ids=FACES.values())
def test_faces_neither_kern_nor_join(face):
    """So the sum of advance widths is the width, in a browser as in a PDF."""
    assert not {"GPOS", "GSUB", "kern", "morx"} & set(font(face).keys())


@pytest.mark.parametrize("face", FACES, ids=FACES.values())
def test_cut_faces_do_not_bear_the_reserved_name(face):
    """SIL Open Font License 1.1, condition 3: a modified version must not use the reserved name."""
    names = [str(record) for record in font(face)["name"].names if record.nameID in (1, 3, 4, 6, 16)]
    assert names
    assert not [name for name in names if "plex" in name.lower()]
    licence = FONTS.joinpath("OFL.txt").read_text(encoding="utf-8")
    assert 'Reserved Font Name "Plex"' in licence
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence


def test_a_letter_the_face_lacks_has_the_stated_width():
    assert text_width_mm("🚐", 3.0) == pytest.approx(3.0 * UNKNOWN_WIDTH_EM)
    assert not all_letters_held("🚐")
    assert with_held_letters("van 🚐") == f"van {REPLACEMENT}"


@pytest.mark.parametrize(
    ("typed", "drawn"),
    [
        ("pump\x00\x1b", f"pump{REPLACEMENT}{REPLACEMENT}"),
        ("a\tb\r\nc", "a b c"),
        ("\ud800 half", f"{REPLACEMENT} half"),
        ("\u202egnp.exe", f"{REPLACEMENT}gnp.exe"),
        ("\u2066x\u2069\uffff", f"{REPLACEMENT}x{REPLACEMENT}{REPLACEMENT}"),
        ("wa\u00adter\u200b", "water"),
        ("e\u0301 14\u2009Ω \u2126", "é 14 Ω Ω"),
        ("⌀8 \u2206 \u03bcF", "Ø8 Δ µF"),
        ("  two  blanks ", "two blanks"),
        ("</svg>", "</svg>"),
    ],
)
def test_clean_text_is_one_plain_line(typed, drawn):
    assert clean(typed) == drawn


@given(st.text(max_size=60))
def test_cleaning_once_is_enough(text):
    once = clean(text)
    assert clean(once) == once
    once.encode("utf-8")
    assert "\n" not in once


@given(st.text(max_size=120), st.floats(6.0, 60.0), st.sampled_from([400, 500, 600]))
def test_no_line_is_wider_than_asked(text, width, weight):
    lines = wrap(text, width, 3.0, weight)
    assert all(text_width_mm(line, 3.0, weight) <= width + 1e-9 for line in lines)
    assert "".join("".join(lines).split()) == "".join(clean(text).split())
    for most in (1, 2):
        cut = wrap(text, width, 3.0, weight, most_lines=most)
        assert len(cut) <= most
        assert all(text_width_mm(line, 3.0, weight) <= width + 1e-9 for line in cut)
        assert cut == lines or cut[-1].endswith("…")


def test_wrapping_breaks_at_blanks_then_at_joints():
    assert wrap("left post, roof left, rear roof rib", 20.0, 2.9) == (
        "left post, roof",
        "left, rear roof rib",
    )
    assert wrap("kitchen_strip", 12.0, 3.0) == ("kitchen_", "strip")
    assert wrap("W" * 9, 10.0, 3.0) == ("WWWW", "WWWW", "W")
    assert wrap("", 10.0, 3.0) == ()


def test_shortening_says_that_it_shortened():
    assert shorten("pump", 50.0, 3.0) == "pump"
    assert shorten("a long name of a part", 20.0, 3.0).endswith("…")
    with pytest.raises(ValueError, match="no text fits"):
        shorten("pump", 0.5, 3.0)
