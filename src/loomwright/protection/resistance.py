"""Resistance of a copper conductor, from its size, its length and the temperature of its copper.

The table values are the largest that the standard allows, so drops come out on the safe side; for the
largest fault current take the copper cold. Skin effect is left out: DC, or 50 Hz in small sizes.

Sources: IEC 60228 (values), IEC 60028 (temperature), ASTM B258 (American gauges).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source
from loomwright.steps import Given, Step, looked_up
from loomwright.tables import awg, iec_60228
from loomwright.tables.copper import COPPER_SOURCE, temperature_factor
from loomwright.tables.lookup import listed

#: Conductors counted by nominal area, with the table that holds their ohms.
_BY_LABEL: Mapping[str, tuple[Mapping[float, float], Source]] = MappingProxyType(
    {
        "iec_60228_class_5": (iec_60228.CLASS_5_OHM_PER_KM, iec_60228.CLASS_5_SOURCE),
        "iec_60228_class_5_tinned": (iec_60228.CLASS_5_TINNED_OHM_PER_KM, iec_60228.CLASS_5_SOURCE),
        "iec_60228_class_2": (iec_60228.CLASS_2_OHM_PER_KM, iec_60228.CLASS_2_SOURCE),
        "iec_60228_class_2_tinned": (iec_60228.CLASS_2_TINNED_OHM_PER_KM, iec_60228.CLASS_2_SOURCE),
    }
)
_BELOW_HALF_MM2: Mapping[str, Mapping[float, float]] = MappingProxyType(
    {
        "iec_60228_class_5": iec_60228.SMALL_FLEXIBLE_OHM_PER_KM,
        "iec_60228_class_5_tinned": iec_60228.SMALL_FLEXIBLE_TINNED_OHM_PER_KM,
    }
)
#: The names that `conductors` may take.
CONDUCTORS = (*_BY_LABEL, "awg")

TEMPERATURE_RISE_SOURCE = Source(
    work="common practice", place="heat of a conductor grows with I²", checked="computed"
)


def conductor_resistance(
    area_mm2: float, length_m: float, temp_c: float = 20.0, conductors: str = "iec_60228_class_5"
) -> float:
    """Return the DC resistance of one copper conductor.

    Parameters
    ----------
    area_mm2 : float
        Nominal area. A size between two listed ones counts with the ohms of the next smaller, in
        proportion to its area. [mm²]
    length_m : float
        Length of this conductor, one way. [m]
    temp_c : float
        Temperature of the copper, not of the air. [°C]
    conductors : str
        One of `CONDUCTORS`.

    Returns
    -------
    float
        Resistance end to end, R20 · (234.5 + T)/254.5. [Ω]

    Raises
    ------
    OutOfTableError
        Size or kind of conductor is not held.

    Examples
    --------
    >>> round(conductor_resistance(6.0, 5.0), 4)
    0.0165

    References
    ----------
    IEC 60228, Tables 2 and 3; IEC 60028, linear rule; ASTM B258.
    """
    return run_resistance(area_mm2, length_m, temp_c, conductors)[0]


def run_resistance(
    area_mm2: float, length_m: float, temp_c: float = 20.0, conductors: str = "iec_60228_class_5"
) -> tuple[float, Source]:
    """Return what `conductor_resistance` does, with the source of its table value.

    Parameters
    ----------
    area_mm2, length_m, temp_c, conductors
        As for `conductor_resistance`. [mm², m, °C]

    Returns
    -------
    float, Source
        Resistance end to end [Ω], and the table.

    Raises
    ------
    OutOfTableError
        Size or kind of conductor is not held.

    Examples
    --------
    >>> ohm, source = run_resistance(6.0, 5.0)
    >>> source.work
    'IEC 60228'
    """
    per_km, source, _says = _ohm_per_km_20(area_mm2, conductors)
    return per_km * length_m / 1000.0 * temperature_factor(temp_c), source


def resistance_steps(
    area_mm2: float, length_m: float, temp_c: float = 20.0, conductors: str = "iec_60228_class_5"
) -> tuple[Step, ...]:
    """Return the sums behind `conductor_resistance`; the last one is its result.

    Parameters
    ----------
    area_mm2, length_m, temp_c, conductors
        As for `conductor_resistance`. [mm², m, °C]

    Returns
    -------
    tuple of Step
        Table value, temperature factor, resistance.

    Raises
    ------
    OutOfTableError
        Size or kind of conductor is not held.

    Examples
    --------
    >>> [step.symbol for step in resistance_steps(6.0, 5.0)]
    ['r_20', 'k_t', 'R']
    """
    per_km, source, says = _ohm_per_km_20(area_mm2, conductors)
    factor = temperature_factor(temp_c)
    return (
        looked_up("r_20", per_km, "Ω/km", source, says),
        Step(
            "k_t",
            "(234.5 + T) / 254.5",
            (Given("T", temp_c, "°C"),),
            factor,
            "",
            COPPER_SOURCE,
            f"copper at {temp_c:.0f} °C",
        ),
        Step(
            "R",
            "r_20 * k_t * l / 1000",
            (Given("r_20", per_km, "Ω/km"), Given("k_t", factor, ""), Given("l", length_m, "m")),
            per_km * length_m / 1000.0 * factor,
            "Ω",
            None,
            f"{length_m:g} m of {area_mm2:g} mm²",
        ),
    )


def copper_temperature(ambient_c: float, max_c: float, current_a: float, rated_a: float) -> float:
    """Return the temperature that a lasting current gives the copper.

    Where the current table starts from cooler insulation than the wire has, this lies above the truth:
    on the safe side. Beyond the rating it goes on growing; the cable is then at fault anyway.

    Parameters
    ----------
    ambient_c : float
        Air around the wire. [°C]
    max_c : float
        Temperature at which the rating is reached: that of the insulation. [°C]
    current_a : float
        Lasting current. [A]
    rated_a : float
        What the cable carries here, derated. [A]

    Returns
    -------
    float
        Ta + (Tmax - Ta) · (I/Iz)²; the hotter of `ambient_c` and `max_c` for a cable that may carry
        nothing here and yet does. [°C]

    Examples
    --------
    >>> copper_temperature(30.0, 70.0, 16.0, 32.0)
    40.0

    References
    ----------
    Heat balance in the steady state: rise in proportion to I².
    """
    if current_a == 0.0:
        return ambient_c
    if rated_a <= 0.0:
        return max(ambient_c, max_c)
    return ambient_c + (max_c - ambient_c) * (current_a / rated_a) ** 2


def copper_temperature_step(ambient_c: float, max_c: float, current_a: float, rated_a: float) -> Step:
    """Return the sum behind `copper_temperature`.

    Parameters
    ----------
    ambient_c, max_c, current_a, rated_a : float
        As for `copper_temperature`. [°C, °C, A, A]

    Returns
    -------
    Step
        Its value in °C.

    Examples
    --------
    >>> copper_temperature_step(30.0, 70.0, 16.0, 32.0).formula
    'T_a + (T_max - T_a) * (I / I_z) ** 2'
    """
    value = copper_temperature(ambient_c, max_c, current_a, rated_a)
    ambient, hottest = Given("T_a", ambient_c, "°C"), Given("T_max", max_c, "°C")
    inputs: tuple[Given, ...]
    if current_a == 0.0:
        formula, inputs = "T_a", (ambient,)
    elif rated_a <= 0.0:
        formula, inputs = "max(T_a, T_max)", (ambient, hottest)
    else:
        formula = "T_a + (T_max - T_a) * (I / I_z) ** 2"
        inputs = (ambient, hottest, Given("I", current_a, "A"), Given("I_z", rated_a, "A"))
    return Step("T", formula, inputs, value, "°C", TEMPERATURE_RISE_SOURCE, "temperature of the copper")


def _ohm_per_km_20(area_mm2: float, conductors: str) -> tuple[float, Source, str]:
    """Return ohms per kilometre at 20 °C, their source, and which row they are. [Ω/km]"""
    if conductors == "awg":
        if area_mm2 <= 0.0:
            raise OutOfTableError(f"no conductor of {area_mm2:g} mm²")
        return awg.ohm_per_km(area_mm2), awg.STRANDED_SOURCE, f"{area_mm2:.3g} mm² of stranded copper"
    if conductors not in _BY_LABEL:
        raise OutOfTableError(f'no conductors "{conductors}"; held: {", ".join(CONDUCTORS)}')
    table, source = _BY_LABEL[conductors]
    small = _BELOW_HALF_MM2.get(conductors, {})
    if area_mm2 in small:
        return small[area_mm2], iec_60228.SMALL_FLEXIBLE_SOURCE, f"{area_mm2:g} mm²"
    if area_mm2 in table:
        return iec_60228.ohm_per_km(area_mm2, table), source, f"{area_mm2:g} mm²"
    sizes = sorted((*small, *table))
    if not sizes[0] <= area_mm2 <= sizes[-1]:
        raise OutOfTableError(f"no conductor of {area_mm2:g} mm² in IEC 60228; sizes held: {listed(sizes)}")
    below = max(size for size in sizes if size <= area_mm2)
    per_km = {**small, **table}[below] * below / area_mm2
    between = Source(work=source.work, place=f"{source.place}; between sizes by area", checked="computed")
    return per_km, between, f"{area_mm2:g} mm², from the {below:g} mm² row"
