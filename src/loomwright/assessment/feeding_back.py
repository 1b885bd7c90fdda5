"""What is live from behind: past a pulled fuse, into the vehicle while it is off, round an open master.

Reach alone is asked (`circuit.states`): a load between two points joins nothing. Common practice: whoever
pulls a fuse takes what hangs on it for dead.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from loomwright.circuit.states import Contacts
from loomwright.plan.kinds import is_consumer, states
from loomwright.plan.pieces import BODY, Piece, Wiring

from .conditions import is_fuse
from .joined import always_closed
from .modes import ModeFigure
from .record import Assessment
from .sources import is_battery
from .states import neighbours, reach
from .ways import Ways

#: What gives or is charged: a wire that begins or ends there is known to be live from that side, too.
_GIVES = (
    "battery", "vehicle_battery", "alternator", "vehicle_feed", "b2b", "converter", "solar_regulator",
    "solar_panel", "mains_charger", "fuel_cell", "inverter_charger", "equaliser", "tow_socket",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class BackFeed:
    """A fuse whose both sides stay live when it is pulled: in which mode, and by what on each side."""

    run: str
    fuse: str
    mode: str
    before: frozenset[str]
    behind: frozenset[str]


def back_feeds(job: Assessment) -> Iterator[BackFeed]:
    """Give each fuse that, pulled, leaves what it guards live, in the first mode in which it does."""
    left = list(candidates(job.wiring, job.modes.net))
    for mode in job.modes.every if left else ():
        for one in _fed_from_both(job, mode, left):
            left = [candidate for candidate in left if candidate[1] != one.fuse]
            yield one


def back_feeds_in(job: Assessment, mode: ModeFigure) -> Iterator[BackFeed]:
    """Give each fuse that leaves what it guards live when it is pulled in a mode."""
    yield from _fed_from_both(job, mode, list(candidates(job.wiring, job.modes.net)))


#: A run, the device of its fuse, and the points on both sides of that, the load's last.
_Candidate = tuple[str, str, tuple[str, str]]


def _fed_from_both(job: Assessment, mode: ModeFigure, asked: list[_Candidate]) -> Iterator[BackFeed]:
    for run, fuse, (before, behind) in asked:
        if not (mode.live.at(before) and mode.live.at(behind)):
            continue  # what is dead with the fuse in is dead without it
        live = job.modes.net.settle({**mode.positions, fuse: "pulled"}).live
        if live.at(before) and live.at(behind):
            yield BackFeed(run, fuse, mode.id, live.at(before), live.at(behind))


def candidates(wiring: Wiring, net: Contacts) -> Iterator[_Candidate]:
    """Give the fuses that may be live from both sides: each with its run and its points, the load's last.

    With every contact closed and the fuse out, a source lies on both its sides. Fuses of wires that begin or
    end on what gives are left out.
    """
    runs = {at: piece for flat in wiring.runs.values() for piece in flat.pieces for at in _fuses_of(piece)}
    graph = _everything_closed(net)
    sources = {one.plus for one in net.origins}
    for device in net.devices:
        piece = runs.get(device.id.partition(" ")[2]) if is_fuse(device.id) else None
        if piece is None or _is_on_a_source(wiring, piece):
            continue
        ((a, b),) = device.positions["whole"]
        if all(_meets(graph, start, sources, device.id) for start in (b, a)):
            yield piece.run, device.id, (a, b)


def _fuses_of(piece: Piece) -> Iterator[str]:
    for spot in piece.spots:
        yield spot.way or piece.id


def _is_on_a_source(wiring: Wiring, piece: Piece) -> bool:
    """Say whether a run begins or ends on what gives, or on a port of a unit that holds such a thing."""
    parts = {part for end in _ends(wiring, piece) if (part := wiring.part_of(end)) is not None}
    units = tuple(f"{part.partition('/')[0]}/" for part in parts if "/" in part)
    outside = "/" not in piece.id
    return any(
        one.kind in _GIVES
        for id, one in wiring.parts.items()
        if id in parts or (outside and units and id.startswith(units))
    )


def _ends(wiring: Wiring, piece: Piece) -> Iterator[str]:
    for one in wiring.runs[piece.run].pieces:
        yield from (one.a, one.b)


#: By point, what it may be joined to, and by which device.
_Graph = Mapping[str, list[tuple[str, str]]]


def _everything_closed(net: Contacts) -> _Graph:
    graph: dict[str, list[tuple[str, str]]] = {}
    joined = [(a, b, "") for a, b in (*net.joints, *net.diodes)]
    joined += [(a, b, one.id) for one in net.devices for pairs in one.positions.values() for a, b in pairs]
    for a, b, device in joined:
        graph.setdefault(a, []).append((b, device))
        graph.setdefault(b, []).append((a, device))
    return graph


def _meets(graph: _Graph, start: str, sources: Iterable[str], without: str) -> bool:
    """Say whether a source can be reached from a point without passing a device."""
    wanted, seen, queue = set(sources), {start}, deque([start])
    while queue:
        here = queue.popleft()
        if here in wanted:
            return True
        for there, device in graph.get(here, ()):
            if device != without and there not in seen:
                seen.add(there)
                queue.append(there)
    return False


# --- circuits of the vehicle ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class FedBackwards:
    """A circuit of the vehicle that is off in a mode and live all the same, from these sources.

    `through` is the lamp, coil or other load that their current comes through; empty if metal leads there.
    """

    circuit: str
    mode: str
    sources: frozenset[str]
    through: str = ""


def fed_backwards(job: Assessment) -> Iterator[FedBackwards]:
    """Give the circuits of the vehicle that something else makes live while they are off."""
    for origin in job.modes.net.origins:
        part = job.wiring.parts.get(origin.id) or job.wiring.parts.get(origin.id.rpartition(".")[0])
        circuit = part is not None and (part.kind == "vehicle_feed" or origin.id.endswith(".d_plus"))
        if not circuit or origin.while_ is None or origin.plus not in job.wiring.by_point:
            continue
        for mode in job.modes.every:
            device, position = origin.while_
            sources = mode.live.at(origin.plus) - {origin.id}
            if mode.positions[device] == position:
                continue
            through = "" if sources else _through_a_load(job, mode, origin.plus)
            if through:
                sources = mode.live.at(_ends_of(job, through)[0])
            if sources:
                yield FedBackwards(origin.id, mode.id, sources, through)
                break


def _through_a_load(job: Assessment, mode: ModeFigure, circuit: str) -> str:
    """Return a load or coil with one end live and the other on a circuit that is off; empty if there is none.

    Its current goes on through whatever else hangs on that circuit. A charge lamp between terminal 15 and D+
    is none: what only feeds of the vehicle make live is the maker's.
    """
    for id in job.wiring.parts:
        plus, minus = _ends_of(job, id)
        if not plus or mode.live.back_at(minus) or not _own(job, mode.live.at(plus)):
            continue
        found = Ways(job.modes.net, mode).to(circuit, {id: minus})
        if found is not None and not found[1].open:
            return id
    return ""


def _own(job: Assessment, sources: frozenset[str]) -> bool:
    """Say whether anything but the vehicle's own feeds is among some sources."""
    parts = job.wiring.parts
    return any(id not in parts or parts[id].kind != "vehicle_feed" for id in sources)


def _ends_of(job: Assessment, id: str) -> tuple[str, str]:
    """Return the ends of a consumer or of a coil that are wired, the live one first; empty without both."""
    part = job.wiring.parts[id]
    pairs = [("86", "85"), ("85", "86")] if part.kind == "relay" else [("plus", "minus")]
    if part.kind != "relay" and not is_consumer(part.kind):
        return "", ""
    for one, other in pairs:
        ends = f"{id}.{one}", f"{id}.{other}"
        if all(end in job.wiring.by_point for end in ends):
            return ends
    return "", ""


# --- masters and shunts --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Bypassed:
    """A master switch that, open, leaves one pole of a battery on both its sides."""

    master: str
    battery: str
    pole: str


def bypassed_masters(job: Assessment) -> Iterator[Bypassed]:
    """Give the master switches round which a battery still reaches what they are to part from it."""
    for id, part in job.wiring.parts.items():
        if part.kind != "master_switch" or "off" not in states(part):
            continue
        opened = job.modes.figure("master open", {id: "off"})
        for a, b in {pair for pairs in states(part).values() for pair in pairs}:
            found = next(_both_sides(job.wiring, opened, f"{id}.{a}", f"{id}.{b}"), None)
            if found is not None:
                yield Bypassed(id, *found)
                break


def _both_sides(wiring: Wiring, opened: ModeFigure, a: str, b: str) -> Iterator[tuple[str, str]]:
    for pole, at in (("plus", opened.live.at), ("minus", opened.live.back_at)):
        for id in sorted(at(a) & at(b)):
            if id in wiring.parts and is_battery(wiring, id):
                yield id, pole


@dataclass(frozen=True, slots=True)
class PastShunt:
    """What returns to the battery without passing its shunt: minuses of parts, or the body."""

    shunt: str
    returns: tuple[str, ...]


def past_shunts(job: Assessment) -> Iterator[PastShunt]:
    """Give the shunts past which currents return."""
    wiring = job.wiring
    for id, part in wiring.parts.items():
        if part.kind != "shunt" or not {f"{id}.battery", f"{id}.load"} <= wiring.by_point.keys():
            continue
        graph = neighbours(wiring, [one for one in always_closed(wiring) if one.part != id])
        side = reach(graph, f"{id}.battery")
        parts = [wiring.part_of(point) for point in sorted(side) if wiring.terminal_of(point) == "minus"]
        others = [one for one in dict.fromkeys(parts) if one and one != id and not is_battery(wiring, one)]
        if BODY in side:
            others.append(BODY)
        if others:
            yield PastShunt(id, tuple(others))


# --- switches in series ----------------------------------------------------------------------------------

#: Parts with works of their own: a clock, a thermostat, a run-on, a receiver.
_HAS_WORKS = (
    "fan",
    "fridge",
    "cool_box",
    "air_heater",
    "combi_heater",
    "air_con",
    "router",
    "absorption_fridge",
)


@dataclass(frozen=True, slots=True)
class SwitchedTwice:
    """A part with a switch of its own, and the switch or panel output that lies before it."""

    load: str
    run: str
    switch: str


def switched_twice(job: Assessment) -> Iterator[SwitchedTwice]:
    """Give the parts with a switch and works of their own that lie behind another switch."""
    parked = job.modes.figures["parked"]
    ways = Ways(job.modes.net, parked)
    for circuit in job.circuits.values():
        part = job.wiring.parts.get(circuit.load)
        if part is None or part.kind not in _HAS_WORKS or part.own_switch is not True:
            continue
        found = ways.to(f"{circuit.load}.plus")
        switch = next((one for one in found[1].passes if _is_switch(job.wiring, one)), "") if found else ""
        if switch:
            yield SwitchedTwice(circuit.load, circuit.wire, switch)


def _is_switch(wiring: Wiring, device: str) -> bool:
    part = wiring.parts.get(device)
    if part is not None:
        return part.kind == "switch" and part.by not in ("relay", "contactor")
    panel = wiring.parts.get(device.rpartition(".")[0])
    return panel is not None and panel.kind == "control_panel"


__all__ = [
    "BackFeed",
    "Bypassed",
    "FedBackwards",
    "PastShunt",
    "SwitchedTwice",
    "back_feeds",
    "back_feeds_in",
    "bypassed_masters",
    "candidates",
    "fed_backwards",
    "past_shunts",
    "switched_twice",
]
