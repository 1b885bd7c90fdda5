"""The library of dull and bright days."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.energy import days

#: Mean and persistence of each class, worked out from the printed matrices in another way (computed).
MEANS = [0.241, 0.334, 0.374, 0.429, 0.476, 0.526, 0.575, 0.620, 0.668, 0.728]
PERSISTENCE = [0.39, 0.02, 0.29, 0.31, 0.33, 0.32, 0.23, 0.24, 0.20, 0.26]


@pytest.mark.parametrize("number", range(10))
def test_each_matrix_in_the_long_run(number):
    chances, least, most = days.library()
    values, vectors = np.linalg.eig(chances[number].T)
    share = np.real(vectors[:, np.argmax(np.real(values))])
    share /= share.sum()
    kt = least[number] + (most - least)[number] * (np.arange(10) + 0.5) / 10
    mean = share @ kt
    lag = ((share * (kt - mean)) @ chances[number] @ (kt - mean)) / (share @ (kt - mean) ** 2)
    assert mean == pytest.approx(MEANS[number], abs=0.002)
    assert lag == pytest.approx(PERSISTENCE[number], abs=0.02)
    assert days.class_of(MEANS[number]) == number  # its mean lies within the class


def test_rows_are_chances():
    chances, least, most = days.library()
    assert np.all(chances >= 0)
    assert chances.sum(-1) == pytest.approx(np.ones((10, 10)))
    assert np.all(least < most)


@pytest.mark.parametrize("kt", [0.24, 0.43, 0.53, 0.67])
def test_drawn_days_come_out_as_the_matrix_says(kt):
    uniform = np.random.default_rng(5).random((300, 366))
    chain = days.drawn(np.full((300, 12), kt), uniform)
    number = days.class_of(kt)
    assert chain[:, 10:].mean() == pytest.approx(MEANS[number], abs=0.006)
    stray = chain - chain.mean()
    assert (stray[:, 1:] * stray[:, :-1]).mean() / stray.var() == pytest.approx(PERSISTENCE[number], abs=0.05)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 2**32 - 1), st.lists(st.floats(0.02, 0.72), min_size=12, max_size=12))
def test_months_are_met(seed, kt_month):
    kt_by_month = np.array([kt_month])
    outside = 6 + 4 * np.sin(np.arange(365) / 58.0)
    ceiling = np.full(365, 0.76)
    by_month = [outside[month == days.MONTH_OF_DAY].mean() for month in range(12)]
    wanted = kt_by_month * np.array(by_month)
    chain = days.drawn(kt_by_month, np.random.default_rng(seed).random((1, 366)))
    met = days.sums_met(chain, outside, wanted, ceiling)
    given_back = [(met[0] * outside)[month == days.MONTH_OF_DAY].mean() for month in range(12)]
    assert given_back == pytest.approx(wanted[0], rel=0.01)
    assert np.all(met >= 0)
    assert np.all(met <= np.maximum(0.76, np.array(kt_month) / 0.9 + 1e-9)[days.MONTH_OF_DAY] * 1.001)
