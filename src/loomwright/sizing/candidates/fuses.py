"""Fuses: another rating, another type, one where there is none; more copper where the fuse asks for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from loomwright.assessment.record import FuseFigure, WireFigure
from loomwright.assessment.sizes import rating_table
from loomwright.assessment.wires import rating_with
from loomwright.errors import OutOfTableError
from loomwright.plan.edit import Edit
from loomwright.plan.model import Run
from loomwright.plan.values import Fuse, Quantity
from loomwright.protection.fusing import FILL, smallest_fuse, standard_ratings, usual_type
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change
from .copper import ladder, losses, may_grow, sizes_for, thicker

#: So many sizes are tried, from the first that carries the current.
_SIZES = 3
#: Types that stand alone at a source, the commonest first.
_AT_SOURCE = ("blade", "bolted", "post", "high_breaking")


def pieces_of(base: Base, run: str) -> list[WireFigure]:
    """Return the rated pieces of a run."""
    wires = base.assessment.wires.values()
    return [wire for wire in wires if wire.run == run and not wire.mains and wire.rating_a is not None]


def size_that_carries(base: Base, run: str, amps: float) -> float | None:
    """Return the smallest standard area above that of a run whose derated rating holds so much. [mm²]"""
    table = rating_table(base.assessment.plan)
    for area in ladder(base, run) if may_grow(base, run) else ():
        ratings = [rating_with(wire, area, table) for wire in pieces_of(base, run)]
        if min(ratings, default=0.0) >= amps:
            return area
    return None


def for_overloaded_cable(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the smallest sizes that carry the load and the fuse before it, then the load alone."""
    wires = pieces_of(base, finding.where)
    current = max((wire.current_a or 0.0 for wire in wires), default=0.0)
    fuses = [fuse.rating_a or 0.0 for wire in wires for fuse in _guards([wire])]
    for amps in dict.fromkeys((max([current, *fuses]), current)):
        if (area := size_that_carries(base, finding.where, amps)) is not None:
            for size in (area, *(a for a in ladder(base, finding.where) if a > area))[:_SIZES]:
                yield thicker(base, {finding.where: size})


def for_large_fuse(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the largest fuse that the cable holds, else the cable that holds the fuse, else both."""
    wires = pieces_of(base, finding.where)
    for fuse in _guards(wires):
        if fuse.rating_a is None or fuse.rating_a <= min((w.rating_a or 0.0 for w in wires), default=0.0):
            continue
        if fuse.largest_safe_a is not None:
            yield from _other_rating(base, finding.where, fuse, fuse.largest_safe_a)
        if (area := size_that_carries(base, finding.where, fuse.rating_a)) is not None:
            yield thicker(base, {finding.where: area})
        enough = _enough(fuse)
        if enough is not None and (area := size_that_carries(base, finding.where, enough)) is not None:
            for fused in _other_rating(base, finding.where, fuse, enough):
                more = thicker(base, {finding.where: area})
                yield fused.then(more)


def for_thin_lead(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the largest fuse that the lead of a part stands and that its load fills to four fifths at most."""
    run, most = finding.also[0], finding.limit or 0.0
    for fuse in _guards(pieces_of(base, run)):
        if fuse.rating_a is not None and fuse.rating_a > most:
            held = [rating for rating in standard_ratings(_kind(fuse)) if rating <= most]
            for rating in held[-1:]:
                if rating >= (_enough(fuse) or 0.0):
                    yield from _other_rating(base, run, fuse, rating)


def for_full_fuse(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the smallest fuse that its load fills to four fifths, with the cable that this fuse asks for."""
    main = base.assessment.main_fuses.get(finding.where)
    fuses = [main] if main is not None else [f for w in pieces_of(base, finding.where) for f in w.fuses]
    for fuse in fuses:
        enough = _enough(fuse)
        if fuse.rating_a is None or enough is None or enough <= fuse.rating_a:
            continue
        for fused in _other_rating(base, finding.where, fuse, enough):
            yield fused
            if (area := size_that_carries(base, finding.where, enough)) is not None:
                more = thicker(base, {finding.where: area})
                yield fused.then(more)


def next_ratings(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the next larger ratings of the fuses of a run, with the cable that they ask for."""
    wires = pieces_of(base, finding.where)
    cable = min((wire.rating_a or 0.0 for wire in wires), default=0.0)
    for fuse in (fuse for wire in wires for fuse in wire.fuses):
        larger = [r for r in standard_ratings(_kind(fuse)) if fuse.rating_a is not None and r > fuse.rating_a]
        for rating in larger[:_SIZES]:
            for fused in _other_rating(base, finding.where, fuse, rating):
                area = size_that_carries(base, finding.where, rating) if rating > cable else None
                yield fused if area is None else fused.then(thicker(base, {finding.where: area}))


def for_volts_in_a_full_fuse(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a fuse that is filled too far in the size that its load asks for, and more copper beside it.

    A small fuse has more resistance than a metre of its cable: where it is too small, it costs volts too.
    """
    for fuse in (fuse for wire in pieces_of(base, finding.where) for fuse in wire.fuses):
        enough = _enough(fuse)
        if fuse.rating_a is None or enough is None or enough <= fuse.rating_a:
            continue
        saved = 1.0 - fuse.rating_a / enough
        carrying = size_that_carries(base, finding.where, enough) or 0.0
        for fused in _other_rating(base, finding.where, fuse, enough):
            for loss in losses(base, finding):
                in_fuse = sum(s.volts for s in loss.shares if s.ohm.what.startswith("fuse"))
                rest = replace(loss, excess_v=loss.excess_v - saved * in_fuse * loss.scale)
                for sizes_of in sizes_for(base, finding.where, rest):
                    own = max(sizes_of.get(finding.where, 0.0), carrying)
                    more = thicker(base, {**sizes_of, **({finding.where: own} if own else {})})
                    yield fused.then(more)


def for_unknown_fuse(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the fuses that load and cable allow, the smallest first, in place of one that nobody knows."""
    run = base.assessment.plan.wiring.get(finding.where)
    wires = pieces_of(base, finding.where)
    if run is None or not wires:
        return
    current = max(wire.current_a or 0.0 for wire in wires)
    cable = min(wire.rating_a or 0.0 for wire in wires)
    typed = run.fuse if isinstance(run.fuse, tuple) and run.fuse else (Fuse(_amps(0.0)),)
    for rating in _window(typed[0].type or "blade", current, cable)[::-1]:
        changed = tuple(replace(fuse, rating=_amps(rating)) for fuse in typed)
        says = f"a {rating:g} A fuse in {run.id} in place of the one that nobody knows"
        yield change(says, Edit(f"wiring.{run.id}.fuse", fuse_data(changed)))


def for_missing_fuse(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a fuse at each end that lacks one: of a type and a rating that suit the short and the cable."""
    run = base.assessment.plan.wiring.get(finding.where)
    wires = pieces_of(base, finding.where)
    if run is None or not wires:
        return
    current = max(wire.current_a or 0.0 for wire in wires)
    cable = min(wire.rating_a or 0.0 for wire in wires)
    present = [fuse.rating_a for wire in wires for fuse in wire.fuses if fuse.rating_a is not None]
    near = max(present, default=0.0)
    for place in _open_sides(base, run.id):
        for type in _AT_SOURCE:
            for rating in _window(type, current, cable, near=near):
                yield _added(run.id, run.fuse if isinstance(run.fuse, tuple) else (), rating, type, place)
        for type in _AT_SOURCE:
            least = _smallest(type, current)
            area = None if least is None else size_that_carries(base, run.id, least)
            if least is not None and area is not None:
                fuse = _added(run.id, run.fuse if isinstance(run.fuse, tuple) else (), least, type, place)
                more = thicker(base, {run.id: area})
                yield fuse.then(more)


def for_weak_fuse(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a type that breaks more: in this rating, in the next that the cable holds, with more copper."""
    for run in base.assessment.plan.wiring.values():
        wires = pieces_of(base, run.id)
        figures = [fuse for wire in wires for fuse in wire.fuses]
        named = run.id == finding.where or run.id in finding.also
        if not named or not figures or not isinstance(run.fuse, tuple) or not run.fuse:
            continue
        present, current = figures[0].rating_a or 0.0, figures[0].lasting_a or 0.0
        most = max(present, min(wire.rating_a or 0.0 for wire in wires))
        others = [type for type in _AT_SOURCE if type != run.fuse[0].type]
        for type in others:
            for rating in _window(type, current, most, near=present):
                yield _other_type(run, present, rating, type)
        for type in others:
            larger = next((r for r in standard_ratings(type) if r > most and current <= FILL * r), None)
            area = None if larger is None else size_that_carries(base, run.id, larger)
            if larger is not None and area is not None:
                yield _other_type(run, present, larger, type).then(thicker(base, {run.id: area}))


def _other_type(run: Run, present: float, rating: float, type: str) -> Candidate:
    """Return the change of the fuses of a run to another type."""
    fuses = run.fuse if isinstance(run.fuse, tuple) else ()
    bare = [replace(one, breaks=None, voltage=None, resistance=None) for one in fuses]
    changed = [replace(one, rating=_amps(rating), type=type) for one in bare]
    says = f"a {rating:g} A {_words(type)} fuse in place of the {present:g} A of {run.id}"
    return change(says, Edit(f"wiring.{run.id}.fuse", fuse_data(changed)))


# --- what is typed -----------------------------------------------------------------------------------


def fuse_data(fuses: Sequence[Fuse]) -> object:
    """Return fuses as they are typed: a text, a map where the long form is needed, a list of several."""
    alike = len({replace(fuse, at="") for fuse in fuses}) == 1
    if alike and sorted(fuse.at for fuse in fuses) == ["from", "to"]:
        return _one(replace(fuses[0], at="both"))
    typed = [_one(fuse) for fuse in fuses]
    return typed[0] if len(typed) == 1 else typed


def _one(fuse: Fuse) -> object:
    long = {
        name: amount.typed
        for name in ("breaks", "voltage", "distance", "resistance")
        if isinstance(amount := getattr(fuse, name), Quantity)
    }
    if fuse.plus_mark != "none":
        long["plus_mark"] = str(getattr(fuse.plus_mark, "value", fuse.plus_mark))
    rating = fuse.rating.typed if isinstance(fuse.rating, Quantity) else str(fuse.rating.value)
    if long:
        head = {"rating": rating} | ({"type": fuse.type} if fuse.type else {})
        return head | ({"at": fuse.at} if fuse.at != "from" else {}) | long
    text = rating if fuse.type is None else f"{rating} {fuse.type}"
    return text if fuse.at == "from" else f"{text} at {fuse.at}"


def _amps(rating: float) -> Quantity:
    return Quantity(rating, rating, "A", f"{rating:g} A")


def _words(type: str) -> str:
    return type.replace("_", " ")


# --- ratings -----------------------------------------------------------------------------------------


def _guards(wires: Sequence[WireFigure]) -> list[FuseFigure]:
    own = [fuse for wire in wires for fuse in wire.fuses]
    return own or [wire.upstream_fuse for wire in wires if wire.upstream_fuse is not None][:1]


def _kind(fuse: FuseFigure) -> str:
    return fuse.kind if fuse.kind and fuse.kind != "unknown" else usual_type(fuse.rating_a or 0.0)


def _smallest(type: str, current: float) -> float | None:
    try:
        return smallest_fuse(current, type=type)
    except OutOfTableError:
        return None


def _enough(fuse: FuseFigure) -> float | None:
    """Return the smallest rating of its type that carries what lasts through a fuse. [A]"""
    return _smallest(_kind(fuse), fuse.lasting_a or 0.0)


def _window(type: str, current: float, cable: float, *, near: float | None = None) -> list[float]:
    """Return ratings of a type between load and cable: those nearest to `near`, else the largest first."""
    fit = [r for r in standard_ratings(type) if current <= FILL * r and r <= cable]
    if near is not None:
        return sorted(fit, key=lambda rating: abs(rating - near))[:2]
    return fit[::-1][:3]


def _open_sides(base: Base, run: str) -> list[str]:
    """Return where a run lacks a fuse: "from", "to" or "both"."""
    pieces = base.assessment.wiring.runs[run].pieces
    first, last = pieces[0].id, [piece for piece in pieces if not piece.is_return][-1].id
    lacking = {(end.piece, end.side) for end in base.assessment.faults.unfused if end.run == run}
    sides = ["from"] if (first, "a") in lacking else []
    sides += ["to"] if (last, "b") in lacking else []
    return ["both", *sides] if len(sides) == 2 else sides


def _added(run: str, fuses: tuple[Fuse, ...], rating: float, type: str, place: str) -> Candidate:
    """Return the change that adds a fuse to those of a run."""
    places = ("from", "to") if place == "both" else (place,)
    more = tuple(Fuse(_amps(rating), type, at) for at in places if at not in {one.at for one in fuses})
    where = "both ends" if place == "both" else f"its {'start' if place == 'from' else 'end'}"
    says = f"a {rating:g} A {_words(type)} fuse in {run} at {where}"
    return change(says, Edit(f"wiring.{run}.fuse", fuse_data((*fuses, *more))))


def _other_rating(base: Base, where: str, fuse: FuseFigure, rating: float) -> Iterator[Candidate]:
    """Give the change of one fuse to another rating, wherever in the plan it is typed."""
    says = f"a {rating:g} A fuse in place of the {fuse.rating_a:g} A at {fuse.at}"
    plan = base.assessment.plan
    if where in base.assessment.main_fuses and where in plan.parts:
        typed = plan.parts[where].main_fuse
        if isinstance(typed, tuple):
            changed = tuple(replace(one, rating=_amps(rating)) for one in typed)
            yield change(says, Edit(f"parts.{where}.main_fuse", fuse_data(changed)))
        return
    for run in (plan.wiring.get(where), *plan.wiring.values()):
        if run is None or not isinstance(run.fuse, tuple):
            continue
        figures = [f for w in base.assessment.wires.values() if w.run == run.id for f in w.fuses]
        if not any(f.at == fuse.at and f.rating_a == fuse.rating_a for f in figures):
            continue
        changed = tuple(
            replace(one, rating=_amps(rating))
            if isinstance(one.rating, Quantity) and one.rating.high == fuse.rating_a
            else one
            for one in run.fuse
        )
        yield change(says, Edit(f"wiring.{run.id}.fuse", fuse_data(changed)))
        return
    unit, _, name = where.rpartition("/")
    at = f"parts.{unit.replace('/', '.inside.parts.')}.inside.wiring.{name}.fuse"
    typed, was = base.at(at) if unit else None, f"{fuse.rating_a:g} A"
    if isinstance(typed, str) and typed.startswith(was):
        yield change(says, Edit(at, f"{rating:g} A{typed.removeprefix(was)}"))


__all__ = [
    "for_full_fuse",
    "for_large_fuse",
    "for_missing_fuse",
    "for_overloaded_cable",
    "for_unknown_fuse",
    "for_volts_in_a_full_fuse",
    "for_weak_fuse",
    "fuse_data",
    "next_ratings",
]
