"""Colours of wires: the letters of IEC 60757, their names, and the ink they are drawn in.

GNYE is protective earth and stands as one word. The inks are ours, chosen to be told apart on screen and on
white paper; every drawn wire carries its letters as well.

Source: IEC 60757.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.errors import OutOfTableError
from loomwright.source import Source

COLOUR_SOURCE = Source(work="IEC 60757", place="letter codes", checked="from memory")

#: Letters of protective earth.
PROTECTIVE_EARTH = "GNYE"
#: The letters in the order in which they are written where a wire has two colours.
ORDER = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR")


@dataclass(frozen=True, slots=True)
class Colour:
    """One colour: its letters, its name, and its ink as #RRGGBB."""

    letters: str
    name: str
    ink: str


COLOURS: Mapping[str, Colour] = MappingProxyType(
    {
        colour.letters: colour
        for colour in (
            Colour("BK", "black", "#17191C"),
            Colour("BN", "brown", "#7C4A22"),
            Colour("RD", "red", "#CE2420"),
            Colour("OG", "orange", "#EC7A12"),
            Colour("YE", "yellow", "#F6CF1E"),
            Colour("GN", "green", "#2E8B3D"),
            Colour("BU", "blue", "#2563C4"),
            Colour("VT", "violet", "#7C3FA3"),
            Colour("GY", "grey", "#8A9299"),
            Colour("WH", "white", "#FFFFFF"),
            Colour("PK", "pink", "#F29AB8"),
            Colour("TQ", "turquoise", "#1FA7A0"),
        )
    }
)


def colours_of(letters: str) -> tuple[Colour, ...]:
    """Return the base colour of a wire, and the colour of its bands if it has any.

    Parameters
    ----------
    letters : str
        "RD", "RDBU", "GNYE".

    Returns
    -------
    tuple of Colour
        One or two.

    Raises
    ------
    OutOfTableError
        Letters that are not in IEC 60757.

    Examples
    --------
    >>> [colour.name for colour in colours_of("RDBU")]
    ['red', 'blue']

    References
    ----------
    IEC 60757.
    """
    pairs = [letters[k : k + 2] for k in range(0, len(letters), 2)]
    if len(pairs) not in (1, 2) or any(pair not in COLOURS for pair in pairs):
        raise OutOfTableError(f'no colour "{letters}"; letters held, one or two of: {" ".join(COLOURS)}')
    return tuple(COLOURS[pair] for pair in pairs)


def in_order(letters: str) -> str:
    """Return the letters of a colour as the standard writes them; green and yellow are protective earth.

    Parameters
    ----------
    letters : str
        "RD", "BURD", "YEGN"; one or two of `ORDER`.

    Returns
    -------
    str
        "RD", "RDBU", "GNYE".

    Examples
    --------
    >>> in_order("WHRD"), in_order("YEGN"), in_order("BK")
    ('RDWH', 'GNYE', 'BK')

    References
    ----------
    IEC 60757.
    """
    pairs = sorted((letters[k : k + 2] for k in range(0, len(letters), 2)), key=ORDER.index)
    return PROTECTIVE_EARTH if set(pairs) == {"GN", "YE"} else "".join(pairs)


def colour_name(letters: str) -> str:
    """Return a wire's colour in words.

    Parameters
    ----------
    letters : str
        "RD", "RDBU", "GNYE".

    Returns
    -------
    str
        "red", "red-blue", "green-yellow".

    Raises
    ------
    OutOfTableError
        Letters that are not in IEC 60757.

    Examples
    --------
    >>> colour_name("GNYE")
    'green-yellow'
    """
    return "-".join(colour.name for colour in colours_of(letters))
