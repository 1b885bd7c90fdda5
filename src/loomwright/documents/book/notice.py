"""The two notices of the mains side: what stands beside the inlet, and what to do at the main switch.

The order in which both ends of a lead are pulled differs between guides, and the notice says so.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import typed
from loomwright.tables.mains_clauses import TO_CHECK, Clause, clause, clauses
from loomwright.tables.mains_supplies import SUPPLIES


@dataclass(frozen=True, slots=True)
class Notice:
    """What is to be stuck beside an inlet and at the main switch."""

    inlet: str
    ratings: str
    switch: str
    connect: tuple[str, ...]
    disconnect: tuple[str, ...]
    test: str
    source: str


def notices(job: Assessment) -> tuple[Notice, ...]:
    """Return a notice for each inlet.

    Parameters
    ----------
    job : Assessment
        Of the whole plan.
    """
    return tuple(_notice(job, id) for id in job.mains.layout.inlets)


def _notice(job: Assessment, inlet: str) -> Notice:
    region = job.plan.region
    there, rule = SUPPLIES[region], clause("notice", region)
    legs = max((pitch.legs for pitch in job.mains.pitches), default=1)
    volts = f"{there.volts:g} V" if legs == 1 else f"{there.volts:g}/{2 * there.volts:g} V"
    rating = typed(job.wiring.parts[inlet].rating) or "____ A (its rating is not in the plan)"
    switch, rcds = _switch(job, inlet)
    button = (
        (
            f"Press the test button of the RCD ({rcds}): it has to open. "
            "If it does not, unplug and have it seen to.",
        )
        if rcds
        else ("No RCD is in the plan: don't plug in before a licensed person has fitted one.",)
    )
    return Notice(
        inlet=inlet,
        ratings=f"{volts} ~   {there.hertz:g} Hz   {rating}",
        switch=switch,
        connect=(
            f"See that the supply suits: {volts}, {there.hertz:g} Hz, with earth; "
            "count what you run against its amperes.",
            f"Main switch off ({switch}).",
            f"Unwind the lead wholly, then plug it into the van ({inlet}).",
            "Plug the other end into the supply.",
            "Test poles and earth with a socket tester; crossed or without earth: unplug, ask the site.",
            "Main switch on.",
            *button,
        ),
        disconnect=(
            f"Main switch off ({switch}).",
            "Pull the plug at the supply, then the one at the van; shut the lid of the inlet. "
            "Guides differ in which end goes first; in this order no live end lies open.",
        ),
        test=_test_words(job),
        source=_cited(rule) + "".join(f"; time between tests: {_cited(row)}" for row in _next_test(job)),
    )


def _switch(job: Assessment, inlet: str) -> tuple[str, str]:
    """Return what opens everything behind an inlet, and where its RCDs are."""
    reach = job.mains.reaches[inlet]
    gates = [gate for outlet in job.mains.served(inlet).values() for gate in reach.gates(outlet)]
    boxes = [gate for gate in gates if job.wiring.parts[gate.part].kind == "breaker_box"]
    opening = [gate for gate in boxes if gate.residual is not None or gate.breaker is not None]
    rcds = dict.fromkeys(gate.part for gate in gates if gate.residual is not None)
    return (opening[0].part if opening else "none in the plan"), ", ".join(rcds)


def _cited(rule: Clause) -> str:
    return f"{rule.source.work}, {rule.clause}{f', {TO_CHECK}' if rule.to_check else ''}"


def _next_test(job: Assessment) -> list[Clause]:
    return [row for row in clauses(job.plan.region) if row.topic == "next_test"]


def _test_words(job: Assessment) -> str:
    said = [row.says for row in _next_test(job)] or ["tested as local codes ask"]
    return f"By a licensed person: {said[0]}, and after every change."


__all__ = ["Notice", "notices"]
