"""How high everything stands: rails above, boxes and loads in rows of their own, returns above the body rail.

Rows are fixed where they can be, so that a circuit more moves nothing that stands beside it. Where a sheet
is too full the wires between things are drawn shorter, never the things smaller.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from .crossings import Tracks
from .ends import BAR_CLEAR, Ends
from .spread import CLEAR, Placed, Put, clear_of, distributed, split_at_ports
from .stage import (
    ACROSS,
    BLOCK_ROW,
    BODY_RAIL,
    BOX_BAR,
    COMES_IN,
    PANEL_TOP,
    RAIL_PITCH,
    RAIL_TOP,
    STUD_BAR,
    Heights,
    Stage,
)
from .strands import LinkStep, WireStep
from .units import GOES, unit_of

_BAR_PITCH = 6.5
#: How much longer than need be the legs of a joint are, for the labels of two that stand side by side. [mm]
_LEGS = 7.0
#: How often bars may be moved off what they run through.
_ROUNDS = 8
#: Least lengths of wires, roomy first: with a label, next to a fuse, within a box. [mm]
_ROOM = (
    (14.0, 5.0, 5.0), (12.0, 4.5, 4.0), (9.2, 4.3, 3.6), (6.0, 4.3, 3.4), (4.6, 4.3, 3.4), (4.3, 4.3, 3.4),
)  # fmt: skip


def levels(stage: Stage) -> Heights:
    """Return all heights of a sheet, drawn as roomy as it allows: bars leave their rows last of all."""
    free = replace(stage, tracks=Tracks(stage.tracks.bars))
    settled: Heights | None = None
    for rows in (True, False):
        for one in (stage, free) if stage.tracks.apart else (stage,):
            for tight, room in enumerate(_ROOM):
                heights = _Solver(one, room, tight, rows).solve()
                if heights is not None and heights.clear:
                    return heights.laid()
                settled = settled or heights
    settled = settled or _Solver(stage, _ROOM[-1], len(_ROOM), rows=False).solve(force=True)
    assert settled is not None
    return settled.laid()


#: From an inner thing of a unit to its edge. [mm]
_INNER = 8.0


class _Solver(Ends):
    def __init__(self, stage: Stage, room: tuple[float, float, float], tight: int, rows: bool) -> None:
        super().__init__(stage, room)
        self.tight, self.rows = tight, rows
        self.taken: defaultdict[str, list[tuple[float, float]]] = defaultdict(list)

    def solve(self, *, force: bool = False) -> Heights | None:
        """Return the heights, None if there is too little room for them; with `force` the best there are.

        A bar that runs through a thing in another line is moved, as long as there is room for that.
        """
        found: Heights | None = None
        for _ in range(_ROUNDS):
            fits = self._solved()
            if not fits and not (force and found is None):
                break
            for placed in self.stage.strands:
                placed.puts = self._puts(placed)
            clear = not self._take()
            placed_now = [(placed, replace(placed)) for placed in self.stage.strands]
            found = Heights(
                dict(self.bars), dict(self.blocks), placed_now, dict(self.edges), clear, fits and clear
            )
            if clear:
                break
        return found

    def _solved(self) -> bool:
        """Work out the ends of everything; say whether there is room for all."""
        self._upper()
        self._lower()
        self._joints()
        fits = True
        for placed in self.stage.strands:
            placed.top, placed.bottom = self.top(placed.strand), self.foot(placed)
            if self.scattered(placed):
                placed.top = self.piece_above(placed)
            if placed.strand.b.kind == "open":
                wished = min(placed.bottom, placed.top + max(self.needs[id(placed)], 30.0))
                placed.bottom = max(wished, self.least_foot(placed, placed.top))
            if placed.strand.a.kind == "open":
                placed.top = max(RAIL_TOP, placed.bottom - max(self.needs[id(placed)], 30.0))
            short = placed.bottom < self.least_foot(placed, placed.top) - 0.01
            if short or (self.has_load(placed) and self.load_head(placed) < placed.top - 4.0):
                fits = False
        return fits and self._blocks_clear()

    def _take(self) -> bool:
        """Note where bars of the feed side run through things in other lines; say whether any does."""
        found = False
        for placed in self.stage.strands:
            things = [put for put in placed.puts if not isinstance(put.step, WireStep | LinkStep)]
            met = [
                (bar, put.top - clear_of(put.step), put.bottom + clear_of(put.step))
                for bar, _ in self.crossed(placed)
                for put in things
            ]
            if placed.strand.b.id in self.stage.scatter:  # a piece of a unit's minus bar lies there
                y = placed.bottom
                met += [(bar, y - CLEAR, y + CLEAR) for bar in self.over(placed.column)]
            for bar, top, bottom in met:
                if self.stage.above[bar] and top < self.bars[bar] - 0.01 and self.bars[bar] + 0.01 < bottom:
                    self.taken[bar].append((top, bottom))
                    found = True
        return found

    def _below_taken(self, bar: str) -> float:
        """Return how low a bar has to lie to be under what it was seen to run through."""
        y = self.bars[bar]
        for top, bottom in sorted(self.taken.get(bar, [])):
            if top + 0.01 < y < bottom - 0.01:
                y = bottom
        return y

    def _puts(self, placed: Placed) -> list[Put]:
        """Return the steps of a strand with their heights, ports on the edge of their unit."""
        foot, crossed = self.load_foot(placed.column), sorted(y for _, y in self.crossed(placed))
        if id(placed) not in self.parts:
            return distributed(placed, self.stage.part_height, self.room, foot, crossed)
        puts: list[Put] = []
        top = placed.top
        for part, port in split_at_ports(placed.strand):
            bottom = placed.bottom if port is None else self.edges[port.unit, port.upper]
            between = Placed(part, placed.column, top, bottom)
            puts += distributed(between, self.stage.part_height, self.room, foot, crossed)
            if port is not None:
                puts.append(Put(port, bottom, bottom))
            top = bottom
        return puts

    def _push_edges(self) -> bool:
        """Lower the edges of units so far that everything above their ports has room."""
        changed = False
        for placed in self.stage.strands:
            if id(placed) not in self.parts or self.scattered(placed):
                continue
            top = self.top(placed.strand)
            for length, port in self.parts[id(placed)]:
                top += length
                if port is not None:
                    key = (port.unit, port.upper)
                    top = min(top, STUD_BAR)
                    changed |= top > self.edges.get(key, 0.0) + 0.01
                    top = self.edges[key] = max(top, self.edges.get(key, 0.0))
        for (unit, upper), edge in list(self.edges.items()):
            if not upper:
                least = min(max(self.inner_feet(unit), default=COMES_IN) + _INNER, STUD_BAR)
                changed |= least > edge + 0.01
                self.edges[unit, False] = max(edge, least)
        return changed

    # the feed side, from above -----------------------------------------------------------------------

    def _upper(self) -> None:
        feed = [bar for bar in self.stage.tracks.bars if self.stage.above[bar]]
        at_bar: defaultdict[str, list[Placed]] = defaultdict(list)
        at_block: defaultdict[str, list[Placed]] = defaultdict(list)
        for placed in self.stage.strands:
            end = placed.strand.b
            if end.kind == "bar" and self.stage.above[end.id]:
                at_bar[end.id].append(placed)
            elif end.kind == "block":
                at_block[end.id].append(placed)
        for bar in feed:
            self.bars[bar] = self._default(bar)
        for block in self.stage.blocks:
            self.blocks[block] = RAIL_TOP if at_block[block] else PANEL_TOP
        for port in (port for parts in self.parts.values() for _, port in parts if port is not None):
            self.edges.setdefault((port.unit, port.upper), 0.0)
        for _ in range(len(feed) + len(self.blocks) + 3):
            changed = False
            for bar in feed:
                least = max((self.least_foot(p, self.top(p.strand)) for p in at_bar[bar]), default=0.0)
                changed |= self._raise_to(self.bars, bar, max(least, self._below_taken(bar)))
            for block in self.blocks:
                least = max((self.least_foot(p, self.top(p.strand)) for p in at_block[block]), default=0.0)
                roots = all(
                    p.strand.a.kind == "bar" and self.top(p.strand) < BOX_BAR for p in at_block[block]
                )
                in_row = roots and at_block[block] and self.tight < 3 and self.rows and not unit_of(block)
                row = BLOCK_ROW if in_row else 0.0
                changed |= self._raise_to(self.blocks, block, max(least, row))
                changed |= self._raise_to(self.blocks, block, self._clear_of_bars(block))
            changed |= self._apart(feed)
            for high, low in self.stage.tracks.apart:
                if self.stage.above[high]:
                    changed |= self._raise_to(self.bars, low, self.bars[high] + _BAR_PITCH)
            changed |= self._push_edges()
            for (unit, upper), edge in self.edges.items():
                for bar in feed if upper else ():
                    if unit_of(bar) == unit:
                        changed |= self._raise_to(self.bars, bar, edge + _INNER)
            if not changed:
                break

    def _clear_of_bars(self, block: str) -> float:
        """Return how low a block has to begin so that no feed bar passes through it."""
        y = self.blocks[block]
        foot = y + self.stage.block_height(block) + 3.0
        columns = self.stage.blocks[block]
        for bar, level in self.bars.items():
            span = self.stage.spans[bar]
            passes = self.stage.above[bar] and span[0] < columns[-1] and span[-1] > columns[0]
            if passes and y - 7.0 < level < foot and not self._hangs_from(block, bar):
                y = max(y, level + 8.0)
        return y

    def _hangs_from(self, block: str, bar: str) -> bool:
        """True for a bar that the lower edge of a block feeds."""
        return any(
            p.strand.a.kind == "block" and p.strand.a.id == block and p.strand.b.id == bar
            for p in self.stage.strands
        )

    def _raise_to(self, heights: dict[str, float], id: str, least: float) -> bool:
        """Lower a thing to a height, but never under the row of studs; say whether that moved it."""
        least = min(least, STUD_BAR)
        if heights[id] >= least - 0.01:
            return False
        heights[id] = least
        return True

    def _default(self, bar: str) -> float:
        if bar in self.stage.rail_step:
            return RAIL_TOP + RAIL_PITCH * self.stage.rail_step[bar]
        if not self.rows:
            return COMES_IN
        if bar.endswith(GOES) and bar not in self.stage.comes_in:
            return ACROSS
        return BOX_BAR if self.stage.kinds[bar] == "box" else COMES_IN

    def _apart(self, feed: list[str]) -> bool:
        """Move bars down that would lie on another one."""
        changed = False
        done: list[str] = []
        for bar in sorted(feed, key=lambda one: self.bars[one]):
            step = 9.0 if self.stage.kinds[bar] == "rail" else _BAR_PITCH
            while any(
                abs(self.bars[bar] - self.bars[other]) < step - 0.01 and self.overlap(bar, other)
                for other in done
            ):
                self.bars[bar] += step / 2
                changed = True
            done.append(bar)
        return changed

    # the return side, from below -------------------------------------------------------------------

    def _lower(self) -> None:
        stage = self.stage
        low = [bar for bar in stage.spans if not stage.above[bar]]
        down: defaultdict[str, list[Placed]] = defaultdict(list)
        for placed in stage.strands:
            if placed.strand.a.kind == "bar" and not stage.above[placed.strand.a.id]:
                down[placed.strand.a.id].append(placed)
        rank = {bar: place for place, bar in enumerate(stage.tracks.bars)}
        low.sort(key=lambda bar: rank.get(bar, len(rank)), reverse=True)  # studs and the body first
        for place, bar in enumerate(low):
            floor = self._floor(bar, down[bar])
            over = [self.bars[other] for other in low[:place] if self.meet(bar, other)]
            self.bars[bar] = min([floor, *(y - _BAR_PITCH for y in over if floor < BODY_RAIL)])

    def _floor(self, bar: str, down: list[Placed]) -> float:
        kind = self.stage.kinds[bar]
        if kind == "body":
            return BODY_RAIL
        if kind == "stud":
            return STUD_BAR
        floors = [self.bottom(p.strand) - self.needs[id(p)] for p in down]
        return min([STUD_BAR, *floors])

    def _blocks_clear(self) -> bool:
        """Say whether no block reaches down to a return bar that passes its columns."""
        return all(
            self.blocks[block] + self.stage.block_height(block) <= self.load_foot(column) + BAR_CLEAR - 4.0
            for block, columns in self.stage.blocks.items()
            for column in columns
        )

    def _joints(self) -> None:
        """Let joints of the feed side down to the loads that hang on them."""
        stage = self.stage
        for bar in reversed(stage.tracks.bars):
            if stage.kinds[bar] != "joint" or not stage.above[bar] or bar.endswith(GOES):
                continue
            under = [p for p in stage.strands if p.strand.a.kind == "bar" and p.strand.a.id == bar]
            more = 0.0 if self.tight or len(under) < 2 else _LEGS
            room = [self.load_head(p) - more for p in under]
            room += [self.bars[low] - _BAR_PITCH for up, low in stage.tracks.apart if up == bar]
            if room and not any(id(p) in self.parts for p in under):
                self.bars[bar] = max(self.bars[bar], self._free_level(bar, min(room)))

    def _free_level(self, bar: str, lowest: float) -> float:
        """Return how low a bar may lie at most where it meets no other bar and no block."""
        stage, y = self.stage, lowest
        span = stage.spans[bar]
        taken = [
            (level - _BAR_PITCH, level + _BAR_PITCH)
            for other, level in self.bars.items()
            if other != bar and stage.above[other] and self.overlap(bar, other)
        ]
        taken += [
            (top - 4.0, top + stage.block_height(block) + 4.0)
            for block, top in self.blocks.items()
            if span[0] < stage.blocks[block][-1] and span[-1] > stage.blocks[block][0]
        ]
        taken += self.taken.get(bar, [])
        for top, bottom in sorted(taken, key=lambda one: -one[1]):
            if top + 0.01 < y < bottom - 0.01:
                y = top
        return y
