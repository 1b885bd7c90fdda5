"""What loses its feed or its last wire between one plan and the next, in plain words."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.plan.changes.facts import Facts, facts_of
from loomwright.plan.changes.saying import Said, listed, the
from loomwright.plan.kinds import usual
from loomwright.plan.model import Plan

_LOSE = {1: "it loses its feed", 2: "both lose their feed"}


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
    lost = _fed(was) - _fed(is_now)
    says, plain, unfed = [], Said(), set()
    for key in runs:
        losing = {point: id for point, id in _loads(was, key).items() if point in lost and id != deleted}
        unfed |= set(losing.values())
        if losing:
            names = listed(dict.fromkeys(_name(was, point, id) for point, id in losing.items()))
            loses = _LOSE.get(len(losing), "all lose their feed")
            says.append(f"{key} {'' if key == deleted else 'goes too. It '}feeds {names}: {loses}.")
        elif key != deleted:
            plain.add(key, "goes too.", "go too.")
    gone = _wired(was) - _wired(is_now) - unfed - {deleted}
    bare = Said()
    for id in after.parts:
        if id in gone:
            bare.add(the(before, id), "is not wired any more.", "are not wired any more.")
    return [*says, *plain.sentences(), *bare.sentences()]


def _loads(facts: Facts, key: str) -> dict[str, str]:
    """Return the points that a run feeds, each with its part; none if it leads to a minus or an earth."""
    flat = facts.wiring.runs[key]
    if not flat.pieces or facts.side(flat.pieces[0].a) in ("minus", "earth"):
        return {}
    parts = {load: facts.wiring.part_of(load) for load in flat.loads}
    return {load: part.partition("/")[0] for load, part in parts.items() if part is not None}


def _name(facts: Facts, point: str, id: str) -> str:
    """Return what a point is called: its part, or its terminal where a bare name means another."""
    part = facts.plan.parts[id]
    terminal = facts.wiring.terminal_of(point)
    main = part.kind == "unit" or "battery" in part.kind or terminal in ("", usual(part, "to"))
    return the(facts.plan, id) if main else f"{id}.{terminal}"


def _fed(facts: Facts) -> set[str]:
    return {point for key in facts.plan.wiring for point in _loads(facts, key)}


def _wired(facts: Facts) -> set[str]:
    """Return the parts at which a wire of the van ends."""
    pieces = (piece for key in facts.plan.wiring for piece in facts.wiring.runs[key].pieces)
    parts = (facts.wiring.part_of(point) for piece in pieces for point in (piece.a, piece.b))
    return {part.partition("/")[0] for part in parts if part is not None}


__all__ = ["losses"]
