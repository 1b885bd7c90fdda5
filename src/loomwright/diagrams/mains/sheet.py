"""The mains sheets of a van: as many as its rows and columns need, each in its border."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from loomwright.assessment.mains.layout import Bond
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import (
    cautions,
    danger_band,
    mains_notice,
    margin_entries,
    numbered,
    title_block,
)  # fmt: skip
from loomwright.diagrams.van.paper import Paper
from loomwright.drawing.frame import FIELD_BOX, PAPER, Border, border_items, column_row
from loomwright.drawing.scene import Link, Sheet
from loomwright.drawing.wires import broken_at_crossings
from loomwright.rules.check import Checked

from .bonds import MAKER_DOWN, MISSING_RULE, bonds_by_unit, paint_bonds, paint_missing
from .box import bar_x, inside_of, paint_box
from .cables import paint_cables
from .graph import Graph, mains_graph
from .paint import LINE, Painter
from .place import (
    BOND_BELOW,
    BOTTOM,
    GAPS,
    LEFT,
    OVER,
    RIGHT,
    TOP,
    WIDTHS,
    WORDS,
    Placed,
    branch_room,
    branches,
    columns_of,
    height_of,
    lines_of,
    needs_of,
    set_rows,
)  # fmt: skip
from .signs import set_signs
from .things import paint_thing
from .tree import Node, cut_rows, forest, settled, with_arrows
from .words import outlet_words

TITLE = "Mains side"
KEY = (
    "L and N as wired; on a crossed pitch N is live. Ω and A: worked out, cold, to the case. "
    "Contacts are drawn open."
)
CAUTION = "Mains kills. Only a licensed person works here: unplug both ends, inverter off, prove dead."
CHARGED = "Inverters stay charged after they are off: wait as their manual says."
COLUMNS = 8
#: Rows are so much further apart at most where the sheet has room. [mm]
_MOST_MORE = 12.0
#: From a thing to the arrow of a cable that goes on elsewhere. [mm]
_ARROW = 26.0


@dataclass(frozen=True, slots=True)
class _Page:
    """What stands on one sheet: its things, and the edges of its columns. [mm]"""

    graph: Graph
    roots: list[Node]
    columns: dict[int, float]


def mains_sheets(checked: Checked) -> tuple[Sheet, ...]:
    """Draw the mains side of a van.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings; no figure is worked out here.

    Returns
    -------
    tuple of Sheet
        A3; none for a van without a mains side.
    """
    graph = mains_graph(checked.assessment)
    if not graph.units:
        return ()
    graph = with_arrows(graph, set(graph.units))
    pages = [page for part in _in_width(checked.assessment, graph) for page in part]
    first: dict[str, int] = {}
    for n, page in enumerate(pages, 1):
        for node in (node for root in page.roots for node in root.nodes()):
            if node.unit.sort not in ("goes", "comes"):
                first.setdefault(node.unit.part, n)
    return tuple(_Drawing(checked, page, first).sheet(n, len(pages)) for n, page in enumerate(pages, 1))


def _widths(job: Assessment, graph: Graph) -> dict[str, float]:
    lines = len(lines_of(graph.cables))
    return {
        id: inside_of(job, unit.part, lines).width if unit.sort == "box" else WIDTHS[unit.sort]
        for id, unit in graph.units.items()
    }


def _in_width(job: Assessment, graph: Graph) -> Iterator[list[_Page]]:
    """Give the pages: what is too wide goes on on further ones, what is too high as well."""
    widths, lines = _widths(job, graph), len(lines_of(graph.cables))
    roots = forest(graph)
    deepest = max(node.depth for root in roots for node in root.nodes())
    for gap in GAPS:
        columns = columns_of(roots, widths, _targets(graph, roots), lines, gap)
        if _right(roots, columns, widths) <= RIGHT:
            yield list(_in_height(job, graph, roots, columns))
            return
    most = max(depth for depth in columns if columns[depth] <= RIGHT - 60.0 or depth <= 1)
    near = {
        node.unit.id for root in roots for node in root.nodes() if node.depth < max(1, min(most, deepest))
    }
    if near >= set(graph.units):
        yield list(_in_height(job, graph, roots, columns))
        return
    for some in (near, set(graph.units) - near):
        yield from _in_width(job, with_arrows(graph, some))


def _right(roots: Sequence[Node], columns: dict[int, float], widths: dict[str, float]) -> float:
    ends = (
        columns[node.depth] + widths[node.unit.id] + (WORDS if node.unit.sort in ("outlet", "goes") else 4.0)
        for root in roots
        for node in root.nodes()
    )
    return max(ends)


def _targets(graph: Graph, roots: Sequence[Node]) -> dict[str, int]:
    """Return by cable that joins another row the depth of what it joins."""
    nodes = {node.unit.id: node for root in roots for node in root.nodes()}
    ins = graph.unit_in
    return {
        edge.cable.id: nodes[ins[edge.cable.b]].depth
        for node in nodes.values()
        for edge in node.edges
        if edge.node is None and ins[edge.cable.b] in nodes
    }


def _in_height(
    job: Assessment, graph: Graph, roots: list[Node], columns: dict[int, float]
) -> Iterator[_Page]:
    """Give the rows that fit a sheet, then those that fit the next."""
    count, at = sum(len(root.rows()) for root in roots), 0
    while at < count:
        many = next(
            n for n in range(count - at, 0, -1) if n == 1 or _fits(job, graph, roots, range(at, at + n))
        )
        yield _Page(graph, settled(cut_rows(roots, set(range(at, at + many))), graph), columns)
        at += many


def _fits(job: Assessment, graph: Graph, roots: list[Node], rows: range) -> bool:
    return height_of(_needs(job, graph, cut_rows(roots, set(rows)))) <= BOTTOM - TOP


def _needs(job: Assessment, graph: Graph, roots: Sequence[Node]) -> dict[str, tuple[float, float]]:
    outlets = {id for id, unit in graph.units.items() if unit.sort == "outlet"}
    told = {id: 1 + len(list(outlet_words(job, id))) for id in outlets}
    below = {
        id: BOND_BELOW + 2 * LINE * (len(bonds) - 1) + (6.0 if graph.units[id].sort == "maker" else 0.0)
        for id, bonds in bonds_by_unit(job, graph).items()
    }
    supplies = len(job.plan.supplies)
    posts = {id: 14.0 + 3.6 * max(1, supplies) for id, unit in graph.units.items() if unit.sort == "post"}
    needs = needs_of(roots, len(lines_of(graph.cables)), told, below)
    for root in roots:
        if root.unit.id in posts:
            rows = [row.unit.id if isinstance(row, Node) else row.cable.id for row in root.rows()]
            lacks = posts[root.unit.id] + 12.0 - sum(needs[row][1] for row in rows)
            above, last = needs[rows[-1]]
            needs[rows[-1]] = (above, last + max(0.0, lacks))
    return needs


class _Drawing:
    """One sheet under way."""

    def __init__(self, checked: Checked, page: _Page, first: Mapping[str, int]) -> None:
        self.checked, self.page = checked, page
        self.job = checked.assessment
        self.placed = Placed(lines_of(page.graph.cables))
        self._place()
        self.painter = Painter(self.job, self.placed, first)
        tree = [edge.cable.b for node in self.nodes for edge in node.edges if edge.node is not None]
        self.painter.fed = frozenset(tree)
        self.painter.joined = (
            frozenset(edge.cable.b for node in self.nodes for edge in node.edges if edge.node is None)
            - self.painter.fed
        )

    @property
    def nodes(self) -> list[Node]:
        """All things of the sheet."""
        return [node for root in self.page.roots for node in root.nodes()]

    def _place(self) -> None:
        widths = _widths(self.job, self.page.graph)
        targets = _targets(self.page.graph, self.page.roots)
        used: dict[int, int] = {}
        for cable, depth in targets.items():
            self.placed.slots[cable] = used.get(depth, 0)
            used[depth] = used.get(depth, 0) + 1
        for node in self.nodes:
            self.placed.left.setdefault(node.unit.id, self.page.columns.get(node.depth, LEFT))
            self.placed.width[node.unit.id] = widths.get(node.unit.id, WIDTHS["goes"])
            for edge in node.edges:  # an arrow stands near what it leaves
                if edge.node is not None and edge.node.unit.sort == "goes":
                    end = self.placed.left[node.unit.id] + self.placed.width[node.unit.id]
                    self.placed.left[edge.node.unit.id] = end + _ARROW + branch_room(node, self.placed)
        needs = _needs(self.job, self.page.graph, self.page.roots)
        more = min(_MOST_MORE, max(0.0, BOTTOM - TOP - height_of(needs)) / (len(needs) + 1))
        set_rows(self.placed, self.page.roots, needs, TOP + more, more)

    def sheet(self, number: int, count: int) -> Sheet:
        """Return the sheet in its border."""
        painter, bonds = self.painter, bonds_by_unit(self.job, self.page.graph)
        targets = {point: node for node in self.nodes for point in node.unit.ins}
        for node in self.nodes:
            self._thing(node, bonds.get(node.unit.id, []))
            paint_cables(painter, node, targets)
        drawn = list(broken_at_crossings(painter.items))
        paper = Paper(FIELD_BOX)
        paper.add(drawn)
        findings = numbered(self.checked)
        spots, signs = {}, []
        for found, sign in set_signs(paper, findings, painter.spots):
            spots[found] = column_row(sign.at, COLUMNS)
            signs.append(sign)
        title = TITLE + (f", part {number} of {count}" if count > 1 else "")
        border = Border(
            columns=COLUMNS,
            title_block=title_block(self.job.plan, title, sheet=number, sheets=count),
            findings=margin_entries(findings, spots),
            danger_band=danger_band(self.checked),
            notice=mains_notice(self.job),
            cautions=(
                CAUTION,
                *([CHARGED] if self.job.mains.layout.makers else []),
                *cautions(self.job)[-1:],
            ),
            key=KEY,
            signs=tuple(painter.signs.values()),
        )
        return Sheet(
            width=PAPER[0],
            height=PAPER[1],
            title=f"{self.job.plan.title}: {title}",
            description=self._told(title),
            items=(*border_items(border), *drawn, *signs),
        )

    def _thing(self, node: Node, bonds: list[Bond]) -> None:
        painter, placed, id = self.painter, self.placed, node.unit.id
        cores = self._cores(node)
        first, last = placed.rows[id]
        if node.unit.sort == "box":
            inside = inside_of(self.job, node.unit.part, len(placed.order))
            bars = paint_box(painter, node, inside, cores)
            x = bar_x(bars, "PE", placed.order)
        else:
            paint_thing(painter, node, cores)
            last = first
            x = placed.left[id] + 3.5
        earth = painter.y(last, "PE")
        if bonds and node.unit.sort == "maker":
            end = last + placed.last_line
            paint_bonds(painter, bonds, x, end, end + OVER, MAKER_DOWN)
        elif bonds:
            paint_bonds(painter, bonds, x, last + placed.last_line, earth)
            painter.dot((x, earth), Link("wire", bonds[0].piece))
        elif self._lacks_bond(node):
            paint_missing(painter, x, last + placed.last_line, told=not branches(node))

    def _lacks_bond(self, node: Node) -> bool:
        return node.unit.sort == "inlet" and any(
            one.rule == MISSING_RULE and one.where == node.unit.part for one in self.checked.findings
        )

    def _cores(self, node: Node) -> tuple[str, ...]:
        """Return the lines that go through a thing: of a cable to it, else of one from it."""
        ways = [c for c in self.page.graph.cables if c.b in node.unit.ins]
        ways += [edge.cable for edge in node.edges]
        return ways[0].cores if ways else self.placed.order

    def _told(self, title: str) -> str:
        things = ", ".join(dict.fromkeys(node.unit.part for node in self.nodes if node.unit.part))
        says = f"{title} of {self.job.plan.title}: line, neutral and earth from pitch or inverter on"
        return f"{says} to {things}."


__all__ = ["mains_sheets"]
