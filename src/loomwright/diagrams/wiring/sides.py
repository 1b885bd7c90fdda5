"""Which way is up: the feed side above, the return side below, for every bar, block and strand.

A terminal of a block stands on its upper or its lower edge; a strand runs from its upper to its lower end.
Where two terminals that face the same way are wired to each other, a joint is put between them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .poles import CONTACTS, bar_sides, feeds, is_minus, passes
from .rings import ring_closers
from .strands import Block, End, Net, PartStep, Strand, WireStep

#: Terminals in the order in which they stand, from the left: upper edge | lower edge.
EDGES: Mapping[str, str] = {
    "b2b": "signal probe panel in out | minus",
    "solar_regulator": "battery second | battery_minus panel panel_minus",
    "mains_charger": "plus second | minus",
    "converter": "in out | minus out_minus",
    "inverter": "plus remote | minus case",
    "inverter_charger": "plus remote | minus case",
    "solar_panel": "plus minus | ",
    "sensing_relay": "a b | minus",
    "equaliser": "plus mid | minus",
    "low_voltage_cut": "in | out minus",
}


@dataclass(frozen=True, slots=True)
class Hang:
    """How everything hangs: strands from top to bottom, bars with their side, blocks with their edges.

    Attributes
    ----------
    strands : tuple of Strand
        `a` is the upper end, `b` the lower one.
    above : mapping
        Bar -> whether it belongs to the feed side.
    parent : mapping
        Feed bar -> the feed bar that a strand brings its feed from.
    order : tuple of str
        Feed bars, those that feed others before them.
    edges : mapping
        Block -> the slots on its upper edge and those on its lower edge, each (terminal, slot).
    stacked : mapping
        Block -> the block beneath whose lower edge it hangs.
    """

    net: Net
    strands: tuple[Strand, ...]
    above: Mapping[str, bool]
    parent: Mapping[str, str]
    order: tuple[str, ...]
    edges: Mapping[str, tuple[tuple[tuple[str, int], ...], tuple[tuple[str, int], ...]]]
    stacked: Mapping[str, str]
    bars: Mapping[str, str]
    to_body: Mapping[str, int]
    scatter: frozenset[str] = frozenset()


class _Hanger:
    def __init__(self, net: Net) -> None:
        self.net = net
        self.kinds = {id: part.kind for id, part in net.wiring.parts.items()}
        self.above = bar_sides(net, self.kinds)
        self.parent, self.order = feeds(net, self.above, self.kinds)
        self.bars = dict(net.bars)
        self.to_body = self._to_body()
        self.at: dict[tuple[str, str, int], Strand] = {}
        self.turned: set[tuple[str, str, int]] = set()
        for strand in net.strands:
            for end in (strand.a, strand.b):
                if end.kind == "block":
                    self.at[end.id, end.terminal, end.slot] = strand

    def _to_body(self) -> dict[str, int]:
        """Return how many strands lie between each return bar and the body or the minus of a battery."""
        near: defaultdict[str, list[str]] = defaultdict(list)
        for strand in self.net.strands:
            a, b = strand.a, strand.b
            if a.kind == b.kind == "bar" and not self.above[a.id] and not self.above[b.id]:
                near[a.id].append(b.id)
                near[b.id].append(a.id)
        far = {bar: 0 for bar, kind in self.net.bars.items() if kind in ("stud", "body")}
        for id, kind in self.kinds.items():
            if kind in ("battery", "vehicle_battery") and f"{id}.minus" in self.net.bars:
                far[f"{id}.minus"] = 1
        queue = sorted(far, key=lambda bar: far[bar])
        while queue:
            bar = queue.pop(0)
            for other in near[bar]:
                if other not in far:
                    far[other] = far[bar] + 1
                    queue.append(other)
        return far

    def hang(self) -> Hang:
        upper = {block.part: self._upper(block) for block in self.net.blocks.values()}
        while True:
            stacked = self._stacked(upper)
            strands = [part for strand in self.net.strands for part in self._oriented(strand, upper, stacked)]
            if not self._opened(strands, upper):
                break
        edges = {
            block.part: (
                tuple(slot for slot in self._slots(block) if slot in upper[block.part]),
                self._lower(
                    [slot for slot in self._slots(block) if slot not in upper[block.part]], block, stacked
                ),
            )
            for block in self.net.blocks.values()
        }
        return Hang(
            self.net,
            tuple(strands),
            self.above,
            self.parent,
            tuple(self.order),
            edges,
            stacked,
            self.bars,
            self.to_body,
        )

    def _opened(self, strands: list[Strand], upper: Mapping[str, set[tuple[str, int]]]) -> bool:
        """Open rings of feeds at the edges of blocks; say whether there were any.

        A line that leads back up to what feeds its block changes over to the block's other edge.
        """
        changed = False
        for place in ring_closers(strands, self.above, self.order):
            for end in (strands[place].a, strands[place].b):
                slot = end.id, end.terminal, end.slot
                if end.kind == "block" and slot not in self.turned:
                    self.turned.add(slot)
                    upper[end.id] ^= {slot[1:]}
                    changed = True
                    break
        return changed

    def _kind(self, block: Block) -> str:
        return "two_way_pair" if block.members else self.kinds[block.part]

    def _slots(self, block: Block) -> list[tuple[str, int]]:
        """Return the slots of a block in the order in which they stand."""
        known = EDGES.get(self._kind(block), "").replace("|", "").split()
        rank = {terminal: place for place, terminal in enumerate(known)}
        if self._kind(block) == "relay":
            rank = {"86": 0, "85": 0, "30": 1, "87": 2, "87a": 3}
        if self._kind(block) == "control_panel":
            rank = {"plus": 0, "minus": 99}
        found = [(terminal, slot) for terminal, count in block.ends for slot in range(count)]
        return sorted(found, key=lambda one: rank.get(one[0], 50))

    def _lower(
        self, slots: list[tuple[str, int]], block: Block, stacked: Mapping[str, str]
    ) -> tuple[tuple[str, int], ...]:
        """Return the slots of a lower edge, those side by side from which another block hangs."""
        hung = [
            (strand := self.at.get((block.part, *slot))) is not None
            and any(end.kind == "block" and stacked.get(end.id) == block.part for end in (strand.a, strand.b))
            for slot in slots
        ]
        if True not in hung:
            return tuple(slots)
        last = len(hung) - 1 - hung[::-1].index(True)
        before = [slot for slot, is_hung in zip(slots[:last], hung[:last], strict=True) if not is_hung]
        side_by_side = [slot for slot, is_hung in zip(slots, hung, strict=True) if is_hung]
        return (*before, *side_by_side, *slots[last + 1 :])

    def _upper(self, block: Block) -> set[tuple[str, int]]:
        """Return the slots on the upper edge of a block."""
        kind = self._kind(block)
        if block.members:
            first = block.ends[0][0]
            start = self.at.get((block.part, first, 0))
            swapped = start is not None and self._far_side(start, block.part) is False
            return {(block.ends[-1 if swapped else 0][0], 0)}
        names = EDGES.get(kind, " | ").partition("|")[0].split()
        upper: set[tuple[str, int]] = set()
        if kind == "control_panel" and self._serves_unit(block.part):
            return upper
        for terminal, slot in self._slots(block):
            strand = self.at.get((block.part, terminal, slot))
            side = None if strand is None else self._far_side(strand, block.part)
            up = terminal in names if kind in EDGES else not is_minus(terminal)
            if side is not None:
                up = side
            if kind in CONTACTS and strand is not None and side is not False and terminal not in ("85", "86"):
                up = self._on_rail(strand) or not self._leaves(strand, block.part, terminal)
            if up:
                upper.add((terminal, slot))
        return upper

    def _serves_unit(self, panel: str) -> bool:
        """True for a control panel whose cable goes to a combined unit: it stands above the unit."""
        return any(
            end.kind == "block"
            and end.id == panel
            and any("/" in piece.run or "/" in far.id for piece in s.pieces())
            for s in self.net.strands
            for end, far in ((s.a, s.b), (s.b, s.a))
        )

    def _on_rail(self, strand: Strand) -> bool:
        """True if the strand leads to the rail of a battery or of a feed of the vehicle."""
        return any(end.kind == "bar" and self.net.bars[end.id] == "rail" for end in (strand.a, strand.b))

    def _far_side(self, strand: Strand, block: str) -> bool | None:
        """Return the side of the bar at the other end, None if there is none or a load lies between."""
        far = strand.b if strand.a.id == block and strand.a.kind == "block" else strand.a
        if far.kind != "bar":
            return None
        return self.above[far.id]

    def _leaves(self, strand: Strand, block: str, terminal: str) -> bool:
        """True if the feed leaves the block at this terminal, by the direction in which it was typed."""
        at_start = strand.a.kind == "block" and strand.a.id == block and strand.a.terminal == terminal
        steps = strand.steps if at_start else strand.steps[::-1]
        point = terminal if "." in terminal else f"{block}.{terminal}"
        piece = next((step.piece for step in steps if isinstance(step, WireStep)), None)
        return piece is not None and piece.a == point

    def _stacked(self, upper: Mapping[str, set[tuple[str, int]]]) -> dict[str, str]:
        """Return the blocks whose upper edge hangs wholly on the lower edge of one other block."""
        found: dict[str, str] = {}
        for block in self.net.blocks.values():
            hosts = set()
            for terminal, slot in upper[block.part]:
                strand = self.at.get((block.part, terminal, slot))
                far = None if strand is None else strand.b if strand.a.id == block.part else strand.a
                low = (
                    far is not None
                    and far.kind == "block"
                    and far.id != block.part
                    and (far.terminal, far.slot) not in upper[far.id]
                )
                hosts.add(far.id if low and far is not None else "")
            host = hosts.pop() if len(hosts) == 1 else ""
            if host and host not in found and block.part not in found.values():
                found[block.part] = host
        return found

    def _oriented(
        self, strand: Strand, upper: Mapping[str, set[tuple[str, int]]], stacked: Mapping[str, str]
    ) -> Iterable[Strand]:
        """Yield the strand from top to bottom; two where a joint has to be put in."""
        places = [self._place(end, upper) for end in (strand.a, strand.b)]
        if strand.a.kind == strand.b.kind == "block":
            pair = {stacked.get(strand.a.id) == strand.b.id, stacked.get(strand.b.id) == strand.a.id}
            if places[0] == places[1] or True not in pair:
                return self._jointed(strand, places, _middle(strand))
            return [strand if places[0] == "over" else strand.turned()]
        if places[0] == places[1] == "feed":
            return [strand if self._first(strand) else strand.turned()]
        if places[0] == places[1] == "return" and (summit := _summit(strand, self.kinds)) is not None:
            return self._jointed(strand, ["under", "under"], summit)
        if places[0] == places[1] == "return":
            far = [self.to_body.get(end.id, 0) for end in (strand.a, strand.b)]
            return [strand if far[0] >= far[1] else strand.turned()]
        height = {"feed": 0, "over": 1, "open": 2, "under": 3, "return": 4}
        if places == ["over", "feed"] or places == ["feed", "over"]:  # a contact that feeds a bar below
            return [strand if places[0] == "over" else strand.turned()]
        return [strand if height[places[0]] <= height[places[1]] else strand.turned()]

    def _place(self, end: End, upper: Mapping[str, set[tuple[str, int]]]) -> str:
        """Return where an end lies: on a feed bar, a return bar, at a block over or under the strand."""
        if end.kind == "bar":
            return "feed" if self.above[end.id] else "return"
        if end.kind == "open":
            return "open"
        return "under" if (end.terminal, end.slot) in upper[end.id] else "over"

    def _first(self, strand: Strand) -> bool:
        if strand.a.id == strand.b.id:
            return True
        if self.parent.get(strand.b.id) == strand.a.id:
            return True
        if self.parent.get(strand.a.id) == strand.b.id:
            return False
        return self.order.index(strand.a.id) < self.order.index(strand.b.id)

    def _jointed(self, strand: Strand, places: list[str], at: int) -> list[Strand]:
        joint = f"{strand.key}^"
        feed = not is_minus(strand.a.terminal) and not is_minus(strand.b.terminal)
        self.bars[joint] = "joint"
        self.above[joint] = places != ["over", "over"] and (feed or "under" in places)
        if self.above[joint] and joint not in self.order:
            self.order.append(joint)
        middle = End("bar", joint)
        first = Strand(strand.key, strand.a, middle, strand.steps[: at + 1])
        second = Strand(strand.key, middle, strand.b, strand.steps[at:])
        if places[0] == "under":
            first = first.turned()
        if places[1] == "over":
            second = second.turned()
        return [first, second]


def _middle(strand: Strand) -> int:
    """Return the index of the wire nearest to the middle of a strand."""
    wires = [index for index, step in enumerate(strand.steps) if isinstance(step, WireStep)]
    return min(wires, key=lambda index: abs(index - len(strand.steps) / 2))


def _summit(strand: Strand, kinds: Mapping[str, str]) -> int | None:
    """Return the index of a wire on the feed side of a strand both of whose ends are on the return side."""
    minus = True
    for index, step in enumerate(strand.steps):
        if isinstance(step, PartStep) and not passes(kinds[step.part], step):
            minus = not minus
        elif isinstance(step, WireStep) and not minus:
            return index
    return None


def hang(net: Net) -> Hang:
    """Return how the bars, blocks and strands of a plan hang between feed and body."""
    return _Hanger(net).hang()
