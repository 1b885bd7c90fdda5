"""Supplies that nothing may cut: safety alarms, trackers, heaters that run on after stopping.

As far as the wiring shows it: a device that opens stands on every way from the batteries, or none does.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from loomwright.plan.kind_table import KINDS
from loomwright.plan.kinds import states
from loomwright.plan.pieces import Wiring

from .joined import (
    Joined,
    Pair,
    always_closed,
    contacts_in,
    doors_of,
    movable,
    openers,
)
from .states import Contact


@dataclass(frozen=True, slots=True)
class Cut:
    """A load that is to keep its supply, the run that feeds it, and what opens its way there or back."""

    load: str
    run: str
    by: tuple[str, ...]
    back: tuple[str, ...]


def cut_supplies(wiring: Wiring) -> list[Cut]:
    """Return the loads that are to keep their supply and do not, as far as the wiring shows it."""
    kept = [part_id for part_id, part in wiring.parts.items() if part.keep_on is True]
    supplies = Supplies(wiring)
    return [cut for part_id in kept if (cut := supplies.cut(part_id)) is not None]


class Supplies:
    """What the loads of a van are fed through; worked out once for all that are asked for."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring

    def cut(self, load: str) -> Cut | None:
        """Return what cuts the supply of a load; None if nothing does, or if nothing feeds it at all.

        A cut-out that guards the battery counts only for what is to run at any price: alarms, trackers, what
        purges.
        """
        ends, part = (f"{load}.plus", f"{load}.minus"), self.wiring.owner(load)
        if part.wired is False or ends[0] not in self.wiring.by_point:
            return None
        at_any_price = KINDS[part.kind].defaults.get("keep_on") is True
        held = self._held_at_any_price if at_any_price else self._held
        if held.feeds(*ends):
            return None
        by, back = self._devices(held, ends)
        if any(self._feeds_in_every_state(held, part_id, ends) for part_id in (*by, *back)):
            return None
        by = by if by or back else self._vehicle_feeds(held, ends)
        flat = self.wiring.run_to.get(ends[0])
        return Cut(load, flat.id if flat is not None else load, by, back) if by or back else None

    @cached_property
    def _held_at_any_price(self) -> Joined:
        return Joined(self.wiring, always_closed(self.wiring) + _converters(self.wiring))

    @cached_property
    def _held(self) -> Joined:
        """With the cut-outs closed that guard the battery."""
        return Joined(self.wiring, always_closed(self.wiring, cut_outs=True) + _converters(self.wiring))

    @cached_property
    def _movable(self) -> list[Contact]:
        return movable(self.wiring)

    def _devices(self, held: Joined, ends: Pair) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return the devices that cut a load when all of them open, on its way there and back."""
        by: dict[str, None] = {}
        back: dict[str, None] = {}
        movable = self._movable
        while held.feeds(*ends, movable):
            ways = self._on_the_way(held, movable, ends)
            there, home = ways if any(ways) else self._needed(held, movable, ends)
            by |= dict.fromkeys(there)
            back |= dict.fromkeys(home)
            movable = [contact for contact in movable if contact.part not in by and contact.part not in back]
        return tuple(by), tuple(back)

    def _on_the_way(
        self, held: Joined, movable: list[Contact], ends: Pair
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return the devices on the way from the nearest batteries, and on the way back."""
        doors = doors_of(movable)
        return (
            openers(held.graph, doors, {plus for plus, _ in held.sources}, ends[0]),
            openers(held.graph, doors, {minus for _, minus in held.sources}, ends[1]),
        )

    def _needed(
        self, held: Joined, movable: list[Contact], ends: Pair
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return the devices of one way that feeds a load where the nearest batteries do not: there, back."""
        for part in dict.fromkeys(contact.part for contact in movable):
            others = [contact for contact in movable if contact.part != part]
            movable = others if held.feeds(*ends, others) else movable
        by: list[str] = []
        back: list[str] = []
        for part in dict.fromkeys(contact.part for contact in movable):
            group = held.with_closed(contact for contact in movable if contact.part != part)
            stands = any(group.get(plus) == group[ends[0]] for plus, _ in held.sources)
            (back if stands else by).append(part)
        return tuple(by), tuple(back)

    def _vehicle_feeds(self, held: Joined, ends: Pair) -> tuple[str, ...]:
        """Return the vehicle's own feeds that a load hangs on: they are not live all the time."""
        group = held.with_closed(self._movable)
        feeds = (
            part_id
            for part_id, part in self.wiring.parts.items()
            if part.kind == "vehicle_feed" and part.live != "always"
        )
        return tuple(part_id for part_id in feeds if group.get(f"{part_id}.plus") == group[ends[0]])

    def _feeds_in_every_state(self, held: Joined, part_id: str, ends: Pair) -> bool:
        """True if a load stays fed whichever way one change-over, selector or two-way stands."""
        part = self.wiring.parts[part_id]
        known = [tuple(contacts_in(part_id, part, state)) for state in states(part)]
        return bool(known) and all(known) and all(held.feeds(*ends, closed) for closed in known)


def _converters(wiring: Wiring) -> list[Contact]:
    """Return the converters as ways that hand plus and minus on."""
    ids = [part_id for part_id, part in wiring.parts.items() if part.kind == "converter"]
    ways = (("in", "out"), ("minus", "out_minus"))
    return [Contact(part_id, f"{part_id}.{a}", f"{part_id}.{b}") for part_id in ids for a, b in ways]
