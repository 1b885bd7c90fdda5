"""The van sheet: from above, from its sides, from behind and on its roof, with every wire where it lies."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from loomwright.assessment.loom import Loom
from loomwright.assessment.record import Assessment
from loomwright.assessment.sizes import stops_of, where_of
from loomwright.diagrams.common import (
    cautions,
    danger_band,
    inks_of,
    mains_notice,
    margin_entries,
    name_of,
    numbered,
    title_block,
)
from loomwright.drawing.frame import FIELD_BOX, PAPER, Border, border_items, column_row
from loomwright.drawing.geometry import Point, cut_out, length_along
from loomwright.drawing.ink import PLACE, Pen
from loomwright.drawing.scene import Circle, Drawn, Link, Polyline, Sheet, Symbol, Text, Wire, rectangle
from loomwright.drawing.symbols_parts import STUD
from loomwright.loom.lines import Point as Place
from loomwright.plan.values import Quantity
from loomwright.rules.check import Checked

from . import bands, zones
from .banded import Banded, middle_of
from .body import load_space_of, outline, rulers
from .labels import Label, row, upper_of
from .layout import Layout, layout_of
from .lines import Lines
from .names import set_names, set_words
from .paper import Paper
from .signs import HOLE, set_signs
from .tables import draw_tables, rows_of
from .view import View

TITLE = "Van plan: places, paths, holes"
KEY = "Outline: a plain box of the load space's size. Wires lie side by side in paths; dashed: no way known."
COLUMNS = 8
_SPOT, _CORNER = 1.6, 0.6
_RING = Pen("ink", 0.5)
_PATH = Pen("rule", 0.25)
_NO_WAY = Pen("rule", 0.25, (1.2, 1.0))
#: Dashes of a wire that has no way. [mm]
_ASTRAY = (1.6, 1.2)


def van_sheets(checked: Checked, by: bands.By = "") -> tuple[Sheet, ...]:
    """Draw the van as a place.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings; no figure is worked out here.
    by : str
        What bands behind the wires say: "current", "drop", "opening"; "" for none.

    Returns
    -------
    tuple of Sheet
        One A3 sheet; none if the plan says of no place where it is.
    """
    drawing = VanDrawing(checked, by)
    return (drawing.sheet(),) if drawing.spots else ()


class VanDrawing:
    """The van sheet of a plan, with what a page needs to move things on it.

    Parameters
    ----------
    checked : Checked
    by : str
        As for `van_sheets`.
    """

    def __init__(self, checked: Checked, by: bands.By = "") -> None:
        self.checked, self.by = checked, by
        self.wires = Lines(checked.assessment)
        self.banded = Banded(self.wires, by)

    @property
    def job(self) -> Assessment:
        """All that was worked out of the van."""
        return self.checked.assessment

    @property
    def loom(self) -> Loom:
        """Where its wires lie."""
        return self.job.loom

    @cached_property
    def spots(self) -> dict[Link, Place]:
        """The places whose coordinates are known, and the parts that have coordinates of their own. [m]"""
        found = {Link("place", id): at for id, at in self.loom.places.items()}
        for id, part in self.job.plan.parts.items():
            if part.at is not None and (at := where_of(self.job.wiring, f"{id}.")) is not None:
                found[Link("part", id)] = at
        return found

    @cached_property
    def paths(self) -> dict[str, list[Place]]:
        """The paths with points, those that no wire may lie in too. [m]"""
        plan = self.job.plan
        found = {id: stops_of(plan, id) for id in plan.paths}
        return {id: points for id, points in found.items() if points}

    @cached_property
    def corners(self) -> dict[Link, tuple[str, int, Place]]:
        """The corners of paths that are no places: the path, which of its stops, and where. [m]"""
        found = {}
        for id, path in self.job.plan.paths.items():
            for number, stop in enumerate(path.along or ()):
                known = [] if isinstance(stop, str) else [c.mid for c in stop if isinstance(c, Quantity)]
                if len(known) == 3:
                    x, y, z = known
                    found[Link("corner", f"{id} {number + 1}")] = id, number, (x, y, z)
        return found

    @cached_property
    def layout(self) -> Layout:
        """Where the views lie."""
        space = load_space_of(self.job.plan)
        points = [*self.spots.values(), *(point for path in self.paths.values() for point in path)]
        return layout_of(points, space)

    @cached_property
    def lines(self) -> dict[str, list[tuple[tuple[Point, ...], tuple[float, ...]]]]:
        """By wire, its lines on the sheet, with the metre of the wire at each corner. [mm, m]"""
        found: dict[str, list[tuple[tuple[Point, ...], tuple[float, ...]]]] = {}
        for view in self.layout.views:
            for lie, points, metres, _ in self.wires.laid(view):
                found.setdefault(lie.wire, []).append((points, metres))
        return found

    def sheet(self) -> Sheet:
        """Return the sheet."""
        job, findings = self.job, numbered(self.checked)
        drawn: list[Drawn] = []
        paper = Paper(FIELD_BOX)
        for view in self.layout.views:
            drawn += self._view(view)
        tables = list(draw_tables(rows_of(job, self._holes, self.banded.said), self.layout.tables))
        paper.add([*drawn, *tables])
        spots, signs = {}, []
        for number, at, sign in set_signs(paper, findings, self._spots_of_things()):
            spots[number] = column_row(at, COLUMNS)
            signs += sign
        names = [text for view in self.layout.views for text in set_names(paper, self._names(view))]
        words = list(set_words(paper, self.banded.lines(self.layout.views[0])))
        title = TITLE + (f", by {bands.BANDS[self.by]}" if self.by else "")
        border = Border(
            columns=COLUMNS,
            title_block=title_block(job.plan, title),
            findings=margin_entries(findings, spots),
            danger_band=danger_band(self.checked),
            notice=mains_notice(job),
            cautions=cautions(job, "Look behind every panel before you drill: fuel, brakes, airbags, looms."),
            key=bands.KEYS.get(self.by, KEY),
            signs=(STUD, HOLE) if self._holes else (STUD,),
        )
        plan, left = self.layout.views[:2]
        return Sheet(
            width=PAPER[0],
            height=PAPER[1],
            title=f"{job.plan.title}: {title}",
            description=f"{len(self.spots)} places and {len(self.loom.net.paths)} paths of {job.plan.title} "
            f"from above and from behind, 1:{plan.scale}; from both sides and on the roof, 1:{left.scale}.",
            items=(*border_items(border), *drawn, *tables, *signs, *names, *words),
        )

    # --- views ----------------------------------------------------------------------------------------

    def _view(self, view: View) -> Iterator[Drawn]:
        yield from self._head(view)
        yield from outline(self.job.plan, view, load_space_of(self.job.plan))
        if view.look == "plan":
            yield from rulers(view)
        yield from self._zones(view)
        yield from self._paths(view)
        yield from (band for band, _ in self.banded.lines(view))
        for lie, points, _, core in self.wires.laid(view):
            inks = () if lie.astray else inks_of(self.job.wires[lie.wire].colour)
            yield Wire(points, core, inks, _ASTRAY if lie.astray else (), of=Link("wire", lie.wire))
        yield from self._places(view)

    def _head(self, view: View) -> Iterator[Drawn]:
        name, says = {
            "plan": ("From above", "front at the left, the vehicle's left at the bottom"),
            "left": ("Left side", "front at the left"),
            "right": ("Right side", "front at the right"),
            "rear": ("From behind", "its last part, the vehicle's left at the left"),
            "roof": ("Roof, from above", "and what is right under it"),
        }[view.look]
        lift = view.box.top - (16.0 if view.look == "plan" else 2.2)
        head = Text((view.box.left, lift), name, 3.6, 600)
        yield head
        says = f"1:{view.scale}, {says}"
        room = view.box.width - head.width + 4.0
        small = Text((view.box.left + head.width + 2.5, lift), says, 2.7, ink="grey")
        if small.width <= room:
            yield small
        elif room > 12.0:
            yield Text(small.at, f"1:{view.scale}", 2.7, ink="grey")

    def _zones(self, view: View) -> Iterator[Drawn]:
        plan = self.job.plan
        for id, points in self.paths.items():
            known = zones.told(plan.paths[id].zones or ())
            for line, _ in view.cut(points):
                yield from zones.beside(line, known, self.wires.widest(id) / 2, view.box)
        for of, at in self.spots.items():
            if of.kind == "place" and view.shows(at):
                yield from zones.around(view.of(at), zones.told(plan.places[of.id].zones), view.box)

    def _paths(self, view: View) -> Iterator[Drawn]:
        for id, points in self.paths.items():
            of = Link("entry", f"paths.{id}")
            pen = _PATH if id in self.loom.net.paths else _NO_WAY
            for line, _ in view.cut(points):
                yield Polyline(tuple(line), pen, layer="places", of=of)
            if id in self._holes and (at := middle_of(points)) and view.shows(at):
                yield Symbol(HOLE, view.of(at), scale=0.8, layer="symbols", of=of)

    @cached_property
    def _holes(self) -> dict[str, str]:
        """By path with a hole, what it is called."""
        plan = self.job.plan
        holes = [id for id in plan.paths if isinstance(plan.paths[id].hole, Quantity)]
        return {id: f"H{n}" for n, id in enumerate(holes, 1)}

    def _places(self, view: View) -> Iterator[Drawn]:
        plan, labels = self.job.plan, []
        for of, (_, _, point) in self.corners.items():
            if view.shows(point):
                x, y = view.of(point)
                yield rectangle(
                    x - _CORNER, y - _CORNER, 2 * _CORNER, 2 * _CORNER, fill="paper", pen=_PATH, of=of
                )
        for of, point in self.spots.items():
            yield from self._extent(view, of)
            if not view.shows(point):
                continue
            at = view.of(point)
            yield Circle(at, _SPOT, "paper", _RING, of=of)
            labels.append(Label(of.id, self._there(of), at, of))
            studs = [id for id, stud in plan.studs.items() if of == Link("place", stud.place)]
            for n, id in enumerate(studs):
                yield Symbol(STUD, (at[0] + 3.4 + 3.0 * n, at[1]), scale=0.7, of=Link("stud", id))
        if view.look != "plan" or not labels:
            return
        box, upper = view.box, upper_of(labels, view.of((0.0, 0.0, 0.0))[1])
        yield from row(upper, box.left, box.right, box.top, up=True)
        lower = [one for one in labels if one not in upper]
        yield from row(lower, box.left, box.right, box.bottom + 6.5, up=False)

    def _extent(self, view: View, of: Link) -> Iterator[Drawn]:
        """Yield the outline of a place that reaches from one point to another."""
        at = self.job.plan.places[of.id].at if of.kind == "place" else None
        if at is None or view.look not in ("plan", "roof") or not view.shows(self.spots[of]):
            return
        ends = [(one.low, one.high) for one in at if isinstance(one, Quantity)]
        if len(ends) == 3 and any(high - low > 0.1 for low, high in ends[:2]):
            (x, y), (x_2, y_2) = (view.of((ends[0][k], ends[1][1 - k], ends[2][0])) for k in (0, 1))
            yield rectangle(x, y, x_2 - x, y_2 - y, pen=PLACE, layer="frame")

    def _names(self, view: View) -> Iterator[tuple[Point, str, Link]]:
        """Give the names of holes, and in the smaller views of places, with where they are."""
        for path, name in self._holes.items():
            at = middle_of(self.paths.get(path, ()))
            if at is not None and view.shows(at):
                yield view.of(at), name, Link("entry", f"paths.{path}")
        if view.look != "plan":
            yield from ((view.of(at), of.id, of) for of, at in self.spots.items() if view.shows(at))

    def _there(self, of: Link) -> str:
        """Return what stands at a spot, and its zones."""
        if of.kind == "part":
            return name_of(self.job.plan.parts[of.id], of.id)
        plan = self.job.plan
        own = [
            id
            for id, part in plan.parts.items()
            if part.place == of.id and Link("part", id) not in self.spots
        ]
        parts = [name_of(plan.parts[id], id) for id in own]
        studs = [id for id, stud in plan.studs.items() if stud.place == of.id]
        words = [zones.word(zone) for zone in zones.told(plan.places[of.id].zones)]
        return ", ".join([*parts, *studs, *(one for one in words if one != zones.word(of.id))])

    # --- findings --------------------------------------------------------------------------

    def _spots_of_things(self) -> dict[str, Point]:
        """Return where on the plan a part, stud, place or wire (the middle of its longest line) is."""
        plan, view = self.job.plan, self.layout.views[0]
        found: dict[str, Point] = {}
        for wire, lines in self._plan_lines.items():
            longest = max(lines, key=length_along)
            for id in (wire, self.job.wires[wire].run):
                found.setdefault(id, cut_out(longest, 0.0, length_along(longest) / 2)[-1])
        for id, stud in plan.studs.items():
            if (at := self.spots.get(Link("place", stud.place))) is not None:
                found[id] = view.of(at)
        for id, part in self.job.wiring.parts.items():
            point = where_of(self.job.wiring, f"{id}.") if part else None
            if point is not None:
                found[id] = view.of(point)
        return {of.id: view.of(at) for of, at in self.spots.items()} | found

    @cached_property
    def _plan_lines(self) -> dict[str, list[tuple[Point, ...]]]:
        found: dict[str, list[tuple[Point, ...]]] = {}
        for lie, points, _, _ in self.wires.laid(self.layout.views[0]):
            if length_along(points) > 1.0:
                found.setdefault(lie.wire, []).append(points)
        return found


__all__ = ["COLUMNS", "VanDrawing", "van_sheets"]
