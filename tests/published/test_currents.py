"""Printed currents of cables, and what warm air, bundles and engine spaces leave of them.

Beside each table stands how far it was confirmed, in the words that the program prints; a test at the end
holds the two together. What is from memory is checked against what little is printed elsewhere.
"""

from __future__ import annotations

import math

import pytest

from loomwright.protection.rating import cable_rating
from loomwright.tables import abyc_e11, awg, bs_7671, derating, iso_10133, vde_0298_4

# --- currents ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("area", "printed_a"), [(0.75, 15), (1.5, 24), (2.5, 32), (10.0, 73), (25.0, 129), (120.0, 344)]
)
def test_vde_0298_4(area, printed_a):
    """DIN VDE 0298-4, single core, PVC 70 °C, in free air at 30 °C (from memory)."""
    assert cable_rating(area, table="vde_0298_4", insulation_c=70.0).amps == printed_a


@pytest.mark.parametrize(
    ("area", "printed_a"),
    [
        (0.75, (6, 10, 12, 16, 20, 25)),
        (2.5, (17, 25, 30, 35, 40, 45)),
        (16.0, (54, 90, 100, 130, 150, 170)),
        (120.0, (190, 360, 400, 450, 480, 520)),
    ],
)
def test_iso_10133(area, printed_a):
    """ISO 10133:2012 Table A.1: 60, 70, 85 to 90, 105, 125, 200 °C (from memory)."""
    columns = (60.0, 70.0, 85.0, 105.0, 125.0, 200.0)
    rated = [cable_rating(area, table="iso_10133", insulation_c=column).amps for column in columns]
    assert tuple(rated) == printed_a
    assert cable_rating(area, table="iso_10133", insulation_c=90.0).amps == printed_a[2]


@pytest.mark.parametrize(
    ("gauge", "printed_a"),
    [
        (18, (10, 10, 15, 20, 20, 25, 25)),
        (14, (20, 20, 25, 30, 35, 40, 45)),
        (8, (55, 65, 70, 70, 80, 90, 100)),
        (0, (195, 230, 245, 245, 285, 305, 325)),
        (-3, (300, 360, 385, 385, 445, 475, 510)),
    ],
)
def test_us_law(gauge, printed_a):
    """33 CFR 183.425 Table 5: 60, 75, 80, 90, 105, 125, 200 °C (read in the work: the law is public)."""
    columns = (60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0)
    area = awg.area_mm2(gauge)
    assert tuple(cable_rating(area, table="abyc_e11", insulation_c=c).amps for c in columns) == printed_a


@pytest.mark.parametrize(
    ("gauge", "printed_a"),
    [(18, 20), (16, 25), (14, 35), (12, 45), (10, 60), (8, 80), (6, 120), (4, 160), (3, 180), (2, 210),
     (1, 245), (0, 285), (-1, 330), (-2, 385), (-3, 445)],
)  # fmt: skip
def test_abyc_column_of_105_c(gauge, printed_a):
    """ABYC E-11, single conductors, 105 °C, as two marine dealers and a cable maker's catalogue print it."""
    assert cable_rating(awg.area_mm2(gauge), table="abyc_e11", insulation_c=105.0).amps == printed_a


@pytest.mark.parametrize(
    ("area", "insulation_c", "printed_a"),
    [(1.0, 70, 13.5), (2.5, 70, 24), (4.0, 70, 32), (25.0, 70, 101), (120.0, 70, 269),
     (1.0, 90, 17), (2.5, 90, 31), (25.0, 90, 133), (95.0, 90, 306)],
)  # fmt: skip
def test_bs_7671_method_b(area, insulation_c, printed_a):
    """BS 7671 Tables 4D1A (published, second hand; IEC 60364-5-52 B.52.2 is alike) and 4E1A (one source)."""
    assert cable_rating(area, table="bs_7671", insulation_c=float(insulation_c)).amps == printed_a


@pytest.mark.parametrize(
    ("table", "area", "printed_a"),
    [
        (bs_7671.PVC_A, 1.0, (11, 13.5, 15.5, None)),
        (bs_7671.PVC_A, 25.0, (80, 101, 114, 131)),
        (bs_7671.PVC_A, 120.0, (210, 269, 330, 352)),
        (bs_7671.XLPE_A, 1.0, (14, 17, 19, None)),
        (bs_7671.XLPE_A, 25.0, (106, 133, 143, 161)),
        (bs_7671.XLPE_A, 95.0, (241, 306, 355, None)),
    ],
)
def test_bs_7671_methods_a_b_c_f(table, area, printed_a):
    """BS 7671 Tables 4D1A and 4E1A, rows of the smallest, a middle and the largest size (one source)."""
    assert table[area] == printed_a


@pytest.mark.parametrize(
    ("gauge", "printed_a"),
    [(18, 17), (16, 21), (14, 30), (12, 38), (10, 51), (8, 68), (6, 102), (4, 136), (3, 153), (2, 178),
     (1, 208), (0, 242), (-1, 280), (-2, 327), (-3, 378)],
)  # fmt: skip
def test_us_law_currents_in_the_engine_space(gauge, printed_a):
    """33 CFR 183.425, 105 °C insulation in engine spaces (x 0.85) as ABYC tables print it.

    Half a digit, and a hair for the halves of the sums (178.5 is printed 178, 280.5 280).
    """
    rating = cable_rating(awg.area_mm2(gauge), table="abyc_e11", insulation_c=105.0, engine_space=True)
    assert rating.amps == pytest.approx(printed_a, abs=0.501)


@pytest.mark.parametrize(("gauge", "printed_a"), [(18, 6), (16, 7), (14, 10), (12, 13), (10, 17)])
def test_a_hot_crowded_loom_of_aircraft(gauge, printed_a):
    """FAA AC 43.13-1B Table 11-9: 105 °C wire at 70 °C, 33 wires and more, at high altitude.

    Another body's figures for the same case: the boat table with its bundle and ambient factors must not give
    more, nor less than 90 % of them.
    """
    rating = cable_rating(
        awg.area_mm2(gauge), table="abyc_e11", insulation_c=105.0, ambient_c=70.0, bundled=33
    )
    assert 0.9 * printed_a <= rating.amps <= printed_a


@pytest.mark.parametrize("table", [bs_7671.PVC_A, bs_7671.XLPE_A])
def test_bs_7671_columns_rise_from_a_to_f(table):
    for row in table.values():
        held = [amps for amps in row if amps is not None]
        assert held == sorted(held)


def test_ship_classification_column():
    """A ship-classification table for PVC 60 °C carries the 60 °C column of ISO 10133 (else from memory)."""
    printed = {35.0: 87, 50.0: 105, 70.0: 135, 95.0: 165, 120.0: 190}
    assert {area: iso_10133.CURRENT_A[area][0] for area in printed} == printed


@pytest.mark.parametrize("rows", [iso_10133.CURRENT_A, abyc_e11.CURRENT_A])
def test_boat_tables_rise_with_size_and_insulation(rows):
    for row in rows.values():
        assert list(row) == sorted(row)
    for column in zip(*rows.values(), strict=True):
        assert list(column) == sorted(column)


def test_vde_free_air_lies_above_clipped_direct():
    """DIN VDE 0298-4 free air (from memory) against BS 7671 Table 4D1A: free air cools better than a wall."""
    for area, row in bs_7671.PVC_A.items():
        clipped = row[bs_7671.METHODS.index("C")]
        assert clipped is not None
        assert clipped < vde_0298_4.FREE_AIR_A[area] < 1.25 * clipped


def test_a_vehicle_wiring_page_prints_nearly_the_60_c_column():
    """A German page on vehicle wiring, 1.5 to 35 mm²; it differs from ISO 10133 (from memory) by 1 A."""
    printed = {1.5: 12, 2.5: 17, 4.0: 23, 6.0: 30, 10.0: 41, 16.0: 54, 25.0: 71, 35.0: 86}
    for area, amps in printed.items():
        assert abs(cable_rating(area, table="iso_10133", insulation_c=60.0).amps - amps) <= 1


def test_free_air_lies_little_above_what_a_seller_of_automotive_cable_prints():
    """A trade sheet, 105 °C thin-wall cable, conditions not stated; DIN VDE 0298-4 is from memory."""
    printed = {0.5: 11, 0.75: 14, 1.0: 16.5, 1.5: 21, 2.5: 29, 4.0: 39, 6.0: 50, 10.0: 70}
    for area, amps in printed.items():
        assert 0.86 <= amps / vde_0298_4.FREE_AIR_A[area] <= 1.0


def test_tables_side_by_side():
    """2.5 mm², or AWG 14 beside it: the spread of the tables, worked out from their printed figures.

    24 A in conduit (BS 7671); 25 and 35 A (ISO 10133, 70 and 105 °C); 35, 30 in the engine space and 17.5 A
    in a bundle of 7 to 24 (ABYC, 105 °C).
    """

    def amps(table, insulation_c, **laid):
        area = awg.area_mm2(14) if table == "abyc_e11" else 2.5
        return cable_rating(area, table=table, insulation_c=insulation_c, **laid).amps

    assert [amps("bs_7671", 70.0), amps("iso_10133", 70.0), amps("iso_10133", 105.0)] == [24, 25, 35]
    assert amps("abyc_e11", 105.0) == 35
    assert amps("abyc_e11", 105.0, engine_space=True) == pytest.approx(30, abs=0.5)
    assert amps("abyc_e11", 105.0, bundled=12) == pytest.approx(17.5, abs=0.05)


# --- factors -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("max_c", "printed"),
    [
        (70, {10: 1.22, 15: 1.17, 20: 1.12, 25: 1.06, 30: 1.00, 35: 0.94, 40: 0.87, 45: 0.79, 50: 0.71,
              55: 0.61, 60: 0.50}),
        (90, {10: 1.15, 15: 1.12, 20: 1.08, 25: 1.04, 30: 1.00, 35: 0.96, 40: 0.91, 45: 0.87, 50: 0.82,
              55: 0.76, 60: 0.71, 65: 0.65, 70: 0.58, 75: 0.50, 80: 0.41}),
        (60, {30: 1.00, 35: 0.91, 40: 0.82, 45: 0.71, 50: 0.58, 55: 0.41}),
    ],
)  # fmt: skip
def test_ambient_factors(max_c, printed):
    """IEC 60364-5-52 Table B.52.14 (70, 90 °C) and BS 7671 Table 4F3A's cord factors (60 °C)."""
    for ambient_c, factor in printed.items():
        assert derating.ambient_factor(float(ambient_c), float(max_c)) == pytest.approx(factor, abs=0.0051)


def test_grouping_factors():
    """BS 7671 Table 4C1, bunched or enclosed, by a wiring-regulations handbook."""
    printed = [1.00, 0.80, 0.70, 0.65, 0.60, 0.57, 0.54, 0.52, 0.50]
    assert [derating.grouping_factor(n) for n in range(1, 10)] == printed
    assert [derating.grouping_factor(n) for n in (12, 16, 20)] == [0.45, 0.41, 0.38]
    assert [derating.grouping_factor(n) for n in (10, 13, 17)] == [0.45, 0.41, 0.38]  # the next larger row


@pytest.mark.parametrize(
    ("insulation_c", "printed"),
    [
        (70.0, {25: 1.03, 30: 1.00, 35: 0.94, 40: 0.87, 45: 0.79, 50: 0.71, 55: 0.61, 60: 0.50}),
        (90.0, {25: 1.02, 30: 1.00, 35: 0.96, 40: 0.91, 45: 0.87, 50: 0.82, 55: 0.76, 60: 0.71, 65: 0.65,
                70: 0.58, 75: 0.50, 80: 0.41}),
    ],
)  # fmt: skip
def test_bs_7671_4b1(insulation_c, printed):
    """BS 7671 Table 4B1 (published, second hand; the row of 25 °C from memory), on 4 mm² by method B."""
    alone = cable_rating(4.0, table="bs_7671", insulation_c=insulation_c).amps
    for ambient_c, factor in printed.items():
        warm = cable_rating(4.0, table="bs_7671", insulation_c=insulation_c, ambient_c=float(ambient_c))
        assert warm.amps == pytest.approx(alone * factor)


@pytest.mark.parametrize(
    ("ambient_c", "factor"), [(10, 1.22), (20, 1.12), (40, 0.87), (50, 0.71), (60, 0.50)]
)
def test_vde_0298_4_in_other_air(ambient_c, factor):
    """IEC 60364-5-52 Table B.52.14, PVC (published, second hand), which DIN VDE 0298-4 shares.

    The program works with the root that the cells follow: half a digit of the factor.
    """
    rating = cable_rating(2.5, table="vde_0298_4", insulation_c=70.0, ambient_c=float(ambient_c))
    assert rating.amps == pytest.approx(32 * factor, abs=32 * 0.0051)


@pytest.mark.parametrize(("bundled", "factor"), [(2, 0.80), (3, 0.70), (5, 0.60), (9, 0.50), (20, 0.38)])
def test_vde_0298_4_bunched(bundled, factor):
    """BS 7671 Table 4C1, bunched; DIN VDE 0298-4 shares its figures (published, second hand)."""
    rating = cable_rating(2.5, table="vde_0298_4", insulation_c=70.0, bundled=bundled)
    assert rating.amps == pytest.approx(32 * factor)


@pytest.mark.parametrize(
    ("table", "printed"),
    [
        ("abyc_e11", {2: 1.0, 3: 0.70, 4: 0.60, 6: 0.60, 7: 0.50, 24: 0.50, 25: 0.40}),
        ("iso_10133", {3: 1.0, 4: 0.70, 6: 0.70, 7: 0.60, 24: 0.60, 25: 0.50}),
    ],
)
def test_bundles_of_boats(table, printed):
    """US Coast Guard Table F by a marine catalogue (one source); ISO 13297:2020 (from memory)."""
    for bundled, factor in printed.items():
        rating = cable_rating(2.5, table=table, insulation_c=105.0, bundled=bundled)
        assert rating.amps == pytest.approx(35 * factor)


@pytest.mark.parametrize(
    ("table", "printed"),
    [
        (abyc_e11, {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 105: 0.85, 125: 0.89, 200: 1.00}),
        (iso_10133, {70: 0.75, 85: 0.82, 105: 0.86, 125: 0.89, 200: 1.00}),
    ],
)
def test_engine_spaces(table, printed):
    """33 CFR 183.425 (105 °C published, second hand; the rest from memory), ISO 10133 (from memory).

    Both are the factors of air at 50 °C, within a digit; ISO's 70 and 85 are those of 75 and 90 °C. The last
    column is given whole.
    """
    assert {column: table.ENGINE_SPACE[column] for column in printed} == printed
    stands_for = {70: 75, 85: 90} if table is iso_10133 else {}
    for column, factor in printed.items():
        if column < 200:
            max_c = stands_for.get(column, column)
            assert math.sqrt((max_c - 50) / (max_c - 30)) == pytest.approx(factor, abs=0.011)


@pytest.mark.parametrize(
    ("source", "checked"),
    [
        (vde_0298_4.FREE_AIR_SOURCE, "from memory"),
        (iso_10133.CURRENT_SOURCE, "from memory"),
        (iso_10133.ENGINE_SPACE_SOURCE, "from memory"),
        (iso_10133.BUNDLE_SOURCE, "from memory"),
        (abyc_e11.CURRENT_SOURCE, "read in the work"),
        (abyc_e11.ENGINE_SPACE_SOURCE, "published, second hand"),
        (abyc_e11.ENGINE_SPACE_MEMORY_SOURCE, "from memory"),
        (abyc_e11.BUNDLE_SOURCE, "one source"),
        (bs_7671.PVC_B_SOURCE, "published, second hand"),
        (bs_7671.PVC_SOURCE, "one source"),
        (bs_7671.XLPE_SOURCE, "one source"),
        (bs_7671.AMBIENT_SOURCE, "published, second hand"),
        (bs_7671.AMBIENT_25_SOURCE, "from memory"),
        (bs_7671.GROUPING_SOURCE, "published, second hand"),
        (derating.AMBIENT_SOURCE, "published, second hand"),
        (derating.GROUPING_SOURCE, "published, second hand"),
    ],
    ids=lambda value: getattr(value, "place", value),
)
def test_each_table_says_how_far_it_was_confirmed(source, checked):
    assert source.checked == checked
