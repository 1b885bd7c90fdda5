"""Changes of what is fed when: coils, split relays, loads of a parked van, chargers set lower, lines."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from loomwright.assessment.told_by_modes import charging_sums
from loomwright.plan.changes.facts import facts_of, nearest_first
from loomwright.plan.changes.ids import free_id
from loomwright.plan.edit import Edit
from loomwright.plan.kinds import rest_state, states
from loomwright.plan.model import Run
from loomwright.plan.values import Quantity
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, Move, change

#: Split relays are made for these currents. Common practice. [A]
_MADE_FOR = (70.0, 100.0, 140.0, 200.0, 300.0)
#: So are small ones. Common practice. [A]
_RELAYS_FOR = (20.0, 30.0, 40.0, 70.0)
_COIL = ("86", "85")
#: Contacts of two-way and intermediate switches: the other one of a pair, and the one across.
_BESIDE = {"a": "b", "b": "a", "a1": "b1", "b1": "a1", "a2": "b2", "b2": "a2"}
_ACROSS = {"a1": "a2", "a2": "a1", "b1": "b2", "b2": "b1"}


def coil_fed_before_its_contact(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the coil of a chattering relay its feed from where that of its contact begins."""
    runs = base.assessment.plan.wiring.values()
    for relay in dict.fromkeys((finding.where, *finding.also)):
        feeds = [run for run in runs if f"{relay}.30" in map(str, run.to)]
        coils = [run for run in runs if {f"{relay}.{end}" for end in _COIL} & set(map(str, run.to))]
        for coil in coils:
            for feed in feeds:
                says = f"coil of {base.job.name(relay)} fed from {feed.from_} instead of {coil.from_}"
                yield change(says, Edit(f"wiring.{coil.id}.from", str(feed.from_)))


def split_relay(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a voltage-sensing relay to a run that joins two batteries."""
    plan = base.assessment.plan
    for battery in (finding.where, *finding.also):
        for run in plan.wiring.values():
            if battery not in {run.from_.id, *(end.id for end in run.to)} or not _is_plus(base, run):
                continue
            wires = [wire for wire in base.assessment.wires.values() if wire.run == run.id]
            most = max((fuse.rating_a or 0.0 for wire in wires for fuse in wire.fuses), default=0.0)
            rating = next((amps for amps in _MADE_FOR if amps >= most), _MADE_FOR[-1])
            part = free_id(plan, "parts", "split_relay")
            place = plan.parts[finding.where].place
            data = {"kind": "sensing_relay", "rating": f"{rating:g} A"} | ({"place": place} if place else {})
            through = [str(one) for one in run.through] + [part]
            says = f"a split relay of {rating:g} A in {run.id}"
            yield change(says, Edit(f"parts.{part}", data), Edit(f"wiring.{run.id}.through", through))


def _is_plus(base: Base, run: Run) -> bool:
    return "minus" not in {run.from_.terminal, *(end.terminal for end in run.to)}


def parked_loads_moved(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the loads of a parked van their feed from free ways of a house box, one box after the other."""
    plan = base.assessment.plan
    facts = facts_of(plan)
    runs = [run for run in plan.wiring.values() if {end.id for end in run.to} & set(finding.also)]
    for id, part in plan.parts.items():
        if part.kind not in ("fuse_box", "unit"):
            continue
        ways = [f"{id}.{way}" for way in facts.free_ways(id)]
        moves = [_moved(run, way) for run, way in zip(runs, ways, strict=False)]
        if runs and len(moves) == len(runs):
            yield Candidate(tuple(moves))


def _moved(run: Run, way: str) -> Move:
    return Move(f"{run.id} from {way} instead of {run.from_}", (Edit(f"wiring.{run.id}.from", way),))


def charger_set_lower(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give one of the chargers, the largest first, set so low that all together suit the battery."""
    plan, excess = base.assessment.plan, (finding.value or 0.0) - (finding.limit or 0.0)
    sums = (one for one in charging_sums(base.assessment) if one.battery == finding.where)
    gives = next((one.chargers for one in sums), {})
    for id, amps in sorted(gives.items(), key=lambda pair: -pair[1]):
        part, lower = plan.parts.get(id), floor(amps - excess)
        if part is not None and lower > 0:
            typed = part.current.high if isinstance(part.current, Quantity) else amps
            says = f"{base.job.name(part.id)} set to {lower:g} A instead of {typed:g} A"
            yield change(says, Edit(f"parts.{part.id}.current", f"{lower:g} A"))


def selector_left(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the selectors of the van other positions to be left in."""
    for id, part in base.assessment.plan.parts.items():
        for position, closed in states(part).items() if part.kind == "selector" else ():
            if position != rest_state(part) and closed:
                says = f"{base.job.name(id)} left at {position} instead of {rest_state(part)}"
                yield change(says, Edit(f"parts.{id}.rests", position))


def engine_relay(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the loads of a parked van a relay that closes while the alternator charges, one in each run."""
    plan = base.assessment.plan
    alternator = next((id for id, part in plan.parts.items() if part.kind == "alternator"), None)
    runs = [run for run in plan.wiring.values() if {end.id for end in run.to} & set(finding.also)]
    studs = [stud for stud in plan.studs if not facts_of(plan).is_bond(stud)]
    back = next(iter(nearest_first(plan, finding.where, studs) or studs), None)
    if alternator is None or back is None or len(runs) != 1:
        return
    run, relay = runs[0], free_id(plan, "parts", "K_engine")
    running = (one.running_a for one in base.assessment.circuits.values() if one.load in finding.also)
    amps = max((one for one in running if one is not None), default=0.0)
    rating = next((made for made in _RELAYS_FOR if made >= amps), None)
    if rating is None:
        return
    place = plan.parts[finding.where].place
    part = {"kind": "relay", "coil": "0.2 A", "rating": f"{rating:g} A"} | ({"place": place} if place else {})
    coil = {
        "from": f"{alternator}.d_plus",
        "fuse": "3 A",
        "to": f"{relay}.86",
        "area": "1 mm²",
        "return": back,
    }
    yield change(
        f"a relay of {rating:g} A in {run.id} that D+ works",
        Edit(f"parts.{relay}", part),
        Edit(f"wiring.{run.id}.through", [relay, *map(str, run.through)]),
        Edit(f"wiring.{free_id(plan, 'wiring', f'{run.id}_coil')}", coil),
    )


def bridge_moved(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the bridges inside units their other positions: they are set once, with the unit in hand."""
    for id, part in base.assessment.wiring.parts.items():
        if part.kind != "selector" or "/" not in id:
            continue
        at = f"parts.{id.replace('/', '.inside.parts.')}.rests"
        for position, closed in states(part).items():
            if position != rest_state(part) and closed:
                says = f"{base.job.name(id)} set to {position} instead of {rest_state(part)}"
                yield change(says, Edit(at, position))


def line_on_other_contact(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give one end of a line between two-way switches the other contact, or the one across."""
    runs = [run for run in base.assessment.plan.wiring.values() if len(run.to) == 1]
    for others in (_BESIDE, _ACROSS):
        for run in runs:
            for field, end in (("from", run.from_), ("to", run.to[0])):
                if end.terminal in others:
                    text = f"{end.id}.{others[end.terminal]}"
                    says = f"{run.id} on {text} instead of {end}"
                    yield change(says, Edit(f"wiring.{run.id}.{field}", text))


__all__ = [
    "bridge_moved",
    "charger_set_lower",
    "coil_fed_before_its_contact",
    "engine_relay",
    "line_on_other_contact",
    "parked_loads_moved",
    "selector_left",
    "split_relay",
]
