"""What a part still lacks, and the likeliest wire for it: offered as one click, never drawn unasked."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.errors import PlanError
from loomwright.plan.changes.connect import connect_with
from loomwright.plan.changes.facts import BARS, Facts, facts_of, nearest_first, title_of
from loomwright.plan.kinds import is_consumer, terminals
from loomwright.plan.model import Part, Plan


@dataclass(frozen=True, slots=True)
class Offer:
    """A run that may be wanted: its ends as `connect` takes them, what it passes, and what it is for."""

    start: str
    end: str
    says: str
    through: str = ""


@dataclass(frozen=True, slots=True)
class _Want:
    """A terminal that wants a wire, from or to the nearest of some kinds, the likeliest kind first."""

    terminal: str
    partners: tuple[str, ...]
    says: str


_STORE = ("busbar", "battery")
_BOXES = ("fuse_box", "unit", *_STORE)
#: What the terminals of a kind want; `{}` is the other end. Common practice.
_WANTS: dict[str, tuple[_Want, ...]] = {
    "battery": (_Want("minus", ("shunt", "stud", "busbar"), "Earth it at {}"),),
    "fuse_box": (_Want("in", _STORE, "Feed it from {}"),),
    "b2b": (
        _Want("in", ("vehicle_battery",), "Feed it from {}"),
        _Want("out", _STORE, "Let it charge {}"),
        _Want("signal", ("alternator", "vehicle_feed"), "Take its signal from {}"),
    ),
    "solar_panel": (_Want("plus", ("solar_regulator",), "Join it to {}"),),
    "solar_regulator": (
        _Want("panel", ("solar_panel",), "Join {} to it"),
        _Want("battery", _STORE, "Let it charge {}"),
    ),
    "fuel_cell": (_Want("plus", _STORE, "Let it charge {}"),),
    "mains_charger": (
        _Want("plus", _STORE, "Let it charge {}"),
        _Want("mains", ("breaker_box", "inlet"), "Feed it from {}"),
    ),
    "converter": (_Want("in", _STORE, "Feed it from {}"),),
    "inverter": (_Want("plus", _STORE, "Feed it from {}"),),
    "inverter_charger": (_Want("plus", _STORE, "Feed it from {}"),),
    "unit": (
        _Want("plus", _STORE, "Feed it from {}"),
        _Want("leisure", _STORE, "Feed it from {}"),
        _Want("vehicle", ("vehicle_battery",), "Feed its vehicle side from {}"),
        _Want("minus", ("stud",), "Earth it at {}"),
        _Want("engine", ("alternator", "vehicle_feed"), "Take its engine signal from {}"),
        _Want("mains_in", ("inlet",), "Feed its mains side from {}"),
    ),
    "breaker_box": (_Want("in", ("inlet",), "Feed it from {}"),),
    "mains_socket": (_Want("in", ("breaker_box",), "Feed it from {}"),),
}
#: Terminals of partners that are meant, where a bare name would mean another.
_AT = {("b2b", "alternator"): "d_plus", ("unit", "alternator"): "d_plus"}
#: What is printed beside a terminal.
_WORDS = {"d_plus": "D+"}
_FED = (_Want("plus", _BOXES, "Feed it from {}"),)


def offers(plan: Plan, id: str) -> tuple[Offer, ...]:
    """Return the runs that a part most likely still lacks, the best guess for each of its terminals.

    Parameters
    ----------
    plan : Plan
        As read.
    id : str
        A part.

    Returns
    -------
    tuple of Offer
        Each can be made by `connect`; empty if nothing is lacking or nothing is there to join it to.
    """
    return tuple(_offers(facts_of(plan), id))


def unwired(plan: Plan) -> tuple[tuple[str, tuple[Offer, ...]], ...]:
    """Return the parts that lack a wire, in the order of the plan, each with what may be made for it."""
    facts = facts_of(plan)
    found = ((id, tuple(_offers(facts, id))) for id in plan.parts)
    return tuple((id, lacking) for id, lacking in found if lacking)


def _offers(facts: Facts, id: str) -> Iterator[Offer]:
    part = facts.plan.parts[id]
    if part.wired is False or facts.plan.document != "plan":
        return
    if part.kind == "sensing_relay":
        yield from _split(facts, id)
    wants = _WANTS.get(part.kind, _FED if is_consumer(part.kind) else ())
    for want in wants:
        if want.terminal not in terminals(part) or facts.is_wired(id, want.terminal):
            continue
        if offer := _best(facts, part, want):
            yield offer


def _split(facts: Facts, id: str) -> Iterator[Offer]:
    """Yield the run from the vehicle battery through a split relay to the house battery."""
    kinds = {part.kind: other for other, part in reversed(list(facts.plan.parts.items()))}
    if facts.is_linked(f"{id}.a") or facts.is_linked(f"{id}.b"):
        return
    if "vehicle_battery" in kinds and "battery" in kinds:
        start, end = kinds["vehicle_battery"], kinds["battery"]
        says = f"Join {title_of(facts.plan, start)} and {title_of(facts.plan, end)} through it"
        yield Offer(start, end, says, id)


def _best(facts: Facts, part: Part, want: _Want) -> Offer | None:
    own = f"{part.id}.{want.terminal}"
    for other in _ends(facts, part, want):
        try:
            connect_with(facts, own, other)
        except PlanError:
            continue
        return Offer(own, other, want.says.format(_named(facts.plan, other)))
    return None


def _ends(facts: Facts, part: Part, want: _Want) -> Iterator[str]:
    """Yield what a terminal may be joined to, the likeliest first: a way that is named after the part."""
    if "unit" in want.partners:
        yield from _ways_called(facts, part)
    for kind in want.partners:
        yield from _partners(facts, part, kind)


def _partners(facts: Facts, part: Part, kind: str) -> Iterator[str]:
    """Yield the ends of a kind that are free for one more wire, the nearest first."""
    plan = facts.plan
    if kind == "stud":
        ids = [stud for stud in plan.studs if not facts.is_bond(stud)]
    else:
        ids = [id for id, other in plan.parts.items() if other.kind == kind and id != part.id]
    near = nearest_first(plan, part.id, ids)
    for id in (*near, *(id for id in ids if id not in near)):
        at = _AT.get((part.kind, kind), "")
        if kind in BARS and facts.side(id) == "minus" and part.kind != "battery":
            continue
        if kind in ("fuse_box", "breaker_box", "unit") and not facts.free_ways(id):
            continue
        if kind in ("solar_panel", "solar_regulator") and _is_taken(facts, id, kind):
            continue
        yield f"{id}.{at}" if at else id


def _ways_called(facts: Facts, part: Part) -> Iterator[str]:
    """Yield the free ways of units that are named after a part, as `way_pump` is after the water pump."""
    mine = _words(f"{part.id} {part.kind} {part.name or ''}")
    for id, unit in facts.plan.parts.items():
        ways = facts.free_ways(id) if unit.kind == "unit" else []
        yield from (f"{id}.{way}" for way in ways if mine & _words(way.removeprefix("way_")))


def _words(text: str) -> set[str]:
    """Return the words of a name, singular."""
    return {word.rstrip("s") for word in re.findall(r"[^\W\d_]{3,}", text.casefold())}


def _is_taken(facts: Facts, id: str, kind: str) -> bool:
    return facts.is_linked(f"{id}.{'plus' if kind == 'solar_panel' else 'panel'}")


def _named(plan: Plan, end: str) -> str:
    id, _, terminal = end.partition(".")
    if id in plan.studs:
        return f"{id}, {title_of(plan, plan.studs[id].place)}"
    at = _WORDS.get(terminal, terminal.replace("_", " "))
    return f"{title_of(plan, id)}, {at}" if terminal else title_of(plan, id)


__all__ = ["Offer", "offers", "unwired"]
