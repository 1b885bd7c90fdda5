"""Rules on what a short does: whether it ends, in time, and which fuse ends it."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from loomwright.assessment.along_record import FOLDS, NEVER, Along
from loomwright.assessment.record import FuseFigure
from loomwright.assessment.selective import Pair, overtaking
from loomwright.plan.values import Quantity
from loomwright.protection.adiabatic import ADIABATIC_SOURCE
from loomwright.protection.fusing import usual_type
from loomwright.protection.opening import opening_time
from loomwright.source import Source
from loomwright.tables.fuses import FUSE_TYPES

from .finding import Finding
from .registry import Job, rule

#: Where a fuse is told to be missing, too large or too far away, the short is told with it.
_TELL_OF_FUSES = ("missing_fuse", "fuse_above_cable_rating", "fuse_too_far", "fuse_rating_unknown")
#: Parts that choose what feeds what hangs on them.
_CHOOSERS = ("two_way", "intermediate", "selector", "change_over", "relay")
CLEARS = Source(
    work="common practice",
    place="a short at the far end draws what surely opens the fuse before it",
    checked="common practice",
)
SELECTIVE = Source(
    work="common practice", place="the fuse nearest to a short opens first", checked="common practice"
)
FOLDING = Source(
    work="common practice",
    place="a converter in a short gives its largest current and no more",
    checked="common practice",
)


@rule(
    worst="danger",
    asks="Does each cable outlast a short, in each mode?",
    why="A cable that gives in before the fuse has opened burns, with all that lies beside it.",
    source=ADIABATIC_SOURCE,
    last=True,
)
def short_outlasts_cable(job: Job) -> Iterator[Finding]:
    told = {one.where for one in job.found if one.rule in _TELL_OF_FUSES}
    if not any(run not in told for run in _chosen_runs(job)):
        return
    worst: dict[str, Along] = {}
    for one in job.assessment.faults.along.values():
        if one.harmed and one.run not in told:
            known = worst.setdefault(one.run, one)
            worst[one.run] = max(known, one, key=lambda along: along.at_most_s)
    for one in worst.values():
        yield _outlasts(job, one)


def _chosen_runs(job: Job) -> Iterator[str]:
    """Give the runs without a fuse of their own that begin where something chooses what feeds them.

    All others are guarded in each mode by what guards them at rest.
    """
    wiring = job.assessment.wiring
    for flat in wiring.runs.values():
        if flat.mains or flat.inner or any(piece.spots for piece in flat.pieces):
            continue
        parts = (wiring.parts.get(wiring.part_of(piece.a) or "") for piece in flat.pieces)
        if any(part is not None and part.kind in _CHOOSERS for part in parts):
            yield flat.id


def _outlasts(job: Job, one: Along) -> Finding:
    worst = one.hardest
    assert worst is not None, one.piece
    then = f" in {one.mode}" if one.mode else ""
    return Finding(
        rule="short_outlasts_cable",
        severity="danger",
        where=one.run,
        also=() if one.piece == one.run else (one.piece,),
        place=job.place(one.piece),
        value=worst.amps,
        limit=worst.rating_a,
        unit="A",
        says=f"a short on {one.piece}{then} draws {worst.amps:,.0f} A and {_opens(one, worst.opens_s)}; the "
        f"cable stands it for {worst.survives_s:.2g} s",
        do="fit a fuse that the cable allows where the wire begins, or use a larger cable",
        source=ADIABATIC_SOURCE,
        unknown=job.assessment.wires[one.piece].unknown,
        mode=one.mode,
    )


def _opens(one: Along, opens_s: float) -> str:
    if not one.order:
        return "no fuse is in its way"
    fuse = f"the {one.order[0].rating_a:g} A fuse at {one.order[0].at}"
    return f"{fuse} need not open" if math.isinf(opens_s) else f"{fuse} may take {opens_s:.2g} s to open"


@rule(
    worst="watch",
    asks="Does a short at the far end of each wire surely open its fuse?",
    why="A short that the fuse lets pass goes on for as long as the battery lasts. A cable that carries it "
    "is unharmed; the place of the short gets hot.",
    source=CLEARS,
)
def short_never_clears(job: Job) -> Iterator[Finding]:
    if not any(_may_never_clear(job)):
        return
    worst: dict[str, Along] = {}
    for one in job.assessment.faults.along.values():
        if one.word == NEVER and not (one.harmed or one.alone) and one.order:
            worst[one.run] = min(worst.get(one.run, one), one, key=lambda along: along.least_a)
    for one in worst.values():
        fuse = one.order[0]
        yield Finding(
            rule="short_never_clears",
            severity="watch",
            where=one.run,
            also=() if one.piece == one.run else (one.piece,),
            place=job.place(one.piece),
            value=one.least_a,
            limit=fuse.rating_a,
            unit="A",
            says=f"a short on {one.piece} may draw no more than {one.least_a:.3g} A: the {fuse.rating_a:g} A "
            f"fuse at {fuse.at} need not open",
            do="use a smaller fuse, a larger cable or a shorter way",
            source=CLEARS,
            unknown=job.assessment.wires[one.piece].unknown,
            mode=one.mode,
        )


def _may_never_clear(job: Job) -> Iterator[bool]:
    """Say of each circuit whether its smallest short leaves its fuse whole; a quick look before a close one.

    A fuse opens well below twice its rating; hot copper and aged joints double the ohms of a loop at the
    most, and a weak battery adds its own. Only where that is not enough is the short itself worked out.
    """
    guards: dict[str, FuseFigure] = {}
    for wire in job.assessment.wires.values():
        for fuse in (*wire.fuses, *([wire.upstream_fuse] if wire.upstream_fuse is not None else [])):
            known = guards.get(wire.run)
            if fuse.rating_a is not None and (known is None or fuse.rating_a > (known.rating_a or 0.0)):
                guards[wire.run] = fuse
    for circuit in job.assessment.circuits.values():
        loop, guard = circuit.loop_resistance_ohm or 0.0, guards.get(circuit.wire)
        rating = guard.rating_a or 0.0 if guard is not None else 0.0
        if guard is not None and 2.0 * rating * (2.0 * loop + 0.03) > 0.9 * circuit.system_v:
            yield any(_stays_whole(guard, rating, amps) for amps in _across(job, circuit.wire))


def _across(job: Job, run: str) -> list[float]:
    """Return the smallest shorts across the loads of a run. [A]"""
    across = job.assessment.faults.smallest.across
    return [across[piece.id].amps for piece in job.assessment.wiring.runs[run].pieces if piece.id in across]


def _stays_whole(fuse: FuseFigure, rating: float, amps: float) -> bool:
    kind = fuse.kind if fuse.kind in FUSE_TYPES else usual_type(rating)
    return math.isinf(opening_time(kind, rating, amps).high)


@rule(
    worst="note",
    asks="Does a short behind a converter open the fuse before it?",
    why="A converter gives a short no more than its largest current. Its fuses may stay whole: nothing "
    "burns, and nothing shows where the short is.",
    source=FOLDING,
)
def short_folds_back(job: Job) -> Iterator[Finding]:
    wiring = job.assessment.wiring
    if not any(part.kind == "converter" and part.wired is not False for part in wiring.parts.values()):
        return
    slow: dict[str, list[Along]] = defaultdict(list)
    for one in job.assessment.faults.along.values():
        if one.alone and one.order and one.word == FOLDS:
            slow[one.sources[0]].append(one)
    for source, ones in slow.items():
        part = wiring.parts.get(wiring.part_of(source) or source)
        amps = max(one.most_a for one in ones)
        runs = tuple(dict.fromkeys(one.run for one in ones))
        fuse = min((f for one in ones for f in one.order if f.rating_a), key=lambda f: f.rating_a or 0.0)
        typed = part is not None and isinstance(part.fold_back or part.current, Quantity)
        yield Finding(
            rule="short_folds_back",
            severity="note",
            where=source,
            also=runs,
            place=job.place(source),
            value=amps,
            limit=fuse.rating_a,
            unit="A",
            says=f"a short on {' or '.join(runs[:3])} draws {amps:.3g} A from {job.name(source)}, no more: "
            f"the {fuse.rating_a:g} A fuse at {fuse.at} need not open; the cable carries that for good",
            do="nothing burns; look for the short when all behind it is dead",
            source=FOLDING,
            unknown=() if typed else (f"parts.{source}.current",),
        )


@rule(
    worst="watch",
    asks="Does the fuse nearest to a short open before the one that feeds others too?",
    why="If the fuse before it opens first, all that hangs on that one goes dark with the faulty circuit.",
    source=SELECTIVE,
)
def fuse_before_opens_first(job: Job) -> Iterator[Finding]:
    worst: dict[str, Pair] = {}
    for pair in overtaking(job.assessment.faults.pairs):
        worst[pair.own.owner] = min(worst.get(pair.own.owner, pair), pair, key=lambda one: one.lead)
    for pair in worst.values():
        own, before = pair.own, pair.before
        yield Finding(
            rule="fuse_before_opens_first",
            severity="watch",
            where=own.owner,
            also=(before.owner,),
            place=job.place(own.owner),
            value=own.rating_a,
            limit=before.rating_a,
            unit="A",
            says=f"in a short of {pair.amps:,.0f} A on {own.owner} the {before.rating_a:g} A fuse at "
            f"{before.at}, which feeds others too, is likely to open before that of {own.rating_a:g} A",
            do="use a smaller or faster fuse for this circuit, or a larger one before it if its cable can",
            source=SELECTIVE,
        )
