"""Figures as bands: the least and the most they may be, and what is typical, over all that is not exact.

What is not exact is what the plan leaves open, ranges that it states, and joints, which age. Most figures
only grow with every ohm, or only fall, and the same with every current taken; such a one has its ends where
all ohms stand at one end and all currents at one end, so four assessments bound it. Sums of currents over
loads of different kinds, and the volts these leave, are bounded load by load. Where current has several ways
its parting is tried. A band holds for the sizes and fuses that the plan says or that were chosen.

Method and sources: docs/methods/bands.md.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from loomwright.errors import OutOfTableError
from loomwright.protection.opening import opening_time

from .assess import Corners, Worked
from .banded_dips import dip_bands
from .banded_flow import FlowBands, flow_bands
from .inputs import Corner, Unsure, middle
from .network import METAL
from .record import Assessment, CircuitFigure, WireFigure
from .shorts import EndShort

#: The corners that bound what grows or falls with all ohms, and with all currents.
ENDS = (Corner.BEST, Corner.WORN_LIGHT, Corner.FRESH_HEAVY, Corner.WORN)

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Expected:
    """What a figure may be: at the least, typically, at the most."""

    low: float
    typical: float
    high: float

    def times(self, low: float, high: float) -> Expected:
        """Return the band with its ends drawn out by factors."""
        return Expected(self.low * low, self.typical, self.high * high)


Figures = Mapping[str, Expected | None]


@dataclass(frozen=True, slots=True)
class Bands:
    """The bands of one van's figures, by thing and by the name that each figure has in `check --json`.

    Attributes
    ----------
    wires, circuits, studs, batteries : mapping
        None for a figure that is not to be had at every end.
    dips : mapping
        By circuit and the load that starts. [V]
    unsure : mapping
        What is not known exactly, by field.
    tried : frozenset of str
        Wires, studs and batteries whose current has several ways.
    """

    wires: Mapping[str, Figures]
    circuits: Mapping[str, Figures]
    studs: Mapping[str, Figures]
    batteries: Mapping[str, Figures]
    dips: Mapping[tuple[str, str], Expected]
    unsure: Mapping[str, Unsure] = field(default_factory=dict)
    tried: frozenset[str] = frozenset()


def bands_of(corners: Corners, progress: Progress | None = None) -> Bands:
    """Return the bands of all figures of a van.

    Parameters
    ----------
    corners : Corners
        The plan's assessments.
    progress : callable or None
        Told after each step how many are done, and of how many; trials add to both.

    Returns
    -------
    Bands
        See there.
    """
    done = 0

    def say() -> None:
        nonlocal done
        done += 1
        if progress is not None:
            progress(done, max(done, len(ENDS) + 3))

    runs = {}
    for corner in (*ENDS, Corner.TYPICAL):
        runs[corner] = corners.at(corner)
        say()
    ends, typical = [runs[corner] for corner in ENDS], runs[Corner.TYPICAL]
    flows = flow_bands(ends, runs[Corner.BEST], runs[Corner.WORN], typical, say)
    say()
    found = _Banding(corners, ends, typical, flows).bands()
    say()
    return found


class _Banding:
    """Reads each figure off the runs at the corners, and off what was bounded apart."""

    def __init__(self, corners: Corners, ends: list[Worked], typical: Worked, flows: FlowBands) -> None:
        self.bad, self.flows, self.typical = corners.bad, flows, typical.assessment
        self.ends, self.runs = [run.assessment for run in ends], [*ends, typical]
        self.worn = self.ends[ENDS.index(Corner.WORN)]
        self.best = self.ends[ENDS.index(Corner.BEST)]

    def bands(self) -> Bands:
        unsure: dict[str, Unsure] = {}
        for run in self.runs:
            unsure |= run.unsure
        return Bands(
            wires={id: self._wire(wire) for id, wire in self.bad.wires.items() if not wire.mains},
            circuits={id: self._circuit(id) for id in self.bad.circuits},
            studs={id: self._stud(id) for id in self.bad.studs},
            batteries={id: {"given_a": self._given(id)} for id in self.bad.drawn_a},
            dips={
                key: Expected(low, typical, high)
                for key, (low, typical, high) in dip_bands(self.bad, self.runs).items()
            },
            unsure=unsure,
            tried=frozenset(id.removesuffix(METAL) for id in self.flows.meshed),
        )

    def _hull(self, read: Callable[[Assessment], float | None]) -> Expected | None:
        """Return the band of a figure over all corners; None if one of them does not have it."""
        typical = read(self.typical)
        values = [read(one) for one in (*self.ends, self.bad)]
        known = [value for value in (*values, typical) if value is not None and math.isfinite(value)]
        if typical is None or len(known) < len(values) + 1:
            return None
        return Expected(min(known), typical, max(known))

    # --- wires ---------------------------------------------------------------------------------------

    def _wire(self, wire: WireFigure) -> Figures:
        def band(name: str, *ways: str) -> Expected | None:
            found = self._hull(lambda job: getattr(job.wires[wire.id], name))
            return self._drawn_out(found, ways) if ways else found

        ways = tuple(self._ways(wire))
        least = self._short(lambda job: job.faults.smallest.ends.get((wire.id, "b")), low=self.worn)
        most = self._short(lambda job: job.faults.largest.ends.get((wire.id, "a")), low=self.worn)
        return {
            "current_a": band("current_a", wire.id),
            "peak_a": band("peak_a", wire.id),
            "rating_a": band("rating_a"),
            "drop_v": band("drop_v", *ways),
            "drop_pct": band("drop_pct", *ways),
            "short_circuit_max_a": most,
            "short_circuit_min_a": least,
            "opens_s": self._opens(wire, least),
        }

    def _ways(self, wire: WireFigure) -> Iterable[str]:
        """Give the branches in which the current of a wire's run goes there and back."""
        for piece in self.bad.wiring.runs[wire.run].pieces:
            yield piece.id
            if piece.is_return:
                yield f"{piece.b}{METAL}"

    def _drawn_out(self, band: Expected | None, branches: Iterable[str]) -> Expected | None:
        """Return a band that grows with the currents of branches, over what these may be."""
        low, high = self.flows.stretch(tuple(branches))
        return band.times(low, high) if band is not None and math.isfinite(high) else None

    def _short(self, read: Callable[[Assessment], EndShort | None], low: Assessment) -> Expected | None:
        """Return the band of a short: least with the joints worn, most with all ohms at their least."""
        shorts = [read(one) for one in (low, self.typical, self.best, self.bad)]
        amps = [one.amps for one in shorts if one is not None]
        return Expected(min(amps), amps[1], max(amps)) if len(amps) == len(shorts) else None

    def _opens(self, wire: WireFigure, short: Expected | None) -> Expected | None:
        """Return how soon the fuse of a wire opens in a short at its far end. [s]"""
        own = next(iter(wire.fuses), None) or wire.upstream_fuse
        if own is None or own.rating_a is None or short is None:
            return None
        try:
            times = [opening_time(own.kind, own.rating_a, amps) for amps in (short.high, short.low)]
            usual = opening_time(own.kind, own.rating_a, short.typical)
        except OutOfTableError:
            return None
        return Expected(times[0].low, middle(usual.low, usual.high), times[1].high)

    # --- circuits, studs, batteries ------------------------------------------------------------------

    def _circuit(self, id: str) -> Figures:
        def band(name: str) -> Expected | None:
            def read(job: Assessment) -> float | None:
                circuit = job.circuits.get(id)
                return None if circuit is None else getattr(circuit, name)

            return self._hull(read)

        names = ("running_a", "start_a", "loop_resistance_ohm", "drop_v", "drop_pct", "drop_run_v")
        more = ("start_drop_v", "start_drop_pct", "load_v", "start_load_v")
        together = self._together(self.bad.circuits[id], band("drop_together_v"))
        return {name: band(name) for name in (*names, *more)} | {"drop_together_v": together}

    def _together(self, circuit: CircuitFigure, band: Expected | None) -> Expected | None:
        """Return the drop with everything on, by the bounds of the volts at the load."""
        ends = self.flows.volts_v.get(circuit.load)
        if band is None or ends is None or circuit.load_v is None or circuit.drop_v is None:
            return band
        posts = circuit.load_v + circuit.drop_v
        low, high = (max(posts - volts, 0.0) for volts in reversed(ends))
        return Expected(min(band.low, low), band.typical, max(band.high, high))

    def _stud(self, id: str) -> Figures:
        current = self._hull(lambda job: job.studs[id].current_a)
        volts = self._hull(lambda job: job.studs[id].volts_v)
        way = (f"{id}{METAL}",)
        return {"current_a": self._drawn_out(current, way), "volts_v": self._drawn_out(volts, way)}

    def _given(self, id: str) -> Expected | None:
        band = self._hull(lambda job: abs(job.drawn_a.get(id, 0.0)))
        low, high = self.flows.source_a.get(id, (math.inf, 0.0))
        return None if band is None else Expected(min(band.low, low), band.typical, max(band.high, high))
