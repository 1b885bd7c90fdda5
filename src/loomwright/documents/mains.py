"""The mains side as it stands in JSON: supplies with what a fault does there, guards, bonds, inlets."""

from __future__ import annotations

from collections.abc import Iterable

from loomwright.assessment.mains.cases import is_bonded
from loomwright.assessment.mains.faulted import CaseFault
from loomwright.assessment.mains.guards import Guarded, guarded_by
from loomwright.assessment.mains.pitch import Pitch
from loomwright.assessment.mains.taken import Taken
from loomwright.assessment.mains.ways import live_inlets
from loomwright.assessment.record import Assessment
from loomwright.mains.load import fits
from loomwright.mains.openings import Opening
from loomwright.plan.values import Word


def mains_dict(job: Assessment) -> dict[str, object]:
    """Return the mains side; None for a figure that is not to be had, empty maps for a van without mains."""
    side = job.mains
    pitches = {pitch.id: pitch for pitch in reversed(side.pitches)}
    return {
        "supplies": {id: _supply(job, pitches[id]) for id in job.plan.supplies},
        "inlets": {id: _inlet(job, id) for id in side.layout.inlets},
        "makers": {id: _maker(job, id) for id in side.layout.makers},
        "outlets": _outlets(job),
        "bonds": [
            {"id": bond.piece, "at": bond.a, "area_mm2": bond.area_mm2, "length_m": bond.length_m}
            for bond in side.layout.bonds
        ],
        "unjudged": list(side.unjudged),
    }


def _supply(job: Assessment, pitch: Pitch) -> dict[str, object]:
    typed, side = job.plan.supplies[pitch.id], job.mains
    faults = [one for one in side.faults if one.pitch.id == pitch.id]
    return {
        "region": pitch.region,
        "volts_v": pitch.volts,
        "legs": pitch.legs,
        "rated_a": pitch.rated_a,
        "earthing": _known(typed.earthing),
        "polarity": _known(typed.polarity),
        "lead_m": pitch.lead_m,
        "lead_mm2": pitch.lead_mm2,
        "points": {outlet: _point(_worst(faults, outlet)) for outlet in _told(faults)},
        "modes": {taken.mode: _mode(pitch, taken) for at, taken in side.taken if at.id == pitch.id},
    }


def _known(word: object) -> str | None:
    return None if word is None or isinstance(word, Word) or word == "unknown" else str(word)


def _told(faults: Iterable[CaseFault]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.outlet for one in faults))


def _worst(faults: Iterable[CaseFault], outlet: str) -> CaseFault:
    """Return the fault at an outlet in the earthing that makes it worse, where the plan leaves that open."""
    own = [one for one in faults if one.outlet == outlet]
    return max(own, key=lambda one: (one.stays, one.clearing.dangerous_for.high, one.loop_ohm))


def _point(one: CaseFault) -> dict[str, object]:
    return {
        "earthing": one.pitch.earthing,
        "loop_ohm": one.loop_ohm,
        "fault_current_a": one.expected_a,
        "fault_current_least_a": one.least_a,
        "touch_v": one.touch_v,
        "opens": [_opening(opening) for opening in one.clearing.openings],
        "over_at_most_s": one.clearing.dangerous_for.high,
        "allowed_s": one.allowed_s,
        "stays_live": one.stays,
    }


def _opening(opening: Opening) -> dict[str, object]:
    by = "rcd" if opening.by == "residual" else opening.by
    return {"at": opening.device, "by": by, "at_most_s": opening.after.high}


def _mode(pitch: Pitch, taken: Taken) -> dict[str, object]:
    return {
        "running": list(taken.running),
        "amps_a": taken.amps,
        "lasting_a": taken.lasting_a,
        "lead_drop_v": taken.lead_v,
        "fits": fits(taken.amps, pitch.rated_a),
    }


def _inlet(job: Assessment, id: str) -> dict[str, object]:
    live = [one for one in live_inlets(job.mains) if one.inlet == id]
    return {
        "serves": list(job.mains.served(id)),
        "live_from": [{"from": one.source, "positions": dict(one.positions)} for one in live],
    }


def _maker(job: Assessment, id: str) -> dict[str, object]:
    part = job.wiring.parts[id]
    bond = _known(part.neutral_bond)
    return {
        "serves": list(job.mains.served(id)),
        "neutral_bond": bond,
        "bonded": None if bond is None else is_bonded(part),
    }


def _outlets(job: Assessment) -> dict[str, dict[str, object]]:
    """Return by outlet and source what guards it; a source that does not reach it is left out."""
    found: dict[str, dict[str, object]] = {id: {} for id in job.mains.layout.outlets}
    for source in job.mains.reaches:
        for one in guarded_by(job, source):
            found[one.outlet][source] = _guards(one)
    return found


def _guards(one: Guarded) -> dict[str, object]:
    rcds = [gate for gate in one.gates if gate.residual is not None]
    breakers = [gate for gate in one.gates if gate.breaker is not None]
    finest = min(rcds, key=lambda gate: gate.residual.trips_a if gate.residual else 0.0, default=None)
    least = min(breakers, key=lambda gate: gate.breaker.rating_a if gate.breaker else 0.0, default=None)
    poles = [gate.poles for gate in (*rcds, *breakers)]
    return {
        "rcd_ma": None if finest is None or finest.residual is None else 1e3 * finest.residual.trips_a,
        "rcd_type": None if finest is None or finest.residual is None else _known(finest.residual.type),
        "rcd_at": None if finest is None else finest.id,
        "breaker_a": None if least is None or least.breaker is None else least.breaker.rating_a,
        "breaker_curve": None if least is None or least.breaker is None else _known(least.breaker.curve),
        "breaker_at": None if least is None else least.id,
        "poles": None if None in poles or not poles else min(pole for pole in poles if pole is not None),
    }


__all__ = ["mains_dict"]
