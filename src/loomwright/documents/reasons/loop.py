"""What a circuit's loop resists and loses: each resistance on the way, grouped by what it belongs to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from loomwright.assessment.inputs import TYPED
from loomwright.assessment.record import Assessment, CircuitFigure, Dip, Ohm, Share
from loomwright.assessment.sums import WHOLE
from loomwright.plan.pieces import BODY
from loomwright.plan.values import Quantity, Running
from loomwright.source import Source
from loomwright.steps import Given, Step

from .figures import added, figure, fine_for, plain, quantity, row, summed
from .record import Row, Table
from .words import and_more, end_words, part_words

_JOINTS = ("crimps", "lugs", "joints")


def loop_tables(job: Assessment, circuit: CircuitFigure) -> Iterator[Table]:
    """Give the tables of one circuit: its loop, what it loses, at its start, by others' starts."""
    steps = {step.symbol: step for step in circuit.steps}
    if "R_loop" in steps:
        yield _loop(job, circuit, steps)
        yield _lost(job, circuit, steps)
    if "U_s" in steps:
        yield _start(job, circuit, steps)
    if circuit.dips:
        yield _dips(job, circuit)


def _loop(job: Assessment, circuit: CircuitFigure, steps: dict[str, Step]) -> Table:
    total = steps["R_loop"]
    fine = fine_for(total.value)
    rows = [_group(job, name, shares, fine) for name, shares in _grouped(job, circuit)]
    whole = row(total, "Whole loop", fine=fine, is_total=True)
    rows.append(replace(whole, sum="all of these"))
    return Table(
        key="loop",
        title=f"What the loop resists, to {part_words(job, circuit.load)}",
        rows=tuple(rows),
        result=_result(job, circuit, steps),
    )


def _result(job: Assessment, circuit: CircuitFigure, steps: dict[str, Step]) -> str:
    drop, part = steps["U"], steps["u"]
    system = quantity(circuit.system_v, "V")
    return (
        f"{summed(drop, fine_for(steps['R_loop'].value))} = {quantity(drop.value, 'V')}, "
        f"÷ {system} = {quantity(part.value, '%')}, copper at {_copper(job, circuit)}"
    )


def _copper(job: Assessment, circuit: CircuitFigure) -> str:
    """Return how warm the copper on the way is counted with."""
    owners = {share.ohm.owner for share in circuit.shares if share.ohm.what.startswith("copper")}
    warmth = sorted({round(job.wires[owner].copper_c) for owner in owners if owner in job.wires}) or [20]
    return f"{warmth[0]} °C" if len(warmth) == 1 else f"{warmth[0]} to {warmth[-1]} °C"


def _grouped(job: Assessment, circuit: CircuitFigure) -> list[tuple[str, list[Share]]]:
    """Return the shares of a circuit by what they belong to: its own first, what others share last."""
    pieces = {piece.id: piece for piece in job.wiring.runs[circuit.wire].pieces}
    backs = {piece.b for piece in pieces.values() if piece.is_return}
    elsewhere = {
        share.ohm.owner
        for other in job.circuits.values()
        if other.wire != circuit.wire
        for share in other.shares
    }
    groups: dict[str, list[Share]] = {
        name: []
        for name in ("Wire", "Return", "Fuse", "Crimps and lugs", "Stud and body", "On its way", "Shared")
    }
    for share in circuit.shares:
        owner, what = share.ohm.owner, share.ohm.what
        if owner in pieces:
            own = "Return" if pieces[owner].is_return else "Wire"
            own = "Fuse" if what.startswith("fuse") else "Crimps and lugs" if what in _JOINTS else own
            groups[own].append(share)
        elif owner in backs:
            groups["Stud and body"].append(share)
        else:
            groups["Shared" if owner in elsewhere else "On its way"].append(share)
    return [(name, shares) for name, shares in groups.items() if shares]


def _group(job: Assessment, name: str, shares: list[Share], fine: bool) -> Row:
    details = tuple(_share_row(job, share, fine) for share in shares)
    values = [share.ohm.ohm * _part(share) for share in shares]
    owners = and_more(dict.fromkeys(owner_words(job, share.ohm) for share in _largest_first(shares)))
    titles = {
        "Fuse": f"Fuse, {shares[0].ohm.what.removeprefix('fuse ')}",
        "Crimps and lugs": " and ".join(dict.fromkeys(share.ohm.what for share in shares)).capitalize(),
        "Shared": f"Shared with others: {owners}",
    }
    title = titles.get(name, f"{name} {owners}" if name != "On its way" else f"On its way: {owners}")
    if len(details) == 1:
        return replace(details[0], what=title)
    step = _alike(shares) or added("r", values, "Ω")
    text, unit = figure(step.value, "Ω", fine)
    return Row(
        what=title,
        sum=summed(step, fine) if len(step.inputs) <= 3 else f"{len(details)} together",
        value=text,
        unit=unit,
        source=_one_source(details),
        step=step,
        details=details,
    )


def _largest_first(shares: Iterable[Share]) -> list[Share]:
    return sorted(shares, key=lambda share: -share.volts)


def _one_source(details: Sequence[Row]) -> Source | None:
    """Return the source of the rows if they have one in common; the details tell them otherwise."""
    named = {detail.source for detail in details}
    return named.pop() if len(named) == 1 else None


def _alike(shares: list[Share]) -> Step | None:
    """Return one sum for joints that are all alike: "4 × 0.5 mΩ"."""
    sums = [share.ohm.sum for share in shares if _part(share) == 1.0]
    counts = [step.inputs[0].value for step in sums if step is not None and step.formula == "n * r"]
    each = {step.inputs[1].value for step in sums if step is not None and step.formula == "n * r"}
    if len(counts) < len(shares) or len(each) != 1:
        return None
    ohm = each.pop()
    given = (Given("n", sum(counts), ""), Given("r", ohm, "Ω"))
    return Step("R", "n * r", given, sum(counts) * ohm, "Ω")


def _part(share: Share) -> float:
    """Return how much of a resistance counts: the square of the part of the current that flows there."""
    return 1.0 if share.part_of_current >= WHOLE else share.part_of_current**2


def _share_row(job: Assessment, share: Share, fine: bool) -> Row:
    ohm = share.ohm
    step = ohm.sum
    if _part(share) != 1.0:
        given = (Given("r", ohm.ohm, "Ω"), Given("k", share.part_of_current, ""))
        says = "that part of the current flows here"
        step = Step("R", "r * k**2", given, ohm.ohm * _part(share), "Ω", None, says)
    return replace(ohm_row(job, ohm, fine, step), of=thing(job, ohm.owner))


def ohm_row(job: Assessment, ohm: Ohm, fine: bool, step: Step | None = None) -> Row:
    """Return the row of one resistance, with `step` as its sum if it does not count as it stands."""
    text, unit = figure(ohm.ohm if step is None else step.value, "Ω", fine)
    return Row(
        what=f"{owner_words(job, ohm)}, {ohm.what}",
        sum=_ohm_sum(step, fine),
        value=text,
        unit=unit,
        source=ohm.source,
        step=step,
        unknown=ohm.unknown,
        of=thing(job, ohm.owner),
    )


def _ohm_sum(step: Step | None, fine: bool) -> str:
    if step is None:
        return ""
    return f"{summed(step, fine)} ({step.says})" if step.says else summed(step, fine)


def owner_words(job: Assessment, ohm: Ohm) -> str:
    """Return what a resistance belongs to, in words."""
    if ohm.owner.endswith(f"@{BODY}"):
        return "the body"
    return ohm.owner if ohm.owner in job.wires else end_words(job, ohm.owner)


def thing(job: Assessment, owner: str) -> tuple[str, str] | None:
    """Return kind and id of what can be chosen in the drawing for an owner."""
    if owner in job.wires:
        return "wire", owner
    if owner in job.plan.studs:
        return "stud", owner
    part = job.wiring.part_of(owner)
    return None if part is None else ("part", part)


def _lost(job: Assessment, circuit: CircuitFigure, steps: dict[str, Step]) -> Table:
    rows = []
    if "I" in steps:
        rows.append(row(steps["I"], f"Current of {part_words(job, circuit.load)}"))
    elif circuit.path == "ordinary" and circuit.running_a is not None:
        part = job.wiring.owner(circuit.load)
        typed = bool(part.draws) or (
            isinstance(part.running, Running) and isinstance(part.running.amount, Quantity)
        )
        unknown = "" if typed else f"parts.{circuit.load}.running"
        what = f"Current of {part_words(job, circuit.load)}"
        draws = plain(what, circuit.running_a, "A", TYPED if typed else None)
        rows.append(replace(draws, unknown=unknown))
    fine = fine_for(steps["R_loop"].value)
    names = {
        "U": "Lost, running",
        "u": "in per cent",
        "U_l": f"Left at {part_words(job, circuit.load)}",
        "U_r": "Lost with the other loads of its wire on",
        "u_r": "in per cent",
        "U_t": "Lost with everything on",
        "u_t": "in per cent",
    }
    rows += [row(steps[symbol], name, fine=fine) for symbol, name in names.items() if symbol in steps]
    amps = quantity(circuit.running_a, "A")
    lost, posts = quantity(steps["U"].value, "V"), quantity(steps["U_l"].inputs[0].value, "V")
    result = f"loses {lost} of {posts} at {amps}"
    if circuit.path == "charging":
        result = f"loses {lost} at {amps}, on the way to {part_words(job, circuit.load)}"
    return Table(
        key="lost",
        title="What is lost",
        rows=tuple(rows),
        result=result,
    )


def _start(job: Assessment, circuit: CircuitFigure, steps: dict[str, Step]) -> Table:
    lasting = "" if not circuit.start_s else f", for {circuit.start_s:.3g} s"
    fine = fine_for(steps["R_loop"].value)
    return Table(
        key="start",
        title="At its start",
        rows=(
            row(steps["U_s"], f"Lost at its start{lasting}", fine=fine),
            row(steps["u_s"], "in per cent"),
            row(steps["U_ls"], f"Left at {part_words(job, circuit.load)}", is_total=True),
        ),
        result=f"loses {quantity(circuit.start_drop_v, 'V')} ({quantity(circuit.start_drop_pct, '%')}) "
        f"at {quantity(circuit.start_a, 'A')}",
    )


def _dips(job: Assessment, circuit: CircuitFigure) -> Table:
    rows = [_dip(job, dip) for dip in circuit.dips]
    worst = circuit.dips[0]
    return Table(
        key="dips",
        title=f"What others' starts take from {part_words(job, circuit.load)}",
        rows=tuple(rows),
        result=f"falls by {quantity(worst.dip_v, 'V')} when {part_words(job, worst.by_start_of)} starts",
    )


def _dip(job: Assessment, dip: Dip) -> Row:
    """Return one dip, with what the shared resistances put into it."""
    given = (Given("U_before", dip.before_v, "V"), Given("U_while", dip.while_v, "V"))
    step = Step("U", "U_before - U_while", given, dip.before_v - dip.while_v, "V")
    whole = row(step, f"{part_words(job, dip.by_start_of)} starts, {quantity(dip.start_a, 'A')}")
    details = [_dip_share(job, share, dip.start_a) for share in dip.shares]
    rest = added("u", [dip.dip_v, *(-share.volts for share in dip.shares)], "V")
    if abs(rest.value) > 0.0005:
        why = "the rest, little by little" if rest.value > 0 else "less: at fewer volts it draws less itself"
        details.append(replace(row(rest, why), sum=""))
    return replace(whole, details=tuple(details), of=("part", dip.by_start_of))


def _dip_share(job: Assessment, share: Share, start_a: float) -> Row:
    parts = [Given("r", share.ohm.ohm, "Ω"), Given("I", start_a, "A")]
    names = ["r", "I"]
    for name, part in (("k_s", share.part_of_current), ("k_l", share.felt)):
        if abs(abs(part) - 1.0) > 1.0 - WHOLE:
            parts.append(Given(name, abs(part), ""))
            names.append(name)
    value = share.ohm.ohm * start_a
    for factor in parts[2:]:
        value *= factor.value
    step = Step("U", " * ".join(names), tuple(parts), value, "V", share.ohm.source)
    shown = row(step, f"{owner_words(job, share.ohm)}, {share.ohm.what}", fine=True)
    return replace(shown, of=thing(job, share.ohm.owner), unknown=share.ohm.unknown)


def loads_table(job: Assessment, circuits: Sequence[CircuitFigure]) -> Table:
    """Return what each load of a wire loses, where it has several."""
    rows = []
    for circuit in circuits:
        steps = {step.symbol: step for step in circuit.steps}
        if "U" in steps:
            shown = row(steps["U"], part_words(job, circuit.load), fine=fine_for(steps["R_loop"].value))
            rows.append(replace(shown, of=("part", circuit.load)))
    return Table(key="loads", title="The loads of this wire, each alone", rows=tuple(rows))
