"""Rules on terminals and contacts: which cable they take, the diode of a coil, starts through contacts."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.inputs import TYPED
from loomwright.assessment.loads import LONG_START_S
from loomwright.assessment.record import WireFigure
from loomwright.assessment.starting import PassageStart, starts_in_passages
from loomwright.plan.model import Part
from loomwright.plan.pieces import Piece
from loomwright.plan.values import Quantity
from loomwright.source import Source
from loomwright.tables.limits import DUST

from .finding import Finding, Severity
from .registry import WORKSHOP, Job, rule

COIL = Source(work="DIN 72552", place="86 start of the coil, 85 its end", checked="from memory")
#: Terminals that carry no load current: a thinner wire than the part's main terminals take is usual there.
_THIN = ("85", "86", "signal", "sender", "d_plus", "coil_plus", "coil_minus", "remote", "probe", "panel")
#: Parts whose minus is for themselves only.
_THIN_MINUS = ("sensing_relay", "low_voltage_cut", "dimmer", "control_panel", "b2b")
_BOXES = ("fuse_box",)


@rule(
    worst="fault",
    asks="Does each terminal take its wire?",
    why="A wire too thick for its terminal loses strands, one too thin is not held: both run hot.",
    source=TYPED,
)
def wire_outside_terminal(job: Job) -> Iterator[Finding]:
    for part_id, part in job.assessment.wiring.parts.items():
        if isinstance(part.takes, Quantity):
            yield from _outside(job, part_id, part, part.takes)


def _outside(job: Job, part_id: str, part: Part, takes: Quantity) -> Iterator[Finding]:
    for piece, point in _wires_at(job, part_id):
        wire, terminal = job.assessment.wires[piece.id], job.assessment.wiring.terminal_of(point)
        area = wire.area_mm2
        if area is None or wire.mains or wire.inner:
            continue
        if area > takes.high * (1 + DUST):
            # The feed of a fuse box usually has a stud of its own, and the range is that of the ways.
            own = part.kind in _BOXES and not terminal.isdigit()
            yield _finding(job, wire, point, area, takes.high, "watch" if own else "fault")
        elif takes.low < takes.high and area < takes.low * (1 - DUST) and not _is_thin(part, terminal):
            yield _finding(job, wire, point, area, takes.low, "fault")


def _wires_at(job: Job, part_id: str) -> Iterator[tuple[Piece, str]]:
    """Give the wires that end on a part, each with its point there."""
    wiring = job.assessment.wiring
    for piece in wiring.pieces():
        for point in (piece.a, piece.b):
            if wiring.part_of(point) == part_id:
                yield piece, point


def _is_thin(part: Part, terminal: str) -> bool:
    signal = part.kind == "control_panel" or part.terminals.get(terminal) == "signal"
    return signal or terminal in _THIN or (terminal == "minus" and part.kind in _THIN_MINUS)


def _finding(
    job: Job, wire: WireFigure, point: str, area: float, limit: float, severity: Severity
) -> Finding:
    size, point = wire.gauge or f"{area:g} mm²", point.rstrip("<>")
    thick = area > limit
    part = job.assessment.wiring.part_of(point) or point
    if severity == "watch":
        do = f"look whether {point} is a stud of its own for such a cable"
    elif thick:
        do = "join a tail that the terminal takes to its end, or use a part with larger terminals"
    else:
        do = f"use {limit:g} mm² or more, or a ferrule or part made for thin wires"
    return Finding(
        rule="wire_outside_terminal",
        severity=severity,
        where=wire.run,
        also=(wire.id, part),
        place=job.place(part, wire.id),
        value=area,
        limit=limit,
        unit="mm²",
        says=f"{wire.id} is {size}, and {point} takes {'up to' if thick else 'from'} {limit:g} mm²"
        f"{'' if thick else ' up'}",
        do=do,
        source=TYPED,
    )


@rule(
    worst="fault",
    asks="Is each coil with a diode the right way round?",
    why="A diode the wrong way round shorts the coil's feed: it burns, or takes the panel's output along.",
    source=COIL,
)
def coil_diode_reversed(job: Job) -> Iterator[Finding]:
    poles = job.assessment.poles
    for part_id, part in job.assessment.wiring.parts.items():
        if part.kind != "relay" or part.diode is not True:
            continue
        mark = part.coil_plus or "86"
        plus, minus = f"{part_id}.{mark}", f"{part_id}.{'85' if mark == '86' else '86'}"
        turned = minus in poles.plus or plus in poles.minus
        if turned and plus not in poles.plus and minus not in poles.minus:
            yield Finding(
                rule="coil_diode_reversed",
                severity="fault",
                where=part_id,
                place=job.place(part_id),
                says=f"the coil of {job.name(part_id)} has a diode with its plus at {mark}, and "
                f"{'plus' if minus in poles.plus else 'minus'} is wired to "
                f"{minus.rpartition('.')[2] if minus in poles.plus else mark}",
                do="swap the wires at 85 and 86, or use a relay without a diode",
                source=COIL,
            )


@rule(
    worst="fault",
    asks="Does each contact and output stand the starts behind it?",
    why="A start of minutes heats a contact like a lasting current; an electronic output gives up at once.",
    source=WORKSHOP,
)
def start_overloads_passage(job: Job) -> Iterator[Finding]:
    worst: dict[str, PassageStart] = {}
    for one in starts_in_passages(job.assessment):
        held = worst.get(one.passage.branch)
        if _severity(one) is not None and (held is None or held.amps < one.amps):
            worst[one.passage.branch] = one
    for one in worst.values():
        passage = one.passage
        yield Finding(
            rule="start_overloads_passage",
            severity=_severity(one) or "watch",
            where=passage.part,
            also=(one.load,),
            place=job.place(passage.part),
            value=one.amps,
            limit=passage.rating_a,
            unit="A",
            says=f"{job.name(one.load)} starts with {one.amps:.3g} A for {one.seconds:.3g} s through "
            f"{job.name(passage.part)} ({passage.what}), which is made for {passage.rating_a:.3g} A",
            do="switch the load by a relay that carries its start",
            source=WORKSHOP,
        )


def _severity(one: PassageStart) -> Severity | None:
    """Return how poor a start is; what is overloaded while running is said by another rule."""
    most = one.passage.rating_a * (1 + DUST)
    if one.amps <= most or one.passage.current_a > most:
        return None
    if one.seconds > LONG_START_S:
        return "fault"
    return "watch" if one.passage.what == "panel output" else None
