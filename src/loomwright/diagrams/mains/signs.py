"""Signs of findings beside the name of the thing they mean, on no line and no other sign."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from loomwright.diagrams.common import Numbered
from loomwright.diagrams.van.paper import Paper
from loomwright.drawing.geometry import Point
from loomwright.drawing.scene import Link, Symbol
from loomwright.drawing.symbols import FINDINGS

#: From a name to its first sign, from sign to sign, from the line of letters up to a sign's middle. [mm]
_AFTER, _STEP, _BESIDE, _OVER = 3.8, 6.6, (-1.7, -2.6), -7.2
_MOST = 6
#: Half the room of a sign with clear paper around it. [mm]
_CLEAR = 0.9


class Spot(NamedTuple):
    """Where the name of a thing stands, and how wide it is. [mm]"""

    at: Point
    width: float


def set_signs(
    paper: Paper, findings: tuple[Numbered, ...], spots: Mapping[str, Spot]
) -> Iterator[tuple[int, Symbol]]:
    """Give of each finding that has room beside its thing its number and its sign.

    Parameters
    ----------
    paper : Paper
        Gets the signs.
    findings : tuple of Numbered
        Gravest first.
    spots : mapping of str to Spot
        By id of a part, cable or run.
    """
    for one in findings:
        sign = FINDINGS[one.finding.severity]
        room = sign.box().grown(_CLEAR)
        named = (spots[id] for id in one.ids if id in spots)
        free = (at for spot in named for at in _beside(spot) if paper.is_free(room.moved(at)))
        at = next(free, None)
        if at is not None:
            number = str(one.number)
            drawn = Symbol(
                sign, at, values=(("number", number),), layer="findings", of=Link("finding", number)
            )
            paper.add([drawn])
            yield one.number, drawn


def _beside(spot: Spot) -> Iterator[Point]:
    (x, y), width = spot
    for up in _BESIDE:
        for n in range(_MOST):
            yield x + width + _AFTER + _STEP * n, y + up
    for n in range(_MOST):
        yield x + 3.0 + _STEP * n, y + _OVER


__all__ = ["Spot", "set_signs"]
