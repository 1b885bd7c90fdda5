"""Everything of a van that has positions, as the devices and sources that settle (`circuit.states`).

A hand sets switches, selectors and panel outputs; coils, sensing relays, chargers and converters follow from
what is live; engine, ignition and hook-up are set by the mode. Volts are not counted here: a battery is
taken to be full enough, a charging source lifts what it reaches.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from loomwright.circuit.states import Closes, Contacts, Device, Live, Origin, Turns
from loomwright.plan.kinds import rest_state, states
from loomwright.plan.model import Part
from loomwright.plan.pieces import BODY, Wiring
from loomwright.plan.values import End, Limit, Quantity
from loomwright.tables.batteries import OPEN_CIRCUIT_V, open_circuit_v

from .conditions import (
    DELAY_RUNS,
    NO_DISCHARGE,
    SIGNALS,
    TOWING,
    condition,
    delay_device,
    devices_beside,
    fuses_of,
    has_delay,
    is_managed,
    management_device,
)
from .diodes import diodes_of
from .joined import always_closed
from .sources import battery_class, is_battery
from .states import Contact, asked_state, contacts_of, neighbours
from .trailer import trailer_feeds

#: So full a battery is taken to be when what charged it has just stopped. Common practice. [%]
NEARLY_FULL_PCT = 90.0
#: What makes a feed of the vehicle live: a condition and its position; `always` needs none.
_LIVE_WHILE: Mapping[str, tuple[str, str] | None] = {
    "always": None,
    "ignition": ("ignition", "on"),
    "engine": ("engine", "running"),
    "d_plus": ("engine", "running"),
} | {name: (name, "on") for name in SIGNALS}
#: The terminals that a part which turns by itself looks at.
_LOOKS_AT: Mapping[str, tuple[str, ...]] = {
    "relay": ("86", "85"),
    "sensing_relay": ("a", "b"),
    "switch": ("coil_plus", "coil_minus"),
    "master_switch": ("coil_plus", "coil_minus"),
    "b2b": ("in", "minus", "signal"),
    "converter": ("in", "minus"),
    "inverter": ("plus", "minus"),
    "inverter_charger": ("plus", "minus"),
}
#: Start criteria of a charger that its signal answers.
_STARTS_ON = ("engine", "d_plus", "ignition")


def contacts_of_van(wiring: Wiring) -> Contacts:
    """Return the joints, diodes, devices and sources of a van.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    """
    held = always_closed(wiring)
    diodes = [way for way, _ in diodes_of(wiring)]
    fuses = fuses_of(wiring)
    graph = neighbours(wiring, [one for one in held if one not in diodes], fuses)
    joints = [(a, b) for a, others in graph.items() for b in others]
    devices = list(devices_beside(wiring))
    for part_id, part in wiring.parts.items():
        devices += _devices(wiring, part_id, part)
    origins = [one for id, part in wiring.parts.items() for one in _origins(wiring, id, part)]
    return Contacts(joints, devices, origins, [(way.a, way.b) for way in diodes])


# --- what has positions ------------------------------------------------------------------------------


def _devices(wiring: Wiring, part_id: str, part: Part) -> Iterator[Device]:
    if part.kind == "control_panel":
        for contact in contacts_of(part_id, part, None):
            output = contact.b
            yield Device(output, {"off": (), "on": ((contact.a, contact.b),)}, _output_stands(wiring, output))
        return
    if part.kind in ("b2b", "converter", "inverter", "inverter_charger"):
        gives, watched = _gives(wiring, part_id, part), _watched(wiring, part_id, part)
        yield Device(part_id, {"off": (), "on": ()}, "off", gives, watched)
        return
    known = {state: _closes(contacts_of(part_id, part, state)) for state in states(part)}
    if len(known) > 1 and part.kind not in ("plug", "shunt", "dimmer"):
        turns = _turns(wiring, part_id, part)
        stands = rest_state(part) if turns is not None else asked_state(part)
        watched = _watched(wiring, part_id, part) if turns is not None else ()
        held = (delay_device(part_id), DELAY_RUNS) if turns is not None and has_delay(part) else None
        yield Device(part_id, known, stands or next(iter(known)), turns, watched, held)


def _watched(wiring: Wiring, part_id: str, part: Part) -> tuple[str, ...]:
    """Return the points that a part looks at which turns by itself."""
    held = (inner_point(wiring, part_id, part.off_while),) if part.off_while is not None else ()
    return (*(f"{part_id}.{end}" for end in _LOOKS_AT.get(part.kind, ())), *held)


def _closes(contacts: Iterator[Contact]) -> Closes:
    return tuple((contact.a, contact.b) for contact in contacts)


def _output_stands(wiring: Wiring, output: str) -> str:
    """Return how an output of a panel stands: on, but for one that turns change-over relays from rest."""
    met = {end for piece in wiring.by_point.get(output, ()) for end in _along(wiring, piece.run)}
    coils = [part for point in met if (part := wiring.parts.get(wiring.part_of(point) or "")) is not None]
    relays = [part for part in coils if part.kind == "relay"]
    return "off" if relays and all(part.contact == "change_over" for part in relays) else "on"


def _along(wiring: Wiring, run: str) -> Iterator[str]:
    """Give the ends of a run, and those of the runs that go on where it ends on a bar or splice."""
    for point in wiring.runs[run].loads:
        yield point
        part = wiring.parts.get(wiring.part_of(point) or "")
        if part is not None and part.kind in ("splice", "busbar"):
            for piece in wiring.by_point.get(point, ()):
                yield from (end for end in wiring.runs[piece.run].loads if end != point)


def _turns(wiring: Wiring, part_id: str, part: Part) -> Turns | None:
    """Return what a part does by itself, None if a hand sets it."""
    if part.kind == "relay":
        return _pulls(wiring, part_id, part)
    if part.kind == "sensing_relay":
        sides = ("a", "b") if part.sense == "two_way" else ("a",)
        return _senses(wiring, part, [f"{part_id}.{side}" for side in sides])
    if part.kind in ("switch", "master_switch") and part.by in ("relay", "contactor"):
        return _fed(f"{part_id}.coil_plus", f"{part_id}.coil_minus")
    return None


def _senses(wiring: Wiring, part: Part, points: list[str]) -> Turns:
    """Return what a relay that senses volts does: charging volts close it, it opens below its own limit.

    Once closed, a full battery at rest may hold it.
    """
    holding = {id for id in wiring.parts if is_battery(wiring, id) and _rests_above(wiring, id, part.cut_out)}

    def turns(live: Live, now: str) -> str:
        if any(map(live.is_charged, points)):
            return "closed"
        held = now == "closed" and any(not holding.isdisjoint(live.at(point)) for point in points)
        return "closed" if held else "open"

    return turns


def _rests_above(wiring: Wiring, battery: str, limit: object) -> bool:
    """Say whether a nearly full battery rests above a limit of volts; not if nobody says the limit."""
    chemistry = str(wiring.parts[battery].chemistry)
    volts = limit.volts if isinstance(limit, Limit) else None
    if not isinstance(volts, Quantity) or chemistry not in OPEN_CIRCUIT_V:
        return False
    return open_circuit_v(chemistry, NEARLY_FULL_PCT, battery_class(wiring, battery)) >= volts.high


def _pulls(wiring: Wiring, part_id: str, part: Part) -> Turns | None:
    """Return what the coil of a relay does; a relay whose coil has no wire is taken to be set by hand."""
    wired = [f"{part_id}.{end}" for end in ("86", "85") if f"{part_id}.{end}" in wiring.by_point]
    if len(wired) < 2:
        return None
    held_off = inner_point(wiring, part_id, part.off_while) if part.off_while is not None else None
    pulls = _latches(*wired) if part.latching is True else _fed(*wired)

    def turns(live: Live, now: str) -> str:
        return "off" if held_off is not None and live.at(held_off) else pulls(live, now)

    return turns


def _latches(plus: str, minus: str) -> Turns:
    """Return what a latching coil does: one way round on, the other way off, unfed as it stands."""

    def turns(live: Live, now: str) -> str:
        if live.feeds(plus, minus):
            return "on"
        return "off" if live.feeds(minus, plus) else now

    return turns


def _fed(one: str, other: str) -> Turns:
    """Return what a coil does: it holds while a source feeds it, either way round."""

    def turns(live: Live, _: str) -> str:
        return "on" if live.feeds(one, other) or live.feeds(other, one) else "off"

    return turns


def inner_point(wiring: Wiring, part_id: str, end: End) -> str:
    """Return the point of an end that is typed beside a part, which may lie in a unit."""
    path = part_id.rpartition("/")[0]
    name = f"{path}/{end.id}" if path else end.id
    return name if end.terminal is None else f"{name}.{end.terminal}"


def _gives(wiring: Wiring, part_id: str, part: Part) -> Turns:
    """Return when a charger between batteries, a converter or an inverter gives."""
    plus = f"{part_id}.{'plus' if part.kind.startswith('inverter') else 'in'}"
    minus = f"{part_id}.minus"
    if part.kind != "b2b":
        return lambda live, _: "on" if live.feeds(plus, minus) else "off"
    signal = f"{part_id}.signal" if f"{part_id}.signal" in wiring.by_point else None

    def turns(live: Live, _: str) -> str:
        if not live.feeds(plus, minus):
            return "off"
        return "on" if all(_met(live, word, plus, signal) for word in part.start_on or ()) else "off"

    return turns


def _met(live: Live, word: str, plus: str, signal: str | None) -> bool:
    """Say whether a start criterion holds: the signal is live, or there are charging volts at the input.

    What starts with the engine and has no signal wire sees by the volts that it runs.
    """
    if word.startswith("above") or (word == "engine" and signal is None):
        return live.is_charged(plus)
    return word not in _STARTS_ON or (signal is not None and bool(live.at(signal)))


# --- what gives --------------------------------------------------------------------------------------


def _origins(wiring: Wiring, id: str, part: Part) -> Iterator[Origin]:
    match part.kind:
        case "battery" | "vehicle_battery":
            managed = (management_device(id), NO_DISCHARGE) if is_managed(wiring, id) else None
            yield Origin(id, f"{id}.plus", _minus(wiring, id), unless=managed, passes=True)
        case "alternator":
            running = (condition("engine"), "running")
            minus = _minus(wiring, part.charges)
            yield Origin(id, f"{id}.plus", minus, running, charges=True)
            yield Origin(f"{id}.d_plus", f"{id}.d_plus", minus, running)
        case "vehicle_feed":
            word = str(part.live)
            while_ = _LIVE_WHILE.get(word, ("ignition", "on"))
            named = None if while_ is None else (condition(while_[0]), while_[1])
            yield Origin(id, f"{id}.plus", BODY, named)
        case "b2b":
            yield Origin(id, f"{id}.out", f"{id}.minus", (id, "on"), charges=True)
        case "solar_regulator":
            yield Origin(id, f"{id}.battery", f"{id}.battery_minus", charges=True)
            if part.second is not None:
                yield Origin(f"{id}.second", f"{id}.second", f"{id}.battery_minus", charges=True)
        case "mains_charger":
            there = (condition("hook_up"), "there")
            yield Origin(id, f"{id}.plus", f"{id}.minus", there, charges=True)
            if part.second is not None:
                yield Origin(f"{id}.second", f"{id}.second", f"{id}.minus", there, charges=True)
        case "fuel_cell":
            yield Origin(id, f"{id}.plus", f"{id}.minus", charges=True)
        case "converter":
            minus = f"{id}.out_minus" if f"{id}.out_minus" in wiring.by_point else f"{id}.minus"
            yield Origin(id, f"{id}.out", minus, (id, "on"))
        case "tow_socket":
            with_battery = (condition("towing"), TOWING[-1])
            for plus, minus in trailer_feeds(wiring, id):
                yield Origin(plus, plus, minus, with_battery)
        case _:
            return


def _minus(wiring: Wiring, battery: str | None) -> str:
    """Return the minus of a battery; that of the vehicle's is on the body where no wire says so."""
    part = wiring.parts.get(battery or "")
    point = f"{battery}.minus"
    on_body = part is None or (part.kind == "vehicle_battery" and point not in wiring.by_point)
    return BODY if on_body else point


__all__ = ["contacts_of_van", "inner_point"]
