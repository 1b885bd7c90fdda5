"""Years strung from the one of a file: its own first, and dull spells as the stations have them."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.energy.standard_year import MONTH_OF_DAY
from loomwright.energy.strung import NEAR, STRETCH, strung
from tests.energy.conftest import STATIONS, daily_kt, daily_sun, lagged, strays


@pytest.mark.parametrize("station", STATIONS)
def test_dull_spells_and_persistence_are_the_stations_own(stations, station):
    """The mean of five days that one in ten falls below, within a tenth; days hang together as they did.

    Outside: typical years of three stations (TMY2, TMY3), as pvlib ships them.
    """
    real = stations[station].real
    made = strung(real, 41, 3)
    assert made.ghi_w_m2[0].tolist() == real.ghi_w_m2[0].tolist()

    def low_fifth(years):
        sums = np.cumsum(np.pad(daily_sun(years), ((0, 0), (1, 0))), axis=1)
        return float(np.percentile((sums[:, STRETCH:] - sums[:, :-STRETCH]) / STRETCH, 10))

    assert low_fifth(made) == pytest.approx(low_fifth(real), rel=0.1)
    assert lagged(strays(daily_kt(made))) == pytest.approx(lagged(strays(daily_kt(real))), abs=0.12)
    assert made.air_c.mean() == pytest.approx(real.air_c.mean(), abs=0.3)
    months = made.sun_by_month()
    spread = months[1:].std(0) / months[1:].mean(0)
    assert 0.01 < spread.min() < spread.max() < 0.15, "months differ, as much as of stations at most"


def test_a_day_comes_from_its_own_time_of_the_year(stations):
    """Air that counts the days shows where each day is from; no light falls before its own sunrise."""
    real = stations["Greensboro"].real
    counted = np.repeat(np.arange(365.0), 24)[None, :]
    made = strung(type(real)(
        ghi_w_m2=real.ghi_w_m2, dhi_w_m2=real.dhi_w_m2, air_c=counted, sun=real.sun, clock=real.clock,
        taken_from="x",
    ), 9, 1)  # fmt: skip
    came = made.air_c[1:].reshape(8, 365, 24)[:, :, 0]
    away = (came - np.arange(365) + 182) % 365 - 182
    assert abs(away).max() == NEAR * STRETCH
    assert {*np.diff(came[:, :STRETCH], axis=1).ravel() % 365} == {1.0}, "days of a stretch follow each other"
    assert not made.ghi_w_m2[:, real.sun.outside_w_m2 <= 0.0].any()
    assert (made.dhi_w_m2 <= made.ghi_w_m2 + 1e-9).all()
    assert MONTH_OF_DAY[int(came[0, 200])] in (5, 6, 7)


def test_one_seed_one_weather(stations):
    real = stations["Miami"].real
    few, many, other = strung(real, 3, 7), strung(real, 5, 7), strung(real, 3, 8)
    assert few.ghi_w_m2.tobytes() == many.ghi_w_m2[:3].tobytes() != other.ghi_w_m2.tobytes()
    assert strung(real, 1).count == 1
