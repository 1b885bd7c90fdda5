"""Draws one sheet of the wiring diagram, words left out: rails, bars, boxes, wires, signs."""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.assessment.record import Assessment
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.geometry import Box as Room
from loomwright.drawing.geometry import Point, box_of_boxes
from loomwright.drawing.ink import (
    FACTORY_CORE_MM,
    WIRE_COLOURS,
    Token,
    core_width_mm,
)
from loomwright.drawing.scene import Link, Symbol, Wire
from loomwright.drawing.symbols import bar, body_rail, rail
from loomwright.drawing.symbols_parts import GOES_ON, STUD, TERMINAL, joint
from loomwright.plan.pieces import Piece

from .boxes import block_height
from .boxes_contacts import Pair
from .cables import draw_cables
from .canvas import INK_GAP, Canvas
from .charging import draw_charging_ways
from .in_faults import begins_above
from .levels import levels
from .marks import GOES_ON_AT, LEFT, RIGHT, Marks, PartMark, WireMark, middle_of, terminal_link
from .missing import draw_missing
from .outlines import draw_outlines
from .paint_blocks import paint_block, paint_pair, paint_unwired
from .sides import Hang
from .signs import View, fuse_view, part_view
from .spread import Placed, Put
from .stage import BODY_RAIL, Heights, Stage
from .strands import DotStep, End, FuseStep, LinkStep, PartStep, PortStep, Step, WayStep, WireStep
from .strip import Leaf
from .units import GOES, TURN, is_back, unit_of
from .words import Words

#: How far a rail reaches beyond its last wire, and one that has a single wire. [mm]
_BEYOND, _STUB = 3.5, 6.0
#: Ink of a wire within a combined unit. [mm]
_INNER_CORE = 0.5
#: Half the length of a piece of a unit's minus bar. [mm]
_PIECE_HALF = 4.5
#: The body rail with its hatching, the same on every sheet, and the room that it takes.
_BODY = body_rail(LEFT + 1.0, RIGHT - 1.0, BODY_RAIL)
_BODY_ROOM = box_of_boxes(item.box() for item in _BODY).grown(INK_GAP)


class Painter:
    """Draws one sheet; `canvas` then holds its items and `marks` where they are."""

    def __init__(self, job: Assessment, hang: Hang, leaf: Leaf, words: Words) -> None:
        self.job, self.hang, self.leaf, self.words = job, hang, leaf, words
        self.parts = job.wiring.parts
        self.canvas = Canvas(Room(LEFT, FIELD_BOX.top + 1.0, RIGHT, 217.0))
        self.marks = Marks()
        self.views: dict[tuple[str, str, str], View] = {}
        self.heights = self._levels()
        self.leads: dict[tuple[int, str], float] = {}

    # heights ------------------------------------------------------------------------------------------

    def _levels(self) -> Heights:
        leaf, hang = self.leaf, self.hang
        spans = {bar_id: leaf.reach(bar_id) for bar_id in leaf.met}
        blocks: dict[str, list[int]] = {}
        for index, column in enumerate(leaf.columns):
            for block, _ in column.blocks:
                blocks.setdefault(block, []).append(index)
        fed = {p.strand.b.id for p in leaf.strands if p.strand.b.kind == "bar"}
        comes_in = frozenset(bar_id for bar_id in leaf.before if bar_id not in fed)
        stage = Stage(
            strands=leaf.strands, spans=spans, above=hang.above, kinds=hang.bars, tracks=leaf.tracks,
            blocks=blocks, comes_in=comes_in,             rail_step=self._rail_steps(), scatter=hang.scatter,
            block_height=self.block_height_of, part_height=lambda step: self._view(step).height,
        )  # fmt: skip
        self.block_columns = blocks
        self.spans = spans
        return levels(stage)

    def _rail_steps(self) -> Mapping[str, int]:
        """Return for each rail that no other bar feeds how many steps from the top it stands."""
        steps = {}
        for bar_id, kind in self.hang.bars.items():
            if kind == "rail" and bar_id not in self.hang.parent:
                part = self.job.wiring.part_of(bar_id)
                vehicle = part is not None and self.parts[part].kind == "vehicle_battery"
                steps[bar_id] = 0 if vehicle else 1
        return steps

    def _view(self, step: PartStep) -> View:
        key = (step.part, step.enter, step.leave)
        if key not in self.views:
            self.views[key] = part_view(step.part, self.parts[step.part], step)
        return self.views[key]

    def block_height_of(self, id: str) -> float:
        """Return how tall a block is drawn. [mm]"""
        block = self.hang.net.blocks[id]
        if block.members:
            return block_height(self.parts[block.members[0]], pair=True, relay_box=False)
        return block_height(self.parts[id], pair=False, relay_box=self.relay_box(id))

    def relay_box(self, id: str) -> bool:
        """True for a relay that stays one box: it joins two batteries."""
        ends = {terminal for terminal, _ in self.hang.edges[id][0]}
        return self.parts[id].kind == "relay" and {"30", "87"} <= ends and not {"87a"} & ends

    @property
    def has_body(self) -> bool:
        """True if anything ends on the vehicle's body: its rail then stands on every sheet."""
        return any(kind in ("stud", "body") for kind in self.hang.bars.values())

    def battery_kind(self, rail: str) -> str:
        """Return the kind of battery on whose plus a rail lies, "" for any other."""
        part = self.job.wiring.part_of(rail)
        kind = self.parts[part].kind if part is not None else ""
        return kind if kind in ("battery", "vehicle_battery") else ""

    def link_of(self, point: str) -> Link:
        """Return the link of a terminal; of one within a unit, that of the port it leads to."""
        wiring = self.job.wiring
        part, terminal = wiring.part_of(point) or point, wiring.terminal_of(point)
        unit = unit_of(part)
        if unit and self.words.port(point) in self.parts[unit].ports:
            return terminal_link(unit, self.words.port(point))
        return terminal_link(part, terminal)

    # drawing ------------------------------------------------------------------------------------------

    def paint(self) -> None:
        """Draw everything."""
        for bar_id in self.leaf.met:
            self._bar(bar_id)
        if self.has_body:
            self.canvas.add(_BODY, solid=False)
            self.canvas.block(_BODY_ROOM)
        self._chains()
        pairs = {id: paint_pair(self, id) for id in self.block_columns if self.hang.net.blocks[id].members}
        for id in self.block_columns:
            if id not in pairs:
                paint_block(self, id)
        for placed in self.leaf.strands:
            draw_missing(self, placed)
            self._strand(placed, pairs)
        for index, column in enumerate(self.leaf.columns):
            if column.unwired:
                paint_unwired(self, index, column.unwired)
        draw_charging_ways(self)
        draw_cables(self)
        draw_outlines(self)

    def _bar(self, id: str) -> None:
        kind, y = self.hang.bars[id], self.heights.bars[id]
        cols = self.leaf.met[id]
        xs = [middle_of(column) for column in cols]
        left, right = xs[0] - _BEYOND, xs[-1] + _BEYOND
        if len(xs) == 1:
            left, right = xs[0] - _STUB, xs[0] + _STUB
        if id in self.leaf.before:
            left = LEFT if self.leaf.comes_from_edge(id) else xs[0] - GOES_ON_AT
        if id in self.leaf.after:
            right = RIGHT if self.leaf.runs_to_edge(id) else xs[-1] + GOES_ON_AT
        if kind == "rail":
            self.canvas.add([rail(left, right, y)])
            self._dots(id, xs, y, 0.7)
        elif kind == "stud":
            self._stud(id, xs, y)
        elif kind in ("box", "bus") or (kind == "minus" and (len(xs) > 1 or self._goes_on(id))):
            self.canvas.add([bar(left, right, y)])
            if kind == "box":
                self._dots(id, xs, y, 0.7)
        elif (kind == "minus" or kind == "joint") and not id.endswith(GOES):
            self._dots(id, xs, y, 0.7)
        if kind == "joint":
            self._runs_on(id, xs, y)
        else:
            self._ends_short(id, left, right, y)
        room = Room(left, y - 1.0, right, y + 1.0)
        self.marks.parts.append(PartMark(id, "stud" if kind == "stud" else "bar", room, cols[0]))

    def _runs_on(self, id: str, xs: list[float], y: float) -> None:
        """Let the wire at a joint run on where it goes on on another sheet: to the edge, or a little way."""
        at_joint = [p for p in self.leaf.strands for end in (p.strand.a, p.strand.b) if end.id == id]
        pieces = [piece for p in at_joint for piece in p.strand.pieces()[-1:]]
        if not pieces:
            return
        core, colours = self.style(pieces[0])
        of = Link("wire", pieces[0].id)
        left = LEFT + 4.0 if self.leaf.comes_from_edge(id) else xs[0] - GOES_ON_AT
        right = RIGHT - 4.0 if self.leaf.runs_to_edge(id) else xs[-1] + GOES_ON_AT
        for tip, x, there in (
            (left, xs[0], id in self.leaf.before),
            (right, xs[-1], id in self.leaf.after),
        ):
            if there:
                self.canvas.add([Wire(((x, y), (tip, y)), core, colours, of=of)])
                self.canvas.add([Symbol(GOES_ON, (tip, y), 180 if tip < x else 0, of=of)])
                if id.endswith(GOES):
                    self.canvas.add([Symbol(joint(0.7), (x, y), of=of)])

    def _goes_on(self, id: str) -> bool:
        return id in self.leaf.before or id in self.leaf.after

    def _ends_short(self, id: str, left: float, right: float, y: float) -> None:
        """Put a mark at the end of a bar that goes on on another sheet but does not reach the edge here."""
        of = self._bar_link(id)
        if id in self.leaf.before and not self.leaf.comes_from_edge(id):
            self.canvas.add([Symbol(GOES_ON, (left, y), 180, of=of)])
        if id in self.leaf.after and not self.leaf.runs_to_edge(id):
            self.canvas.add([Symbol(GOES_ON, (right, y), 0, of=of)])

    def _dots(self, id: str, xs: list[float], y: float, core: float) -> None:
        of = self._bar_link(id)
        self.canvas.add([Symbol(joint(core), (x, y), of=of) for x in xs])

    def _bar_link(self, id: str) -> Link | None:
        part = self.job.wiring.part_of(id.partition("#")[0])
        return Link("part", part) if part else None

    def _stud(self, id: str, xs: list[float], y: float) -> None:
        id = id.partition("#")[0]
        of = Link("stud", id)
        x = xs[0]
        self.canvas.add([bar(xs[0] - _BEYOND, xs[-1] + _BEYOND, y)])
        self.canvas.add([Wire(((x, y), (x, BODY_RAIL)), 1.0, of=of)])
        self.canvas.add([Symbol(STUD, (x, BODY_RAIL), of=of)])
        self.marks.studs.append((id, x))
        self.marks.parts.append(
            PartMark(id, "stud_sign", Room(x - 2, BODY_RAIL - 2, x + 2, BODY_RAIL + 2), 0)
        )

    def _chains(self) -> None:
        """Find how the wires at a joint run on: each to the dot of the next column towards the feed."""
        for id, cols in self.leaf.met.items():
            if self.hang.bars[id] != "joint" or len(cols) < 2:
                continue
            over = [p for p in self.leaf.strands if p.strand.b.kind == "bar" and p.strand.b.id == id]
            under = [p for p in self.leaf.strands if p.strand.a.kind == "bar" and p.strand.a.id == id]
            first = over[0].column if over else cols[0]
            main = under if self.hang.above[id] else over
            for place, column in enumerate(cols):
                if column == first:
                    continue
                beside = cols[place - 1] if column > first else cols[place + 1]
                choice = [p for p in main if p.column == column] or [
                    p for p in (*under, *over) if p.column == column
                ]
                side = "top" if choice[0] in under else "bottom"
                self.leads[id_of(choice[0]), side] = middle_of(beside)

    def style(self, piece: Piece) -> tuple[float, tuple[Token, ...]]:
        """Return core and colours of a wire; without colours for the maker's own and those in a unit."""
        figure = self.job.wires.get(piece.id)
        if figure is None or figure.factory:
            return FACTORY_CORE_MM, ()
        if figure.inner:
            return _INNER_CORE, ()
        letters = [figure.colour[i : i + 2] for i in range(0, len(figure.colour), 2)]
        colours = tuple(token for token in WIRE_COLOURS if token in letters)
        colours = tuple(sorted(colours, key=letters.index))[:2]
        return core_width_mm(figure.area_mm2 or 0.5), colours

    def _strand(self, placed: Placed, pairs: Mapping[str, Pair]) -> None:
        x = middle_of(placed.column)
        for index, put in enumerate(placed.puts):
            step = put.step
            if isinstance(step, WireStep | LinkStep):
                self._line(placed, index, put, x, pairs)
            elif isinstance(step, PartStep):
                view = self._view(step)
                of = Link("part", step.part)
                self.canvas.add(view.draw((x, put.top), of))
                room = Room(x - view.left, put.top, x + view.right, put.bottom)
                self.marks.parts.append(PartMark(step.part, "part", room, placed.column, step))
            elif isinstance(step, FuseStep):
                self._fuse(step, put, x, placed)
            elif isinstance(step, WayStep):
                self.canvas.add([Symbol(TERMINAL, (x, put.top), of=self.link_of(f"{step.box}.{step.way}"))])
                if step.way:
                    self.marks.ways.append((step.box, step.way, (x, put.top), False))
            elif isinstance(step, PortStep):
                self.canvas.add([Symbol(TERMINAL, (x, put.top), of=terminal_link(step.unit, step.port))])
                self.marks.ports.append((step, (x, put.top)))
            elif isinstance(step, DotStep):
                self.canvas.add([Symbol(joint(0.7), (x, put.top), of=Link("part", step.part))])
        for end, y in ((placed.strand.a, placed.top), (placed.strand.b, placed.bottom)):
            if end.id in self.hang.scatter:
                self._piece(end, x, y)
            elif end.kind == "open" and isinstance(placed.puts[-1].step, PortStep):
                continue  # it ends on the port itself
            elif end.kind == "open":
                self.canvas.add([Symbol(TERMINAL, (x, y), of=self.link_of(end.id))])
                self.marks.opens.append((end.id, (x, y)))

    def _piece(self, end: End, x: float, y: float) -> None:
        """Draw a piece of a unit's minus bar."""
        self.canvas.add([bar(x - _PIECE_HALF, x + _PIECE_HALF, y)])
        self.marks.pieces.append((end.id, (x, y)))

    def _fuse(self, step: FuseStep, put: Put, x: float, placed: Placed) -> None:
        of = Link("wire", step.piece.id) if step.piece else Link("part", step.box)
        id = step.piece.id if step.piece else step.box
        at = (step.spot.way if step.spot else None) or (step.piece.id if step.piece else "")
        self.canvas.add(fuse_view(at).draw((x, put.top), of))
        room = Room(x - 2.0, put.top, x + 2.0, put.bottom)
        self.marks.parts.append(PartMark(id, "fuse", room, placed.column, step))

    def _line(self, placed: Placed, index: int, put: Put, x: float, pairs: Mapping[str, Pair]) -> None:
        """Draw one stretch of wire, with its way to the next column at a joint or a pair of switches."""
        points: list[Point] = [(x, put.top), (x, put.bottom)]
        upper, lower = placed.strand.a, placed.strand.b
        if index == 0:
            lead = self.leads.get((id_of(placed), "top"))
            if lead is not None:
                points = [(lead, put.top), *points]
            if upper.kind == "block" and upper.id in pairs:
                at = pairs[upper.id].last
                points = [at, (x, at[1]), (x, put.bottom)]
        if index == 0 and upper.id.endswith(GOES) and not self._goes_on(upper.id):
            return  # the line that comes down to the corner runs on across to here
        if lower.kind == TURN and index == len(placed.puts) - 1 and not is_back(placed.strand):
            return  # the same for a wire that goes into its unit again
        if index == len(placed.puts) - 1:
            if lower.id.endswith(GOES) and not self._goes_on(lower.id):
                on = next(p for p in self.leaf.strands if p.strand.a == lower)
                points += [(middle_of(on.column), put.bottom), (middle_of(on.column), on.puts[0].bottom)]
            lead = self.leads.get((id_of(placed), "bottom"))
            if lead is not None:
                points = [*points, (lead, put.bottom)]
            if is_back(placed.strand):
                load = next(p for p in self.leaf.strands if p.strand.b == lower and p is not placed)
                beside = middle_of(load.column)
                goes_on = isinstance(load.puts[-1].step, WireStep)
                points += [(beside, put.bottom), (beside, load.puts[-1].top if goes_on else load.bottom)]
            if lower.kind == "block" and lower.id in pairs:
                points[-1] = pairs[lower.id].first
        if isinstance(put.step, WireStep):
            core, colours = self.style(put.step.piece)
            of: Link | None = Link("wire", put.step.piece.id)
        else:
            assert isinstance(put.step, LinkStep)
            core, colours = (FACTORY_CORE_MM if put.step.factory else 0.35), ()
            of = Link("wire", put.step.wire) if put.step.wire else None
        lies_at = _hangs_on(placed, index) if of is None else ""
        wire = Wire(tuple(points), core, colours, lies_at=lies_at, of=of)
        self.canvas.add([wire])
        if isinstance(put.step, WireStep):
            if put.step.stub:
                self.marks.stubs.add(wire.points)
            else:
                begins = _begins_above(placed, put.step.piece)
                self.marks.laid.setdefault(put.step.piece.id, []).append((wire.points, begins))
            top = (
                max(y for at, y in points if at == x and y < put.bottom - 0.01)
                if len(points) > 2
                else put.top
            )
            mark = WireMark(put.step.piece, x, top, put.bottom, wire.half_width, stub=put.step.stub)
            self.marks.wires.append(mark)


def _begins_above(placed: Placed, piece: Piece) -> bool | None:
    """Say whether a wire begins at the upper end of a strand that it is in; None if nobody can tell."""
    steps = placed.strand.steps
    own = [k for k, step in enumerate(steps) if isinstance(step, WireStep | FuseStep) and step.piece == piece]
    sides = [
        step.spot.side for step in (steps[own[0]], steps[own[-1]]) if isinstance(step, FuseStep) and step.spot
    ]
    if sides:
        return (sides[0] == "a") == isinstance(steps[own[0]], FuseStep)
    above = _points(steps[own[0] - 1], "leave") if own[0] else _points(placed.strand.a, "")
    below = _points(steps[own[-1] + 1], "enter") if own[-1] + 1 < len(steps) else _points(placed.strand.b, "")
    return begins_above(piece, above, below)


def _points(thing: Step | End, side: str) -> tuple[str, ...]:
    """Return the points of the wiring that a step or an end may stand for."""
    match thing:
        case End(id=id, terminal=terminal):
            return (id, f"{id}.{terminal}")
        case PartStep(part=part, enter=enter, leave=leave):
            terminal = leave if side == "leave" else enter
            return tuple(f"{part}.{terminal}{half}" for half in ("", "<", ">"))
        case WayStep(box=box, way=way):
            return (f"{box}.{way}",)
        case DotStep(part=part):
            return (part,)
        case _:
            return ()


def _hangs_on(placed: Placed, index: int) -> str:
    """Return the point of a line that is no wire: the way or the bar of its box, or the end of a wire."""
    steps = [put.step for put in placed.puts]
    beside = [steps[k] for k in (index - 1, index + 1) if 0 <= k < len(steps)]
    for step in beside:
        if isinstance(step, WayStep):
            return f"{step.box}.{step.way}"
        if isinstance(step, WireStep):
            return step.piece.b if step is steps[index - 1] and index else step.piece.a
    boxes = (step.box for step in beside if isinstance(step, FuseStep) and step.box)
    return next((f"{box}.in" for box in boxes), "")


def id_of(placed: Placed) -> int:
    """Return what tells one placed strand from another."""
    return id(placed)
