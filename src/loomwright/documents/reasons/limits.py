"""Which limits a thing is held against, whose they are, and how far it is from them."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.limits import limits_of
from loomwright.assessment.loads import LONG_START_S
from loomwright.assessment.record import (
    Assessment,
    CircuitFigure,
    FuseFigure,
    PassageFigure,
    StudFigure,
    WireFigure,
)
from loomwright.rules.drops import standards_beside
from loomwright.tables.limits import Limit

from .figures import quantity
from .record import Held
from .words import end_words


def _held(
    what: str, limit: Limit, value: float, unit: str, scale: float = 1.0, beside: tuple[str, ...] = ()
) -> Held:
    """Return one limit; `scale` turns its own figures into those that are printed."""
    watch, fault = (
        "" if level is None else quantity(level * scale, unit) for level in (limit.watch, limit.fault)
    )
    return Held(
        what=what,
        value=quantity(value * scale, unit),
        watch=watch,
        fault=fault,
        level=limit.level(value) or "within",
        source=limit.source,
        beside=beside,
    )


def circuit_limits(job: Assessment, circuit: CircuitFigure) -> Iterator[Held]:
    """Give the limits of a circuit: its drop running and starting, its worst dip."""
    limits, own = limits_of(job.plan), job.plan.basis.limit_set
    if circuit.path == "signal" or circuit.drop_pct is None:
        return
    charging = circuit.path == "charging"
    limit = (limits.charging_drop if charging else limits.drop).as_pct(circuit.system_v)
    rule = "charging_drop_too_large" if charging else "drop_too_large"
    what = "drop, charging" if charging else "drop, running"
    yield _held(what, limit, circuit.drop_pct, "%", beside=standards_beside(own, rule))
    if circuit.start_drop_pct is not None:
        long = (circuit.start_s or 0.0) > LONG_START_S
        limit = (limits.drop if long else limits.start_drop).as_pct(circuit.system_v)
        yield _held("drop at its start", limit, circuit.start_drop_pct, "%")
    if circuit.dips:
        yield _held("dip by another's start", limits.dip, circuit.dips[0].dip_v, "V")


def wire_limits(job: Assessment, wire: WireFigure, fuses: tuple[FuseFigure, ...]) -> Iterator[Held]:
    """Give the limits of a cable and of the fuses that guard it."""
    limits = limits_of(job.plan)
    if wire.rating_a and wire.current_a is not None and not wire.factory:
        yield _held(
            "current by cable", limits.load_over_rating, wire.current_a / wire.rating_a, "%", scale=100.0
        )
    for fuse in fuses:
        yield from fuse_limits(job, fuse, wire.rating_a, at=fuse.at if len(fuses) > 1 else "")
    if wire.joint_v:
        yield _held("one crimp or lug", limits.joint, wire.joint_v, "V")


def fuse_limits(job: Assessment, fuse: FuseFigure, cable_a: float | None, at: str = "") -> Iterator[Held]:
    """Give the limits of a fuse: against its cable, and how far it is filled; `at` tells it from others."""
    limits = limits_of(job.plan)
    where = f" at {end_words(job, at)}" if at else ""
    if fuse.rating_a is None:
        return
    if cable_a:
        yield _held(
            f"fuse by cable{where}", limits.fuse_over_cable, fuse.rating_a / cable_a, "%", scale=100.0
        )
    if fuse.lasting_a is not None:
        yield _held(
            f"current by fuse{where}", limits.load_over_fuse, fuse.lasting_a / fuse.rating_a, "%", scale=100.0
        )


def stud_limits(job: Assessment, stud: StudFigure) -> Iterator[Held]:
    """Give the limits of a stud: its rings, the volts in its contact."""
    limits = limits_of(job.plan)
    yield _held("rings on it", limits.stud_lugs, float(stud.lugs), "")
    yield _held("volts in its contact", limits.joint, stud.volts_v, "V")


def passage_limits(job: Assessment, passage: PassageFigure) -> Iterator[Held]:
    """Give the limits of a contact, pin, output, bar or converter."""
    limits = limits_of(job.plan)
    yield _held(
        f"current by {passage.what}",
        limits.load_over_rating,
        passage.current_a / passage.rating_a,
        "%",
        scale=100.0,
    )
    if passage.volts_v:
        yield _held(f"volts in the {passage.what}", limits.joint, passage.volts_v, "V")
