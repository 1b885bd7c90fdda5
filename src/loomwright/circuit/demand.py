"""Constant-current and constant-power loads on a reduced network: the working point, or that there is none.

    v = v0 - z @ i        i = amps + (watts + more @ i) / v

Such a network has a high and a low answer until the two meet at the most it can deliver; beyond that it has
none. Only the high one is wanted. Newton's method from the volts with nothing drawn runs down to it without
passing it: the sums are convex, and `z` is never negative where the loads share a return. What it finds has
to be stable, which no low answer is. With nothing above zero off the diagonal of the slope that is so if
growing demands make every current grow (an M-matrix), and where that is lost on the way down there is no
answer; otherwise the eigenvalues tell, and on the way down the sign of their product.

`more` is the part of a converter: what its input draws by what its output delivers.

Source: convergence from above, Ortega and Rheinboldt, Iterative Solution of Nonlinear Equations in Several
Variables, section 13.3 (from memory); largest power of one load, v0² / 4R, any textbook.
"""

from __future__ import annotations

import numpy as np

from loomwright.circuit.linear import Floats

#: Newton steps before the search gives up; near the limit it needs about twenty. [-]
STEPS = 30
#: Off the diagonal of a slope, what is not more than this above zero is zero. [-]
ROUNDING = 1e-9
#: Steps of plain substitution before a case goes to Newton's method. [-]
QUICK_STEPS = 25


def settle(
    v0: Floats,
    z: Floats,
    amps: Floats,
    watts: Floats,
    more: Floats | None = None,
    start_a: Floats | None = None,
    tolerance_v: float = 1e-10,
) -> Floats | None:
    """Return the currents that the loads at n ports draw, or None if there is no working point.

    Parameters
    ----------
    v0 : Floats
        Volts at the ports with nothing drawn, shape (n,). [V]
    z : Floats
        Transfer resistances, shape (n, n). [Ω]
    amps : Floats
        Constant currents, shape (n,). [A]
    watts : Floats
        Constant powers, shape (n,). [W]
    more : Floats | None
        Power drawn at each port per ampere drawn at another, shape (n, n). [W/A]
    start_a : Floats | None
        Where the search starts: currents not above those of the answer; by default those at `v0`. [A]
    tolerance_v : float
        The search ends when a step moves no port by more. [V]

    Returns
    -------
    Floats | None
        Currents, shape (n,), with every port above zero volts and the whole stable. [A]
    """
    if start_a is None and np.any(v0 <= 0.0):
        return None
    drawn: Floats = amps + watts / v0 if start_a is None else start_a
    unit = np.eye(len(v0))
    most = unit + ROUNDING
    sides = np.ones((len(v0), 2))
    for _ in range(STEPS):
        volts = v0 - z @ drawn
        if not np.all(volts > 0.0):
            return None
        power = watts if more is None else watts + more @ drawn
        slope = unit - (power / volts**2)[:, None] * z
        if more is not None:
            slope -= more / volts[:, None]
        sides[:, 0] = amps + power / volts - drawn
        try:
            step, growth = np.linalg.solve(slope, sides).T
        except np.linalg.LinAlgError:
            return None
        plain = np.all(slope <= most)
        if not np.all(growth > 0.0) if plain else np.linalg.slogdet(slope).sign < 0.0:
            return None
        drawn = drawn + step
        if np.max(np.abs(z @ step), initial=0.0) < tolerance_v:
            stable = plain or np.all(np.linalg.eigvals(slope).real > 0.0)
            return drawn if stable and np.all(v0 - z @ drawn > 0.0) else None
    return None


def settle_many(
    v0: Floats, z: Floats, amps: Floats, watts: Floats, siemens: Floats, tolerance_v: float = 1e-10
) -> Floats:
    """Return the volts at n ports for many cases at once; NaN in every port of a case without an answer.

    Parameters
    ----------
    v0 : Floats
        Volts at the ports with nothing drawn, shape (n,). [V]
    z : Floats
        Transfer resistances, shape (n, n). [Ω]
    amps : Floats
        Constant currents, shape (cases, n). [A]
    watts : Floats
        Constant powers, shape (cases, n). [W]
    siemens : Floats
        Conductances, shape (cases, n). [S]
    tolerance_v : float
        The search ends when a step moves no port by more. [V]

    Returns
    -------
    Floats
        Shape (cases, n). [V]
    """
    volts: Floats = np.tile(v0, (len(amps), 1))
    drawing = amps + watts > 0.0
    hopeless = np.any(drawing & (v0 <= 0.0), axis=1)
    hard, pending = [np.flatnonzero(hopeless)], np.flatnonzero(~hopeless)
    for _ in range(QUICK_STEPS):  # plain substitution: cheap, and quick unless the net is weak
        now = volts[pending]
        drawn = amps[pending] + siemens[pending] * now
        drawn += np.divide(watts[pending], now, out=np.zeros_like(now), where=watts[pending] > 0.0)
        then = v0 - drawn @ z.T
        volts[pending] = then
        broken = np.any((then <= 0.0) & drawing[pending], axis=1)
        settled = np.max(np.abs(then - now), axis=1, initial=0.0) < tolerance_v
        hard.append(pending[broken])
        pending = pending[~broken & ~settled]
    for case in np.concatenate([pending, *hard]).tolist():
        volts[case] = _one_case(v0, z, amps[case], watts[case], siemens[case], tolerance_v)
    return volts


def _one_case(
    v0: Floats, z: Floats, amps: Floats, watts: Floats, siemens: Floats, tolerance_v: float
) -> Floats:
    """Solve one case by Newton's method, its conductances folded into the network."""
    slope = np.eye(len(v0)) + z * siemens
    v0, z = np.asarray(np.linalg.solve(slope, v0)), np.asarray(np.linalg.solve(slope, z))
    on = np.flatnonzero(amps + watts > 0.0)
    drawn = settle(v0[on], z[np.ix_(on, on)], amps[on], watts[on], tolerance_v=tolerance_v)
    return np.full(len(v0), np.nan) if drawn is None else v0 - z[:, on] @ drawn
