"""Supplies laid past a switch, batteries alike or crosswise, dimmers of the other side, entries taken out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomwright.assessment.tapped import middles
from loomwright.plan.changes.ids import free_id
from loomwright.plan.edit import Edit
from loomwright.plan.model import Run
from loomwright.plan.values import Quantity
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, Move, change

_SHORT_FEED = {"area": "16 mm²", "length": "0.4 m"}
#: Fuses at a battery before a small box; the second breaks more.
_BEFORE_A_BOX = ("60 A bolted", "60 A post")
#: Equalisers are made for these currents. Common practice. [A]
_EQUALISERS_A = (5.0, 10.0, 20.0)
#: What batteries in parallel have in common.
_ALIKE = ("chemistry", "capacity", "age")


def past_the_switch(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the feed without the switches that stand in it, or from the battery side of what cuts it."""
    run = base.assessment.plan.wiring.get(finding.where)
    if run is None:
        return
    own = {end.id for end in run.to}
    devices = [name for name in finding.also if name in base.assessment.plan.parts and name not in own]
    own_devices = [device for device in devices if device in _in(run)]
    moves = [_without(base, run, own_devices)] if own_devices else []
    for device in devices:
        if device not in _in(run):
            chain = _chain(base, run, device)
            if not chain:
                return
            yield from (Candidate((*moves, move)) for move in _from_before(base, run, chain))
            yield from (Candidate((*moves, *more)) for more in _from_new_box(base, run, chain))
            return
    if moves:
        yield Candidate(tuple(moves))


def _in(run: Run) -> set[str]:
    return {passage.part for passage in run.through}


def _without(base: Base, run: Run, devices: Sequence[str]) -> Move:
    """Return the run without some devices in its way."""
    at = f"wiring.{run.id}.through"
    typed = base.at(at)
    left = [one for one in typed if one.split(".")[0] not in devices] if isinstance(typed, list) else []
    edit = Edit(at, left) if left else Edit(at, remove=True)
    return Move(f"{' and '.join(map(base.job.name, devices))} taken out of {run.id}", (edit,))


def _chain(base: Base, run: Run, device: str) -> list[Run]:
    """Return the runs from the one that a device stands in to this one; none if they are not one row."""
    chain = [run]
    while device not in _in(chain[0]):
        before = [
            one
            for one in base.assessment.plan.wiring.values()
            if chain[0].from_.id in {end.id for end in one.to} and one not in chain
        ]
        before = [one for one in before if device in _in(one)] or before
        if len(before) != 1:
            return []
        chain.insert(0, before[0])
    return chain


def _from_before(base: Base, run: Run, chain: list[Run]) -> Iterator[Move]:
    """Give the run from where the first of a row starts, as long as the row, with its fuse there."""
    start, at = str(chain[0].from_), f"wiring.{run.id}"
    fuses = [fuse for wire in base.assessment.wires.values() if wire.run == run.id for fuse in wire.fuses]
    rating = fuses[0].rating_a if fuses else None
    for type in dict.fromkeys((fuses[0].kind, "bolted", "post")) if fuses and rating is not None else ():
        fuse = f"{rating:g} A {type}".removesuffix(" unknown")
        edits = (Edit(f"{at}.from", start), Edit(f"{at}.fuse", fuse), *_as_long(run, chain))
        yield Move(f"{run.id} from {start} instead of {run.from_}, {fuse}", edits)


def _from_new_box(base: Base, run: Run, chain: list[Run]) -> Iterator[tuple[Move, Move]]:
    """Give a small fuse box of its own before the switch, behind a fuse that breaks a short there."""
    plan, start, at = base.assessment.plan, str(chain[0].from_), f"wiring.{run.id}"
    fuses = [fuse for wire in base.assessment.wires.values() if wire.run == run.id for fuse in wire.fuses]
    if not fuses or fuses[0].rating_a is None or chain[0].from_.id not in plan.parts:
        return
    place = plan.parts[chain[0].from_.id].place
    box, feed = free_id(plan, "parts", "permanent"), free_id(plan, "wiring", "permanent_feed")
    for fuse in _BEFORE_A_BOX:
        new = (
            Edit(f"parts.{box}", {"kind": "fuse_box", "ways": "4"} | ({"place": place} if place else {})),
            Edit(
                f"wiring.{feed}",
                {"from": start, "fuse": fuse, "to": box, "area": "16 mm²", "length": "0.4 m"},
            ),
        )
        moved = (
            Edit(f"{at}.from", f"{box}.1"),
            Edit(f"{at}.fuse", f"{fuses[0].rating_a:g} A"),
            *_as_long(run, chain),
        )
        yield (
            Move(f"a fuse box {box} at {start} behind {fuse}", new),
            Move(f"{run.id} from {box}.1 instead of {run.from_}, {fuses[0].rating_a:g} A", moved),
        )


def _as_long(run: Run, chain: list[Run]) -> tuple[Edit, ...]:
    lengths = [one.length.high for one in chain if isinstance(one.length, Quantity)]
    return (Edit(f"wiring.{run.id}.length", f"{sum(lengths):.4g} m"),) if len(lengths) == len(chain) else ()


def charger_past_the_switch(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the outputs of the chargers led to the battery side of the switch."""
    plan, moves = base.assessment.plan, []
    for charger in finding.also:
        runs = [run for run in plan.wiring.values() if run.from_.id == charger and len(run.to) == 1]
        for run in runs:
            before = [
                one
                for one in plan.wiring.values()
                if finding.where in _in(one) and run.to[0].id in {end.id for end in one.to}
            ]
            if len(before) == 1:
                goal = str(before[0].from_)
                edits = (Edit(f"wiring.{run.id}.to", goal), *_as_long(run, [before[0], run]))
                moves.append(Move(f"{run.id} to {goal} instead of {run.to[0]}", edits))
    if moves:
        yield Candidate(tuple(moves))


def vented(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the battery with a hose to the outside."""
    says = f"a vent hose from {base.job.name(finding.where)} to the outside"
    yield change(says, Edit(f"parts.{finding.where}.vent", "hose"))


def made_alike(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give each bank all of one kind, size and age: that of each of its batteries in turn."""
    bank = (finding.where, *finding.also)
    for model in bank:
        edits, typed = [], {field: base.at(f"parts.{model}.{field}") for field in _ALIKE}
        for other in bank:
            for field, value in typed.items():
                at = f"parts.{other}.{field}"
                if value is not None and base.at(at) != value:
                    edits.append(Edit(at, value))
                elif value is None and base.at(at) is not None:
                    edits.append(Edit(at, remove=True))
        what = ", ".join(value for value in typed.values() if isinstance(value, str))
        yield change(f"all batteries of the bank like {model}: {what}", *edits)


def lead_instead(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a lead battery in the place of the vehicle's own, which holds the volts of the alternator."""
    for id in finding.also:
        if base.assessment.wiring.parts[id].kind == "vehicle_battery" and id in base.assessment.plan.parts:
            yield change(f"a lead battery (AGM) as {base.job.name(id)}", Edit(f"parts.{id}.chemistry", "agm"))


def crosswise(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the main minus leads, or the main plus leads, on the other end of the bank."""
    if base.at(f"parts.{finding.where}.joined") == "same_end":
        says = f"the main leads of {base.job.name(finding.where)} on opposite ends"
        yield change(says, Edit(f"parts.{finding.where}.joined", "diagonal"))
    bank = {finding.where, *finding.also}
    for other in reversed(finding.also):
        for terminal in ("minus", "plus"):
            if edits := tuple(_ends_moved(base, bank, finding.where, other, terminal)):
                yield change(f"the main {terminal} leads on {other} instead of {finding.where}", *edits)


def _ends_moved(base: Base, bank: set[str], battery: str, other: str, terminal: str) -> Iterator[Edit]:
    """Give the edits that take what hangs on a post to that of another battery; the links stay."""
    old, new = (f"{battery}.{terminal}", f"{other}.{terminal}")
    old_words = (old, battery) if terminal == "plus" else (old,)
    for run in base.assessment.plan.wiring.values():
        if {run.from_.id, *(end.id for end in run.to)} <= bank:
            continue
        data = base.at(f"wiring.{run.id}")
        for name in ("from", "to", "return"):
            if data.get(name) in old_words:
                yield Edit(f"wiring.{run.id}.{name}", new)
        back = data.get("return")
        if isinstance(back, dict) and back.get("to") in old_words:
            yield Edit(f"wiring.{run.id}.return.to", new)


def other_side(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the dimmer in its make that switches the other side, one in a return put into the feed too."""
    part = base.assessment.plan.parts.get(finding.where)
    if part is None:
        return
    side = "plus" if part.switches == "minus" else "minus"
    says = f"{base.job.name(part.id)} in a make that switches the {side}"
    make = Edit(f"parts.{part.id}.switches", side)
    yield change(says, make)
    for run in base.assessment.plan.wiring.values() if side == "plus" else ():
        back = run.return_
        if back is not None and part.id in {one.part for one in back.through}:
            at, left = f"wiring.{run.id}", [str(one) for one in back.through if one.part != part.id]
            moved = Edit(f"{at}.return.through", left) if left else Edit(f"{at}.return.through", remove=True)
            feed = Edit(f"{at}.through", [*map(str, run.through), part.id])
            yield change(f"{says}, in the feed of {run.id}", make, moved, feed)


def entry_taken_out(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the plan without the entry that accepts what cannot be accepted."""
    whole = "accepted" if len(base.assessment.plan.accepted) == 1 else f"accepted.{finding.cause}"
    yield change(f"accepted.{finding.cause} taken out", Edit(whole, remove=True))


def equalised(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give two batteries in series an equaliser that makes up for what one of them gives more."""
    plan = base.assessment.plan
    made_for = next((amps for amps in _EQUALISERS_A if amps >= (finding.value or 0.0)), None)
    for lower, upper, _ in middles(base.assessment):
        if (
            len(lower) != 1
            or len(upper) != 1
            or made_for is None
            or not {*lower, *upper} <= set(finding.also)
        ):
            continue
        id, place = free_id(plan, "parts", "equaliser"), plan.parts[lower[0]].place
        part = {"kind": "equaliser", "current": f"{made_for:g} A"} | ({"place": place} if place else {})
        wire = {"fuse": f"{2 * made_for:g} A high_breaking", "area": "4 mm²", "length": "0.5 m"}
        ends = {"plus": f"{upper[0]}.plus", "mid": f"{lower[0]}.plus", "minus": f"{lower[0]}.minus"}
        edits = [Edit(f"parts.{id}", part)]
        for terminal, start in ends.items():
            fused = wire if terminal != "minus" else {n: typed for n, typed in wire.items() if n != "fuse"}
            edits.append(Edit(f"wiring.{id}_{terminal}", {"from": start, "to": f"{id}.{terminal}"} | fused))
        yield change(f"an equaliser of {made_for:g} A across {lower[0]} and {upper[0]}", *edits)
