"""What the starts of loads do on their way: to fuses (when each opens), to contacts, pins,
outputs and converters.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.errors import OutOfTableError
from loomwright.plan.values import Quantity
from loomwright.protection.fusing import usual_type
from loomwright.protection.opening import opening_time
from loomwright.units import Band

from .loads import UNSAID_START_S
from .record import Assessment, CircuitFigure, FuseFigure, PassageFigure, WireFigure


@dataclass(frozen=True, slots=True)
class StartThrough:
    """The start of a load through one fuse, everything else on.

    Attributes
    ----------
    wire, fuse : WireFigure, FuseFigure
        The fuse and the wire that it sits in.
    load : str
        What starts.
    amps, seconds : float
        Current through the fuse while it starts, and for how long. [A, s]
    opens : Band
        The shortest and the longest time in which the fuse opens at that current. [s]
    """

    wire: WireFigure
    fuse: FuseFigure
    load: str
    amps: float
    seconds: float
    opens: Band


@dataclass(frozen=True, slots=True)
class PassageStart:
    """The start of a load through a contact, pin, dimmer or output, everything else on.

    Attributes
    ----------
    passage : PassageFigure
        With its lasting current and its rating.
    load : str
        What starts.
    amps, seconds : float
        Current through it while it starts, and for how long. [A, s]
    """

    passage: PassageFigure
    load: str
    amps: float
    seconds: float


def starts_through(job: Assessment) -> Iterator[StartThrough]:
    """Give the starts that load a fuse above its rating.

    Parameters
    ----------
    job : Assessment
        The plan worked out.
    """
    starts = _starting(job)
    for wire in job.wires.values():
        if not wire.fuses or wire.mains or wire.factory:
            continue
        by_load = job.through.by_load(wire.id)
        for load in by_load.keys() & starts.keys():
            for fuse in wire.fuses:
                if (one := _start(wire, fuse, starts[load], by_load[load])) is not None:
                    yield one


def starts_in_passages(job: Assessment) -> Iterator[PassageStart]:
    """Give the starts that go through contacts, pins, dimmers and panel outputs whose rating is stated.

    Parameters
    ----------
    job : Assessment
        The plan worked out.
    """
    starts = _starting(job)
    for passage in job.passages if starts else ():
        if passage.branch and math.isfinite(passage.rating_a):
            by_load = job.through.by_load(passage.branch)
            for load in by_load.keys() & starts.keys():
                amps = passage.current_a + _more(starts[load], by_load[load])
                yield PassageStart(passage, load, amps, starts[load].start_s or UNSAID_START_S)


@dataclass(frozen=True, slots=True)
class ConverterStart:
    """The hardest start behind a converter, everything else on.

    Attributes
    ----------
    converter, load : str
        What gives, and what starts.
    running_a, amps : float
        With everything on, and while this one starts. [A]
    alone_a, seconds : float
        The start by itself, and how long it lasts. [A, s]
    most_a : float
        What the converter gives before it folds back. [A]
    """

    converter: str
    load: str
    running_a: float
    amps: float
    alone_a: float
    seconds: float
    most_a: float


def starts_behind_converters(job: Assessment) -> Iterator[ConverterStart]:
    """Give the hardest start behind each converter of stated current.

    Parameters
    ----------
    job : Assessment
        The plan worked out.
    """
    starts = _starting(job)
    for id, given in job.given_a.items():
        part = job.wiring.parts[id]
        most = next((a.low for a in (part.fold_back, part.current) if isinstance(a, Quantity)), None)
        own = [starts[load] for load in given.keys() & starts.keys()]
        if part.kind != "converter" or most is None or not own:
            continue
        hardest = max(own, key=lambda one: _more(one, given[one.load]))
        amps = job.drawn_a[id] + _more(hardest, given[hardest.load])
        seconds = hardest.start_s or UNSAID_START_S
        yield ConverterStart(id, hardest.load, job.drawn_a[id], amps, hardest.start_a or 0.0, seconds, most)


def _starting(job: Assessment) -> dict[str, CircuitFigure]:
    """Return the circuits of loads that start, by load."""
    circuits = (c for c in job.circuits.values() if c.path == "ordinary")
    return {c.load: c for c in circuits if c.start_a and c.running_a}


def _more(circuit: CircuitFigure, own_a: float) -> float:
    """Return what a circuit's start adds where so much of its running current flows. [A]"""
    return abs(own_a) * ((circuit.start_a or 0.0) / (circuit.running_a or 1.0) - 1.0)


def _start(wire: WireFigure, fuse: FuseFigure, circuit: CircuitFigure, own_a: float) -> StartThrough | None:
    """Return the start of a circuit of which so much flows here; None if the fuse carries it for good."""
    if fuse.rating_a is None or fuse.lasting_a is None or fuse.lasting_a > fuse.rating_a:
        return None
    amps = fuse.lasting_a + _more(circuit, own_a)
    kind = fuse.kind if fuse.kind and fuse.kind != "unknown" else usual_type(fuse.rating_a)
    try:
        opens = opening_time(kind, fuse.rating_a, amps)
    except OutOfTableError:
        return None
    seconds = circuit.start_s or UNSAID_START_S
    return StartThrough(wire, fuse, circuit.load, amps, seconds, opens) if amps > fuse.rating_a else None
