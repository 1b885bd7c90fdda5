"""The sweep against brute force: random nets of up to 14 contacts, every position of every one of them."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable, Iterator, Mapping

import pytest

from loomwright.circuit.parting import Parting
from loomwright.circuit.states import Contacts, Device, Live, Origin
from loomwright.circuit.sweep import MOST_STATES, settings

SEEDS = range(200)
Pair = tuple[str, str]


def relay(id: str, coil: Pair, off: Pair, on: Pair) -> Device:
    def turns(live: Live, _: str) -> str:
        return "on" if live.feeds(*coil) or live.feeds(*reversed(coil)) else "off"

    return Device(id, {"off": (off,) if off[0] else (), "on": (on,)}, "off", turns, coil)


def net(seed: int) -> tuple[Contacts, list[Pair]]:
    """Return a net with two batteries, a charger, switches, change-overs and relays; and its loads."""
    rng = random.Random(seed)
    points = [f"p{n}" for n in range(9)]

    def pair() -> Pair:
        a, b = rng.sample(points, 2)
        return a, b

    joints = [("A+", "p0"), ("B+", "p1"), *(pair() for _ in range(rng.randint(0, 2)))]
    devices: list[Device] = []
    for n in range(rng.randint(3, 5)):
        if rng.random() < 0.6:
            devices.append(Device(f"S{n}", {"on": (pair(),), "off": ()}, "on"))
        else:
            a, b = pair()
            c = rng.choice([point for point in points if point not in (a, b)])
            devices.append(Device(f"W{n}", {"1": ((a, b),), "2": ((a, c),)}, "1"))
    for n in range(rng.randint(0, 2)):
        coil = (rng.choice(points), rng.choice(["minus", "minus", "q"]))
        off = pair() if rng.random() < 0.4 else ("", "")
        devices.append(relay(f"K{n}", coil, off, pair()))
    if rng.random() < 0.5:
        devices.append(Device("M", {"on": (("q", "minus"),), "off": ()}, "on"))
    origins = [Origin("A", "A+", "minus"), Origin("B", "B+", "minus", passes=rng.random() < 0.3)]
    if rng.random() < 0.5:
        starts = lambda live, _: "on" if live.at("p2") else "off"  # noqa: E731
        devices.append(Device("C", {"off": (), "on": ()}, "off", starts, ("p2",)))
        origins.append(Origin("C", "p3", "minus", ("C", "on"), charges=True))
    diodes = [pair()] if rng.random() < 0.3 else []
    loads = [(point, rng.choice(["minus", "q"])) for point in points]
    return Contacts(joints, devices, origins, diodes), loads


def contacts(one: Contacts) -> int:
    return sum(len({pair for pairs in device.positions.values() for pair in pairs}) for device in one.devices)


def hands(one: Contacts) -> list[Device]:
    return [device for device in one.devices if device.turns is None]


def all_settings(one: Contacts) -> Iterator[Mapping[str, str]]:
    moved = hands(one)
    for positions in itertools.product(*(device.positions for device in moved)):
        yield {device.id: position for device, position in zip(moved, positions, strict=True)}


def swept(one: Contacts, loads: list[Pair]) -> tuple[dict[str, str], ...]:
    found = settings(one, [device.id for device in hands(one)], loads)
    assert found.whole
    return found.sets


def told(one: Contacts, loads: list[Pair], wanted: Iterable[Mapping[str, str]]) -> set[object]:
    """Return what states say: what feeds each load, sources joined, how what turns stands, what chatters."""
    found: set[object] = set()
    plus = {origin.id: origin.plus for origin in one.origins}
    movers = [device.id for device in one.devices if device.turns is not None]
    for sets in wanted:
        settled = one.settle(sets)
        found |= {("chatters", id) for id in settled.chatters}
        if settled.chatters:
            continue
        found |= {("fed", load, by) for load in loads if (by := settled.live.feeds(*load))}
        found |= {("joined", a, b) for a in plus for b in settled.live.at(plus[a]) if a != b}
        found |= {("turns", id, settled.positions[id]) for id in movers}
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_the_sweep_tells_what_every_position_tells(seed):
    one, loads = net(seed)
    assert contacts(one) <= 14
    assert told(one, loads, swept(one, loads)) == told(one, loads, all_settings(one))


def test_the_sweep_visits_fewer_states_than_there_are():
    nets = [net(seed) for seed in SEEDS]
    visited = sum(len(swept(one, loads)) for one, loads in nets)
    assert visited < 0.7 * sum(len(list(all_settings(one))) for one, _ in nets)


@pytest.mark.parametrize("seed", SEEDS)
def test_live_from_both_sides_without_a_contact(seed):
    """A contact is taken out, as a fuse is pulled: are both its sides live in some state?"""
    one, loads = net(seed)
    for fuse in [device for device in one.devices if device.id.startswith("S")]:
        ((a, b),) = fuse.positions["on"]

        def both(sets: Mapping[str, str], a: str = a, b: str = b, fuse: Device = fuse) -> bool:
            live = one.settle({**sets, fuse.id: "off"}).live
            return bool(live.at(a)) and bool(live.at(b))

        assert any(map(both, swept(one, loads))) == any(map(both, all_settings(one))), fuse.id


def counting(one: Contacts) -> list[str]:
    known = Parting(one).counting
    return [device.id for device in hands(one) if device.id in known]


A, B = Origin("A", "A+", "m"), Origin("B", "B+", "m")


def test_a_leaf_is_not_multiplied():
    lamp = Device("S", {"on": (("p0", "lamp"),), "off": ()}, "on")
    link = Device("L", {"on": (("p0", "p1"),), "off": ()}, "on")
    assert counting(Contacts([("A+", "p0"), ("B+", "p1")], [lamp, link], [A, B])) == ["L"]


def test_two_switches_side_by_side_that_join_two_sources_both_count():
    pair = [Device(id, {"on": (("A+", "B+"),), "off": ()}, "on") for id in ("L1", "L2")]
    assert counting(Contacts([], pair, [A, B])) == ["L1", "L2"]


def test_what_only_feeds_the_coil_of_a_leaf_is_a_leaf():
    coil = relay("K", ("c", "m"), ("", ""), ("p0", "lamp"))
    switch = Device("S", {"on": (("p0", "c"),), "off": ()}, "on")
    one = Contacts([("A+", "p0")], [coil, switch], [A])
    assert counting(one) == []
    assert {settled["S"] for settled in swept(one, [("lamp", "m")])} == {"on", "off"}


def two_way(n: int) -> list[Device]:
    """Return two two-way switches before a lamp, with an intermediate one between their lines."""
    a, b, c, d = (f"{line}{n}" for line in "abcd")
    return [
        Device(f"S{n}", {"a": (("A+", a),), "b": (("A+", b),)}, "a"),
        Device(f"I{n}", {"straight": ((a, c), (b, d)), "crossed": ((a, d), (b, c))}, "straight"),
        Device(f"T{n}", {"a": ((c, f"lamp{n}"),), "b": ((d, f"lamp{n}"),)}, "a"),
    ]


def test_twenty_lamps_with_three_switches_each_take_eight_states():
    one = Contacts([], [device for n in range(20) for device in two_way(n)], [A])
    assert counting(one) == []
    found = settings(one, [device.id for device in hands(one)])
    assert (len(found.sets), found.whole) == (8, True)
    lit = [{n for n in range(20) if one.settle(sets).live.at(f"lamp{n}")} for sets in found.sets]
    assert all(len({n in state for state in lit}) == 2 for n in range(20))


def test_beyond_the_bound_one_and_two_are_moved_and_it_is_said():
    many = [Device(f"S{n}", {"on": ((f"p{n}", f"p{n + 1}"),), "off": ()}, "on") for n in range(13)]
    found = settings(Contacts([("A+", "p0"), ("B+", "p13")], many, [A, B]), [one.id for one in many])
    assert not found.whole
    assert len(found.sets) == 1 + 13 + 13 * 12 // 2 < MOST_STATES
