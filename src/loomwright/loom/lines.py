"""Polylines in metres: how far along them a point lies, its foot on them, where two of them come near."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float, float]
Floats = NDArray[np.float64]


class Line:
    """A polyline with how far along it each corner lies; a measured length is spread over it."""

    def __init__(self, points: Sequence[Point], length_m: float | None = None) -> None:
        self.points = np.asarray(points, dtype=float)
        long = np.linalg.norm(np.diff(self.points, axis=0), axis=1)
        drawn = float(long.sum())
        scale = length_m / drawn if length_m is not None and drawn > 0.0 else 1.0
        self.at = np.concatenate([[0.0], np.cumsum(long)]) * scale

    def feet(self, points: Floats) -> tuple[Floats, Floats, Floats]:
        """Return the nearest point to each of some points: how far along, how far off, and where.

        Parameters
        ----------
        points : array of shape (n, 3)
            [m]

        Returns
        -------
        along, off : arrays of shape (n,)
            [m]
        at : array of shape (n, 3)
            [m]
        """
        if len(self.points) == 1:
            off = np.linalg.norm(points - self.points[0], axis=1)
            return np.zeros(len(points)), off, np.repeat(self.points, len(points), axis=0)
        a, span = self.points[:-1], np.diff(self.points, axis=0)
        square = np.maximum((span**2).sum(axis=1), 1e-12)
        t = np.clip(((points[:, None] - a) * span).sum(axis=2) / square, 0.0, 1.0)
        feet = a + t[..., None] * span
        far = np.linalg.norm(feet - points[:, None], axis=2)
        k, n = far.argmin(axis=1), np.arange(len(points))
        along = self.at[k] + t[n, k] * (self.at[k + 1] - self.at[k])
        return along, far[n, k], feet[n, k]


def apart(a: Point, b: Point) -> float:
    """Return how far two points are apart. [m]"""
    return float(np.sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2))


def point_of(values: Floats) -> Point:
    """Return a point as a tuple. [m]"""
    x, y, z = values.tolist()
    return (x, y, z)


__all__ = ["Floats", "Line", "Point", "apart", "point_of"]
