"""Constants of conductor metals: resistivity, temperature, heat.

The linear rule R(T) = R20 · (234.5 + T) / 254.5 is exact for the constants given; IEC 60228 prints a
rounded one, (230 + T) / 250, which differs by less than 0.5 % between 0 and 105 °C.

Sources: IEC 60028 and IEC 60287-1-1 as carried in public reprints.
"""

from __future__ import annotations

from loomwright.source import Source

COPPER_SOURCE = Source(
    work="IEC 60028 / IEC 60287-1-1", place="constants of copper", checked="published, second hand"
)
#: Resistivity of copper at 20 °C. [Ω·mm²/m]
RESISTIVITY_OHM_MM2_PER_M = 0.017241
#: Reciprocal of copper's temperature coefficient at 0 °C. [°C]
BETA_C = 234.5
#: Heat that a volume of copper takes up, at 20 °C. [J/(K·mm³)]
HEAT_CAPACITY_J_PER_K_MM3 = 3.45e-3

STEEL_SOURCE = Source(work="IEC 60949 / IEC 60364-5-54", place="constants of steel", checked="one source")
#: Resistivity of steel at 20 °C: the body of the vehicle. [Ω·mm²/m]
STEEL_RESISTIVITY_OHM_MM2_PER_M = 0.138


def temperature_factor(temp_c: float) -> float:
    """Return the resistance of copper as a multiple of that at 20 °C.

    Parameters
    ----------
    temp_c : float
        Temperature of the metal. [°C]

    Returns
    -------
    float
        (234.5 + T) / 254.5.

    Examples
    --------
    >>> round(temperature_factor(70.0), 3)
    1.196

    References
    ----------
    IEC 60028, linear rule.
    """
    return (BETA_C + temp_c) / (BETA_C + 20.0)
