"""Bundles against least circles, holes and weights."""

from __future__ import annotations

import math

import pytest

from loomwright.loom.bundles import bundle_diameter_mm, hole_needed_mm, pipe_fill, wire_grams_per_m

#: Least circle round n equal circles, in their diameters: Graham, Lubachevsky, Nurmela, Östergård, "Dense
#: packings of congruent circles in a circle", Discrete Mathematics 181 (1998); the small ones by hand.
LEAST = {
    1: 1.0, 2: 2.0, 3: 2.155, 4: 2.414, 5: 2.701, 6: 3.0, 7: 3.0, 8: 3.304, 9: 3.613, 10: 3.813, 12: 4.029,
    14: 4.328, 16: 4.615, 19: 4.863, 20: 5.122,
}  # fmt: skip


@pytest.mark.parametrize(("count", "ratio"), LEAST.items())
def test_a_laid_bundle_is_hardly_thinner_than_the_least_circle_and_at_most_a_tenth_thicker(count, ratio):
    laid = bundle_diameter_mm([2.0] * count) / 2.0
    assert ratio * 0.96 <= laid <= ratio * 1.10


def test_three_and_four_wires_by_hand():
    assert LEAST[3] == pytest.approx(1.0 + 2.0 / math.sqrt(3.0), abs=5e-4)
    assert LEAST[4] == pytest.approx(1.0 + math.sqrt(2.0), abs=5e-4)


def test_a_thick_wire_beside_a_thin_one_needs_the_room_of_both():
    assert bundle_diameter_mm([10.0, 2.0]) == pytest.approx(12.24, abs=0.01)
    assert bundle_diameter_mm([]) == 0.0


def test_a_hole_and_a_pipe():
    assert hole_needed_mm(16.0) == 20.0
    fill, most = pipe_fill([5.0], 10.0)
    assert (fill, most) == (0.25, 0.53)
    assert pipe_fill([3.0, 3.0], 10.0)[1] == 0.31


@pytest.mark.parametrize(("area", "diameter", "grams"), [(2.5, 3.6, 30.0), (95.0, 18.0, 1000.0)])
def test_weights_of_the_workshop(area, diameter, grams):
    """About 30 g/m and 1 kg/m: common practice."""
    assert wire_grams_per_m(area, diameter) == pytest.approx(grams, rel=0.12)
