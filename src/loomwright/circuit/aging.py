"""One joint that resists more than it did: what the loads behind it then get, and how far it may go.

A load sees `z` ohms between itself and `v0` volts. Of its current the part `s` comes through the joint; `d`
is the conductance of the ways around it, its own ohms included (0 if there is none). With `r` ohms more in
the joint the load sees

    z' = z + s² · r / (1 + r · d)

and takes i(v) = amps + watts / v + siemens · v. So its volts are the higher root of v = v0 - z' · i(v), and
the ohms at which they come down to `v` are (v0 - v) / i(v) - z.

With more ohms R = diag(r) in many joints at once, D the conductances around them and from one to the other,
it sees z' = z + s^T R (1 + D R)^-1 s.

Source: Thévenin's theorem and Tellegen's, as any textbook of circuit theory has them (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loomwright.circuit.linear import Floats


@dataclass(frozen=True, slots=True)
class Seen:
    """Loads, each alone, as they see their network; all shape (n,). [V, Ω, A, W, S]"""

    v0: Floats
    z: Floats
    amps: Floats
    watts: Floats
    siemens: Floats

    def takes(self, volts: Floats) -> Floats:
        """Return the current of each load at some volts; none at none. [A]"""
        by_power = np.divide(self.watts, volts, out=np.zeros_like(volts), where=volts > 0.0)
        return np.asarray(self.amps + by_power + self.siemens * volts)

    def volts_with(self, more_ohm: Floats) -> Floats:
        """Return the volts of each load with more ohms in its way; 0 where it can't be held up.

        Parameters
        ----------
        more_ohm : ndarray, shape (..., n)
            What each load sees besides its `z`. [Ω]

        Examples
        --------
        >>> one = Seen(*(np.array([x]) for x in (12.0, 0.1, 0.0, 20.0, 0.0)))
        >>> one.volts_with(np.array([[0.0], [0.2]])).round(3).tolist()
        [[11.831], [11.477]]
        """
        z = self.z + more_ohm
        slope, free = 1.0 + z * self.siemens, self.v0 - z * self.amps
        root = free**2 - 4.0 * slope * z * self.watts
        held = (root >= 0.0) & (free > 0.0)
        return np.where(held, (free + np.sqrt(np.where(held, root, 0.0))) / (2.0 * slope), 0.0)

    def ohm_until(self, limit_v: Floats) -> Floats:
        """Return the ohms more at which each load comes down to its limit; below 0 if it is there already.

        A load whose network can't hold it up before that has the most that can be held.

        Parameters
        ----------
        limit_v : ndarray, shape (n,)
            [V]
        """
        amps, held = self.takes(limit_v), self._ohm_held()
        ohm = np.where(np.isfinite(held), held, 0.0)
        knee_v = np.where(
            np.isfinite(held), (self.v0 - ohm * self.amps) / (2.0 + 2.0 * ohm * self.siemens), 0.0
        )
        reached = np.divide(self.v0 - limit_v, amps, out=np.full_like(limit_v, np.inf), where=amps > 0.0)
        return np.asarray(np.where(limit_v < knee_v, held, reached) - self.z)

    def _ohm_held(self) -> Floats:
        """Return the most ohms through which each load can be held up: v0² / 4P for a power alone."""
        # (v0 - z·amps)² = 4·(1 + z·siemens)·z·watts, a square in z: its smaller root
        a = self.amps**2 - 4.0 * self.siemens * self.watts
        b, c = 2.0 * self.v0 * self.amps + 4.0 * self.watts, self.v0**2
        below = b + np.sqrt(np.maximum(b * b - 4.0 * a * c, 0.0))
        powered = (self.watts > 0.0) & (below > 0.0)
        return np.divide(2.0 * c, below, out=np.full_like(self.v0, np.inf), where=powered)


def seen_ohm(more_ohm: Floats, around_s: Floats) -> Floats:
    """Return what more ohms in a joint are to the current that meets them, ways around it counted. [Ω]"""
    return np.asarray(more_ohm / (1.0 + more_ohm * around_s))


def own_ohm(seen: Floats, around_s: Floats) -> Floats:
    """Return the ohms of a joint that `seen_ohm` makes of; infinity if no joint, however poor, does. [Ω]"""
    near = np.isfinite(seen)
    left = 1.0 - np.where(near, seen, 0.0) * around_s
    return np.divide(seen, left, out=np.full_like(left, np.inf), where=near & (left > 0.0))


def seen_of_all(part: Floats, more_ohm: Floats, around_s: Floats) -> Floats:
    """Return what more ohms in many joints at once are to each load, by joint; the sum is what a load sees.

    Parameters
    ----------
    part : ndarray, shape (k, n)
        Of the current of each of n loads, what comes through each of k places, with its sign.
    more_ohm : ndarray, shape (k,)
        More ohms in each place. [Ω]
    around_s : ndarray, shape (k, k)
        Conductance of the ways around each place, and from place to place. [S]

    Returns
    -------
    ndarray, shape (k, n)
        [Ω]

    Examples
    --------
    Two places side by side of 1 Ω each, half the current in each; both with 2 Ω more come to 1.5 Ω, 1 Ω more.

    >>> around = np.array([[0.5, -0.5], [-0.5, 0.5]])
    >>> seen_of_all(np.array([[0.5], [0.5]]), np.array([2.0, 2.0]), around).sum(axis=0).tolist()
    [1.0]
    """
    with_all = np.linalg.solve(np.eye(len(more_ohm)) + around_s * more_ohm, part)
    return np.asarray(more_ohm[:, None] * part * with_all)


__all__ = ["Seen", "own_ohm", "seen_of_all", "seen_ohm"]
