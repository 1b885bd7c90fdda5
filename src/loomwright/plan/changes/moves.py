"""Moving things in the van: the edits that put a place, a part or a corner of a path somewhere else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from loomwright.plan.changes.facts import refuse
from loomwright.plan.changes.fields import edits_of
from loomwright.plan.edit import Edit
from loomwright.plan.model import Plan
from loomwright.plan.tree import parse, to_data
from loomwright.plan.values import Quantity

#: Coordinates are written to a centimetre; what differs less has not been moved. [m]
_SAME_M = 0.005
#: Where a place goes of which nobody says where it is, in a van of which nobody says how large it is. [m]
_MIDDLE_M = (1.5, 0.0, 0.5)
_GRID_M = 0.05
#: So far on a new corner goes from the last one; so high a new path lies. [m]
_ON_M, _LOW_M = 0.5, 0.1

Point = tuple[float, float, float]
_Typed = tuple[Quantity | None, Quantity | None, Quantity | None]


def move_spot(plan: Plan, text: str, section: str, id: str, to: Point) -> tuple[Edit, ...]:
    """Return the edits that move a place, or a part with coordinates of its own.

    What is typed as a range is moved with both its ends; a coordinate that stays keeps its text.

    Parameters
    ----------
    plan : Plan
        As read from `text`.
    text : str
    section, id : str
        "places" or "parts", and which.
    to : Point
        Its new middle: rearward, to the right, up. [m]

    Raises
    ------
    PlanError
        There is no such place or part.

    Examples
    --------
    >>> from loomwright.plan.read import read_plan
    >>> text = "loomwright: 1\\ntitle: First\\nregion: eu\\nplaces: {kitchen: [0.60, 0.7, 0.5]}"
    >>> move_spot(read_plan(text), text, "places", "kitchen", (0.6, -0.7, 0.5))[0].write
    ['0.60', '-0.70', '0.5']
    """
    held: Mapping[str, Any] = {"places": plan.places, "parts": plan.parts}.get(section, {})
    if id not in held:
        refuse(f"{section}.{id}", f"there is no {section.removesuffix('s')} {id} to move.")
    written = _written(held[id].at, to)
    return edits_of(plan, text, f"{section}.{id}", {"at": f"[{', '.join(written)}]"})


def move_corner(plan: Plan, text: str, path: str, corner: int, to: Point) -> tuple[Edit, ...]:
    """Return the edits that move one corner of a path; a corner that is a place moves as that place.

    Parameters
    ----------
    plan : Plan
        As read from `text`.
    text : str
    path : str
    corner : int
        Which of its stops, from 0.
    to : Point
        [m]

    Raises
    ------
    PlanError
        There is no such corner.
    """
    stops = (plan.paths[path].along or ()) if path in plan.paths else ()
    if not 0 <= corner < len(stops):
        refuse(f"paths.{path}.along", f"{path} has no corner {corner + 1}.")
    stop = stops[corner]
    if isinstance(stop, str):
        return move_spot(plan, text, "places", stop, to)
    along = _along(text, path, corner)
    along[corner] = list(_written(stop, to))
    return (Edit(f"paths.{path}.along", along),)


def add_corner(plan: Plan, text: str, path: str, corner: int) -> tuple[Edit, ...]:
    """Return the edits that give a path one more corner after one: half way to the next, else a little on.

    Raises
    ------
    PlanError
        There is no such corner.
    """
    points = [_point_of(plan, stop) for stop in (plan.paths[path].along or ())] if path in plan.paths else []
    along = _along(text, path, corner)
    here, later = (points[k] if 0 <= k < len(points) else None for k in (corner, corner + 1))
    if here is None:
        refuse(f"paths.{path}.along", f"nobody says where corner {corner + 1} of {path} is.")
    x, y, z = here
    to = (x + _ON_M, y, z) if later is None else ((x + later[0]) / 2, (y + later[1]) / 2, (z + later[2]) / 2)
    along.insert(corner + 1, [_figure(one) for one in to])
    return (Edit(f"paths.{path}.along", along),)


def drop_corner(plan: Plan, text: str, path: str, corner: int) -> tuple[Edit, ...]:
    """Return the edits that take a corner out of a path.

    Raises
    ------
    PlanError
        There is no such corner, or it is the last one.
    """
    along = _along(text, path, corner)
    if len(along) == 1:
        refuse(f"paths.{path}.along", f"{path} has no other corner. Move this one, or take the path out.")
    del along[corner]
    return (Edit(f"paths.{path}.along", along),)


def lay_path(plan: Plan, text: str, path: str) -> tuple[Edit, ...]:
    """Return the edits that lay a path of which nobody says where it runs along the middle of the van.

    Raises
    ------
    PlanError
        There is no such path.
    """
    if path not in plan.paths:
        refuse(f"paths.{path}", f"there is no path {path} to lay.")
    x, y, _ = middle_of(plan)
    ends = [[_figure(x + by), _figure(y), _figure(_LOW_M)] for by in (-_ON_M, _ON_M)]
    written = ", ".join(f"[{', '.join(end)}]" for end in ends)
    return edits_of(plan, text, f"paths.{path}", {"along": f"[{written}]"})


def _along(text: str, path: str, corner: int) -> list[Any]:
    """Return the stops of a path as they are typed, one of which is to be changed."""
    data = to_data(parse(text)).get("paths", {}).get(path)
    along = list(data["along"]) if isinstance(data, dict) and isinstance(data.get("along"), list) else []
    if not 0 <= corner < len(along):
        refuse(f"paths.{path}.along", f"corner {corner + 1} of {path} is not written in this plan.")
    return along


def _point_of(plan: Plan, stop: str | _Typed) -> Point | None:
    place = plan.places.get(stop) if isinstance(stop, str) else None
    at = place.at if place is not None else stop if not isinstance(stop, str) else None
    known = [one.mid for one in at or () if isinstance(one, Quantity)]
    return (known[0], known[1], known[2]) if len(known) == 3 else None


def middle_of(plan: Plan) -> Point:
    """Return a spot in the middle of a van, from which a place can be moved to where it is. [m]"""
    size = [one.mid for one in plan.vehicle.load_space or () if isinstance(one, Quantity)]
    if len(size) != 3:
        return _MIDDLE_M
    return round(size[0] / 2 / _GRID_M) * _GRID_M, 0.0, min(_MIDDLE_M[2], size[2] / 2)


def _written(at: _Typed | None, to: Point) -> Sequence[str]:
    """Return three coordinates as they are written."""
    return [_coordinate(one, metres) for one, metres in zip(at or (None, None, None), to, strict=True)]


def _coordinate(typed: Quantity | None, metres: float) -> str:
    if typed is None:
        return _figure(metres)
    by = metres - typed.mid
    if abs(by) < _SAME_M:
        return typed.typed
    return _figure(metres) if typed.known else f"{_figure(typed.low + by)}..{_figure(typed.high + by)}"


def _figure(metres: float) -> str:
    return f"{round(metres, 2) + 0.0:.2f}"


__all__ = ["Point", "add_corner", "drop_corner", "lay_path", "middle_of", "move_corner", "move_spot"]
