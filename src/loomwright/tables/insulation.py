"""What a wire's insulation endures: lasting, and for the seconds of a short circuit.

Sources: IEC 60364-4-43 and IEC 60364-5-54 give the end temperatures for building wire. No published
value was found for automotive wire: that of the same plastic in building wire is assumed.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.errors import OutOfTableError
from loomwright.source import Source

_BUILDING = Source(
    work="IEC 60364-5-54",
    place="start and end temperatures behind k 115, 143, 132",
    checked="published, second hand",
)
_ASSUMED = Source(
    work="common practice",
    place="automotive wire: end temperature of the same plastic in building wire",
    checked="common practice",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Insulation:
    """One class of insulation.

    Attributes
    ----------
    name : str
        As written in a plan: "PVC 70 °C".
    max_c : float
        Largest lasting temperature of the conductor. [°C]
    short_circuit_c : float
        Largest temperature at the end of a short circuit of up to 5 s. [°C]
    source : Source
        Of these temperatures.
    """

    name: str
    max_c: float
    short_circuit_c: float
    source: Source


INSULATIONS = (
    Insulation(name="PVC 70 °C", max_c=70.0, short_circuit_c=160.0, source=_BUILDING),
    Insulation(name="XLPE 90 °C", max_c=90.0, short_circuit_c=250.0, source=_BUILDING),
    Insulation(name="automotive 105 °C", max_c=105.0, short_circuit_c=160.0, source=_ASSUMED),  # PVC
    Insulation(name="automotive 125 °C", max_c=125.0, short_circuit_c=250.0, source=_ASSUMED),  # XLPE
    Insulation(name="silicone 180 °C", max_c=180.0, short_circuit_c=350.0, source=_BUILDING),
)


def insulation_class(name: str) -> Insulation:
    """Return the insulation of this name.

    Parameters
    ----------
    name : str
        "PVC 70 °C" and the like; capitals, spaces and the degree sign do not matter.

    Returns
    -------
    Insulation
        Its temperatures.

    Raises
    ------
    OutOfTableError
        No insulation of that name is held.

    Examples
    --------
    >>> insulation_class("automotive 105 C").max_c
    105.0
    """
    for known in INSULATIONS:
        if _plain(known.name) == _plain(name):
            return known
    raise OutOfTableError(f'no insulation "{name}"; held: {", ".join(known.name for known in INSULATIONS)}')


def _plain(name: str) -> str:
    return name.replace("°", "").replace(" ", "").casefold()
