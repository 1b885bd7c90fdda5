"""Blanks of the dead tests: inspection, continuity, insulation, polarity, the electrode."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.mains.pitch import lead_of
from loomwright.assessment.mains.tested import JOINT_OHM, bond_ohm, earth_ways
from loomwright.assessment.record import Assessment
from loomwright.tables.mains_clauses import clause
from loomwright.tables.mains_tests import MainsTest

from .blank import Blank, known, ohm_words

#: Of new wiring; from memory.
_NEW = "over 100 MΩ when new"


def inspection(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give what is looked at: inlet, lead, devices, cables, screws."""
    layout, region = job.mains.layout, job.plan.region
    lead_m, lead_mm2 = lead_of(job.plan)
    for id in layout.inlets:
        part = job.wiring.parts[id]
        expect = ", ".join(word for word in (part.ip or "", "a lid that shuts, a notice beside it") if word)
        yield Blank(f"{id}: inlet, notice", expect, f"as drawn; {clause('notice', region).says}")
    if layout.inlets:
        yield Blank(
            "lead", f"{lead_mm2:g} mm², {lead_m:g} m, one piece", "no damage, plugs whole, uncoiled in use"
        )
    for gate in layout.gates:
        kinds = [
            "" if gate.breaker is None else f"{gate.breaker.rating_a:g} A curve {known(gate.breaker.curve)}",
            ""
            if gate.residual is None
            else f"RCD {1e3 * gate.residual.trips_a:g} mA type {known(gate.residual.type)}",
        ]
        if any(kinds):
            poles = "? poles" if gate.poles is None else f"{gate.poles}-pole"
            told = ", ".join([*(kind for kind in kinds if kind), poles])
            yield Blank(gate.id, told, f"{clause('poles', region).says}; as drawn")
    cables = [span for span in layout.spans if span.area_mm2]
    for span in cables:
        wire = job.wires.get(span.id)
        area = wire.gauge if wire is not None and wire.gauge else f"{span.area_mm2:g} mm²"
        cores = f"{span.cores} × {area}"
        yield Blank(f"cable {span.id}", cores, "as drawn: kind, area, fixing, grommets, apart from 12 V")
    yield Blank("terminals and screws", "tight, to the maker's torque", "none loose, no copper bare")


def continuity(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give the way of the protective conductor to each outlet and to the body."""
    for way in earth_ways(job):
        cables = ", ".join(way.cables) or "inside"
        about = "" if way.known else ", a length or size is not known"
        most = f"{ohm_words(way.r2_ohm + JOINT_OHM)} with one joint"
        yield Blank(
            f"earth of {way.source} to earth of {way.outlet} (R2; {cables})",
            f"{ohm_words(way.r2_ohm)}{about}",
            most,
        )
        most = f"{ohm_words(way.both_ohm + JOINT_OHM)} with one joint"
        yield Blank(
            f"R1 + R2 at {way.outlet}, line and earth joined there", f"{ohm_words(way.both_ohm)}{about}", most
        )
    bonds = job.mains.layout.bonds
    for bond in bonds:
        ohm = bond_ohm(bond)
        yield Blank(
            f"bond {bond.piece}, {bond.a} to bare metal of the body",
            "length or size not known" if ohm is None else ohm_words(ohm),
            f"about {JOINT_OHM:g} Ω or less",
        )
    for inlet in job.mains.layout.inlets if not bonds else ():
        yield Blank(
            f"earth of {inlet} to the body",
            "no bond in the plan: see findings",
            f"about {JOINT_OHM:g} Ω or less",
        )


def insulation(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give each outlet, then the whole."""
    for way in earth_ways(job):
        yield Blank(f"live conductors to earth at {way.outlet}", _NEW, test.limit.partition(";")[0])
    yield Blank("whole mains side, all switches closed, nothing plugged in", _NEW, test.limit)


def apart(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give the one test between mains and 12 V."""
    yield Blank("mains conductors joined, to both 12 V poles joined", _NEW, test.limit)


def polarity(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give each outlet, pin by pin."""
    for way in earth_ways(job):
        yield Blank(f"{way.source} to {way.outlet}", "L on L, N on N, PE on PE", test.limit)


def electrode(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    """Give each supply with an electrode of its own."""
    for pitch in job.mains.pitches:
        if pitch.earthing == "tt":
            typed = f"{pitch.electrode_ohm:g} Ω"
            yield Blank(f"{pitch.id}, only if the electrode is yours", typed, "200 Ω or less")


__all__ = ["apart", "continuity", "electrode", "inspection", "insulation", "polarity"]
