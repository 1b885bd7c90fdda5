"""Every state that matters: which devices can change who reaches what, and all their positions.

A hand that moves a device whose far side holds no source, and nothing that anything looks at, changes one
branch and no other: it is a leaf, stays where it stands, and is not multiplied. What turns by itself is not
multiplied either: it follows. What it looks at counts only if its own contacts are no leaf.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product

from .states import Contacts, Device

#: So many states are visited; beyond, only those with one or two devices moved from where they stand.
MOST_STATES = 4096


def relevant(net: Contacts) -> tuple[Device, ...]:
    """Return the devices set by hand that are no leaf: they can change what others do, or join sources.

    Devices without contacts stand for conditions and are not among these.
    """
    follows = [one for one in net.devices if one.turns is not None]
    points = {point for one in net.origins for point in (one.plus, one.minus)}
    known: set[str] = set()
    while True:
        grown = {one.id for one in follows if one.id not in known and _matters(net, one, points)}
        if not grown:
            break
        known |= grown
        points |= {point for one in follows if one.id in grown for point in one.watches}
    hands = (one for one in net.devices if one.turns is None and any(one.positions.values()))
    return tuple(one for one in hands if _matters(net, one, points))


def _matters(net: Contacts, device: Device, points: set[str]) -> bool:
    """Say whether a device lies between points that matter: gives current itself, or joins two such sides."""
    pairs = {pair for pairs in device.positions.values() for pair in pairs}
    if not pairs:
        return any(one.while_ is not None and one.while_[0] == device.id for one in net.origins)
    sides = {net.node(point) for pair in pairs for point in pair}
    return sum(_holds(net, side, device.id, points) for side in sorted(sides)) > 1


def _holds(net: Contacts, start: str, without: str, points: set[str]) -> bool:
    """Say whether a point that matters can be reached from a node, whatever closes, without one device."""
    wanted, graph = {net.node(point) for point in points}, net.everything_closed
    seen, queue = {start}, [start]
    while queue:
        here = queue.pop()
        if here in wanted:
            return True
        for there, device in graph.get(here, ()):
            if device != without and there not in seen:
                seen.add(there)
                queue.append(there)
    return False


def settings(
    devices: Sequence[Device], conditions: Sequence[Mapping[str, str]]
) -> tuple[list[dict[str, str]], bool]:
    """Return the settings to visit, and whether they are all.

    Parameters
    ----------
    devices : sequence of Device
        Multiplied: each position of each with each of the others.
    conditions : sequence of mapping of str to str
        What is set beside them, multiplied too.
    """
    count = len(conditions)
    for one in devices:
        count *= len(one.positions)
    whole = count <= MOST_STATES
    hands = list(_all(devices) if whole else _near(devices))
    return [{**one, **hand} for one in conditions for hand in hands][:MOST_STATES], whole


def _all(devices: Sequence[Device]) -> Iterator[dict[str, str]]:
    for positions in product(*(one.positions for one in devices)):
        yield {one.id: position for one, position in zip(devices, positions, strict=True)}


def _near(devices: Sequence[Device]) -> Iterator[dict[str, str]]:
    """Give the settings with none, one or two devices away from where they stand."""
    yield {}
    moved = [(one.id, position) for one in devices for position in one.positions if position != one.stands]
    for id, position in moved:
        yield {id: position}
    for k, (id, position) in enumerate(moved):
        for other, there in moved[k + 1 :]:
            if other != id:
                yield {id: position, other: there}


__all__ = ["MOST_STATES", "relevant", "settings"]
