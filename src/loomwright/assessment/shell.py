"""What comes back over the body where the body is no sound way: moving parts, rising roofs, mixed shells.

A return to the bare body is taken to end beside its load. A hinge, a runner or a strut is greased and painted
and carries a current by chance only; a panel of plastic or wood carries none.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.pieces import BODY, FlatRun, Piece, Wiring
from loomwright.plan.values import Quantity

from .sizes import place_of, where_of, zones_of

#: Bodies of which some panels bring nothing back, and nobody says which.
MIXED = ("mixed",)
_FIXED = ("busbar", "splice", "battery", "vehicle_battery")


@dataclass(frozen=True, slots=True)
class ByShell:
    """A wire that ends on the body at a place.

    Attributes
    ----------
    run, wire : str
        The run and its piece.
    stud : str
        "" for the bare body.
    place : str
    why : str
        "moving": the place moves; "roof": it lies above the load space of a van whose roof rises.
    """

    run: str
    wire: str
    stud: str
    place: str
    why: str


def over_moving_parts(wiring: Wiring) -> Iterator[ByShell]:
    """Give each wire that ends on the body of a part of the van that moves."""
    for flat, piece, end, other in _on_body(wiring):
        stud = end if end in wiring.plan.studs else ""
        place = place_of(wiring, stud or other)
        why = _moves(wiring, place, stud or other)
        if place is not None and why and not (stud and _is_bridged(wiring, stud)):
            yield ByShell(flat.id, piece.id, stud, place, why)


def on_mixed_shell(wiring: Wiring) -> tuple[str, ...]:
    """Return the studs, or the wires on the bare body, that a shell of several materials has to join.

    Those of which the way through the body is measured (`body_to`) are left out, and so are those on parts
    that move; nothing where fewer than two are left, since nothing comes back over the shell then.
    """
    if wiring.plan.vehicle.body not in MIXED:
        return ()
    known = {id for id, stud in wiring.plan.studs.items() if _measured(stud.body_to)}
    known |= {other for stud in wiring.plan.studs.values() for other in _measured(stud.body_to)}
    found: dict[str, None] = {}
    for _, piece, end, other in _on_body(wiring):
        stud = end if end in wiring.plan.studs else ""
        if end not in known and not _moves(wiring, place_of(wiring, stud or other), stud or other):
            found[stud or piece.id] = None
    return tuple(found) if len(found) + len(known) > 1 else ()


def _measured(body_to: object) -> list[str]:
    pairs = body_to.items() if hasattr(body_to, "items") else ()
    return [id for id, ohm in pairs if isinstance(ohm, Quantity)]


def _on_body(wiring: Wiring) -> Iterator[tuple[FlatRun, Piece, str, str]]:
    """Give the pieces that end on a stud or the bare body: run, piece, that end, the other one."""
    for flat in wiring.runs.values():
        if flat.mains or flat.inner or flat.run.factory is True:
            continue
        for piece in flat.pieces:
            for end, other in ((piece.a, piece.b), (piece.b, piece.a)):
                stud = wiring.plan.studs.get(end)
                if end.endswith(f"@{BODY}") or (stud is not None and stud.factory is not True):
                    yield flat, piece, end, other


def _moves(wiring: Wiring, place_id: str | None, point: str) -> str:
    place = wiring.plan.places.get(place_id or "")
    if place is None:
        return ""
    if "moving" in zones_of(wiring.plan, place):
        return "moving"
    space, at = wiring.plan.vehicle.load_space, where_of(wiring, point)
    high = space[2] if space is not None and len(space) == 3 else None
    above = at is not None and isinstance(high, Quantity) and at[2] > high.high
    return "roof" if wiring.plan.vehicle.pop_top is True and above else ""


def _is_bridged(wiring: Wiring, stud: str) -> bool:
    """Say whether a wire leads from a stud past the moving part: to another stud, a bar, a battery."""
    for piece in wiring.by_point.get(stud, ()):
        other = piece.b if piece.a == stud else piece.a
        part = wiring.parts.get(wiring.part_of(other) or "")
        fixed = other in wiring.plan.studs and not _moves(wiring, place_of(wiring, other), other)
        if fixed or (part is not None and part.kind in _FIXED):
            return True
    return False


__all__ = ["MIXED", "ByShell", "on_mixed_shell", "over_moving_parts"]
