"""Rules on where fuses sit: one at every end that can feed a short, and near enough to what feeds it."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from loomwright.assessment.bands import largest_fuse
from loomwright.assessment.record import WireFigure
from loomwright.assessment.unfused import UnfusedEnd, barest_end, in_bank

from .finding import Finding, Severity
from .registry import Job, rule


@rule(
    worst="danger",
    asks="Is there a fuse at every end that can feed a short?",
    why="A battery drives thousands of amperes into a chafed cable; without a fuse at its end it burns. "
    "Chargers and panels limit themselves, and need a fuse only where they give more than the cable carries.",
)
def missing_fuse(job: Job) -> Iterator[Finding]:
    by_run: dict[str, list[UnfusedEnd]] = defaultdict(list)
    for end in job.assessment.faults.unfused:
        if end.fuse_m is None:
            by_run[end.run].append(end)
    for run, ends in by_run.items():
        lacking = [end for end in ends if _lacks_fuse(job, end)]
        if not lacking:
            continue
        nearest = barest_end(ends, run) if any(end.free for end in lacking) else None
        if nearest is not None:
            yield _bare(job, nearest)
        else:
            yield _outdone(job, max(lacking, key=lambda end: end.amps))


def _lacks_fuse(job: Job, end: UnfusedEnd) -> bool:
    """True if more comes in at this end for good than the cable carries, and it is not short enough."""
    wire = job.assessment.wires[end.piece]
    distance = job.limits.fuse_distance
    if end.free:
        return (
            _overdriven(job, end)
            and distance.level(end.reach_m) is not None
            and not in_bank(job.assessment.wiring, end.run, wire.length_m or 0.0)
        )
    if wire.rating_a is None or distance.level(wire.length_m or 0.0) is None:
        return False
    return _overdriven(job, end) and not _guarded_by_too_much(job, wire)


def _overdriven(job: Job, end: UnfusedEnd) -> bool:
    """True if more comes in for good than the cable carries; nobody knows what one of unknown size does."""
    rating = job.assessment.wires[end.piece].rating_a
    return rating is None or job.limits.fuse_over_cable.level(end.amps / max(rating, 1e-9)) == "fault"


def _guarded_by_too_much(job: Job, wire: WireFigure) -> bool:
    """True if a fuse of the same run, or the one before it, is too large: another rule says so."""
    run = [one for one in job.assessment.wires.values() if one.run == wire.run]
    fuses = [fuse for one in run for fuse in (*one.fuses, one.upstream_fuse) if fuse is not None]
    return any((fuse.rating_a or 0.0) > (wire.rating_a or 0.0) for fuse in fuses)


def _bare(job: Job, end: UnfusedEnd) -> Finding:
    """Say that a battery or an alternator drives a short through an end that has no fuse."""
    wire, short = job.assessment.wires[end.piece], job.assessment.faults.largest.ends.get(
        (end.piece, end.side)
    )  # fmt: skip
    amps = short.here_a if short is not None and short.here_a > 0.0 else end.amps
    good_for = "of unknown size" if wire.rating_a is None else f"good for {wire.rating_a:.3g} A"
    names = " and ".join(job.name(id) for id in _senders(job, end)[:2])
    return Finding(
        rule="missing_fuse",
        severity="danger",
        where=end.run,
        also=() if end.piece == end.run else (end.piece,),
        place=_place(job, end),
        value=amps,
        limit=wire.rating_a,
        unit="A",
        says=f"no fuse where {names} can drive {amps:,.0f} A into {end.piece} at {end.point}, "
        f"a cable {good_for}",
        do=f"fit {_fuse(wire)} within {_near(job)} of {names}",
        source=job.limits.fuse_distance.source,
        unknown=wire.unknown,
    )


def _senders(job: Job, end: UnfusedEnd) -> tuple[str, ...]:
    """Return the batteries that reach an end; alternators only where no battery does."""
    parts = job.assessment.wiring.parts
    batteries = tuple(id for id in end.sources if parts[id].kind != "alternator")
    return batteries or end.sources


def _outdone(job: Job, end: UnfusedEnd) -> Finding:
    """Say that fuses and self-limiting sources send more through an end than the cable carries."""
    wire, names = job.assessment.wires[end.piece], " and ".join(job.name(id) for id in end.sources[:3])
    together = " together" if len(end.sources) > 1 else ""
    severity: Severity = "watch" if end.unsaid else "fault"
    amps = "more than it carries" if math.isinf(end.amps) else f"{end.amps:.3g} A"
    says = f"{names}{together} can send {amps} for good into {end.piece} at {end.point}"
    if end.unsaid:
        says = f"nobody says what {names}{together} can give; counted with {amps} into {end.piece}"
    do = f"fit {_fuse(wire)} within {_near(job)} of {end.point}"
    return Finding(
        rule="missing_fuse",
        severity=severity,
        where=end.run,
        also=() if end.piece == end.run else (end.piece,),
        place=_place(job, end),
        value=None if math.isinf(end.amps) else end.amps,
        limit=wire.rating_a,
        unit="A",
        says=f"{says}, a cable good for {wire.rating_a or 0.0:.3g} A, and no fuse is there",
        do=f"{do}, or write what it gives at {end.unsaid[0]}" if end.unsaid else do,
        source=job.limits.fuse_distance.source,
        unknown=wire.unknown + end.unsaid,
    )


def _place(job: Job, end: UnfusedEnd) -> str:
    """Return in words where an end is, else where its wire runs."""
    part_id = job.assessment.wiring.part_of(end.point)
    return (job.place(part_id) if part_id is not None else "") or job.place(end.piece)


def _fuse(wire: WireFigure) -> str:
    """Return in words the largest fuse that a wire allows and that carries its load."""
    if wire.rating_a is None:
        return "a fuse of at most what the cable carries"
    lasting = wire.current_a or 0.0
    largest = [largest_fuse(kind, lasting, wire.rating_a) for kind in ("blade", "bolted")]
    most = max((rating for rating in largest if rating is not None), default=None)
    return "a larger cable with a fuse" if most is None else f"a fuse of {most:g} A or less"


def _near(job: Job) -> str:
    return f"{job.limits.fuse_distance.fault or 0.0:g} m"


@rule(
    worst="fault",
    asks="Does each fuse sit near its source?",
    why="The cable between a battery and its fuse is guarded by nothing.",
)
def fuse_too_far(job: Job) -> Iterator[Finding]:
    limit = job.limits.fuse_distance
    for end in job.assessment.faults.unfused:
        if end.fuse_m is None or limit.level(end.fuse_m) is None or not _overdriven(job, end):
            continue
        wire = job.assessment.wires[end.piece]
        if not end.free and wire.rating_a is None:
            continue
        yield Finding(
            rule="fuse_too_far",
            severity="fault",
            where=end.run,
            also=() if end.piece == end.run else (end.piece,),
            place=_place(job, end),
            value=end.fuse_m,
            limit=limit.fault,
            unit="m",
            says=f"the fuse of {end.piece} sits {end.fuse_m:g} m from {end.point}: that much cable has none",
            do=f"move it to within {limit.fault:g} m of {end.point}",
            source=limit.source,
            unknown=wire.unknown,
        )
