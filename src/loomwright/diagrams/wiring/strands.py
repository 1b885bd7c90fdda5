"""What hangs between what: bars, strands and blocks of the 12/24 V side, before any place on the sheet.

A *bar* is one point of the wiring where several wires meet: a rail, a busbar, the bar of a fuse box, a
joint, a stud. A *block* is a part with more ends than two. A *strand* is what lies between two of them, one
thing after the other, and will stand in one column: wires, fuses, switches, plugs, lamps, motors.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loomwright.plan.pieces import Piece, Spot, Wiring


@dataclass(frozen=True, slots=True)
class WireStep:
    """A stretch of a wire; `stub` if it only reaches from the wire's end to the fuse there."""

    piece: Piece
    stub: bool = False


@dataclass(frozen=True, slots=True)
class FuseStep:
    """A fuse in a wire, or in a way of a box (`way`), or before all ways of a box (`main`).

    `missing` is the place of one that is not there: the wire runs through it.
    """

    piece: Piece | None
    spot: Spot | None
    box: str = ""
    missing: bool = False


@dataclass(frozen=True, slots=True)
class LinkStep:
    """A line that is no wire of the plan: within a box, or a cable that the vehicle's maker laid.

    `terminal` marks the short line between a part and the joint of the wires that meet at its terminal,
    `wire` the wire whose way of a box has no fuse.
    """

    factory: bool = False
    terminal: bool = False
    wire: str = ""


@dataclass(frozen=True, slots=True)
class PartStep:
    """A part with one end above and one below, entered at `enter` and left at `leave`."""

    part: str
    enter: str
    leave: str


@dataclass(frozen=True, slots=True)
class WayStep:
    """The terminal of a fuse box's way, on the edge of the box."""

    box: str
    way: str


@dataclass(frozen=True, slots=True)
class DotStep:
    """A splice that only joins two wires."""

    part: str


@dataclass(frozen=True, slots=True)
class PortStep:
    """A port on the frame of a combined unit: on its upper or its lower edge."""

    unit: str
    port: str
    upper: bool


Step = PortStep | WireStep | FuseStep | LinkStep | PartStep | WayStep | DotStep


@dataclass(frozen=True, slots=True)
class End:
    """Where a strand ends: on a bar, on a slot of a block (`slot` counts its wires), or on nothing."""

    kind: str  # bar, block or open
    id: str
    terminal: str = ""
    slot: int = 0


@dataclass(frozen=True, slots=True)
class Strand:
    """Steps from the end `a` to the end `b`; its key is the id of its first wire or part."""

    key: str
    a: End
    b: End
    steps: tuple[Step, ...]

    def turned(self) -> Strand:
        """Return the same strand read from the other end."""
        steps = tuple(
            PartStep(step.part, step.leave, step.enter) if isinstance(step, PartStep) else step
            for step in reversed(self.steps)
        )
        wires = [step.piece.id for step in steps if isinstance(step, WireStep)]
        return Strand(wires[0] if wires else self.key, self.b, self.a, steps)

    def pieces(self) -> tuple[Piece, ...]:
        """Return the wires in it, each once."""
        return tuple(dict.fromkeys(step.piece for step in self.steps if isinstance(step, WireStep)))

    def parts(self) -> tuple[str, ...]:
        """Return the parts that stand in it."""
        return tuple(step.part for step in self.steps if isinstance(step, PartStep))


@dataclass(frozen=True, slots=True)
class Block:
    """A part with several ends: (terminal, count of its wires), in the order of its terminals."""

    part: str
    ends: tuple[tuple[str, int], ...]
    members: tuple[str, ...] = ()  # of a pair of two-way switches
    travellers: tuple[Piece, ...] = ()


@dataclass(frozen=True, slots=True)
class Net:
    """The wiring as bars, blocks and strands, all in the plan's order."""

    wiring: Wiring
    bars: Mapping[str, str]  # id -> rail, box, bus, joint, stud, body or minus
    blocks: Mapping[str, Block]
    strands: tuple[Strand, ...]
    unwired: tuple[str, ...]
