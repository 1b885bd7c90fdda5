"""What sits in each way of each fuse box, and the fuses that sit in no box. No sums here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from loomwright.assessment.record import Assessment, FuseFigure
from loomwright.diagrams.common import name_of
from loomwright.plan.model import Part
from loomwright.plan.pieces import Piece

#: So many loads of one way are named, the rest is counted.
NAMED = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseRow:
    """One way of a box, or one fuse outside of boxes.

    Attributes
    ----------
    box : str
        Id of the part whose lid it lies behind; empty for a fuse in a cable.
    way : str
        "1", "way 4", "main", "inside"; for a fuse in a cable the end it sits at.
    at : str
        The point as `check --json` has it, "P1.2".
    feeds : str
        What hangs on it, in words; "free" for a way without a wire.
    wires : tuple of str
        The runs that it guards.
    rating_a : float or None
        None where there is no fuse or its rating is not known. [A]
    rating : str
        As printed: "15 A", "15 A*" if the program chose it, "?" if not known, "none", "" for a free way.
    kind : str
        In plain words.
    """

    box: str
    way: str
    at: str
    feeds: str
    wires: tuple[str, ...] = ()
    rating_a: float | None = None
    rating: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseBox:
    """One lid: a fuse box, or a unit with ways inside."""

    id: str
    name: str
    place: str
    rows: tuple[FuseRow, ...]


def fuse_boxes(job: Assessment) -> tuple[FuseBox, ...]:
    """Return the boxes of a plan that have fuses or ways, each with its rows from the main fuse on.

    Parameters
    ----------
    job : Assessment
        Of the whole plan.
    """
    rows: dict[str, list[FuseRow]] = {}
    for id, part in job.wiring.parts.items():
        if part.kind == "fuse_box":
            rows.setdefault(_lid(id), []).extend(_rows_of_box(job, id, part))
    for piece, at, fuse in _spots(job):
        if piece.run.partition("/")[0] in job.wiring.parts and "/" in piece.run and not _is_way(job, at):
            lid = _lid(piece.run)
            rows.setdefault(lid, []).append(_row(job, lid, "inside", at, [piece], [fuse]))
    return tuple(_box(job, id, found) for id, found in rows.items() if found)


def loose_fuses(job: Assessment) -> tuple[FuseRow, ...]:
    """Return the fuses of the van's own cables that sit in no way of a box."""
    return tuple(
        _row(job, "", at, at, [piece], [fuse])
        for piece, at, fuse in _spots(job)
        if "/" not in piece.run and not _is_way(job, at)
    )


def _box(job: Assessment, id: str, rows: list[FuseRow]) -> FuseBox:
    part = job.wiring.parts[id]
    order = {"main": 0, "inside": 2}
    numbered = sorted(rows, key=lambda row: (order.get(row.way, 1), _way_number(row.way)))
    return FuseBox(id=id, name=name_of(part, id), place=part.place or "", rows=tuple(numbered))


def _way_number(way: str) -> int:
    digits = "".join(letter for letter in way if letter.isdecimal())
    return int(digits) if digits else 0


def _rows_of_box(job: Assessment, id: str, part: Part) -> Iterator[FuseRow]:
    if id in job.main_fuses:
        yield _main(job, id)
    for number in _ways(job, id, part):
        point = f"{id}.{number}"
        pieces = [piece for piece in job.wiring.by_point.get(point, ()) if not piece.is_return]
        way = _way_name(job, id, number, pieces)
        if not pieces:
            yield FuseRow(box=_lid(id), way=way, at=point, feeds="free")
            continue
        fuses = [fuse for piece, at, fuse in _spots(job, pieces) if at == point]
        yield _row(job, _lid(id), way, point, pieces, fuses)


def _ways(job: Assessment, id: str, part: Part) -> list[int]:
    """Return the numbers of a box's ways; where the plan does not say how many, those in use."""
    if isinstance(part.ways, int):
        return list(range(1, part.ways + 1))
    ends = (point.removeprefix(f"{id}.") for point in job.wiring.by_point if point.startswith(f"{id}."))
    return sorted({int(end) for end in ends if end.isdecimal()})


def _main(job: Assessment, id: str) -> FuseRow:
    own = id.rpartition("/")[2] if "/" in id else ""
    feeds = f"all ways of {own}" if own else "all ways"
    fuse = job.main_fuses[id]
    return FuseRow(
        box=_lid(id), way="main", at=f"{id}.main", feeds=feeds,
        rating_a=fuse.rating_a, rating=_rating(fuse), kind=_kind(fuse),
    )  # fmt: skip


def _row(
    job: Assessment, box: str, way: str, at: str, pieces: list[Piece], fuses: list[FuseFigure]
) -> FuseRow:
    runs = list(dict.fromkeys(piece.run for piece in pieces))
    return FuseRow(
        box=box,
        way=way,
        at=at,
        feeds=", ".join(_feeds(job, piece, at) for piece in _first_of_runs(pieces)),
        wires=tuple(runs),
        rating_a=fuses[0].rating_a if len(fuses) == 1 else None,
        rating=", ".join(_rating(fuse) for fuse in fuses) or "none",
        kind=", ".join(dict.fromkeys(_kind(fuse) for fuse in fuses)),
    )


def _first_of_runs(pieces: list[Piece]) -> list[Piece]:
    return list({piece.run: piece for piece in reversed(pieces)}.values())[::-1]


def _feeds(job: Assessment, piece: Piece, at: str) -> str:
    """Return in words what hangs on a way: the loads of a run that starts here, else where it comes from."""
    run = job.wiring.runs[piece.run]
    if piece.b == at or piece.b_text == at:
        return f"from {_name(job, run.pieces[0].a, run.scope)}"
    loads = [point for point in run.loads if not piece.load or job.wiring.part_of(point) == piece.load]
    names = list(dict.fromkeys(_name(job, point, run.scope) for point in loads or run.loads))
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return ", ".join(names[:NAMED]) + more


def _name(job: Assessment, point: str, scope: str) -> str:
    """Return the words for a point; from outside, a unit is named by its lid, not by what lies inside."""
    part = job.wiring.part_of(point)
    if part is None:
        return point.partition("@")[0]
    if "/" in part and not scope:
        return _lid(part)
    return name_of(job.wiring.parts[part], part)


def _way_name(job: Assessment, id: str, number: int, pieces: list[Piece]) -> str:
    """Return what is printed on the box: the number of a way, of a unit the name of its port."""
    lid = _lid(id)
    if id == lid:
        return str(number)
    inner = f"{id.removeprefix(lid + '/')}.{number}"
    ports = (port for port, end in job.wiring.parts[lid].ports.items() if f"{end.id}.{end.terminal}" == inner)
    typed = (
        text.removeprefix(f"{lid}.")
        for piece in pieces
        for text in (piece.a_text, piece.b_text)
        if text.startswith(f"{lid}.")
    )
    return next(ports, next(typed, inner)).replace("_", " ")


def _spots(job: Assessment, pieces: Iterable[Piece] | None = None) -> Iterator[tuple[Piece, str, FuseFigure]]:
    """Give every fuse of the 12/24 V side with its piece and the point it sits at."""
    for piece in job.wiring.pieces() if pieces is None else pieces:
        if job.wiring.runs[piece.run].mains:
            continue
        for spot, fuse in zip(piece.spots, job.wires[piece.id].fuses, strict=True):
            yield piece, spot.way or (piece.a_text if spot.side == "a" else piece.b_text), fuse


def _is_way(job: Assessment, at: str) -> bool:
    box, _, way = at.rpartition(".")
    return way.isdecimal() and box in job.wiring.parts and job.wiring.parts[box].kind == "fuse_box"


def _lid(id: str) -> str:
    return id.partition("/")[0]


def _rating(fuse: FuseFigure) -> str:
    if fuse.rating_a is None:
        return "?"
    return f"{fuse.rating_a:g} A{'*' if fuse.auto else ''}"


def _kind(fuse: FuseFigure) -> str:
    return fuse.kind.replace("_", " ")
