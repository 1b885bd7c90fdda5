"""The leads that parts come with, and the fuse that guards each: by the table that cables are rated by.

A tail of a lamp is counted as lying alone, with the plan's usual insulation, in the air of the wire that it
is joined to. One thinner than every size of the table carries at most what the thinnest of those does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from loomwright.errors import OutOfTableError
from loomwright.plan.pieces import Piece, Wiring
from loomwright.plan.values import Quantity
from loomwright.protection.rating import Rating, cable_rating
from loomwright.tables.insulation import insulation_class

from .record import FuseFigure, LeadFigure, WireFigure
from .sizes import rating_table

#: The thinnest rows of the current tables, the smallest first. [mm²]
_THIN_MM2 = (0.5, 0.75, 0.82, 1.0, 1.3, 1.5)


def lead_figures(wiring: Wiring, wires: Mapping[str, WireFigure]) -> tuple[LeadFigure, ...]:
    """Return the leads of parts whose plan states one, and that a fuse stands before."""
    return tuple(
        figure
        for part_id, part in wiring.parts.items()
        if isinstance(part.lead, Quantity)
        for figure in _figures(wiring, wires, part_id, part.lead.low)
    )


def _figures(
    wiring: Wiring, wires: Mapping[str, WireFigure], part_id: str, area_mm2: float
) -> Iterator[LeadFigure]:
    for flat in wiring.runs.values():
        feeding = next((p for p in flat.pieces if not p.is_return and _touches(wiring, p, part_id)), None)
        if feeding is None or flat.mains:
            continue
        way = [p for p in flat.pieces if not p.is_return and p.load in (None, feeding.load)]
        fuse = _least(wires, way)
        rating = _rating(wiring, area_mm2, wires[feeding.id].ambient_c)
        if fuse is not None and rating is not None:
            yield LeadFigure(part_id, flat.id, area_mm2, rating.amps, rating.basis, fuse)


def _touches(wiring: Wiring, piece: Piece, part_id: str) -> bool:
    return part_id in (wiring.part_of(piece.a), wiring.part_of(piece.b))


def _least(wires: Mapping[str, WireFigure], way: list[Piece]) -> FuseFigure | None:
    """Return the smallest fuse of a way; of one that has none, the nearest before it."""
    own = [fuse for piece in way for fuse in wires[piece.id].fuses if fuse.rating_a is not None]
    if own:
        return min(own, key=lambda fuse: fuse.rating_a or 0.0)
    before = next((fuse for piece in way if (fuse := wires[piece.id].upstream_fuse) is not None), None)
    return before if before is not None and before.rating_a is not None else None


def _rating(wiring: Wiring, area_mm2: float, ambient_c: float) -> Rating | None:
    basis = wiring.plan.basis
    for size in (area_mm2, *(thin for thin in _THIN_MM2 if thin > area_mm2)):
        try:
            return cable_rating(
                size,
                table=rating_table(wiring.plan),
                insulation_c=insulation_class(basis.insulation).max_c,
                ambient_c=ambient_c,
            )
        except OutOfTableError:
            continue
    return None
