"""What loses its feed or its last wire between one plan and the next, in plain words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from loomwright.plan.changes.facts import Facts, facts_of, title_of
from loomwright.plan.model import Plan


def losses(before: Plan, after: Plan, runs: Sequence[str], deleted: str) -> list[str]:
    """Return a sentence for each run that went and for the parts that are wired no more.

    Parameters
    ----------
    before, after : Plan
        The plan with the runs and without them.
    runs : sequence of str
        The keys of the runs that went.
    deleted : str
        What was asked to go; nothing is said of what it loses itself.
    """
    was, is_now = facts_of(before), facts_of(after)
    lost = _fed(was) - _fed(is_now) - {deleted}
    says = []
    for key in runs:
        losing = [id for id in dict.fromkeys(_loads(was, key)) if id in lost]
        goes = "" if key == deleted else f"{key} goes too"
        if losing:
            they = (
                "it loses its"
                if len(losing) == 1
                else "both lose their"
                if len(losing) == 2
                else "all lose their"
            )
            feeds = f"feeds {listed([the(before, id) for id in losing])}: {they} feed."
            says.append(f"{key} {feeds}" if not goes else f"{goes}. It {feeds}")
        elif goes:
            says.append(f"{goes}.")
    bare = [
        id for id in after.parts if id in _wired(was) - _wired(is_now) and id not in lost and id != deleted
    ]
    if bare:
        verb = "is" if len(bare) == 1 else "are"
        says.append(_sentence(f"{listed([the(before, id) for id in bare])} {verb} not wired any more."))
    return says


def _loads(facts: Facts, key: str) -> list[str]:
    """Return the parts that a run feeds; none for one that leads back to a minus or an earth."""
    flat = facts.wiring.runs[key]
    if not flat.pieces or facts.side(flat.pieces[0].a) in ("minus", "earth"):
        return []
    found = [facts.wiring.part_of(load) for load in flat.loads]
    return [part.partition("/")[0] for part in found if part is not None]


def _fed(facts: Facts) -> set[str]:
    return {id for key in facts.plan.wiring for id in _loads(facts, key)}


def _wired(facts: Facts) -> set[str]:
    parts = (
        facts.wiring.part_of(point)
        for piece in facts.wiring.pieces()
        if piece.run in facts.plan.wiring
        for point in (piece.a, piece.b)
    )
    return {part.partition("/")[0] for part in parts if part is not None}


def the(plan: Plan, id: str) -> str:
    """Return what a person calls a part, with its article: `the roof fan`, `S1`."""
    title = title_of(plan, id)
    return f"the {title}" if title[:1].islower() else title


def listed(words: Iterable[str]) -> str:
    """Return words as one enumeration: `a, b and c`."""
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:]


__all__ = ["listed", "losses", "the"]
