"""What decides a verdict that is not sure: which figure to find out first, and what it would have to be.

A finding that holds at the bad end of what is not known, and not at the good one, becomes one watch. Its
fields are turned to their good end one by one: the one that clears it alone, with most to spare, is named;
if none does, as many as it takes together, what weighs most first.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace

from loomwright.assessment.assess import Corners
from loomwright.assessment.record import Assessment, CircuitFigure
from loomwright.assessment.sensitivity import (
    Sensitivity,
    Worth,
    by_field,
    joint_ohm,
    lighter,
    shallower,
)

from .finding import Finding
from .measuring import Probe, to_measure
from .registry import Job, run_rules

#: So many fields are named in one watch.
NAMED = 3
#: So many whole assessments are made in all, one for each field or set of fields that is no matter of ohms.
WHOLE = 8
#: Halvings in the search for the figure that is just good enough.
HALVINGS = 12
#: Rules on one circuit, and the figure that each compares.
_OF_CIRCUIT = {
    "drop_too_large": "drop_pct",
    "charging_drop_too_large": "drop_pct",
    "start_drop_too_large": "start_drop_pct",
    "charger_input_too_low": "load_v",
    "load_near_cut_out": "load_v",
}
_DIP, _JOINT = "dip_at_other_load", "joint_loses_too_much"


def decided(
    corners: Corners, worst: list[Finding], sure: list[Finding], *, told: bool = True
) -> list[Finding]:
    """Keep what holds at both ends; turn the rest into one watch per thing, naming what decides it.

    Parameters
    ----------
    corners : Corners
        The plan at both ends of what is not known.
    worst, sure : list of Finding
        What is found at the bad end, and what at the good one.
    told : bool
        False: the watch stands without what decides it.
    """
    held = {_key(finding): finding for finding in sure}
    kept: list[Finding] = []
    open_questions: dict[str, Finding] = {}
    for finding in worst:
        match = held.get(_key(finding))
        if match is not None and match.severity == finding.severity:
            kept.append(finding)
        elif match is not None:
            kept.append(match)
        elif finding.severity == "note" or not finding.unknown:
            kept.append(finding)
        else:
            open_questions.setdefault(finding.where, finding)
    if not told:
        return kept + [_open(finding) for finding in open_questions.values()]
    asking = _Asking(corners)
    return kept + [asking.question(finding) for finding in open_questions.values()]


def _open(finding: Finding) -> Finding:
    """Return a finding as the watch that it is while it is not sure."""
    says = f"not known well enough to judge: at the worst {finding.says}"
    return replace(finding, rule="unknown_figure_decides", at_worst=finding.rule, severity="watch", says=says)


def _key(finding: Finding) -> tuple[str, str, tuple[str, ...]]:
    return (finding.rule, finding.where, finding.also)


@dataclass(frozen=True, slots=True)
class _Trial:
    """How one finding is judged again.

    `saved` is what each field is worth in the unit of the finding's figure. `holds` says whether it stays
    with some fields turned, so far to their good end (0 to 1; only all the way unless `partly`).
    """

    finding: Finding
    saved: dict[str, float]
    worths: list[Worth]
    holds: Callable[[Collection[str], float], bool]
    partly: bool = True


class _Asking:
    """Finds out what decides each open question of one van."""

    def __init__(self, corners: Corners) -> None:
        self.bad, self.turning, self.left = corners.bad, Sensitivity(corners), WHOLE

    def question(self, finding: Finding) -> Finding:
        """Return the watch for a finding that is not sure."""
        trial = self._trial(finding)
        ranked = sorted(trial.saved, key=lambda field: -trial.saved[field])
        settling = self._settling(trial, ranked)
        fields = (*settling, *(field for field in ranked if field not in settling))
        whole = sum(trial.saved.values())
        shares = tuple((field, 100.0 * trial.saved[field] / whole if whole else 0.0) for field in ranked)
        enough = self._enough(trial, settling[0]) if len(settling) == 1 else None
        probes = [self._probe(trial, field, enough) for field in settling[:NAMED]]
        return replace(
            _open(finding),
            do=to_measure(self.bad, probes, alone=len(settling) == 1),
            unknown=(*fields, *(field for field in finding.unknown if field not in fields)),
            decided_by=shares,
        )

    def _settling(self, trial: _Trial, ranked: list[str]) -> tuple[str, ...]:
        """Return the one field that settles a question, else as few as do it together."""
        for field in ranked:
            if not trial.holds([field], 1.0):
                return (field,)
        for count in range(2, len(ranked)):
            if not trial.holds(ranked[:count], 1.0):
                return tuple(ranked[:count])
        return tuple(ranked)

    def _enough(self, trial: _Trial, field: str) -> float | None:
        """Return how far towards its good end a field has to stand, 0 to 1; None where that is not told."""
        if not trial.partly or not any(one.field == field for one in trial.worths):
            return None
        low, high = 0.0, 1.0
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            low, high = (middle, high) if trial.holds([field], middle) else (low, middle)
        return high

    def _probe(self, trial: _Trial, field: str, enough: float | None) -> Probe:
        """Return where a field is measured: at that of its resistances which weighs most."""
        own = [one for one in trial.worths if one.field == field]
        if not own:
            return Probe(field)
        worst = max(own, key=lambda one: one.volts)
        bad, good = worst.ohm.ohm, worst.good_ohm
        at_most = None if enough is None else bad - enough * (bad - good)
        unsure = self.turning.corners.unsure.get(field)
        return Probe(
            field,
            worst.ohm.owner,
            worst.ohm.what,
            good,
            bad,
            at_most,
            unsure.high if unsure is not None else 0.0,
        )

    # --- judging again -------------------------------------------------------------------------------

    def _trial(self, finding: Finding) -> _Trial:
        circuit = self._circuit(finding)
        if circuit is not None:
            return self._of_circuit(finding, circuit)
        if finding.rule == _DIP and not finding.mode:
            return self._of_dip(finding)
        if finding.rule == _JOINT:
            return self._of_joint(finding)
        return self._of_whole(finding, finding.unknown)

    def _circuit(self, finding: Finding) -> CircuitFigure | None:
        """Return the one circuit that a finding is about."""
        if finding.rule not in _OF_CIRCUIT or finding.mode or finding.together:
            return None
        own = (one for one in self.bad.circuits.values() if one.wire == finding.where)
        return next((one for one in own if one.load in finding.also), None)

    def _of_circuit(self, finding: Finding, circuit: CircuitFigure) -> _Trial:
        worths = self.turning.worths(circuit.shares, circuit.running_a or 0.0)
        saved = by_field(worths)
        rest = [field for field in finding.unknown if field not in saved]
        figure = _OF_CIRCUIT[finding.rule]
        if finding.rule == "load_near_cut_out" and finding.value == circuit.start_load_v:
            figure = "start_load_v"

        def read(job: Assessment) -> float | None:
            again = job.circuits.get(circuit.id)
            return None if again is None else getattr(again, figure)

        further = self._of_whole(finding, rest, read)

        def holds(fields: Collection[str], part: float) -> bool:
            if any(field not in saved for field in fields):
                return further.holds(fields, part)
            less = lighter(circuit, part * sum(saved[field] for field in fields))
            job = replace(self.bad, circuits={circuit.id: less})
            return self._found(job, finding) is not None

        scale = 100.0 / circuit.system_v if finding.unit == "%" else 1.0
        if figure.startswith("start") and circuit.running_a:
            scale *= (circuit.start_a or 0.0) / circuit.running_a
        in_unit = {field: scale * volts for field, volts in saved.items()}
        return _Trial(finding, in_unit | further.saved, worths, holds)

    def _of_dip(self, finding: Finding) -> _Trial:
        loads = {finding.where, *finding.also}
        circuits = [one for one in self.bad.circuits.values() if one.load in loads]
        dips = {
            (one.id, dip.by_start_of): dip
            for one in circuits
            for dip in one.dips
            if dip.by_start_of == finding.cause
        }
        worths = {key: self.turning.dip_worths(dip) for key, dip in dips.items()}
        own = next((key for key, dip in dips.items() if dip.load == finding.where), None)
        main = worths.get(own, []) if own is not None else []
        saved = by_field(main)
        further = self._of_whole(finding, [field for field in finding.unknown if field not in saved])

        def holds(fields: Collection[str], part: float) -> bool:
            if any(field not in saved for field in fields):
                return further.holds(fields, part)
            done = {}
            for one in circuits:
                less = tuple(
                    shallower(dip, part * _of_fields(worths[one.id, dip.by_start_of], fields))
                    for dip in one.dips
                    if (one.id, dip.by_start_of) in worths
                )
                done[one.id] = replace(one, dips=less)
            job = replace(self.bad, circuits=done)
            found = (f for f in run_rules(Job(job), only={_DIP}) if not f.mode)
            return any(f.cause == finding.cause for f in found)

        return _Trial(finding, saved | further.saved, main, holds)

    def _of_joint(self, finding: Finding) -> _Trial:
        """Return a trial of one joint: its volts go with its ohms."""
        volts, limit, field = finding.value or 0.0, Job(self.bad).limits.joint, finding.unknown[0]
        bad, good = (joint_ohm(job, finding.where) for job in (self.bad, self.turning.corners.good))
        part_left = good.ohm / bad.ohm if bad.ohm else 1.0
        worth = Worth(field, bad, good.ohm, volts * (1.0 - part_left))

        def holds(fields: Collection[str], part: float) -> bool:
            return limit.level(volts - (part * worth.volts if field in fields else 0.0)) is not None

        return _Trial(finding, {field: worth.volts}, [worth], holds)

    def _of_whole(
        self,
        finding: Finding,
        fields: Iterable[str],
        read: Callable[[Assessment], float | None] = lambda _: None,
    ) -> _Trial:
        """Return a trial by whole assessments, as many as are left; a field not tried weighs nothing.

        `read` gives the figure of the finding; without it, where the finding goes, its limit has to do.
        """

        def found(turned: Collection[str]) -> Finding | None:
            return self._found(self.turning.assessed(turned), finding)

        saved: dict[str, float] = {}
        for field in fields:
            saved[field] = 0.0
            if self.left > 0 and finding.value is not None:
                self.left -= 1
                after, end = found([field]), read(self.turning.assessed([field]))
                if end is None:
                    end = after.value if after is not None else finding.limit
                saved[field] = abs(finding.value - end) if end is not None else 0.0
        own = (one for one in self.bad.circuits.values() if one.wire == finding.where)
        places = [w for one in own for w in self.turning.worths(one.shares, one.running_a or 0.0)]
        return _Trial(finding, saved, places, lambda turned, _: found(turned) is not None, partly=False)

    def _found(self, job: Assessment, finding: Finding) -> Finding | None:
        """Return the finding in another assessment, of whatever severity."""
        again = run_rules(Job(job), only={finding.rule})
        return next((one for one in again if _key(one) == _key(finding) and one.mode == finding.mode), None)


def _of_fields(worths: Iterable[Worth], fields: Collection[str]) -> float:
    return sum(one.volts for one in worths if one.field in fields)
