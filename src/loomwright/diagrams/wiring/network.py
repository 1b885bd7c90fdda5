"""Takes the wiring of the 12/24 V side apart into bars, blocks and strands (see `strands`)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass, field

from loomwright.plan.kinds import KINDS, is_consumer, terminals
from loomwright.plan.model import Part
from loomwright.plan.pieces import BODY, Piece, Spot, Wiring

from .strands import (
    Block,
    DotStep,
    End,
    FuseStep,
    LinkStep,
    Net,
    PartStep,
    Step,
    Strand,
    WayStep,
    WireStep,
)
from .two_way import two_way_pairs

#: Kinds that are bars by themselves.
BAR_KINDS = ("busbar", "splice")
#: Kinds that never stand on this sheet.
_ELSEWHERE = ("standby", "hook_up_lead", "unit")
#: Parts that a current passes, by their passages; a second pole is a passage of its own.
PASSAGES: Mapping[str, tuple[tuple[str, str], ...]] = {
    "switch": (("in", "out"), ("in_2", "out_2"), ("coil_plus", "coil_minus")),
    "master_switch": (("in", "out"), ("in_2", "out_2"), ("coil_plus", "coil_minus")),
    "shunt": (("load", "battery"),),
    "diode": (("a", "k"),),
    "dimmer": (("in", "out"),),
    "low_voltage_cut": (("in", "out"),),
    "two_way": (("com", "a"), ("com", "b")),
    "relay": (("30", "87"), ("30", "87a"), ("86", "85")),
    "sender": (("signal", "minus"),),
}


@dataclass(slots=True)
class _Edge:
    """A wire or a passage between two points; used once."""

    a: str
    b: str
    piece: Piece | None = None
    part: str = ""
    way: str = ""
    link: bool = False
    used: bool = False


@dataclass(slots=True)
class _Builder:
    wiring: Wiring
    boxed: frozenset[str]
    missing: Set[tuple[str, str]]
    at: dict[str, list[_Edge]] = field(default_factory=dict)
    bars: dict[str, str] = field(default_factory=dict)
    blocks: dict[str, Block] = field(default_factory=dict)
    slots: dict[tuple[str, str], int] = field(default_factory=dict)
    wires_at: dict[str, int] = field(default_factory=dict)
    in_block: dict[str, str] = field(default_factory=dict)
    boxes: set[str] = field(default_factory=set)

    def build(self) -> Net:
        pieces = list(_low_pieces(self.wiring))
        for piece in pieces:
            for point in (piece.a, piece.b):
                self.wires_at[point] = self.wires_at.get(point, 0) + 1
        pairs = two_way_pairs(self.wiring, pieces, self.wires_at)
        hidden = {piece.id for block in pairs for piece in block.travellers}
        unwired = tuple(id for id in self.wiring.parts if not self._part(id, pairs))
        for piece in pieces:
            if piece.id not in hidden:
                self._edge(_Edge(piece.a, piece.b, piece=piece))
        self._name_bars()
        strands = tuple(self._strands(pieces))
        return Net(self.wiring, self.bars, self.blocks, strands, unwired)

    def _edge(self, edge: _Edge) -> None:
        self.at.setdefault(edge.a, []).append(edge)
        self.at.setdefault(edge.b, []).append(edge)

    # parts -------------------------------------------------------------------------------------------

    def _wired(self, id: str) -> dict[str, int]:
        """Return the terminals of a part that have wires, with how many."""
        part = self.wiring.parts[id]
        if part.kind == "plug":
            names = [f"{pin}{half}" for pin in _pins(part, id, self.wires_at) for half in "<>"]
        elif part.kind in ("fuse_box", "tow_socket"):
            names = [*terminals(part), *_pins(part, id, self.wires_at)]
        else:
            names = list(terminals(part))
        counts = {name: self.wires_at.get(f"{id}.{name}", 0) for name in dict.fromkeys(names)}
        return {name: count for name, count in counts.items() if count}

    def _part(self, id: str, pairs: list[Block]) -> bool:
        """Make the edges or the block of a part; return whether it is wired on this side."""
        part = self.wiring.parts[id]
        if part.kind in _ELSEWHERE or "*" in KINDS[part.kind].mains:
            return True
        if part.kind in BAR_KINDS:
            return id in self.wires_at
        pair = next((pair for pair in pairs if id in pair.members), None)
        if pair is not None:
            self._block(pair.part, pair)
            return True
        wired = self._wired(id)
        if part.kind in ("battery", "vehicle_battery", "alternator", "vehicle_feed"):
            return self._source(id, part, wired)
        if not wired:
            return part.wired is not True  # parts that are said to have no wires are not drawn
        if part.kind == "fuse_box":
            self._fuse_box(id, part, wired)
        elif part.kind == "plug":
            for pin in dict.fromkeys(name[:-1] for name in wired):
                self._edge(_Edge(f"{id}.{pin}<", f"{id}.{pin}>", part=id))
        elif id not in self.boxed and (inline := self._inline(part, wired)) is not None:
            for first, second in inline:
                self._edge(_Edge(f"{id}.{first}", f"{id}.{second}", part=id))
        else:
            if id not in self.boxed:
                self._apart_coil(id, part, wired)
            self._block(id, Block(id, tuple(wired.items())))
        return True

    def _apart_coil(self, id: str, part: Part, wired: dict[str, int]) -> None:
        """Let the coil of a change-over relay stand in a column of its own."""
        if part.kind == "relay" and {"85", "86"} <= set(wired) and wired["85"] == wired["86"] == 1:
            self._edge(_Edge(f"{id}.86", f"{id}.85", part=id))
            del wired["85"], wired["86"]

    def _inline(self, part: Part, wired: Mapping[str, int]) -> list[tuple[str, str]] | None:
        """Return the passages of a part that can stand in a column, None if it needs a block."""
        pairs = PASSAGES.get(part.kind)
        if pairs is None:
            plain = set(wired) <= {"plus", "minus"} and (is_consumer(part.kind) or max(wired.values()) == 1)
            return [("plus", "minus")] if plain and part.kind != "solar_panel" else None
        if part.kind == "relay" and "87a" in wired:
            return None
        if part.kind == "two_way" and {"a", "b"} <= set(wired):
            return None
        used = [pair for pair in pairs if set(pair) & set(wired)]
        if part.kind == "relay":
            used = [pair for pair in used if pair != ("30", "87a")]
        if part.kind == "two_way":
            used = [pair for pair in used if pair[1] in wired] or used[:1]
        covered = {terminal for pair in used for terminal in pair}
        return used if set(wired) <= covered else None

    def _block(self, id: str, block: Block) -> None:
        self.blocks[id] = block
        for terminal, _ in block.ends:
            self.in_block[terminal if block.members else f"{id}.{terminal}"] = id

    def _source(self, id: str, part: Part, wired: Mapping[str, int]) -> bool:
        if part.kind == "vehicle_feed":
            if wired:
                self.bars[f"{id}.plus"] = "rail"
            return bool(wired) or part.wired is not True
        if part.kind == "alternator":
            if "d_plus" in wired:
                self.bars[f"{id}.d_plus"] = "rail"
            rail = f"{part.charges or self._vehicle_battery() or id}.plus"
            self.bars[rail] = "rail"
            if "plus" not in wired:
                self._edge(_Edge(rail, f"{id}.plus", link=True))
            self._edge(_Edge(f"{id}.plus", f"{id}.case", part=id))
            self._edge(_Edge(f"{id}.case", BODY, link=True))
            self.bars[BODY] = "body"
            return True
        if not wired and part.kind == "battery":
            return part.wired is not True
        self.bars[f"{id}.plus"] = "rail"
        minus = f"{id}.minus"
        self._edge(_Edge(f"{id}.plus", f"{id}.post", link=True))
        if self.wires_at.get(minus, 0) > 1:
            self._edge(_Edge(f"{id}.post", f"{id}.post_minus", part=id))
            self._edge(_Edge(f"{id}.post_minus", minus, link=True))
        else:
            self._edge(_Edge(f"{id}.post", minus, part=id))
        if part.kind == "vehicle_battery" and not self.wires_at.get(minus):
            self._edge(_Edge(minus, BODY, link=True))
            self.bars[BODY] = "body"
        return True

    def _vehicle_battery(self) -> str:
        kinds = {id: part.kind for id, part in self.wiring.parts.items()}
        return next((id for id, kind in kinds.items() if kind == "vehicle_battery"), "")

    def _fuse_box(self, id: str, part: Part, wired: Mapping[str, int]) -> None:
        bar = f"{id}.in"
        self.boxes.add(id)
        if part.ways == 1 and not part.main_fuse and len(wired) == 2 and set(wired.values()) == {1}:
            self._edge(_Edge(bar, f"{id}.1", part=id, way="1"))
            return
        if part.main_fuse and isinstance(part.main_fuse, tuple):
            bar = f"{id}#bar"
            self._edge(_Edge(f"{id}.in", bar, part=id, way="main"))
        self.bars[bar] = "box"
        for way in sorted((name for name in wired if name.isdigit()), key=int):
            self._edge(_Edge(bar, f"{id}.{way}", part=id, way=way))
        if "minus" in wired:
            self.bars[f"{id}.minus"] = "minus"

    # bars and strands -----------------------------------------------------------------------------

    def _name_bars(self) -> None:
        studs = self.wiring.plan.studs
        for point, edges in self.at.items():
            if point in self.bars or point in self.in_block:
                continue
            part = self.wiring.parts.get(point)
            if point in studs:
                self.bars[point] = "stud"
            elif point == BODY or f"@{BODY}" in point:
                self.bars[point] = "body"
            elif part is not None and part.kind == "busbar":
                self.bars[point] = "bus"
            elif point.endswith("~minus"):
                self.bars[point] = "minus"
            elif len(edges) > 2:
                self.bars[point] = "minus" if point.endswith(".minus") else "joint"

    def _strands(self, pieces: list[Piece]) -> Iterator[Strand]:
        for point in list(self.at):
            if point in self.bars:
                for edge in list(self.at[point]):
                    if not edge.used:
                        yield self._walk(End("bar", point), point, edge)
        for point, id in self.in_block.items():
            for edge in list(self.at.get(point, ())):
                if not edge.used:
                    yield self._walk(self._slot(point, id), point, edge)
        loose = [point for point, edges in self.at.items() if len(edges) == 1]
        for point in (*loose, *self.at):  # what hangs on nothing, then rings
            for edge in list(self.at[point]):
                if not edge.used:
                    yield self._walk(End("open", point), point, edge)

    def _slot(self, point: str, id: str) -> End:
        number = self.slots.get((id, point), 0)
        self.slots[id, point] = number + 1
        terminal = point if self.blocks[id].members else point[len(id) + 1 :]
        return End("block", id, terminal, number)

    def _walk(self, start: End, point: str, edge: _Edge) -> Strand:
        steps: list[Step] = []
        key = ""
        while True:
            edge.used = True
            far = edge.b if edge.a == point else edge.a
            steps += self._steps(edge, point, far)
            key = key or (edge.piece.id if edge.piece else "")
            if far in self.bars:
                end = End("bar", far)
                break
            if far in self.in_block:
                end = self._slot(far, self.in_block[far])
                break
            onward = [one for one in self.at[far] if not one.used]
            if not onward:
                end = End("open", far)
                break
            if far in self.wiring.parts:
                steps.append(DotStep(far))
            elif far.endswith(".in") and self.wiring.part_of(far) in self.boxes:
                steps.append(WayStep(far.removesuffix(".in"), ""))
            elif self.wiring.part_of(far) is None:  # a joint of which only two wires are left
                steps.append(DotStep(far))
            point, edge = far, onward[0]
        parts = [step.part for step in steps if isinstance(step, PartStep)]
        steps = _off_the_bar(steps, start, end)
        return Strand(key or (parts[0] if parts else start.id), start, end, tuple(steps))

    def _steps(self, edge: _Edge, point: str, far: str) -> list[Step]:
        if edge.piece is not None:
            return self._wire_steps(edge.piece, forward=edge.piece.a == point)
        if edge.link:
            return [LinkStep(factory="post" not in point and "post" not in far)]
        if edge.way == "main":
            part = self.wiring.parts[edge.part]
            assert isinstance(part.main_fuse, tuple)
            fuse = FuseStep(None, Spot(part.main_fuse[0], "a"), edge.part)
            steps: list[Step] = [LinkStep(), fuse, LinkStep()]
            return steps if point.endswith(".in") else steps[::-1]
        if edge.way:
            fuse = self._fuse_of_way(edge.part, f"{edge.part}.{edge.way}")
            joined = [LinkStep()] if f"{edge.part}.{edge.way}" in self.bars else []
            steps = [LinkStep(), fuse, LinkStep(), WayStep(edge.part, edge.way), *joined]
            return steps if far.endswith(f".{edge.way}") and not far.endswith(".in") else steps[::-1]

        def terminal(at: str) -> str:
            return at[len(edge.part) + 1 :]

        return [PartStep(edge.part, terminal(point), terminal(far))]

    def _fuse_of_way(self, box: str, way: str) -> FuseStep:
        """Return the fuse of a way, or the place of the one that a wire lacks there."""
        pieces = self.wiring.by_point.get(way, ())
        spots = [(piece, spot) for piece in pieces for spot in piece.spots if spot.way == way]
        if spots:
            return FuseStep(*spots[0], box)
        bare = (p for p in pieces for side in _sides_at(p, way) if (p.id, side) in self.missing)
        lacking = next(bare, None)
        return FuseStep(lacking, None, box, missing=lacking is not None)

    def _wire_steps(self, piece: Piece, *, forward: bool) -> list[Step]:
        """Return a wire with its fuses, and the place of one it lacks; those in a way belong to the box."""
        steps: list[Step] = [WireStep(piece)]
        fuses = [(spot.side, FuseStep(piece, spot)) for spot in piece.spots if spot.way is None]
        for side, point in (("a", piece.a), ("b", piece.b)):
            way = self.wiring.part_of(point) in self.boxes and self.wiring.terminal_of(point).isdigit()
            if (piece.id, side) in self.missing and not way:
                fuses.append((side, FuseStep(piece, None, missing=True)))
        for side, fuse in fuses:
            stub: list[Step] = [WireStep(piece, stub=True), fuse]
            steps = [*stub, *steps] if side == "a" else [*steps, *stub[::-1]]
        return steps if forward else steps[::-1]


def _off_the_bar(steps: list[Step], start: End, end: End) -> list[Step]:
    """Put a short line between a part and the joint of the wires that meet at its own terminal."""
    first, last = steps[0], steps[-1]
    before: list[Step] = (
        [LinkStep(terminal=True)] if start.kind == "bar" and isinstance(first, PartStep) else []
    )
    after: list[Step] = [LinkStep(terminal=True)] if end.kind == "bar" and isinstance(last, PartStep) else []
    return [*before, *steps, *after]


def _sides_at(piece: Piece, point: str) -> Iterator[str]:
    """Yield the ends of a wire that lie on a point."""
    return (side for side, at in (("a", piece.a), ("b", piece.b)) if at == point)


def _low_pieces(wiring: Wiring) -> Iterator[Piece]:
    """Yield every wire of the 12/24 V side; an earth wire of the mains side is not among them."""
    for flat in wiring.runs.values():
        if flat.mains:
            continue
        for piece in flat.pieces:
            ends = [wiring.part_of(point) for point in (piece.a, piece.b)]
            if not any(id is not None and "*" in KINDS[wiring.parts[id].kind].mains for id in ends):
                yield piece


def _pins(part: Part, id: str, wires_at: Mapping[str, int]) -> list[str]:
    """Return the numbers of ways or pins that have wires, where the part does not say how many it has."""
    prefix = f"{id}."
    found = {point[len(prefix) :].rstrip("<>") for point in wires_at if point.startswith(prefix)}
    return sorted((name for name in found if name.isdigit()), key=int)


def build_net(wiring: Wiring, missing: Set[tuple[str, str]] = frozenset()) -> Net:
    """Return the 12/24 V side of a plan's wiring as bars, blocks and strands.

    Parameters
    ----------
    wiring : Wiring
        Of the plan.
    missing : set of tuple of str
        (piece, "a" or "b") of each end of a wire where the lack of a fuse is to be drawn.
    """
    net = _Builder(wiring, frozenset(), missing).build()
    links = frozenset(part for strand in net.strands if (part := _link_part(net, strand)))
    return _Builder(wiring, links, missing).build() if links else net


def _link_part(net: Net, strand: Strand) -> str | None:
    """Return the part that joins two batteries in a strand: it gets both heavy ends on one side of a box."""
    ends = (strand.a, strand.b)
    if any(end.kind != "bar" or net.bars[end.id] != "rail" for end in ends) or strand.a.id == strand.b.id:
        return None
    kinds = {id: net.wiring.parts[id].kind for id in strand.parts()}
    if set(kinds.values()) & {"battery", "vehicle_battery"}:
        return None
    return next((id for id, kind in kinds.items() if kind not in ("plug", "shunt", "alternator")), None)


def low_wires(wiring: Wiring) -> tuple[str, ...]:
    """Return the ids of all wires that the wiring diagram has to show."""
    return tuple(piece.id for piece in _low_pieces(wiring))
