"""More copper: larger sizes for what loses too many volts or carries too many amperes.

Whose copper takes how much of a loss is known from its shares, so a size can be reckoned before it is tried:
n times the area takes the nth part. First the wire itself, then the one that costs most, then several.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from loomwright.assessment.limits import first_level
from loomwright.assessment.loads import LONG_START_S
from loomwright.assessment.record import CircuitFigure, Share
from loomwright.assessment.sizes import conductor_table
from loomwright.plan.edit import Edit
from loomwright.plan.values import Amount, Quantity
from loomwright.protection.sizing import sizes
from loomwright.rules.finding import Finding
from loomwright.sizing.texts import gauge

from .candidate import Base, Candidate, Move

#: No size above this is proposed for a wire that is thinner. [mm²]
LARGEST_MM2 = 120.0
#: Nor one so many times larger: nobody draws such a cable to a lamp.
MOST_TIMES = 10.0
#: A reckoned size is a little short where a joint or a load answers to it: aim so much beyond.
AIM = 1.03
#: So many wires are made thicker at once, at most.
TOGETHER = 3
#: Where the reckoned size is short, so many sizes more are tried.
FURTHER = 2


@dataclass(frozen=True, slots=True)
class Loss:
    """Volts too many, and what takes how much of them. [V]"""

    excess_v: float
    shares: tuple[Share, ...]
    scale: float  # from the volts of the shares to those of the loss


def ladder(base: Base, run: str) -> tuple[float, ...]:
    """Return the standard areas above that of a run, up to what anybody would lay. [mm²]"""
    now = area_of(base, run)
    table = "awg" if is_gauged(base, run) else "iec_60228_class_5"
    return tuple(a for a in sizes(table) if now * 1.001 < a <= min(LARGEST_MM2, MOST_TIMES * now))


def is_gauged(base: Base, run: str) -> bool:
    """True if the size of a run is told in American gauges."""
    wire = base.assessment.wires.get(run)
    gauged = bool(wire is not None and wire.gauge)
    return gauged or conductor_table(base.assessment.plan) == "awg"


def area_of(base: Base, run: str) -> float:
    """Return the smallest area of the pieces of a run. [mm²]"""
    return min(
        (w.area_mm2 for w in base.assessment.wires.values() if w.run == run and w.area_mm2), default=0.0
    )


def size_text(base: Base, run: str, area: float) -> str:
    """Return an area as it is typed for a run: "2.5 mm²", "12 AWG"."""
    return gauge(area) if is_gauged(base, run) else f"{area:g} mm²"


def may_grow(base: Base, run: str) -> bool:
    """True for a wire whose size the plan may change: not in a unit, not the maker's, not mains."""
    wire = base.assessment.wires.get(run)
    return (
        run in base.assessment.plan.wiring
        and wire is not None
        and not (wire.factory or wire.mains or wire.inner)
        and area_of(base, run) > 0.0
    )


def thicker(base: Base, sizes_of: Mapping[str, float]) -> Candidate:
    """Return the change of several runs to larger areas, by run. [mm²]"""
    return Candidate(tuple(_thicker(base, run, area) for run, area in sizes_of.items()))


def _thicker(base: Base, run: str, area: float) -> Move:
    was = base.was or base
    before = area_of(was, run)
    instead = f" instead of {size_text(was, run, before)}" if before else ""
    return Move(f"{run} in {size_text(base, run, area)}{instead}", tuple(area_edits(base, run, area)))


def area_edits(base: Base, run: str, area: float) -> Iterator[Edit]:
    """Give the edits that make a whole run this thick: its own size, and those of a thinner return or leg."""
    model = base.assessment.plan.wiring[run]
    yield Edit(f"wiring.{run}.area", size_text(base, run, area))
    if model.resistance is not None:
        yield Edit(f"wiring.{run}.resistance", remove=True)
    if model.return_ is not None and _is_thinner(model.return_.area, area):
        yield Edit(f"wiring.{run}.return.area", remove=True)
    for load, leg in model.legs.items():
        if _is_thinner(leg.area, area):
            yield Edit(f"wiring.{run}.to.{load}.area", remove=True)
        if leg.return_ is not None and _is_thinner(leg.return_.area, area):
            yield Edit(f"wiring.{run}.to.{load}.return.area", remove=True)


def _is_thinner(typed: Amount | None, area: float) -> bool:
    return isinstance(typed, Quantity) and typed.low < area


# --- for lost volts ----------------------------------------------------------------------------------


def for_lost_volts(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the sizes that bring a drop, a start, a dip or the volts at a load within the line."""
    for loss in losses(base, finding):
        yield from (thicker(base, sizes_of) for sizes_of in sizes_for(base, finding.where, loss))


def sizes_for(base: Base, own: str, loss: Loss) -> Iterator[dict[str, float]]:
    """Give sets of areas by run that save so many volts, then the same a little larger. [mm²]"""
    found = list(_choices(base, own, _taken(base, loss), loss.excess_v * AIM))
    yield from found
    yield from _larger(base, found[:2])


def _larger(base: Base, found: Sequence[dict[str, float]]) -> Iterator[dict[str, float]]:
    """Give what was reckoned with each size one and two steps further on: it may have been a little short."""
    for steps in range(1, FURTHER + 1):
        for sizes_of in found:
            beyond = {run: [a for a in ladder(base, run) if a > area] for run, area in sizes_of.items()}
            if all(len(areas) >= steps for areas in beyond.values()):
                yield {run: areas[steps - 1] for run, areas in beyond.items()}


def losses(base: Base, finding: Finding) -> Iterator[Loss]:
    """Give the losses that a finding is about: those of its circuits, or its dip."""
    circuits = base.assessment.circuits_in(finding.mode)
    if _rule(finding) == "dip_at_other_load":
        for circuit in circuits.values():
            for dip in circuit.dips:
                if dip.load == finding.where and dip.by_start_of == finding.cause:
                    line = min(v for v in (base.job.limits.dip.watch, base.job.limits.dip.fault) if v)
                    yield Loss(max(dip.dip_v, finding.value or 0.0) - line, dip.shares, 1.0)
        return
    for circuit in circuits.values():
        named = circuit.wire == finding.where and {circuit.load, circuit.id} & set(finding.also)
        if named and circuit.shares:
            whole, excess = _excess(base, finding, circuit)
            told = sum(share.volts for share in circuit.shares)
            yield Loss(excess, circuit.shares, whole / told if told > 0 else 1.0)


def _rule(finding: Finding) -> str:
    return finding.at_worst or finding.rule


def _excess(base: Base, finding: Finding, circuit: CircuitFigure) -> tuple[float, float]:
    """Return the volts that a circuit loses in the state of the finding, and how many of them too many."""
    limits = base.job.limits
    running = circuit.drop_v or 0.0
    starting = circuit.start_drop_v or 0.0
    rule = _rule(finding)
    if rule in ("charger_input_too_low", "load_near_cut_out"):
        part = base.assessment.wiring.owner(circuit.load)
        margin = (limits.cut_out_margin.watch or 0.0) if rule == "load_near_cut_out" else 0.0
        least = finding.limit or 0.0
        at_start = finding.value == circuit.start_load_v and part.cut_out is not None
        return (starting if at_start else running), least + margin - (finding.value or 0.0)
    if rule == "start_drop_too_large":
        long = (circuit.start_s or 0.0) > LONG_START_S
        line, whole = (limits.drop if long else limits.start_drop), starting
    elif rule == "charging_drop_too_large":
        line, whole = limits.charging_drop, running
    else:
        line, whole = limits.drop, max(running, circuit.drop_run_v or 0.0)
    most = first_level(line, circuit.system_v) * circuit.system_v / 100.0
    return whole, whole - most


def _taken(base: Base, loss: Loss) -> dict[str, float]:
    """Return the volts that the copper of each run takes, most first. [V]"""
    taken: dict[str, float] = {}
    for share in loss.shares:
        wire = base.assessment.wires.get(share.ohm.owner)
        is_copper = share.ohm.what.startswith("copper") or share.ohm.what == "measured"
        if wire is not None and is_copper and may_grow(base, wire.run):
            taken[wire.run] = taken.get(wire.run, 0.0) + share.volts * loss.scale
    return dict(sorted(taken.items(), key=lambda pair: -pair[1]))


def _choices(base: Base, own: str, taken: Mapping[str, float], excess_v: float) -> Iterator[dict[str, float]]:
    """Give sets of areas that save enough: one wire alone, its own first; then the costliest together."""
    for run in sorted(taken, key=lambda run: (run != own, -taken[run]))[:TOGETHER]:
        if (area := _enough(base, run, taken[run], excess_v)) is not None:
            yield {run: area}
    for count in range(2, TOGETHER + 1):
        several = _together(base, list(taken)[:count], taken, excess_v)
        if several is not None and len(several) > 1:
            yield several


def _enough(base: Base, run: str, volts: float, excess_v: float) -> float | None:
    """Return the smallest area at which a run saves so many volts. [mm²]"""
    now = area_of(base, run)
    return next((area for area in ladder(base, run) if volts * (1.0 - now / area) >= excess_v), None)


def _together(
    base: Base, runs: Sequence[str], taken: Mapping[str, float], excess_v: float
) -> dict[str, float] | None:
    """Return the areas of several runs, the costliest grown step by step, until they save so many volts."""
    steps = {run: [area_of(base, run), *ladder(base, run)] for run in runs}
    at = dict.fromkeys(runs, 0)

    def lost(run: str) -> float:
        return taken[run] * steps[run][0] / steps[run][at[run]]

    whole = sum(taken[run] for run in runs)
    while whole - sum(map(lost, runs)) < excess_v:
        open_runs = [run for run in runs if at[run] + 1 < len(steps[run])]
        if not open_runs:
            return None
        at[max(open_runs, key=lost)] += 1
    return {run: steps[run][at[run]] for run in runs if at[run]}


def one_size_up(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the next sizes of the wire that a finding names, one after the other."""
    if may_grow(base, finding.where):
        for area in ladder(base, finding.where):
            yield thicker(base, {finding.where: area})
