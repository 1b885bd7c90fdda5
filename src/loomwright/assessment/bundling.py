"""How many loaded cores lie together with each wire, by the ways that the wires take.

A core that carries no more than 30 % of what it may in its bundle does not warm the others (BS 7671, notes to
Table 4C1). A figure typed at the wire or in the basis stands before.
"""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.plan.pieces import Wiring
from loomwright.source import Source

from .routes import Routes
from .sizes import Size, rating_table
from .wires import rating_of

LIGHT_SOURCE = Source(
    work="BS 7671", place="notes to Table 4C1: 30 % of the grouped rating", checked="published, second hand"
)
#: Up to this share of its rating in the bundle a core is not counted with the others.
LIGHT_SHARE = 0.3
SHORT_SOURCE = Source(
    work="common practice", place="where wires spread again at once", checked="common practice"
)
#: Over less than this, lying together does not count. [m]
SHORT_M = 0.5


def loaded_together(routes: Routes, sizes: Mapping[str, Size], amps: Mapping[str, float]) -> dict[str, int]:
    """Return how many loaded cores lie together with each wire, itself counted; of those alone nothing.

    Parameters
    ----------
    routes : Routes
    sizes : mapping of str to Size
        By piece of wire.
    amps : mapping of str to float
        What flows in each with everything on. [A]
    """
    wiring = routes.wiring
    if not routes.lines or "bundle" in wiring.plan.basis.typed:
        return {}
    found: dict[str, int] = {}
    table, open_wires = rating_table(wiring.plan), _open(wiring)
    for one in routes.together:
        loaded = [wire for wire in one.wires if abs(amps.get(wire, 0.0)) > 0.0]
        if one.metres < SHORT_M or len(loaded) < 2:
            continue
        heavy = {wire for wire in loaded if _warms(table, sizes[wire], abs(amps[wire]), len(loaded))}
        for wire in open_wires.intersection(one.wires):
            found[wire] = max(found.get(wire, 1), len(heavy | {wire}))
    return {wire: count for wire, count in found.items() if count > 1}


def _open(wiring: Wiring) -> set[str]:
    """Return the pieces for whose run the plan names no bundle."""
    runs = (flat for flat in wiring.runs.values() if not flat.mains and not isinstance(flat.run.bundle, int))
    return {piece.id for flat in runs for piece in flat.pieces}


def _warms(table: str, size: Size, amps: float, count: int) -> bool:
    grouped = rating_of(table, size.with_bundled(count))
    return grouped is None or amps > LIGHT_SHARE * grouped.amps


__all__ = ["loaded_together"]
