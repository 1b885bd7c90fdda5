"""Which points of the wiring are plus and which are minus, by what sources they hang on.

A point that hangs on both (the middle of two batteries in series, a short) or on neither (behind an open
contact) has no pole and is judged by nothing that asks for one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.plan.pieces import BODY, Piece, Wiring

from .states import reach

#: Terminals of what gives current, by kind of part: plus, minus.
_GIVES: Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]] = MappingProxyType(
    {
        "battery": (("plus",), ("minus",)),
        "vehicle_battery": (("plus",), ("minus",)),
        "alternator": (("plus", "d_plus"), ()),
        "vehicle_feed": (("plus",), ()),
        "solar_panel": (("plus",), ("minus",)),
        "fuel_cell": (("plus",), ("minus",)),
        "b2b": (("out",), ("minus",)),
        "solar_regulator": (("battery", "second"), ("panel_minus", "battery_minus")),
        "mains_charger": (("plus", "second"), ("minus",)),
        "converter": (("out",), ("minus", "out_minus")),
        "inverter": ((), ("minus",)),
        "inverter_charger": (("plus",), ("minus",)),
    }
)


@dataclass(frozen=True, slots=True)
class Poles:
    """The points that are plus, and those that are minus."""

    plus: frozenset[str] = frozenset()
    minus: frozenset[str] = frozenset()

    def of(self, piece: Piece) -> str:
        """Return "plus" or "minus" of a wire, "" if it has no pole."""
        ends = {piece.a, piece.b}
        on_plus, on_minus = bool(ends & self.plus), bool(ends & self.minus)
        return "" if on_plus == on_minus else "plus" if on_plus else "minus"


def poles_of(wiring: Wiring, graph: Mapping[str, list[str]]) -> Poles:
    """Return the poles of all points.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    graph : mapping of str to list of str
        Which points are joined, as the contacts stand.
    """
    plus, minus = set[str](), {BODY, *wiring.plan.studs}
    for part_id, part in wiring.parts.items():
        for found, names in zip((plus, minus), _GIVES.get(part.kind, ((), ())), strict=True):
            found.update(f"{part_id}.{name}" for name in names)
    plus, minus = _joined(graph, plus), _joined(graph, minus)
    return Poles(frozenset(plus - minus), frozenset(minus - plus))


def _joined(graph: Mapping[str, list[str]], seeds: Iterable[str]) -> set[str]:
    found: set[str] = set()
    for seed in seeds:
        if seed not in found:
            found |= reach(graph, seed)
    return found
