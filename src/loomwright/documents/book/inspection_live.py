"""Blanks of the live tests: supply, loops, short-circuit current, RCDs, function, volt drop."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.assessment.mains.cases import is_bonded
from loomwright.assessment.mains.pitch import lead_of
from loomwright.assessment.mains.tested import (
    LoopLimit,
    drops_at,
    loop_limits,
    most_through_lead_a,
    rcds_of,
    short_at_inlet_a,
)  # fmt: skip
from loomwright.assessment.mains.ways import fixed_bonds, live_inlets
from loomwright.assessment.record import Assessment
from loomwright.documents.reasons.figures import quantity
from loomwright.plan.model import Part
from loomwright.plan.values import Word
from loomwright.tables.mains_clauses import clause
from loomwright.tables.mains_supplies import SUPPLIES
from loomwright.tables.mains_tests import MainsTest

from .blank import Blank, known, ohm_words


def supply(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give volts and poles of each supply."""
    for pitch in {pitch.id: pitch for pitch in job.mains.pitches}.values():
        band = SUPPLIES[pitch.region].allowed_v
        yield Blank(
            f"{pitch.id}: volts line to neutral", f"{pitch.volts:g} V", f"{band.low:g} to {band.high:g} V"
        )
        crossed = "crossed, by the plan" if pitch.reversed else "line on L, neutral on N, earth there"
        yield Blank(f"{pitch.id}: order of poles, earth", crossed, "line and neutral in place, earth there")


def loops(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give the loop at the post and at each outlet, on each supply."""
    for pitch in job.mains.pitches:
        ohm = pitch.live_ohm + (pitch.electrode_ohm if pitch.earthing == "tt" else pitch.back_ohm)
        most = "low enough for the rows below"
        yield Blank(f"{pitch.id}: at the post (Ze), {pitch.earthing.upper()}", ohm_words(ohm), most)
        for one in loop_limits(job):
            if one.fault.pitch == pitch:
                above = ": above, see findings" if one.misses else ""
                amps = quantity(one.fault.expected_a, "A")
                flows = (
                    f"{ohm_words(one.fault.loop_ohm)}, {amps}"
                    if one.fault.expected_a
                    else "no loop, no current"
                )
                expect = f"{flows}{above}"
                yield Blank(f"{pitch.id}: {one.fault.outlet} (Zs)", expect, loop_limit_words(one))


def loop_limit_words(one: LoopLimit) -> str:
    """Return what a loop is held against, cold; by a breaker it is rounded down."""
    words = []
    if one.breaker_ohm is not None and one.breaker is not None and one.breaker.breaker is not None:
        breaker = one.breaker.breaker
        words.append(f"{_down(one.breaker_ohm)} Ω for {breaker.rating_a:g} A {known(breaker.curve)}")
    if one.rcd_ohm is not None and one.trips_a is not None:
        words.append(f"{one.rcd_ohm:.0f} Ω for the RCD of {1e3 * one.trips_a:g} mA")
    return "; or ".join(words) or "no breaker or RCD of the van opens on it: see findings"


def _down(ohm: float) -> str:
    return f"{math.floor(100.0 * ohm + 1e-6) / 100.0:.2f}"


def prospective(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give the largest current at the inlet, on each supply."""
    for pitch in {pitch.id: pitch for pitch in job.mains.pitches}.values():
        amps, most = (of(pitch, lead_of(job.plan)) for of in (short_at_inlet_a, most_through_lead_a))
        expect = f"{amps:.0f} A; through this lead {most:.0f} A at most"
        yield Blank(f"{pitch.id}: at the inlet, line to neutral", expect, test.limit)


def rcds(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give each RCD at its rated current, at half of it, and by its button."""
    for gate, amps, most_s in rcds_of(job):
        at = f"{1e3 * amps:g} mA"
        yield Blank(f"{gate.id} at {at}", f"opens, {_time(most_s)} at most", f"{_time(most_s)}")
        yield Blank(f"{gate.id} at {500 * amps:g} mA", "stays closed", "does not open")
        yield Blank(f"{gate.id}, its own button", "opens", "opens")
    if not any(gate.residual for gate in job.mains.layout.gates):
        yield Blank(
            "RCD of the van", "none in the plan: see findings", clause("rcd_trip", job.plan.region).says
        )


def _time(seconds: float) -> str:
    return f"{1e3 * seconds:.0f} ms" if seconds < 1.0 else f"{seconds:.1f} s"


def function(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give main switches, change-overs, joins of neutral and earth, pins of the inlet."""
    layout, parts = job.mains.layout, job.wiring.parts
    stays = {one.inverter for one in fixed_bonds(job.mains)}
    for id, part in parts.items():
        if part.kind == "breaker_box":
            yield Blank(
                f"{id}: main switch", _switched(job, id), "opens all live conductors; all behind it dead"
            )
        if part.kind == "change_over":
            yield Blank(f"{id}: both ways, each source on", "one source at a time", "never two at once")
    for maker in layout.makers:
        limit = "joined once, ahead of the RCD, while it feeds; free only with a single socket"
        sockets = [one for one in job.mains.served(maker) if parts[one].kind == "mains_socket"]
        yield Blank(f"{maker} on, lead pulled: neutral to earth", _joined(parts[maker], len(sockets)), limit)
        if layout.inlets:
            expect = "still joined: see findings" if maker in stays else "free"
            yield Blank(f"{maker}, hook-up plugged in: neutral to earth", expect, "free: no join in the van")
    yield from _pins(job)


def _pins(job: Assessment) -> Iterator[Blank]:
    """Give the pins of each inlet, its lead pulled, while each other source feeds."""
    live, layout = {(one.inlet, one.source) for one in live_inlets(job.mains)}, job.mains.layout
    for inlet in layout.inlets:
        for source in (*layout.makers, *layout.inlets):
            if source != inlet:
                expect = (
                    f"live from {source}: see findings" if (inlet, source) in live else "dead, pin by pin"
                )
                where = f"pins of {inlet}, lead pulled, while {source} feeds"
                yield Blank(where, expect, "dead: 0 V between all pins and to the body")


def _joined(part: Part, sockets: int) -> str:
    """Return how neutral and earth of what makes mains stand while it feeds."""
    if isinstance(part.neutral_bond, Word) or part.neutral_bond == "unknown":
        return "not known in the plan"
    if is_bonded(part):
        return "joined"
    return "free: see findings" if sockets > 1 else "free"


def _switched(job: Assessment, box: str) -> str:
    """Return what the device that opens a whole box opens by the plan."""
    whole = [
        gate
        for gate in job.mains.layout.gates
        if gate.part == box and gate.id in (f"{box}.rcd", f"{box}.main") and (gate.residual or gate.breaker)
    ]
    if not whole:
        return "none in the plan: see findings"
    poles = whole[0].poles
    return "poles not known" if poles is None else f"opens {poles} poles" if poles > 1 else "opens one pole"


def drops(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give the volts lost to each outlet."""
    for one in drops_at(job):
        yield Blank(
            f"post to {one.outlet} at {one.amps:g} A, cables hot",
            f"{one.volts:.1f} V",
            f"{one.limit_v:.1f} V",
        )


def report(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give what is written down at the end."""
    yield Blank("instruments, date, name, licence", "filled in by who tests", "all filled in")
    yield Blank("date of the next test", "filled in by who tests", test.limit)


__all__ = ["drops", "function", "loop_limit_words", "loops", "prospective", "rcds", "report", "supply"]
