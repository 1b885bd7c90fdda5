"""Where shorts are looked at: every metre of every wire, and what the wire may touch there.

That is the body; the wire's own return at the same metre, where that runs beside it; and, at its very end,
the minus of its load. In a van without a body it is the minus of what feeds the wire.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.along import Places
from loomwright.plan.pieces import BODY, FlatRun, Piece, Wiring

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Touch:
    """What n places may touch: `places` of it, and where that is there at all."""

    places: Places
    there: Bools


@dataclass(frozen=True, slots=True)
class Layout:
    """The places of some pieces of wire, one after the other.

    Attributes
    ----------
    pieces : sequence of Piece
    spans : mapping of str to slice
        Where the places of a piece stand.
    points : sequence of str
        The ends of all conductors and all that is touched, in the order of their numbers.
    at : ndarray
        Part of the way from the a end of the piece to its b end. [-]
    """

    pieces: Sequence[Piece]
    spans: Mapping[str, slice]
    points: Sequence[str]
    at: Floats
    _plus: tuple[Floats, Floats]
    _touched: Sequence[tuple[Floats, Floats, Floats, Bools, Sequence[str]]]

    def plus(self, ohm: Mapping[str, float]) -> Places:
        """Return the places; `ohm`: of the copper of each piece. [Ω]"""
        a, b = (ends.astype(np.intp) for ends in self._plus)
        return Places(a, b, self._each([ohm[f"{piece.id}:"] for piece in self.pieces]), self.at)

    def touches(self, ohm: Mapping[str, float]) -> Iterator[Touch]:
        """Give what the places may touch, one kind after the other."""
        for a, b, at, there, own in self._touched:
            ohms = self._each([ohm.get(id, 0.0) for id in own])
            yield Touch(Places(a.astype(np.intp), b.astype(np.intp), ohms, at), there)

    def _each(self, values: Sequence[float]) -> Floats:
        """Return values of pieces as values of places."""
        counts = [self.spans[piece.id].stop - self.spans[piece.id].start for piece in self.pieces]
        return np.repeat(np.array(values, dtype=float), counts)


def laid_out(wiring: Wiring, length_m: Mapping[str, float], only: Collection[str]) -> Layout:
    """Lay out the places of some pieces.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    length_m : mapping of str to float
        Of each piece. [m]
    only : collection of str
        The pieces looked at.
    """
    bodiless = not any(on_body(wiring, point) for point in wiring.by_point)
    number: dict[str, int] = {}
    rows = [
        _row(wiring, flat, piece, length_m, bodiless=bodiless)
        for flat in wiring.runs.values()
        for piece in flat.pieces
        if piece.id in only
    ]

    def at(point: str) -> float:
        return number.setdefault(point, len(number))

    spans, begin = {}, 0
    for row in rows:
        spans[row.piece.id] = slice(begin, begin + len(row.at))
        begin += len(row.at)
    counts = [len(row.at) for row in rows]
    plus = tuple(
        np.repeat([at(f"{row.piece.id}:{side}") for row in rows], counts).astype(float) for side in "ab"
    )
    touched = []
    for kind in range(max((len(row.touches) for row in rows), default=0)):
        ones = [row.touches[kind] for row in rows]
        touched.append(
            (
                np.repeat([at(one.a) for one in ones], counts).astype(float),
                np.repeat([at(one.b) for one in ones], counts).astype(float),
                _joined([one.at for one in ones]),
                np.concatenate([one.there for one in ones]) if ones else np.zeros(0, dtype=bool),
                [one.own for one in ones],
            )
        )
    pieces = [row.piece for row in rows]
    return Layout(pieces, spans, list(number), _joined([row.at for row in rows]), (plus[0], plus[1]), touched)


def marks_m(length_m: float) -> Floats:
    """Return the places along a piece: every metre, and its end. [m]"""
    return np.append(np.arange(0.0, length_m, 1.0), length_m)


def _joined(arrays: Sequence[Floats]) -> Floats:
    return np.concatenate(arrays) if arrays else np.zeros(0)


@dataclass(frozen=True, slots=True)
class _Own:
    """What one piece may touch: a conductor from a to b whose ohms are those of `own`; where, and whether."""

    a: str
    b: str
    own: str
    at: Floats
    there: Bools


@dataclass(frozen=True, slots=True)
class _Row:
    piece: Piece
    at: Floats
    touches: tuple[_Own, _Own, _Own]


def _row(
    wiring: Wiring, flat: FlatRun, piece: Piece, length_m: Mapping[str, float], *, bodiless: bool
) -> _Row:
    metres = length_m[piece.id]
    at = marks_m(metres) / metres
    always, never, end = np.full(len(at), True), np.full(len(at), False), at == 1.0
    nil = np.zeros(len(at))
    back = wiring.minus_of_feed(flat.pieces[0].a) if bodiless else BODY
    body = _Own(back or BODY, back or BODY, "", nil, always)
    minus = wiring.minus_of(piece.b)
    load = _Own(minus or BODY, minus or BODY, "", nil, end if minus is not None else never)
    beside = _return_beside(wiring, flat, piece)
    if beside is None:
        return _Row(piece, at, (body, _Own(BODY, BODY, "", nil, never), load))
    chain = [one for one in flat.pieces if not one.is_return and one.load == piece.load]
    before = sum(length_m[one.id] for one in chain[: chain.index(piece)])
    whole = sum(length_m[one.id] for one in chain) or 1.0
    along = 1.0 - (before + at * metres) / whole  # the return begins at the load
    own = _Own(f"{beside.id}:a", f"{beside.id}:b", f"{beside.id}:", along, always)
    return _Row(piece, at, (body, own, load))


def _return_beside(wiring: Wiring, flat: FlatRun, piece: Piece) -> Piece | None:
    """Return the wire that brings the minus of a piece back beside it, None if none does all the way."""
    back = [one for one in flat.pieces if one.is_return and one.load == piece.load]
    return back[0] if len(back) == 1 and not on_body(wiring, back[0].b) else None


def on_body(wiring: Wiring, point: str) -> bool:
    """Say whether a point is a stud or the bare body."""
    return point in wiring.plan.studs or point.endswith(f"@{BODY}")


__all__ = ["Layout", "Touch", "laid_out", "marks_m", "on_body"]
