"""Standard sizes of conductor, and the smallest that serves a need."""

from __future__ import annotations

from collections.abc import Callable

from loomwright.tables import awg, iec_60228

#: Smallest size laid singly in a van, unless the caller says otherwise: mechanical strength. [mm²]
SMALLEST_MM2 = 0.5


def sizes(conductors: str = "iec_60228_class_5", smallest_mm2: float = SMALLEST_MM2) -> tuple[float, ...]:
    """Return the standard areas of a kind of conductor, smallest first.

    Parameters
    ----------
    conductors : str
        "awg" gives the areas of American gauges, 20 to 4/0; anything else those of IEC 60228.
    smallest_mm2 : float
        None below this. [mm²]

    Returns
    -------
    tuple of float
        [mm²]

    Examples
    --------
    >>> sizes(smallest_mm2=1.5)[:4]
    (1.5, 2.5, 4.0, 6.0)
    >>> [round(area, 2) for area in sizes("awg")[:3]]
    [0.52, 0.82, 1.31]

    References
    ----------
    IEC 60228; ASTM B258.
    """
    held = map(awg.area_mm2, awg.GAUGES) if conductors == "awg" else iec_60228.CLASS_5_OHM_PER_KM
    return tuple(area for area in held if area >= smallest_mm2)


def smallest_that(
    serves: Callable[[float], bool], conductors: str = "iec_60228_class_5", smallest_mm2: float = SMALLEST_MM2
) -> float | None:
    """Return the smallest standard area that passes a test.

    Parameters
    ----------
    serves : callable
        Takes an area in mm² and says whether it will do.
    conductors, smallest_mm2
        As for `sizes`. [mm²]

    Returns
    -------
    float or None
        [mm²]; None if none will do.

    Examples
    --------
    >>> smallest_that(lambda area: area >= 5.0)
    6.0
    """
    return next((area for area in sizes(conductors, smallest_mm2) if serves(area)), None)
