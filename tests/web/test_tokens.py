"""Colours of the page: only tokens, and each pair that the page itself sets reads as WCAG wants it."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from loomwright.web.markup import tokens_css

STYLES = ("page.css", "start.css")
#: Text of the page and the ground it stands on there.
TEXTS = [
    ("ink", "mark"),  # the chosen line of the text, the chosen row of a list
    ("accent", "paper"),  # number on the tab of the sheet that is shown
    ("grey", "slip"),  # sources and second text of a slip
    ("grey", "tint"),  # help under a field, a tab
    ("ink", "tint"),
    ("on-accent", "accent"),  # the one main button
    ("danger-text", "paper"),  # the words in the caution line
    ("paper", "ink"),  # number of a line that is wrong
]
#: Lines and shapes that carry a meaning, and the ground beside them.
SHAPES = [
    ("accent", "paper"),  # focus, ring and leader on the sheet
    ("accent", "slip"),
    ("accent", "board"),
    ("accent", "tint"),
    ("accent", "mark"),
    ("rule", "paper"),  # borders of fields
    ("rule", "slip"),
    ("rule", "board"),
    ("rule", "tint"),
    ("danger-ring", "paper"),
]


def inks() -> dict[str, dict[str, str]]:
    """Token -> colour, by day and in the evening, as the page gets them."""
    day, evening = tokens_css().splitlines()
    return {
        name: dict(re.findall(r"--([\w-]+):(#[0-9A-F]{6})", css))
        for name, css in (("day", day), ("evening", evening))
    }


def contrast(one: str, other: str) -> float:
    """WCAG 2.1, definitions of relative luminance and of contrast ratio."""

    def luminance(colour: str) -> float:
        channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_a_known_pair():
    """WCAG 2.1: black on white is 21:1; the grey #767676 on white just passes 4.5:1 (common knowledge)."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("light", ["day", "evening"])
@pytest.mark.parametrize(("text", "ground"), TEXTS)
def test_text_reads(light, text, ground):
    """WCAG 2.1, 1.4.3: 4.5:1."""
    assert contrast(inks()[light][text], inks()[light][ground]) >= 4.5


@pytest.mark.parametrize("light", ["day", "evening"])
@pytest.mark.parametrize(("shape", "ground"), SHAPES)
def test_shapes_show(light, shape, ground):
    """WCAG 2.1, 1.4.11: 3:1."""
    assert contrast(inks()[light][shape], inks()[light][ground]) >= 3.0


@pytest.mark.parametrize("name", STYLES)
def test_styles_name_no_colour_but_tokens(name):
    css = files("loomwright.web").joinpath("static", name).read_text()
    used = set(re.findall(r"var\(--([\w-]+)\)", css)) - {"px"}
    assert used <= inks()["day"].keys() == inks()["evening"].keys()
    assert re.findall(r"#[0-9A-Fa-f]{3,8}\b(?=[;\s}!])", css) == []
    for line in css.splitlines():
        if "rgb(" in line:
            assert "shadow" in line or "::backdrop" in line, line


def test_red_is_for_danger_alone():
    for name in STYLES:
        for rule in re.findall(
            r"([^{}]+)\{([^{}]*--(?:danger|on-danger)[^{}]*)\}",
            files("loomwright.web").joinpath("static", name).read_text(),
        ):
            assert "danger" in rule[0], rule
