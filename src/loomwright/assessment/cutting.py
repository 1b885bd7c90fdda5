"""Low-voltage cuts against starts: the volts that one watches while a motor starts, and how long it waits.

The van is parked. A cut that already sees too little before the start is not counted here: then the battery
is empty, or the wiring is, and other figures say so.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from loomwright.plan.model import Part
from loomwright.plan.values import Limit, Quantity

from .loads import UNSAID_START_S
from .record import Assessment, CircuitFigure
from .sources import is_battery, states_inner_ohm

#: Where a part that opens at too few volts watches them.
WATCHES = {"low_voltage_cut": "in", "relay": "87"}
_CLOSED = ("closed", "on")


@dataclass(frozen=True, slots=True)
class CutAtStart:
    """A start that brings a cut below its threshold for longer than it waits.

    Attributes
    ----------
    cut, load : str
        What opens, and what starts.
    before_v, volts, threshold_v : float
        What the cut watches before the start and in it, and below what it opens. [V]
    amps, seconds, waits_s : float
        The start, how long it lasts, and how long the cut waits. [A, s, s]
    alone : bool
        The start alone does it; else only with everything else on.
    unknown : tuple of str
        Fields of the plan that were not known and took part.
    """

    cut: str
    load: str
    before_v: float
    volts: float
    threshold_v: float
    amps: float
    seconds: float
    waits_s: float
    alone: bool
    unknown: tuple[str, ...]


def cuts_at_start(job: Assessment) -> Iterator[CutAtStart]:
    """Give the starts at which cuts open; of each pair the start alone, if that is enough."""
    stands = job.modes.figures["parked"].positions
    closed = ((id, part) for id, part in job.wiring.parts.items() if stands.get(id) in _CLOSED)
    cuts = {id: limit for id, part in closed if (limit := _threshold(part)) is not None}
    starts = [one for one in job.circuits.values() if one.path == "ordinary" and one.start_a] if cuts else []
    rest: dict[bool, dict[str, float]] = {}
    for circuit in starts:
        left = {id: limit for id, limit in cuts.items() if _lasts(circuit) > waits_s(job.wiring.parts[id])}
        if left and not rest:
            rest = {alone: _watched(job, cuts, () if alone else None, ()) for alone in (True, False)}
        for alone in (True, False):
            for found in _opened(job, circuit, left, rest[alone], alone) if left else ():
                del left[found.cut]
                yield found


def waits_s(part: Part) -> float:
    """Return how long a cut waits before it opens. [s]"""
    limits = (part.delay, part.cut_out.for_s if part.cut_out is not None else None)
    return max((one.low for one in limits if isinstance(one, Quantity)), default=0.0)


def says_wait(part: Part) -> bool:
    """Say whether the plan gives how long a cut waits."""
    stated = "delay" in part.typed and isinstance(part.delay, Quantity)
    return stated or (part.cut_out is not None and part.cut_out.for_s is not None)


def _threshold(part: Part) -> float | None:
    """Return below what a part opens, None if it does not, or nobody says. [V]"""
    limit = part.cut_out if part.kind in WATCHES and part.wired is not False else None
    return limit.volts.high if isinstance(limit, Limit) and isinstance(limit.volts, Quantity) else None


def _lasts(circuit: CircuitFigure) -> float:
    return circuit.start_s or UNSAID_START_S


def _opened(
    job: Assessment, circuit: CircuitFigure, cuts: dict[str, float], before: dict[str, float], alone: bool
) -> list[CutAtStart]:
    """Return the cuts that open when a load starts, with nothing else on or with everything."""
    during = _watched(job, cuts, (circuit.load,) if alone else None, (circuit.load,))
    return [
        CutAtStart(
            id,
            circuit.load,
            before[id],
            during[id],
            threshold,
            circuit.start_a or 0.0,
            _lasts(circuit),
            waits_s(job.wiring.parts[id]),
            alone,
            (*circuit.unknown, *_unsaid(job, id)),
        )
        for id, threshold in cuts.items()
        if during[id] < threshold <= before[id]
    ]


def _watched(
    job: Assessment, cuts: Collection[str], running: Collection[str] | None, starting: Collection[str]
) -> dict[str, float]:
    """Return what each cut watches, parked, with these loads on (None: all) and these starting. [V]"""
    volts = job.flows.of(job.modes.figures["parked"], running, starting).volts
    found = {}
    for id in cuts:
        plus, minus = _points(job, id)
        found[id] = volts.get(plus, float("nan")) - volts.get(minus, 0.0)
    return found


def _points(job: Assessment, cut: str) -> tuple[str, str]:
    """Return the two points that a cut watches: its minus is that of its battery where none is wired."""
    plus, minus = f"{cut}.{WATCHES[job.wiring.parts[cut].kind]}", f"{cut}.minus"
    if minus in job.wiring.by_point:
        return plus, minus
    return plus, next((f"{battery}.minus" for battery in _batteries(job, plus)), minus)


def _batteries(job: Assessment, point: str) -> list[str]:
    sources = sorted(job.modes.figures["parked"].live.at(point))
    return [id for id in sources if is_battery(job.wiring, id)]


def _unsaid(job: Assessment, cut: str) -> tuple[str, ...]:
    """Return the fields of the batteries before a cut whose inner resistance nobody states."""
    batteries = _batteries(job, _points(job, cut)[0])
    return tuple(f"parts.{id}.resistance" for id in batteries if not states_inner_ohm(job.wiring, id))


__all__ = ["CutAtStart", "cuts_at_start", "says_wait", "waits_s"]
