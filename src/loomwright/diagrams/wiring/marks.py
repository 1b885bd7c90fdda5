"""Where everything stands on a sheet, for labels, findings and cross-references."""

from __future__ import annotations

from dataclasses import dataclass, field

from loomwright.drawing.frame import FIELD_BOX, column_middle
from loomwright.drawing.geometry import Box as Room
from loomwright.drawing.geometry import Point
from loomwright.drawing.scene import Link
from loomwright.plan.pieces import Piece

from .strands import FuseStep, PartStep, PortStep
from .strip import COLUMNS, Leaf

#: Left and right ends of what is drawn. [mm]
LEFT, RIGHT = FIELD_BOX.left + 1.2, FIELD_BOX.right - 1.2
#: From the last line on a bar to the mark that it goes on on another sheet, and that mark's length. [mm]
GOES_ON_AT, _GOES_ON_LONG = 4.9, 3.75


@dataclass(frozen=True, slots=True)
class WireMark:
    """A stretch of a wire where a label of it may stand; a level one says whether over it or under it."""

    piece: Piece
    x: float
    top: float
    bottom: float
    half: float
    over: bool | None = None
    stub: bool = False  # it only reaches from the wire's end to the fuse there


@dataclass(frozen=True, slots=True, eq=False)
class PartMark:
    """A part, fuse, bar or stud on the sheet: `room` is what it takes, `column` counts from 0."""

    id: str
    kind: str  # part, fuse, missing, block, bar, stud
    room: Room
    column: int
    step: PartStep | FuseStep | None = None


@dataclass(frozen=True, slots=True)
class CableMark:
    """The ring around the cores of a panel's cable: whose it is, its wires, the room of the ring."""

    panel: str
    wires: tuple[str, ...]
    room: Room


@dataclass(slots=True)
class Marks:
    """Where everything stands on a sheet, for labels, findings and cross-references.

    `laid` has the lines of each wire, and whether it begins at their upper end; None if nobody can tell.
    `stubs` are the lines between a wire's end and the fuse there.
    """

    wires: list[WireMark] = field(default_factory=list)
    parts: list[PartMark] = field(default_factory=list)
    ways: list[tuple[str, str, Point, bool]] = field(default_factory=list)  # box, words, point, free
    free: list[tuple[str, Point]] = field(default_factory=list)  # box, middle of the dashed fuse
    opens: list[tuple[str, Point]] = field(default_factory=list)
    outlines: dict[str, Room] = field(default_factory=dict)
    places: list[tuple[str, Room]] = field(default_factory=list)
    studs: list[tuple[str, float]] = field(default_factory=list)
    ports: list[tuple[PortStep, Point]] = field(default_factory=list)
    pieces: list[tuple[str, Point]] = field(default_factory=list)
    cables: list[CableMark] = field(default_factory=list)
    units: list[tuple[str, Room]] = field(default_factory=list)
    stubs: set[tuple[Point, ...]] = field(default_factory=set)
    laid: dict[str, list[tuple[tuple[Point, ...], bool | None]]] = field(default_factory=dict)


def goes_on_between(leaf: Leaf, bar: str) -> tuple[float, float]:
    """Return where the marks end that a bar comes from and goes on to another sheet: [mm] from the left."""
    reach = GOES_ON_AT + _GOES_ON_LONG
    left = FIELD_BOX.left if leaf.comes_from_edge(bar) else middle_of(leaf.met[bar][0]) - reach
    return left, FIELD_BOX.right if leaf.runs_to_edge(bar) else middle_of(leaf.met[bar][-1]) + reach


def terminal_link(part: str, terminal: str) -> Link:
    """Return the link of a terminal as a plan types it; of what lies in a unit, that of the part."""
    named = terminal and "/" not in part
    return Link("terminal", f"{part}.{terminal}") if named else Link("part", part)


def middle_of(column: int) -> float:
    """Return the x of the middle of a column, counted from 0. [mm]"""
    return column_middle(column + 1, COLUMNS)
