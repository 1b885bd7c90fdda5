"""Tube over a bundle, and grommets: as they are sold.

Sources: nominal widths of corrugated tube and bores of grommets, from memory; spare room common practice.
"""

from __future__ import annotations

from loomwright.source import Source

TUBE_SOURCE = Source(work="common practice", place="nominal widths of corrugated tube", checked="from memory")
GROMMET_SOURCE = Source(work="common practice", place="usual bores of grommets", checked="from memory")
#: Inside widths of slit corrugated tube. [mm]
TUBE_MM = (4.5, 7.5, 8.5, 10.0, 12.0, 14.0, 17.0, 19.0, 22.0, 26.0, 29.0, 37.0)
#: Bores of grommets. [mm]
GROMMET_MM = (4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 18.0, 20.0, 25.0, 30.0, 35.0, 40.0, 50.0)
#: A tube is so much wider than its bundle.
TUBE_OVER = 1.1


def tube_mm(bundle_mm: float) -> float | None:
    """Return the inside width of the tube over a bundle; None if none is so wide. [mm]

    Examples
    --------
    >>> tube_mm(8.0), tube_mm(60.0)
    (10.0, None)
    """
    return next((mm for mm in TUBE_MM if mm >= TUBE_OVER * bundle_mm), None)


def grommet_mm(needed_mm: float) -> float | None:
    """Return the grommet whose bore is at least so wide; None if none is. [mm]

    Examples
    --------
    >>> grommet_mm(15.3)
    18.0
    """
    return next((mm for mm in GROMMET_MM if mm >= needed_mm), None)
