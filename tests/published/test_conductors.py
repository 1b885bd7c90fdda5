"""Worked examples on voltage drop, conductor size and capacity, with the answers that their sources print."""

import pytest

from loomwright.protection.adiabatic import adiabatic_area
from loomwright.protection.drop import EN_1648_2_RESISTIVITY, area_for_drop, drop_v, longest_loop_m
from loomwright.protection.rating import cable_rating
from loomwright.protection.sizing import smallest_that
from loomwright.tables import awg
from loomwright.tables.derating import ambient_factor
from loomwright.units import CIRCULAR_MIL_MM2, FOOT_M

#: FAA AC 43.13-1B, chapter 11, Table 11-9: tin-plated wire at 20 °C. [gauge -> Ω per 1000 ft]
FAA_OHM_PER_KFT = {
    20: 9.88, 18: 6.23, 16: 4.81, 14: 3.06, 12: 2.02, 10: 1.26, 8: 0.70, 6: 0.44, 4: 0.28, 2: 0.18, 1: 0.15,
}  # fmt: skip


def faa_ohm(gauge, length_ft):
    return FAA_OHM_PER_KFT[gauge] * length_ft / 1000.0


def test_w1_size_by_circular_mils():
    """Three per cent rule of ABYC E-11 on a marine dealer's page: bilge pump, 10 A, 21 ft of loop, 12 V.

    The page takes K = 10.75 Ω per circular-mil-foot and prints 12 AWG (6 500 circular mils) as the choice,
    and gauge 10 for the thinner SAE wire, whose 12 has 5 833.
    """
    k_ohm_mm2_per_m = 10.75 * CIRCULAR_MIL_MM2 / FOOT_M
    needed = area_for_drop(10.0, 21 * FOOT_M, 0.36, k_ohm_mm2_per_m)
    assert needed / CIRCULAR_MIL_MM2 == pytest.approx(6271, abs=0.5)
    assert awg.smallest_holding(needed) == 12
    assert 5833 * CIRCULAR_MIL_MM2 < needed < 9343 * CIRCULAR_MIL_MM2  # SAE 12 and SAE 10


def test_w2_drop_over_107_ft_of_no_6():
    """FAA AC 43.13-1B, chapter 11, Table 11-7, first check."""
    assert drop_v(20.0, faa_ohm(6, 107)) == pytest.approx(0.942, abs=0.0005)


def test_w3_drop_over_88_ft_of_no_12():
    """FAA AC 43.13-1B, chapter 11, Table 11-7, second check. It prints 3.60 V; the product is 3.555.

    The tolerance is half of the first decimal: the source rounds its own product up.
    """
    drop = drop_v(20.0, faa_ohm(12, 88))
    assert drop == pytest.approx(3.60, abs=0.05)
    assert drop < 4.0


@pytest.mark.parametrize(
    ("limit_v", "printed_ft", "printed_v"), [(1.0, 39, 0.98), (4.0, 156, 3.93)], ids=["w4", "w5"]
)
def test_longest_run_of_no_10_at_20_a(limit_v, printed_ft, printed_v):
    """FAA AC 43.13-1B, chapter 11, Table 11-8; the source cuts whole feet off below the exact length."""
    exact_ft = longest_loop_m(20.0, limit_v, faa_ohm(10, 1.0) / FOOT_M) / FOOT_M
    assert printed_ft <= exact_ft < printed_ft + 3
    assert drop_v(20.0, faa_ohm(10, printed_ft)) == pytest.approx(printed_v, abs=0.005)


def test_w6_size_for_28_v_20_a_50_ft():
    """FAA AC 43.13-1B, chapter 11, chart example: between No. 10 and No. 8, take No. 8; limit 1 V."""
    chosen = smallest_that(
        lambda area: longest_loop_m(20.0, 1.0, FAA_OHM_PER_KFT[awg.largest_within(area)] / 1000.0) >= 50.0,
        "awg",
        smallest_mm2=awg.area_mm2(20),
    )
    assert awg.largest_within(chosen) == 8
    assert drop_v(20.0, faa_ohm(10, 50)) > 1.0 > drop_v(20.0, faa_ohm(8, 50))


def test_w7_formula_of_en_1648_2():
    """DIN EN 1648-2 as quoted by a camping forum: 6 mm², loop 10 m, 0.8 V, ρ = 0.01989: about 24 A."""
    assert EN_1648_2_RESISTIVITY == 0.01989
    assert area_for_drop(23.5, 10.0, 0.8) < 6.0 < area_for_drop(24.5, 10.0, 0.8)


@pytest.mark.parametrize(("circular_mils", "printed_v", "printed_pct"), [(6530, 7.9, 6.6), (16510, 3.1, 2.6)])
def test_w8_drop_by_the_us_formula(circular_mils, printed_v, printed_pct):
    """US trade school lesson: 20 A, 100 ft one way, K = 12.9 at 75 °C, 120 V; 12 AWG, then 8 AWG."""
    gauge = awg.largest_within(circular_mils * CIRCULAR_MIL_MM2)
    k_ohm_mm2_per_m = 12.9 * CIRCULAR_MIL_MM2 / FOOT_M
    ohm = k_ohm_mm2_per_m * 2 * 100 * FOOT_M / awg.area_mm2(gauge)
    assert drop_v(20.0, ohm) == pytest.approx(printed_v, abs=0.05)
    assert 100 * drop_v(20.0, ohm) / 120.0 == pytest.approx(printed_pct, abs=0.05)


def test_w9_capacity_with_derating():
    """Wiring-regulations discussion (BS 7671, method B): 15 A fuse, Ca 0.87, Cg 0.7, single-core PVC.

    It prints It >= 24.63 A, so that 2.5 mm² (24 A) fails and 4 mm² (32 A) passes.
    """

    def laid(area):
        """40 °C is Ca 0.87; six loaded cores are three circuits, Cg 0.70."""
        return cable_rating(area, table="bs_7671", insulation_c=70.0, ambient_c=40.0, bundled=6)

    start, bundle, air, _ = laid(2.5).steps
    assert (start.value, air.value, bundle.value) == (24, 0.87, 0.70)
    assert 15.0 / (air.value * bundle.value) == pytest.approx(24.63, abs=0.005)
    assert laid(2.5).amps < 15.0 <= laid(4.0).amps
    assert laid(4.0).steps[0].value == 32


@pytest.mark.parametrize(("ambient_c", "printed_a"), [(40, 40), (45, 36), (50, 33), (55, 28)])
def test_w10_ambient_derating(ambient_c, printed_a):
    """A machine maker's cable table by IEC 60364-5-52, PVC, method B2, 10 mm²: 46 A at 30 °C."""
    assert 46.0 * ambient_factor(float(ambient_c), 70.0) == pytest.approx(printed_a, abs=0.5)


def test_w11_adiabatic():
    """Basic Electrical Installation Work, protective conductors: 200 A for 0.4 s, k = 115; 1.10 mm²."""
    fault_a = 230.0 / 1.15
    assert adiabatic_area(fault_a, 0.4, 115.0) == pytest.approx(1.10, abs=0.005)


@pytest.mark.parametrize(("contact_ohm", "printed_v"), [(0.01, 2.0), (0.02, 4.0)])
def test_w13_drop_in_a_contact(contact_ohm, printed_v):
    """Handout of an automotive electrical clinic: 200 A through a poor joint."""
    assert drop_v(200.0, contact_ohm) == pytest.approx(printed_v, abs=0.05)
