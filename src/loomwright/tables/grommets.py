"""Grommets as they are sold, by their bore: the smallest that takes a bundle with its room.

Source: from memory; what is on the shelf goes before it.
"""

from __future__ import annotations

from loomwright.source import Source

GROMMET_SOURCE = Source(work="common practice", place="usual bores of grommets", checked="from memory")
#: Bores of grommets. [mm]
GROMMET_MM = (4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 18.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0)


def grommet_mm(needed_mm: float) -> float | None:
    """Return the grommet whose bore is at least so wide; None if none is. [mm]

    Examples
    --------
    >>> grommet_mm(15.3)
    18.0
    """
    return next((mm for mm in GROMMET_MM if mm >= needed_mm), None)
