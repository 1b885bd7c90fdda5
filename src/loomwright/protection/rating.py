"""What a cable carries for good: its table value, less what the bundle and the warm air take.

    I_z = I_0 · k_b · k_a

Four tables may be named; each is read by its own rules. A size between two rows carries what the next
smaller row does. A result for insulation between two columns is that of the cooler column.

Sources: those of the tables (DIN VDE 0298-4, ISO 10133, 33 CFR 183.425 / ABYC E-11, BS 7671).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.steps import Given, Step, looked_up
from loomwright.tables import abyc_e11, awg, bs_7671, derating, iso_10133, vde_0298_4
from loomwright.tables.lookup import row_at_or_above, row_at_or_below


@dataclass(frozen=True, slots=True)
class Rating:
    """What a cable carries for good where it lies.

    Attributes
    ----------
    amps : float
        Derated current. [A]
    basis : str
        Table and factors in one line.
    steps : tuple of Step
        The sums, the result last.
    """

    amps: float
    basis: str
    steps: tuple[Step, ...]


def cable_rating(
    area_mm2: float,
    *,
    table: str,
    insulation_c: float,
    ambient_c: float = 30.0,
    bundled: int = 1,
    engine_space: bool = False,
) -> Rating:
    """Return the derated current of one cable.

    Parameters
    ----------
    area_mm2 : float
        Nominal area of its copper. [mm²]
    table : str
        One of `TABLES`.
    insulation_c : float
        Largest lasting temperature of its insulation. [°C]
    ambient_c : float
        Air around it. [°C]
    bundled : int
        Loaded cores lying together, this one included.
    engine_space : bool
        It lies in the engine space; only the boat tables have a factor of their own for that, the others
        count the stated `ambient_c`.

    Returns
    -------
    Rating
        0 A where the air is as hot as the insulation may be.

    Raises
    ------
    OutOfTableError
        The table is not held, or starts at a larger size or hotter insulation.

    Examples
    --------
    >>> rating = cable_rating(2.5, table="vde_0298_4", insulation_c=70.0, ambient_c=40.0, bundled=3)
    >>> round(rating.amps, 1), rating.basis
    (19.4, 'DIN VDE 0298-4: 32 A × 0.70 (3 together) × 0.87 (40 °C)')

    References
    ----------
    DIN VDE 0298-4; ISO 10133:2012 Table A.1; 33 CFR 183.425 Table 5; BS 7671 Tables 4D1A, 4E1A, 4B1, 4C1.
    """
    if table not in _RULES:
        raise OutOfTableError(f'no current table "{table}"; held: {", ".join(TABLES)}')
    return _rated(table, _Where(area_mm2, insulation_c, ambient_c, max(bundled, 1), engine_space))


@dataclass(frozen=True, slots=True)
class _Where:
    area_mm2: float
    insulation_c: float
    ambient_c: float
    bundled: int
    engine_space: bool


@lru_cache(maxsize=4096)  # the same few cables are asked for again and again while sizes are chosen
def _rated(table: str, where: _Where) -> Rating:
    start, bundle, ambient = _RULES[table](where)
    factors = (start, bundle, ambient)
    amps = start.value * bundle.value * ambient.value
    product = Step(
        "I_z",
        "I_0 * k_b * k_a",
        tuple(Given(step.symbol, step.value, step.unit) for step in factors),
        amps,
        "A",
        None,
        "carried for good",
    )
    together = f"{where.bundled} together" if where.bundled > 1 else "alone"
    basis = f"{_NAMES[table]}: {start.value:g} A × {bundle.value:.2f} ({together})"
    return Rating(amps, f"{basis} × {ambient.value:.2f} ({ambient.says})", (*factors, product))


_Factors = tuple[Step, Step, Step]


def _vde_0298_4(where: _Where) -> _Factors:
    row = row_at_or_below(vde_0298_4.FREE_AIR_A, where.area_mm2, "DIN VDE 0298-4")
    column_c = row_at_or_below((70.0,), where.insulation_c, "DIN VDE 0298-4")
    says = f"{row:g} mm², PVC 70 °C, single in free air at 30 °C"
    if where.insulation_c > column_c:
        says += f"; {where.insulation_c:g} °C insulation starts from the same amperes"
    start = looked_up("I_0", vde_0298_4.FREE_AIR_A[row], "A", vde_0298_4.FREE_AIR_SOURCE, says)
    cold = where.ambient_c < derating.TABLE_AMBIENT_C  # hotter insulation is still no worse than PVC
    max_c = column_c if cold else where.insulation_c
    return start, _grouping(where.bundled, derating.GROUPING_SOURCE), _ambient(where, max_c)


def _iso_10133(where: _Where) -> _Factors:
    row = row_at_or_below(iso_10133.CURRENT_A, where.area_mm2, "ISO 10133")
    column = row_at_or_below(iso_10133.COLUMNS_C, where.insulation_c, "ISO 10133")
    amps = iso_10133.CURRENT_A[row][iso_10133.COLUMNS_C.index(column)]
    start = looked_up(
        "I_0", amps, "A", iso_10133.CURRENT_SOURCE, f"{row:g} mm², {column:g} °C, single, 30 °C"
    )
    bundle = _boat_bundle(where.bundled, iso_10133.BUNDLE, iso_10133.BUNDLE_OF_MORE, iso_10133.BUNDLE_SOURCE)
    engine = iso_10133.ENGINE_SPACE[column], iso_10133.ENGINE_SPACE_SOURCE
    return start, bundle, _boat_ambient(where, column, engine)


def _abyc_e11(where: _Where) -> _Factors:
    gauge = awg.largest_within(where.area_mm2)
    if gauge not in abyc_e11.CURRENT_A:
        raise OutOfTableError(
            f"{where.area_mm2:g} mm² is less copper than AWG 18, the first row of ABYC E-11"
        )
    column = row_at_or_below(abyc_e11.COLUMNS_C, where.insulation_c, "ABYC E-11")
    amps = abyc_e11.CURRENT_A[gauge][abyc_e11.COLUMNS_C.index(column)]
    start = looked_up(
        "I_0", amps, "A", abyc_e11.CURRENT_SOURCE, f"{awg.label(gauge)}, {column:g} °C, single, 30 °C"
    )
    bundle = _boat_bundle(where.bundled, abyc_e11.BUNDLE, abyc_e11.BUNDLE_OF_MORE, abyc_e11.BUNDLE_SOURCE)
    source = abyc_e11.ENGINE_SPACE_SOURCE if column == 105.0 else abyc_e11.ENGINE_SPACE_MEMORY_SOURCE
    return start, bundle, _boat_ambient(where, column, (abyc_e11.ENGINE_SPACE[column], source))


def _bs_7671(where: _Where) -> _Factors:
    column_c = row_at_or_below((70.0, 90.0), where.insulation_c, "BS 7671")
    pvc = column_c == 70.0
    table, source = (bs_7671.PVC_A, bs_7671.PVC_B_SOURCE) if pvc else (bs_7671.XLPE_A, bs_7671.XLPE_SOURCE)
    row = row_at_or_below(table, where.area_mm2, "BS 7671")
    amps = table[row][bs_7671.METHODS.index("B")]
    assert amps is not None, "method B is given for every size"
    start = looked_up("I_0", amps, "A", source, f"{row:g} mm², {column_c:g} °C, method B, two loaded, 30 °C")
    circuits = math.ceil(where.bundled / 2)
    bundle = _grouping(
        circuits, bs_7671.GROUPING_SOURCE, f"{where.bundled} loaded cores, {circuits} circuits"
    )
    factors = bs_7671.PVC_AMBIENT if pvc else bs_7671.XLPE_AMBIENT
    air = row_at_or_above(factors, where.ambient_c)
    if air is None:
        return start, bundle, _ambient(where, column_c)
    source = bs_7671.AMBIENT_25_SOURCE if air == 25.0 else bs_7671.AMBIENT_SOURCE
    return start, bundle, looked_up("k_a", factors[air], "", source, f"{where.ambient_c:g} °C")


_RULES: Mapping[str, Callable[[_Where], _Factors]] = MappingProxyType(
    {"vde_0298_4": _vde_0298_4, "iso_10133": _iso_10133, "abyc_e11": _abyc_e11, "bs_7671": _bs_7671}
)
_NAMES = MappingProxyType(
    {
        "vde_0298_4": "DIN VDE 0298-4",
        "iso_10133": "ISO 10133",
        "abyc_e11": "ABYC E-11",
        "bs_7671": "BS 7671 method B",
    }
)
#: The tables that may be named.
TABLES = tuple(_RULES)


def _grouping(count: int, source: Source, says: str = "") -> Step:
    factor = derating.grouping_factor(count)
    says = says or f"{count} loaded cores together"
    if row_at_or_above(derating.GROUPING, count) is not None:
        return looked_up("k_b", factor, "", source, says)
    inputs = (Given("k_20", derating.GROUPING[20], ""), Given("n", count, ""))
    return Step("k_b", "k_20 * sqrt(20 / n)", inputs, factor, "", source, f"{says}; beyond the table by 1/√n")


def _ambient(where: _Where, max_c: float) -> Step:
    """Return the factor of the air by the rule that the tables' cells follow."""
    factor = derating.ambient_factor(where.ambient_c, max_c)
    hottest = Given("T_max", max_c, "°C")
    if where.ambient_c >= max_c:
        air = Given("T_a", where.ambient_c, "°C")
        formula, inputs = "max(T_max - T_a, 0)", (hottest, air)
    else:
        air = Given("T_a", max(where.ambient_c, derating.COLDEST_ROW_C), "°C")
        formula, inputs = "sqrt((T_max - T_a) / (T_max - 30))", (hottest, air)
    return Step("k_a", formula, inputs, factor, "", derating.AMBIENT_SOURCE, f"{where.ambient_c:g} °C")


def _boat_bundle(count: int, rows: Mapping[int, float], of_more: float, source: Source) -> Step:
    row = row_at_or_above(rows, count)
    factor = rows[row] if row is not None else of_more
    return looked_up("k_b", factor, "", source, f"{count} loaded conductors together")


def _boat_ambient(where: _Where, column_c: float, engine: tuple[float, Source]) -> Step:
    """Return the factor of the air: no credit for cold, the standard's own factor in the engine space.

    Where the stated air is hotter than that factor stands for, the rule of physics asks for more and counts.
    """
    air = _ambient(where, where.insulation_c)
    factor, source = engine
    if where.engine_space and factor < air.value:
        return looked_up("k_a", factor, "", source, f"engine space, {column_c:g} °C insulation")
    if where.ambient_c <= derating.TABLE_AMBIENT_C:
        return looked_up(
            "k_a", 1.0, "", derating.AMBIENT_SOURCE, f"{where.ambient_c:g} °C, the table's 30 °C"
        )
    return air
