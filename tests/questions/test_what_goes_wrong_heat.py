"""How warm does the bundle get behind the lining in July?

Seven loaded cores of 1.5 mm² PVC 70 °C together in a void of 65 °C: DIN VDE 0298-4, 24 A alone in air of
30 °C, 0.54 for seven together, 0.35 for 65 °C; the temperature rises with the square of the current.
"""

from __future__ import annotations

import pytest

from loomwright import check, read
from loomwright.rules.finding import Finding
from tests.scenarios.lines import EXAMPLES


def lamps() -> tuple[dict[str, object], tuple[Finding, ...]]:
    """Return what is told of the lamps' wire of the van, and what is found of it."""
    report = check(read(EXAMPLES / "saltpan.yaml"))
    (wire,) = (one for one in report.as_dict()["wires"] if one["id"] == "W4")
    return wire, tuple(one for one in report.findings if one.where == "W4")


def test_it_gets_hotter_than_its_insulation_stands():
    wire, findings = lamps()
    rating = 24.0 * 0.54 * 0.35
    rise = (70.0 - 65.0) * (7.0 / rating) ** 2
    assert wire["conductor_c"] == pytest.approx(65.0 + rise, abs=1.5)
    assert wire["conductor_c"] > 70.0
    overloaded = next(one for one in findings if one.rule == "cable_overloaded")
    assert (overloaded.severity, overloaded.value) == ("fault", pytest.approx(7.0))
    assert overloaded.limit == pytest.approx(rating, rel=0.02)
    assert "heat-resistant insulation" in overloaded.do


def test_alone_in_the_cool_it_hardly_warms():
    report = check(read(EXAMPLES / "saltpan.yaml"))
    (wire,) = (one for one in report.as_dict()["wires"] if one["id"] == "W6")
    assert wire["conductor_c"] == pytest.approx(45.0 + 25.0 * (3.0 / wire["rating_a"]) ** 2)
