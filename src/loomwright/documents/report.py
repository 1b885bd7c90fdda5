"""The report of a check: as one JSON object by the contract of the command line, and as text for people."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from loomwright.assessment.along_record import Along
from loomwright.assessment.banded import Bands, Progress
from loomwright.assessment.record import Assessment, CircuitFigure, FuseFigure, Share, WireFigure
from loomwright.assessment.warmth import conductor_c
from loomwright.assessment.weak_joints import weak_joints
from loomwright.assessment.which import Seen, which
from loomwright.rules.check import Checked, count
from loomwright.rules.finding import SEVERITIES, Finding
from loomwright.sizing.cures import Answer
from loomwright.source import Source
from loomwright.steps import Step

from .banded import bands_dict
from .cured import NOTHING_TOLD, RECHECKED, Told, answers_of, told
from .energy import energy_dict, energy_table
from .lists import Lists
from .lists.pitch import pitch_lines
from .mains import mains_dict
from .table import table
from .under_load import batteries_dict, under_load_table

#: Digits kept in JSON: far beyond what any figure is worth, short of rounding dust.
DIGITS = 9
CAUTION = (
    "Loomwright helps a competent person to plan and check; it replaces neither local codes nor licensed\n"
    "practice, and it is no certificate. Work with the batteries disconnected, minus first, and measure."
)
#: What a reader might expect to be judged and is not, in this version.
NOT_JUDGED = ("spells of bad weather (the sun of the mean day is counted)",)
#: Said as well where the states of a van are too many to visit each.
STATES_NOT_JUDGED = "some combinations of its switches, which are too many"
MAINS_CAUTION = "230/120 V side not checked by this version: leave it to a licensed person."
MAINS_UNTESTED = (
    "230/120 V side: worked out here, tested by nobody. A licensed person inspects and tests it before use."
)


@dataclass(frozen=True, slots=True)
class Report:
    """Findings and figures of one plan; cures are looked for when they are first asked for, unless given."""

    checked: Checked
    _answers: dict[int, Answer] = field(default_factory=dict, repr=False, compare=False)

    @property
    def assessment(self) -> Assessment:
        """The assessment behind the findings."""
        return self.checked.assessment

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, gravest first."""
        return self.checked.findings

    @property
    def dangers(self) -> int:
        """How many findings say: do not energise."""
        return count(self.findings, "danger")

    @property
    def faults(self) -> int:
        """How many findings say: fix before handover."""
        return count(self.findings, "fault")

    @property
    def accepted(self) -> int:
        """How many of the watches the plan accepts."""
        return sum(1 for finding in self.findings if finding.accepted)

    def bands(self, progress: Progress | None = None) -> Bands:
        """Return what each figure may be: low, typical and high; worked out once.

        Parameters
        ----------
        progress : callable or None
            Told after each step how many are done, and of how many.
        """
        return self.checked.banded(progress)

    @property
    def answers(self) -> Mapping[int, Answer]:
        """The cure of each finding that is more than a note, by its number, or why there is none."""
        if not self._answers:
            self._answers.update(answers_of(self.checked))
        return self._answers

    def which(self, asked: str) -> tuple[Seen, ...]:
        """Return the wires that fit what is seen of one: "blue, 1.5, right rear".

        Parameters
        ----------
        asked : str
            Colours, a size, a printed number, places, parts, left, right, front, rear, floor, roof.
        """
        return which(self.assessment, asked)

    def as_dict(self) -> dict[str, object]:
        """Return the report as one JSON object; a figure that is not to be had is None, never 0."""
        job = self.assessment
        return {
            "title": job.plan.title,
            "findings": [self._finding(*numbered) for numbered in enumerate(self.findings, 1)],
            "wires": [_wire(wire, job) for wire in job.wires.values() if is_listed(wire)],
            "circuits": [_circuit(circuit) for circuit in job.circuits.values()],
            "studs": [
                _rounded({"id": s.id, "current_a": s.current_a, "volts_v": s.volts_v, "lugs": s.lugs})
                for s in job.studs.values()
            ],
            "modes": {id: mode.as_dict() for id, mode in job.modes.figures.items()},
            "bands": self._bands(),
            "faults": _faults(job),
            "batteries": _rounded(batteries_dict(job)),
            "energy": _rounded(energy_dict(job)),
            "loom": _rounded(job.loom.as_dict()),
            "lists": _rounded(Lists(job).as_dict()),
            "mains": _rounded(mains_dict(job)),
            "totals": self._totals(),
        }

    def _bands(self) -> dict[str, object]:
        wires = {id for id, wire in self.assessment.wires.items() if is_listed(wire)}
        return _rounded(bands_dict(self.bands(), wires) | {"open": self._open_verdicts()})

    def _open_verdicts(self) -> list[dict[str, object]]:
        """Return the verdicts that hang on what is not known, and on what of it most."""
        return [
            {
                "finding": number,
                "where": one.where,
                "rule": one.at_worst,
                "decided_by": [{"field": field, "share_pct": pct} for field, pct in one.decided_by],
                "settled_by": one.do,
            }
            for number, one in enumerate(self.findings, 1)
            if one.at_worst
        ]

    def _finding(self, number: int, finding: Finding) -> dict[str, object]:
        answer = self.answers.get(number)
        cure = None if answer is None or answer.cure is None else answer.cure.as_dict()
        why = "" if answer is None else answer.why
        return _rounded(finding.as_dict() | {"cure": cure, "no_cure": why})

    def _totals(self) -> dict[str, object]:
        drawn = {id: amps for id, amps in self.assessment.drawn_a.items() if amps > 0}
        return _rounded(
            {f"{severity}s": count(self.findings, severity) for severity in ("danger", "fault", "note")}
            | {"watches": count(self.findings, "watch"), "accepted": self.accepted}
            | {
                "not_judged": list(not_judged(self.assessment)),
                "all_on_a": drawn,
                "mains_checked": not self.assessment.mains.unjudged,
            }
        )

    def as_text(self) -> str:
        """Return the report for people: findings first, then the wires, the caution last."""
        job = self.assessment
        parts = [f"{job.plan.title}: {self._headline()}", "", *self._finding_lines()]
        parts += ["", "Wires", _wire_table(job), "", "Circuits", _circuit_table(job)]
        if large := under_load_table(job):
            parts += ["", "Large loads, alone, by charge and temperature of the batteries", large]
        if days := energy_table(job):
            parts += ["", "A mean day of each month of use", days]
        if pitches := list(pitch_lines(Lists(job).pitches)):
            parts += ["", "On the pitch", *pitches]
        parts += ["", f"Not judged by this version: {', '.join(not_judged(job))}."]
        if has_mains(job):
            parts.append(MAINS_CAUTION if job.mains.unjudged else MAINS_UNTESTED)
        return "\n".join([*parts, "", CAUTION])

    def _headline(self) -> str:
        if not self.findings:
            return "no findings."
        counts = [(count(self.findings, severity), severity) for severity in SEVERITIES]
        taken = f" ({self.accepted} accepted)" if self.accepted else ""
        words = [f"{n} {_plural(word, n)}{taken if word == 'watch' else ''}" for n, word in counts if n]
        stop = " DO NOT ENERGISE." if self.dangers else ""
        return ", ".join(words) + "." + stop

    def _finding_lines(self) -> list[str]:
        lines: list[str] = []
        cures = told(self.answers)
        for number, finding in enumerate(self.findings, 1):
            place = f" ({finding.place})" if finding.place else ""
            lines.append(f"{number:>3}  {finding.severity.upper()} {finding.where}{place}")
            lines.append(f"     {finding.says}")
            if finding.do and finding.severity != "note":
                lines.append(f"     -> {finding.do}")
            if finding.accepted:
                lines.append(f"     accepted: {finding.accepted}")
            lines.extend(f"     {text}" for text in _cure_lines(cures.get(number, NOTHING_TOLD)))
            lines.append(f"     [{finding.rule}; {finding.source}]")
            lines.extend(f"     beside it {text}" for text in finding.beside)
        return lines


def _cure_lines(told: Told) -> list[str]:
    if told.cure is None:
        return [f"no cure found: {told.why}"] if told.why else []
    says = f"that of {told.first}" if told.first else told.cure.says
    clears = f"; cures {told.clears}" if told.clears and not told.first else ""
    return [f"cure: {says} ({RECHECKED.lower()}){clears}", *(f"      {text}" for text in told.figures)]


def _plural(severity: str, n: int) -> str:
    if n == 1:
        return severity
    return "watches" if severity == "watch" else f"{severity}s"


def is_listed(wire: WireFigure) -> bool:
    """True for a wire that stands in tables and lists: no joints of 0 m, nothing inside a box."""
    return not wire.inner and wire.length_m != 0.0


def not_judged(job: Assessment) -> tuple[str, ...]:
    """Return what a reader might expect to be judged and is not, in this version and for this van."""
    _, whole = job.modes.sweep
    return NOT_JUDGED if whole else (*NOT_JUDGED, STATES_NOT_JUDGED)


def has_mains(job: Assessment) -> bool:
    """True if the plan has anything on the mains side."""
    return any(flat.mains for flat in job.wiring.runs.values())


def _rounded(value: object) -> dict[str, object]:
    """Return a JSON-like object with its floats rounded; what is no number becomes None."""
    done = _round(value)
    assert isinstance(done, dict)
    return done


def _round(value: object) -> object:
    if isinstance(value, float):
        return round(value, DIGITS) if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: _round(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_round(one) for one in value]
    return value


def _faults(job: Assessment) -> dict[str, object]:
    """Return shorts along each wire, what follows when something comes open, and what worn joints cost."""
    return _rounded(
        {
            "shorts": [one.as_dict() for one in job.faults.along.values()],
            "breaks": [one.as_dict() for one in job.breaks.every if one.matters],
            "joints": [one.as_dict() for one in weak_joints(job)],
        }
    )


def _fuse(fuse: FuseFigure) -> dict[str, object]:
    return {"at": fuse.at, "rating_a": fuse.rating_a, "kind": fuse.kind, "breaks_a": fuse.breaks_a}


def _wire(wire: WireFigure, job: Assessment) -> dict[str, object]:
    faults = job.faults
    source_end, far_end = faults.largest.ends.get((wire.id, "a")), faults.smallest.ends.get((wire.id, "b"))
    return _rounded(
        {
            "id": wire.id,
            "run": wire.run,
            "from": wire.from_,
            "to": wire.to,
            "area_mm2": wire.area_mm2,
            "length_m": wire.length_m,
            "colour": wire.colour,
            "peak_a": wire.peak_a,
            "rating_a": wire.rating_a,
            "rating_basis": wire.rating_basis,
            "current_a": wire.current_a,
            "conductor_c": conductor_c(job, wire),
            "fuses": [_fuse(fuse) for fuse in wire.fuses],
            "drop_v": wire.drop_v,
            "drop_pct": wire.drop_pct,
            "short_circuit_max_a": None if source_end is None else source_end.amps,
            "short_circuit_min_a": None if far_end is None else far_end.amps,
            "clears": _clears(faults.along.get(wire.id)),
            "chosen": sorted(wire.chosen),
            "rating_steps": [_step(step) for step in wire.rating_steps],
        }
    )


def _clears(along: Along | None) -> dict[str, object]:
    """Return when a short at the worst place of a wire is over; `never` and `folds_back` have no time."""
    if along is None:
        return {"verdict": "not_computed", "at_most_s": None}
    return {"verdict": along.verdict, "at_most_s": along.at_most_s}


def _circuit(circuit: CircuitFigure) -> dict[str, object]:
    return _rounded(
        {
            "id": circuit.id,
            "wire": circuit.wire,
            "load": circuit.load,
            "path": circuit.path,
            "feeder": circuit.feeder,
            "running_a": circuit.running_a,
            "start_a": circuit.start_a,
            "loop_resistance_ohm": circuit.loop_resistance_ohm,
            "drop_v": circuit.drop_v,
            "drop_pct": circuit.drop_pct,
            "drop_together_v": circuit.drop_together_v,
            "drop_run_v": circuit.drop_run_v,
            "start_drop_v": circuit.start_drop_v,
            "start_drop_pct": circuit.start_drop_pct,
            "dips": [
                {
                    "load": dip.load,
                    "by_start_of": dip.by_start_of,
                    "dip_v": dip.dip_v,
                    "shares": _shares(dip.shares),
                }
                for dip in circuit.dips
            ],
            "shares": _shares(circuit.shares),
            "steps": [_step(step) for step in circuit.steps],
        }
    )


def _shares(shares: tuple[Share, ...]) -> list[dict[str, object]]:
    return [
        {
            "of": s.ohm.owner,
            "what": s.ohm.what,
            "ohm": s.ohm.ohm,
            "volts": s.volts,
            "source": _source(s.ohm.source),
        }
        for s in shares
    ]


def _step(step: Step) -> dict[str, object]:
    return {
        "symbol": step.symbol,
        "formula": step.formula,
        "inputs": [{"name": g.name, "value": g.value, "unit": g.unit} for g in step.inputs],
        "value": step.value,
        "unit": step.unit,
        "says": step.says,
        "source": _source(step.source),
    }


def _source(source: Source | None) -> str | None:
    return None if source is None else str(source)


def _wire_table(job: Assessment) -> str:
    rows = []
    for wire in job.wires.values():
        if not is_listed(wire):
            continue
        fuses = ", ".join("?" if fuse.rating_a is None else f"{fuse.rating_a:g} A" for fuse in wire.fuses)
        rows.append(
            (
                wire.id,
                f"{wire.from_} > {wire.to}",
                _size(wire),
                _figure(wire.length_m, "m", 1, "length" in wire.chosen),
                wire.colour,
                fuses,
                _figure(wire.current_a, "A"),
                _figure(wire.rating_a, "A"),
                _figure(wire.drop_v, "V", 2),
            )
        )
    heads = ("wire", "from > to", "size", "length", "colour", "fuse", "carries", "good for", "loses")
    starred = any(cell.endswith("*") for row in rows for cell in row[2:4])
    return table(heads, rows) + ("\n* chosen or worked out by the program" if starred else "")


def _size(wire: WireFigure) -> str:
    if wire.area_mm2 is None:
        return "–"
    star = "*" if "area" in wire.chosen else ""
    return (wire.gauge or f"{wire.area_mm2:g} mm²") + star


def _circuit_table(job: Assessment) -> str:
    rows = []
    for circuit in job.circuits.values():
        if circuit.path == "signal" or "/" in circuit.id:
            continue
        worst = circuit.dips[0] if circuit.dips else None
        rows.append(
            (
                circuit.id,
                circuit.load,
                circuit.feeder,
                _figure(circuit.running_a, "A"),
                _figure(
                    None if circuit.loop_resistance_ohm is None else 1e3 * circuit.loop_resistance_ohm,
                    "mΩ",
                    1,
                ),
                _percent(circuit.drop_v, circuit.drop_pct),
                _percent(circuit.start_drop_v, circuit.start_drop_pct),
                "–" if worst is None else f"{worst.dip_v:.2f} V by {worst.by_start_of}",
            )
        )
    heads = ("circuit", "load", "from", "runs at", "loop", "loses", "at its start", "largest dip")
    return table(heads, rows)


def _figure(value: float | None, unit: str, digits: int | None = None, starred: bool = False) -> str:
    if value is None:
        return "–"
    text = f"{value:.3g}" if digits is None else f"{value:.{digits}f}"
    return f"{text} {unit}{'*' if starred else ''}"


def _percent(volts: float | None, percent: float | None) -> str:
    return "–" if volts is None or percent is None else f"{volts:.2f} V {percent:.1f} %"
