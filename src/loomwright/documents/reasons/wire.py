"""The tables of a wire: its circuit's loop or what a feeder resists, what cable and fuse carry and hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from loomwright.assessment.inputs import TYPED
from loomwright.assessment.record import Assessment, CircuitFigure, FuseFigure, WireFigure
from loomwright.assessment.sums import filled
from loomwright.assessment.warmth import conductor_step
from loomwright.plan.pieces import Piece
from loomwright.steps import Step

from .figures import added, fine_for, plain, quantity, row
from .loop import loads_table, loop_tables, ohm_row
from .record import Row, Table
from .words import end_words, part_words, size_words


def circuits_of(job: Assessment, wire: WireFigure) -> list[CircuitFigure]:
    """Return the circuits whose own run a wire is part of, those of its own load only, the worst first."""
    piece = next(piece for piece in job.wiring.runs[wire.run].pieces if piece.id == wire.id)
    found = [circuit for circuit in job.circuits.values() if circuit.wire == wire.run]
    if piece.load:
        found = [one for one in found if one.load.rpartition("/")[2] == piece.load]
    return sorted(found, key=lambda one: -(one.drop_pct or 0.0))


def wire_tables(job: Assessment, wire: WireFigure) -> Iterator[Table]:
    """Give the tables of a wire, the sums of its worst circuit first."""
    circuits = circuits_of(job, wire)
    if circuits:
        yield from loop_tables(job, circuits[0])
        if len(circuits) > 1:
            yield loads_table(job, circuits)
    elif wire.ohms:
        yield feeder_table(job, wire)
    if wire.rating_steps and not wire.mains:
        yield cable_table(job, wire)
    fuses = fuses_of(job, wire)
    if fuses:
        yield fuse_table(job, fuses, weakest(job, wire))


def feeder_table(job: Assessment, wire: WireFigure) -> Table:
    """Return what a wire resists that no circuit has for its own, and what is lost along its run."""
    total = added("r", [ohm.ohm for ohm in wire.ohms], "Ω")
    fine = fine_for(total.value)
    rows = [ohm_row(job, ohm, fine, ohm.sum) for ohm in wire.ohms]
    rows.append(replace(row(total, f"Whole of {wire.id}", fine=fine, is_total=True), sum="all of these"))
    for step in wire.drop_steps:
        names = {"U_f": f"Lost along {wire.run}", "U": "Lost there and back"}
        rows.append(row(step, names[step.symbol], fine=fine, is_total=step is wire.drop_steps[-1]))
    lost = wire.drop_steps[-1].value if wire.drop_steps else None
    current = quantity(wire.current_a, "A")
    result = "" if lost is None else f"{wire.run} loses {quantity(lost, 'V')} at {current}, everything on"
    return Table(key="feeder", title="What the wire resists", rows=tuple(rows), result=result)


def cable_table(job: Assessment, wire: WireFigure) -> Table:
    """Return what a cable carries for good, and what it does carry."""
    *factors, product = wire.rating_steps
    rows = [row(step, _factor_words(step)) for step in factors]
    rows.append(row(product, "Good for", is_total=True))
    result = f"{size_words(wire)} is good for {quantity(product.value, 'A')}"
    if wire.current_a is not None:
        rows.append(_carried(job, wire, wire.current_a))
        if product.value > 0:
            rows.append(row(filled(wire.current_a, product.value, "of what it is good for")))
        warm = conductor_step(job, wire)
        if warm is not None:
            rows.append(row(warm, "Its copper gets so warm"))
        result += f", carries {quantity(wire.current_a, 'A')}"
    return Table(key="cable", title="What the cable carries", rows=tuple(rows), result=result)


def _carried(job: Assessment, wire: WireFigure, amps: float) -> Row:
    """Return the lasting current of a wire, with the loads that it is made up of where there are several."""
    shown = plain("Carries for good", amps, "A", None)
    parts = job.through.by_load(wire.id)
    total = added("I", list(parts.values()), "A")
    if len(parts) < 2 or abs(abs(total.value) - amps) > 1e-6 * max(amps, 1.0):
        return shown
    sign = 1.0 if total.value >= 0 else -1.0
    largest = sorted(parts.items(), key=lambda item: -abs(item[1]))
    details = tuple(
        replace(plain(part_words(job, load), sign * a, "A", None), of=port_part(job, load))
        for load, a in largest
    )
    step = added("I", [sign * a for _, a in largest], "A")
    return replace(shown, sum=f"{len(details)} loads together", step=step, details=details)


def port_part(job: Assessment, port: str) -> tuple[str, str] | None:
    """Return kind and id of the part that a load's terminals belong to."""
    id = port if port in job.wiring.parts else port.rpartition(".")[0]
    return ("part", id) if id in job.wiring.parts else None


def _factor_words(step: Step) -> str:
    if step.symbol == "k_b" and step.value == 1.0:
        return "Alone, in no bundle"
    if step.symbol == "k_a":
        return f"Air of {step.says}" if step.says[:1].isdigit() else step.says
    return step.says[:1].upper() + step.says[1:]


def weakest(job: Assessment, wire: WireFigure) -> WireFigure | None:
    """Return the piece of a wire's run that is good for least: a fuse has to guard it."""
    pieces = (job.wires[piece.id] for piece in job.wiring.runs[wire.run].pieces)
    rated = [one for one in pieces if one.rating_a is not None and one.length_m != 0.0 and not one.inner]
    return min(rated, key=lambda one: one.rating_a or 0.0) if rated and not wire.mains else None


def fuses_of(job: Assessment, wire: WireFigure) -> tuple[FuseFigure, ...]:
    """Return the fuses of a wire's run; of a run without any, the one that guards it from before."""
    own = [fuse for piece in job.wiring.runs[wire.run].pieces for fuse in named_fuses(job, piece)]
    return tuple(own) or ((wire.upstream_fuse,) if wire.upstream_fuse is not None else ())


def named_fuses(job: Assessment, piece: Piece) -> Iterator[FuseFigure]:
    """Give the fuses of a piece, each at the end that the plan names."""
    for spot, fuse in zip(piece.spots, job.wires[piece.id].fuses, strict=True):
        yield replace(fuse, at=piece.a_text if spot.side == "a" else piece.b_text)


def fuse_table(job: Assessment, fuses: tuple[FuseFigure, ...], cable: WireFigure | None) -> Table:
    """Return what fuses hold: rating, what lasts through them, what the cable behind them is good for."""
    rows = [one for fuse in fuses for one in fuse_rows(job, fuse, cable)]
    fuse = fuses[0]
    result = "its rating is not known"
    if fuse.rating_a is not None:
        result = f"{quantity(fuse.rating_a, 'A')} fuse"
        if fuse.lasting_a is not None:
            result += f", {quantity(fuse.lasting_a, 'A')} lasts through it"
        if cable is not None:
            result += f", cable good for {quantity(cable.rating_a, 'A')}"
    return Table(key="fuse", title="What the fuse holds", rows=tuple(rows), result=result)


def fuse_rows(job: Assessment, fuse: FuseFigure, cable: WireFigure | None = None) -> Iterator[Row]:
    """Give the rows of one fuse."""
    kind = fuse.kind.replace("_", " ")
    what = f"{kind} fuse at {end_words(job, fuse.at)}".strip()
    what = f"{what[:1].upper()}{what[1:]}"
    if fuse.rating_a is None:
        yield Row(what=what, value="?", unit="A")
        return
    yield plain(f"{what}{', chosen' if fuse.auto else ''}", fuse.rating_a, "A", None if fuse.auto else TYPED)
    if fuse.lasting_a is not None:
        yield plain("Lasts through it", fuse.lasting_a, "A", None)
        yield row(filled(fuse.lasting_a, fuse.rating_a, "of its rating"), "Of its rating")
    if cable is not None and cable.rating_a:
        says = f"of what {cable.id} is good for"
        yield row(filled(fuse.rating_a, cable.rating_a, says), f"{says[:1].upper()}{says[1:]}")
    if fuse.breaks_a is not None:
        yield plain("Breaks a short of up to", fuse.breaks_a, "A", None)
