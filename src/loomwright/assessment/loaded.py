"""What flows with selectors and change-overs moved, everything on: in contacts, cables and fuses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.values import Quantity

from .record import Assessment


@dataclass(frozen=True, slots=True)
class Loaded:
    """A contact, wire or fuse in a mode: the part or wire it is of, its current and what it may carry. [A]

    `what` is "contact", "cable" or "fuse"; `at_rest_a` its current with nothing moved.
    """

    mode: str
    what: str
    of: str
    amps: float
    rating_a: float
    at_rest_a: float


def loaded_when_moved(job: Assessment) -> Iterator[Loaded]:
    """Give what carries more in a mode that moves a selector than at rest."""
    at_rest = {one.branch: one.current_a for one in job.passages if one.branch}
    for mode in job.moved.circuits:
        amps = {id: abs(one) for id, one in job.flows.of(job.moved.figures[mode]).branch_a.items()}
        for one in (*_contacts(job, mode, amps, at_rest), *_wires(job, mode, amps)):
            if one.amps > one.at_rest_a:
                yield one


def _contacts(
    job: Assessment, mode: str, amps: dict[str, float], at_rest: dict[str, float]
) -> Iterator[Loaded]:
    for branch, current in amps.items():
        part = job.wiring.parts.get(branch.partition(":")[0]) if ":" in branch else None
        if part is not None and part.kind != "control_panel" and isinstance(part.rating, Quantity):
            id = branch.partition(":")[0]
            yield Loaded(mode, "contact", id, current, part.rating.low, at_rest.get(branch, 0.0))


def _wires(job: Assessment, mode: str, amps: dict[str, float]) -> Iterator[Loaded]:
    for id, wire in job.wires.items():
        if wire.mains or wire.factory or id not in amps:
            continue
        at_rest = wire.current_a or 0.0
        if wire.rating_a is not None:
            yield Loaded(mode, "cable", id, amps[id], wire.rating_a, at_rest)
        for fuse in wire.fuses:
            if fuse.rating_a is not None:
                yield Loaded(mode, "fuse", id, amps[id], fuse.rating_a, fuse.lasting_a or at_rest)


__all__ = ["Loaded", "loaded_when_moved"]
