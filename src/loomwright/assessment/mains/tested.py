"""What a licensed tester may expect to read, and what each reading is held against, point by point.

Copper counts cold, as a tester meets it; joints add to it. Loops are held against the breaker next to the
point, times the region's factor for cold readings, and against the RCD on the way. Nothing was measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.mains.breakers import most_loop_ohm
from loomwright.mains.residual import residual_most_loop_ohm, residual_time
from loomwright.protection.resistance import conductor_resistance
from loomwright.tables.iec_60909 import C_MAX
from loomwright.tables.mains_clauses import clause
from loomwright.tables.mains_supplies import SUPPLIES

from .cases import COLD_C, HOT_C
from .faulted import CaseFault
from .guards import guarded_by
from .layout import Bond, Gate, Span
from .pitch import Pitch, lead_of

#: What one sound joint adds at most. [Ω]
JOINT_OHM = 0.05
#: Amperes that a volt drop is told for where no breaker is on the way. [A]
_USUAL_A = 10.0


@dataclass(frozen=True, slots=True)
class EarthWay:
    """The protective conductor from a source to an outlet: its cables, one core and two. [Ω]"""

    source: str
    outlet: str
    cables: tuple[str, ...]
    r2_ohm: float
    known: bool

    @property
    def both_ohm(self) -> float:
        """Line and earth joined at the far end. [Ω]"""
        return 2.0 * self.r2_ohm


@dataclass(frozen=True, slots=True)
class LoopLimit:
    """A loop as expected, and what a cold reading is held against: by breaker, by RCD. [Ω, A]

    `breaker` is the one of the van next to the outlet. A limit is None where nothing of its kind is there.
    """

    fault: CaseFault
    breaker: Gate | None
    breaker_ohm: float | None
    trips_a: float | None
    rcd_ohm: float | None

    @property
    def misses(self) -> bool:
        """True if what is expected is above every limit."""
        limits = [one for one in (self.breaker_ohm, self.rcd_ohm) if one is not None]
        return not limits or self.fault.loop_ohm > max(limits)


@dataclass(frozen=True, slots=True)
class DropAt:
    """Volts lost from the post to an outlet with its breaker's current, cables hot. [A, V]"""

    outlet: str
    amps: float
    volts: float
    limit_v: float


def earth_ways(job: Assessment) -> Iterator[EarthWay]:
    """Give for each outlet its protective conductor from the first source that reaches it, inlets first."""
    told: set[str] = set()
    for source, reach in job.mains.reaches.items():
        for outlet, point in job.mains.served(source).items():
            if outlet in told:
                continue
            told.add(outlet)
            spans = [step for step in reach.way(point) if isinstance(step, Span)]
            ohm = sum(span.ohm(COLD_C) for span in spans)
            known = all((span.area_mm2 and span.length_m) or "/" in span.id for span in spans)
            yield EarthWay(source, outlet, tuple(span.id for span in spans), ohm, known)


def bond_ohm(bond: Bond) -> float | None:
    """Return the resistance of a bond's copper, cold; None if nobody knows its size or length. [Ω]"""
    if not bond.area_mm2 or not bond.length_m:
        return None
    return conductor_resistance(bond.area_mm2, bond.length_m, COLD_C)


def loop_limits(job: Assessment) -> Iterator[LoopLimit]:
    """Give each fault to a case with the limits of its loop."""
    inlet = job.mains.inlet
    gates = {one.outlet: one.gates for one in guarded_by(job, inlet)} if inlet is not None else {}
    for fault in job.mains.faults:
        way = gates.get(fault.outlet, ())
        breakers = [gate for gate in way if gate.breaker is not None]
        trips = [gate.residual.trips_a for gate in way if gate.residual is not None]
        last = breakers[-1] if breakers else None
        tn = fault.pitch.earthing == "tn"
        yield LoopLimit(
            fault,
            last,
            _breaker_ohm(fault.pitch, last) if last is not None and tn else None,
            min(trips, default=None),
            residual_most_loop_ohm(min(trips)) if trips else None,
        )


def _breaker_ohm(pitch: Pitch, gate: Gate) -> float:
    assert gate.breaker is not None
    c_min = clause("c_min", pitch.region).limit or 1.0
    factor = clause("reading_factor", pitch.region).limit or 1.0
    return factor * most_loop_ohm(gate.breaker.curve, gate.breaker.rating_a, pitch.volts, c_min)


def short_at_inlet_a(pitch: Pitch, plan_lead: tuple[float, float]) -> float:
    """Return what a short of line and neutral at the inlet draws, cold. [A]"""
    return pitch.volts / (pitch.live_ohm + pitch.back_ohm + _lead_ohm(plan_lead))


def most_through_lead_a(pitch: Pitch, plan_lead: tuple[float, float]) -> float:
    """Return what the lead alone lets through, on however strong a supply. [A]"""
    return C_MAX * pitch.volts / _lead_ohm(plan_lead)


def _lead_ohm(plan_lead: tuple[float, float]) -> float:
    length_m, area_mm2 = plan_lead
    return 2.0 * conductor_resistance(area_mm2, length_m, COLD_C)


def rcds_of(job: Assessment) -> Iterator[tuple[Gate, float, float]]:
    """Give each RCD of the van with its rated current and its longest time at that. [A, s]"""
    for gate in job.mains.layout.gates:
        if gate.residual is not None:
            amps = gate.residual.trips_a
            yield gate, amps, residual_time(gate.residual, amps).high


def drops_at(job: Assessment) -> Iterator[DropAt]:
    """Give the volts lost on the way to each outlet that an inlet serves."""
    inlet = job.mains.inlet
    if inlet is None:
        return
    volts = SUPPLIES[job.plan.region].volts
    share = (clause("drop_other", job.plan.region).limit or 5.0) / 100.0
    length_m, area_mm2 = lead_of(job.plan)
    lead = conductor_resistance(area_mm2, length_m, HOT_C)
    pitches = [pitch.rated_a for pitch in job.mains.pitches if pitch.rated_a > 0.0]
    for one in guarded_by(job, inlet):
        way = job.mains.reaches[inlet].way(job.mains.layout.outlets[one.outlet])
        ohm = 2.0 * (lead + sum(step.ohm(HOT_C) for step in way if isinstance(step, Span)))
        ratings = [gate.breaker.rating_a for gate in one.gates if gate.breaker is not None]
        amps = min(
            [*ratings, *([max(pitches)] if pitches else []), *([] if ratings or pitches else [_USUAL_A])]
        )
        yield DropAt(one.outlet, amps, ohm * amps, share * volts)


__all__ = [
    "JOINT_OHM",
    "DropAt",
    "EarthWay",
    "LoopLimit",
    "bond_ohm",
    "drops_at",
    "earth_ways",
    "loop_limits",
    "most_through_lead_a",
    "rcds_of",
    "short_at_inlet_a",
]
