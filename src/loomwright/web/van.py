"""The van sheet on the page: a board to move things on, with its bands and its list."""

from __future__ import annotations

from typing import Any

from loomwright.assessment.along_record import Along
from loomwright.assessment.sizes import stops_of
from loomwright.diagrams.van import BANDS, By, VanDrawing
from loomwright.diagrams.van.bands import teller
from loomwright.documents.compared import parts_at, typed_lengths, wires_at
from loomwright.drawing.scene import Link
from loomwright.plan.model import Plan
from loomwright.plan.values import Quantity

from .markup import fill
from .reading import Reading

#: The key of the sheet.
VAN_SHEET = "van"
#: By which band the sheet tells of shorts.
OPENING = "opening"
#: By these it tells one figure of each wire.
FIGURED = ("current", "drop")


def band_of(asked: str) -> By:
    """Return the band that a page asks for; none if there is no such band."""
    return next((band for band in BANDS if band == asked), "")


def strip(reading: Reading, band: By, as_list: bool) -> str:
    """Return what stands over the van sheet: its bands, and places of which nobody says where they are."""
    plan = reading.plan
    waiting = [("place", id, parts_at(plan, id)) for id in plan.places if not stops_of(plan, id)]
    waiting += [("path", id, ["path"]) for id in plan.paths if not stops_of(plan, id)]
    drawn = bool(reading.van("").spots)
    return fill("van_strip.html", bands=BANDS, band=band, as_list=as_list, waiting=waiting, drawn=drawn)


def listed(reading: Reading) -> str:
    """Return the places and paths as tables with fields."""
    plan, job = reading.plan, reading.checked.assessment
    places = [
        (
            id,
            _typed(place.at),
            parts_at(plan, id),
            list(place.zones),
            typed_lengths(job, wires_at(job, "place", id)),
        )
        for id, place in plan.places.items()
    ]
    parts = [(id, _typed(part.at)) for id, part in plan.parts.items() if part.at is not None]
    paths = [
        (id, _corners(plan, id), _length(reading, id), list(path.zones or ()))
        for id, path in plan.paths.items()
    ]
    return fill("van_list.html", places=places, parts=parts, paths=paths)


def moving(drawing: VanDrawing) -> dict[str, Any]:
    """Return what is needed to move things: views, what can be moved, where it is drawn, paths to snap to."""
    views = drawing.layout.views
    handles = []
    for of, at in drawing.spots.items():
        there = parts_at(drawing.job.plan, of.id) if of.kind == "place" else []
        handles.append(_handle(drawing, of, at, {"kind": of.kind, "id": of.id, "with": there}))
    for of, (path, corner, at) in drawing.corners.items():
        handles.append(_handle(drawing, of, at, {"kind": "path", "id": path, "corner": corner, "with": []}))
    return {
        "views": [
            {
                "look": view.look,
                "box": list(view.box),
                "axes": [[axis.of, axis.at_edge_m, axis.m_per_mm] for axis in view.axes],
            }
            for view in views
        ],
        "handles": handles,
        "paths": {id: [list(point) for point in points] for id, points in drawing.paths.items()},
    }


def _handle(
    drawing: VanDrawing, of: Link, at: tuple[float, float, float], told: dict[str, Any]
) -> dict[str, Any]:
    spots = [[number, *view.of(at)] for number, view in enumerate(drawing.layout.views) if view.shows(at)]
    return {**told, "thing": {"kind": of.kind, "id": of.id}, "at": list(at), "spots": spots}


def along_of_van(drawing: VanDrawing) -> dict[str, Any]:
    """Return what shorts do along each wire, with the metre of each corner of its lines on the van sheet."""
    lines = {
        wire: [[[x, y, m] for (x, y), m in zip(points, metres, strict=True)] for points, metres in all_of]
        for wire, all_of in drawing.lines.items()
    }
    return _along(drawing.job.faults.along, lines)


def figures_of_van(drawing: VanDrawing) -> dict[str, str]:
    """Return by wire what the bands of the van sheet say of it."""
    tell = teller(drawing.job, drawing.by)
    said = ((wire, tell(wire, 0.0)) for wire in drawing.loom.laid)
    return {wire: one.text for wire, one in said if one is not None}


def along_of_wiring(reading: Reading, number: int) -> dict[str, Any]:
    """Return the same for a sheet of the wiring, counted from 0: the metre is the share of the drawn way."""
    return _along(reading.checked.assessment.faults.along, reading.wiring.metres(number))


def _along(along: Any, lines: Any) -> dict[str, Any]:
    return {wire: {**_told(one), "lines": lines.get(wire, [])} for wire, one in along.items()}


def _told(one: Along) -> dict[str, Any]:
    return {
        "long": one.at_m[-1],
        "at": [list(row) for row in zip(one.at_m, one.least_each_a, one.most_each_a, strict=True)],
        "stretches": [
            [s.from_m, s.to_m, s.word, s.harmed, *(_finite(t) for t in (s.opens_s.low, s.opens_s.high))]
            for s in one.stretches
        ],
    }


def _finite(seconds: float) -> float | None:
    return seconds if seconds < float("inf") else None


def _typed(at: Any) -> list[str]:
    """Return coordinates as the fields of the list show them: the middle of a range."""
    return [f"{one.mid:.2f}" if isinstance(one, Quantity) else "" for one in at or (None, None, None)]


def _corners(plan: Plan, id: str) -> list[tuple[int, str, list[str]]]:
    """Return the stops of a path: number, the place that it is if it is one, else its coordinates."""
    stops = plan.paths[id].along or ()
    return [(n, stop, []) if isinstance(stop, str) else (n, "", _typed(stop)) for n, stop in enumerate(stops)]


def _length(reading: Reading, id: str) -> str:
    loom = reading.checked.assessment.loom
    return f"{loom.length_m(id):.1f} m" if id in loom.net.paths else ""


__all__ = [
    "FIGURED",
    "OPENING",
    "VAN_SHEET",
    "along_of_van",
    "along_of_wiring",
    "band_of",
    "figures_of_van",
    "listed",
    "moving",
    "strip",
]
