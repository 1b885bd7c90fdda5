"""Rules on earth studs: which bolts never, bare metal, sealed, large rings, senders beside heavy loads."""

from __future__ import annotations

import re
from collections.abc import Iterator

from loomwright.plan.model import Stud
from loomwright.plan.pieces import Piece, Wiring
from loomwright.plan.values import UNKNOWN
from loomwright.tables.earth_points import (
    BARE_SOURCE,
    BOLT_SOURCE,
    FORBIDDEN_BOLTS,
    HEAVY_A,
    HEAVY_SOURCE,
    LARGEST_CABLE_MM2,
    RING_SOURCE,
)

from .finding import Finding, Severity
from .registry import Job, rule

#: Where water comes to.
_IN_WORDS = {
    "wet": "wet",
    "outside": "outside",
    "underfloor": "under the floor",
    "engine_bay": "in the engine bay",
}
_SENSORS = ("sender", "gauge")
#: A remark that a stud is such a bolt: "seat belt bolt", "on the bolt of the seat".
_HOLDS = r"(seat[ -]?belt|belt|airbag|seat|fuel|brake|door)"
_BOLT = re.compile(rf"\b{_HOLDS}s?[ -](?:\w+ )?(?:bolt|screw)\b|\b(?:bolt|screw) of (?:the |a )?{_HOLDS}\b")
_DENIED = re.compile(r"\b(no|not|never|away|off|clear|beside|near|next|instead|replaces?)\b")
_DUST_A = 1e-6


def _own(job: Job) -> Iterator[tuple[str, Stud]]:
    """Give the studs that the workshop sets itself."""
    for id, stud in job.assessment.plan.studs.items():
        if stud.factory is not True:
            yield id, stud


@rule(
    worst="fault",
    asks="Does any earth sit on a bolt that must not be touched?",
    why="A ring under the bolt of a belt, seat, airbag, brake or fuel line takes its grip; a door's moves.",
    source=BOLT_SOURCE,
)
def stud_on_forbidden_bolt(job: Job) -> Iterator[Finding]:
    for id, stud in _own(job):
        holds = FORBIDDEN_BOLTS.get(stud.bolt) if isinstance(stud.bolt, str) else None
        severity: Severity = "fault"
        says = f"stud {id} is a bolt of the vehicle that holds {holds}"
        if holds is None and "bolt" not in stud.typed and (words := _words_of_bolt(id, stud)):
            severity, says = "watch", f'stud {id}: its remark says "{words}"'
        elif holds is None:
            continue
        yield Finding(
            rule="stud_on_forbidden_bolt",
            severity=severity,
            where=id,
            place=stud.place,
            says=says,
            do="set a stud of its own for earths in bare metal, and leave that bolt as it was"
            if severity == "fault"
            else f"write at studs.{id}.bolt what it is: own, or what it holds",
            source=BOLT_SOURCE,
        )


def _words_of_bolt(id: str, stud: Stud) -> str:
    """Return the words that say that a stud is such a bolt; "" if a remark speaks of one only to deny it."""
    for text in (id.replace("_", " ").casefold(), (stud.note or "").casefold()):
        found = _BOLT.search(text)
        if found is not None and not _DENIED.search(text[: found.start()]):
            return found[0]
    return ""


@rule(
    worst="fault",
    asks="Do the rings lie on bare metal?",
    why="A ring on paint has its contact by the thread alone; it gets worse every winter.",
    source=BARE_SOURCE,
)
def stud_on_paint(job: Job) -> Iterator[Finding]:
    for id, stud in _own(job):
        if stud.surface == "painted":
            yield Finding(
                rule="stud_on_paint",
                severity="fault",
                where=id,
                place=stud.place,
                says=f"the rings on stud {id} lie on paint",
                do="take the paint off under the ring, tighten, then seal",
                source=BARE_SOURCE,
            )


@rule(
    worst="watch",
    asks="Is each stud sealed?",
    why="Water creeps under a ring that is not sealed, and the joint rots from below.",
    source=BARE_SOURCE,
)
def stud_not_sealed(job: Job) -> Iterator[Finding]:
    for id, stud in _own(job):
        place = job.assessment.plan.places.get(stud.place)
        wet = [zone for zone in (place.zones if place is not None else ()) if zone in _IN_WORDS]
        if stud.sealed is False or (stud.sealed is UNKNOWN and wet):
            where = f"; {stud.place} is {_IN_WORDS[wet[0]]}" if wet else ""
            yield Finding(
                rule="stud_not_sealed",
                severity="watch",
                where=id,
                place=stud.place,
                says=f"stud {id} is not {'sealed' if stud.sealed is False else 'known to be sealed'}{where}",
                do="seal it with wax or paint after tightening"
                if stud.sealed is False
                else f"look at it, seal it, and write yes at studs.{id}.sealed",
                source=BARE_SOURCE,
            )


@rule(
    worst="watch",
    asks="Does each stud take the largest ring on it?",
    why="The ring of a thick cable has too large a hole for a thin stud: the nut presses on its edge only.",
    source=RING_SOURCE,
)
def cable_too_large_for_stud(job: Job) -> Iterator[Finding]:
    for id, stud in _own(job):
        most = LARGEST_CABLE_MM2.get(_thread_mm(stud.thread))
        pieces = job.assessment.wiring.by_point.get(id, ())
        wires = [job.assessment.wires[piece.id] for piece in pieces]
        largest = max(wires, key=lambda wire: wire.area_mm2 or 0.0, default=None)
        if most is None or most >= max(LARGEST_CABLE_MM2.values()) or largest is None:
            continue
        if largest.area_mm2 is not None and largest.area_mm2 > most:
            yield Finding(
                rule="cable_too_large_for_stud",
                severity="watch",
                where=id,
                also=(largest.id,),
                place=stud.place,
                value=largest.area_mm2,
                limit=most,
                unit="mm²",
                says=f"{largest.id} has {largest.gauge or f'{largest.area_mm2:g} mm²'}, and rings for "
                f"{stud.thread} are usual up to {most:g} mm²",
                do="set a larger stud, M8 or M10",
                source=RING_SOURCE,
            )


def _thread_mm(thread: str) -> int:
    """Return the size of a metric thread, 0 for another. [mm]"""
    found = re.fullmatch(r"[Mm] ?(\d+)(?:[xX×].*)?", thread.strip())
    return int(found[1]) if found else 0


@rule(
    worst="watch",
    asks="Have senders earths apart from heavy loads?",
    why="The volts that a heavy return loses in a stud are read by the gauge as water.",
    source=HEAVY_SOURCE,
)
def sensor_shares_stud(job: Job) -> Iterator[Finding]:
    wiring, studs = job.assessment.wiring, job.assessment.plan.studs
    rings = {id: wiring.by_point.get(id, ()) for id in studs}
    sensors = {
        id: {kind: p for p in pieces if (kind := _sensor_of(wiring, p))} for id, pieces in rings.items()
    }
    by_body = any("sender" in kinds for kinds in sensors.values())
    for id, kinds in sensors.items():
        if len(kinds) != 1 or not by_body:
            continue  # sender and gauge on one stud see the same volts; a gauge alone reads none of them
        amps, heavy = max(((_amps(job, piece), piece) for piece in rings[id]), key=lambda pair: pair[0])
        if amps > HEAVY_A + _DUST_A:
            sensor = next(iter(kinds.values())).id
            yield Finding(
                rule="sensor_shares_stud",
                severity="watch",
                where=id,
                also=(sensor, heavy.id),
                place=job.place(id),
                value=amps,
                limit=HEAVY_A,
                unit="A",
                says=f"{sensor} shares stud {id} with {heavy.id}, which brings back {amps:.3g} A",
                do="bring the sensor's return to the minus of its gauge, or to a stud of its own",
                source=HEAVY_SOURCE,
            )


def _sensor_of(wiring: Wiring, piece: Piece) -> str:
    """Return the kind of the sensor whose return a wire is, "" if it is none of one."""
    for point in (piece.a, piece.b):
        part = wiring.part_of(point)
        if part is not None and wiring.parts[part].kind in _SENSORS:
            return wiring.parts[part].kind
    return ""


def _amps(job: Job, piece: Piece) -> float:
    """Return the most that a load's return brings to its stud, running or in its start. [A]

    The earth of a battery counts as nothing: every current of the van arrives there.
    """
    wiring = job.assessment.wiring
    ends = [wiring.parts[part].kind for p in (piece.a, piece.b) if (part := wiring.part_of(p)) is not None]
    if any(kind in ("battery", "vehicle_battery") for kind in ends):
        return 0.0
    starts = [c.start_a or 0.0 for c in job.assessment.circuits.values() if c.wire == piece.run]
    return max([abs(job.assessment.branch_a.get(piece.id, 0.0)), *starts])
