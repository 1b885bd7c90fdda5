"""How single resistances are worked out: copper by its length, joints by their number, halves of a whole."""

from __future__ import annotations

from loomwright.steps import Given, Step
from loomwright.tables.copper import temperature_factor

from . import bands


def copper_step(area_mm2: float, length_m: float, temp_c: float, conductors: str) -> Step:
    """Return the resistance of a conductor: ohms per metre, length, and how warm its copper is.

    Parameters
    ----------
    area_mm2, length_m, temp_c : float
        Nominal area, length one way, temperature of the copper. [mm², m, °C]
    conductors : str
        Table of ohms per metre, as for `conductor_resistance`.

    Returns
    -------
    Step
        [Ω]; the copper at 20 °C is not named in its formula.
    """
    per_m = bands.copper_ohm(area_mm2, 1.0, 20.0, conductors)
    given = (Given("r", per_m, "Ω/m"), Given("l", length_m, "m"))
    factor = temperature_factor(temp_c)
    if factor == 1.0:
        return Step("R", "r * l", given, per_m * length_m, "Ω")
    warm = (*given, Given("k_t", factor, ""))
    says = f"copper at {temp_c:.0f} °C"
    return Step("R", "r * l * k_t", warm, per_m * length_m * factor, "Ω", None, says)


def several(count: int, each_ohm: float, parts: int = 1) -> Step:
    """Return the resistance of so many joints alike, or of the equal part of them that one piece has. [Ω]"""
    given = (Given("n", count, ""), Given("r", each_ohm, "Ω"))
    if parts == 1:
        return Step("R", "n * r", given, count * each_ohm, "Ω")
    return Step("R", "n * r / p", (*given, Given("p", parts, "")), count * each_ohm / parts, "Ω")


def part_of(whole_ohm: float, parts: int) -> tuple[float, Step | None]:
    """Return an equal part of a resistance, and the sum if it is not the whole. [Ω]"""
    if parts == 1:
        return whole_ohm, None
    given = (Given("r", whole_ohm, "Ω"), Given("p", parts, ""))
    return whole_ohm / parts, Step("R", "r / p", given, whole_ohm / parts, "Ω")
