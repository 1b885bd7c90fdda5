"""The inspection sheet: blanks for the licensed tester in the region's order, with what is expected there.

A row has no result on it: what is expected is worked out from the plan, and the two last columns are empty.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.tables.mains_clauses import TO_CHECK
from loomwright.tables.mains_tests import MainsTest, inspection_order

from . import inspection_dead as dead
from . import inspection_live as live
from .blank import Blank

#: Confidence with which a clause is printed without more words.
_SURE = ("read in the work", "published, second hand")


@dataclass(frozen=True, slots=True)
class Step:
    """One test with its blanks."""

    step: str
    test: str
    live: bool
    instrument: str
    method: str
    clause: str
    check: str
    blanks: tuple[Blank, ...]


def inspection_steps(job: Assessment) -> tuple[Step, ...]:
    """Return the steps of the plan's region; none for a van without a mains side.

    Parameters
    ----------
    job : Assessment
        Of the whole plan.
    """
    if not job.mains.layout:
        return ()
    steps = []
    for test in inspection_order(job.plan.region):
        blanks = tuple(_BLANKS.get(test.test, _as_told)(job, test))
        if blanks:
            check = "" if test.source.checked in _SURE else TO_CHECK
            where = f"{test.source.work}, {test.clause}"
            steps.append(
                Step(test.step, test.test, test.live, test.instrument, test.method, where, check, blanks)
            )
    return tuple(steps)


def _as_told(job: Assessment, test: MainsTest) -> Iterator[Blank]:
    yield Blank("the whole mains side", test.limit, test.limit)


_BLANKS: dict[str, Callable[[Assessment, MainsTest], Iterator[Blank]]] = {
    "inspection": dead.inspection,
    "continuity of protective and bonding conductors": dead.continuity,
    "continuity of earths": dead.continuity,
    "continuity": dead.continuity,
    "insulation resistance": dead.insulation,
    "insulation between mains and low-voltage wiring": dead.apart,
    "polarity": dead.polarity,
    "earth electrode": dead.electrode,
    "supply before it is plugged in": live.supply,
    "earth fault loop": live.loops,
    "prospective short-circuit current": live.prospective,
    "RCD": live.rcds,
    "residual protection": live.rcds,
    "function": live.function,
    "operation": live.function,
    "volt drop": live.drops,
    "report and schedule": live.report,
}

__all__ = ["Blank", "Step", "inspection_steps"]
