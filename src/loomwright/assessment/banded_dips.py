"""Bounds of dips: what a load loses when another starts, from the bounds of the ohms they share.

    dip = v(U0) - v(U0 - z_ij s)       v(f) = (f + sqrt(f² - 4 z_ii P)) / 2   or   f / (1 + z_ii G)

It grows with the shared ohms and the start, with the ohms and watts of a constant power that dips, and falls
with the ohms of a resistance that dips; so both ends of each are tried.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product

from loomwright.circuit.enclose import Ends

from .assess import Worked
from .record import Assessment

Three = tuple[float, float, float]


def dip_bands(bad: Assessment, runs: Sequence[Worked], ohm: Ends) -> dict[tuple[str, str], Three]:
    """Return least, typical and most of every dip that is listed, by circuit and the load that starts. [V]

    Parameters
    ----------
    bad : Assessment
        Whose dips are asked for.
    runs : sequence of Worked
        The van at the corners, the typical one last.
    ohm : Ends
        Between the ports, batteries with their inner resistance; shape (n, n). [Ω]
    """
    nets = [run.inside for run in runs]
    index = nets[-1].flow.index
    found = {}
    for circuit in bad.circuits.values():
        i = index.get(circuit.load)
        for dip in circuit.dips:
            j = next(
                (
                    k
                    for k, port in enumerate(nets[-1].flow.ports)
                    if port.part == dip.by_start_of and port.has_start
                ),
                None,
            )
            if i is None or j is None:
                continue
            points = [
                (
                    float(net.flow.reduced.v0[i]),
                    float(net.flow.reduced.z[i, j]),
                    float(net.flow.reduced.z[i, i]),
                    float(net.start_a[j]),
                    net.flow.ports[i].amps,
                    net.flow.ports[i].watts,
                    net.flow.ports[i].siemens,
                )
                for net in nets
            ]
            both = [(ohm.low[i, k], ohm.high[i, k]) for k in (j, i)]
            ends = [(min(side), max(side)) for side in zip(*points, strict=True)]
            sides = [sorted(set(side)) for side in (ends[0], *both, *ends[3:])]
            dips = [_dip(*one) for one in (*points, *product(*sides))]
            if all(math.isfinite(one) for one in dips):
                found[circuit.id, dip.by_start_of] = (min(dips), _dip(*points[-1]), max(dips))
    return found


def _dip(
    v0: float, shared_ohm: float, own_ohm: float, start_a: float, amps: float, watts: float, siemens: float
) -> float:
    """Return the fall of the volts at a load while another starts. [V]"""

    def volts(free: float) -> float:
        free -= own_ohm * amps
        slope = 1.0 + own_ohm * siemens
        root = free * free - 4.0 * slope * own_ohm * watts
        return (free + math.sqrt(root)) / (2.0 * slope) if root >= 0.0 else math.nan

    return volts(v0) - volts(v0 - shared_ohm * start_a)
