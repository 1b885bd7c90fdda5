"""How the minus of a new circuit comes back, where its user does not say.

Common practice: by the body at the nearest earth stud; by a wire of its own where the body carries no
current, and for the heavy or sensitive pairs of charger, panel and inverter.
"""

from __future__ import annotations

from collections import Counter

from loomwright.plan.changes.facts import BARS, BATTERIES, Facts, nearest_first
from loomwright.plan.changes.roles import Pair, Tip
from loomwright.plan.kinds import is_consumer, minus_of
from loomwright.plan.values import End

#: Ends whose minus goes beside their plus, back to what feeds them.
_BY_WIRE = ("inverter", "inverter_charger", "solar_regulator", "sender")
#: Terminals beside a feed, which use the minus of that.
_SIGNALS = ("signal", "probe", "panel", "remote", "second")
#: A stud with so many rings is passed over while another is known to be near. Common practice.
_RINGS = 4
#: Shells that carry no return current.
_NO_BODY = ("grp", "wood")


def return_for(facts: Facts, pair: Pair) -> str | None:
    """Return what to type as the `return` of a new run, None if it needs none.

    A run needs one if its end has a minus that no wire reaches yet.
    """
    minus = _minus_point(facts, pair.end)
    if minus is None or pair.end.side in ("minus", "earth"):
        return None
    if pair.end.kind in BATTERIES:
        return _of_battery(facts, pair)
    if facts.is_linked(minus):
        return None
    if pair.end.kind in _BY_WIRE or (
        pair.end.kind == "fuse_box" and facts.plan.parts[pair.end.end.id].minus_rail
    ):
        return "wire" if facts.wiring.minus_of_feed(pair.start.point) else _by_body(facts, pair)
    return _by_body(facts, pair)


def _minus_point(facts: Facts, tip: Tip) -> str | None:
    """Return the point of the minus that belongs to an end of a run."""
    if tip.part is None:
        return None
    if tip.terminal in _SIGNALS and tip.kind not in ("sender", "solar_regulator"):
        return None
    name = minus_of(tip.part, tip.end.terminal or "") if tip.part.kind != "unit" else None
    return None if name is None else f"{tip.end.id}.{name}"


def _of_battery(facts: Facts, pair: Pair) -> str | None:
    """Return the return of a charging run: it closes the loop if that of the charger is still open."""
    own = _minus_point(facts, pair.start)
    if pair.start.kind in BATTERIES:
        if facts.is_linked(f"{pair.end.end.id}.minus"):
            return None
        return _by_body(facts, pair)
    if own is None or facts.is_linked(own):
        return None
    return "wire"


def _by_body(facts: Facts, pair: Pair) -> str:
    """Return the nearest stud; where no body is to be used, or no stud known to be near, what else fits."""
    plan = facts.plan
    wire = "wire" if facts.wiring.minus_of_feed(pair.start.point) else None
    bars = [id for id, part in plan.parts.items() if part.kind in BARS and facts.side(id) == "minus"]
    habit = _habit(facts)
    if plan.vehicle.body in _NO_BODY:
        return _first(habit if habit not in plan.studs else None, wire, *bars, "wire")
    if habit is not None and habit not in plan.studs:
        return habit
    studs = [id for id in plan.studs if not facts.is_bond(id)]
    near = sorted(nearest_first(plan, pair.end.end.id, studs), key=lambda stud: _is_full(facts, stud))
    box = plan.parts.get(pair.start.end.id)
    rail = wire if box is not None and box.kind == "fuse_box" and box.minus_rail is True else None
    only = studs[0] if len(studs) == 1 else None
    return _first(near[0] if near else None, rail, only, habit, *bars, "body")


def _is_full(facts: Facts, stud: str) -> bool:
    return len(facts.wiring.by_point.get(stud, ())) >= _RINGS


def _first(*choices: str | None) -> str:
    return next(choice for choice in choices if choice is not None)


def _habit(facts: Facts) -> str | None:
    """Return the return that the plan's circuits share, if two or more have one and none is by the body."""
    plan = facts.plan
    found = Counter(
        str(run.return_.to)
        for run in plan.wiring.values()
        if run.return_ is not None and any(_is_load(facts, end) for end in run.to)
    )
    if sum(found.values()) < 2:
        return None
    if any(name == "body" or name in plan.studs for name in found):
        studs = Counter({name: count for name, count in found.items() if name in plan.studs})
        return studs.most_common(1)[0][0] if studs else None
    return found.most_common(1)[0][0]


def _is_load(facts: Facts, end: End) -> bool:
    part = facts.plan.parts.get(end.id)
    return part is not None and is_consumer(part.kind)
