"""Combined units: their ports on the frame, their minus bar in pieces, returns that go up again to it.

A wire that passes the frame passes a port: on the upper edge where the outside is above, on the lower edge
where it is below. The minus bar of a unit is drawn in pieces, one at each line that ends on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from .sides import Hang
from .strands import DotStep, End, FuseStep, LinkStep, PartStep, PortStep, Step, Strand, WayStep, WireStep

#: The end of a strand that goes on beside it: a return that goes up again.
TURN = "turn"
#: Ends the name of the corner at which a wire runs across to its unit.
GOES = ">"


def unit_of(id: str) -> str:
    """Return the outermost combined unit that an inner part or bar lies in, "" for one outside."""
    return id.partition("/")[0] if "/" in id else ""


def with_units(hang: Hang) -> Hang:
    """Return the wiring with ports where it passes the frames of units, their minus bars in pieces."""
    scatter = frozenset(bar for bar in hang.bars if unit_of(bar) and not hang.above[bar])
    strands: list[Strand] = []
    for strand in hang.strands:
        if strand.b.id in scatter and strand.a.kind == "bar" and not hang.above[strand.a.id]:
            strand = strand.turned()  # a lead goes down from the minus of a unit
        for part in _going_on(_with_ports(strand), hang):
            strands += _turned_up(part) if part.b.id in scatter else _back_in(part)
    strands = list(_up_from_joints(strands))
    passes = {s.b.id: "joint" for s in strands if s.b.kind == "bar" and s.b.id.endswith(GOES)}
    bars, above = {**hang.bars, **passes}, {**hang.above, **dict.fromkeys(passes, True)}
    order = (*hang.order, *passes)
    return replace(hang, strands=tuple(strands), scatter=scatter, bars=bars, above=above, order=order)


def _going_on(strand: Strand, hang: Hang) -> Iterator[Strand]:
    """Yield a strand; two where a wire from a fuse box outside runs across to a port of a unit."""
    ports = [i for i, step in enumerate(strand.steps) if isinstance(step, PortStep)]
    outside = (
        strand.a.kind == "bar" and not unit_of(strand.a.id) and hang.bars[strand.a.id] in ("box", "rail")
    )
    within = unit_of(strand.b.id) and strand.b.kind in ("bar", "open")
    wire = strand.steps[ports[0] - 1] if ports and ports[0] > 0 else None
    if len(ports) != 1 or not outside or not within or not isinstance(wire, WireStep):
        yield strand
        return
    across = End("bar", f"{strand.key}{GOES}")
    yield replace(strand, b=across, steps=strand.steps[: ports[0]])
    yield replace(strand, a=across, steps=strand.steps[ports[0] - 1 :])


def inside_of(step: Step) -> str | None:
    """Return the unit that a step lies in, "" for one outside, None for a line that is no wire."""
    match step:
        case WireStep(piece=piece):
            return unit_of(piece.run)
        case PartStep(part=id) | DotStep(part=id):
            return unit_of(id)
        case WayStep(box=id):
            return unit_of(id)
        case FuseStep(piece=piece, box=box):
            return unit_of(box) if box else unit_of(piece.run if piece else "")
        case PortStep(unit=id):
            return id
        case LinkStep():
            return None


def _with_ports(strand: Strand) -> Strand:
    """Put a port wherever a strand passes the frame of a unit."""
    ends = (unit_of(strand.a.id), unit_of(strand.b.id))
    if not any(ends) and not any(inside_of(step) for step in strand.steps):
        return strand
    steps: list[Step] = []
    here = ends[0]
    for index, step in enumerate(strand.steps):
        there = inside_of(step)
        if there is None or there == here:
            steps.append(step)
            continue
        port = _port(strand.steps[max(0, index - 1) : index + 1], here or there, upper=not here)
        last = steps[-1] if steps else None
        if isinstance(last, WayStep | DotStep) and here:  # the terminal within is the port itself
            steps[-1] = port
            steps.append(step)
        elif isinstance(step, WayStep | DotStep) and there:
            steps.append(port)
        elif isinstance(last, PortStep):  # two outer wires on one terminal: the line runs through the unit
            steps += [LinkStep(), replace(port, port=last.port), step]
        else:
            steps += [port, step] if steps else [LinkStep(), port, step]
        here = there
    if ends[1] != here:
        port = _port(strand.steps[-1:], here or ends[1], upper=not here)
        steps += [port] if strand.b.kind == "open" else [port, LinkStep()]
    return replace(strand, steps=tuple(steps))


def _port(around: Sequence[Step], unit: str, *, upper: bool) -> PortStep:
    """Return the port that the outer one of two steps ends on, by the name typed there."""
    for step in around:
        if isinstance(step, WireStep) and not unit_of(step.piece.run):
            for text in (step.piece.a_text, step.piece.b_text):
                if text.startswith(f"{unit}."):
                    return PortStep(unit, text[len(unit) + 1 :], upper)
    return PortStep(unit, "", upper)


def _turned_up(strand: Strand) -> Iterator[Strand]:
    """Yield a strand; two where the return of a load goes up again to the minus of a unit."""
    last = _last_load(strand)
    outside = (
        any(isinstance(step, PortStep) for step in strand.steps[last + 1 :]) if last is not None else False
    )
    if last is None or not outside:
        yield strand
        return
    back = tuple(
        replace(step, upper=False) if isinstance(step, PortStep) else step
        for step in reversed(strand.steps[last + 1 :])
    )
    turn = End(TURN, strand.key)
    yield replace(strand, b=turn, steps=strand.steps[: last + 1])
    yield Strand(_back_key(turn), strand.b, turn, back)


def _back_in(strand: Strand) -> list[Strand]:
    """Return a strand that goes out of a unit and in again as two that meet under it, any other as it is.

    So is one that ends on the bar on which it begins.
    """
    if strand.a.kind == "bar" and strand.a.id == strand.b.id:
        return _ring(strand)
    ports = [(i, step) for i, step in enumerate(strand.steps) if isinstance(step, PortStep)]
    if len(ports) < 2 or strand.a.kind != "bar" or strand.b.kind != "bar":
        return [strand]
    (out, first), (back, second) = ports[-2:]
    wires = [i for i in range(out, back) if isinstance(strand.steps[i], WireStep)]
    if first.upper or not second.upper or first.unit != second.unit or not wires:
        return [strand]
    steps = (*strand.steps[:back], replace(second, upper=False), *strand.steps[back + 1 :])
    return _parted(replace(strand, steps=steps), wires[-1])


def _ring(strand: Strand) -> list[Strand]:
    """Return a strand that ends on the bar on which it begins as two that meet at their lower ends."""
    parts = [i for i, step in enumerate(strand.steps) if isinstance(step, PartStep)]
    wires = [i for i, step in enumerate(strand.steps) if isinstance(step, WireStep) and not step.stub]
    between = [i for i in wires if parts and parts[0] < i < parts[-1]] or wires
    return _parted(strand, between[0]) if between else [strand]


def _parted(strand: Strand, wire: int) -> list[Strand]:
    """Return a strand as two that come down side by side and meet in a wire of it."""
    turn = End(TURN, strand.key)
    up = replace(strand, a=turn, steps=strand.steps[wire:]).turned()
    return [replace(strand, b=turn, steps=strand.steps[: wire + 1]), replace(up, key=_back_key(turn))]


def _up_from_joints(strands: Sequence[Strand]) -> Iterator[Strand]:
    """Yield strands; one from a joint under a unit into the same unit again comes down to that joint."""
    under = {
        (strand.b.id, step.unit)
        for strand in strands
        for step in strand.steps
        if isinstance(step, PortStep) and not step.upper and not unit_of(strand.b.id)
    }
    for strand in strands:
        ports = [step for step in strand.steps if isinstance(step, PortStep)]
        into = len(ports) == 1 and ports[0].upper and (strand.a.id, ports[0].unit) in under
        if into and strand.a.kind == strand.b.kind == "bar":
            steps = tuple(replace(s, upper=False) if isinstance(s, PortStep) else s for s in strand.steps)
            strand = replace(strand, steps=steps).turned()
        yield strand


def is_back(strand: Strand) -> bool:
    """True for a strand that comes up again beside the one that it belongs to."""
    return strand.b.kind == TURN and strand.key == _back_key(strand.b)


def _back_key(turn: End) -> str:
    """Return the key of the strand that comes up again from a turn."""
    return f"{turn.id} {TURN}"


def _last_load(strand: Strand) -> int | None:
    found = [i for i, s in enumerate(strand.steps) if isinstance(s, PartStep) and s.leave == "minus"]
    return found[-1] if found and not unit_of(_part(strand.steps[found[-1]])) else None


def _part(step: Step) -> str:
    return step.part if isinstance(step, PartStep) else ""
