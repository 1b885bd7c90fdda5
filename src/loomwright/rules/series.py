"""The rule on batteries in series: what one gives, the others give too."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.banks_series import charged_apart
from loomwright.assessment.tapped import taps
from loomwright.source import Source

from .finding import Finding
from .registry import Job, rule

BALANCE = Source(
    work="common practice",
    place="batteries in series give the same current, or they drift apart",
    checked="common practice",
)

#: A lead that only measures takes less than this. Common practice. [A]
SENSES_A = 0.02


@rule(
    worst="fault",
    asks="Do batteries in series give the same current?",
    why="A load between two batteries empties one of them; charged together, the other gasses.",
    source=BALANCE,
)
def load_between_batteries(job: Job) -> Iterator[Finding]:
    apart = {one.tap.load: one for one in charged_apart(job.assessment)}
    for one in taps(job.assessment):
        if one.amps <= SENSES_A:
            continue
        day = "" if one.ah_per_day is None else f": {one.ah_per_day:.3g} Ah a day"
        if (charged := apart.get(one.load)) is not None:
            day += f"; charged at {charged.charge_v:.1f} V after {_days(charged.days)}, "
            day += f"{job.name(one.above[0])} gets {charged.ahead_v:.1f} V of it"
        below, above = (" and ".join(map(job.name, side)) for side in (one.below, one.above))
        yield Finding(
            rule="load_between_batteries",
            severity="fault",
            where=one.run,
            also=(one.load, *one.below, *one.above),
            place=job.place(one.run, one.load),
            value=one.amps,
            limit=SENSES_A,
            unit="A",
            says=f"{job.name(one.load)} takes {one.amps:.3g} A more from {below} than from {above}{day}",
            do="feed it from a converter across both, or let an equaliser make up for it",
            source=BALANCE,
        )


def _days(days: float) -> str:
    return "a day" if days == 1.0 else f"{days:g} days"
