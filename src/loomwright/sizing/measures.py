"""The figure that a finding is about, read off an assessment: of the plan as it is, and of one changed."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from loomwright.assessment.banks import banks_under_load
from loomwright.assessment.charging_inrush import inrushes
from loomwright.assessment.charging_spare import spares
from loomwright.assessment.charging_taken import charge_promises
from loomwright.assessment.cutting import waits_s
from loomwright.assessment.derating import derated
from loomwright.assessment.energy.days import day_promises, lasting_seasons
from loomwright.assessment.lying import pipe_fills
from loomwright.assessment.record import Assessment, CircuitFigure, WireFigure
from loomwright.assessment.sag_promises import power_promises
from loomwright.assessment.starting import starts_behind_converters
from loomwright.assessment.vehicle_side import alternator_loads
from loomwright.assessment.weights import weights_of
from loomwright.plan.values import Quantity
from loomwright.rules.finding import Finding
from loomwright.tables.insulation import insulation_class


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure before and after a change; None where it is too small to be listed, or gone."""

    what: str
    before: float | None
    after: float | None
    unit: str


Reading = tuple[str, float | None, str]


def before_and_after(before: Assessment, after: Assessment, finding: Finding) -> tuple[Figure, ...]:
    """Return the figures of a finding in two assessments of one van.

    Parameters
    ----------
    before, after : Assessment
        Of the plan as it is, and with a change.
    finding : Finding
        Of the plan as it is.

    Returns
    -------
    tuple of Figure
        Empty for a finding that has no figure.
    """
    read = _READINGS.get(finding.at_worst or finding.rule)
    if read is None:
        return ()
    pairs = zip(read(before, finding), read(after, finding), strict=True)
    return tuple(Figure(what, was, now, unit) for (what, was, unit), (_, now, _) in pairs)


def _circuits(job: Assessment, finding: Finding) -> Iterator[CircuitFigure]:
    """Give the circuits of the loads that a finding names; a change may have given them another wire."""
    for circuit in job.circuits_in(finding.mode).values():
        if circuit.load in finding.also or circuit.id in finding.also:
            yield circuit


def _of_circuit(what: str, field: str, unit: str) -> Callable[[Assessment, Finding], list[Reading]]:
    """Return a reading of a field of the circuits that a finding names: the least volts, or the most loss."""
    worst = min if unit == "V" else max

    def read(job: Assessment, finding: Finding) -> list[Reading]:
        values = (getattr(circuit, field) for circuit in _circuits(job, finding))
        return [(what, worst((value for value in values if value is not None), default=None), unit)]

    return read


def _drop(job: Assessment, finding: Finding) -> list[Reading]:
    """Read the drop alone, or with all loads of its wire on, as the finding was judged."""
    values = (
        100.0 * ((one.drop_run_v if finding.together else one.drop_v) or 0.0) / one.system_v
        for one in _circuits(job, finding)
    )
    return [("loses", max(values, default=None), "%")]


def _dip(job: Assessment, finding: Finding) -> list[Reading]:
    dips = (
        dip.dip_v
        for circuit in job.circuits_in(finding.mode).values()
        for dip in circuit.dips
        if dip.load == finding.where and dip.by_start_of == finding.cause
    )
    return [("dips by", max(dips, default=None), "V")]


def _pieces(job: Assessment, finding: Finding) -> list[WireFigure]:
    return [wire for wire in job.wires.values() if wire.run == finding.where and not wire.mains]


def _cable(job: Assessment, finding: Finding) -> list[Reading]:
    ratings = [wire.rating_a for wire in _pieces(job, finding) if wire.rating_a is not None]
    return [("the cable is good for", min(ratings, default=None), "A")]


def _fuse(job: Assessment, finding: Finding) -> list[Reading]:
    wires = _pieces(job, finding)
    fuses = [fuse for wire in wires for fuse in (*wire.fuses, wire.upstream_fuse) if fuse is not None]
    ratings = [fuse.rating_a for fuse in fuses if fuse.rating_a is not None]
    return [("fuse", max(ratings, default=None), "A")]


def _guard(job: Assessment, finding: Finding) -> list[Reading]:
    """Read the fuse of a run of which no end is left without one."""
    open_ends = any(end.run == finding.where and end.free for end in job.faults.unfused)
    ((_, rating, unit),) = _fuse(job, finding)
    return [("fuse at every end", None if open_ends else rating, unit)]


def _fuse_and_cable(job: Assessment, finding: Finding) -> list[Reading]:
    return [*_fuse(job, finding), *_cable(job, finding)]


def _fill(job: Assessment, finding: Finding) -> list[Reading]:
    main = job.main_fuses.get(finding.where)
    fuses = [main] if main is not None else [f for wire in _pieces(job, finding) for f in wire.fuses]
    fills = [100.0 * (f.lasting_a or 0.0) / f.rating_a for f in fuses if f.rating_a]
    return [("fills its fuse to", max(fills, default=None), "%")]


def _joint(job: Assessment, finding: Finding) -> list[Reading]:
    volts = [job.wires[finding.where].joint_v] if finding.where in job.wires else []
    volts += [job.studs[finding.where].volts_v] if finding.where in job.studs else []
    volts += [one.volts_v for one in job.passages if one.part == finding.where]
    return [("the joint loses", max(volts, default=None), "V")]


def _passage(job: Assessment, finding: Finding) -> list[Reading]:
    own = [one for one in job.passages if one.part == finding.where]
    worst = max(own, key=lambda one: one.current_a / one.rating_a, default=None)
    carries, made_for = (worst.current_a, worst.rating_a) if worst is not None else (None, None)
    return [("carries", carries, "A"), ("made for", made_for, "A")]


def _derated(job: Assessment, finding: Finding) -> list[Reading]:
    one = next((one for one in derated(job) if one.part == finding.where), None)
    if one is None:
        return [("asked", None, finding.unit), ("left in the heat", None, finding.unit)]
    return [("asked", one.asked, one.unit), ("left in the heat", one.gives, one.unit)]


def _clips(job: Assessment, finding: Finding) -> list[Reading]:
    run = job.plan.wiring.get(finding.where)
    if run is None or not isinstance(run.clips, Quantity):
        return [("fixed every", None, "m")]
    return [("fixed every", run.clips.high, "m")]


def _hole(job: Assessment, finding: Finding) -> list[Reading]:
    hole = next((one for one in job.loom.holes if one.path == finding.where), None)
    needs, has = (hole.needed_mm, hole.bore_mm) if hole is not None else (None, None)
    return [("needs", needs, "mm"), ("has", has, "mm")]


def _pipe(job: Assessment, finding: Finding) -> list[Reading]:
    full = next((one for one in pipe_fills(job) if one.path == finding.where), None)
    fill, most = (100.0 * full.fill, 100.0 * full.most) if full is not None else (None, None)
    return [("filled", fill, "%"), ("may be filled", most, "%")]


def _air(job: Assessment, finding: Finding) -> list[Reading]:
    wires = [one for one in job.wires.values() if one.run == finding.where]
    stands = min((insulation_class(one.insulation).max_c for one in wires), default=None)
    return [("its insulation stands", stands, "°C")]


def _loop(job: Assessment, finding: Finding) -> list[Reading]:
    wire, laid = job.wires.get(finding.cause), job.loom.laid.get(finding.cause)
    route = laid.route if laid is not None else None
    if wire is None or wire.length_m is None or route is None:
        return [("longer than its way", None, "m")]
    return [("longer than its way", wire.length_m - route.metres, "m")]


def _rings(job: Assessment, finding: Finding) -> list[Reading]:
    stud = job.studs.get(finding.where)
    return [("rings", None if stud is None else float(stud.lugs), "")]


def _wait(job: Assessment, finding: Finding) -> list[Reading]:
    part = job.wiring.parts.get(finding.where)
    return [("waits", None if part is None else waits_s(part), "s")]


def _alternator(job: Assessment, finding: Finding) -> list[Reading]:
    taken = (one.amps for one in alternator_loads(job) if one.alternator == finding.where)
    return [("gives", next(taken, None), "A")]


def _promised(job: Assessment, finding: Finding) -> list[Reading]:
    one = next((one for one in power_promises(job) if one.id == finding.where), None)
    asked, held = (None, None) if one is None else (one.asked_w, one.worst.most_w)
    return [("promised", asked, "W"), ("there are", held, "W")]


def _sags(job: Assessment, finding: Finding) -> list[Reading]:
    sag = job.under_load.sags.get(finding.where)
    return [("can give", None if sag is None else sag.states[0].most_w, "W")]


def _driven(job: Assessment, finding: Finding) -> list[Reading]:
    one = next((one for one in charge_promises(job) if one.id == finding.where), None)
    asked, brought = (None, None) if one is None else (one.asked_ah, one.ah_per_h.mid)
    return [("promised", asked, "Ah"), ("an hour brings", brought, "Ah")]


def _lasting(job: Assessment, finding: Finding) -> list[Reading]:
    one = next((one for one in day_promises(job) if one.id == finding.where), None)
    asked, lasts = (None, None) if one is None else (one.asked, one.day.days)
    return [("promised", asked, "d"), ("they last", lasts, "d")]


def _first_day(job: Assessment, finding: Finding) -> list[Reading]:
    days = (day.days for day in lasting_seasons(job) if day.season == finding.where)
    return [("they last", next(days, None), "d")]


def _spare(job: Assessment, finding: Finding) -> list[Reading]:
    taken = (one.amps for one in spares(job) if one.alternator == finding.where)
    return [("gives", next(taken, None), "A")]


def _makes(job: Assessment, finding: Finding) -> list[Reading]:
    makes = (one.makes_a for one in inrushes(job) if one.part == finding.where)
    return [("makes", next(makes, None), "A")]


def _of_bank(job: Assessment, finding: Finding) -> list[Reading]:
    limits = (one.limits_a.get(finding.where) for one in banks_under_load(job))
    most = next((amps for amps in limits if amps is not None and math.isfinite(amps)), None)
    return [("gives", job.drawn_a.get(finding.where), "A"), ("may give", most, "A")]


def _folds_back(job: Assessment, finding: Finding) -> list[Reading]:
    most = (one.most_a for one in starts_behind_converters(job) if one.converter == finding.where)
    return [("folds back at", next(most, None), "A")]


def _stands_in(job: Assessment, finding: Finding) -> list[Reading]:
    ratings = [wire.rating_a for wire in _pieces(job, finding) if wire.rating_a is not None]
    amps = (one.amps_a for one in job.breaks.overloads if one.wire in finding.also)
    return [("may have to carry", next(amps, None), "A"), ("good for", min(ratings, default=None), "A")]


def _weight(job: Assessment, finding: Finding) -> list[Reading]:
    """Read what the van weighs: at the least for a fault, at the most for a watch."""
    weights = weights_of(job)
    left, permitted = weights.left, weights.permitted_kg
    if left is None or permitted is None:
        return [("weighs", None, "kg")]
    return [("weighs", permitted - (left.high if finding.severity == "fault" else left.low), "kg")]


_READINGS: dict[str, Callable[[Assessment, Finding], list[Reading]]] = {
    "drop_too_large": _drop,
    "charging_drop_too_large": _of_circuit("loses", "drop_pct", "%"),
    "start_drop_too_large": _of_circuit("loses at its start", "start_drop_pct", "%"),
    "charger_input_too_low": _of_circuit("gets", "load_v", "V"),
    "load_near_cut_out": _of_circuit("gets", "load_v", "V"),
    "dip_at_other_load": _dip,
    "cable_overloaded": _cable,
    "fuse_above_cable_rating": _fuse_and_cable,
    "fuse_overloaded": _fill,
    "fuse_opens_at_start": _fuse,
    "missing_fuse": _guard,
    "joint_loses_too_much": _joint,
    "passage_overloaded": _passage,
    "hot_place_derates": _derated,
    "too_many_rings_on_stud": _rings,
    "cut_opens_at_start": _wait,
    "alternator_overloaded": _alternator,
    "promised_power_missed": _promised,
    "inverter_sags": _sags,
    "bank_opens_in_turn": _of_bank,
    "promised_charge_missed": _driven,
    "promised_days_missed": _lasting,
    "empty_within_a_day": _first_day,
    "alternator_has_no_spare": _spare,
    "contact_may_weld": _makes,
    "converter_folds_back": _folds_back,
    "broken_return_overloads": _stands_in,
    "too_heavy": _weight,
    "clips_too_far_apart": _clips,
    "bundle_too_thick_for_hole": _hole,
    "pipe_too_full": _pipe,
    "insulation_below_air": _air,
    "no_loop_at_moving_part": _loop,
}
