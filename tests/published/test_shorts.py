"""Shorts as published: currents of banks and batteries, what a cable stands, which fuse may break how much.

Not read in the works themselves unless a test says so; each names how far its figures were confirmed.
"""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.circuit.along import Grid, Places
from loomwright.circuit.network import Resistor, Source
from loomwright.circuit.shorts import shorts
from loomwright.protection.adiabatic import adiabatic_k, survives_s
from loomwright.protection.fusing import breaking_capacity
from loomwright.protection.opening import opening_time
from loomwright.tables.batteries import internal_resistance, open_circuit_v


def bank(strings: int, in_series: int, volts: float, shorted_a: float) -> tuple[list[Resistor], list[Source]]:
    """Return strings of batteries side by side, each battery giving so much in a short at its posts."""
    ohm = volts / shorted_a
    sources = [
        Source(f"b{s}{k}", f"n{s}{k + 1}", f"n{s}{k}", volts, ohm)
        for s in range(strings)
        for k in range(in_series)
    ]
    links = [Resistor(f"minus{s}", f"n{s}0", "minus", 0.0) for s in range(strings)]
    links += [Resistor(f"plus{s}", f"n{s}{in_series}", "plus", 0.0) for s in range(strings)]
    return links, sources


def test_w12_bank_fault_current():
    """Six 6 V batteries, two in series and three such strings side by side, 2,400 A each: 7,200 A.

    ABYC E-11, as a boat builder's page works it (one source): strings side by side add their currents,
    batteries in series do not.
    """
    links, sources = bank(3, 2, 6.0, 2400.0)
    found = shorts(links, sources, [("plus", "minus")])
    assert float(found.amps[0]) == pytest.approx(7200.0)
    alone = shorts(*bank(1, 2, 6.0, 2400.0), [("plus", "minus")])
    assert float(alone.amps[0]) == pytest.approx(2400.0)


def test_w12_along_a_cable():
    """The same bank through a cable of 5 mΩ: 12 V by 1.667 and as much of 5 mΩ as lies before the short."""
    links, sources = bank(3, 2, 6.0, 2400.0)
    grid = Grid([*links, Resistor("cable", "plus", "far", 0.005)], sources, ["plus", "far", "minus"])
    at = np.linspace(0.0, 1.0, 6)
    ends = [np.full(6, grid.number[point]) for point in ("plus", "far", "minus")]
    volts, ohm = grid.across(
        Places(ends[0], ends[1], np.full(6, 0.005), at), Places(ends[2], ends[2], np.zeros(6), np.zeros(6))
    )
    assert volts / ohm == pytest.approx(12.0 / (12.0 / 7200.0 + 0.005 * at))


def test_w11_adiabatic_size_accepted():
    """230 V over 1.15 Ω, 0.4 s, k 115: 1.10 mm² printed, 1.5 mm² accepted (BS 7671 434.5.2, one source)."""
    fault_a = 230.0 / 1.15
    assert survives_s(1.5, fault_a, 70.0, 160.0) > 0.4 > survives_s(1.0, fault_a, 70.0, 160.0)


@pytest.mark.parametrize(
    ("area_mm2", "printed_a2s"),
    [(0.5, 3306), (0.75, 7439), (1.0, 13225), (1.5, 29756), (2.5, 82656), (4.0, 211600), (6.0, 476100)],
)
def test_heat_that_a_cable_stands(area_mm2, printed_a2s):
    """k²S² with the rounded k of 115 for 70 °C PVC (BS 7671 table 43.1, published, second hand)."""
    stands = survives_s(area_mm2, 100.0, 70.0, 160.0) * 100.0**2
    assert stands == pytest.approx(printed_a2s, rel=2 * 0.5 / 115)


def test_a_40_a_blade_lets_less_through_than_1_mm2_stands():
    """Its melting I²t of 3 300 A²s (a maker's sheet, one source) is within our times; these, within 1 mm²."""
    amps = 6.0 * 40.0
    most = opening_time("blade", 40.0, amps).high * amps**2
    assert 3300.0 < most < (adiabatic_k(70.0, 160.0) * 1.0) ** 2


@pytest.mark.parametrize(
    ("chemistry", "capacity_ah", "volts", "printed_a"),
    [
        ("flooded", 100.0, 12.8, (1600.0, 3200.0)),
        ("efb", 100.0, 12.8, (2100.0, 4300.0)),
        ("agm", 100.0, 12.8, (2600.0, 5100.0)),
        ("gel", 100.0, 12.8, (1600.0, 3200.0)),
        ("lifepo4", 100.0, 13.4, (2200.0, 5300.0)),
    ],
)
def test_prospective_current_of_100_ah(chemistry, capacity_ah, volts, printed_a):
    """Planning values of prospective currents (from memory), by full volts over inner resistance."""
    assert open_circuit_v(chemistry, 100.0) == pytest.approx(volts)
    band = internal_resistance(chemistry, capacity_ah)
    assert volts / band.high == pytest.approx(printed_a[0], abs=50.0)
    assert volts / band.low == pytest.approx(printed_a[1], abs=70.0)


def test_a_leisure_battery_gives_one_to_four_kiloamperes():
    """12 V, 100 Ah, type not said: 1 to 2 kA, possibly up to 4 kA (a maker's page on fuses, one source)."""
    band = internal_resistance("flooded", 100.0)
    assert 1000.0 <= 12.8 / band.high <= 2000.0
    assert 12.8 / band.low <= 4000.0


def test_small_sealed_batteries():
    """12 V 40 Ah: under 8 mΩ when full, at 25 °C (a maker's sheet, one source)."""
    band = internal_resistance("agm", 40.0)
    assert band.low < 0.008 < band.high


#: Cold-cranking amperes up to; a main device and a branch device must break at least so much. [A]
ABYC_MAIN_AND_BRANCH = [(650, 1500, 750), (1100, 3000, 1500), (2200, 5000, 2500)]


@pytest.mark.parametrize(("cranking_a", "main_a", "branch_a"), ABYC_MAIN_AND_BRANCH)
def test_what_a_device_must_break(cranking_a, main_a, branch_a):
    """ABYC E-11, interrupting capacity by cold-cranking amperes (published, second hand), against ours.

    A post fuse serves as main in all three classes. A blade serves as branch in the first alone, and so does
    not as main anywhere; a bolted fuse above 200 A as main in the first class.
    """
    post, blade, bolted = (
        breaking_capacity(kind, rating, 13.4)
        for kind, rating in (("post", 100.0), ("blade", 10.0), ("bolted", 250.0))
    )
    assert post is not None
    assert blade is not None
    assert bolted is not None
    assert post[0] >= main_a
    assert (blade[0] >= branch_a) == (cranking_a <= 650)
    assert blade[0] < main_a
    assert (bolted[0] >= main_a) == (cranking_a <= 650)


def test_large_banks_ask_for_the_highest_class():
    """Above 10 kA a device for 20 kA at 125 V DC is asked for (ABYC E-11, later editions, second hand)."""
    high = breaking_capacity("high_breaking", 300.0, 125.0)
    assert high is not None
    assert high[0] == 20_000.0
    assert (breaking_capacity("post", 300.0, 13.4) or (0.0,))[0] == 10_000.0
