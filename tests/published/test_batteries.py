"""Batteries against what is printed elsewhere: Peukert, banks in a short, contacts, taper, resting volts.

Each check names its source. Manuals of battery monitors print exponents with two decimals; the lists round
so that one of their rows is 0.01 beside the sum.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from loomwright.circuit.discharge import FASTEST_H, RATED_H, exponent_of, hours_at
from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.ports import reduce_to_ports
from loomwright.errors import OutOfTableError
from loomwright.protection.drop import drop_v
from loomwright.tables.batteries import AGED_RESISTANCE, CHEMISTRIES, internal_resistance, open_circuit_v
from loomwright.tables.battery_states import (
    PEUKERT,
    accepts,
    hours_to_taper,
    resistance_factor,
)

# Peukert


def test_peukert_at_twice_the_rated_current():
    """Peukert's law as a manual of a battery monitor prints it: 100 Ah at 20 h, k 1.20, 10 A."""
    hours = hours_at(100.0, 10.0, 1.20)
    assert hours == pytest.approx(8.71, abs=0.005)
    assert 10.0 * hours == pytest.approx(87.1, abs=0.05)


def test_peukert_in_its_first_form():
    """A course of electrical engineering: Cp = I^k t = 100 Ah, k 1.2, 5 A gives 14.50 h.

    With Cp counted at 1 A the 20 h capacity follows from the same law: C = Cp^(1/k) · 20^(1 - 1/k).
    """
    capacity = math.pow(100.0, 1 / 1.2) * math.pow(20.0, 1 - 1 / 1.2)
    assert hours_at(capacity, 5.0, 1.2) == pytest.approx(14.50, abs=0.005)


@pytest.mark.parametrize(
    ("capacity", "minutes", "printed", "off"),
    [
        (225.0, 447.0, 1.24, 0.005),
        (86.0, 167.0, 1.12, 0.005),
        (350.0, 760.0, 1.28, 0.005),
        (105.0, 160.0, 1.28, 0.015),  # the list is 0.01 beside its own figures
        (235.0, 488.0, 1.19, 0.005),
        (250.0, 535.0, 1.17, 0.006),
        (305.0, 660.0, 1.21, 0.005),
    ],
)
def test_exponents_from_reserve_minutes(capacity, minutes, printed, off):
    """List of deep-cycle batteries in the manual of a battery monitor, page 26: reserve minutes at 25 A."""
    found = exponent_of(capacity / 20.0, 20.0, 25.0, minutes / 60.0)
    assert found == pytest.approx(printed, abs=off)
    if capacity / FASTEST_H >= 25.0 >= capacity / RATED_H:
        assert hours_at(capacity, 25.0, found) == pytest.approx(minutes / 60.0)


def test_a_pair_of_discharges():
    """A battery guide states 5 A for 20 h and about 7.5 h at 10 A; that is k = 1.415."""
    assert exponent_of(5.0, 20.0, 10.0, 7.5) == pytest.approx(1.415, abs=0.0005)


@pytest.mark.parametrize(("amps", "k"), [(4.9, 1.2), (101.0, 1.2), (10.0, 0.9), (10.0, 1.7)])
def test_outside_its_range_peukert_says_nothing(amps, k):
    with pytest.raises(OutOfTableError, match=r"Peukert holds from 5 to 100 A|exponent"):
        hours_at(100.0, amps, k)


def test_at_the_rated_current_the_rated_hours_and_less_with_more():
    """By the law itself: at C / 20 it is 20 h whatever k; a higher current never gives more ampere-hours."""
    for k in (1.0, 1.05, 1.3, 1.6):
        assert hours_at(100.0, 5.0, k) == pytest.approx(20.0)
        given = [amps * hours_at(100.0, amps, k) for amps in (5.0, 10.0, 25.0, 50.0, 100.0)]
        assert all(later <= earlier + 1e-9 for earlier, later in pairwise(given))


@pytest.mark.parametrize(
    ("chemistry", "low", "high"), [("gel", 1.10, 1.13), ("agm", 1.11, 1.11), ("flooded", 1.14, 1.28)]
)
def test_exponents_lie_in_the_band_of_their_kind(chemistry, low, high):
    """The same list (six gel 1.10 to 1.13, twelve wet 1.14 to 1.28) and its default for AGM, 1.11."""
    assert PEUKERT[chemistry].low <= low
    assert high <= PEUKERT[chemistry].high


# Charging


def test_a_taper_in_a_straight_line():
    """From the integral of the line: 100 Ah, 20 A at 85 % down to 2 A at full: τ 0.8333 h, 1.919 h."""
    assert hours_to_taper(20.0, 2.0, 100.0, 0.85) == pytest.approx(1.919, abs=0.0005)
    tau = 100.0 * 0.15 / 18.0
    assert tau == pytest.approx(0.8333, abs=5e-5)
    slices = 20000
    step = 0.15 * 100.0 / slices
    summed = sum(step / (20.0 - 18.0 * (n + 0.5) / slices) for n in range(slices))
    assert hours_to_taper(20.0, 2.0, 100.0, 0.85) == pytest.approx(summed, rel=1e-6)


def test_lead_takes_its_limit_up_to_four_fifths():
    """Charger handbooks put the end of the bulk stage at 80 % (published, second hand)."""
    assert [accepts("agm", 25.0, 100.0, pct) for pct in (20.0, 79.9)] == [25.0, 25.0]
    assert accepts("agm", 25.0, 100.0, 80.1) < 25.0
    for chemistry in CHEMISTRIES:
        falls = [accepts(chemistry, 40.0, 100.0, pct) for pct in range(0, 101, 5)]
        assert falls == sorted(falls, reverse=True)


# Resistance


def test_a_bank_in_a_short():
    """From a maker of fuses: six of 6 V, two in series by three in parallel, 2,400 A each: 7,200 A."""
    each = 6.0 / 2400.0
    bank = []
    links = []
    for s in range(3):
        bank += [Source(f"l{s}", f"m{s}", "minus", 6.0, each), Source(f"u{s}", f"p{s}", f"m{s}", 6.0, each)]
        links.append(Resistor(f"r{s}", f"p{s}", "plus", 0.0))
    seen = reduce_to_ports(links, bank, [("plus", "minus")])
    assert seen.v0[0] / seen.z[0, 0] == pytest.approx(7200.0)


def test_a_contact_under_a_starter():
    """A handbook of batteries: 200 A lose 2.0 V in 0.01 Ω, and 4.0 V in 0.02 Ω."""
    assert drop_v(200.0, 0.01) == pytest.approx(2.0)
    assert drop_v(200.0, 0.02) == pytest.approx(4.0)


def test_resting_volts_of_a_wet_battery():
    """A rule of radio amateurs, printed rounded: 12.6 V full, 12.4 at 75 %, 12.2 at half, 12.0 at 25 %, 11.6.

    Our full battery rests 0.2 V higher, as modern calcium ones do; the rest lies within a tenth of a volt.
    """
    for pct, volts in ((75.0, 12.4), (50.0, 12.2), (25.0, 12.0), (0.0, 11.6)):
        assert open_circuit_v("flooded", pct) == pytest.approx(volts, abs=0.25)
    assert open_circuit_v("agm", 50.0) == pytest.approx(12.1)  # table of a touring club


def test_two_sealed_batteries_whose_resistance_is_printed():
    """Data sheets give R · Ah of 0.18 and 0.32 Ω·Ah: at 100 Ah 1.8 to 3.2 mΩ, less than our bad end."""
    band = internal_resistance("agm", 100.0)
    assert band.low <= 3.2e-3
    assert band.high >= 1.8e-3


def test_cold_old_and_empty():
    """From handbooks, from memory: half as much again at -18 °C, two to three times near empty or old."""
    assert resistance_factor("agm", 100.0, -18.0) == pytest.approx(1.5)
    assert 2.0 <= resistance_factor("agm", 0.0, 25.0) <= 3.0
    assert 2.0 <= resistance_factor("agm", 100.0, 25.0, age_years=20.0) <= 3.0
    assert resistance_factor("agm", 100.0, 25.0, 20.0) == AGED_RESISTANCE.mid
    for chemistry in CHEMISTRIES:
        by_charge = [resistance_factor(chemistry, pct, 25.0) for pct in range(0, 101, 10)]
        by_air = [resistance_factor(chemistry, 50.0, celsius) for celsius in range(-30, 41, 5)]
        assert by_charge == sorted(by_charge, reverse=True)
        assert by_air == sorted(by_air, reverse=True)
