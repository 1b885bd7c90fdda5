"""The acts that move things in the van: one edit of the plan's text each, and in words what followed."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from loomwright.assessment.sizes import stops_of
from loomwright.documents.compared import Moved, told_move
from loomwright.plan.changes.moves import (
    Point,
    add_corner,
    drop_corner,
    lay_path,
    middle_of,
    move_corner,
    move_spot,
)
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.values import Quantity

from .changes import Act, AskedWronglyError, Done, by_of, rev_of, text_of
from .reading import Reading
from .thing import Thing
from .work import Work

#: Farther from the back of the cab seats nothing is moved. [m]
_FARTHEST_M = 30.0
_SECTIONS = {"place": "places", "part": "parts"}


def move(work: Work, asked: Mapping[str, Any]) -> Done:
    """Put a place, a part with coordinates of its own, or a corner of a path somewhere else."""
    kind, id, to = text_of(asked, "kind"), text_of(asked, "id"), _point(asked.get("to"))
    number = asked.get("corner", 0)
    if kind not in (*_SECTIONS, "path") or not isinstance(number, int):
        raise AskedWronglyError("kind: place, part or path with the number of a corner.")

    def edits(plan: Plan, text: str) -> Sequence[Edit]:
        if kind == "path":
            return move_corner(plan, text, id, number, to)
        return move_spot(plan, text, _SECTIONS[kind], id, to)

    what = f"Corner {number + 1} of {id}" if kind == "path" else ""
    return _moved(work, asked, edits, Moved(kind, id, None, to, what))


def put_in_the_middle(work: Work, asked: Mapping[str, Any]) -> Done:
    """Give a place or a path of which nobody says where it is coordinates, from which it can be moved."""
    id, kind = text_of(asked, "id"), str(asked.get("kind", "place"))
    to = middle_of(work.now().reading.plan)

    def edits(plan: Plan, text: str) -> Sequence[Edit]:
        return lay_path(plan, text, id) if kind == "path" else move_spot(plan, text, "places", id, to)

    what = f"{id} is in the middle now: move it to where it is"
    done = _moved(work, asked, edits, Moved("path" if kind == "path" else "place", id, None, None, what))
    chosen = Thing("entry", f"paths.{id}") if kind == "path" else Thing("place", id)
    return Done(done.moment, chosen, done.says)


def corner(work: Work, asked: Mapping[str, Any]) -> Done:
    """Give a path one more corner, or take one out."""
    id, number, what = text_of(asked, "id"), asked.get("corner"), text_of(asked, "what")
    acts = {"more": add_corner, "out": drop_corner}
    if not isinstance(number, int) or what not in acts:
        raise AskedWronglyError("corner: its number; what: more or out.")

    def edits(plan: Plan, text: str) -> Sequence[Edit]:
        return acts[what](plan, text, id, number)

    words = f"{id} has one corner {'more' if what == 'more' else 'less'}"
    return _moved(work, asked, edits, Moved("path", id, None, None, words))


ACTS: dict[str, Act] = {"move": move, "put_in_the_middle": put_in_the_middle, "corner": corner}


def _moved(
    work: Work, asked: Mapping[str, Any], edits: Callable[[Plan, str], Sequence[Edit]], moved: Moved
) -> Done:
    """Change the plan by the edits of a move; say what is otherwise than before."""
    before: Reading | None = None

    def change(text: str, reading: Reading) -> str:
        nonlocal before
        before = reading
        made = edits(reading.plan, text)
        return apply_edits(text, made) if made else text

    moment = work.change(change, f"moving {moved.id}", rev_of(asked), by_of(asked))
    assert before is not None
    if moment.reading is before:
        return Done(moment, None, f"{moved.id} stays where it is.")
    if moved.after is not None:
        moved = replace(moved, before=_spot(before.plan, moved.kind, moved.id))
    return Done(moment, None, " ".join(told_move(before.checked, moment.reading.checked, moved)))


def _spot(plan: Plan, kind: str, id: str) -> Point | None:
    """Return where a place or part was, None if nobody said so. [m]"""
    if kind == "place":
        points = stops_of(plan, id)
        return points[0] if points else None
    at = plan.parts[id].at if kind == "part" else None
    known = [one.mid for one in at or () if isinstance(one, Quantity)]
    return (known[0], known[1], known[2]) if len(known) == 3 else None


def _point(asked: Any) -> Point:
    """Return the point that something is moved to. [m]"""
    figures = [_metres(one) for one in asked] if isinstance(asked, list) and len(asked) == 3 else []
    if len(figures) != 3 or not all(math.isfinite(one) and abs(one) <= _FARTHEST_M for one in figures):
        raise AskedWronglyError(
            f"to: rearward, to the right and up in metres, each at most {_FARTHEST_M:g} m."
        )
    return figures[0], figures[1], figures[2]


def _metres(asked: Any) -> float:
    """Return a figure as a number or as it was typed: with a comma or a real minus, too."""
    if isinstance(asked, bool) or not isinstance(asked, int | float | str):
        return math.nan
    try:
        return float(str(asked).replace(",", ".").replace("−", "-").removesuffix("m").strip())
    except ValueError:
        return math.nan


__all__ = ["ACTS", "corner", "move", "put_in_the_middle"]
