"""Contacts, pins, outputs, bars and converters against what they may carry; studs with their sums."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity

from .network import METAL, Branch
from .record import FuseFigure, PassageFigure, StudFigure
from .solve import Converts, Solved, drawn_from


def stud_figures(
    wiring: Wiring, branches: Sequence[Branch], amps: Mapping[str, float]
) -> dict[str, StudFigure]:
    """Return every stud of the plan with the sum of its currents, the volts in its contact and its rings."""
    contact = {branch.owner: branch for branch in branches if branch.kind == "stud"}
    found = {}
    for name, stud in wiring.plan.studs.items():
        branch = contact.get(name)
        current = amps.get(f"{name}{METAL}", 0.0)
        pieces = wiring.by_point.get(name, ())
        found[name] = StudFigure(
            id=name,
            current_a=current,
            volts_v=(branch.ohm if branch else 0.0) * current,
            lugs=len(pieces),
            place=stud.place,
            rings=tuple((piece.id, abs(amps.get(piece.id, 0.0))) for piece in pieces),
            ohm=next(iter(branch.ohms), None) if branch else None,
        )
    return found


def main_fuses(wiring: Wiring, amps: Mapping[str, float]) -> dict[str, FuseFigure]:
    """Return the main fuse of each fuse box that has one, with what lasts through it."""
    found = {}
    for part_id, part in wiring.parts.items():
        if part.kind != "fuse_box" or not isinstance(part.main_fuse, tuple):
            continue
        for fuse in part.main_fuse:
            rating = fuse.rating.high if isinstance(fuse.rating, Quantity) else None
            lasting = amps.get(f"{part_id}.main", 0.0)
            found[part_id] = FuseFigure(part_id, rating, fuse.type or "", None, lasting)
    return found


def passage_figures(
    wiring: Wiring,
    branches: Sequence[Branch],
    amps: Mapping[str, float],
    converters: Mapping[str, Converts],
    solved: Solved,
) -> tuple[PassageFigure, ...]:
    """Return everything with a stated rating and the lasting current through it."""
    found: list[PassageFigure] = []
    for branch in branches:
        if branch.kind == "contact":
            found.extend(_contact(wiring, branch, amps.get(branch.id, 0.0)))
    for part_id, part in wiring.parts.items():
        if part.kind == "busbar" and isinstance(part.rating, Quantity):
            through = sum(amps.get(piece.id, 0.0) for piece in wiring.by_point.get(part_id, ())) / 2.0
            found.append(PassageFigure(part_id, "bar", through, part.rating.low, 0.0))
    for part_id, one in converters.items():
        if math.isfinite(one.limit_a):
            found.append(PassageFigure(part_id, "converter", drawn_from(solved, part_id), one.limit_a, 0.0))
    return tuple(found)


def _contact(wiring: Wiring, branch: Branch, current: float) -> Iterator[PassageFigure]:
    part = wiring.parts[branch.owner]
    rating = _rating(part, branch)
    volts = branch.ohm * current if part.kind == "plug" else 0.0
    if rating is not None or volts:
        what = {"plug": "plug pin", "dimmer": "dimmer", "control_panel": "panel output"}.get(
            part.kind, "contact"
        )
        amps = rating if rating is not None else math.inf
        unknown = next((ohm.unknown for ohm in branch.ohms), "")
        yield PassageFigure(branch.owner, what, current, amps, volts, branch.id, unknown)


def _rating(part: Part, branch: Branch) -> float | None:
    if part.kind == "control_panel":
        output = (part.outputs or {}).get(branch.b.rpartition(".")[2])
        return output.rating.low if output is not None and isinstance(output.rating, Quantity) else None
    return part.rating.low if isinstance(part.rating, Quantity) else None
