"""Alternators whose only batteries may all part from them at once: those with a management that opens."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .record import Assessment
from .sources import is_battery

#: Chemistries whose batteries have a management that opens their posts.
MANAGED = ("lifepo4",)


@dataclass(frozen=True, slots=True)
class LeftAlone:
    """An alternator, the batteries that it charges, each with a management, and the mode that this is in."""

    alternator: str
    batteries: tuple[str, ...]
    mode: str


def alternators_left_alone(job: Assessment) -> Iterator[LeftAlone]:
    """Give each alternator that runs without a battery when a management opens, in the first such mode.

    One lead battery on the same bar holds the volts. A DC-DC of an electric vehicle holds its own.
    """
    parts = job.wiring.parts
    batteries = [id for id in parts if is_battery(job.wiring, id)]
    managed = {id for id in batteries if parts[id].chemistry in MANAGED}
    alternators = [id for id, part in parts.items() if part.kind == "alternator" and part.form != "dc_dc"]
    for alternator in alternators if managed else ():
        for mode in job.modes.every:
            charged = [id for id in batteries if alternator in mode.live.at(f"{id}.plus")]
            if charged and managed.issuperset(charged):
                yield LeftAlone(alternator, tuple(charged), mode.id)
                break


__all__ = ["LeftAlone", "alternators_left_alone"]
