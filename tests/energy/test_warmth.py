"""A battery with its pad, beside the heat balance worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.energy.standard_year import HOURS
from loomwright.energy.warmth import Padded, warmed


def test_a_pad_that_is_too_weak_ends_at_its_power_over_the_loss():
    """Newton's law of cooling: 4 Wh/°C and 8 h lose 0.5 W/°C; 5 W hold 10 °C more than the air, and 63.2 %
    of that after 8 h."""
    one = Padded(pad_w=5.0, heat_wh_per_c=4.0, lag_h=8.0, wanted_c=3.0)
    celsius, watts = warmed(one, np.full((1, HOURS), -20.0), np.full((1, 1), 1000.0))
    assert celsius[0, 7] == pytest.approx(-20.0 + 10.0 * (1.0 - np.exp(-1.0)))
    assert celsius[0, -1] == pytest.approx(-10.0)
    assert (watts == 5.0).all()


def test_a_strong_pad_holds_what_is_wanted_and_takes_what_is_lost():
    """Held 23 °C above the air at 0.5 W/°C: 11.5 W; and it rests in warm hours and without a charge."""
    one = Padded(pad_w=60.0, heat_wh_per_c=4.0, lag_h=8.0, wanted_c=3.0)
    air = np.full((1, HOURS), -20.0)
    air[:, 4000:] = 15.0
    celsius, watts = warmed(one, air, np.full((1, 1), 1000.0))
    assert celsius[0, 100:4000] == pytest.approx(3.0)
    assert watts[0, 3999] == pytest.approx(11.5, rel=0.01)  # within an hour it cools a little
    assert not watts[:, 4000:].any()
    spare = np.zeros((1, HOURS))
    spare[:, 50] = 7.0
    fed = warmed(one, air, spare)[1]
    assert (fed[0, 50], fed.sum()) == (7.0, 7.0)
