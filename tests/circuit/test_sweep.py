"""The sweep against brute force: random nets of up to 12 contacts, every position of every one of them."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator, Mapping

import pytest

from loomwright.circuit.states import Contacts, Device, Live, Origin
from loomwright.circuit.sweep import MOST_STATES, relevant, settings

SEEDS = range(200)


def relay(id: str, coil: tuple[str, str], off: tuple[str, str], on: tuple[str, str]) -> Device:
    def turns(live: Live, _: str) -> str:
        return "on" if live.feeds(*coil) or live.feeds(*reversed(coil)) else "off"

    return Device(id, {"off": (off,) if off[0] else (), "on": (on,)}, "off", turns, coil)


def net(seed: int) -> Contacts:
    """Return a net with two batteries, a charger behind a relay, switches, change-overs and relays."""
    rng = random.Random(seed)
    points = [f"p{n}" for n in range(9)]

    def pair() -> tuple[str, str]:
        a, b = rng.sample(points, 2)
        return a, b

    joints = [("A+", "p0"), ("B+", "p1"), *(pair() for _ in range(rng.randint(0, 2)))]
    devices: list[Device] = []
    for n in range(rng.randint(3, 5)):
        if rng.random() < 0.7:
            devices.append(Device(f"S{n}", {"on": (pair(),), "off": ()}, "on"))
        else:
            a, b = pair()
            c = rng.choice([point for point in points if point not in (a, b)])
            devices.append(Device(f"W{n}", {"1": ((a, b),), "2": ((a, c),)}, "1"))
    for n in range(rng.randint(0, 2)):
        coil = (rng.choice(points), "minus")
        off = pair() if rng.random() < 0.4 else ("", "")
        devices.append(relay(f"K{n}", coil, off, pair()))
    if rng.random() < 0.5:
        charger = Device("C", {"off": (), "on": ()}, "off",
                         lambda live, _: "on" if live.at("p2") else "off", ("p2",))  # fmt: skip
        devices.append(charger)
    origins = [Origin("A", "A+", "minus"), Origin("B", "B+", "minus")]
    if any(one.id == "C" for one in devices):
        origins.append(Origin("C", "p3", "minus", ("C", "on"), charges=True))
    return Contacts(joints, devices, origins)


def contacts(one: Contacts) -> int:
    return sum(len({pair for pairs in device.positions.values() for pair in pairs}) for device in one.devices)


def all_settings(one: Contacts) -> Iterator[Mapping[str, str]]:
    hands = [device for device in one.devices if device.turns is None]
    for positions in itertools.product(*(device.positions for device in hands)):
        yield {device.id: position for device, position in zip(hands, positions, strict=True)}


def swept(one: Contacts) -> list[dict[str, str]]:
    found, whole = settings(relevant(one), [{}])
    assert whole
    return found


def told(one: Contacts, wanted: Iterator[Mapping[str, str]] | list[dict[str, str]]) -> set[object]:
    """Return what the states say: sources joined, what is at each source, what turns, what chatters."""
    found: set[object] = set()
    plus = {origin.id: origin.plus for origin in one.origins}
    movers = [device.id for device in one.devices if device.turns is not None and matters(one, device)]
    for sets in wanted:
        settled = one.settle(sets)
        found |= {("joined", a, b) for a in plus for b in settled.live.at(plus[a]) if a != b}
        if not settled.chatters:
            found |= {("turns", id, settled.positions[id]) for id in movers}
        found |= {("chatters", id) for id in settled.chatters if id in movers}
    return found


def matters(one: Contacts, device: Device) -> bool:
    """Say whether a device is no leaf: it joins sides with sources, or something gives by it."""
    from loomwright.circuit.sweep import _matters

    return _matters(one, device, {point for origin in one.origins for point in (origin.plus, origin.minus)})


@pytest.mark.parametrize("seed", SEEDS)
def test_the_sweep_tells_what_every_position_tells(seed: int):
    one = net(seed)
    assert contacts(one) <= 12
    assert told(one, swept(one)) == told(one, all_settings(one))


def has_no_leaf_with_two_throws(one: Contacts) -> bool:
    """A change-over that is a leaf stays where it stands: what lies behind its other throw is not seen."""
    return {device.id for device in one.devices if device.id.startswith("W")} <= {d.id for d in relevant(one)}


@pytest.mark.parametrize("seed", [seed for seed in SEEDS if has_no_leaf_with_two_throws(net(seed))])
def test_live_from_both_sides_without_a_contact(seed: int):
    """A contact is taken out, as a fuse is pulled: are both its sides live in some state?"""
    one = net(seed)
    for fuse in [device for device in one.devices if device.id.startswith("S")]:
        ((a, b),) = fuse.positions["on"]

        def both(sets: Mapping[str, str], a: str = a, b: str = b, fuse: Device = fuse) -> bool:
            live = one.settle({**sets, fuse.id: "off"}).live
            return bool(live.at(a)) and bool(live.at(b))

        assert any(map(both, swept(one))) == any(map(both, all_settings(one))), fuse.id


def test_a_leaf_is_not_multiplied():
    lamp = Device("S", {"on": (("p0", "lamp"),), "off": ()}, "on")
    link = Device("L", {"on": (("p0", "p1"),), "off": ()}, "on")
    one = Contacts(
        [("A+", "p0"), ("B+", "p1")], [lamp, link], [Origin("A", "A+", "m"), Origin("B", "B+", "m")]
    )
    assert [device.id for device in relevant(one)] == ["L"]


def test_what_only_feeds_the_coil_of_a_leaf_is_a_leaf():
    coil = relay("K", ("c", "m"), ("", ""), ("p0", "lamp"))
    switch = Device("S", {"on": (("p0", "c"),), "off": ()}, "on")
    one = Contacts([("A+", "p0")], [coil, switch], [Origin("A", "A+", "m")])
    assert relevant(one) == ()


def test_beyond_the_bound_one_and_two_are_moved_and_it_is_said():
    many = [Device(f"S{n}", {"on": ((f"p{n}", f"p{n + 1}"),), "off": ()}, "on") for n in range(13)]
    found, whole = settings(many, [{}])
    assert not whole
    assert len(found) == 1 + 13 + 13 * 12 // 2 < MOST_STATES
