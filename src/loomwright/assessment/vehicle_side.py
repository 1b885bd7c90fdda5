"""The vehicle's own side: its lamp circuits, D+, what its alternator gives, and the trailer's socket."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.values import Quantity

from .conditions import SIGNALS, condition
from .modes import ModeFigure
from .record import Assessment
from .trailer import WITH_IGNITION

_IGNITION = {condition(name): "on" for name in ("ignition", *SIGNALS)}
_DRIVING = _IGNITION | {condition("engine"): "running"}


@dataclass(frozen=True, slots=True)
class LampFeed:
    """A lamp circuit of the vehicle with what hangs on it: loads, and pins of a trailer's socket.

    `monitored` is None if nobody says whether the vehicle watches it.
    """

    feed: str
    loads: tuple[str, ...]
    monitored: bool | None


def loaded_lamp_feeds(job: Assessment) -> Iterator[LampFeed]:
    """Give the lamp circuits of the vehicle that feed something of the camper; a relay's coil is no load."""
    parts = job.wiring.parts
    feeds = {
        id: part.monitored if isinstance(part.monitored, bool) else None
        for id, part in parts.items()
        if part.kind == "vehicle_feed" and (part.monitored is True or part.live in SIGNALS)
    }
    figures = _figures(job) if feeds else []
    for feed, monitored in feeds.items():
        loads = {load: None for one in figures for load, by in one.feeds.items() if feed in by}
        pins = {pin: None for one in figures for pin in _pins(job) if feed in one.live.at(pin)}
        if monitored is not False and (loads or pins):
            yield LampFeed(feed, (*loads, *pins), monitored)


@dataclass(frozen=True, slots=True)
class TrailerFeed:
    """A trailer's socket that a house battery feeds: its pins, the runs to them, and the batteries."""

    socket: str
    pins: tuple[str, ...]
    runs: tuple[str, ...]
    batteries: tuple[str, ...]


def trailer_feeds(job: Assessment) -> Iterator[TrailerFeed]:
    """Give the trailer sockets with pins that a house battery reaches where none of the vehicle does."""
    kinds = {id: part.kind for id, part in job.wiring.parts.items()}
    figures = _figures(job) if "tow_socket" in kinds.values() else []
    for socket in (id for id, kind in kinds.items() if kind == "tow_socket"):
        pins: dict[str, None] = {}
        batteries: dict[str, None] = {}
        for pin in (pin for pin in _pins(job) if job.wiring.part_of(pin) == socket):
            for figure in figures:
                reaching = sorted(figure.live.at(pin))
                houses = [id for id in reaching if kinds.get(id) == "battery"]
                if houses and not any(kinds.get(id) == "vehicle_battery" for id in reaching):
                    pins[pin] = None
                    batteries |= dict.fromkeys(houses)
        if pins:
            runs = dict.fromkeys(run for pin in pins if (run := _run_to(job, pin)))
            yield TrailerFeed(socket, tuple(pins), tuple(runs), tuple(batteries))


@dataclass(frozen=True, slots=True)
class ParkedFeed:
    """Contact 10 of a trailer's socket, live in a parked van from these sources, and the run to it."""

    pin: str
    run: str
    sources: frozenset[str]


def fed_while_parked(job: Assessment) -> Iterator[ParkedFeed]:
    """Give each contact for what the trailer takes with the ignition on that is live without it.

    What a house battery feeds is left to `trailer_feeds`.
    """
    parts, parked = job.wiring.parts, job.modes.figures["parked"].live
    for pin in _pins(job):
        sources = parked.at(pin)
        houses = any(id in parts and parts[id].kind == "battery" for id in sources)
        if job.wiring.terminal_of(pin) == WITH_IGNITION and sources and not houses:
            yield ParkedFeed(pin, _run_to(job, pin) or pin, sources)


@dataclass(frozen=True, slots=True)
class SignalLoad:
    """Loads that D+ of an alternator feeds while the engine runs, with their sum. [A]"""

    alternator: str
    loads: tuple[str, ...]
    amps: float


def loads_on_d_plus(job: Assessment) -> Iterator[SignalLoad]:
    """Give the alternators whose D+ alone feeds consumers; coils and signal inputs are what it is for."""
    parts, running = job.wiring.parts, {one.load: one.running_a or 0.0 for one in job.circuits.values()}
    used = [
        id for id, one in parts.items() if one.kind == "alternator" and f"{id}.d_plus" in job.wiring.by_point
    ]
    feeds = job.modes.figure("", _DRIVING).feeds if used else {}
    for id in used:
        alone = {f"{id}.d_plus"}
        loads = tuple(load for load, by in feeds.items() if by == alone)
        if loads:
            yield SignalLoad(id, loads, sum(running.get(load, 0.0) for load in loads))


@dataclass(frozen=True, slots=True)
class AlternatorLoad:
    """What an alternator, or the DC-DC in its place, has to give while it runs, by charger and load. [A]"""

    alternator: str
    takes_a: Mapping[str, float]
    rated_a: float

    @property
    def amps(self) -> float:
        """The sum. [A]"""
        return sum(self.takes_a.values())


def alternator_loads(job: Assessment) -> Iterator[AlternatorLoad]:
    """Give what hangs on each alternator of stated current: chargers with their input, and consumers.

    What a house battery feeds as well is left out, and so is what a plain relay lets into it.
    """
    parts = job.wiring.parts
    running: dict[str, float] = {}
    for one in job.circuits.values():
        running[one.load] = max(running.get(one.load, 0.0), one.running_a or 0.0)
    houses = {id for id, part in parts.items() if part.kind == "battery"}
    rated = {
        id: part.current.low
        for id, part in parts.items()
        if part.kind == "alternator" and isinstance(part.current, Quantity)
    }
    if not rated:
        return
    figure = job.modes.figure("", _DRIVING)
    for id, amps in rated.items():
        takes = {
            load: running.get(load, 0.0) for load, by in figure.feeds.items() if id in by and not by & houses
        }
        for charger in (one for one, part in parts.items() if part.kind == "b2b"):
            if figure.positions.get(charger) == "on" and id in figure.live.at(f"{charger}.in"):
                takes[charger] = running.get(charger, 0.0)
        if takes:
            yield AlternatorLoad(id, takes, amps)


def _figures(job: Assessment) -> list[ModeFigure]:
    """Return the van parked, with its ignition on, and driven."""
    return [job.modes.figure("", sets) for sets in ({}, _IGNITION, _DRIVING)]


def _pins(job: Assessment) -> list[str]:
    """Return the wired pins of trailer sockets."""
    parts = job.wiring.parts
    return [
        point
        for point in job.wiring.by_point
        if (part := parts.get(job.wiring.part_of(point) or "")) is not None and part.kind == "tow_socket"
    ]


def _run_to(job: Assessment, point: str) -> str | None:
    flat = job.wiring.run_to.get(point)
    return flat.id if flat is not None else None


__all__ = [
    "AlternatorLoad",
    "LampFeed",
    "ParkedFeed",
    "SignalLoad",
    "TrailerFeed",
    "alternator_loads",
    "fed_while_parked",
    "loaded_lamp_feeds",
    "loads_on_d_plus",
    "trailer_feeds",
]
