"""Bonds between the protective conductor and the body of the van: a wire to the body's own sign."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.assessment.mains.layout import Bond
from loomwright.assessment.record import Assessment
from loomwright.drawing.ink import MISSING
from loomwright.drawing.lettering import text_width_mm
from loomwright.drawing.scene import Link, Text, rectangle
from loomwright.drawing.symbols_mains import BODY_CONNECTION

from .graph import Graph
from .paint import LINE, Painter
from .signs import Spot
from .words import bond_words

#: From the last line of a thing to the sign of the body below it. [mm]
DOWN, MAKER_DOWN = 16.0, 20.0
MISSING_RULE = "shell_not_bonded"


def bonds_by_unit(job: Assessment, graph: Graph) -> dict[str, list[Bond]]:
    """Return by thing the bonds that start at it."""
    found: dict[str, list[Bond]] = {}
    units = {
        unit.part: id for id, unit in graph.units.items() if unit.sort in ("box", "maker", "inlet", "plain")
    }
    for bond in job.mains.layout.bonds:
        part = job.wiring.part_of(bond.a)
        if part in units:
            found.setdefault(units[part], []).append(bond)
    return found


def paint_bonds(
    painter: Painter, bonds: Sequence[Bond], x: float, y: float, from_y: float, down: float = DOWN
) -> None:
    """Draw the bonds of one thing.

    Parameters
    ----------
    painter : Painter
    bonds : sequence of Bond
        One conductor is drawn; each is named.
    x, y : float
        Where it leaves, and the last line of the thing. [mm]
    from_y : float
        The line of the earth, or the case, that it hangs on. [mm]
    down : float
        From the last line of the thing to the sign of the body. [mm]
    """
    of = Link("wire", bonds[0].piece)
    painter.line("PE", ((x, from_y), (x, y + down)), of)
    painter.sign(BODY_CONNECTION, (x, y + down), of)
    at = y + down + 1.0
    for bond in bonds:
        id, size = bond_words(bond)
        painter.items.append(Text((x + 5.0, at), id, 2.9, 600, of=Link("wire", bond.piece)))
        spot = Spot((x + 5.0, at), text_width_mm(id, 2.9, 600))
        painter.spots.setdefault(bond.run, spot)
        painter.spots.setdefault(bond.piece, spot)
        far = f"{size} to the body at {_other_end(painter.job, bond)}"
        painter.words((x + 5.0, at + LINE), [far], 44.0, of=Link("wire", bond.piece))
        at += 2 * LINE


def _other_end(job: Assessment, bond: Bond) -> str:
    piece = next(one for one in job.wiring.runs[bond.run].pieces if one.id == bond.piece)
    return (piece.b if piece.a == bond.a else piece.a).lstrip("@")


def paint_missing(painter: Painter, x: float, y: float, *, told: bool) -> None:
    """Draw where a bond should be and is not, in words too where there is room. [mm]"""
    painter.items.append(rectangle(x - 3.4, y + DOWN - 2.0, 6.8, 4.4, pen=MISSING))
    if told:
        painter.words((x + 5.0, y + DOWN + 1.0), ["no bond to the body"], 40.0, grey=False)


__all__ = ["DOWN", "MAKER_DOWN", "MISSING_RULE", "bonds_by_unit", "paint_bonds", "paint_missing"]
