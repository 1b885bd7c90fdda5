"""A short at every metre of every wire: its largest and smallest current, when it is over, and what it harms.

Contacts stand as for the consumers; where a mode changes who feeds a wire, it is judged in that mode too, and
the worst counts at each metre. The maker's own cables, the mains, and wires inside a box are left out.

A short is over when a fuse has opened on each way from each battery. What the cable stands until then is told
by `withstand`. One whose fuse is no larger than what it carries for good is unharmed by
whatever that fuse can break (IEC 60364-4-43, 435.1), and so is one that carries the short for good.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.along import Grid, Places
from loomwright.circuit.between import Way
from loomwright.plan.pieces import Piece, Wiring
from loomwright.protection.opening import opening_times
from loomwright.tables.fuses import FUSE_TYPES
from loomwright.units import Band

from .along_layout import Layout, laid_out, marks_m
from .along_record import (
    FAST,
    FAST_S,
    FOLDS,
    NEVER,
    NOT_KNOWN,
    SLOW,
    SOON,
    SOON_S,
    WORDS,
    Along,
    Stretch,
    amps_at,
)
from .record import WireFigure
from .short_network import Device, ShortBuilder, ShortNetwork, State
from .withstand import Withstand, hardest

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

#: Less than this between a wire and what it may touch is no short. [V]
LIVE_V = 1.0
#: A fuse may pass the rating of its cable by so much and still guards it. [-]
_OVER = 1.02


@dataclass(frozen=True, slots=True)
class _Judged:
    """One piece in one state; arrays over its places. `rank` is the place of the word in `WORDS`."""

    least_a: Floats
    most_a: Floats
    soonest_s: Floats
    latest_s: Floats
    rank: NDArray[np.intp]
    harmed: Bools
    alone: bool
    sources: tuple[str, ...]
    order: tuple[Device, ...]
    hardest: Withstand | None
    mode: str


@dataclass(frozen=True, slots=True)
class _Times:
    """When a fuse opens in a short at each place, whether that is known, and the places it is before."""

    soonest_s: Floats
    latest_s: tuple[Floats, Floats]  # in the largest short, and in the smallest
    likely_s: float  # at the far end, in the smallest short
    known: bool
    covers: Bools


class Shorting:
    """Works out the shorts along the wires of one van.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    wires : mapping of str to WireFigure
        With what the pieces carry for good.
    builders : (ShortBuilder, ShortBuilder)
        With the largest shorts, and with the smallest.
    length_m : mapping of str to float
        Of each piece. [m]
    near_m : float
        So near to its source a fuse may sit: what lies before it is not judged. [m]
    short : collection of str
        Pieces without a fuse that are near enough to their source to need none.
    """

    def __init__(
        self,
        wiring: Wiring,
        wires: Mapping[str, WireFigure],
        builders: tuple[ShortBuilder, ShortBuilder],
        length_m: Mapping[str, float],
        near_m: float,
        short: Collection[str],
    ) -> None:
        self.wiring, self.wires, self.length_m = wiring, wires, length_m
        self.most, self.least = builders
        self.near_m, self.short = near_m, short
        self.limited = frozenset(one.id for one in self.most.limits)
        self.pieces = [
            piece.id
            for flat in wiring.runs.values()
            if not (flat.mains or flat.inner or flat.run.factory is True)
            for piece in flat.pieces
            if not piece.is_return and length_m[piece.id] > 0.0
        ]

    def all(self, base: State, modes: Callable[[], Sequence[State]]) -> dict[str, Along]:
        """Return the shorts along every piece that something feeds in any state."""
        found: dict[str, list[_Judged]] = {}
        usual: dict[str, Mapping[str, tuple[Way, ...]]] = {}
        seen: set[object] = set()
        for state in (base, *modes()):
            if state is not base and self._alike(state, seen):
                continue
            net = self.most.network(state)
            feeding = {id: self._feeding(net, id) for id in self.pieces}
            usual = usual or feeding
            asked = {id for id, by in feeding.items() if by and (by != usual[id] or state is base)}
            for id, one in self._in_state(state, net, asked):
                found.setdefault(id, []).append(one)
        return {id: self._together(id, found[id]) for id in self.pieces if id in found}

    def _alike(self, state: State, seen: set[object]) -> bool:
        """Say whether a mode stands as one that was looked at, for all that a short from a battery sees."""
        gives = frozenset(state.gives or ()) - self.limited
        key = frozenset(state.closed), frozenset(state.pulled), gives
        if key in seen:
            return True
        seen.add(key)
        return False

    def _feeding(self, net: ShortNetwork, id: str) -> Mapping[str, tuple[Way, ...]]:
        """Return what feeds a piece and through which fuses: batteries, else what limits itself.

        Beside a battery what limits itself only adds to the largest short, and all of that is in the first
        state.
        """
        ways = net.between.ways(f"{id}:a")
        return {source: found for source, found in ways.items() if source not in self.limited} or ways

    # --- one state -----------------------------------------------------------------------------------

    def _in_state(
        self, state: State, net: ShortNetwork, asked: Collection[str]
    ) -> Iterator[tuple[str, _Judged]]:
        if not asked:
            return
        layout = laid_out(self.wiring, self.length_m, asked)
        ends = _End(layout, net, largest=True), _End(layout, self.least.network(state), largest=False)
        for piece in layout.pieces:
            span = layout.spans[piece.id]
            if not any(np.isnan(end.amps[span]).any() for end in ends):
                yield piece.id, self._piece(state, piece, span, ends)

    def _piece(self, state: State, piece: Piece, span: slice, ends: tuple[_End, _End]) -> _Judged:
        ways = self._feeding(ends[0].net, piece.id)
        alone = self.limited.issuperset(ways)
        counted = [way for found in ways.values() for way in found]
        at_m = ends[0].layout.at[span] * self.length_m[piece.id]
        times = {id: self._times(id, piece, at_m, span, ends) for way in counted for id in way}
        size = len(at_m)
        soonest, known, guarded = np.zeros(size), np.full(size, True), np.full(size, True)
        unsure = np.full(size, False)
        latest = [np.zeros(size), np.zeros(size)]
        for way in counted:
            fuses = [times[id] for id in way]
            soonest = np.maximum(soonest, _least([one.soonest_s for one in fuses], size))
            timed = [one for one in fuses if one.known]
            for k in range(2):
                latest[k] = np.maximum(latest[k], _least([one.latest_s[k] for one in timed], size))
            bare = ~_any([one.covers for one in fuses], size)
            known &= bare | _any([one.covers for one in timed], size)
            unsure |= _any([one.covers for one in fuses if not one.known], size)
            guards = [times[id].covers for id in way if self._guards(id, piece)]
            guarded &= _any(guards, size)
        harmed, worst = self._gives_in(piece, [end.amps[span] for end in ends], latest)
        last = np.maximum(*latest)
        known &= ~(unsure & (harmed | np.isinf(last)))  # the fuse that nobody knows may open before
        harmed &= known & ~guarded
        return _Judged(
            ends[1].amps[span],
            ends[0].amps[span],
            soonest,
            last,
            _ranks(last, known, harmed, alone=alone),
            harmed,
            alone,
            tuple(ends[0].net.between.ways(f"{piece.id}:a")),
            self._order(times),
            worst,
            state.name,
        )

    def _guards(self, id: str, piece: Piece) -> bool:
        """Say whether a fuse is no larger than what a wire carries for good."""
        fuse, rating = self.most.devices[id].rating_a, self.wires[piece.id].rating_a
        return rating is not None and fuse is not None and fuse <= rating * _OVER

    def _times(self, id: str, piece: Piece, at_m: Floats, span: slice, ends: tuple[_End, _End]) -> _Times:
        device, size = self.most.devices[id], len(at_m)
        covers = np.full(size, True)
        if device.from_m > self.near_m and id in (f"{piece.id}:a", f"{piece.id}:b"):
            away = at_m if id.endswith(":a") else self.length_m[piece.id] - at_m
            covers = away >= device.from_m
        kind = FUSE_TYPES.get(device.kind)
        if device.rating_a is None or kind is None or not kind.gates:
            flows = ends[0].through(id, span) > (device.rating_a or 0.0)
            soonest = np.where(flows & covers, 0.0, np.inf)
            return _Times(soonest, (np.full(size, np.inf), np.full(size, np.inf)), np.inf, False, covers)
        most, least = (opening_times(device.kind, device.rating_a, end.through(id, span)) for end in ends)
        latest = np.where(covers, most[1], np.inf), np.where(covers, least[1], np.inf)
        low, high = float(least[0][-1]), float(least[1][-1])
        likely = float(np.sqrt(low * high)) if low > 0.0 else high
        return _Times(np.where(covers, most[0], np.inf), latest, likely, True, covers)

    def _gives_in(
        self, piece: Piece, amps: Sequence[Floats], latest: Sequence[Floats]
    ) -> tuple[Bools, Withstand | None]:
        """Say where the largest or the smallest short outlasts the cable, and give the hardest one."""
        found = [hardest(self.wires[piece.id], *one) for one in zip(amps, latest, strict=True)]
        harmed: Bools = found[0][0] | found[1][0]
        worst = max((one for _, one in found if one is not None), key=lambda one: one.share, default=None)
        return (harmed & (piece.id not in self.short)), worst

    def _order(self, times: Mapping[str, _Times]) -> tuple[Device, ...]:
        """Return the fuses as a short at the far end is likely to open them."""
        known = [id for id, one in times.items() if one.known]
        return tuple(self.most.devices[id] for id in sorted(known, key=lambda id: times[id].likely_s))

    # --- all states together -------------------------------------------------------------------------

    def _together(self, id: str, judged: Sequence[_Judged]) -> Along:
        """Return the worst of all states; where a battery feeds in one, what folds back says nothing new."""
        judged = [one for one in judged if not one.alone] or judged
        worst = max(judged, key=lambda one: (one.harmed.any(), -int(one.rank.min()), one.latest_s.max()))
        at_m = marks_m(self.length_m[id])
        least_a = np.min([one.least_a for one in judged], axis=0)
        most_a = np.max([one.most_a for one in judged], axis=0)
        return Along(
            piece=id,
            run=self.wires[id].run,
            stretches=tuple(_stretches(at_m, least_a, most_a, judged)),
            at_m=tuple(at_m.tolist()),
            least_each_a=tuple(least_a.tolist()),
            most_each_a=tuple(most_a.tolist()),
            sources=judged[0].sources,
            order=worst.order,
            mode=worst.mode,
            alone=all(one.alone for one in judged),
            hardest=worst.hardest,
        )


class _End:
    """The shorts of one state at one end: the largest of what a wire may touch, or the smallest."""

    def __init__(self, layout: Layout, net: ShortNetwork, *, largest: bool) -> None:
        self.layout, self.net = layout, net
        ohm = {one.id: one.ohm for one in net.resistors}
        self.grid = Grid(net.resistors, net.sources, layout.points, net.given)
        self.plus = layout.plus(ohm)
        found, touches = [], list(layout.touches(ohm))
        for touch in touches:
            volts, loop = self.grid.across(self.plus, touch.places)
            with np.errstate(divide="ignore", invalid="ignore"):
                found.append(np.where(touch.there & (volts > LIVE_V), volts / loop, np.nan))
        amps = np.array(found)
        blank = -np.inf if largest else np.inf
        filled = np.where(np.isnan(amps), blank, amps)
        pick = filled.argmax(axis=0) if largest else filled.argmin(axis=0)
        best = filled[pick, np.arange(filled.shape[1])]
        self.amps = np.where(np.isinf(best), np.nan, best)
        self.minus = _picked([touch.places for touch in touches], pick)
        self._fold()

    def _fold(self) -> None:
        """Hold the shorts that only what limits itself feeds to what that gives."""
        for piece in self.layout.pieces:
            span = self.layout.spans[piece.id]
            self.amps[span] = np.minimum(self.amps[span], self.net.limit_at(f"{piece.id}:a"))

    def through(self, device: str, span: slice) -> Floats:
        """Return the current of a fuse in a short at each place of a piece. [A]"""
        return self.grid.through(device, self.amps[span], _part(self.plus, span), _part(self.minus, span))


def _picked(places: Sequence[Places], pick: NDArray[np.intp]) -> Places:
    at = np.arange(len(pick))
    fields = ("a", "b", "ohm", "at")
    a, b, ohm, part = (np.array([getattr(one, name) for one in places])[pick, at] for name in fields)
    return Places(a, b, ohm, part)


def _part(places: Places, span: slice) -> Places:
    return Places(places.a[span], places.b[span], places.ohm[span], places.at[span])


def _least(arrays: Sequence[Floats], size: int) -> Floats:
    found: Floats = np.min(arrays, axis=0) if arrays else np.full(size, np.inf)
    return found


def _any(arrays: Sequence[Bools], size: int) -> Bools:
    found: Bools = np.any(arrays, axis=0) if arrays else np.full(size, False)
    return found


def _ranks(latest: Floats, known: Bools, harmed: Bools, *, alone: bool) -> NDArray[np.intp]:
    never = np.isinf(latest)
    cases = [harmed & never, ~known, never, latest > SOON_S, latest > FAST_S]
    words = (NEVER, NOT_KNOWN, FOLDS if alone else NEVER, SLOW, SOON)
    return np.select(cases, [WORDS.index(word) for word in words], WORDS.index(FAST))


def _stretches(at_m: Floats, least_a: Floats, most_a: Floats, judged: Sequence[_Judged]) -> Iterator[Stretch]:
    """Give the stretches of a piece: neighbours with the same word are one."""
    rank = np.min([one.rank for one in judged], axis=0)
    harmed = np.any([one.harmed for one in judged], axis=0)
    soonest = np.min([one.soonest_s for one in judged], axis=0)
    latest = np.max([one.latest_s for one in judged], axis=0)
    change = np.flatnonzero((rank[1:] != rank[:-1]) | (harmed[1:] != harmed[:-1])) + 1
    bounds = [0, *change.tolist(), len(at_m)]
    middle = [0.0, *((at_m[k - 1] + at_m[k]) / 2.0 for k in change), at_m[-1]]
    for k, (first, end) in enumerate(pairwise(bounds)):
        own, ends = slice(first, end), (float(middle[k]), float(middle[k + 1]))
        yield Stretch(
            from_m=ends[0],
            to_m=ends[1],
            least_a=_at_ends(ends, at_m, least_a),
            most_a=_at_ends(ends, at_m, most_a),
            opens_s=Band(float(soonest[own].min()), float(latest[own].max())),
            word=WORDS[int(rank[first])],
            harmed=bool(harmed[first]),
        )


def _at_ends(ends: tuple[float, float], at_m: Floats, amps: Floats) -> tuple[float, float]:
    return amps_at(ends[0], at_m, amps), amps_at(ends[1], at_m, amps)


__all__ = ["Along", "Shorting", "Stretch"]
