"""Loads between batteries in series: they empty the batteries below, and those above keep their charge."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.values import Quantity, Use

from .joined import groups
from .record import Assessment
from .sources import is_battery
from .states import neighbours

#: Of what a load takes, so much may be shared otherwise by batteries that stand side by side.
SHARED_OTHERWISE = 0.1


@dataclass(frozen=True, slots=True)
class Tap:
    """A load that takes more from the batteries on one side of a middle than from those on the other.

    Attributes
    ----------
    load, run : str
        What takes it, and the run that feeds it.
    below, above : tuple of str
        The batteries that give more, and those that give less.
    amps : float
        The difference. [A]
    ah_per_day : float or None
        The same over a day of the season with most of it; None if no season names the load. [Ah]
    """

    load: str
    run: str
    below: tuple[str, ...]
    above: tuple[str, ...]
    amps: float
    ah_per_day: float | None


def taps(job: Assessment) -> Iterator[Tap]:
    """Give the loads that batteries in series do not share, unless an equaliser makes up for them."""
    runs = {one.load: one.wire for one in job.circuits.values()}
    for lower, upper, most_a in middles(job):
        given = [_sum(job, bank) for bank in (lower, upper)]
        for load in dict.fromkeys((*given[0], *given[1])):
            low, high = given[0].get(load, 0.0), given[1].get(load, 0.0)
            amps = abs(low - high)
            if amps > max(SHARED_OTHERWISE * max(low, high), most_a) and load in runs:
                sides = (lower, upper) if low > high else (upper, lower)
                yield Tap(load, runs[load], *sides, amps, _per_day(job, load, amps))


def middles(job: Assessment) -> Iterator[tuple[tuple[str, ...], tuple[str, ...], float]]:
    """Give the batteries below and above each point between batteries, and what an equaliser makes up. [A]"""
    group = groups(neighbours(job.wiring, job.standing.closed))
    ends = {
        id: (group.get(f"{id}.minus", -1), group.get(f"{id}.plus", -2))
        for id in job.wiring.parts
        if is_battery(job.wiring, id)
    }
    for middle in dict.fromkeys(plus for _, plus in ends.values()):
        lower = tuple(id for id, (minus, plus) in ends.items() if plus == middle != minus)
        upper = tuple(id for id, (minus, plus) in ends.items() if minus == middle != plus)
        if lower and upper:
            makes_up = (
                part.current.low if isinstance(part.current, Quantity) else float("inf")
                for id, part in job.wiring.parts.items()
                if part.kind == "equaliser" and group.get(f"{id}.mid") == middle
            )
            yield lower, upper, sum(makes_up)


def _sum(job: Assessment, bank: tuple[str, ...]) -> dict[str, float]:
    """Return what each load takes from some batteries together. [A]"""
    found: dict[str, float] = {}
    given: list[Mapping[str, float]] = [job.given_a.get(id, {}) for id in bank]
    for one in given:
        for load, amps in one.items():
            found[load] = found.get(load, 0.0) + amps
    return found


def _per_day(job: Assessment, load: str, amps: float) -> float | None:
    """Return the largest use of a season's day: hours as they are typed, at so much of the current. [Ah]"""
    uses = (season.loads.get(load) for season in job.plan.use.values())
    return max((ah for use in uses if (ah := _of_use(use, amps)) is not None), default=None)


def _of_use(use: Use | None, amps: float) -> float | None:
    if use is None or not isinstance(use.hours, Quantity):
        return None
    if use.at is None or use.at.unit == "fraction":
        return use.hours.high * amps * (1.0 if use.at is None else use.at.high)
    return use.hours.high * use.at.high if use.at.unit == "A" else None


__all__ = ["Tap", "middles", "taps"]
