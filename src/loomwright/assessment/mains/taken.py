"""What runs at once on a pitch: sums by mode, what of it lasts, what the lead loses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.mains.breakers import breaker_time
from loomwright.mains.records import Breaker
from loomwright.plan.model import Mode, Part, Plan
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity, Start
from loomwright.protection.resistance import conductor_resistance
from loomwright.source import Source
from loomwright.tables.appliances import SHORT_RUNS, USUAL_CHARGER_EFFICIENCY, USUAL_CHARGING_V

from .cases import COLD_C, Reach
from .layout import Layout
from .pitch import Pitch

#: What a household plug of 13 A carries for hours. [A]
PLUG_A = 10.0
#: Of the rating of a pitch, what may be drawn for hours.
LASTING = 0.8
PLUG_SOURCE = Source(
    work="common practice", place="a 13 A plug or adapter: 10 A for hours", checked="one source"
)
#: Kinds that take mains whenever it is there.
_ALWAYS = ("mains_charger", "inverter_charger")


@dataclass(frozen=True, slots=True)
class Taker:
    """What takes mains: its power, whether it hangs on a cable of the van, and whether it runs on. [W]"""

    id: str
    watts: float
    wired: bool
    lasting: bool
    always: bool


@dataclass(frozen=True, slots=True)
class Taken:
    """What a mode takes from a pitch.

    Attributes
    ----------
    mode : str
        Of the plan; "" for what is wired, where no mode of the plan is on hook-up.
    running : tuple of str
        What runs.
    amps, lasting_a : float
        All of it; what of it runs on for longer than a quarter of an hour. [A]
    lead_v : float
        Lost along the connecting lead then. [V]
    """

    mode: str
    running: tuple[str, ...]
    amps: float
    lasting_a: float
    lead_v: float


def takers_of(wiring: Wiring, layout: Layout, reach: Reach) -> dict[str, Taker]:
    """Return what can take mains from a source: what is wired to it and what may be plugged in there."""
    sockets = [
        id for id in layout.outlets if wiring.parts[id].kind == "mains_socket" and _at(layout, reach, id)
    ]
    found = {}
    for id, part in wiring.parts.items():
        wired = id in layout.outlets and _at(layout, reach, id)
        plugged = part.kind == "appliance" and id not in layout.outlets
        if part.kind == "mains_socket" or not (wired or (plugged and _fits(part, sockets))):
            continue
        watts = _watts(part)
        if watts is not None:
            found[id] = Taker(id, watts, wired, is_lasting(id, part), part.kind in _ALWAYS)
    return found


def _at(layout: Layout, reach: Reach, id: str) -> bool:
    return layout.outlets[id] in reach.came


def _fits(part: Part, sockets: list[str]) -> bool:
    return bool(sockets) if part.plugged == "any" else part.plugged in sockets


def _watts(part: Part) -> float | None:
    """Return what a part takes from the mains; a charger of unknown draw by what it gives. [W]

    The power of an inverter that charges is what it gives, not what it takes.
    """
    if part.kind != "inverter_charger" and isinstance(part.power, Quantity):
        return part.power.high
    amps = part.charge_current if part.kind == "inverter_charger" else part.current
    if part.kind in _ALWAYS and isinstance(amps, Quantity):
        return amps.high * USUAL_CHARGING_V / USUAL_CHARGER_EFFICIENCY[0]
    return None


def is_lasting(id: str, part: Part) -> bool:
    """Return whether a thing runs on once it is switched on: as typed, else by its name."""
    if isinstance(part.lasting, bool):
        return part.lasting
    words = f"{id} {part.name or ''}".lower().replace("_", " ").replace("-", " ")
    return not any(word in words for word in SHORT_RUNS)


def taken_on(plan: Plan, takers: Mapping[str, Taker], pitch: Pitch) -> Iterator[Taken]:
    """Give what each hook-up mode of the plan takes from a pitch; without one, what is wired.

    What people plug in is theirs to choose: without a mode that says so it is not counted as running.
    """
    modes = {id: one for id, one in plan.modes.items() if one.hook_up in ("any", pitch.id)}
    for id, mode in modes.items():
        yield _taken(id, takers, _running(mode, takers), pitch)
    if not modes:
        yield _taken("", takers, [id for id, one in takers.items() if one.wired], pitch)


def _running(mode: Mode, takers: Mapping[str, Taker]) -> list[str]:
    if mode.running is None:
        return list(takers)
    return [id for id, one in takers.items() if one.always or id in mode.running]


def _taken(mode: str, takers: Mapping[str, Taker], running: list[str], pitch: Pitch) -> Taken:
    amps = sum(takers[id].watts for id in running) / pitch.volts
    lasting = sum(takers[id].watts for id in running if takers[id].lasting) / pitch.volts
    return Taken(mode, tuple(running), amps, lasting, lead_drop_v(pitch, min(amps, pitch.rated_a)))


def lasting_limit_a(plan: Plan, pitch: Pitch) -> float:
    """Return what a pitch may give for hours; by a 13 A plug no more than 10 A. [A]"""
    supply = plan.supplies.get(pitch.id)
    by_plug = supply is not None and supply.outlet == "house" and pitch.region == "uk"
    return min(LASTING * pitch.rated_a, PLUG_A if by_plug else pitch.rated_a)


@dataclass(frozen=True, slots=True)
class Starts:
    """A start that the breaker of a post may not bear, with all else of its mode on. [A, s]"""

    starter: str
    mode: str
    amps: float
    start_s: float
    opens_s: float


def starts_too_large(
    wiring: Wiring, takers: Mapping[str, Taker], pitch: Pitch, taken: Taken
) -> Iterator[Starts]:
    """Give the starts during which the breaker of a pitch may open."""
    for id in taken.running:
        start = wiring.parts[id].start
        if not isinstance(start, Start) or not isinstance(start.amount, Quantity) or start.for_s is None:
            continue
        own = start.amount.high / (pitch.volts if start.amount.unit == "W" else 1.0)
        amps = taken.amps - takers[id].watts / pitch.volts + own
        opens = breaker_time(Breaker(pitch.rated_a).curve, pitch.rated_a, amps).low
        if opens < start.for_s.high:
            yield Starts(id, taken.mode, amps, start.for_s.high, opens)


def lead_drop_v(pitch: Pitch, amps: float) -> float:
    """Return what both cores of the connecting lead lose at a current, uncoiled. [V]"""
    return 2.0 * amps * conductor_resistance(pitch.lead_mm2, pitch.lead_m, COLD_C)


__all__ = [
    "LASTING",
    "Starts",
    "Taken",
    "Taker",
    "is_lasting",
    "lasting_limit_a",
    "lead_drop_v",
    "starts_too_large",
    "taken_on",
    "takers_of",
]
