"""How deep the bars of a sheet lie before any height is known, and which lie higher in any case."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from .columns import is_return
from .sides import Hang
from .strands import End, Strand
from .units import GOES

#: Rails; fuse boxes whose feed comes up to them or from another sheet; wires that run across to a unit, under
#: the boxes; blocks; the lower ends of what ends on nothing; return bars; the body.
_RAIL, _BOX, _ACROSS, _BLOCKS, _LOADS, _RETURNS, _BODY = 1.0, 3.0, 7.5, 8.0, 90.0, 100.0, 200.0


class Depths:
    """What feeds lies above what it feeds, from the rails down; return bars below, the body lowest of all."""

    def __init__(self, hang: Hang, strands: Sequence[Strand], bars: Sequence[str]) -> None:
        self.hang, self.strands = hang, strands
        self.index = {bar: place for place, bar in enumerate(bars)}
        fed = {strand.b.id for strand in strands}
        rails = [bar for bar in hang.order if bar not in hang.parent and hang.bars[bar] == "rail"]
        self.bars = {bar: self._start(bar, bar in fed, bar in rails[:1]) for bar in bars}
        self.unfed = [bar for bar in bars if hang.bars[bar] == "box" and bar not in fed]
        self.blocks = {end.id: _BLOCKS for one in strands for end in (one.a, one.b) if end.kind == "block"}
        while self._deepened():
            pass

    def _start(self, bar: str, fed: bool, first: bool) -> float:
        if not self.hang.above[bar]:
            return _RETURNS
        if bar.endswith(GOES) and fed:
            return _ACROSS
        if self.hang.bars[bar] == "box" and not fed:
            return _BOX
        return 0.0 if first else _RAIL

    def _deepened(self) -> bool:
        """Put what is fed deeper than its feed; say whether anything changed."""
        changed = False
        for strand in self.strands:
            a, b = strand.a, strand.b
            depths = self.blocks if b.kind == "block" else self.bars
            if b.id not in depths or a.id == b.id or (b.kind == "bar" and not self.hang.above[b.id]):
                continue
            least = self.of(a, upper=True) + (3.0 if a.kind == b.kind == "bar" else 1.0)
            if depths[b.id] < least < _LOADS:  # feeds that go round in a ring get no deeper than loads
                changed, depths[b.id] = True, least
        return changed

    def of(self, end: End, *, upper: bool) -> float:
        """Return how deep an end of a line lies."""
        if end.kind == "bar" and end.id in self.bars:
            return self.bars[end.id]
        if end.kind == "block":
            return self.blocks[end.id] + (0.5 if upper else 0.0)
        if end.kind == "bar" and end.id not in self.hang.scatter:
            return _BODY
        return _LOADS if end.kind == "bar" or not upper else 0.0

    def higher(self) -> np.ndarray:
        """Return for each bar which bars it lies higher than, whatever else is decided."""
        depth = np.array(list(self.bars.values()))
        found: np.ndarray = depth[:, None] < depth
        feeds, returns = self._runs_down(above=True), self._runs_down(above=False)
        for bar in self.unfed:  # how low it lies is open, but under the rails and above what it feeds
            place = self.index[bar]
            open_ = (depth > _RAIL) & (depth < _RETURNS)
            found[place, open_ & ~feeds[place]] = False
            found[open_, place] = False
        found |= returns & ~returns.T
        return found

    def _runs_down(self, *, above: bool) -> np.ndarray:
        """Return from which bars of a side lines run down to which, by way of blocks and other bars too."""
        ends: dict[str, int] = dict(self.index)
        for block in self.blocks:
            ends[f"{block}|"] = len(ends)
        found = np.zeros((len(ends), len(ends)), dtype=bool)
        for strand in self.strands:
            if not above and not is_return(self.hang, strand):
                continue
            one, other = (
                ends.get(end.id if end.kind == "bar" else f"{end.id}|") for end in (strand.a, strand.b)
            )
            if one is not None and other is not None and (not above or self._feeds(strand)):
                found[one, other] = True
        for _ in range(3):  # and from there on
            found = found | (found @ found)
        return found[: len(self.index), : len(self.index)]

    def _feeds(self, strand: Strand) -> bool:
        return strand.b.kind == "block" or self.hang.above.get(strand.b.id, False)
