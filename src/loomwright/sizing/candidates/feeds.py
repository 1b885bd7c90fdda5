"""Feeds laid another way: one for a single load, one from further up, one from a rail of other volts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from loomwright.assessment.limits import first_level
from loomwright.assessment.loads import UNSAID_START_S
from loomwright.errors import OutOfTableError, PlanError
from loomwright.plan.changes.connect import connect_with
from loomwright.plan.changes.facts import Facts, facts_of, nearest_first
from loomwright.plan.changes.ids import free_id
from loomwright.plan.changes.offers import unwired
from loomwright.plan.edit import Edit
from loomwright.plan.model import Run
from loomwright.plan.values import Quantity
from loomwright.protection.fusing import smallest_fuse
from loomwright.protection.resistance import conductor_resistance
from loomwright.protection.sizing import sizes
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change
from .copper import Loss, area_of, is_gauged, losses, size_text

#: Sizes tried for a feed of its own, from that of the present one up.
_SIZES = 3
#: Of what a load may lose, its own copper may take so much; the rest is for joints, fuse and earth.
_COPPER_TAKES = 0.9
#: A feed past a shared one is worth its copper if that takes so much of the loss.
_WORTH_PASSING = 0.2
#: What a new run keeps of the one that it leaves.
_KEPT = ("via", "insulation", "conductor", "temperature", "bundle", "colour", "cores")
#: So many offers are tried for a load that nothing feeds.
_OFFERS = 6


def own_feed(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a feed of its own to the load that starts, or that loses: from a free way, or from further up."""
    load = finding.cause or next((name for name in finding.also if _runs_to(base, name)), finding.where)
    for run in _runs_to(base, load):
        if len(run.to) > 1:
            yield from _parted(base, run, load)
        else:
            yield from _from_further_up(base, finding, run, load)


def _runs_to(base: Base, load: str) -> list[Run]:
    return [run for run in base.assessment.plan.wiring.values() if load in {end.id for end in run.to}]


def _parted(base: Base, run: Run, load: str) -> Iterator[Candidate]:
    """Give the run that one load gets for itself, from a free way of the box that it shares."""
    facts = facts_of(base.assessment.plan)
    way = next((way for way in facts.free_ways(run.from_.id)), None)
    if way is None or run.through:
        return
    data = base.at(f"wiring.{run.id}")
    others, kept = _without(data["to"], load)
    rest = {name: data[name] for name in _KEPT if name in data}
    back = _back(facts, kept.get("return", data.get("return")), load)
    length = _sum_of(run, load)
    key = free_id(base.assessment.plan, "wiring", f"{run.id}b")
    for area in _areas_for(base, run, load):
        size = size_text(base, run.id, area)
        for fuse in _fuses_for(base, run, load):
            new: dict[str, Any] = {"from": f"{run.from_.id}.{way}", "fuse": fuse, "to": load, "area": size}
            new |= {"length": length} if length else {}
            new |= rest | ({} if back is None else {"return": back})
            edits = (Edit(f"wiring.{run.id}.to", others), Edit(f"wiring.{key}", new))
            says = f"own {size} feed for {base.job.name(load)} from {run.from_.id}.{way}, {fuse}"
            yield change(says, *edits)


def _back(facts: Facts, typed: Any, load: str) -> Any:
    """Return the return of a new feed as it is typed: its size follows the feed, a bare body gets a stud."""
    if isinstance(typed, dict):
        return {name: value for name, value in typed.items() if name != "area"}
    if typed == "body":
        studs = [stud for stud in facts.plan.studs if not facts.is_bond(stud)]
        return next(iter(nearest_first(facts.plan, load, studs) or studs), typed)
    return typed


def _without(typed: Any, load: str) -> tuple[Any, dict[str, Any]]:
    """Return the other loads of a run as they are typed, and the leg of this one."""
    if isinstance(typed, Mapping):
        leg: Any = next((value for name, value in typed.items() if name.split(".")[0] == load), {})
        others = {name: value for name, value in typed.items() if name.split(".")[0] != load}
        return others, leg if isinstance(leg, dict) else {}
    names = [name for name in typed if name.split(".")[0] != load]
    return (names[0] if len(names) == 1 else names), {}


def _sum_of(run: Run, load: str) -> str:
    """Return the typed lengths of run and leg together, as they are typed; empty if one is not known."""
    legs = (leg.length for name, leg in run.legs.items() if name.split(".")[0] == load)
    lengths = [run.length, *legs]
    if all(isinstance(length, Quantity) for length in lengths):
        return f"{sum(length.high for length in lengths if isinstance(length, Quantity)):.4g} m"
    return ""


def _fuses_for(base: Base, run: Run, load: str) -> list[str]:
    """Return the smallest fuse of the box that carries a load and its start, and that of the present feed.

    The second has less resistance if it is larger.
    """
    circuits = [one for one in base.assessment.circuits.values() if one.load == load]
    running = max((one.running_a or 0.0 for one in circuits), default=0.0)
    start = max(((one.start_a or 0.0, one.start_s or UNSAID_START_S) for one in circuits), default=(0.0, 0.0))
    box = base.assessment.plan.parts.get(run.from_.id)
    type = box.fuse_type if box is not None and isinstance(box.fuse_type, str) else "blade"
    try:
        least = smallest_fuse(running, type=type, start_a=start[0], start_s=start[1] if start[0] else 0.0)
    except OutOfTableError:
        return []
    present = [
        fuse.rating_a for wire in base.assessment.wires.values() if wire.run == run.id for fuse in wire.fuses
    ]
    return [f"{rating:g} A" for rating in dict.fromkeys((least, *present)) if rating and rating >= least]


def _areas_for(base: Base, run: Run, load: str) -> list[float]:
    """Return sizes for a run of a load alone, from the first whose copper leaves it its volts. [mm²]"""
    table = "awg" if is_gauged(base, run.id) else "iec_60228_class_5"
    metres = sum(w.length_m or 0.0 for w in base.assessment.wires.values() if w.run == run.id)
    least = area_of(base, run.id)
    for circuit in base.assessment.circuits.values():
        if circuit.load == load and metres:
            limits, volts = base.job.limits, circuit.system_v / 100.0
            pairs = ((circuit.running_a, limits.drop), (circuit.start_a, limits.start_drop))
            for amps, limit in pairs:
                most = _COPPER_TAKES * first_level(limit, circuit.system_v) * volts
                fit = (
                    a for a in sizes(table) if (amps or 0.0) * conductor_resistance(a, metres, 20.0) <= most
                )
                least = max(least, next(fit, least))
    return [area for area in sizes(table) if area >= least * 0.999][:_SIZES]


def _from_further_up(base: Base, finding: Finding, run: Run, load: str) -> Iterator[Candidate]:
    """Give the feed from where the box of this one is fed, where what it shares with others costs much."""
    plan = base.assessment.plan
    before = [one for one in plan.wiring.values() if run.from_.id in {end.id for end in one.to}]
    figures = [fuse for wire in base.assessment.wires.values() if wire.run == run.id for fuse in wire.fuses]
    if len(before) != 1 or before[0].through or not figures or figures[0].rating_a is None:
        return
    feed = before[0]
    if not any(_part_of(base, loss, feed.id) >= _WORTH_PASSING for loss in losses(base, finding)):
        return
    length = [one.length.high for one in (feed, run) if isinstance(one.length, Quantity)]
    for area in _areas_for(base, run, load)[:2]:
        for type in dict.fromkeys((figures[0].kind, "bolted", "post")):
            fuse = f"{figures[0].rating_a:g} A {type}".removesuffix(" unknown")
            size = size_text(base, run.id, area)
            edits = [Edit(f"wiring.{run.id}.from", str(feed.from_)), Edit(f"wiring.{run.id}.fuse", fuse)]
            edits.append(Edit(f"wiring.{run.id}.area", size))
            if len(length) == 2:
                edits.append(Edit(f"wiring.{run.id}.length", f"{sum(length):.4g} m"))
            says = f"own {size} feed for {base.job.name(load)} from {feed.from_}, {fuse}"
            yield change(says, *edits)


def _part_of(base: Base, loss: Loss, run: str) -> float:
    """Return which part of a loss falls in a run."""
    wires = base.assessment.wires
    whole = sum(share.volts for share in loss.shares)
    own = sum(s.volts for s in loss.shares if s.ohm.owner in wires and wires[s.ohm.owner].run == run)
    return own / whole if whole > 0.0 else 0.0


# --- loads that nothing feeds, or the wrong thing ----------------------------------------------------


def missing_wires(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the wires that the plan most likely lacks, one at a time, then all of them."""
    plan = base.assessment.plan
    facts = facts_of(plan)
    found: list[Candidate] = []
    for _, lacking in unwired(plan):
        for offer in lacking:
            try:
                made = connect_with(
                    facts, offer.start, offer.end, through=(offer.through,) if offer.through else ()
                )
            except PlanError:
                continue
            found.append(change(f"{_lower(offer.says)} ({offer.start})", *made.edits))
    yield from found[:_OFFERS]
    keys = [edit.at for one in found for edit in one.edits]
    if len(found) > 1 and len(set(keys)) == len(keys):
        yield Candidate(tuple(move for one in found for move in one.moves))
    yield from other_rail(base, finding)


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def other_rail(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the feed of a load from a free way of each other box or unit."""
    plan = base.assessment.plan
    facts = facts_of(plan)
    for name in dict.fromkeys((*finding.also, finding.where)):
        for run in _runs_to(base, name):
            for way in _free_ways(facts, run):
                edits = [Edit(f"wiring.{run.id}.from", way)]
                yield change(f"{run.id} from {way} instead of {run.from_}", *edits)


def past_the_contact(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give loads behind a contact that carries too much feeds of their own from the battery."""
    job = base.assessment
    branch = next((one.branch for one in job.passages if one.part == finding.where), "")
    by_load = job.through.by_load(branch)
    feeders = {one.load: one.feeder for one in job.circuits.values()}
    for load in sorted(by_load, key=lambda load: -abs(by_load[load])):
        for run in _runs_to(base, load) if feeders.get(load) in job.plan.parts else ():
            fuses = [fuse for wire in job.wires.values() if wire.run == run.id for fuse in wire.fuses]
            if len(run.to) == 1 and run.from_.id != feeders[load] and fuses and fuses[0].rating_a is not None:
                fuse = f"{fuses[0].rating_a:g} A high_breaking"
                edits = (
                    Edit(f"wiring.{run.id}.from", feeders[load]),
                    Edit(f"wiring.{run.id}.fuse", fuse),
                )
                yield change(f"{run.id} from {feeders[load]} instead of {run.from_}, {fuse}", *edits)


def from_converter(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the feed of a load from the output of each converter, its fuse there."""
    parts = base.assessment.plan.parts
    for run in _runs_to(base, finding.also[0]):
        for id in (id for id, part in parts.items() if part.kind == "converter" and id != run.from_.id):
            yield change(f"{run.id} from {id} instead of {run.from_}", Edit(f"wiring.{run.id}.from", id))


def _free_ways(facts: Facts, run: Run) -> Iterator[str]:
    for id, part in facts.plan.parts.items():
        if part.kind in ("fuse_box", "unit") and id != run.from_.id and (ways := facts.free_ways(id)):
            yield f"{id}.{ways[0]}"


def other_part(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the part for the volts of the rail that it hangs on."""
    for name in finding.also:
        part = base.assessment.plan.parts.get(name)
        if part is not None and finding.value is not None:
            volts = f"{round(finding.value / 12.0) * 12:g} V"
            field = "voltage" if part.coil_voltage is None else "coil_voltage"
            says = f"{base.job.name(name)} in its {volts} version"
            yield change(says, Edit(f"parts.{name}.{field}", volts))


def without_it(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan without the wire that a finding is about, or without one at its parts, earths last."""
    plan = base.assessment.plan
    wire = base.assessment.wires.get(finding.where)
    if wire is not None and wire.run in plan.wiring:
        yield _without_run(wire.run)
    ids = {finding.where, *finding.also}
    touching = [run for run in plan.wiring.values() if {run.from_.id, *(end.id for end in run.to)} & ids]
    for run in sorted(
        touching, key=lambda run: "minus" in {run.from_.terminal, *(end.terminal for end in run.to)}
    ):
        yield _without_run(run.id)


def _without_run(run: str) -> Candidate:
    return change(f"{run} taken out", Edit(f"wiring.{run}", remove=True))
