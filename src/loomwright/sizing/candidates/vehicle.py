"""Changes at cuts, outputs of panels, the vehicle's lamp circuits, D+ and alternator, and at its trailer."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from loomwright.assessment.trailer import WITH_IGNITION
from loomwright.plan.changes.facts import facts_of, nearest_first
from loomwright.plan.changes.ids import free_id
from loomwright.plan.edit import Edit
from loomwright.plan.model import Run
from loomwright.plan.values import Limit, Quantity
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change

#: A cut is usually set to wait so long. Common practice. [s]
_WAITS_S = (30, 60, 90)
#: A usual coil. Common practice. [A]
_COIL_A = 0.15
#: Fuses that break a short at a battery's post.
_AT_A_POST = ("high_breaking", "bolted")


def cut_waits(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the cut with a delay that outlasts the start."""
    part = base.assessment.wiring.parts.get(finding.where)
    starts = [one.start_s or 0.0 for one in base.assessment.circuits.values() if one.load in finding.also]
    if part is None or not isinstance(part.cut_out, Limit):
        return
    at = f"parts.{finding.where.replace('/', '.inside.parts.')}"
    for seconds in (one for one in _WAITS_S if one > max(starts, default=0.0)):
        edit = Edit(f"{at}.delay", f"{seconds} s")
        volts = part.cut_out.volts
        if part.cut_out.for_s is not None and isinstance(volts, Quantity):
            edit = Edit(f"{at}.cut_out", f"{volts.typed} for {seconds} s")
        yield change(f"{base.job.name(finding.where)} set to wait {seconds} s", edit)


def relay_on_lamp_feed(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a relay whose coil the lamp circuit works, and the load through it from a free way of a box."""
    plan = base.assessment.plan
    runs = [run for run in plan.wiring.values() if run.from_.id == finding.where]
    if finding.severity == "fault" and len(runs) == 1:
        run, back = runs[0], base.at(f"wiring.{runs[0].id}.return")
        relay, coil = free_id(plan, "parts", "K_lamp"), free_id(plan, "wiring", f"{run.id}_coil")
        place = plan.parts[run.to[0].id].place if run.to[0].id in plan.parts else None
        part = {"kind": "relay", "coil": f"{_COIL_A} A", "rating": "20 A"} | (
            {"place": place} if place else {}
        )
        wire = {"from": str(run.from_), "fuse": "3 A", "to": f"{relay}.86", "area": "1 mm²"}
        wire |= {name: typed for name in ("length", "via") if (typed := base.at(f"wiring.{run.id}.{name}"))}
        wire |= {"return": back} if back else {}
        through = [*map(str, run.through), relay]
        for way in _free_ways(base):
            edits = (
                Edit(f"parts.{relay}", part),
                Edit(f"wiring.{run.id}.from", way),
                Edit(f"wiring.{run.id}.through", through),
                Edit(f"wiring.{coil}", wire),
            )
            says = f"{run.id} from {way} through a relay {relay}, its coil on {base.job.name(finding.where)}"
            yield change(says, *edits)


def relay_on_d_plus(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the load its feed from the battery of the alternator, through a relay that D+ works."""
    plan, source = base.assessment.plan, f"{finding.where}.d_plus"
    battery = plan.parts[finding.where].charges if finding.where in plan.parts else None
    runs = [run for run in plan.wiring.values() if str(run.from_) == source]
    loads = [run for run in runs if {end.id for end in run.to} & set(finding.also)]
    back = next((stud for stud in nearest_first(plan, finding.where, plan.studs) or plan.studs), None)
    if len(loads) != 1 or battery is None or back is None:
        return
    run = loads[0]
    _, edits = _engine_relay(base, finding.where, run, back)
    fuses = [fuse for wire in base.assessment.wires.values() if wire.run == run.id for fuse in wire.fuses]
    rating = next((fuse.rating_a for fuse in fuses if fuse.rating_a is not None), None)
    for type in _AT_A_POST if rating is not None else ():
        yield change(
            f"{run.id} from {battery} through a relay that D+ works, {rating:g} A {type}",
            Edit(f"wiring.{run.id}.from", battery),
            Edit(f"wiring.{run.id}.fuse", f"{rating:g} A {type}"),
            *edits,
        )


def relay_of_engine(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a wire a relay in its way that D+ of the alternator works."""
    for how, edits in _relays(base, base.assessment.plan.wiring.get(finding.where)):
        yield change(f"{finding.where}{how}", *edits)


def _relays(base: Base, run: Run | None) -> Iterator[tuple[str, list[Edit]]]:
    """Give, for each alternator, a relay in the way of a wire that D+ works: in words, and as edits."""
    plan = base.assessment.plan
    for id, part in plan.parts.items() if run is not None else ():
        back = next((stud for stud in nearest_first(plan, id, plan.studs) or plan.studs), None)
        if part.kind == "alternator" and run is not None and back is not None:
            relay, edits = _engine_relay(base, id, run, back)
            yield f" through a relay {relay} that D+ works", edits


def _engine_relay(base: Base, alternator: str, run: Run, back: str) -> tuple[str, list[Edit]]:
    """Return a relay beside an alternator that its D+ works, and the edits that lead a wire through it."""
    plan = base.assessment.plan
    relay, place = free_id(plan, "parts", "K_engine"), plan.parts[alternator].place
    part = {"kind": "relay", "coil": "0.2 A", "rating": "40 A"} | ({"place": place} if place else {})
    coil = {"from": f"{alternator}.d_plus", "fuse": "3 A", "to": f"{relay}.86"}
    coil |= {"area": "1 mm²", "return": back}
    return relay, [
        Edit(f"parts.{relay}", part),
        Edit(f"wiring.{run.id}.through", [relay, *map(str, run.through)]),
        Edit(f"wiring.{free_id(plan, 'wiring', f'{run.id}_coil')}", coil),
    ]


def charger_takes_less(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give one of the chargers between batteries set so low that the alternator gives what all take."""
    plan, excess = base.assessment.plan, (finding.value or 0.0) - (finding.limit or 0.0)
    for one in base.assessment.circuits.values():
        part = plan.parts.get(one.load) if one.load in finding.also and one.path == "charging" else None
        if part is None or part.kind != "b2b" or not isinstance(part.current, Quantity) or not one.running_a:
            continue
        lower = floor(part.current.high * (1.0 - excess / one.running_a))
        if lower > 0:
            says = f"{base.job.name(part.id)} set to {lower:g} A instead of {part.current.high:g} A"
            yield change(says, Edit(f"parts.{part.id}.current", f"{lower:g} A"))


def relay_behind_output(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a load that asks too much of a panel's output a relay that the output works."""
    plan = base.assessment.plan
    panel = plan.parts.get(finding.where)
    if panel is None or finding.limit is None or finding.limit < _COIL_A:
        return
    for name, output in (panel.outputs or {}).items():
        runs = [run for run in plan.wiring.values() if str(run.from_) == f"{finding.where}.{name}"]
        if output.switches != "plus" or len(runs) != 1 or len(runs[0].to) != 1:
            continue
        run, data = runs[0], base.at(f"wiring.{runs[0].id}")
        relay, own = free_id(plan, "parts", f"K_{name}"), free_id(plan, "wiring", f"{run.id}_own")
        place = plan.parts[run.to[0].id].place if run.to[0].id in plan.parts else None
        part = {"kind": "relay", "coil": f"{_COIL_A} A", "rating": "30 A"} | (
            {"place": place} if place else {}
        )
        feed = {"through": relay, "to": str(run.to[0]), "length": _whole_length(base, finding.where, run)}
        feed |= {name: data[name] for name in ("area", "return") if name in data}
        for way in _free_ways(base):
            yield change(
                f"a relay {relay} that {finding.where}.{name} works, {run.to[0]} through it from {way}",
                Edit(f"parts.{relay}", part),
                Edit(f"wiring.{run.id}.to", f"{relay}.86"),
                Edit(f"wiring.{own}", {"from": way} | feed),
            )


def _whole_length(base: Base, panel: str, run: Run) -> str:
    """Return how long a run and the feed of its panel are together, as the plan types it."""
    feeds = [one for one in base.assessment.plan.wiring.values() if panel in {end.id for end in one.to}]
    lengths = [one.length.high for one in (*feeds[:1], run) if isinstance(one.length, Quantity)]
    return f"{sum(lengths):.4g} m" if lengths else "auto"


def trailer_from_vehicle(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the trailer's pins from the vehicle's battery, with their fuses there; or from free ways."""
    plan = base.assessment.plan
    runs = [plan.wiring[id] for id in finding.also if id in plan.wiring]
    vehicles = [id for id, part in plan.parts.items() if part.kind == "vehicle_battery"]
    for battery in vehicles if runs else ():
        for type in _AT_A_POST:
            edits = []
            for run in runs:
                fuses = (f for w in base.assessment.wires.values() if w.run == run.id for f in w.fuses)
                rating = next((fuse.rating_a for fuse in fuses if fuse.rating_a is not None), None)
                if rating is not None:
                    edits += [
                        Edit(f"wiring.{run.id}.from", battery),
                        Edit(f"wiring.{run.id}.fuse", f"{rating:g} A {type}"),
                    ]
            names = " and ".join(run.id for run in runs)
            if len(edits) == 2 * len(runs):
                says = f"{names} from {base.job.name(battery)}, fused there"
                ten = next((run for run in runs if run.to[0].terminal == WITH_IGNITION), None)
                for how, relay in _relays(base, ten):
                    yield change(f"{says}{how}", *edits, *relay)
                yield change(says, *edits)


def _free_ways(base: Base) -> Iterator[str]:
    """Give the first free way of each box and unit."""
    facts = facts_of(base.assessment.plan)
    for id, part in base.assessment.plan.parts.items():
        if part.kind in ("fuse_box", "unit") and (ways := facts.free_ways(id)):
            yield f"{id}.{ways[0]}"


__all__ = [
    "charger_takes_less",
    "cut_waits",
    "relay_behind_output",
    "relay_of_engine",
    "relay_on_d_plus",
    "relay_on_lamp_feed",
    "trailer_from_vehicle",
]
