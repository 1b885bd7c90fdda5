"""Contrast of every token against the grounds it stands on, as WCAG computes it."""

import re

import pytest

from loomwright.drawing.ink import DAY, EVENING, WIRE_COLOURS, core_width_mm

SETS = {"day": DAY, "evening": EVENING}
GROUNDS = ("paper", "slip", "board", "tint")


def luminance(colour: str) -> float:
    """WCAG 2.1, definition of relative luminance."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """WCAG 2.1, definition of contrast ratio."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_known_pairs():
    """WCAG 2.1: black on white is 21:1, a colour on itself 1:1; grey #767676 on white just passes 4.5:1."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#A8121B", "#A8121B") == pytest.approx(1.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("evening", SETS)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", ["ink", "grey", "accent"])
def test_text_reads_on_every_ground(evening, ground, text):
    """WCAG 2.1, 1.4.3: 4.5:1."""
    colours = SETS[evening]
    assert contrast(colours[text], colours[ground]) >= 4.5


@pytest.mark.parametrize("evening", SETS)
def test_text_reads_on_its_own_ground(evening):
    colours = SETS[evening]
    pairs = [
        ("on_accent", "accent"),
        ("ink", "mark"),
        ("grey", "mark"),
        ("on_danger", "danger"),
        ("paper", "ink"),
    ]
    pairs += [("danger_text", ground) for ground in ("paper", "slip", "board")]
    poor = {pair: contrast(colours[pair[0]], colours[pair[1]]) for pair in pairs}
    assert min(poor.values()) >= 4.5, poor


@pytest.mark.parametrize("evening", SETS)
@pytest.mark.parametrize("line", ["ink", "rule", "danger", "danger_ring", "wire_outline"])
def test_lines_show_on_paper(evening, line):
    """WCAG 2.1, 1.4.11: 3:1. The outline makes every wire visible, whatever its own colour."""
    colours = SETS[evening]
    assert contrast(colours[line], colours["paper"]) >= 3.0
    if line == "rule":
        assert all(contrast(colours[line], colours[ground]) >= 3.0 for ground in GROUNDS)


def test_wire_colours_are_told_apart():
    """Twelve letter pairs of IEC 60757 (from memory), each its own shade."""
    assert set(WIRE_COLOURS) == {"BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ"}
    assert len(set(WIRE_COLOURS.values())) == 12
    assert all(
        re.fullmatch("#[0-9A-F]{6}", colour) for colours in SETS.values() for colour in colours.values()
    )


@pytest.mark.parametrize(
    ("area_mm2", "core_mm"),
    [(0.5, 0.7), (1.5, 0.7), (2.5, 1.0), (6.0, 1.0), (10.0, 2.0), (35.0, 2.0), (50.0, 3.0), (120.0, 3.0)],
)
def test_core_says_how_heavy_a_wire_is(area_mm2, core_mm):
    assert core_width_mm(area_mm2) == core_mm
    assert core_width_mm(area_mm2, 0.75) == pytest.approx(0.75 * core_mm)
