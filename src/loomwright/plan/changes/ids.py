"""Ids and keys for what is new: free, of the right shape, in the plan's own habit."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from loomwright.plan.changes.facts import Facts, refuse
from loomwright.plan.desk import RESERVED
from loomwright.plan.forms import is_id
from loomwright.plan.kinds import is_consumer
from loomwright.plan.model import Plan

_NUMBERED = re.compile(r"([^\W\d_]+)(\d+)")


def check_new_id(plan: Plan, section: str, id: str) -> None:
    """Refuse an id of a wrong shape, a reserved one, and one that is taken.

    Raises
    ------
    PlanError
        It can't be the id of a new entry of that section.
    """
    if not is_id(id):
        refuse(f"{section}.{id}", f'"{id}" is no id: a letter first, then letters, digits and _.')
    if id in RESERVED:
        refuse(f"{section}.{id}", f'"{id}" has a meaning of its own in a plan. Take another id.')
    other = {name.casefold(): name for name in _space(plan, section)}.get(id.casefold())
    if other is not None:
        says = f'"{other}" is there already. Take another id.'
        refuse(f"{section}.{id}", says if other == id else f"{says} Capitals do not tell them apart.")


def free_id(plan: Plan, section: str, wish: str, beside: Iterable[str] = ()) -> str:
    """Return an id made from a word or name: the word itself, else with the next free number.

    Parameters
    ----------
    plan : Plan
        Its ids are taken.
    section : str
        `parts`, `studs`, `places`, `paths`, `modes` ...
    wish : str
        A name, a kind, or the id of what is copied: `Roof fan` gives `roof_fan`, then `roof_fan_2`.
    beside : iterable of str
        Ids that are taken as well.
    """
    taken = {name.casefold() for name in (*_space(plan, section), *beside, *RESERVED)}
    word = re.sub(r"\W+", "_", wish.strip()).strip("_")
    if " " in wish.strip() or (word.istitle() and word.isalpha()):
        word = word.casefold()
    if not is_id(word):
        word = f"{section.rstrip('s')}_{word}".rstrip("_")
    if word.casefold() not in taken:
        return word
    match = re.fullmatch(r"(.+?)(_?)(\d+)", word)
    stem, joint, number = (match[1], match[2], int(match[3]) + 1) if match else (word, "_", 2)
    while f"{stem}{joint}{number}".casefold() in taken:
        number += 1
    return f"{stem}{joint}{number}"


def _space(plan: Plan, section: str) -> tuple[str, ...]:
    """Return the ids that a new one of the section may not be like."""
    if section in ("parts", "studs"):
        return (*plan.parts, *plan.studs)
    if section in ("places", "paths"):
        return (*plan.places, *plan.paths)
    return tuple(getattr(plan, section))


def next_key(facts: Facts, sort: str, beside: Iterable[str] = ()) -> str:
    """Return the key of a new run in the plan's habit: letters as runs of its sort have, the next number.

    Parameters
    ----------
    facts : Facts
        Of the plan.
    sort : str
        "load" if it feeds a consumer, "mains", or "other".
    beside : iterable of str
        Keys that are taken as well.
    """
    plan = facts.plan
    taken = {key.casefold() for key in (*plan.wiring, *beside, *plan.parts, *RESERVED)}
    taken |= {name.removeprefix("wiring.").casefold() for name in plan.removed if name.startswith("wiring.")}
    letters = _habit(facts, sort)
    numbers = [int(match[2]) for key in (*plan.wiring, *beside) if (match := _of(key, letters))]
    number = max(numbers, default=0) + 1
    while f"{letters}{number}".casefold() in taken or number in plan.labels.retired:
        number += 1
    return f"{letters}{number}"


def _of(key: str, letters: str) -> re.Match[str] | None:
    match = _NUMBERED.fullmatch(key)
    return match if match and match[1] == letters else None


def _habit(facts: Facts, sort: str) -> str:
    """Return the letters of most runs of a sort; where there is none, of most runs that are not mains."""
    by_sort: dict[str, Counter[str]] = {}
    for key in facts.plan.wiring:
        if match := _NUMBERED.fullmatch(key):
            by_sort.setdefault(sort_of(facts, key), Counter())[match[1]] += 1
    usual = by_sort.get(sort)
    if usual is None and sort != "mains":
        usual = sum((count for name, count in by_sort.items() if name != "mains"), Counter())
    if usual:
        return usual.most_common(1)[0][0]
    return "M" if sort == "mains" else "W"


def sort_of(facts: Facts, key: str) -> str:
    """Return what a run is for: "load" if it feeds a consumer, "mains", or "other"."""
    flat = facts.wiring.runs[key]
    if flat.mains:
        return "mains"
    ends = [facts.plan.parts.get(end.id) for end in flat.run.to]
    return "load" if any(part is not None and is_consumer(part.kind) for part in ends) else "other"
