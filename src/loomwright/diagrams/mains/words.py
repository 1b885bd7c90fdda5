"""What stands beside the things of the mains sheet, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.assessment.mains.faulted import CaseFault
from loomwright.assessment.mains.guards import guarded_by
from loomwright.assessment.mains.layout import Bond, Gate
from loomwright.assessment.mains.pitch import Pitch
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import name_of, typed
from loomwright.plan.model import Part

from .graph import rating_of

#: So many supplies are told at an outlet, the rest is counted.
_MOST_SUPPLIES = 4


def breaker_words(gate: Gate) -> tuple[str, ...]:
    """Return what a breaker is: rating and curve, poles, an RCD in it."""
    if gate.breaker is None:
        return ()
    curve = "" if gate.breaker.curve == "unknown" else f" {gate.breaker.curve}"
    rcd = () if gate.residual is None else (f"{1e3 * gate.residual.trips_a:g} mA",)
    return (f"{gate.breaker.rating_a:g} A{curve}", poles_word(gate.poles), *rcd)


def rcd_words(gate: Gate) -> tuple[str, ...]:
    """Return what an RCD is: sensitivity, type, poles."""
    if gate.residual is None:
        return ("RCD: ?",) if gate.unknown else ("no RCD",)
    kind = () if gate.residual.type == "unknown" else (f"type {gate.residual.type}",)
    return (f"{1e3 * gate.residual.trips_a:g} mA", *kind, poles_word(gate.poles))


def poles_word(poles: int | None) -> str:
    """Return how many poles open."""
    return "? poles" if poles is None else f"{poles}-pole"


def pitch_words(job: Assessment) -> tuple[str, ...]:
    """Return a line for each supply of the plan."""
    told: dict[str, list[Pitch]] = {}
    for pitch in job.mains.pitches:
        told.setdefault(pitch.id, []).append(pitch)
    return tuple(_supply(job, id, pitches) for id, pitches in told.items())


def _supply(job: Assessment, id: str, pitches: list[Pitch]) -> str:
    one, plan = pitches[0], job.plan.supplies[id]
    kinds = {"tn": "TN", "tt": "TT", "none": "no earth"}
    earthing = " or ".join(kinds[pitch.earthing] for pitch in pitches)
    ohms = ", ".join(text for text in (typed(plan.loop), typed(plan.electrode)) if text)
    rcd = "" if one.residual is None else f", RCD {1e3 * one.residual.trips_a:g} mA"
    crossed = ", L and N crossed" if one.reversed else ""
    volts = f"{one.volts:g} V" if one.legs == 1 else f"{one.volts:g}/{2 * one.volts:g} V"
    return f"{id}: {one.rated_a:g} A, {volts}, {earthing}{f' {ohms}' if ohms else ''}{rcd}{crossed}"


def title_words(job: Assessment, id: str) -> tuple[str, str]:
    """Return the id of a part, and what else is told beside it: its name, and the unit that it sits in."""
    part = job.wiring.parts[id]
    words = [name_of(part, id)] if name_of(part, id) != id.rpartition("/")[2].replace("_", " ") else []
    if "/" in id:
        outer = id.partition("/")[0]
        words.append(f"in {name_of(job.plan.parts.get(outer), outer)}")
    return id, ", ".join(words)


def outlet_words(job: Assessment, id: str) -> Iterator[str]:
    """Give the lines under the name of a socket or appliance: rating, faults by supply, RCD on board."""
    part = job.wiring.parts[id]
    told = [rating_of(part), *(part.place.replace("_", " ") for _ in "1" if part.place)]
    if line := ", ".join(dict.fromkeys(word for word in told if word)):
        yield line
    plugged = [name_of(one, key) for key, one in job.plan.parts.items() if one.plugged == id]
    if plugged:
        yield f"for {', '.join(plugged)}"
    yield from _faults(job, id)
    yield from _on_board(job, id)


def _faults(job: Assessment, id: str) -> Iterator[str]:
    worst: dict[str, CaseFault] = {}
    for one in job.mains.faults:
        if one.outlet == id:
            before = worst.get(one.pitch.id)
            if before is None or (one.stays, one.loop_ohm) > (before.stays, before.loop_ohm):
                worst[one.pitch.id] = one
    for one in list(worst.values())[:_MOST_SUPPLIES]:
        yield fault_words(one)
    if len(worst) > _MOST_SUPPLIES:
        yield f"and {len(worst) - _MOST_SUPPLIES} more supplies"


def fault_words(one: CaseFault) -> str:
    """Return the expected loop and current of a fault, and when it is over."""
    over = one.clearing.dangerous_for.high
    if one.stays and not math.isfinite(over):
        ends = "stays live"
    elif over <= 0.0:
        ends = "no shock"
    else:
        ends = f"off in {over:.2g} s"
    loop = "no loop" if math.isinf(one.loop_ohm) else f"{one.loop_ohm:.3g} Ω, {one.expected_a:.3g} A"
    return f"{one.pitch.id}: {loop}, {ends}"


def _on_board(job: Assessment, id: str) -> Iterator[str]:
    for maker in job.mains.layout.makers:
        guarded = next((one for one in guarded_by(job, maker) if one.outlet == id), None)
        if guarded is not None:
            rcd = "no RCD" if guarded.trips_a is None else f"RCD {1e3 * guarded.trips_a:g} mA"
            yield f"on {maker}: {rcd}"


def bond_words(bond: Bond) -> tuple[str, str]:
    """Return a bond: its id, and its size and length."""
    area = "? mm²" if bond.area_mm2 is None else f"{bond.area_mm2:g} mm²"
    length = "" if not bond.length_m else f", {bond.length_m:g} m"
    return bond.piece, f"{area}{length}"


def maker_words(part: Part) -> tuple[str, ...]:
    """Return what a maker of mains says of its neutral."""
    known = {
        "fixed": "N and PE joined, always",
        "relay": "N and PE joined by its relay",
        "external": "N and PE joined outside",
        "none": "N floats",
        "disabled": "bond put out of use: N floats",
    }
    return (known.get(str(part.neutral_bond), "N to PE: not known"),)


__all__ = [
    "bond_words", "breaker_words", "fault_words", "maker_words", "outlet_words", "pitch_words", "poles_word",
    "rcd_words", "title_words",
]  # fmt: skip
