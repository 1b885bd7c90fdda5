"""What guards each socket and appliance: RCDs and breakers on its way, poles they open, bonds, earths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.assessment.record import Assessment

from .layout import Bond, Gate, Span


@dataclass(frozen=True, slots=True)
class Guarded:
    """A socket or wired thing on one source, and the most sensitive RCD on its way. [A]

    `box` is the first breaker box on the way, "" if there is none; `unknown` the fields that leave open
    whether a further RCD is there.
    """

    outlet: str
    box: str
    trips_a: float | None
    unknown: tuple[str, ...]
    gates: tuple[Gate, ...]


def guarded_by(job: Assessment, source: str) -> Iterator[Guarded]:
    """Give what guards each thing that a source reaches; an RCD inside a maker guards what it makes only.

    An inverter that charges may stand before the RCD: it passes hook-up on to a box that has one.
    """
    reach = job.mains.reaches[source]
    for outlet, point in job.mains.served(source).items():
        if job.wiring.parts[outlet].kind == "inverter_charger":
            continue
        gates = tuple(reach.gates(point))
        trips = [gate.residual.trips_a for gate in gates if gate.residual is not None]
        boxes = [gate.part for gate in gates if job.wiring.parts[gate.part].kind == "breaker_box"]
        unknown = tuple(name for gate in gates for name in gate.unknown)
        yield Guarded(outlet, next(iter(boxes), ""), min(trips, default=None), unknown, gates)


def one_pole_gates(job: Assessment) -> dict[str, tuple[Gate, ...]]:
    """Return by part the devices between an inlet and what it feeds that open one pole, or nobody knows."""
    found: dict[str, dict[str, Gate]] = {}
    for inlet in job.mains.layout.inlets:
        for one in guarded_by(job, inlet):
            for gate in one.gates:
                if (gate.breaker or gate.residual) and gate.poles in (1, None):
                    found.setdefault(gate.part, {})[gate.id] = gate
    return {part: tuple(gates.values()) for part, gates in found.items()}


def bonds_at(job: Assessment, inlet: str) -> list[Bond]:
    """Return the bonds between the shell and the earth of an inlet."""
    came = job.mains.reaches[inlet].came
    parts = {job.wiring.part_of(point.partition("|")[0]) for point in came}
    return [bond for bond in job.mains.layout.bonds if job.wiring.part_of(bond.a) in parts]


def without_earth(job: Assessment) -> dict[str, tuple[str, ...]]:
    """Return by run of two cores what hangs behind it without an earth."""
    found: dict[str, list[str]] = {}
    for source in job.mains.reaches:
        reach = job.mains.reaches[source]
        for outlet, point in job.mains.served(source).items():
            thin = (one for one in reach.way(point) if isinstance(one, Span) and one.cores < 3)
            if (first := next(thin, None)) is not None and outlet not in found.setdefault(first.run, []):
                found[first.run].append(outlet)
    return {run: tuple(outlets) for run, outlets in found.items()}


__all__ = ["Guarded", "bonds_at", "guarded_by", "one_pole_gates", "without_earth"]
