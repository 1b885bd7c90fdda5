"""The rule on lasting currents with a selector or change-over moved: cable, fuse and contact."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.loaded import Loaded, loaded_when_moved

from .finding import SEVERITIES, Finding, Severity
from .registry import Job, rule

_GRAVITY = list(SEVERITIES)
_MADE_FOR = {"contact": "its contact is made for", "cable": "it is good for", "fuse": "its fuse is of"}


@rule(
    worst="fault",
    asks="Is nothing overloaded when a selector is moved?",
    why="What is wired for one battery may carry everything once the selector stands on the other.",
)
def overloaded_when_moved(job: Job) -> Iterator[Finding]:
    told: dict[tuple[str, str], int] = {}
    for one in loaded_when_moved(job.assessment):
        limits = job.limits
        limit = limits.load_over_fuse if one.what == "fuse" else limits.load_over_rating
        severity: Severity | None = limit.level(one.amps / one.rating_a)
        if severity is None or limit.level(one.at_rest_a / one.rating_a) == severity:
            continue
        if told.get((one.of, one.what), len(_GRAVITY)) <= _GRAVITY.index(severity):
            continue
        told[one.of, one.what] = _GRAVITY.index(severity)
        wire = job.assessment.wires.get(one.of)
        yield Finding(
            rule="overloaded_when_moved",
            severity=severity,
            where=wire.run if wire is not None else one.of,
            also=(one.of,) if wire is not None and wire.run != one.of else (),
            place=job.place(one.of),
            value=one.amps,
            limit=one.rating_a * (_passed(one, severity, job) or 1.0),
            unit="A",
            mode=one.mode,
            says=f"{job.name(one.of)} carries {one.amps:.3g} A, {_MADE_FOR[one.what]} {one.rating_a:.3g} A "
            f"({one.mode})",
            do="make this way as strong as the one at rest, or let fewer loads follow the selector",
            source=limit.source,
        )


def _passed(one: Loaded, severity: Severity, job: Job) -> float | None:
    limit = job.limits.load_over_fuse if one.what == "fuse" else job.limits.load_over_rating
    return limit.fault if severity == "fault" else limit.watch
