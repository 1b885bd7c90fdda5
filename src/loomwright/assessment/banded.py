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
from collections.abc import Callable, Iterable

from loomwright.errors import OutOfTableError
from loomwright.protection.opening import opening_time

from .assess import Corners, Worked
from .banded_circuits import circuit_bands
from .banded_dips import dip_bands
from .banded_flow import FlowBands, flow_bands
from .banded_record import Bands, Expected, Figures, Progress
from .banded_ways import DUST_A
from .inputs import Corner, Unsure, middle
from .network import METAL
from .record import Assessment, WireFigure
from .shorts import EndShort

#: The corners that bound what grows or falls with all ohms, and with all currents.
ENDS = (Corner.BEST, Corner.WORN_LIGHT, Corner.FRESH_HEAVY, Corner.WORN)


def bands_of(corners: Corners, progress: Progress | None = None) -> Bands:
    """Return the bands of all figures of a van.

    Parameters
    ----------
    corners : Corners
        The plan's assessments.
    progress : callable or None
        Told after each step how many are done, and of how many as far as is known by then.

    Returns
    -------
    Bands
        See there.
    """
    done, of = 0, len(ENDS) + 3

    def say(more: int = 0) -> None:
        nonlocal done, of
        of += more
        done = done if more else done + 1
        if progress is not None and not more:
            progress(done, of)

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
            circuits={
                id: circuit_bands(one, self._hull, self.flows) for id, one in self.bad.circuits.items()
            },
            studs={id: self._stud(id) for id in self.bad.studs},
            batteries={id: {"given_a": self._given(id)} for id in self.bad.drawn_a},
            dips={
                key: Expected(low, typical, high).times(1.0 - self.flows.slack, 1.0 + self.flows.slack)
                for key, (low, typical, high) in dip_bands(self.bad, self.runs, self.flows.inside_ohm).items()
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
            "current_a": self._current(wire, band("current_a")),
            "peak_a": self._peak(wire, band("peak_a")),
            "rating_a": band("rating_a"),
            "drop_v": band("drop_v", *ways),
            "drop_pct": band("drop_pct", *ways),
            "short_circuit_max_a": most,
            "short_circuit_min_a": least,
            "opens_s": self._opens(wire, least),
        }

    def _current(self, wire: WireFigure, band: Expected | None) -> Expected | None:
        """Return what a wire carries: with everything on, by the bounds of that; a charger's as it is."""
        lasting = self.flows.branch_a.get(wire.id)
        amps = abs(self.bad.branch_a.get(wire.id, 0.0))
        if lasting is None or band is None or wire.current_a is None or abs(wire.current_a - amps) > DUST_A:
            return band
        return band.reaching(*lasting)

    def _peak(self, wire: WireFigure, band: Expected | None) -> Expected | None:
        low, _ = self.flows.branch_a.get(wire.id, (math.inf, 0.0))
        return None if band is None else band.reaching(low, self.flows.peak_a.get(wire.id, 0.0))

    def _ways(self, wire: WireFigure) -> Iterable[str]:
        """Give the branches in which the current of a wire's run goes there and back."""
        for piece in self.bad.wiring.runs[wire.run].pieces:
            yield piece.id
            if piece.is_return:
                yield f"{piece.b}{METAL}"

    def _drawn_out(self, band: Expected | None, branches: Iterable[str]) -> Expected | None:
        """Return a band that grows with the currents of branches, over what these may be."""
        low, high = self.flows.stretch(tuple(branches))
        if band is None or not math.isfinite(high):
            return None
        return band.times(low * (1.0 - self.flows.slack), high * (1.0 + self.flows.slack))

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

    def _stud(self, id: str) -> Figures:
        current = self._hull(lambda job: job.studs[id].current_a)
        volts = self._hull(lambda job: job.studs[id].volts_v)
        way, ohm = self.flows.branch_a.get(f"{id}{METAL}"), self._hull(lambda job: _contact_ohm(job, id))
        if way is not None and current is not None and volts is not None and ohm is not None:
            current = current.reaching(*way)
            volts = volts.reaching(ohm.low * current.low, ohm.high * current.high)
        return {"current_a": current, "volts_v": volts}

    def _given(self, id: str) -> Expected | None:
        band = self._hull(lambda job: abs(job.drawn_a.get(id, 0.0)))
        return None if band is None else band.reaching(*self.flows.source_a.get(id, (math.inf, 0.0)))


def _contact_ohm(job: Assessment, stud: str) -> float | None:
    ohm = job.studs[stud].ohm
    return None if ohm is None else ohm.ohm


__all__ = ["Bands", "Expected", "Figures", "Progress", "bands_of"]
