"""What may be pointed at from an end: the list for the keyboard, nearest in meaning first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.errors import PlanError
from loomwright.plan.changes.connect import pair_meant, typed_end
from loomwright.plan.changes.facts import BARS, BATTERIES, Facts, facts_of, nearest_first, title_of
from loomwright.plan.changes.roles import Pair, Tip
from loomwright.plan.kinds import is_consumer, terminals
from loomwright.plan.model import Plan
from loomwright.plan.values import End

_BOXES = ("fuse_box", "breaker_box", "unit")
#: Terminals of their own that a bare name never means, by kind.
_APART = {
    "b2b": ("signal",),
    "relay": ("86",),
    "solar_regulator": ("battery_minus", "second"),
    "mains_charger": ("second",),
    "alternator": ("d_plus",),
    "gauge": ("sender",),
    "air_heater": ("signal",),
    "combi_heater": ("signal",),
    "inverter": ("case",),
    "inverter_charger": ("case", "in"),
}


@dataclass(frozen=True, slots=True)
class Candidate:
    """An end that may be pointed at, as it is typed, in plain words; `wired` if a wire is there already."""

    end: str
    says: str
    wired: bool


def candidates(plan: Plan, start: str) -> tuple[Candidate, ...]:
    """Return the ends that a wire from `start` may have.

    Parameters
    ----------
    plan : Plan
        As read.
    start : str
        An end as typed: `P1.3`, `leisure`, `E1`, `pump`.

    Returns
    -------
    tuple of Candidate
        What is not wired yet comes first, consumers before the rest; of studs the nearest one. Empty if no
        wire can start there.
    """
    facts = facts_of(plan)
    found: list[tuple[tuple[int, int], Candidate]] = []
    near = nearest_first(plan, start.partition(".")[0], (*plan.parts, *plan.studs))
    for number, text in enumerate(_ends(facts)):
        try:
            pair = pair_meant(facts, start, text)
        except PlanError:
            continue
        if pair.cost >= _SELDOM:
            continue
        other = pair.start if pair.swapped else pair.end
        one = _candidate(facts, text, other)
        place = near.index(other.end.id) if other.end.id in near else len(near) + number
        found.append(((_group(facts, pair, other, one.wired), place), one))
    first = {one.end: one for _, one in sorted(found, key=lambda entry: entry[0], reverse=True)}
    return tuple(one for _, one in sorted(found, key=lambda entry: entry[0]) if first[one.end] is one)


#: From here on a pair is possible but nobody means it.
_SELDOM = 20.0
#: The rank of what is hardly ever pointed at.
_LAST = 9


def _ends(facts: Facts) -> Iterator[str]:
    """Yield every end that is worth a line: parts by their bare names, then what only a terminal names."""
    plan = facts.plan
    for id, part in plan.parts.items():
        if part.kind in ("plug", "tow_socket"):
            yield from (f"{id}.{pin}" for pin in terminals(part))
        elif part.kind == "unit":
            yield id
            yield from (f"{id}.{port}" for port in part.ports if not facts.is_linked(_point(facts, id, port)))
        elif part.kind == "selector":
            yield from (f"{id}.{name}" for name in terminals(part))
        elif part.kind not in ("standby", "hook_up_lead") and part.wired is not False:
            yield id
        yield from (f"{id}.{name}" for name in _APART.get(part.kind, ()))
    yield from plan.studs
    yield "body"


def _point(facts: Facts, id: str, port: str) -> str:
    return facts.point(End(id, port), "to")


def _group(facts: Facts, pair: Pair, other: Tip, wired: bool) -> int:
    """Return the rank of an end in the list."""
    start = pair.end if pair.swapped else pair.start
    if other.end.id == "body" or other.kind == "alternator" or (other.earth and facts.is_bond(other.end.id)):
        return _LAST
    if other.end.terminal in _APART.get(other.kind, ()):
        return _LAST - 2
    if start.earth or start.side == "minus":
        lands = other.earth or other.kind in (*BARS, "shunt", "fuse_box", "unit")
        return (0 if lands else 1 if other.kind in BATTERIES else 2) + (_LAST - 3 if start.cost else 0)
    if wired and other.kind not in (*_BOXES, *BARS, *BATTERIES):
        return _LAST - 1
    if other.load:
        return 1
    return 2 if not wired else 3


def _candidate(facts: Facts, text: str, other: Tip) -> Candidate:
    plan = facts.plan
    name = title_of(plan, other.end.id)
    part = plan.parts.get(other.end.id)
    if part is None:
        return _earth(facts, other.end.id)
    shown = text if "." in text else typed_end(other, "to")
    what = name if "." not in text else f"{name}, {_terminal_words(text)}"
    if part.kind in _BOXES and "." not in text:
        ways = len(facts.free_ways(part.id)) if isinstance(part.ways, int) or part.kind == "unit" else None
        free = "" if ways is None else f", {ways or 'no'} way{'' if ways == 1 else 's'} free"
        return Candidate(text, f"{what}{free}", facts.is_linked(other.point))
    fed = _fed_by(facts, other)
    if fed:
        says = f"{what}, {'fed by' if is_consumer(part.kind) else 'at'} {fed}"
    else:
        says = f"{what}, not wired yet"
    return Candidate(text if part.kind in BATTERIES else shown, says, bool(fed))


def _terminal_words(text: str) -> str:
    name = text.partition(".")[2].replace("_", " ")
    return name if name.startswith("way") else f"terminal {name}"


def _fed_by(facts: Facts, tip: Tip) -> str:
    """Return the runs at a terminal, in words."""
    keys = dict.fromkeys(
        piece.run
        for point in (tip.point, f"{tip.point}<", f"{tip.point}>")
        for piece in facts.wiring.by_point.get(point, ())
    )
    return " and ".join(list(keys)[:2]) + (" ..." if len(keys) > 2 else "")


def _earth(facts: Facts, id: str) -> Candidate:
    if id == "body":
        return Candidate(id, "The bare body, no stud named", False)
    stud = facts.plan.studs[id]
    rings = len(facts.wiring.by_point.get(id, ()))
    held = f"{rings} ring{'' if rings == 1 else 's'}" if rings else "free"
    return Candidate(id, f"Stud {id}, {title_of(facts.plan, stud.place)}, {held}", bool(rings))
