"""Where each thing, row and cable of the mains sheet lies. [mm]"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from loomwright.drawing.frame import FIELD_BOX

from .graph import TWO_LEGS, Cable, Unit
from .tree import Edge, Node

#: Between two lines of a cable.
PITCH = 5.0
#: Edges of the drawing, and the room that the words of an outlet have at the right.
LEFT, RIGHT, TOP, BOTTOM = (
    FIELD_BOX.left + 3.0,
    FIELD_BOX.right - 3.0,
    FIELD_BOX.top + 3.0,
    FIELD_BOX.bottom - 3.0,
)
WORDS = 46.0
#: Frame of a box above its first line; frames of other things above their first and below their last.
BOX_OVER, OVER = 7.8, 3.0
#: Room above a row for a cable's id, for the title of a thing, for that of a box.
_ABOVE, _ABOVE_TITLE, _ABOVE_BOX = 8.0, 14.5, 19.0
#: From the last line down: two lines of words and a gap; a bond with its sign.
_BELOW, BOND_BELOW = 11.5, 15.5
#: Between the two inputs of a change-over.
INPUT_STEP = 22.0
#: Widths of things; a box is as wide as what is in it.
WIDTHS = {
    "post": 27.0, "inlet": 10.0, "maker": 34.0, "change": 28.0, "rcd": 20.0, "joint": 1.0, "outlet": 11.5,
    "plain": 20.0, "goes": 6.0, "comes": 6.0,
}  # fmt: skip
#: Room for the words of a cable, wide and narrow; zone of branches and of joining cables.
GAPS = (40.0, 33.0, 27.0, 23.0, 18.5)
_INNER_GAP = 6.0


@dataclass(slots=True)
class Placed:
    """Where things lie.

    Attributes
    ----------
    order : tuple of str
        Names of the lines of the sheet, from above.
    left, width : dict
        By thing.
    rows : dict
        By thing: heights of its first and its last row.
    edge_y : dict
        By cable: the height of its row.
    column : dict
        By depth: left edge.
    slots : dict
        By cable that joins another row: which of those in its column it is, from 0.
    bottom : float
        Of the last row.
    """

    order: tuple[str, ...]
    left: dict[str, float] = field(default_factory=dict)
    width: dict[str, float] = field(default_factory=dict)
    rows: dict[str, tuple[float, float]] = field(default_factory=dict)
    edge_y: dict[str, float] = field(default_factory=dict)
    column: dict[int, float] = field(default_factory=dict)
    slots: dict[str, int] = field(default_factory=dict)
    bottom: float = 0.0

    def y(self, row_y: float, core: str) -> float:
        """Return the height of one line of a row."""
        return row_y + PITCH * line_of(core, self.order)

    @property
    def last_line(self) -> float:
        """From the first line of a row to its last."""
        return PITCH * (len(self.order) - 1)


def line_of(core: str, order: Sequence[str]) -> int:
    """Return which line of the sheet a core lies in; the first leg of two serves as the line."""
    return order.index(core) if core in order else 0


def lines_of(cables: Iterable[Cable]) -> tuple[str, ...]:
    """Return the lines that a sheet needs."""
    return TWO_LEGS if any(cable.cores == TWO_LEGS for cable in cables) else ("L", "N", "PE")


def columns_of(
    roots: Sequence[Node], widths: Mapping[str, float], targets: Mapping[str, int], lines: int, gap: float
) -> dict[int, float]:
    """Return the left edge of each column.

    Parameters
    ----------
    roots : sequence of Node
    widths : mapping
        Of each thing.
    targets : mapping
        By cable that joins another row: the depth of what it joins.
    lines : int
        Of a cable.
    gap : float
        For the words of a cable.
    """
    nodes = [node for root in roots for node in root.nodes()]
    found, x = {0: LEFT}, LEFT
    for depth in range(max((node.depth for node in nodes), default=0)):
        here = [node for node in nodes if node.depth == depth]
        x += max((widths[node.unit.id] for node in here), default=0.0)
        real = [e for node in nodes for e in node.edges if e.node and e.node.depth == depth + 1]
        x += gap if any(not edge.cable.inner for edge in real) or not real else _INNER_GAP
        if any(branches(node) for node in here):
            x += branch_zone(lines)
        x += join_zone(lines) * sum(1 for to in targets.values() if to == depth + 1)
        found[depth + 1] = x
    return found


def branches(node: Node) -> bool:
    """Return whether several cables leave one point of a thing."""
    return len({edge.cable.a for edge in node.edges}) < len(node.edges)


def branch_zone(lines: int) -> float:
    """Return the room right of a thing in which its cables part."""
    return PITCH * (lines - 1) + 5.0


def branch_room(node: Node, placed: Placed) -> float:
    """Return the room that the parting cables of a thing take at its right."""
    return branch_zone(len(placed.order)) if branches(node) else 0.0


def join_zone(lines: int) -> float:
    """Return the room left of a thing in which one cable joins it from another row."""
    return PITCH * (lines - 1) + 4.5


def set_rows(
    placed: Placed, roots: Sequence[Node], needs: Mapping[str, tuple[float, float]], top: float, more: float
) -> None:
    """Give each row its height, from above.

    Parameters
    ----------
    placed : Placed
        Gets the rows.
    roots : sequence of Node
    needs : mapping
        By thing or cable that ends a row: room above its first line, and from there down.
    top : float
        Where the first row may begin.
    more : float
        Room that each row gets on top of what it needs.
    """
    y = top
    for root in roots:
        for row in root.rows():
            key = row.unit.id if isinstance(row, Node) else row.cable.id
            above, below = needs[key]
            line = y + above
            if isinstance(row, Node):
                placed.rows[key] = (line, line)
            placed.edge_y[key] = line
            y = line + below + more
        _spread(placed, root)
    placed.bottom = y


def _spread(placed: Placed, node: Node) -> tuple[float, float]:
    if node.edges:
        spans = []
        for edge in node.edges:
            if edge.node is None:
                at = placed.edge_y[edge.cable.id]
                spans.append((at, at))
            else:
                spans.append(_spread(placed, edge.node))
                placed.edge_y[edge.cable.id] = spans[-1][0]
        placed.rows[node.unit.id] = (spans[0][0], spans[-1][0])
    return placed.rows[node.unit.id]


def needs_of(
    roots: Sequence[Node], lines: int, told: Mapping[str, int], bonded: Mapping[str, float]
) -> dict[str, tuple[float, float]]:
    """Return by what ends a row the room it needs above and below.

    Parameters
    ----------
    roots : sequence of Node
    lines : int
        Of a cable.
    told : mapping
        By outlet, how many lines of words stand beside it.
    bonded : mapping
        By thing, what hangs below its last row. [mm]
    """
    needs: dict[str, tuple[float, float]] = {}

    def walk(node: Node, above: float, below: float) -> None:
        unit = node.unit
        above = max(above, _above(unit))
        below = max(below, below + bonded.get(unit.id, 0.0))
        if not node.edges:
            words = 3.6 * told.get(unit.id, 0) + 1.0
            own = PITCH * (lines - 1) + _BELOW + (INPUT_STEP if unit.sort == "change" else 0.0)
            needs[unit.id] = (above, max(own, words) + below)
        for n, edge in enumerate(node.edges):
            first, last = (above if n == 0 else _ABOVE), (below if n == len(node.edges) - 1 else 0.0)
            if edge.node is not None:
                only = len(edge.node.rows()) == 1 and edge.node.unit.sort == "change"
                walk(edge.node, first, last + (INPUT_STEP if only and edge.node.edges else 0.0))
            else:
                needs[edge.cable.id] = (first, PITCH * (lines - 1) + _BELOW + last)

    for root in roots:
        walk(root, _ABOVE, 0.0)
    return needs


def _above(unit: Unit) -> float:
    if unit.sort == "box":
        return _ABOVE_BOX
    return _ABOVE if unit.sort in ("outlet", "joint", "goes", "comes") else _ABOVE_TITLE


def height_of(needs: Mapping[str, tuple[float, float]]) -> float:
    """Return how high some rows are together."""
    return sum(above + below for above, below in needs.values())


__all__ = [
    "BOND_BELOW", "BOTTOM", "BOX_OVER", "GAPS", "INPUT_STEP", "LEFT", "OVER", "PITCH", "RIGHT", "TOP",
    "WIDTHS", "WORDS", "Edge", "Placed", "branch_room", "branch_zone", "branches", "columns_of", "height_of",
    "join_zone", "line_of", "lines_of", "needs_of", "set_rows",
]  # fmt: skip
