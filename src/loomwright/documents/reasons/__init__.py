"""The reasons slip: why a wire, part, stud or finding is judged as it is, as data for page and book.

Every figure comes from the assessment; what is shown is at most added up. A row that shows a sum carries the
step that works out to it again.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from loomwright.assessment.record import Assessment, CircuitFigure
from loomwright.plan.pieces import point_of
from loomwright.plan.values import End
from loomwright.rules.check import Checked
from loomwright.rules.finding import Finding

from .energy import day_tables
from .limits import circuit_limits, fuse_limits, passage_limits, stud_limits, wire_limits
from .loose import loose_tables, worn_together_table
from .mains import guard_tables, pitch_tables
from .part import circuits_at, is_in, part_tables, stud_tables
from .record import About, Head, Held, Kind, Reasons, Row, Table
from .under_load import promise_tables, under_load_tables
from .wire import circuits_of, fuses_of, weakest, wire_tables
from .words import end_words, part_head, stud_head, wire_head

__all__ = ["About", "Head", "Held", "Reasons", "Row", "Table", "reasons"]


def reasons(checked: Checked, kind: Kind, id: str) -> Reasons:
    """Return the reasons of one thing.

    Parameters
    ----------
    checked : Checked
        A plan assessed and judged.
    kind : str
        "wire", "part", "stud", "finding" or "terminal".
    id : str
        Id of the wire, part or stud; the number of a finding in the check list; a terminal as "P1.3".

    Returns
    -------
    Reasons
        Frozen; words and figures without markup.

    Raises
    ------
    KeyError
        There is no such thing.
    """
    job = checked.assessment
    if kind == "finding":
        return _of_finding(checked, id)
    if kind == "terminal":
        return _of_terminal(checked, id)
    if kind == "wire" and id in job.wires:
        return _of_wire(checked, id)
    if kind == "stud" and id in job.studs:
        return _of_stud(checked, id)
    if kind == "part" and id in job.wiring.parts:
        return _of_part(checked, id)
    raise KeyError(f"no {kind} {id}")


def _of_wire(checked: Checked, id: str) -> Reasons:
    job = checked.assessment
    wire = job.wires[id]
    piece = next(piece for piece in job.wiring.runs[wire.run].pieces if piece.id == id)
    circuits, fuses = circuits_of(job, wire), fuses_of(job, wire)
    about = _about(checked, lambda finding: bool({id, wire.run} & {finding.where, *finding.also}))
    limits = [held for circuit in circuits[:1] for held in circuit_limits(job, circuit)]
    limits += wire_limits(job, weakest(job, wire) or wire, fuses)
    return Reasons(
        kind="wire",
        id=id,
        head=wire_head(job, wire, piece),
        findings=about,
        tables=(*wire_tables(job, wire), *loose_tables(job, "wire", id)),
        limits=tuple(limits),
        unknown=_unknown(about, circuits[:1], wire.unknown, (ohm.unknown for ohm in wire.ohms)),
    )


def _of_part(checked: Checked, id: str) -> Reasons:
    job = checked.assessment
    circuits = circuits_at(job, id)[:1]
    about = _about(checked, lambda finding: any(is_in(one, id) for one in (finding.where, *finding.also)))
    limits = [held for circuit in circuits for held in circuit_limits(job, circuit)]
    limits += [
        held
        for box, fuse in job.main_fuses.items()
        if is_in(box, id)
        for held in fuse_limits(job, fuse, None)
    ]
    limits += [held for one in job.passages if is_in(one.part, id) for held in passage_limits(job, one)]
    return Reasons(
        kind="part",
        id=id,
        head=part_head(job, id),
        findings=about,
        tables=(
            *part_tables(job, id),
            *under_load_tables(job, id),
            *guard_tables(job, id),
            *loose_tables(job, "part", id),
        ),
        limits=tuple(limits),
        unknown=_unknown(about, circuits),
    )


def _of_stud(checked: Checked, id: str) -> Reasons:
    job = checked.assessment
    stud = job.studs[id]
    about = _about(checked, lambda finding: id in (finding.where, *finding.also))
    guessed = (stud.ohm.unknown,) if stud.ohm is not None else ()
    return Reasons(
        kind="stud",
        id=id,
        head=stud_head(job, id),
        findings=about,
        tables=(*stud_tables(job, stud), *loose_tables(job, "stud", id)),
        limits=tuple(stud_limits(job, stud)),
        unknown=_unknown(about, (), guessed),
    )


def _of_finding(checked: Checked, id: str) -> Reasons:
    """Return the reasons of the thing that a finding is about, with this finding first."""
    number = int(id) if id.isdecimal() else 0
    if not 1 <= number <= len(checked.findings):
        raise KeyError(f"no finding {id}")
    finding = checked.findings[number - 1]
    own = _written(number, finding)
    kind = thing_of(checked.assessment, finding.where)
    if kind is None:
        head = Head(id=finding.where, what=finding.where, place=finding.place)
        job, where = checked.assessment, finding.where
        tables = (*promise_tables(job, where), *day_tables(job, where), *pitch_tables(job, where))
        return Reasons(
            kind="finding", id=id, head=head, findings=(own,), tables=tables, unknown=finding.unknown
        )
    found = reasons(checked, kind, finding.where)
    others = tuple(one for one in found.findings if one.number != number)
    unknown = tuple(dict.fromkeys((*finding.unknown, *found.unknown)))
    tables = found.tables
    if finding.rule == "worn_joints_decide":
        tables = (worn_together_table(checked.assessment), *tables)
    return replace(found, kind="finding", id=id, findings=(own, *others), tables=tables, unknown=unknown)


def thing_of(job: Assessment, id: str) -> Kind | None:
    """Return what an id names: a wire, part or stud; None if none of them."""
    if id in job.wires:
        return "wire"
    if id in job.wiring.parts:
        return "part"
    return "stud" if id in job.studs else None


def _of_terminal(checked: Checked, id: str) -> Reasons:
    """Return the reasons of the wire at a terminal; those of its part if none is there."""
    job = checked.assessment
    part_id, _, terminal = id.rstrip("<>").rpartition(".")
    if part_id not in job.wiring.parts:
        raise KeyError(f"no terminal {id}")
    wire = _wire_at(job, part_id, terminal)
    if wire is None:
        found = _of_part(checked, part_id)
        return replace(found, kind="terminal", id=id, head=replace(found.head, id=id))
    found = _of_wire(checked, wire)
    fuses = [
        f"{fuse.rating_a:g} A {fuse.kind}" for fuse in job.wires[wire].fuses if fuse.rating_a is not None
    ]
    words = [end_words(job, id), *fuses, found.head.what]
    return replace(found, kind="terminal", id=id, head=replace(found.head, id=id, what=" · ".join(words)))


def _wire_at(job: Assessment, part_id: str, terminal: str) -> str | None:
    """Return the van's own wire at a terminal, a feed before a return."""
    names = {f"{part_id}.{terminal}{half}" for half in ("", "<", ">")}
    part = job.wiring.parts[part_id]
    if terminal in part.ports:
        names |= {point_of(job.wiring, End(part_id, terminal), "", side) for side in ("from", "to")}
    pieces = [
        piece
        for name in names
        for piece in job.wiring.by_point.get(name, ())
        if is_in(part_id, piece.run.partition("/")[0]) or "/" not in piece.run
    ]
    pieces.sort(key=lambda piece: piece.is_return)
    return pieces[0].id if pieces else None


def _about(checked: Checked, touches: Callable[[Finding], bool]) -> tuple[About, ...]:
    return tuple(
        _written(number, finding) for number, finding in enumerate(checked.findings, 1) if touches(finding)
    )


def _written(number: int, finding: Finding) -> About:
    return About(
        number=number,
        severity=finding.severity,
        rule=finding.rule,
        where=finding.where,
        says=finding.says,
        do=finding.do if finding.severity != "note" else "",
        source=finding.source,
        beside=finding.beside,
        unknown=finding.unknown,
        value=finding.value,
        limit=finding.limit,
        unit=finding.unit,
    )


def _unknown(
    about: Iterable[About], circuits: Iterable[CircuitFigure], *further: Iterable[str]
) -> tuple[str, ...]:
    """Return the fields guessed at, those of the findings first."""
    names: Iterator[str] = (
        name
        for group in (*(one.unknown for one in about), *(one.unknown for one in circuits), *further)
        for name in group
    )
    return tuple(dict.fromkeys(name for name in names if name))
