"""Wires that lie together: how thick they are, what hole they pass, how they may bend, what they weigh.

A hand-laid, taped bundle of wires of diameters d is as thick as 1.2 · √Σd²: just above what equal wires
need at the least, so that it holds for mixed ones too.

Sources: the factor, and how much of a hole a bundle fills, are common practice; least circles round equal
circles are mathematics (Graham, Lubachevsky, Nurmela, Östergård, Discrete Mathematics 181, 1998).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from loomwright.source import Source

LAID_SOURCE = Source(
    work="common practice", place="thickness of a hand-laid, taped bundle", checked="from memory"
)
FILL_SOURCE = Source(work="NEC", place="chapter 9, table 1: fill of a pipe", checked="from memory")
HOLE_SOURCE = Source(
    work="common practice", place="a bundle fills 80 % of a grommet's bore", checked="from memory"
)
#: A taped bundle over the root of the sum of squares.
LAID_FACTOR = 1.2
#: A bundle may be as thick as so much of the bore of a grommet.
HOLE_SHARE = 0.8
#: Bores of split corrugated tube that are commonly to be had, and how much of one a bundle fills across. [mm]
TUBE_SOURCE = Source(work="common practice", place="bores of split corrugated tube", checked="from memory")
TUBE_BORES_MM = (4.5, 7.5, 8.5, 10.0, 13.0, 17.0, 19.0, 22.0, 26.0, 29.0, 32.0, 37.0)
TUBE_SHARE = 0.9
BEND_SOURCE = Source(
    work="common practice",
    place="inside radius: single PVC core laid fixed 4 times its diameter, bundles and heavy cable 6 times",
    checked="one source",
)
BEND_ALONE, BEND_TOGETHER = 4.0, 6.0
#: Of the area of a closed pipe so much may be filled, by the number of wires in it.
PIPE_FILL = {1: 0.53, 2: 0.31, 3: 0.40}
#: A metre of copper of 1 mm². [g]
COPPER_G_PER_M_MM2 = 8.96
#: A metre of PVC of 1 mm². [g]
PVC_G_PER_M_MM2 = 1.4
#: Share of copper in the circle round fine strands. Common practice.
STRANDED = 0.75


def bundle_diameter_mm(diameters_mm: Iterable[float]) -> float:
    """Return how thick a hand-laid bundle is; a single wire is as thick as it is.

    Parameters
    ----------
    diameters_mm : iterable of float
        Outside diameters of the wires. [mm]

    Examples
    --------
    >>> round(bundle_diameter_mm([3.0] * 7), 1)
    9.5
    """
    wires = list(diameters_mm)
    if len(wires) < 2:
        return sum(wires)
    return max(LAID_FACTOR * math.sqrt(sum(d * d for d in wires)), sum(sorted(wires)[-2:]))


def hole_needed_mm(bundle_mm: float) -> float:
    """Return the least bore of a grommet that a bundle passes. [mm]"""
    return bundle_mm / HOLE_SHARE


def tube_for_mm(bundle_mm: float) -> float | None:
    """Return the bore of the smallest split tube that goes around a bundle; None: thicker than all. [mm]

    Examples
    --------
    >>> tube_for_mm(11.5), tube_for_mm(40.0)
    (13.0, None)
    """
    return next((bore for bore in TUBE_BORES_MM if bundle_mm <= TUBE_SHARE * bore), None)


def bend_radius_mm(thick_mm: float, wires: int) -> float:
    """Return how tightly so many wires, so thick together, may be bent: the inside radius at the least. [mm]

    Aircraft practice (FAA AC 43.13-1B, from memory) asks 10 times the diameter of a bundle.

    Examples
    --------
    >>> bend_radius_mm(3.0, 1), bend_radius_mm(12.0, 5)
    (12.0, 72.0)
    """
    return thick_mm * (BEND_ALONE if wires == 1 else BEND_TOGETHER)


def pipe_fill(diameters_mm: Iterable[float], bore_mm: float) -> tuple[float, float]:
    """Return how much of a closed pipe's area its wires fill, and how much they may.

    Examples
    --------
    >>> fill, most = pipe_fill([3.0, 3.0, 3.0], 10.0)
    >>> round(fill, 2), most
    (0.27, 0.4)
    """
    wires = list(diameters_mm)
    most = PIPE_FILL[min(max(len(wires), 1), max(PIPE_FILL))]
    return sum(d * d for d in wires) / bore_mm**2, most


def wire_grams_per_m(area_mm2: float, diameter_mm: float) -> float:
    """Return what a metre of wire weighs: its copper, and PVC between strands and outside. [g]

    Examples
    --------
    >>> round(wire_grams_per_m(2.5, 3.6))
    32
    """
    plastic = max(math.pi / 4.0 * diameter_mm**2 - area_mm2 / STRANDED, 0.0)
    return COPPER_G_PER_M_MM2 * area_mm2 + PVC_G_PER_M_MM2 * plastic


__all__ = [
    "FILL_SOURCE",
    "HOLE_SHARE",
    "HOLE_SOURCE",
    "LAID_FACTOR",
    "LAID_SOURCE",
    "PIPE_FILL",
    "TUBE_BORES_MM",
    "TUBE_SHARE",
    "TUBE_SOURCE",
    "bundle_diameter_mm",
    "hole_needed_mm",
    "pipe_fill",
    "tube_for_mm",
    "wire_grams_per_m",
]
