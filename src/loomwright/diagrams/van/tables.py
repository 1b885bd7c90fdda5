"""The tables below the views: holes, studs, paths, zones, and places of which nobody says where they are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from loomwright.assessment.loom import Loom
from loomwright.assessment.record import Assessment
from loomwright.assessment.sizes import stops_of
from loomwright.drawing.geometry import Box
from loomwright.drawing.ink import FIELD, THIN
from loomwright.drawing.lettering import shorten
from loomwright.drawing.scene import Drawn, Link, Polyline, Text

from .bands import Said
from .zones import stroke, told, word

_LINE, _HEAD, _COLUMNS, _BETWEEN = 4.4, 1.6, 4, 6.0
#: Where the second and third column of a table begin and end, as shares of its width.
_SECOND, _THIRD = 0.34, 0.62
#: Rows that a table has at the least where others are longer.
_LEAST_ROWS = 3


@dataclass(frozen=True, slots=True)
class Row:
    """One line: what it is of, its name and what is said of it; a zone has its stroke."""

    name: str
    what: str = ""
    says: str = ""
    zone: str = ""
    of: Link | None = None


def rows_of(job: Assessment, holes: Mapping[str, str], said: Mapping[str, Said]) -> dict[str, list[Row]]:
    """Return the tables by their heads.

    Parameters
    ----------
    job : Assessment
    holes : mapping of str to str
        By path, the name of its hole.
    said : mapping of str to Said
        By path, the gravest that a band says there; empty without bands.
    """
    plan, loom = job.plan, job.loom
    needed = {one.path: one for one in loom.holes}
    tables = {
        "Holes": [Row(name, path, _bore(needed, path, job), of=_path(path)) for path, name in holes.items()],
        "Studs on the body": [
            Row(id, stud.place, _rings(job, id), of=Link("stud", id)) for id, stud in plan.studs.items()
        ],
        "Paths": [
            Row(id, _long(loom, id), _in_path(loom, id, said), of=_path(id))
            for id in plan.paths
            if stops_of(plan, id)
        ],
        "Zones": [Row(word(zone), "", _where(job, zone), zone) for zone in _zones(job)],
        "Nobody says where these are": [
            *(
                Row(id, "", _there(job, id), of=Link("place", id))
                for id in plan.places
                if id not in loom.places
            ),
            *(Row(id, "", "path", of=_path(id)) for id in plan.paths if not stops_of(plan, id)),
        ],
    }
    return {head: rows for head, rows in tables.items() if rows}


def draw_tables(tables: Mapping[str, Sequence[Row]], room: Box) -> Iterator[Drawn]:
    """Yield tables side by side and below one another; what has no room is counted."""
    width = (room.width - _BETWEEN * (_COLUMNS - 1)) / _COLUMNS
    lines = int((room.height - 2.0) / _LINE)
    left = {head: list(rows) for head, rows in tables.items()}
    for column in range(_COLUMNS):
        x, used = room.left + column * (width + _BETWEEN), 0
        for head in list(left):
            rows = left[head]
            if lines - used < 2 or (used and lines - used < min(len(rows), _LEAST_ROWS) + 1):
                break
            last = column == _COLUMNS - 1
            fit = min(len(rows), lines - used - 1)
            shown, rest = rows[:fit], rows[fit:]
            if last and rest:
                shown, rest = shown[:-1], rows[fit - 1 :]
            goes_on = "" if rows[0] is tables[head][0] else ", further"
            yield from _table(head + goes_on, shown, Box(x, room.top + used * _LINE, x + width, room.bottom))
            used += len(shown) + 1
            if last and rest:
                y = room.top + (used + 0.9) * _LINE
                yield Text((x, y), f"{len(rest)} more, in the plan", 2.9, ink="grey")
                used += 1
            used += _HEAD > 0
            left[head] = rest
            if not rest or last:
                del left[head]
            if rest:
                break


def _table(head: str, rows: Sequence[Row], room: Box) -> Iterator[Drawn]:
    left, right = room.left, room.right
    base = room.top + 3.4
    yield Text((left, base), head, 3.2, 600)
    yield Polyline(((left, base + 1.1), (right, base + 1.1)), FIELD, layer="frame")
    for n, row in enumerate(rows, 1):
        y = base + 0.3 + _LINE * n
        if row.zone:
            yield from stroke(row.zone, (left + 2.0, y - 1.0))
        indent = 5.0 if row.zone else 0.0
        second, third = left + _SECOND * room.width, left + _THIRD * room.width
        name_room = (second if row.what else third if row.says else right) - left - indent - 1.5
        yield Text((left + indent, y), shorten(row.name, name_room, 2.9, 600), 2.9, 600, of=row.of)
        if row.what:
            yield Text((second, y), shorten(row.what, third - second - 1.5, 2.9), 2.9, ink="grey")
        if row.says:
            says = shorten(row.says, right - (third if row.what else second), 2.9)
            yield Text((right, y), says, 2.9, 400, "end")
        yield Polyline(((left, y + 1.1), (right, y + 1.1)), THIN, layer="frame")


def _path(id: str) -> Link:
    return Link("entry", f"paths.{id}")


def _bore(needed: Mapping[str, object], path: str, job: Assessment) -> str:
    one = next((one for one in job.loom.holes if one.path == path), None)
    return f"{one.bore_mm:g} mm, needs {one.needed_mm:.0f}" if one is not None else "nothing passes"


def _rings(job: Assessment, id: str) -> str:
    figure = job.studs.get(id)
    count = 0 if figure is None else len(figure.rings)
    return f"{count} ring{'' if count == 1 else 's'}"


def _long(loom: Loom, id: str) -> str:
    return f"{loom.length_m(id):.1f} m" if id in loom.net.paths else "no way for wires"


def _in_path(loom: Loom, id: str, said: Mapping[str, Said]) -> str:
    wires = {wire for one in loom.sections if one.path == id for wire in one.wires}
    if id in said:
        return f"{said[id].text}, {said[id].wire}"
    if not wires:
        return "empty"
    thick = max(one.thick_mm for one in loom.sections if one.path == id)
    return f"{len(wires)} wire{'' if len(wires) == 1 else 's'}, {thick:.0f} mm"


def _zones(job: Assessment) -> list[str]:
    plan = job.plan
    there = {zone for place in plan.places.values() for zone in place.zones}
    return told(there.union(*(path.zones or () for path in plan.paths.values())))


def _where(job: Assessment, zone: str) -> str:
    plan = job.plan
    places = [id for id, place in plan.places.items() if zone in place.zones]
    return ", ".join([*places, *(id for id, path in plan.paths.items() if zone in (path.zones or ()))])


def _there(job: Assessment, place: str) -> str:
    parts = [id for id, part in job.plan.parts.items() if part.place == place]
    return ", ".join([*parts, *(id for id, stud in job.plan.studs.items() if stud.place == place)])


__all__ = ["Row", "draw_tables", "rows_of"]
