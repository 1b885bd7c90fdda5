"""Rules on what hangs together: wrong voltage, open ends, loads that nothing feeds, bare body ends."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.joined import banks
from loomwright.assessment.record import LoadFigure
from loomwright.assessment.sources import battery_class
from loomwright.assessment.states import NO_BODY_RETURN

from .finding import Finding
from .registry import SOUND_WIRING, Job, rule

#: How far from its class a load's volts may lie before the class is wrong: 12 V gear lives at 10 to 15 V.
CLASS_TOLERANCE = 0.30
#: What a battery may give with everything off before it counts as shorted: measuring wires, displays. [A]
STRAY_A = 1.0


@rule(
    worst="fault",
    asks="Does each thing hang on the voltage it is made for?",
    why="A 12 V lamp on 24 V burns out, a 24 V coil on 12 V does not pull in.",
    source=SOUND_WIRING,
)
def wrong_voltage_class(job: Job) -> Iterator[Finding]:
    told = set()
    for load in job.assessment.loads.values():
        if load.fed and load.volts_v is not None and not _in_class(load, load.volts_v):
            told.add(load.part)
            yield _other_class(job, load, load.volts_v, "")
    for mode in job.assessment.moved.circuits:
        flow = job.assessment.flows.of(job.assessment.moved.figures[mode])
        for load in job.assessment.loads.values():
            got = flow.loads.get(load.part)
            if got is not None and load.part not in told and not _in_class(load, got.volts):
                told.add(load.part)
                yield _other_class(job, load, got.volts, mode)


def _in_class(load: LoadFigure, volts: float) -> bool:
    low, high = load.class_low_v * (1 - CLASS_TOLERANCE), load.class_high_v * (1 + CLASS_TOLERANCE)
    return load.kind == "signal" or low <= volts <= high


def _other_class(job: Job, load: LoadFigure, volts: float, mode: str) -> Finding:
    """Return the finding on a load that hangs on other volts than it is made for, perhaps in a mode only."""
    wire = next((c.wire for c in job.assessment.circuits.values() if c.load == load.part), load.part)
    coil = "the coil of " if load.kind == "coil" else ""
    rail = round(volts / 12) * 12
    return Finding(
        rule="wrong_voltage_class",
        severity="fault",
        where=wire,
        also=(load.part,),
        place=job.place(wire, load.part),
        value=volts,
        limit=load.class_high_v,
        unit="V",
        mode=mode,
        says=f"{coil}{job.name(load.part)} is made for {load.class_low_v:g} V and hangs on {volts:.3g} V"
        f"{f' ({mode})' if mode else ''}",
        do=f"feed it from a {load.class_low_v:g} V rail, or use a part for {rail:g} V",
        source=SOUND_WIRING,
    )


@rule(
    worst="fault",
    asks="Is each load fed in some position of its switches?",
    why="A load that no battery reaches is a slip in the plan: a missing wire, bridge or return.",
    source=SOUND_WIRING,
)
def load_not_fed(job: Job) -> Iterator[Finding]:
    shell = job.assessment.plan.vehicle.body
    body = f" (a {shell} body brings no current back)" if shell in NO_BODY_RETURN else ""
    for load in job.assessment.loads.values():
        if load.fed or load.reversed_ or load.kind == "signal" or load.open_plus or load.open_minus:
            continue
        yield Finding(
            rule="load_not_fed",
            severity="fault",
            where=load.part,
            place=job.place(load.part),
            says=f"no battery feeds {job.name(load.part)}, in no position of the switches",
            do="look for a missing wire, a way without feed, or a return that ends nowhere" + body,
            source=SOUND_WIRING,
        )


@rule(
    worst="fault",
    asks="Is each load the right way round?",
    why="Electronics with plus and minus swapped are dead at once; a motor turns backwards.",
    source=SOUND_WIRING,
)
def load_reversed(job: Job) -> Iterator[Finding]:
    for load in job.assessment.loads.values():
        if load.reversed_ and not load.fed and load.kind not in ("signal", "coil"):
            yield Finding(
                rule="load_reversed",
                severity="fault",
                where=load.part,
                place=job.place(load.part),
                value=load.volts_v,
                unit="V",
                says=f"{job.name(load.part)} has plus and minus swapped",
                do="swap the two wires at one end",
                source=SOUND_WIRING,
            )


@rule(
    worst="danger",
    asks="Does any battery give current with everything off?",
    why="A battery that is shorted, or joined to another of different volts, heats the wire until it burns.",
    source=SOUND_WIRING,
)
def battery_shorted(job: Job) -> Iterator[Finding]:
    job_a = job.assessment
    amps = {id: abs(a) for id, a in job_a.idle_a.items() if abs(a) > STRAY_A}
    ids = tuple(dict.fromkeys((*(id for id in job_a.clash if id in job_a.wiring.parts), *amps)))
    if ids and not _only_unlike(job, ids):
        most = max(amps.values(), default=None)
        flows = (
            "without any resistance between" if most is None else f"{most:.3g} A flows with everything off"
        )
        yield Finding(
            rule="battery_shorted",
            severity="danger",
            where=ids[0],
            also=ids[1:],
            place=job.place(*ids),
            value=most,
            limit=STRAY_A,
            unit="A",
            says=f"{' and '.join(ids)}: plus meets minus, or other volts ({flows})",
            do="find the wire that joins them and take it out of the plan",
            source=SOUND_WIRING,
        )


def _only_unlike(job: Job, ids: tuple[str, ...]) -> bool:
    """True if what flows is from one battery of a bank into another of other chemistry."""
    wiring = job.assessment.wiring
    classes = {battery_class(wiring, id) for id in ids}
    kinds = {wiring.parts[id].chemistry == "lifepo4" for id in ids}
    if len(classes) > 1 or len(kinds) < 2:
        return False
    return any(set(ids) <= set(bank) for bank in banks(wiring, job.assessment.standing.closed))


@rule(
    worst="fault",
    asks="Does each load have its return?",
    why="Without a return nothing runs, or the current finds a way of its own through other things.",
    source=SOUND_WIRING,
)
def open_return(job: Job) -> Iterator[Finding]:
    for load in job.assessment.loads.values():
        if load.open_minus and not load.open_plus and load.kind not in ("signal", "coil"):
            yield Finding(
                rule="open_return",
                severity="fault",
                where=load.part,
                place=job.place(load.part),
                says=f"{job.name(load.part)} is fed, but its minus is not wired",
                do=f"write a return: the wire that feeds {load.part} takes return: wire, a stud or a bar",
                source=SOUND_WIRING,
            )


@rule(
    worst="note",
    asks="Which parts have no wire yet?",
    why="A part without wires is not judged.",
    source=SOUND_WIRING,
)
def not_wired(job: Job) -> Iterator[Finding]:
    for load in job.assessment.loads.values():
        if load.open_plus and load.kind in ("consumer", "inverter", "charger_input", "converter_input"):
            yield Finding(
                rule="not_wired",
                severity="note",
                where=load.part,
                place=job.place(load.part),
                says=f"{job.name(load.part)} has no wire in the plan",
                do="add its circuit, or say wired: no",
                source=SOUND_WIRING,
            )


@rule(
    worst="watch",
    asks="Does each wire end on something?",
    why="A live end that leads nowhere chafes and shorts; a slip in the plan looks the same.",
    source=SOUND_WIRING,
)
def open_end(job: Job) -> Iterator[Finding]:
    for wire, point in job.assessment.open_ends:
        yield Finding(
            rule="open_end",
            severity="watch",
            where=wire,
            also=(point.rstrip("<>"),),
            place=job.place(wire),
            says=f"{wire} ends at {point.rstrip('<>')}, and nothing goes on from there",
            do="wire the other side, or take the wire out",
            source=SOUND_WIRING,
        )


@rule(
    worst="watch",
    asks="Does each body return have a stud of its own name?",
    why="An earth point that nobody chose ends up on a painted screw.",
    source=SOUND_WIRING,
)
def stud_not_named(job: Job) -> Iterator[Finding]:
    for flat in job.assessment.wiring.runs.values():
        for piece in flat.pieces:
            bare = piece.a.endswith("@body") or piece.b.endswith("@body")
            if bare and flat.run.factory is not True and not flat.mains:
                yield Finding(
                    rule="stud_not_named",
                    severity="watch",
                    where=piece.id,
                    place=job.place(piece.id),
                    says=f"{piece.id} goes to the bare body; a good stud near its load is assumed",
                    do="name the stud: give it a place under studs and end the return on it",
                    source=SOUND_WIRING,
                )


@rule(
    worst="fault",
    asks="Can the battery hold each load?",
    why="A load that takes constant power pulls its own volts down until nothing works.",
    source=SOUND_WIRING,
)
def load_cannot_be_held(job: Job) -> Iterator[Finding]:
    for load_id in job.assessment.collapsed:
        load = job.assessment.loads[load_id]
        wire = next((c.wire for c in job.assessment.circuits.values() if c.load == load.part), load.part)
        yield Finding(
            rule="load_cannot_be_held",
            severity="fault",
            where=wire,
            also=(load.part,),
            place=job.place(wire, load.part),
            says=f"{load.feeder} cannot hold {job.name(load.part)} through this wiring: its volts collapse",
            do="use a much larger cable, or a smaller load",
            source=SOUND_WIRING,
        )
