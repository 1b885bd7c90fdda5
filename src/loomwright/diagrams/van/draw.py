"""The van sheet: from above and from both sides, with places, paths, studs and every wire where it lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from loomwright.assessment.loom import Loom
from loomwright.assessment.record import Assessment
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
from loomwright.drawing.frame import PAPER, Border, border_items
from loomwright.drawing.geometry import Box
from loomwright.drawing.ink import FIELD, THIN, Pen, core_width_mm
from loomwright.drawing.lettering import shorten
from loomwright.drawing.scene import Circle, Drawn, Link, Polyline, Sheet, Symbol, Text, Wire, rectangle
from loomwright.drawing.symbols_parts import STUD
from loomwright.loom.lines import Point as Place
from loomwright.plan.values import Quantity
from loomwright.rules.check import Checked

from .labels import ROW_MM, Label, row
from .lanes import beside, lanes_of
from .view import Extent, View

TITLE = "Van plan: places, paths, holes"
KEY = "Outline: a plain box of the load space's size. Wires lie in their paths; thin: off them, to ends."
#: Scales that a sheet may have, the larger drawing first.
_SCALES = (15, 20, 25, 30, 40, 50)
#: Wires are drawn so much narrower than on the wiring sheet.
_RATIO = {"plan": 0.7, "left": 0.4, "right": 0.4}
#: The tables at the right, and the room that the views share. [mm]
_TABLE = Box(284.0, 22.0, 358.0, 241.0)
_VIEWS = Box(30.0, 22.0, 279.0, 241.0)
_HEAD, _BETWEEN, _SPOT = 6.0, 8.0, 1.6
#: Around the outermost places. [m]
_AROUND_M = 0.08
_SIGN = Pen("ink", 0.5)
_PATH = Pen("rule", 0.25)
_OFF = Pen("ink", 0.35)


def van_sheets(checked: Checked) -> tuple[Sheet, ...]:
    """Draw the van as a place.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings; no figure is worked out here.

    Returns
    -------
    tuple of Sheet
        One A3 sheet; none if the plan says of no place where it is.
    """
    drawing = _Drawing(checked)
    return (drawing.sheet(),) if drawing.spots else ()


@dataclass(frozen=True)
class _Drawing:
    checked: Checked

    @property
    def job(self) -> Assessment:
        return self.checked.assessment

    @property
    def loom(self) -> Loom:
        return self.job.loom

    @cached_property
    def spots(self) -> dict[str, Place]:
        """The places whose coordinates are known."""
        return self.loom.places

    def sheet(self) -> Sheet:
        job, findings = self.job, numbered(self.checked)
        border = Border(
            columns=8,
            title_block=title_block(job.plan, TITLE),
            findings=margin_entries(findings, {}),
            danger_band=danger_band(self.checked),
            notice=mains_notice(job),
            cautions=cautions(job, "Look behind every panel before you drill: fuel, brakes, airbags, looms."),
            key=KEY,
            signs=(STUD,),
        )
        views = self._views()
        return Sheet(
            width=PAPER[0],
            height=PAPER[1],
            title=f"{job.plan.title}: {TITLE}",
            description=f"{len(self.spots)} places and {len(self.loom.net.paths)} paths of {job.plan.title} "
            f"from above, 1:{views[0].scale}, and from both sides, 1:{views[1].scale}.",
            items=(
                *border_items(border),
                *(item for view in views for item in self._view(view)),
                *self._tables(),
            ),
        )

    # --- views ----------------------------------------------------------------------------------------

    def _views(self) -> tuple[View, View, View]:
        """Return the van from above, and both sides below it, as large as they fit."""
        extent, room = self._extent(), _VIEWS
        long, wide = extent.rear - extent.front, extent.right - extent.left
        tall = extent.top - extent.bottom
        rows = 2 * ROW_MM + 2 * _HEAD + _BETWEEN
        scale = next(
            (
                one
                for one in _SCALES
                if long * 1e3 / one <= room.width
                and wide * 1e3 / one + tall * 1e3 / _smaller(one, long) + rows <= room.height
            ),
            _SCALES[-1],
        )
        top = room.top + _HEAD + ROW_MM
        plan = View("plan", scale, extent, (room.left, top))
        under = plan.box.bottom + ROW_MM + _HEAD + _BETWEEN
        small = _smaller(scale, long)
        left = View("left", small, extent, (room.left, under))
        return plan, left, View("right", small, extent, (left.box.right + _BETWEEN, under))

    def _extent(self) -> Extent:
        """Return how far the van reaches: its load space, and all that lies outside it."""
        corners = [point for path in self.loom.net.paths.values() for point in path.points]
        xs, ys, zs = zip(*self.spots.values(), *corners, strict=True)
        long, wide, tall = self._load_space or (max(xs), 2 * max(map(abs, ys)), max(zs))
        return Extent(
            min(xs) - _AROUND_M,
            max(*xs, long) + _AROUND_M,
            min(*ys, -wide / 2) - _AROUND_M,
            max(*ys, wide / 2) + _AROUND_M,
            min(*zs, 0.0) - _AROUND_M,
            max(*zs, tall) + _AROUND_M,
        )

    def _view(self, view: View) -> Iterator[Drawn]:
        head = {
            "plan": ("Seen from above", "front at the left, the vehicle's left at the bottom"),
            "left": ("Left side", "front at the left"),
            "right": ("Right side", "front at the right"),
        }[view.look]
        lift = ROW_MM if view.look == "plan" else 0.0
        base = view.box.top - lift - 2.0
        name = Text((view.box.left, base), head[0], 3.6, 600)
        yield name
        yield Text((view.box.left + name.width + 3.0, base), f"1:{view.scale}, {head[1]}", 2.9, ink="grey")
        yield from self._outline(view)
        yield from self._paths(view)
        yield from self._wires(view)
        yield from self._places(view)

    @property
    def _load_space(self) -> tuple[float, float, float] | None:
        """Length, width and height of the load space, None if the plan does not say all three. [m]"""
        size = [one.mid for one in self.job.plan.vehicle.load_space or () if isinstance(one, Quantity)]
        return (size[0], size[1], size[2]) if len(size) == 3 else None

    def _outline(self, view: View) -> Iterator[Drawn]:
        """Yield the box of the load space; its front is at the back of the cab seats."""
        one = view.extent
        long, wide, tall = self._load_space or (one.rear, one.right - one.left, one.top)
        (x, y), (x_2, y_2) = view.of((0.0, -wide / 2, 0.0)), view.of((long, wide / 2, tall))
        left, top = min(x, x_2), min(y, y_2)
        yield rectangle(left, top, abs(x_2 - x), abs(y_2 - y), pen=_SIGN, layer="frame")

    def _paths(self, view: View) -> Iterator[Drawn]:
        for path in self.loom.net.paths.values():
            points = [view.of(point) for point in path.points]
            if len(points) > 1 and all(view.shows(point) for point in path.points):
                yield Polyline(tuple(points), _PATH, layer="places")

    def _wires(self, view: View) -> Iterator[Drawn]:
        job, loom = self.job, self.loom
        widths = {id: self._core(id, view) for id in loom.laid}
        lanes = lanes_of(loom, widths)
        for section in loom.sections:
            if all(view.shows(point) for point in section.points):
                points = [view.of(point) for point in section.points]
                for wire in section.wires:
                    line = beside(points, lanes[section.path, wire])
                    if line:
                        inks = inks_of(job.wires[wire].colour)
                        yield Wire(line, widths[wire], inks, of=Link("wire", wire))
        yield from self._off_paths(view)

    def _off_paths(self, view: View) -> Iterator[Drawn]:
        """Yield the stretches of wires off the paths, one line where several lie together."""
        known = set()
        for laid in self.loom.laid.values():
            for step in laid.route.stretches if laid.route is not None else ():
                ends = frozenset((step.a, step.b))
                if not step.path and ends not in known and view.shows(step.a) and view.shows(step.b):
                    known.add(ends)
                    line = beside([view.of(step.a), view.of(step.b)], 0.0)
                    if line:
                        yield Polyline(line, _OFF, layer="wires", of=Link("wire", laid.wire))

    def _core(self, wire: str, view: View) -> float:
        return core_width_mm(self.job.wires[wire].area_mm2 or 1.0, _RATIO[view.look])

    def _places(self, view: View) -> Iterator[Drawn]:
        plan, shown = self.job.plan, {}
        for id, point in self.spots.items():
            if view.shows(point):
                shown[id] = view.of(point)
                yield Circle(shown[id], _SPOT, "paper", _SIGN, of=Link("place", id))
        for id, stud in plan.studs.items():
            if stud.place in shown:
                x, y = shown[stud.place]
                yield Symbol(STUD, (x + 3.4, y), scale=0.7, of=Link("stud", id))
        labels = [Label(id, self._there(id), at, Link("place", id)) for id, at in shown.items()]
        box = view.box
        if view.look != "plan":
            named = [replace(one, says="") for one in labels if one.says]
            yield from row(named, box.left, box.right, box.bottom, up=False)
            return
        upper = [one for one in labels if one.at[1] < (box.top + box.bottom) / 2]
        lower = [one for one in labels if one not in upper]
        yield from row(upper, box.left, box.right, box.top, up=True)
        yield from row(lower, box.left, box.right, box.bottom, up=False)

    def _there(self, place: str) -> str:
        """Return what stands at a place."""
        parts = [name_of(part, id) for id, part in self.job.plan.parts.items() if part.place == place]
        studs = [id for id, stud in self.job.plan.studs.items() if stud.place == place]
        return ", ".join([*parts, *studs])

    # --- tables -----------------------------------------------------------------------------------------

    def _tables(self) -> Iterator[Drawn]:
        y = _TABLE.top + 4.0
        plan, loom = self.job.plan, self.loom
        holes = [
            (f"H{n}", one.path, f"{one.bore_mm:g} mm, needs {one.needed_mm:.0f}")
            for n, one in enumerate(loom.holes, 1)
        ]
        studs = [
            (id, stud.place, f"{len(figure.rings)} ring{'' if len(figure.rings) == 1 else 's'}")
            for id, stud in plan.studs.items()
            if (figure := self.job.studs.get(id)) is not None
        ]
        paths = []
        for id in loom.net.paths:
            thick = max((one.thick_mm for one in loom.sections if one.path == id), default=0.0)
            wires = {wire for one in loom.sections if one.path == id for wire in one.wires}
            long = loom.length_m(id)
            paths.append((id, f"{long:.1f} m", f"{len(wires)} wires, {thick:.0f} mm" if wires else "empty"))
        for title, rows in (("Holes", holes), ("Studs on the body", studs), ("Paths", paths)):
            if rows:
                yield from self._table(title, rows, y)
                y += 12.0 + 4.6 * len(rows)

    def _table(self, title: str, rows: Sequence[tuple[str, str, str]], y: float) -> Iterator[Drawn]:
        left, right = _TABLE.left, _TABLE.right
        yield Text((left, y), title, 3.3, 600)
        yield Polyline(((left, y + 1.4), (right, y + 1.4)), FIELD, layer="frame")
        for n, (id, what, says) in enumerate(rows):
            base = y + 5.6 + 4.6 * n
            yield Text((left, base), shorten(id, 25.0, 2.9, 600), 2.9, 600)
            yield Text((left + 26.0, base), shorten(what, 20.0, 2.9), 2.9, ink="grey")
            yield Text((right, base), shorten(says, 27.0, 2.9), 2.9, 400, "end")
            yield Polyline(((left, base + 1.3), (right, base + 1.3)), THIN, layer="frame")


def _smaller(scale: int, long: float) -> int:
    """Return the scale at which two sides fit beside one another below a plan of a scale."""
    room = (_VIEWS.width - _BETWEEN) / 2
    return next((one for one in _SCALES if one >= scale and long * 1e3 / one <= room), _SCALES[-1])


__all__ = ["van_sheets"]
