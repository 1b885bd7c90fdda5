"""Batteries that work together under the loads of the plan: what opens first, and what then.

A battery opens by its own management, at its stated limit, or by the fuse that its current alone goes
through. Management is taken to act at once; a fuse when it must have opened at that current.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np

from loomwright.circuit.banks import Cascade, Opening, opens_in_turn
from loomwright.errors import OutOfTableError
from loomwright.protection.fusing import usual_type
from loomwright.protection.opening import opening_time
from loomwright.tables.limits import DUST

from .flow import Flow
from .record import Assessment, FuseFigure
from .sag import discharge_limit_a
from .sources import states_inner_ohm

#: Of what a load takes, a battery that gives less of it than this is not of its bank. [ratio]
_HARDLY = 0.01
MANAGEMENT = "management"


@dataclass(frozen=True, slots=True)
class BankOpens:
    """A bank under everything that is on, and what opens in it, if anything.

    Attributes
    ----------
    batteries : tuple of str
        Those that feed the same loads.
    cascade : Cascade
        What they give, and what opens in which order.
    limits_a : dict of str to float
        The least limit of each: management's or its own fuse's; infinite if none is known. [A]
    unknown : tuple of str
        Fields of the plan that the shares were guessed by.
    """

    batteries: tuple[str, ...]
    cascade: Cascade
    limits_a: dict[str, float]
    unknown: tuple[str, ...]


def banks_under_load(job: Assessment) -> Iterator[BankOpens]:
    """Give each bank of two house batteries or more with everything on, and what opens in it."""
    for batteries in working_together(job):
        if len(batteries) > 1:
            fuses = own_fuses(job, batteries)
            limits = {id: _least(job, id, fuses.get(id)) for id in batteries}
            guessed = [id for id in batteries if not states_inner_ohm(job.wiring, id)]
            unknown = tuple(f"parts.{id}.resistance" for id in guessed)
            yield BankOpens(batteries, _cascade(job, batteries, fuses, limits), limits, unknown)


def _cascade(
    job: Assessment,
    batteries: tuple[str, ...],
    fuses: Mapping[str, FuseFigure],
    limits: Mapping[str, float],
) -> Cascade:
    """Return what opens in a bank; where all are within their limits, nothing is solved."""
    gives = {id: job.drawn_a.get(id, 0.0) for id in batteries}
    if all(gives[id] <= most * (1.0 + DUST) for id, most in limits.items()):
        return Cascade(gives, (), gives, dark=False)
    net = job.under_load.net
    sources = [source for source in net.sources if source.id in batteries]
    loads = [
        (port.plus, port.minus, amps)
        for port in net.ports
        if (amps := sum(job.given_a[id].get(port.id, 0.0) for id in batteries)) > 0.0
    ]
    return opens_in_turn(job.under_load.short, sources, loads, partial(_opens, job, fuses))


def working_together(job: Assessment) -> list[tuple[str, ...]]:
    """Return the house batteries by the loads that they feed together: side by side, in series or both."""
    house = [id for id in job.given_a if job.wiring.parts[id].kind == "battery"]
    feeds = {
        id: {
            load
            for load, amps in job.given_a[id].items()
            if amps > _HARDLY * sum(job.given_a[other].get(load, 0.0) for other in house)
        }
        for id in house
    }
    found: list[set[str]] = []
    for id in house:
        joined = [bank for bank in found if any(feeds[id] & feeds[other] for other in bank)]
        found = [bank for bank in found if bank not in joined] + [{id}.union(*joined)]
    return [tuple(id for id in house if id in bank) for bank in found]


def own_fuses(job: Assessment, batteries: tuple[str, ...]) -> dict[str, FuseFigure]:
    """Return the smallest fuse that carries the current of each battery and nothing else."""
    net = job.under_load.net
    rows = {source.id: row for source, row in zip(net.sources, net.reduced.source_share, strict=True)}
    branch = {one.id: k for k, one in enumerate(net.branches)}
    found: dict[str, FuseFigure] = {}
    for wire in job.wires.values():
        rated = [fuse for fuse in wire.fuses if fuse.rating_a is not None]
        if not rated or wire.id not in branch:
            continue
        amps = net.reduced.share[branch[wire.id]]
        for id in batteries:
            if _is_same(amps, rows[id], net) and not (
                id in found and (found[id].rating_a or 0.0) <= min(f.rating_a or 0.0 for f in rated)
            ):
                found[id] = min(rated, key=lambda fuse: fuse.rating_a or 0.0)
    return found


def _is_same(branch: np.ndarray, battery: np.ndarray, net: Flow) -> bool:
    """Say whether a branch carries just what a battery gives, whatever is on."""
    ours, theirs = np.abs(np.nan_to_num(branch)), np.abs(np.nan_to_num(battery))
    return bool(theirs.max(initial=0.0) > 0.0 and np.allclose(ours, theirs, atol=1e-6))


def _least(job: Assessment, id: str, fuse: FuseFigure | None) -> float:
    limit = discharge_limit_a(job.wiring, id)
    rating = fuse.rating_a if fuse is not None else None
    return min((amps for amps in (limit, rating) if amps is not None), default=math.inf)


def _opens(job: Assessment, fuses: Mapping[str, FuseFigure], id: str, amps: float) -> tuple[float, str]:
    """Return how soon a battery opens at a current, and by what."""
    fuse = fuses.get(id)
    limit = discharge_limit_a(job.wiring, id)
    if limit is not None and amps > limit * (1.0 + DUST):
        return 0.0, MANAGEMENT
    if fuse is None or fuse.rating_a is None:
        return math.inf, ""
    kind = fuse.kind if fuse.kind and fuse.kind != "unknown" else usual_type(fuse.rating_a)
    try:
        seconds = opening_time(kind, fuse.rating_a, amps).high
    except OutOfTableError:
        return math.inf, ""
    return seconds, f"{fuse.rating_a:g} A fuse"


__all__ = ["MANAGEMENT", "BankOpens", "Opening", "banks_under_load", "own_fuses", "working_together"]
