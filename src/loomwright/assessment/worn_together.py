"""All joints grown old at once: which circuits then fail that pass with fresh ones, and by which joint most.

The joints, what they resist after years, and the verdicts are those of `weak_joints`; what the loads see with
all of them worn is one solve (`circuit.aging.seen_of_all`). What fails already is a finding of its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from loomwright.circuit.aging import seen_of_all
from loomwright.circuit.linear import Floats

from .breaks_network import BreaksNetwork
from .record import Assessment, CircuitFigure
from .worn import Joint, joints_of
from .worn_verdicts import LEAST_PART, Verdicts, seen_by, verdicts_of


@dataclass(frozen=True, slots=True)
class WornCircuit:
    """A circuit that passes with fresh joints and fails with all of them worn.

    Attributes
    ----------
    circuit, wire, load : str
        Whose verdict it is.
    verdict : str
        "drop", "start_drop", "charging_drop" or "cut_out".
    fresh_v, worn_v, limit_v : float
        What the load gets now, and with all joints worn; what it needs. [V]
    aged : float
        How far towards worn all joints may come until it fails, 0 to 1.
    joint : Joint
        The one that costs most of it.
    amps_a : float
        What the load alone sends through that joint while it runs. [A]
    new_v, due_v : float
        Across that joint at that current: as counted, and from what on it is due. [V]
    """

    circuit: str
    wire: str
    load: str
    verdict: str
    fresh_v: float
    worn_v: float
    limit_v: float
    aged: float
    joint: Joint
    amps_a: float
    new_v: float
    due_v: float


def worn_together(job: Assessment) -> tuple[WornCircuit, ...]:
    """Return the circuits that fail once all joints are worn, that first which fails first.

    Parameters
    ----------
    job : Assessment
        Of a van.
    """
    verdicts = verdicts_of(job)
    if not verdicts.circuits:
        return ()
    network = job.breaks.network
    joints = [one for one in joints_of(job, network) if network.place(one.branch) >= 0]
    place = np.array([network.place(one.branch) for one in joints], dtype=int)
    more = np.array([one.worn_ohm - one.fresh_ohm for one in joints])
    used, at = np.unique(place, return_inverse=True)
    more_ohm: Floats = np.bincount(at, weights=more, minlength=len(used)).astype(float)
    part = _parts(network, verdicts.circuits)[used]
    seen = seen_of_all(part, more_ohm, network.net.around_s[np.ix_(used, used)])
    whole = seen.sum(axis=0)
    now_v, worn_v = _volts(network, verdicts, whole)
    found: dict[str, WornCircuit] = {}
    for n in np.flatnonzero((verdicts.left_ohm > 0.0) & (whole > verdicts.left_ohm)).tolist():
        circuit, aged = verdicts.circuits[n], float(verdicts.left_ohm[n] / whole[n])
        known = found.get(circuit.id)
        if known is not None and known.aged <= aged:
            continue
        # of a place, each joint in it has its part
        costs = np.divide(seen[at, n] * more, more_ohm[at], out=np.zeros_like(more), where=more_ohm[at] > 0.0)
        k = int(costs.argmax())
        amps = abs(float(part[at[k], n])) * (circuit.running_a or 0.0)
        found[circuit.id] = WornCircuit(
            circuit=circuit.id,
            wire=circuit.wire,
            load=circuit.load,
            verdict=verdicts.name[n],
            fresh_v=float(now_v[n]),
            worn_v=float(worn_v[n]),
            limit_v=float(verdicts.limit_v[n]),
            aged=aged,
            joint=joints[k],
            amps_a=amps,
            new_v=amps * joints[k].fresh_ohm,
            due_v=amps * (joints[k].fresh_ohm + aged * float(more[k])),
        )
    return tuple(sorted(found.values(), key=lambda one: (one.aged, one.circuit)))


def _volts(network: BreaksNetwork, verdicts: Verdicts, more_ohm: Floats) -> tuple[Floats, Floats]:
    """Return what the load of each verdict gets now, and with more ohms in its way. [V]"""
    now, then = np.zeros_like(more_ohm), np.zeros_like(more_ohm)
    for starting in (False, True):
        at = [k for k, one in enumerate(verdicts.starting) if one is starting]
        seen = seen_by(network, [verdicts.circuits[k] for k in at], starting=starting)
        now[at], then[at] = seen.volts_with(np.zeros(len(at))), seen.volts_with(more_ohm[at])
    return now, then


def _parts(network: BreaksNetwork, circuits: tuple[CircuitFigure, ...]) -> Floats:
    """Return what part of each circuit's current comes through each place, with its sign; (places, n)."""
    share = network.net.share
    found = np.zeros((len(network.net.bridge), len(circuits)))
    for n, columns in enumerate(_columns(network, circuits)):
        if len(columns) == 1:
            found[:, n] = share[:, columns[0]]
        elif columns:  # what charges may come from several: the most of each place
            found[:, n] = np.abs(share[:, list(columns)]).max(axis=1)
    return np.where(np.abs(found) > LEAST_PART, found, 0.0)


def _columns(network: BreaksNetwork, circuits: tuple[CircuitFigure, ...]) -> Iterator[tuple[int, ...]]:
    return (tuple(network.columns_of(one.load, one.feeder, one.path)) for one in circuits)


__all__ = ["WornCircuit", "worn_together"]
