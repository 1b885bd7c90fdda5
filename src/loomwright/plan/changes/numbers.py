"""The numbers printed on wires: given once, on request, kept, and never given to another wire.

Without a number a wire goes by its id. The next number is one more than the largest that was ever given,
retired ones included; one that was taken away by hand is free again. A van without any begins at 101, so that
all its labels are as long as each other (common practice).
"""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.plan.changes.facts import refuse
from loomwright.plan.edit import Edit
from loomwright.plan.model import Plan
from loomwright.plan.pieces import take_apart

#: Where the numbers stand in a plan.
LABELS = "labels"
FIRST = 101


def numbered(plan: Plan) -> dict[str, int | None]:
    """Return the wires that can carry a printed number, in the plan's order, each with the one it has.

    A wire inside a composite has none: nobody sees it.

    Examples
    --------
    >>> from loomwright.plan.read import read_plan
    >>> numbered(read_plan("loomwright: 1\\ntitle: First\\nregion: eu"))
    {}
    """
    given = plan.labels.numbers
    pieces = (piece.id for piece in take_apart(plan).pieces() if "/" not in piece.id)
    return {id: given.get(id) for id in pieces} | dict(given)


def give_numbers(plan: Plan) -> tuple[Edit, ...]:
    """Return the edits that give a number to every wire without one, but for the vehicle maker's own.

    There are none where each has its number.
    """
    next_number = max((*plan.labels.numbers.values(), *plan.labels.retired, FIRST - 1)) + 1
    makers = {piece.id for piece in take_apart(plan).pieces() if _is_makers(plan, piece.run)}
    bare = (wire for wire, number in numbered(plan).items() if number is None and wire not in makers)
    return _edits(plan, {wire: str(number) for number, wire in enumerate(bare, next_number)})


def _is_makers(plan: Plan, run: str) -> bool:
    return run in plan.wiring and plan.wiring[run].factory is True


def number_edits(plan: Plan, typed: Mapping[str, str]) -> tuple[Edit, ...]:
    """Return the edits that give the wires the numbers typed; an empty text takes a number away.

    Raises
    ------
    PlanError
        There is no such wire, or its number is on another one or was on one before.
    """
    now, new = numbered(plan), dict[str, str]()
    for wire, text in typed.items():
        if wire not in now:
            refuse(f"{LABELS}.{wire}", f"There is no wire {wire}.")
        number = text.strip()
        if number == str(now[wire] or ""):
            continue
        other = next((one for one, its in now.items() if str(its) == number and one != wire), None)
        if other is not None:
            refuse(f"{LABELS}.{wire}", f"{number} is the number of {other}. Take another one.")
        if number in map(str, plan.labels.retired):
            refuse(f"{LABELS}.{wire}", f"{number} was on a wire that is gone; it is not given again.")
        new[wire] = number
    return _edits(plan, new)


def _edits(plan: Plan, new: Mapping[str, str]) -> tuple[Edit, ...]:
    if new and not (plan.labels.numbers or plan.labels.retired):
        return (Edit(LABELS, dict(new)),)
    return tuple(
        Edit(f"{LABELS}.{wire}", number) if number else Edit(f"{LABELS}.{wire}", remove=True)
        for wire, number in new.items()
    )
