"""Which column everything stands in: one column per upright line, in the order in which a reader goes.

Bars are taken in the order in which they are fed; on a bar first the sources and chargers, then the loads,
then what it feeds on, each with all that hangs on it. A box between two such trees stands between them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from .sides import Hang
from .strands import PortStep, Strand, WayStep
from .units import GOES, TURN, unit_of


@dataclass(slots=True)
class Column:
    """One column: its strands, and the blocks that reach over it, each with which of its columns this is."""

    strands: list[Strand] = field(default_factory=list)
    blocks: list[tuple[str, int]] = field(default_factory=list)
    free_ways: list[tuple[str, str]] = field(default_factory=list)  # box, words
    unwired: str = ""


@dataclass(slots=True)
class Cluster:
    """Columns that stay together, with the bar that they were placed for.

    `group` is 0 for what stands outside of units, 1 for what feeds one within, 2 for its ways. A cluster
    taken apart into what can move within it keeps its number in `family`.
    """

    columns: list[Column]
    bar: str
    group: int = 0
    family: int = -1


class _Placer:
    def __init__(self, hang: Hang) -> None:
        self.hang = hang
        self.kinds = {id: part.kind for id, part in hang.net.wiring.parts.items()}
        self.under: defaultdict[str, list[Strand]] = defaultdict(list)
        self.over: defaultdict[str, list[Strand]] = defaultdict(list)
        self.slots: dict[tuple[str, str, int], Strand] = {}
        for strand in hang.strands:
            for end, side in ((strand.a, self.under), (strand.b, self.over)):
                if end.kind == "bar":
                    side[end.id].append(strand)
                elif end.kind == "block":
                    self.slots[end.id, end.terminal, end.slot] = strand
        self.placed: set[int] = set()
        self.blocks_placed: set[str] = set()
        self.clusters: list[Cluster] = []
        self.tree = self._trees()
        self.rank = {tree: place for place, tree in enumerate(self._tree_order())}
        self.late = self._late()

    def place(self) -> list[Cluster]:
        for tree in self.rank:
            if tree in self.kinds:
                self._late_boxes()
                self._minus_of_unit(tree)
            for bar in self.hang.order:
                if self.tree.get(bar) == tree and self.hang.parent.get(bar, bar) not in self._same(bar, tree):
                    self._bar(bar, tree)
            for block in self.hang.edges:
                if tree in self._block_trees(block) and not self._boxes_of(block):
                    self._add(self._block(self.hang.stacked.get(block, block)), "")
        for strand in self.hang.strands:
            if not self._is_return(strand):
                self._add(self._strand(strand), "")
        for block in self.hang.edges:
            self._add(self._block(self.hang.stacked.get(block, block)), "")
        return self.clusters

    def _minus_of_unit(self, unit: str) -> None:
        """Place the leads that go down from the minus of a unit, and signals that end in it: at its left."""
        for strand in self.hang.strands:
            minus = (
                strand.a.id in self.hang.scatter and unit_of(strand.a.id) == unit and strand.b.kind == "bar"
            )
            signal = strand.b.kind == "open" and unit_of(strand.b.id) == unit and strand.a.id.endswith(GOES)
            if minus or signal:
                self._add(self._strand(strand), "")

    def _panels(self, unit: str) -> None:
        """Place the control panels whose cables go to a unit."""
        for block in self.hang.edges:
            far = {
                unit_of(end.id) for (id, _, _), s in self.slots.items() if id == block for end in (s.a, s.b)
            }
            if self.kinds.get(block) == "control_panel" and unit in far:
                self._add(self._block(block), "")

    def _late(self) -> list[str]:
        """Return the boxes that feed units, the ones nearest to the leisure battery first."""
        fed = {s.a.id for s in self.hang.strands if s.b.id.endswith(GOES)}
        return [bar for bar in self.hang.order[::-1] if bar in fed and not unit_of(bar) and self._is_box(bar)]

    def _is_box(self, bar: str) -> bool:
        return self.hang.bars[bar] == "box" and bar in self.hang.parent

    def _boxes_of(self, block: str) -> set[str]:
        """Return the boxes feeding units that a block hangs on."""
        found = set()
        for (id, _, _), strand in self.slots.items():
            if id == block:
                found |= {end.id for end in (strand.a, strand.b) if end.kind == "bar" and end.id in self.late}
        return found

    def _late_boxes(self) -> None:
        """Place the boxes that feed units just before these, with what hangs between them."""
        for place, bar in enumerate(self.late):
            blocks = [block for block in self.hang.edges if self._boxes_of(block)]
            for block in blocks:
                if self._boxes_of(block) == {bar}:
                    self._add(self._block(self.hang.stacked.get(block, block)), bar)
            for strand in self.over[bar]:
                self._add(self._strand(strand), bar)
            self._bar(bar, self.tree[bar])
            following = set(self.late[place + 1 :])
            for block in blocks:
                if bar in self._boxes_of(block) and self._boxes_of(block) & following:
                    self._add(self._block(self.hang.stacked.get(block, block)), bar)
        self.late = []
        for strand in self.hang.strands:
            if strand.b.id.endswith(GOES) and id(strand) not in self.placed:
                self.placed.add(id(strand))
                self._add([Column([strand])], strand.a.id)

    def _same(self, bar: str, tree: str) -> set[str]:
        """Return the parent if it is of the same tree: then it places its child itself."""
        parent = self.hang.parent.get(bar)
        return {parent} if parent is not None and self.tree.get(parent) == tree else set()

    def _trees(self) -> dict[str, str]:
        """Return the tree of each feed bar: the unit it lies in, else the rail that its feed comes from."""
        trees: dict[str, str] = {}
        for bar in self.hang.order:
            parent = self.hang.parent.get(bar)
            if bar.endswith(GOES):
                trees[bar] = GOES
                continue
            trees[bar] = unit_of(bar) or (trees.get(parent, bar) if parent else bar)
        return trees

    def _tree_order(self) -> list[str]:
        found = [tree for tree in dict.fromkeys(self.tree[bar] for bar in self.hang.order) if tree != GOES]
        return sorted(found, key=lambda tree: tree in self.kinds)  # units last

    def _block_trees(self, block: str) -> set[str]:
        upper, lower = self.hang.edges[block]
        found = set()
        for slot in (*upper, *lower):
            strand = self.slots.get((block, *slot))
            for end in (strand.a, strand.b) if strand else ():
                if end.kind == "bar" and self.hang.above[end.id]:
                    found.add(self.tree[end.id])
        unit = unit_of(block)
        return {unit} if unit and unit in self.rank else found

    def _is_return(self, strand: Strand) -> bool:
        """True for a strand between two return bars: it finds its column when all others have theirs."""
        return is_return(self.hang, strand)

    def _add(self, columns: list[Column], bar: str) -> None:
        if columns:
            self.clusters.append(Cluster(columns, bar, self._group(columns)))

    def _group(self, columns: list[Column]) -> int:
        """Return 0 for what stands outside of units, 1 for what feeds one within, 2 for its ways."""
        strands = [strand for column in columns for strand in column.strands]
        ports = [step for strand in strands for step in strand.steps if isinstance(step, PortStep)]
        ends = [end.id for strand in strands for end in (strand.a, strand.b)]
        if not ports and not any(unit_of(end) for end in ends):
            return 0
        feeds = any(strand.b.kind == "bar" and self.hang.bars.get(strand.b.id) == "box" for strand in strands)
        lead = any(strand.a.id in self.hang.scatter and strand.b.kind == "bar" for strand in strands)
        return 2 if feeds or (any(not port.upper for port in ports) and not lead) else 1

    def _bar(self, bar: str, tree: str) -> None:
        """Place what hangs under a bar, then the bars that it feeds."""
        if tree in self.kinds and not self._is_joint(bar):
            self._panels(tree)
        hanging = sorted(self.under[bar], key=lambda strand: self._rule(strand))
        for strand in hanging:
            child = strand.b.id if strand.b.kind == "bar" and self.hang.above[strand.b.id] else ""
            if child in self.late:
                continue
            if child.endswith(GOES) and self.hang.bars[bar] != "box":
                continue  # it comes last, next to the unit
            if child.endswith(GOES):  # it runs across to a port of its unit
                self.placed.add(id(strand))
                self._add([Column([strand])], bar)
                continue
            if child and self.tree[child] != tree:
                continue
            if strand.b.kind == "block" and self._waits(strand.b.id, tree):
                continue
            self._add(self._strand(strand), bar)
            if child and child != bar and not self._is_joint(child):
                self._bar(child, tree)

    def _waits(self, block: str, tree: str) -> bool:
        root = self.hang.stacked.get(block, block)
        return len(self._block_trees(root)) > 1 or self._block_trees(root) == {unit_of(root)} - {tree, ""}

    def _rule(self, strand: Strand) -> tuple[int, int]:
        """Return the place of a strand under its bar: sources, chargers, loads, what is fed on."""
        way = next((int(step.way) for step in strand.steps if isinstance(step, WayStep) and step.way), 0)
        kinds = {self.kinds[part] for part in strand.parts()}
        if strand.b.kind == "block":
            kinds.add(self.kinds.get(strand.b.id, ""))
        feeds_on = strand.b.kind == "bar" and self.hang.above[strand.b.id]
        if feeds_on and not self._is_joint(strand.b.id):
            kinds = {"feed"}
        if unit_of(strand.a.id) and self._leaves_unit(strand):
            return 15, way
        order = ("alternator", "vehicle_battery", "battery", "solar_regulator", "mains_charger")
        rule = next((place for place, kind in enumerate(order) if kind in kinds), len(order))
        return (20 if "feed" in kinds else rule, way)

    def _strand(self, strand: Strand) -> list[Column]:
        """Return the columns of a strand and of all that has to stand beside it."""
        if id(strand) in self.placed:
            return []
        if strand.a.kind == "block":
            return self._block(self.hang.stacked.get(strand.a.id, strand.a.id))
        if strand.b.kind == "block":
            return self._block(self.hang.stacked.get(strand.b.id, strand.b.id))
        self.placed.add(id(strand))
        for end in (strand.b, strand.a):
            if end.kind == "bar" and self._is_joint(end.id):
                columns = self._joint(end.id)
                if columns:
                    self._beside(columns, strand)
                    return [*columns, *self._back(strand)]
        return [Column([strand]), *self._back(strand)]

    def _back(self, strand: Strand) -> Iterator[Column]:
        """Yield the column of the return that goes up again beside its load."""
        for other in self.hang.strands if strand.b.kind == TURN else ():
            if other is not strand and other.b == strand.b and id(other) not in self.placed:
                self.placed.add(id(other))
                yield Column([other])

    def _leaves_unit(self, strand: Strand) -> bool:
        """True for a way of a unit: it goes out by the lower edge, itself or by a contact of its own."""
        if any(isinstance(step, PortStep) and not step.upper for step in strand.steps):
            return True
        block = strand.b.id if strand.b.kind == "block" else ""
        lower = self.hang.edges[block][1] if block else ()
        ways = [self.slots.get((block, *slot)) for slot in lower]
        return any(isinstance(step, PortStep) and not step.upper for way in ways if way for step in way.steps)

    def _is_joint(self, bar: str) -> bool:
        """True for a joint, and for the tap between two batteries in series: their columns stay together."""
        return self.hang.above[bar] and (
            (self.hang.bars[bar] == "joint" and not bar.endswith(GOES)) or is_tap(self.hang, bar)
        )

    def _joint(self, joint: str) -> list[Column]:
        """Return the columns of all that hangs on a joint; its feeds share them from the left."""
        columns: list[Column] = []
        for strand in sorted(self.under[joint], key=self._rule):
            columns += self._strand(strand)
        for strand in self.over[joint]:
            if id(strand) not in self.placed and strand.a.kind == "block":
                columns = self._strand(strand) + columns
            elif id(strand) not in self.placed:
                self.placed.add(id(strand))
                self._beside(columns, strand)
        return columns

    def _beside(self, columns: list[Column], strand: Strand) -> None:
        """Put a strand over the first of some columns that is still free above."""
        joint = strand.b.id if strand.b.kind == "bar" else ""
        for column in columns:
            starts = any(one.a.kind == "bar" and one.a.id == joint for one in column.strands)
            taken = any(one.b.kind == "bar" and one.b.id == joint for one in column.strands)
            if starts and not taken:
                column.strands.insert(0, strand)
                return
        columns.append(Column([strand]))

    def _block(self, block: str) -> list[Column]:
        """Return the columns of a block, with those of blocks that hang under it."""
        if block in self.blocks_placed:
            return []
        self.blocks_placed.add(block)
        upper, lower = self.hang.edges[block]
        columns = [Column() for _ in range(max(len(upper), len(lower), self._least(block)))]
        shift = max(0, len(upper) - len(lower)) if self.kinds.get(block) == "b2b" else 0
        if block in self.hang.net.blocks and self.hang.net.blocks[block].members:
            shift = len(columns) - 1
        joined: list[Column] = []
        for place, slot in enumerate(upper):
            self._slot(columns, place, block, slot, joined)
        for place, slot in enumerate(lower):
            strand = self.slots.get((block, *slot))
            child = strand.b.id if strand and strand.b.kind == "block" else ""
            if child and self.hang.stacked.get(child) == block:
                self._hung(columns, place + shift, child, joined)
            else:
                self._slot(columns, place + shift, block, slot, joined)
        for place, column in enumerate(columns):
            column.blocks.insert(0, (block, place))
        return columns + joined

    def _least(self, block: str) -> int:
        found = self.hang.net.blocks[block]
        return len(found.members) + 1 if found.members else 1

    def _slot(
        self, columns: list[Column], place: int, block: str, slot: tuple[str, int], joined: list[Column]
    ) -> None:
        strand = self.slots.get((block, *slot))
        if strand is None or id(strand) in self.placed:
            return
        self.placed.add(id(strand))
        columns[place].strands.append(strand)
        for end in (strand.a, strand.b):
            if end.kind == "bar" and self._is_joint(end.id):
                joined += self._joint(end.id)

    def _hung(self, columns: list[Column], place: int, child: str, joined: list[Column]) -> None:
        """Hang a block under the columns from `place` on."""
        first = child not in self.blocks_placed
        if not first:
            return
        self.blocks_placed.add(child)
        upper, lower = self.hang.edges[child]
        while len(columns) < place + max(len(upper), len(lower)):
            columns.append(Column())
        for offset, slot in enumerate(upper):
            self._slot(columns, place + offset, child, slot, joined)
        for offset, slot in enumerate(lower):
            self._slot(columns, place + offset, child, slot, joined)
        for offset in range(max(len(upper), len(lower))):
            columns[place + offset].blocks.append((child, offset))


def is_tap(hang: Hang, bar: str) -> bool:
    """True for the rail between two batteries in series."""
    kinds = hang.net.wiring.parts
    return hang.bars[bar] == "rail" and any(
        strand.b.kind == "bar"
        and strand.b.id == bar
        and any(kinds[part].kind in ("battery", "vehicle_battery") for part in strand.parts())
        for strand in hang.strands
    )


def is_return(hang: Hang, strand: Strand) -> bool:
    """True for a strand between two return bars that are drawn whole."""
    ends = (strand.a, strand.b)
    return all(end.kind == "bar" and not hang.above[end.id] and end.id not in hang.scatter for end in ends)


def return_strands(hang: Hang) -> Iterator[Strand]:
    """Yield the strands between two return bars, those nearest to the loads first."""
    for strand in hang.strands:
        if is_return(hang, strand):
            yield strand


def place_columns(hang: Hang) -> list[Cluster]:
    """Return the clusters of columns from left to right."""
    return _Placer(hang).place()
