"""Sampling between ends against the worked examples of the guide on uncertainty."""

from __future__ import annotations

import math

import numpy as np
import pytest

from loomwright.assessment.banded_ways import hypercube

POINTS = 4000


def inner(sides: int) -> np.ndarray:
    """Return the points that were not pushed to corners. Shape (points, sides)."""
    return hypercube(2 * POINTS, sides)[::2]


def test_a_figure_between_two_ends():
    """JCGM 100:2008, 4.3.7, equation (7): halfwidth a, variance a²/3 (from memory)."""
    assert 2.0 * inner(3) - 1.0 == pytest.approx(0.0, abs=1.0)
    assert np.var(2.0 * inner(3) - 1.0, axis=0) == pytest.approx(1.0 / 3.0, rel=0.05)


def test_the_sum_of_four_such_figures():
    """JCGM 101:2008, 9.2.3: four of mean 0 and uncertainty 1; u(y) = 2.0, 95 %: ±3.88 (from memory)."""
    drawn = math.sqrt(3.0) * (2.0 * inner(4) - 1.0).sum(axis=1)
    assert np.std(drawn) == pytest.approx(2.0, abs=0.05)
    low, high = np.quantile(drawn, [0.025, 0.975])
    assert (low, high) == pytest.approx((-3.88, 3.88), abs=0.12)
    assert 2.0 * math.sqrt(3.0) * (2.0 - 0.6**0.25) == pytest.approx(3.88, abs=0.005)


def test_each_slice_of_each_side_holds_one_point():
    """McKay, Beckman and Conover, Technometrics 21, 1979: what makes a hypercube Latin (from memory)."""
    places = hypercube(40, 5)[::2]
    assert all(len(set(np.floor(40 * side).astype(int))) == 20 for side in places.T)
    assert set(np.unique(hypercube(40, 5)[1::2])) == {0.0, 1.0}
