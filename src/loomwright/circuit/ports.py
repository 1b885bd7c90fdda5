"""The fast path of an assessment: one reduction of a linear network answers every question about its loads.

Resistors and sources are reduced once to the pairs of nodes where loads hang. Each load alone, all together,
and each starting while another runs are then small sums on the transfer resistances.

    v = v0 - z @ i        volts at the ports, i drawn there
    z_ij = sum over everything that has resistance of  R * share_i * share_j       (Tellegen's theorem)

The second line splits a drop: its terms say what each wire, joint or battery costs load i per ampere of
load j.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from loomwright.circuit.demand import settle_many
from loomwright.circuit.joints import Clash
from loomwright.circuit.linear import FED_PART, Bools, Branches, Floats, Ints, Reduction, reduce
from loomwright.circuit.network import Resistor, Source


@dataclass(frozen=True, slots=True)
class Ports:
    """A linear network as seen from n ports, with m resistors and s sources.

    Figures of a port that no source reaches are NaN. Currents of resistors count from a to b, those of
    sources out of plus.
    """

    v0: Floats  #: (n,) volts with nothing drawn anywhere
    z: Floats  #: (n, n) fall at port i per ampere drawn at port j [Ω]
    share: Floats  #: (m, n) current of each resistor per ampere drawn at each port
    b0: Floats  #: (m,) current of each resistor with nothing drawn: sources against each other [A]
    source_share: Floats  #: (s, n) current of each source per ampere drawn at each port
    source_b0: Floats  #: (s,) current of each source with nothing drawn [A]
    reached: Bools  #: (n,) a source reaches both ends of the port
    live: Bools  #: (n,) reached, and with volts of the right polarity on which a load could run
    clash: tuple[str, ...]  #: ids of ideal sources joined against each other; then nothing is reached


def reduce_to_ports(
    resistors: Sequence[Resistor], sources: Sequence[Source], ports: Sequence[tuple[str, str]]
) -> Ports:
    """Reduce resistors and sources to the named ports.

    Parameters
    ----------
    resistors : Sequence[Resistor]
        Wires, joints, contacts; 0 Ω joins exactly.
    sources : Sequence[Source]
        Batteries or ideal sources.
    ports : Sequence[tuple[str, str]]
        (plus node, minus node) of each load. A node that nothing else names is not reached.

    Returns
    -------
    Ports
        See there.
    """
    number: dict[str, int] = {}

    def at(node: str) -> int:
        return number.setdefault(node, len(number))

    branches = Branches(
        a=[at(r.a) for r in resistors] + [at(s.minus) for s in sources],
        b=[at(r.b) for r in resistors] + [at(s.plus) for s in sources],
        ohm=[r.ohm for r in resistors] + [s.ohm for s in sources],
        emf_v=[0.0] * len(resistors) + [s.volts for s in sources],
    )
    pairs = [(at(plus), at(minus)) for plus, minus in ports]
    reduced = reduce(len(number), branches, pairs)
    if not isinstance(reduced, Reduction):
        return _nothing(len(resistors), sources, len(ports), reduced)
    return _ports(reduced, len(resistors), sources, np.array(pairs, dtype=np.intp).reshape(-1, 2), branches)


def _ports(reduced: Reduction, m: int, sources: Sequence[Source], pairs: Ints, branches: Branches) -> Ports:
    """Take the lines of the ports out of those of all nodes."""
    plus, minus = pairs.T
    highest = np.zeros(int(reduced.piece.max(initial=-1)) + 1)
    fed = np.zeros(len(highest), dtype=bool)
    at = reduced.piece[np.array(branches.b[m:], dtype=np.intp)]
    fed[at] = True
    np.maximum.at(highest, at, np.abs([s.volts for s in sources]) if sources else np.zeros(0))
    piece = reduced.piece[plus]
    reached = fed[piece] & (piece == reduced.piece[minus])
    v0 = np.where(reached, reduced.v0[plus] - reduced.v0[minus], np.nan)
    z = reduced.drop[plus] - reduced.drop[minus]
    z = np.where(reached[:, None] & reached, (z + z.T) / 2.0, np.nan)
    share = np.where(reached, reduced.share, np.nan)
    live = np.zeros(len(v0), dtype=bool)
    live[reached] = v0[reached] > FED_PART * highest[piece[reached]]
    return Ports(v0, z, share[:m], reduced.amps0[:m], share[m:], reduced.amps0[m:], reached, live, ())


def _nothing(m: int, sources: Sequence[Source], n: int, clashes: Sequence[Clash]) -> Ports:
    """Return the ports of a network that has no answer."""

    def nan(*shape: int) -> Floats:
        return np.full(shape, np.nan)

    s, no = len(sources), np.zeros(n, dtype=bool)
    named = {sources[branch - m].id for clash in clashes for branch, _ in clash.ring if branch >= m}
    return Ports(nan(n), nan(n, n), nan(m, n), nan(m), nan(s, n), nan(s), no, no, tuple(sorted(named)))


@dataclass(frozen=True, slots=True)
class PortLoads:
    """What hangs at each port while it runs: all shape (n,) and never below zero."""

    amps: Floats
    watts: Floats
    siemens: Floats


@dataclass(frozen=True, slots=True)
class Running:
    """Volts and amperes at ports; NaN where the load is not fed or its network collapses."""

    volts: Floats
    amps: Floats
    collapsed: Bools  #: same shape: fed, but the demand is more than the network delivers


def alone(ports: Ports, loads: PortLoads) -> Running:
    """Return volts and amperes of each load while it runs alone.

    Parameters
    ----------
    ports : Ports
        The reduced network.
    loads : PortLoads
        One load per port.

    Returns
    -------
    Running
        Shape (n,).
    """
    return _one_load(ports.v0, np.diag(ports.z), loads, ports.live)


def pairs(ports: Ports, loads: PortLoads, starts_a: Floats) -> Running:
    """Return what each running load gets while another starts from standstill.

    Parameters
    ----------
    ports : Ports
        The reduced network.
    loads : PortLoads
        One load per port.
    starts_a : Floats
        Start current of the load at each port, its running current included, shape (n,). [A]

    Returns
    -------
    Running
        Shape (n, n): row j starts, column i runs. On the diagonal each load starts alone. The dip at i by
        the start of j is `alone(...).volts[i] - pairs(...).volts[j, i]`.
    """
    count = len(ports.v0)
    falls = starts_a[:, None] * ports.z.T
    running = _one_load(ports.v0 - falls, np.diag(ports.z), loads, ports.live & ports.live[:, None])
    volts, amps, collapsed = running.volts.copy(), running.amps.copy(), running.collapsed.copy()
    own = np.diag_indices(count)
    volts[own], amps[own] = ports.v0 - np.diag(falls), np.where(ports.live, starts_a, np.nan)
    starter_v = (ports.v0 - np.diag(falls))[:, None] - np.where(
        np.eye(count, dtype=bool), 0.0, ports.z * amps
    )
    lost = ports.live[:, None] & ports.live & ~(starter_v > 0.0)
    collapsed = collapsed & ~np.eye(count, dtype=bool) | lost
    gone = collapsed | ~(ports.live[:, None] & ports.live)
    return Running(np.where(gone, np.nan, volts), np.where(gone, np.nan, amps), collapsed)


def together(ports: Ports, loads: PortLoads, on: Bools) -> Running:
    """Return what each load gets in many cases of several loads running together.

    Parameters
    ----------
    ports : Ports
        The reduced network.
    loads : PortLoads
        One load per port.
    on : Bools
        Which loads run in which case, shape (cases, n). One that is not fed draws nothing.

    Returns
    -------
    Running
        Shape (cases, n). Volts are given at every port that is reached, running or not; amperes are 0 where
        the load is off. A case that the network can't hold is NaN throughout, its running loads collapsed.
    """
    on = on & ports.live
    volts = np.full(on.shape, np.nan)
    seen = ports.reached
    volts[:, seen] = port_volts(
        ports.v0[seen],
        ports.z[np.ix_(seen, seen)],
        loads.amps[seen],
        loads.watts[seen],
        loads.siemens[seen],
        on[:, seen],
    )
    lost = np.any(np.isnan(volts) & on, axis=1)
    amps = np.where(on, loads.amps + loads.siemens * volts, 0.0)
    amps += np.divide(loads.watts, volts, out=np.zeros_like(volts), where=on & (loads.watts > 0.0))
    amps = np.where(lost[:, None] | ~ports.live, np.nan, amps)
    return Running(volts, amps, on & lost[:, None])


def port_volts(
    v0: Floats, z: Floats, amps: ArrayLike, watts: ArrayLike, siemens: ArrayLike, on: ArrayLike
) -> Floats:
    """Return the volts at n ports for many cases; a case that the network can't hold is NaN throughout.

    Parameters
    ----------
    v0 : Floats
        Volts at the ports with nothing drawn, shape (n,); leave out ports that are not reached. [V]
    z : Floats
        Transfer resistances, shape (n, n). [Ω]
    amps : ArrayLike
        Constant currents, shape (n,) or (cases, n). [A]
    watts : ArrayLike
        Constant powers, shape (n,) or (cases, n). [W]
    siemens : ArrayLike
        Conductances, shape (n,) or (cases, n). [S]
    on : ArrayLike
        True where the load runs, shape (cases, n).

    Returns
    -------
    Floats
        Shape (cases, n). [V]
    """
    runs = np.asarray(on, dtype=bool)
    return settle_many(
        v0, z, np.where(runs, amps, 0.0), np.where(runs, watts, 0.0), np.where(runs, siemens, 0.0)
    )


def _one_load(v0: Floats, z: Floats, loads: PortLoads, live: Bools) -> Running:
    """Solve v = v0 - z (siemens v + amps + watts / v) for its higher root."""
    with np.errstate(invalid="ignore", divide="ignore"):
        slope = 1.0 + z * loads.siemens
        free = v0 - z * loads.amps
        root = free**2 - 4.0 * slope * z * loads.watts
        volts = (free + np.sqrt(root)) / (2.0 * slope)
        drawing = loads.amps + loads.watts > 0.0
        collapsed = live & drawing & ~((root >= 0.0) & (free > 0.0))
        volts = np.where(live & ~collapsed, np.where(drawing, volts, v0 / slope), np.nan)
        amps = loads.siemens * volts + loads.amps + np.where(loads.watts > 0.0, loads.watts / volts, 0.0)
    return Running(volts, amps, collapsed)
