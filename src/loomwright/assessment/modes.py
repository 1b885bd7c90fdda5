"""Modes: how everything stands when the van is parked, driven, on hook-up, and who feeds what then."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from loomwright.circuit.states import Contacts, Live, Settled
from loomwright.circuit.sweep import settings
from loomwright.plan.kinds import is_consumer, rest_state
from loomwright.plan.model import Mode
from loomwright.plan.pieces import Wiring

from .conditions import (
    NO_CHARGE,
    SIGNALS,
    TOWING,
    condition,
    conditions_of,
    is_beside,
    is_condition,
    management_device,
)
from .loads import ends_of_load
from .sources import is_battery
from .states import Standing
from .trailer import trailer_draws
from .turning import contacts_of_van

#: Kinds that can bring mains power in.
_INLETS = ("inlet",)
#: Kinds that make mains from a battery; kinds that run on after they were switched off.
_INVERTERS = ("inverter", "inverter_charger")
_PURGES = ("air_heater", "combi_heater")


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
    live : Live
        What is live.
    running : tuple of str, or None
        The consumers and inverters that are on; None: every consumer and no inverter.
    starting : tuple of str
        Those of them that are just starting.
    """

    id: str
    sets: Mapping[str, str]
    positions: Mapping[str, str]
    feeds: Mapping[str, frozenset[str]]
    charges: Mapping[str, frozenset[str]]
    chatters: tuple[str, ...]
    live: Live
    running: tuple[str, ...] | None = None
    starting: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, object]:
        """Return the mode as it stands in JSON: what feeds each consumer, what charges each battery."""
        feeds, charges = ({id: sorted(by) for id, by in one.items()} for one in (self.feeds, self.charges))
        stands = {id: at for id, at in self.positions.items() if not is_beside(id)}
        return {"stands": stands, "feeds": feeds, "charges": charges, "chatters": list(self.chatters)}


class Modes:
    """The modes of one van, worked out when a rule or a page asks.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    standing : Standing
        Says which links between batteries a person closes: they stand open unless a mode closes them.
    """

    def __init__(self, wiring: Wiring, standing: Standing) -> None:
        self.wiring = wiring
        self._by_hand = tuple(link.part for link in standing.links if not link.charges)

    @cached_property
    def net(self) -> Contacts:
        """Everything that has positions, and what gives."""
        return contacts_of_van(self.wiring)

    @cached_property
    def figures(self) -> dict[str, ModeFigure]:
        """The standard modes that this van has, then those of its plan, by name."""
        standard, typed = dict(self._standard()), self.wiring.plan.modes
        return {id: self._named(id, standard, typed.get(id)) for id in (*standard, *typed)}

    def _named(self, id: str, standard: Mapping[str, Mapping[str, str]], mode: Mode | None) -> ModeFigure:
        if mode is not None:
            return replace(self.figure(id, _typed(mode)), running=mode.running, starting=mode.starting)
        found = self.figure(id, standard[id])
        return replace(found, running=self._with_inverters) if id == "on_inverter" else found

    @property
    def _with_inverters(self) -> tuple[str, ...]:
        """Every consumer, and every inverter."""
        parts = self.wiring.parts.items()
        return tuple(id for id, part in parts if is_consumer(part.kind) or part.kind in _INVERTERS)

    @cached_property
    def sweep(self) -> tuple[list[ModeFigure], bool]:
        """Every state of what a hand can set that matters, and whether none was left out; parked first.

        Engine, ignition and hook-up are multiplied with it: an engine runs with its ignition on only. Each
        is called by what differs from a parked van, such as "S2 on, engine running".
        """
        hands = [one.id for one in self.net.devices if self._is_moved_in_use(one.id)]
        wanted = settings(self.net, hands, list(self._consumers.values()), self._conditions())
        return [self.figure(self._called(sets, wanted.moved), sets) for sets in wanted.sets], wanted.whole

    def _is_moved_in_use(self, device: str) -> bool:
        """Say whether a hand moves a device day by day: no fuse, no link for an emergency, no bridge."""
        part = self.wiring.parts.get(device)
        within = part is not None and "/" in device and part.kind in ("change_over", "selector")
        bridge = within or (part is not None and part.by == "plug")
        return not (bridge or is_beside(device) or device in self._by_hand)

    @cached_property
    def _consumers(self) -> dict[str, tuple[str, str]]:
        """The consumers that have a wire, and what a trailer draws, with plus and minus."""
        wiring = self.wiring
        loads = [id for id, part in wiring.parts.items() if is_consumer(part.kind) and part.kind != "standby"]
        ends = {id: ends_of_load(wiring, id) for id in (*loads, *trailer_draws(wiring))}
        return {id: pair for id, pair in ends.items() if pair[0] in wiring.by_point}

    @property
    def every(self) -> Iterator[ModeFigure]:
        """The named modes, then those of the sweep: what is asked of all states."""
        yield from self.figures.values()
        yield from self.sweep[0]

    def _conditions(self) -> list[dict[str, str]]:
        """Return the conditions that this van meets, parked first."""
        kinds = {part.kind for part in self.wiring.parts.values()}
        ignition, engine, hook_up = condition("ignition"), condition("engine"), condition("hook_up")
        found: list[dict[str, str]] = [{}]
        if kinds & {"alternator", "vehicle_battery", "vehicle_feed"}:
            found += [{ignition: "on"}, {ignition: "on", engine: "running"}]
        if kinds & set(_INLETS):
            found += [{**one, hook_up: "there"} for one in list(found)]
        for signal in (condition(name) for name in SIGNALS if name in conditions_of(self.wiring)):
            found += [{**one, signal: "on"} for one in list(found)]
        if "tow_socket" in kinds:
            found += [{**one, condition("towing"): at} for at in TOWING[1:] for one in list(found)]
        return found

    def _called(self, sets: Mapping[str, str], counting: Collection[str]) -> str:
        """Return the name of a state: what is moved; of what only leads on to loads the first alone."""
        stands = {one.id: one.stands for one in self.net.devices}
        moved = {id: f"{id.removeprefix('@')} {at}" for id, at in sets.items() if stands.get(id) != at}
        first = [said for id, said in moved.items() if is_condition(id) or id in counting]
        others = [said for id, said in moved.items() if not (is_condition(id) or id in counting)]
        more = [f"{len(others) - 1} more moved"] if len(others) > 1 else []
        return ", ".join([*first, *others[:1], *more]) or "parked"

    def figure(self, id: str, sets: Mapping[str, str]) -> ModeFigure:
        """Return the mode of some settings; what names no device or position of this van is left out."""
        wiring, net = self.wiring, self.net
        known = {one.id: one.positions for one in net.devices}
        sets = {id: state for id, state in sets.items() if id in known or not is_condition(id)}
        asked = dict.fromkeys(self._by_hand, "off") | sets
        settled = net.settle({id: state for id, state in asked.items() if state in known.get(id, ())})
        live = settled.live
        trailer = settled.positions.get(condition("towing")) != TOWING[0]
        feeds = {
            id: live.feeds(*ends) if trailer or id in self.wiring.parts else frozenset()
            for id, ends in self._consumers.items()
        }
        charges = {
            part_id: self._charged(part_id, settled)
            for part_id in wiring.parts
            if is_battery(wiring, part_id)
        }
        charges = _in_series(charges, live)
        return ModeFigure(id, sets, settled.positions, feeds, charges, settled.chatters, live)

    @staticmethod
    def _charged(battery: str, settled: Settled) -> frozenset[str]:
        """Return the charging sources that reach a battery whose management takes what they give."""
        if settled.positions.get(management_device(battery)) == NO_CHARGE:
            return frozenset()
        return settled.live.at(f"{battery}.plus") & settled.live.charging

    def after(self, first: ModeFigure, then: Mapping[str, str]) -> ModeFigure:
        """Return the mode of some settings, come to from another: what turns by itself begins as it stood."""
        begun = {one.id: first.positions[one.id] for one in self.net.devices if one.turns is not None}
        return self.figure(f"after {first.id}", begun | dict(then))

    def _standard(self) -> Iterator[tuple[str, dict[str, str]]]:
        """Give the modes that every van has which has the parts for them."""
        wiring = self.wiring
        kinds = {part.kind for part in wiring.parts.values()}
        lit = {condition("ignition"): "on", condition("lights"): "on"}
        yield "parked", {}
        if "alternator" in kinds or "vehicle_battery" in kinds:
            yield "driving", {condition("engine"): "running", **lit}
            yield "ignition", lit
            if "tow_socket" in kinds:
                towing = {condition("towing"): TOWING[1]}
                yield "towing", {condition("engine"): "running", **lit, **towing}
        if kinds & set(_INLETS):
            yield "hook_up", {condition("hook_up"): "there"}
        if kinds & set(_INVERTERS):
            yield "on_inverter", {}
        masters = {id: "off" for id, part in wiring.parts.items() if part.kind == "master_switch"}
        if masters:
            yield "master_off", masters
        if stored := masters | self._switched_off():
            yield "storage", stored
        if kinds & set(_PURGES):  # somebody switches off while the heater is still hot
            yield "heater_purge", masters or stored
        for id, part in wiring.parts.items():
            if part.kind == "selector" and "/" not in id:
                for position in part.positions:
                    if position != rest_state(part):
                        yield f"selector_{position}", {id: position}
        if self._by_hand:
            yield "jump_start", dict.fromkeys(self._by_hand, "on")

    def _switched_off(self) -> dict[str, str]:
        """Return every switch and panel output that a hand can put off, put off."""
        parts = self.wiring.parts
        return {
            one.id: "off"
            for one in self.net.devices
            if one.turns is None
            and "off" in one.positions
            and not is_beside(one.id)
            and (one.id not in parts or parts[one.id].kind == "switch")
        }


def _in_series(charges: Mapping[str, frozenset[str]], live: Live) -> dict[str, frozenset[str]]:
    """Return what charges each battery, with what reaches it through another one that its plus hangs on."""
    found = dict(charges)
    for _ in charges:
        for upper in charges:
            for lower in charges:
                if lower != upper and upper in live.back_at(f"{lower}.plus"):
                    found[lower] |= found[upper]
    return found


def _typed(mode: Mode) -> dict[str, str]:
    """Return what a mode of the plan sets."""
    sets = {condition("engine"): mode.engine}
    ignition = mode.ignition if isinstance(mode.ignition, bool) else mode.engine == "running"
    sets[condition("ignition")] = "on" if ignition else "off"
    sets[condition("hook_up")] = "none" if mode.hook_up == "none" else "there"
    lights = mode.lights if isinstance(mode.lights, bool) else ignition
    sets[condition("towing")] = TOWING[1] if mode.towing is True else TOWING[0]
    signals = {"lights": lights, "reversing": mode.reversing is True, "brake": mode.brake is True}
    sets |= {condition(name): "on" if is_on else "off" for name, is_on in signals.items()}
    return sets | dict(mode.switches)


__all__ = ["ModeFigure", "Modes"]
