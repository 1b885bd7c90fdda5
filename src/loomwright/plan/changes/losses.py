"""What loses its feed or its last wire between one plan and the next, in plain words."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.plan.changes.facts import Facts
from loomwright.plan.changes.saying import Said, listed, the
from loomwright.plan.kinds import usual
from loomwright.plan.model import Plan
from loomwright.plan.values import End

_LOSE = {1: "it loses its feed", 2: "both lose their feed"}


def losses(before: Facts, after: Facts, runs: Sequence[str], asked: str | None) -> list[str]:
    """Return a sentence for each run that goes and for the parts that are not wired any more.

    Parameters
    ----------
    before, after : Facts
        Of the plan with the runs and without them.
    runs : sequence of str
        The keys of the runs that go.
    asked : str or None
        The one of them that was asked to go; that it goes need not be said.
    """
    lost = _fed(before) - _fed(after)
    says, plain, unfed = [], Said(), set()
    for key in runs:
        feeds = _loads(before, key).items()
        losing = [end for point, end in feeds if point in lost and end.id in after.plan.parts]
        unfed |= {end.id for end in losing}
        if losing:
            names = listed([_name(before.plan, end) for end in losing])
            loses = _LOSE.get(len(losing), "all lose their feed")
            says.append(f"{key} {'' if key == asked else 'goes too. It '}feeds {names}: {loses}.")
        elif key != asked:
            plain.add(key, "goes too.", "go too.")
    bare = Said()
    gone = _wired(before) - _wired(after) - unfed
    for id in (id for id in after.plan.parts if id in gone):
        bare.add(the(before.plan, id), "is not wired any more.", "are not wired any more.")
    return [*says, *plain.sentences(), *bare.sentences()]


def _loads(facts: Facts, key: str) -> dict[str, End]:
    """Return the points that a run feeds, with the ends typed; none if it leads to a minus or an earth."""
    flat = facts.wiring.runs[key]
    if not flat.pieces or facts.side(flat.pieces[0].a) in ("minus", "earth"):
        return {}
    ends = zip(flat.loads, flat.run.to, strict=True)
    return {load: end for load, end in ends if end.id in facts.plan.parts}


def _name(plan: Plan, end: End) -> str:
    """Return what an end is called: its part, or its terminal where the bare name means another."""
    part = plan.parts[end.id]
    main = "battery" in part.kind or end.terminal in (None, usual(part, "to"))
    return the(plan, end.id) if main else str(end)


def _fed(facts: Facts) -> set[str]:
    return {point for key in facts.plan.wiring for point in _loads(facts, key)}


def _wired(facts: Facts) -> set[str]:
    """Return the parts at which a wire of the van ends."""
    pieces = (piece for key in facts.plan.wiring for piece in facts.wiring.runs[key].pieces)
    parts = (facts.wiring.part_of(point) for piece in pieces for point in (piece.a, piece.b))
    return {part.partition("/")[0] for part in parts if part is not None}


__all__ = ["losses"]
