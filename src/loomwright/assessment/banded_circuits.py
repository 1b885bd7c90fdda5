"""Bands of the circuits: off the corners, drawn out where no corner has the extreme."""

from __future__ import annotations

from collections.abc import Callable

from .banded_flow import FlowBands
from .banded_record import Expected, Figures
from .record import Assessment, CircuitFigure

_NAMES = (
    "running_a",
    "start_a",
    "loop_resistance_ohm",
    "drop_v",
    "drop_run_v",
    "start_drop_v",
    "load_v",
    "start_load_v",
)
Hull = Callable[[Callable[[Assessment], float | None]], Expected | None]


def circuit_bands(circuit: CircuitFigure, hull: Hull, flows: FlowBands) -> Figures:
    """Return the bands of one circuit.

    Alone, a load's drop grows with every ohm and every ampere. Where it is a converter its current falls
    with the ohms behind it, so the ends of current and ohms are taken each for itself.

    Parameters
    ----------
    circuit : CircuitFigure
        At the bad corner.
    hull : callable
        Gives the band of what is read off the corners.
    flows : FlowBands
        What was bounded apart.
    """

    def read(name: str) -> Expected | None:
        def of(job: Assessment) -> float | None:
            one = job.circuits.get(circuit.id)
            return None if one is None else getattr(one, name)

        return hull(of)

    found = {name: read(name) for name in _NAMES}
    less, more = 1.0 - flows.slack, 1.0 + flows.slack
    loop, amps = _times(found["loop_resistance_ohm"], less, more), found["running_a"]
    lost, start = _times(found["drop_v"], less, more), _times(found["start_drop_v"], less, more)
    if circuit.load in flows.drawn and loop is not None and lost is not None:
        amps = _times(amps, *flows.drawn[circuit.load])
        lost = lost if amps is None else lost.reaching(loop.low * amps.low, loop.high * amps.high)
    whole = lost if found["drop_run_v"] == found["drop_v"] else _times(found["drop_run_v"], less, more)
    return found | {
        "running_a": amps,
        "loop_resistance_ohm": loop,
        "drop_v": lost,
        "drop_pct": _pct(lost, circuit),
        "drop_run_v": _with_its_run(circuit, whole, flows),
        "drop_together_v": _together(circuit, read("drop_together_v"), flows),
        "start_drop_v": start,
        "start_drop_pct": _pct(start, circuit),
        "load_v": _left(found["load_v"], found["drop_v"], lost),
        "start_load_v": _left(found["start_load_v"], found["start_drop_v"], start),
    }


def _times(band: Expected | None, low: float, high: float) -> Expected | None:
    return None if band is None else band.times(low, high)


def _pct(band: Expected | None, circuit: CircuitFigure) -> Expected | None:
    scale = 100.0 / circuit.system_v
    return None if band is None else Expected(band.low * scale, band.typical * scale, band.high * scale)


def _left(volts: Expected | None, before: Expected | None, after: Expected | None) -> Expected | None:
    """Return the volts left at a load, drawn out as its drop was."""
    if volts is None or before is None or after is None:
        return volts
    return volts.reaching(volts.low + before.high - after.high, volts.high + before.low - after.low)


def _with_its_run(circuit: CircuitFigure, band: Expected | None, flows: FlowBands) -> Expected | None:
    """Return the drop with the other loads of its run on; what is lost in diodes comes on top."""
    ends = flows.run_v.get(circuit.load)
    if band is None or ends is None:
        return band
    step = next((one for one in circuit.steps if one.symbol == "U"), None)
    own = 0.0 if step is None else step.inputs[-1].value
    return band.reaching(ends[0] + own, ends[1] + own)


def _together(circuit: CircuitFigure, band: Expected | None, flows: FlowBands) -> Expected | None:
    """Return the drop with everything on, by the bounds of the volts at the load."""
    ends = flows.volts_v.get(circuit.load)
    if band is None or ends is None or circuit.load_v is None or circuit.drop_v is None:
        return band
    posts = circuit.load_v + circuit.drop_v
    low, high = (max(posts - volts, 0.0) for volts in reversed(ends))
    return band.reaching(low, high)
