"""The verdicts that a worn joint may break, and what the loads of a van see of their network.

Each is a limit on what a load gets: on its drop, at its start, on a charging path, at its own cut-out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from loomwright.circuit.aging import Seen
from loomwright.circuit.linear import Floats
from loomwright.plan.values import Quantity
from loomwright.tables.limits import Limit

from .breaks_network import BreaksNetwork
from .limits import limits_of
from .record import Assessment, CircuitFigure

#: Less of a load's current than this is what sums leave. [-]
LEAST_PART = 1e-6


@dataclass(frozen=True, slots=True)
class Verdicts:
    """Verdicts that may break: n of them, each on a circuit, with the ohms left until then.

    A load needs `limit_v`; it has `left_ohm` until then, below 0 where it fails already. [V, Ω]
    """

    name: tuple[str, ...]
    circuits: tuple[CircuitFigure, ...]
    starting: tuple[bool, ...]
    limit_v: Floats
    left_ohm: Floats


def verdicts_of(job: Assessment) -> Verdicts:
    """Return the verdicts on all circuits of a van that a joint may break."""
    limits, rows = limits_of(job.plan), list[tuple[str, CircuitFigure, float, bool]]()
    for circuit in job.circuits.values():
        if circuit.path == "signal" or circuit.drop_v is None or not circuit.running_a:
            continue
        if circuit.path == "charging":
            rows += _limited("charging_drop", circuit, limits.charging_drop, False)
            continue
        rows += _limited("drop", circuit, limits.drop, False)
        if circuit.start_drop_v is not None and circuit.start_a:
            rows += _limited("start_drop", circuit, limits.start_drop, True)
        part = job.wiring.parts.get(circuit.load)
        cut_out = part.cut_out.volts if part is not None and part.cut_out is not None else None
        if isinstance(cut_out, Quantity):
            rows.append(("cut_out", circuit, cut_out.high, False))
            if circuit.start_drop_v is not None and circuit.start_a:
                rows.append(("cut_out", circuit, cut_out.high, True))
    limit_v, left = np.array([row[2] for row in rows], dtype=float), np.zeros(len(rows))
    for starting in (False, True):
        at = [k for k, row in enumerate(rows) if row[3] is starting]
        seen = seen_by(job.breaks.network, [rows[k][1] for k in at], starting=starting)
        left[at] = seen.ohm_until(limit_v[at])
    names, circuits, _, starts = zip(*rows, strict=True) if rows else ((), (), (), ())
    return Verdicts(names, circuits, starts, limit_v, left)


def seen_by(network: BreaksNetwork, circuits: Sequence[CircuitFigure], *, starting: bool = False) -> Seen:
    """Return the loads of circuits as they see their network, running or starting."""
    rows = [_row(network, one, starting) for one in circuits]
    columns = np.array(rows, dtype=float).reshape(len(rows), 5).T
    return Seen(*columns)


def _row(network: BreaksNetwork, circuit: CircuitFigure, starting: bool) -> tuple[float, ...]:
    """Return volts and ohms that a load sees, and what it takes: amps, watts, siemens."""
    load_v, lost_v = circuit.load_v or 0.0, circuit.drop_v or 0.0
    port = network.load(circuit.load)
    if starting:
        amps = circuit.start_a or 0.0
        ohm = (circuit.start_drop_v or 0.0) / amps if amps else 0.0
        watts = port.start_w if port is not None else 0.0
        return load_v + lost_v, ohm, 0.0 if watts else amps, watts, 0.0
    ohm = lost_v / circuit.running_a if circuit.running_a else 0.0
    if port is None or circuit.load not in network.column:
        return load_v + lost_v, ohm, circuit.running_a or 0.0, 0.0, 0.0
    return load_v + lost_v, ohm, port.amps, port.watts, port.siemens


def part_of(network: BreaksNetwork, circuits: Sequence[CircuitFigure]) -> Floats:
    """Return what part of each circuit's current comes through each place, shape (places, n)."""
    found = np.zeros((len(network.net.bridge), len(circuits)))
    share = np.abs(network.net.share)
    for n, circuit in enumerate(circuits):
        columns = list(network.columns_of(circuit.load, circuit.feeder, circuit.path))
        if columns:
            found[:, n] = share[:, columns].max(axis=1)
    return np.where(found > LEAST_PART, found, 0.0)


def _limited(
    name: str, circuit: CircuitFigure, limit: Limit, starting: bool
) -> Iterator[tuple[str, CircuitFigure, float, bool]]:
    """Give a verdict on a drop, by the volts at which it is a fault."""
    most = limit.as_pct(circuit.system_v).fault
    if most is not None:
        posts_v = (circuit.load_v or 0.0) + (circuit.drop_v or 0.0)
        yield name, circuit, posts_v - most / 100.0 * circuit.system_v, starting


__all__ = ["LEAST_PART", "Verdicts", "part_of", "seen_by", "verdicts_of"]
