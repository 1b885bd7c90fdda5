"""Bounds of what loads get together: they enclose, and where one load is alone they are exact."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.circuit.enclose import Ends, enclose
from loomwright.circuit.ports import PortLoads, port_volts

NONE = np.array([0.0])
ON = np.array([True])


def one(value: float) -> np.ndarray:
    return np.array([value])


def test_a_divider_where_each_figure_stands_once_is_exact():
    """12 V / (1 + R G): single use is exact (Moore, Kearfott and Cloud, 2009, chapter 5, from memory)."""
    ends = Ends(one(12.0), one(12.0)), Ends(np.array([[0.1]]), np.array([[0.2]]))
    loads = PortLoads(NONE, NONE, one(1.0)), PortLoads(NONE, NONE, one(2.0))
    found = enclose(*ends, *loads, ON)
    assert found is not None
    assert [found.volts.low[0], found.volts.high[0]] == pytest.approx([12.0 / 1.4, 12.0 / 1.1])
    assert [found.amps.low[0], found.amps.high[0]] == pytest.approx([12.0 / 1.2, 24.0 / 1.2])


def test_a_constant_power_is_exact():
    """The higher root of v² - 12 v + R P = 0."""
    ends = Ends(one(12.0), one(12.0)), Ends(np.array([[0.05]]), np.array([[0.1]]))
    found = enclose(*ends, PortLoads(NONE, one(60.0), NONE), PortLoads(NONE, one(120.0), NONE), ON)
    assert found is not None
    volts = [6.0 + (36.0 - 0.1 * 120.0) ** 0.5, 6.0 + (36.0 - 0.05 * 60.0) ** 0.5]
    assert [found.volts.low[0], found.volts.high[0]] == pytest.approx(volts)
    assert [found.amps.low[0], found.amps.high[0]] == pytest.approx([60.0 / volts[1], 120.0 / volts[0]])


def test_what_might_collapse_has_no_bounds():
    ends = Ends(one(12.0), one(12.0)), Ends(np.array([[0.1]]), np.array([[1.0]]))
    assert enclose(*ends, PortLoads(NONE, one(60.0), NONE), PortLoads(NONE, one(60.0), NONE), ON) is None


@given(st.randoms(use_true_random=False), st.integers(1, 6))
@settings(max_examples=60)
def test_any_point_lies_within(chance, n):
    """Also where one load's current lifts another's volts, as in a bank in series."""
    random = np.random.default_rng(chance.randrange(2**32))
    own, shared = random.uniform(0.01, 0.1, n), random.uniform(-0.01, 0.02, (n, n))
    low = np.diag(own) + (shared + shared.T) / 2.0
    width = random.uniform(0.0, 0.03, (n, n))
    z = Ends(low, low + (width + width.T) / 2.0)
    kinds = random.integers(0, 3, n)
    least, most = (random.uniform(*ends, n) for ends in ((0.5, 3.0), (3.0, 8.0)))

    def loads(values: np.ndarray) -> PortLoads:
        return PortLoads(values * (kinds == 0), 12.0 * values * (kinds == 1), values / 12.0 * (kinds == 2))

    v0 = np.full(n, 12.0)
    found = enclose(Ends(v0, v0), z, loads(least), loads(most), np.ones(n, dtype=bool))
    assert found is not None
    for _ in range(5):
        part = random.uniform(0, 1, (n, n))
        at = z.low + (part + part.T) / 2.0 * (z.high - z.low)
        taken = loads(least + random.choice([0.0, 0.5, 1.0], n) * (most - least))
        on = np.ones((1, n), dtype=bool)
        volts = port_volts(v0, at, taken.amps[None], taken.watts[None], taken.siemens[None], on)[0]
        assert (found.volts.low <= volts + 1e-9).all()
        assert (volts <= found.volts.high + 1e-9).all()
