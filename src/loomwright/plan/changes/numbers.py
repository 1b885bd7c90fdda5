"""The numbers printed on wires: given once, on request, kept, and never given to another wire.

Without a number a wire goes by its id. The next number is one more than the largest that was ever given,
retired ones included; one that was taken away by hand is free again. A van without any begins at 101, so that
all its labels are as long as each other (common practice).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from loomwright.plan.changes.facts import refuse
from loomwright.plan.edit import Edit
from loomwright.plan.model import Leg, Plan
from loomwright.plan.pieces import BODY, Piece, take_apart
from loomwright.plan.values import Quantity

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

    A leg of no length is a joint, not a wire: there is nothing to put a label on.

    There are none where each has its number.
    """
    next_number = max((*plan.labels.numbers.values(), *plan.labels.retired, FIRST - 1)) + 1
    pieces = take_apart(plan).pieces()
    without = {piece.id for piece in pieces if _is_makers(plan, piece.run) or _is_joint(plan, piece)}
    bare = (wire for wire, number in numbered(plan).items() if number is None and wire not in without)
    return _edits(plan, {wire: str(number) for number, wire in enumerate(bare, next_number)})


def _is_makers(plan: Plan, run: str) -> bool:
    return run in plan.wiring and plan.wiring[run].factory is True


def _is_joint(plan: Plan, piece: Piece) -> bool:
    run = plan.wiring.get(piece.run)
    if run is None:
        return False
    length: object = run.length
    if piece.load:
        leg = run.legs.get(piece.load, Leg())
        back = leg.return_.length if piece.is_return and leg.return_ is not None else None
        length = back if isinstance(back, Quantity) else leg.length
    elif piece.is_return and run.return_ is not None:
        to = run.return_.to
        if isinstance(run.return_.length, Quantity):
            length = run.return_.length
        elif to is not None and (to.id == BODY or to.id in plan.studs):
            return False
    return isinstance(length, Quantity) and length.high == 0.0


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


def how_many(edits: Sequence[Edit]) -> int:
    """Return to how many wires these edits give a number."""
    return sum(len(edit.write) if isinstance(edit.write, dict) else 1 for edit in edits)


def _edits(plan: Plan, new: Mapping[str, str]) -> tuple[Edit, ...]:
    if new and not (plan.labels.numbers or plan.labels.retired):
        return (Edit(LABELS, dict(new)),)
    return tuple(
        Edit(f"{LABELS}.{wire}", number) if number else Edit(f"{LABELS}.{wire}", remove=True)
        for wire, number in new.items()
    )
