"""The tables of parts and studs: what they give, what passes through them, what their rings bring."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from loomwright.assessment.inputs import TYPED
from loomwright.assessment.record import Assessment, CircuitFigure, PassageFigure, StudFigure
from loomwright.assessment.sums import filled
from loomwright.steps import Given, Step

from .figures import added, plain, quantity, row
from .loop import loop_tables, ohm_row
from .record import Row, Table
from .wire import fuse_rows, port_part
from .words import part_words


def is_in(id: str, part: str) -> bool:
    """True for a part itself and for what lies inside it."""
    return id == part or id.startswith(f"{part}/")


def circuits_at(job: Assessment, id: str) -> list[CircuitFigure]:
    """Return the circuits that end on a part or on one inside it, the worst first.

    Of what gives current and takes none, a panel or a charger, those that start there.
    """
    circuits = job.circuits.values()
    found = [circuit for circuit in circuits if is_in(circuit.load, id)]
    found = found or [one for one in circuits if one.path == "charging" and is_in(one.feeder, id)]
    return sorted(found, key=lambda one: (one.path == "signal", -(one.drop_pct or 0.0)))


def part_tables(job: Assessment, id: str) -> Iterator[Table]:
    """Give the tables of a part."""
    for giver in job.given_a:
        if is_in(giver, id):
            yield from _gives(job, giver)
    for circuit in circuits_at(job, id)[:1]:
        yield from loop_tables(job, circuit)
    passing = [one for one in job.passages if is_in(one.part, id)]
    if passing:
        yield _passages(job, passing)
    fuses = _fuses(job, id)
    if fuses:
        yield Table(key="fuses", title="What its fuses hold", rows=tuple(fuses))
    if job.wiring.parts[id].kind in ("busbar", "splice"):
        yield _bar(job, id)
    contacts = list(_contact(job, id))
    if contacts:
        yield Table(key="contact", title="What it resists", rows=tuple(contacts))


def _gives(job: Assessment, giver: str) -> Iterator[Table]:
    """Give what a battery or converter gives with everything on, by what takes it."""
    taken = job.given_a[giver]
    if not taken:
        return
    rows = [
        replace(plain(part_words(job, port), amps, "A", None), of=port_part(job, port))
        for port, amps in sorted(taken.items(), key=lambda item: -item[1])
    ]
    total = added("I", list(taken.values()), "A", "everything on")
    rows.append(replace(row(total, "All together", is_total=True), sum="all of these"))
    yield Table(
        key="gives",
        title="What it gives with everything on",
        rows=tuple(rows),
        result=f"{part_words(job, giver)} gives {quantity(total.value, 'A')}",
    )


def _passages(job: Assessment, passing: list[PassageFigure]) -> Table:
    rows: list[Row] = []
    for one in passing:
        rows.append(plain(f"{part_words(job, one.part)}, {one.what}, carries", one.current_a, "A", None))
        if math.isfinite(one.rating_a):
            rows.append(plain("made for", one.rating_a, "A", TYPED))
            rows.append(row(filled(one.current_a, one.rating_a, "of what it is made for")))
        if one.volts_v:
            rows.append(plain("loses in its contact", one.volts_v, "V", None))
    first = passing[0]
    made = f", made for {quantity(first.rating_a, 'A')}" if math.isfinite(first.rating_a) else ""
    return Table(
        key="passage",
        title="What passes through it",
        rows=tuple(rows),
        result=f"carries {quantity(first.current_a, 'A')}{made}" if len(passing) == 1 else "",
    )


def _fuses(job: Assessment, id: str) -> list[Row]:
    """Return the fuses that sit in a box: its main fuse, then way by way."""
    rows = [one for box, fuse in job.main_fuses.items() if is_in(box, id) for one in fuse_rows(job, fuse)]
    for wire in job.wires.values():
        for fuse in wire.fuses:
            part = job.wiring.part_of(fuse.at)
            if part is not None and is_in(part, id):
                rows += [replace(one, of=("wire", wire.id)) for one in fuse_rows(job, fuse)]
    return rows


def _bar(job: Assessment, id: str) -> Table:
    """Return the wires that meet on a bar, with what each carries."""
    wires = (job.wires[piece.id] for piece in job.wiring.by_point.get(id, ()))
    rows = tuple(
        replace(plain(wire.id, wire.current_a, "A", None), of=("wire", wire.id))
        for wire in wires
        if wire.current_a is not None
    )
    return Table(key="bar", title="What the wires on it carry, everything on", rows=rows)


def _contact(job: Assessment, id: str) -> Iterator[Row]:
    """Give the resistance of a part's own contacts, as the circuits through it count them."""
    seen = set()
    for circuit in job.circuits.values():
        for share in circuit.shares:
            if is_in(share.ohm.owner, id) and share.ohm not in seen:
                seen.add(share.ohm)
                yield ohm_row(job, share.ohm, fine=True, step=share.ohm.sum)


def stud_tables(job: Assessment, stud: StudFigure) -> Iterator[Table]:
    """Give the tables of a stud: its rings with their currents, the volts in its contact."""
    rings = [
        replace(plain(f"Ring of {wire}", amps, "A", None), of=("wire", wire)) for wire, amps in stud.rings
    ]
    rows = [*rings, replace(plain("Into the body", stud.current_a, "A", None), is_total=True)]
    if stud.ohm is not None:
        rows.append(ohm_row(job, stud.ohm, fine=True, step=stud.ohm.sum))
        given = (Given("I", stud.current_a, "A"), Given("R", stud.ohm.ohm, "Ω"))
        volts = Step("U", "I * R", given, stud.current_a * stud.ohm.ohm, "V")
        rows.append(row(volts, "Lost in its contact", fine=True, is_total=True))
    yield Table(
        key="stud",
        title="What the stud carries",
        rows=tuple(rows),
        result=f"{stud.lugs} ring{'' if stud.lugs == 1 else 's'}, {quantity(stud.current_a, 'A')}, "
        f"loses {quantity(stud.volts_v, 'V')}",
    )
