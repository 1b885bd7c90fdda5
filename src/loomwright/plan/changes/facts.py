"""What a change has to know of a plan: what joins what, which ways are free, where things are.

`Facts` is made once for a plan and asked many times. Each point of the wiring (see `plan.pieces`) has a side,
"plus", "minus", "mains", "earth" or "any": a terminal by its kind, a bar or contact by the nearest terminal
that the wiring joins it to.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import dist
from typing import NoReturn

from loomwright.errors import PlanError, Problem
from loomwright.plan.kinds import passages, terminals, way_of
from loomwright.plan.kinds import side as side_of_kind
from loomwright.plan.model import Part, Plan, Point
from loomwright.plan.pieces import Wiring, point_of, take_apart
from loomwright.plan.values import End

BARS = ("busbar", "splice")
#: Parts whose terminals take their side from what they are joined to.
CONTACTS: tuple[str, ...] = ("switch", "master_switch", "relay", "sensing_relay", "two_way", "intermediate")
CONTACTS += (
    "selector",
    "change_over",
    "shunt",
    "plug",
    "diode",
    "diode_splitter",
    "low_voltage_cut",
    "dimmer",
)
BATTERIES = ("battery", "vehicle_battery")
_MINUSES = ("minus", "panel_minus", "battery_minus", "out_minus", "coil_minus")
_HINTS = {"minus": "minus", "earth": "minus", "plus": "plus"}


def refuse(at: str, says: str) -> NoReturn:
    """Raise a PlanError for what was asked, in one sentence."""
    raise PlanError([Problem(1, 1, at, says)])


def title_of(plan: Plan, id: str) -> str:
    """Return what a person calls a part, stud or place: its name, else its id in words."""
    part = plan.parts.get(id)
    if part is not None and part.name:
        return part.name
    return id if any(letter.isdigit() or letter.isupper() for letter in id) else id.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Facts:
    """A plan with its wiring taken apart; `sides` and `grounds` are by point, `linked` are the used ones.

    `grounds` says which battery a plus point is nearest to: "vehicle" or "house".
    """

    plan: Plan
    wiring: Wiring
    sides: Mapping[str, str]
    grounds: Mapping[str, str]
    linked: frozenset[str]

    def point(self, end: End, stands: str) -> str:
        """Return the point of an end that names its terminal, or whose bare name has one."""
        return point_of(self.wiring, end, "", stands)

    def is_linked(self, point: str) -> bool:
        """Return whether some wire ends at the point; at either half of a plug's pin."""
        return point in self.linked or f"{point}<" in self.linked or f"{point}>" in self.linked

    def is_wired(self, id: str, terminal: str) -> bool:
        """Return whether a wire of the van ends at a terminal; what is behind a unit's port is none."""
        if self.plan.parts[id].kind != "unit":
            return self.is_linked(self.point(End(id, terminal), "to"))
        port = End(id, terminal)
        return any(
            port in (run.from_, *run.to) or (run.return_ is not None and run.return_.to == port)
            for run in self.plan.wiring.values()
        )

    def side(self, point: str) -> str:
        """Return the side that the wiring gives a bar or contact; "any" if it gives none."""
        return self.sides.get(point) or self.sides.get(f"{point}<") or "any"

    def free_ways(self, id: str) -> list[str]:
        """Return the terminals of a box, or the ports of a unit, that are ways and feed nothing yet."""
        part = self.plan.parts[id]
        names: Iterable[str] = (name for name in terminals(part) if way_of(part, name))
        if part.kind in ("fuse_box", "breaker_box") and not isinstance(part.ways, int):
            names = map(str, range(1, 100))
        return [name for name in names if not self.is_linked(self.point(End(id, name), "from"))]

    def is_bond(self, stud: str) -> bool:
        """Return whether a stud holds protective earth and nothing else."""
        pieces = self.wiring.by_point.get(stud, ())
        others = [piece.b if piece.a == stud else piece.a for piece in pieces]
        return bool(others) and all(self.wiring.terminal_of(one) in ("earth", "case") for one in others)


def facts_of(plan: Plan) -> Facts:
    """Return the facts of a plan."""
    wiring = take_apart(plan)
    joined = _joined(wiring)
    linked = frozenset(wiring.by_point)
    seeds = {
        point: side
        for point in linked
        if (side := _own_side(plan, wiring, point)) in ("plus", "minus", "mains", "earth")
    }
    sides = _flood(joined, seeds)
    for id, part in wiring.parts.items():
        if part.kind in BARS and id not in sides:
            words = f"{id} {part.name or ''}".casefold()
            sides |= dict.fromkeys([id], next((_HINTS[hint] for hint in _HINTS if hint in words), "any"))
    sources = {"vehicle_battery": "vehicle", "alternator": "vehicle", "battery": "house"}
    grounds = {f"{id}.plus": sources[part.kind] for id, part in wiring.parts.items() if part.kind in sources}
    return Facts(
        plan, wiring, sides, _flood(joined, grounds, lambda point: sides.get(point) == "plus"), linked
    )


def _own_side(plan: Plan, wiring: Wiring, point: str) -> str:
    """Return the side that a point has by itself: a stud, or a terminal by its kind."""
    id = wiring.part_of(point)
    if id is None:
        return "minus" if point in plan.studs or point.endswith("@body") else ""
    return own_side(wiring.parts[id], wiring.terminal_of(point))


def own_side(part: Part, terminal: str) -> str:
    """Return the side of a terminal by its kind: "plus", "minus", "mains", "earth", or "any".

    The part is no unit; for a port ask the part inside.
    """
    kind = side_of_kind(part, terminal)
    if kind in ("mains", "earth"):
        return kind
    role = part.terminals.get(terminal, "")
    if terminal in _MINUSES or role == "minus":
        return "minus"
    if part.kind == "control_panel" and terminal in part.outputs:
        return part.outputs[terminal].switches
    if part.kind in (*BARS, *CONTACTS, "tow_socket", "equaliser") or role == "signal":
        return "any"
    return "any" if terminal in ("probe", "panel", "remote") and part.kind != "solar_regulator" else "plus"


def _joined(wiring: Wiring) -> dict[str, list[str]]:
    """Return the points next to each point: by a piece of wire, or by a passage of a part."""
    near: dict[str, list[str]] = {}

    def join(a: str, b: str) -> None:
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)

    for piece in wiring.pieces():
        join(piece.a, piece.b)
    for id, part in wiring.parts.items():
        if part.kind == "plug":
            for pin in terminals(part):
                join(f"{id}.{pin}<", f"{id}.{pin}>")
        elif part.kind == "fuse_box":
            for way in (name for name in terminals(part) if name.isdecimal()):
                join(f"{id}.in", f"{id}.{way}")
        elif part.kind in CONTACTS:
            for a, b in passages(part):
                join(f"{id}.{a}", f"{id}.{b}")
    return near


def _flood(
    near: Mapping[str, list[str]], seeds: Mapping[str, str], may: Callable[[str], bool] | None = None
) -> dict[str, str]:
    """Return a word for each point that the seeds reach: that of the nearest seed."""
    found = dict(seeds)
    queue = deque(sorted(seeds))
    while queue:
        point = queue.popleft()
        for other in near.get(point, ()):
            if other not in found and (may is None or may(other)):
                found[other] = found[point]
                queue.append(other)
    return found


# --- where things are


def _middle(point: Point | None) -> tuple[float, ...] | None:
    if point is None:
        return None
    known = tuple(one.mid for one in point if one is not None)
    return known if len(known) == 3 else None


def where(plan: Plan, id: str) -> tuple[str | None, tuple[float, ...] | None]:
    """Return the place of a part or stud and its coordinates, as far as they are known. [m]"""
    thing = plan.parts.get(id) or plan.studs.get(id)
    if thing is None:
        return None, None
    own = _middle(thing.at) if isinstance(thing, Part) else None
    place = plan.places.get(thing.place or "")
    return thing.place, own or (_middle(place.at) if place is not None else None)


def nearest_first(plan: Plan, id: str, others: Iterable[str]) -> list[str]:
    """Return parts or studs by how near they are to one: in its place first, then by metres.

    Those whose distance is not known are left out.
    """
    place, here = where(plan, id)
    far: dict[str, float] = {}
    for other in others:
        its_place, there = where(plan, other)
        if place is not None and place == its_place:
            far[other] = 0.0
        elif here is not None and there is not None:
            far[other] = dist(here, there)
    return sorted(far, key=far.__getitem__)
