"""What a move in the van has changed, in words: lengths, sizes, drops, grams, money, findings.

Two assessments are held side by side; nothing is worked out here but differences.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from loomwright.assessment.loom import Loom
from loomwright.assessment.record import Assessment, CircuitFigure, WireFigure
from loomwright.assessment.sizes import place_of
from loomwright.loom.bundles import wire_grams_per_m
from loomwright.plan.model import Plan
from loomwright.plan.values import Quantity
from loomwright.rules.check import Checked
from loomwright.rules.finding import Finding

from .lists import Lists

#: Less is not told. [m, %, g, of the plan's money, kg]
_METRES, _PERCENT, _GRAMS, _MONEY, _AXLE_KG = 0.02, 0.05, 5.0, 0.01, 0.1
#: So many of a kind are told by name.
_NAMED = 3


@dataclass(frozen=True, slots=True)
class Moved:
    """What was moved: a place, a part with coordinates of its own, or a path by one of its corners.

    `kind` is "place", "part" or "path"; `before` and `after` are where it was and is, if that is known. [m]
    `what` says it in other words than its id.
    """

    kind: str
    id: str
    before: tuple[float, float, float] | None = None
    after: tuple[float, float, float] | None = None
    what: str = ""


def told_move(before: Checked, after: Checked, moved: Moved) -> list[str]:
    """Return in sentences what a move has changed.

    Parameters
    ----------
    before, after : Checked
        The van as it was and as it is.
    moved : Moved
        What was moved between them.
    """
    old, new = before.assessment, after.assessment
    changed = [
        *_lengths(old, new),
        *_sizes(old, new),
        *_drops(old, new),
        *_weight_and_money(old, new),
        *_findings(before.findings, after.findings),
    ]
    return [_where(new.plan, moved), *(changed or ["No wire changes."]), *_typed(new, moved)]


def wires_at(job: Assessment, kind: str, id: str) -> list[str]:
    """Return the wires that a move of a place, part or path can change: they end there, or lie in it."""
    wiring, laid = job.wiring, job.loom.laid
    found = []
    for piece in wiring.pieces():
        if piece.id not in job.wires or not job.wires[piece.id].length_m:
            continue
        if kind == "path":
            route = laid[piece.id].route if piece.id in laid else None
            touches = id in wiring.runs[piece.run].run.via or (route is not None and id in route.paths)
        elif kind == "part":
            touches = id in (wiring.part_of(piece.a), wiring.part_of(piece.b))
        else:
            touches = id in (place_of(wiring, piece.a), place_of(wiring, piece.b))
        if touches:
            found.append(piece.id)
    return found


def typed_lengths(job: Assessment, wires: Iterable[str]) -> list[str]:
    """Return those of some wires whose length stands in the plan, so that it follows no move."""
    return [
        id
        for id in wires
        if not job.wires[id].inner and "length" not in job.wires[id].chosen and not _is_short(job, id)
    ]


def _is_short(job: Assessment, id: str) -> bool:
    """Say whether a wire is a lead to a stud beside its part, whose length nobody types and no way gives."""
    wire = job.wires[id]
    back = job.plan.wiring[wire.run].return_ if wire.run in job.plan.wiring else None
    own = back is not None and isinstance(back.length, Quantity)
    return wire.role == "return" and not own and wire.to in (*job.plan.studs, "body")


def parts_at(plan: Plan, place: str) -> list[str]:
    """Return the parts and studs that a place moves with it."""
    parts = [id for id, part in plan.parts.items() if part.place == place and part.at is None]
    return [*parts, *(id for id, stud in plan.studs.items() if stud.place == place)]


def loom_grams(loom: Loom) -> float:
    """Return what the wires of a van weigh, as far as size and length are known. [g]"""
    return sum(_grams(loom, wire) for wire in loom.wires.values())


# --- where


def _where(plan: Plan, moved: Moved) -> str:
    after, before = moved.after, moved.before
    what = moved.what or moved.id
    words = what if after is None else f"{what} to {spot_words(after)}"
    if after is not None and before is not None and before[1] * after[1] < 0.0:
        words += ", on the other side now"
    there = parts_at(plan, moved.id) if moved.kind == "place" else []
    if len(there) > 1:
        words += f"; {_and(there)} move with it"
    return f"{words}."


def spot_words(at: tuple[float, float, float]) -> str:
    """Return where a point is, without signs.

    Examples
    --------
    >>> spot_words((0.6, -0.7, 0.5)), spot_words((-0.45, 0.0, 0.15))
    ('0.60 m rearward, 0.70 m left, 0.50 m up', '0.45 m ahead, in the middle, 0.15 m up')
    """
    x, y, z = (round(one, 2) for one in at)
    aside = f"{abs(y):.2f} m {'right' if y > 0 else 'left'}" if y else "in the middle"
    along, high = ("ahead" if x < 0 else "rearward"), ("down" if z < 0 else "up")
    return f"{abs(x):.2f} m {along}, {aside}, {abs(z):.2f} m {high}"


# --- what differs


def _pairs(old: Assessment, new: Assessment) -> Iterator[tuple[WireFigure, WireFigure]]:
    return ((old.wires[id], wire) for id, wire in new.wires.items() if id in old.wires)


def _lengths(old: Assessment, new: Assessment) -> Iterator[str]:
    both = [
        (wire.id, was.length_m, wire.length_m)
        for was, wire in _pairs(old, new)
        if was.length_m is not None and wire.length_m is not None
    ]
    apart = sorted(
        (one for one in both if abs(one[2] - one[1]) >= _METRES), key=lambda one: -abs(one[2] - one[1])
    )
    longer, shorter = ([one for one in apart if (one[2] > one[1]) is up] for up in (True, False))
    if not apart:
        return
    parts = [_count(longer, "longer"), _count(shorter, "shorter")]
    told = ", ".join(f"{id} {was:.1f} → {now:.1f} m" for id, was, now in apart[:_NAMED])
    yield f"{' and '.join(filter(None, parts))}: {told}{_more(apart)}."


def _count(wires: Sequence[object], word: str) -> str:
    return f"{len(wires)} wire{'' if len(wires) == 1 else 's'} {word}" if wires else ""


def _sizes(old: Assessment, new: Assessment) -> Iterator[str]:
    apart = [
        f"{wire.id} {was.area_mm2:g} → {wire.area_mm2:g} mm²"
        for was, wire in _pairs(old, new)
        if was.area_mm2 is not None and wire.area_mm2 is not None and was.area_mm2 != wire.area_mm2
    ]
    if apart:
        yield f"Size of {', '.join(apart[:_NAMED])}{_more(apart)}."


def _drops(old: Assessment, new: Assessment) -> Iterator[str]:
    def each(job: Assessment) -> dict[tuple[str, str], CircuitFigure]:
        return {
            (one.id, one.load): one
            for one in job.circuits.values()
            if one.drop_pct is not None and one.path != "signal"
        }

    was, now = each(old), each(new)
    apart = [
        (circuit.load, was[key].drop_pct or 0.0, circuit.drop_pct or 0.0)
        for key, circuit in now.items()
        if key in was and abs((circuit.drop_pct or 0.0) - (was[key].drop_pct or 0.0)) >= _PERCENT
    ]
    apart.sort(key=lambda one: -abs(one[2] - one[1]))
    if apart:
        told = ", ".join(f"{load} {before:.1f} → {after:.1f} %" for load, before, after in apart[:_NAMED])
        yield f"Drop of {told}{_more(apart)}."


def _weight_and_money(old: Assessment, new: Assessment) -> Iterator[str]:
    grams = loom_grams(new.loom) - loom_grams(old.loom)
    if abs(grams) >= _GRAMS:
        yield f"{abs(grams):.0f} g {'more' if grams > 0 else 'less'} of wire."
    lists = [Lists(job) for job in (old, new)]
    by = lists[1].prices.total - lists[0].prices.total
    if abs(by) >= _MONEY:
        money = f"{abs(by):.2f} {lists[1].prices.currency}".strip()
        yield f"{money} {'more' if by > 0 else 'less'} at the prices of the plan."
    axles = [one.weights.axles for one in lists]
    if axles[0] is not None and axles[1] is not None:
        rear = axles[1].rear.mid - axles[0].rear.mid
        if abs(rear) >= _AXLE_KG:
            yield f"The rear axle bears {abs(rear):.1f} kg {'more' if rear > 0 else 'less'}."


def _grams(loom: Loom, wire: WireFigure) -> float:
    if wire.inner or wire.area_mm2 is None or not wire.length_m:
        return 0.0
    return wire_grams_per_m(wire.area_mm2, loom.thick_mm(wire.id)) * wire.length_m


def _findings(old: Sequence[Finding], new: Sequence[Finding]) -> Iterator[str]:
    def keyed(findings: Sequence[Finding]) -> dict[tuple[str, str], Finding]:
        return {(one.rule, one.where): one for one in findings}

    was, now = keyed(old), keyed(new)
    come = [one for key, one in now.items() if key not in was]
    gone = [one for key, one in was.items() if key not in now]
    for word, findings in (("New", come), ("Gone", gone)):
        if findings:
            first = findings[0]
            yield f"{word}: {first.where}: {first.says.split(';')[0].rstrip('.')}{_more(findings, 1)}."


def _typed(job: Assessment, moved: Moved) -> Iterator[str]:
    typed = typed_lengths(job, wires_at(job, moved.kind, moved.id))
    if typed:
        one = len(typed) == 1
        yield (
            f"The length{'' if one else 's'} of {', '.join(typed[: 2 * _NAMED])}{_more(typed, 2 * _NAMED)} "
            f"{'is' if one else 'are'} typed and do{'es' if one else ''} not follow."
        )


def _and(words: Sequence[str]) -> str:
    if len(words) > 2 * _NAMED:
        return f"{', '.join(words[: 2 * _NAMED])} and {len(words) - 2 * _NAMED} more"
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _more(all_of: Sequence[object], named: int = _NAMED) -> str:
    return f" and {len(all_of) - named} more" if len(all_of) > named else ""


__all__ = ["Moved", "loom_grams", "parts_at", "spot_words", "told_move", "typed_lengths", "wires_at"]
