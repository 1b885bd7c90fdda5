"""Which runs are tried for a thing that was asked about, and which matters are to be cleared."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.record import Assessment
from loomwright.rules.finding import Finding

from .trial import Bench, Matter, matter_of


def asked(bench: Bench, kind: str, id: str) -> Iterator[tuple[str, frozenset[Matter]]]:
    """Give the runs to try for a thing, each with the matters that are to be cleared."""
    job = bench.checked.assessment
    if kind == "finding":
        number = int(id) if id.isdecimal() else 0
        for finding in bench.checked.findings[number - 1 : number] if number else ():
            if matter_of(finding) in bench.base.grades:
                for run in _runs_of_finding(job, finding):
                    yield run, frozenset({matter_of(finding)})
        return
    for run in dict.fromkeys(_runs_of(job, kind, id)):
        touched = {id, run, *(piece.id for piece in job.wiring.runs[run].pieces)}
        matters = {
            matter_of(finding) for finding in bench.base.findings if touched & {finding.where, *finding.also}
        }
        yield run, frozenset(matters & bench.base.grades.keys())


def _runs_of(job: Assessment, kind: str, id: str) -> Iterator[str]:
    """Give the run of a wire, the one that feeds a load, the one at a terminal."""
    if kind == "wire" and id in job.wires:
        yield job.wires[id].run
    elif kind == "part":
        yield from (circuit.wire for circuit in job.circuits.values() if circuit.load == id)
    elif kind == "terminal":
        yield from (piece.run for piece in job.wiring.by_point.get(id, ()))


def _runs_of_finding(job: Assessment, finding: Finding) -> list[str]:
    """Return the run that a finding is about; of a dip, the one that costs most and the load's own."""
    if finding.where in job.wires:
        return [job.wires[finding.where].run]
    dips = [
        dip
        for circuit in job.circuits.values()
        for dip in circuit.dips
        if dip.load == finding.where and dip.by_start_of in finding.also
    ]
    owners = [share.ohm.owner for dip in dips for share in dip.shares if share.ohm.owner in job.wires]
    feeds = [circuit.wire for circuit in job.circuits.values() if circuit.load == finding.where]
    return list(dict.fromkeys([*(job.wires[owner].run for owner in owners[:1]), *feeds]))
