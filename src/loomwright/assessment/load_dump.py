"""Alternators that run without a battery once managements keep charge out: nothing holds the volts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .conditions import NO_CHARGE, is_managed, management_device
from .record import Assessment


@dataclass(frozen=True, slots=True)
class LeftAlone:
    """An alternator, the batteries that it charges, each with a management, and the mode that this is in."""

    alternator: str
    batteries: tuple[str, ...]
    mode: str


def alternators_left_alone(job: Assessment) -> Iterator[LeftAlone]:
    """Give each alternator that charges no battery when all managements open, in the first such mode.

    One lead battery on the same bar holds the volts. A DC-DC of an electric vehicle holds its own.
    """
    parts = job.wiring.parts
    opened = {management_device(id): NO_CHARGE for id in parts if is_managed(job.wiring, id)}
    left = {id for id, part in parts.items() if part.kind == "alternator" and part.form != "dc_dc"}
    for mode in job.modes.every if opened else ():
        charging = {id for id in left if any(id in by for by in mode.charges.values())}
        if not charging:
            continue
        then = job.modes.figure(mode.id, {**mode.positions, **opened}).charges
        for id in sorted(charging):
            batteries = tuple(battery for battery, by in mode.charges.items() if id in by)
            if not any(id in by for by in then.values()):
                left.remove(id)
                yield LeftAlone(id, batteries, mode.id)


__all__ = ["LeftAlone", "alternators_left_alone"]
