"""Columns of the sheet and the order of things in them, so that few lines cross.

Fields become columns; a field whose things feed one another in a row takes several. A line that passes a
column holds a place in it. The order is found by the means of the neighbours (barycentres, from one side and
from the other), ties by the plan; the best order met is kept, so the same plan gives the same sheet.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from .things import USED, Graph, Line, Thing

#: Most columns that one field may take.
MOST_RANKS = 5
_SWEEPS = 10


@dataclass(slots=True, eq=False)
class Port:
    """Where a line meets a slot, on its left or right; `y` is found later. [mm]"""

    slot: Slot
    line: Line
    side: str
    wire: str
    enters: bool
    y: float = 0.0


@dataclass(slots=True, eq=False)
class Slot:
    """A place in a column: of a thing, or of a line that passes."""

    key: str
    column: int
    order: tuple[int, int]
    thing: Thing | None = None
    block: str = ""
    lefts: list[Port] = field(default_factory=list)
    rights: list[Port] = field(default_factory=list)
    top: float = 0.0
    bottom: float = 0.0

    def port(self, line: Line, side: str, wire: str, enters: bool) -> Port:
        """Give the slot a further port."""
        made = Port(self, line, side, wire, enters)
        (self.lefts if side == "left" else self.rights).append(made)
        return made


@dataclass(slots=True, eq=False)
class Net:
    """A line's part in one channel between columns: its ports at the left and at the right side."""

    line: Line
    channel: int
    lefts: list[Port]
    rights: list[Port]

    @property
    def ports(self) -> list[Port]:
        """All ports."""
        return [*self.lefts, *self.rights]


@dataclass(slots=True, eq=False)
class Upright:
    """A line straight down between two neighbours of one column."""

    line: Line
    above: Slot
    below: Slot
    down: bool


@dataclass(slots=True)
class Columns:
    """All slots by column, in order from the top, and the nets of the channel after each column."""

    slots: list[list[Slot]]
    fields: list[int]
    nets: list[Net]
    uprights: list[Upright]


def arrange(graph: Graph) -> Columns:
    """Return the columns of a sheet with their slots in order."""
    column_of, fields = _column_of(graph)
    slots: list[list[Slot]] = [[] for _ in fields]
    by_id: dict[str, Slot] = {}
    for id, thing in graph.things.items():
        slot = Slot(id, column_of[id], (0 if thing.wired else 1, thing.order), thing)
        by_id[id] = slot
        slots[slot.column].append(slot)
    _block(graph, by_id)
    columns = Columns(slots, fields, [], [])
    inner = []
    for line in graph.lines:
        ends = [by_id[line.start], *(by_id[tip.thing] for tip in line.tips)]
        if len(ends) == 2 and ends[0].column == ends[1].column:
            inner.append(line)
        else:
            _lay(line, by_id, columns)
    for column in slots:
        column.sort(key=lambda slot: slot.order)
    _sort(columns)
    for line in inner:
        _lay_inner(line, by_id, columns)
    return columns


def _column_of(graph: Graph) -> tuple[dict[str, int], list[int]]:
    """Return the column of each thing, and the field of each column; each field has one at least."""
    rank = dict.fromkeys(graph.things, 0)
    order = sorted(graph.things.values(), key=lambda thing: thing.order)
    split = {1, 3}
    ahead: defaultdict[str, list[str]] = defaultdict(list)
    for line in graph.lines:
        for tip in line.tips:
            field = graph.things[line.start].field
            if not line.control and field in split and field == graph.things[tip.thing].field:
                ahead[line.start].append(tip.thing)
    done: set[str] = set()

    def depth(id: str, open_: tuple[str, ...]) -> int:
        if id in done or id in open_:
            return rank[id]
        deepest = max(
            (depth(n, (*open_, id)) + 1 for n in ahead[id] if n not in open_ and n != id), default=0
        )
        rank[id] = min(deepest, MOST_RANKS - 1)
        done.add(id)
        return rank[id]

    for thing in order:
        depth(thing.id, ())
    widths = [
        max((rank[t.id] + 1 for t in order if t.field == field), default=1) for field in range(USED + 1)
    ]
    first = [sum(widths[:field]) for field in range(USED + 1)]
    fields = [field for field in range(USED + 1) for _ in range(widths[field])]
    # Counted from the end of the field: what shares out stands next to what uses.
    return {t.id: first[t.field] + widths[t.field] - 1 - rank[t.id] for t in order}, fields


def _block(graph: Graph, by_id: Mapping[str, Slot]) -> None:
    """Mark things of a column that are to stand together: joined in the column, or loads of one run."""
    for line in graph.lines:
        tips = [by_id[tip.thing] for tip in line.tips]
        together = tips if len(tips) > 1 else [by_id[line.start], *tips]
        if len({slot.column for slot in together}) == 1:
            names = sorted({slot.block for slot in together if slot.block})
            name = names[0] if names else together[0].key
            for slot in by_id.values():
                if slot in together or (slot.block and slot.block in names):
                    slot.block = name


def _lay(line: Line, by_id: Mapping[str, Slot], columns: Columns) -> None:
    """Give a line its ports and its places in the columns between, and its nets."""
    start, tips = by_id[line.start], [by_id[tip.thing] for tip in line.tips]
    back = tips[0].column < start.column
    left = tips[0] if back else start
    right = [start] if back else tips
    begin = left.port(line, "right", line.tips[0].wire if back else "", enters=back)
    for column in range(left.column + 1, right[0].column):
        # What passes a column keeps near its start's place in the plan.
        passing = Slot(f"{line.start}>{line.tips[0].wire}", column, (0, line.order), None)
        columns.slots[column].append(passing)
        end = passing.port(line, "left", "", enters=False)
        columns.nets.append(Net(line, column - 1, [begin], [end]))
        begin = passing.port(line, "right", "", enters=False)
    wires = [""] if back else [tip.wire for tip in line.tips]
    ends = [slot.port(line, "left", wire, not back) for slot, wire in zip(right, wires, strict=True)]
    columns.nets.append(Net(line, right[0].column - 1, [begin], ends))


def _lay_inner(line: Line, by_id: Mapping[str, Slot], columns: Columns) -> None:
    """Lay a line within a column: straight down between neighbours, else around in the channel beside."""
    a, b = by_id[line.start], by_id[line.tips[0].thing]
    column = columns.slots[a.column]
    places = column.index(a), column.index(b)
    upright_at = {(u.above, u.below) for u in columns.uprights}
    above, below = (a, b) if places[0] < places[1] else (b, a)
    if abs(places[0] - places[1]) == 1 and (above, below) not in upright_at:
        columns.uprights.append(Upright(line, above, below, down=above is a))
        return
    last = a.column == len(columns.slots) - 1
    side, channel = ("left", a.column - 1) if last else ("right", a.column)
    ports = [a.port(line, side, "", enters=False), b.port(line, side, line.tips[0].wire, enters=True)]
    columns.nets.append(Net(line, channel, [] if last else ports, ports if last else []))


def _sort(columns: Columns) -> None:
    """Sort the slots of each column; the order with the fewest crossings that was met is kept."""
    best = [list(column) for column in columns.slots]
    fewest = count_crossings(columns)
    for sweep in range(_SWEEPS):
        order = range(len(columns.slots))
        leftward = sweep % 2 == 1
        for index in reversed(order) if leftward else order:
            _sort_column(index, columns, "right" if leftward else "left")
        crossed = count_crossings(columns)
        if crossed < fewest:
            fewest, best = crossed, [list(column) for column in columns.slots]
        if fewest == 0 and sweep >= 1:
            break
    columns.slots[:] = best
    _swap_neighbours(columns)


def _swap_neighbours(columns: Columns) -> None:
    """Swap neighbouring groups while that takes crossings away."""
    fewest = count_crossings(columns)
    for _ in range(3):
        before = fewest
        for column in columns.slots:
            if len(column) > 40:
                continue
            groups = _groups(column)
            for place in range(len(groups) - 1):
                if any(slot.thing and not slot.thing.wired for slot in groups[place + 1]):
                    continue
                groups[place : place + 2] = groups[place + 1], groups[place]
                column[:] = [slot for group in groups for slot in group]
                crossed = count_crossings(columns)
                if crossed < fewest:
                    fewest = crossed
                else:
                    groups[place : place + 2] = groups[place + 1], groups[place]
                    column[:] = [slot for group in groups for slot in group]
        if fewest == before:
            return


def _groups(column: Sequence[Slot]) -> list[list[Slot]]:
    """Return the slots of a column, those of one block together, at the place of the first."""
    groups: dict[str, list[Slot]] = {}
    for number, slot in enumerate(column):
        groups.setdefault(slot.block or f"#{number}", []).append(slot)
    return list(groups.values())


def _sort_column(index: int, columns: Columns, side: str) -> None:
    """Sort a column by the mean place of what its slots are joined to on one side."""
    column = columns.slots[index]
    places = {id(slot): place for other in columns.slots for place, slot in enumerate(other)}
    sums: defaultdict[int, list[float]] = defaultdict(list)
    for net in columns.nets:
        near, far = (net.rights, net.lefts) if side == "left" else (net.lefts, net.rights)
        for port in near:
            if port.slot.column == index and not _second(port):
                sums[id(port.slot)] += [places[id(other.slot)] for other in far]
    groups = _groups(column)

    def mean(group: Sequence[Slot]) -> float | None:
        found = [value for slot in group for value in sums.get(id(slot), ())]
        return sum(found) / len(found) if found else None

    keyed = []
    previous = -1.0
    for group in groups:
        here = mean(group)
        previous = here if here is not None else previous
        unwired = any(slot.thing is not None and not slot.thing.wired for slot in group)
        keyed.append(((unwired, previous), min(slot.order for slot in group), group))
    keyed.sort(key=lambda row: (row[0], row[1]))
    column[:] = [slot for row in keyed for slot in sorted(row[2], key=lambda slot: slot.order)]


def _second(port: Port) -> bool:
    """Say whether a thing that is used has an earlier line, which decides its place."""
    thing = port.slot.thing
    return thing is not None and thing.field == USED and port.slot.lefts[:1] != [port]


def count_crossings(columns: Columns) -> int:
    """Return how many pairs of lines change sides in the channels."""
    places = {id(slot): place for column in columns.slots for place, slot in enumerate(column)}
    by_channel: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)
    for net in columns.nets:
        for left in net.lefts:
            for right in net.rights:
                by_channel[net.channel].append((places[id(left.slot)], places[id(right.slot)]))
    return sum(_inversions(sorted(pairs)) for pairs in by_channel.values())


def _inversions(pairs: Sequence[tuple[int, int]]) -> int:
    return sum(
        pairs[i][0] < pairs[j][0] and pairs[i][1] > pairs[j][1]
        for i in range(len(pairs))
        for j in range(i + 1, len(pairs))
    )


def all_slots(columns: Columns) -> Iterator[Slot]:
    """Yield every slot, column by column."""
    for column in columns.slots:
        yield from column
