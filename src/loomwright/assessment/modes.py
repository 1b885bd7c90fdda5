"""Modes: how everything stands when the van is parked, driven, on hook-up, and who feeds what then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.circuit.states import Contacts, Live, Settled
from loomwright.plan.kinds import is_consumer, rest_state
from loomwright.plan.model import Mode
from loomwright.plan.pieces import Wiring

from .sources import is_battery
from .turning import condition, contacts_of_van

#: Kinds that can bring mains power in.
_INLETS = ("inlet",)


@dataclass(frozen=True, slots=True)
class ModeFigure:
    """One mode: what was set, how the contacts stand, and who feeds what.

    Attributes
    ----------
    id : str
        parked, driving ..., or a mode of the plan.
    sets : mapping of str to str
        What was set by hand or by the mode, device to position.
    positions : mapping of str to str
        How every device stands in the end.
    feeds : mapping of str to frozenset
        By consumer, the sources that drive a current through it; empty if none does.
    charges : mapping of str to frozenset
        By battery, the charging sources that reach it.
    chatters : tuple of str
        Relays that never come to rest.
    """

    id: str
    sets: Mapping[str, str]
    positions: Mapping[str, str]
    feeds: Mapping[str, frozenset[str]]
    charges: Mapping[str, frozenset[str]]
    chatters: tuple[str, ...]
    live: Live


def modes_of(wiring: Wiring) -> dict[str, ModeFigure]:
    """Return the standard modes that this van has, and those of its plan, by name.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    """
    net = contacts_of_van(wiring)
    asked = dict(_standard(wiring)) | {id: _typed(mode) for id, mode in wiring.plan.modes.items()}
    known = {one.id: one.positions for one in net.devices}
    found = {}
    for id, sets in asked.items():
        there = {name: state for name, state in sets.items() if state in known.get(name, ())}
        found[id] = _figure(wiring, net, id, there)
    return found


def _standard(wiring: Wiring) -> Iterator[tuple[str, dict[str, str]]]:
    """Give the modes that every van has which has the parts for them."""
    kinds = {part.kind for part in wiring.parts.values()}
    running = {condition("engine"): "running", condition("ignition"): "on"}
    yield "parked", {}
    if "alternator" in kinds or "vehicle_battery" in kinds:
        yield "driving", running
        yield "ignition", {condition("ignition"): "on"}
    if kinds & set(_INLETS):
        yield "hook_up", {condition("hook_up"): "there"}
    masters = {id: "off" for id, part in wiring.parts.items() if part.kind == "master_switch"}
    if masters:
        yield "master_off", masters
        yield "storage", masters
    for id, part in wiring.parts.items():
        if part.kind == "selector" and "/" not in id:
            for position in part.positions:
                if position != rest_state(part):
                    yield f"selector_{position}", {id: position}


def _typed(mode: Mode) -> dict[str, str]:
    """Return what a mode of the plan sets."""
    sets = {condition("engine"): mode.engine}
    ignition = mode.ignition if isinstance(mode.ignition, bool) else mode.engine == "running"
    sets[condition("ignition")] = "on" if ignition else "off"
    sets[condition("hook_up")] = "none" if mode.hook_up == "none" else "there"
    return sets | dict(mode.switches)


def _figure(wiring: Wiring, net: Contacts, id: str, sets: Mapping[str, str]) -> ModeFigure:
    settled: Settled = net.settle(sets)
    live = settled.live
    consumers = {
        part_id: live.feeds(f"{part_id}.plus", f"{part_id}.minus")
        for part_id, part in wiring.parts.items()
        if is_consumer(part.kind) and part.kind != "standby" and f"{part_id}.plus" in wiring.by_point
    }
    charged = {
        part_id: live.at(f"{part_id}.plus") & live.charging
        for part_id in wiring.parts
        if is_battery(wiring, part_id)
    }
    return ModeFigure(id, sets, settled.positions, consumers, charged, settled.chatters, live)


__all__ = ["ModeFigure", "modes_of"]
