"""The rule on breakers that break a current one way only."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomwright.assessment.polarity import Marked
from loomwright.source import Source

from .finding import Finding
from .registry import Job, rule

POLARITY = Source(
    work="common practice",
    place="a breaker with a plus mark breaks an arc one way only; its maker's sheet says which",
    checked="common practice",
)


@rule(
    worst="fault",
    asks="Can each breaker with a plus mark be fed from the side its mark looks at only?",
    why="Fed from the wrong side it drives the arc away from its chutes, and burns when it opens.",
    source=POLARITY,
)
def breaker_wrong_way(job: Job) -> Iterator[Finding]:
    for one in job.assessment.faults.marked:
        if one.behind and (one.mark != "unknown" or one.ahead):
            yield _finding(job, one)


def _finding(job: Job, one: Marked) -> Finding:
    known, both = one.mark != "unknown", bool(one.ahead)
    field = f"wiring.{one.run}.fuse.plus_mark"
    says = f"the breaker at {one.at} may be fed by {_named(one.behind)}"
    if both:
        says = f"{says} and, from its other side, by {_named(one.ahead)}"
    do = (
        "use one that breaks both ways"
        if both
        else "turn it round, so that its plus mark looks at what feeds it"
    )
    if known:
        says = f"{says}; its plus mark is at its {one.mark} end, and it breaks one way only"
    else:
        says = f"{says}, and nobody says whether it breaks both ways"
        do = f"look for a plus mark on it and write it at {field}, or none"
    return Finding(
        rule="breaker_wrong_way",
        severity="fault" if known else "watch",
        where=one.run,
        place=job.place(one.run),
        also=one.behind,
        says=says,
        do=do,
        source=POLARITY,
    )


def _named(parts: Sequence[str]) -> str:
    return " and ".join(parts)
