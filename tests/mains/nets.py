"""Small mains nets that the tests put faults into."""

from __future__ import annotations

import random

from loomwright.mains.net import BODY, GROUND, Breaker, Device, Feed, Link, Net, Residual

#: Where the fault lies in most tests: the van's socket.
LINE, NEUTRAL, EARTH = (("socket", core) for core in ("line", "neutral", "earth"))
B16 = Breaker(16.0, "B")
GRID_OHM, LEAD_OHM, WIRE_OHM, BOND_OHM = 0.2, 0.24, 0.1, 0.01


def van(
    *,
    electrode_ohm: float | None = None,
    reversed_supply: bool = False,
    poles: int = 2,
    rcd: bool = True,
    lost: tuple[str, ...] = (),
    lead_ohm: float = LEAD_OHM,
    breaker: Breaker = B16,
    volts: float = 230.0,
) -> Net:
    """Return a pitch, a lead, an RCD, a breaker, a socket with a kettle, and the body on its tyres.

    Without `electrode_ohm` the earth comes from the supply's neutral (TN), with it from the pitch (TT).
    `lost` leaves links out.
    """
    swapped = {"line": "neutral", "neutral": "line"}
    links = [Link("supply_bond", ("grid", "neutral"), GROUND, 0.0)]
    earth = ("grid", "neutral") if electrode_ohm is None else ("electrode", "earth")
    if electrode_ohm is not None:
        links.append(Link("electrode", ("electrode", "earth"), GROUND, electrode_ohm))
    for core in ("line", "neutral"):
        from_ = swapped[core] if reversed_supply else core
        two = poles == 2 or core == "line"
        links += [
            Link(f"lead.{core}", ("grid", from_), ("inlet", core), lead_ohm),
            Link(f"rcd.{core}", ("inlet", core), ("board", core), 0.0),
            Link(f"breaker.{core}" if two else "bar", ("board", core), ("way", core), 0.0),
            Link(f"wire.{core}", ("way", core), ("socket", core), WIRE_OHM),
        ]
    links += [
        Link("lead.earth", earth, ("inlet", "earth"), lead_ohm),
        Link("wire.earth", ("inlet", "earth"), EARTH, WIRE_OHM),
        Link("body_bond", ("inlet", "earth"), BODY, BOND_OHM),
        Link("tyres", BODY, GROUND, 1e7),
        Link("kettle", LINE, NEUTRAL, 53.0),
    ]
    cores = tuple(f"breaker.{core}" for core in ("line", "neutral")[:poles])
    devices = [Device("breaker", cores, cores, breaker)]
    if rcd:
        both = ("rcd.line", "rcd.neutral")
        devices.append(Device("rcd", both, both, residual=Residual(0.03)))
    feed = Feed("grid", ("grid", "line"), ("grid", "neutral"), volts, GRID_OHM)
    return Net([link for link in links if link.id not in lost], [feed], devices)


def inverter(*, bonded: bool, most_a: float | None = 20.0) -> Net:
    """Return an inverter that feeds a socket through an RCD; the body stands on its tyres."""
    both = ("rcd.line", "rcd.neutral")
    links = [
        Link("rcd.line", ("inverter", "line"), LINE, 0.1),
        Link("rcd.neutral", ("inverter", "neutral"), NEUTRAL, 0.1),
        Link("earth", ("inverter", "earth"), EARTH, 0.1),
        Link("body_bond", ("inverter", "earth"), BODY, BOND_OHM),
        Link("tyres", BODY, GROUND, 1e7),
    ]
    if bonded:
        links.append(Link("bond", ("inverter", "neutral"), ("inverter", "earth"), 0.0))
    feed = Feed("inverter", ("inverter", "line"), ("inverter", "neutral"), 230.0, 0.1, most_a)
    return Net(links, [feed], [Device("rcd", both, both, residual=Residual(0.03))])


def two_legs(*, lost_neutral: bool) -> Net:
    """Return a 120/240 V supply with 12 Ω on one leg and 48 Ω on the other."""
    links = [
        Link("supply_bond", ("pedestal", "neutral"), GROUND, 0.0),
        Link("lead.line", ("pedestal", "line"), ("board", "line"), 0.1),
        Link("lead.line_2", ("pedestal", "line_2"), ("board", "line_2"), 0.1),
        Link("lead.neutral", ("pedestal", "neutral"), ("board", "neutral"), 0.1),
        Link("heater", ("board", "line"), ("board", "neutral"), 12.0),
        Link("lamp", ("board", "line_2"), ("board", "neutral"), 48.0),
    ]
    feeds = [
        Feed("leg", ("pedestal", "line"), ("pedestal", "neutral"), 120.0, 0.05),
        Feed("leg_2", ("pedestal", "neutral"), ("pedestal", "line_2"), 120.0, 0.05),
    ]
    return Net([x for x in links if not (lost_neutral and x.id == "lead.neutral")], feeds)


def random_net(chance: random.Random) -> Net:
    """Return a tree of cables with rings, joints and loads behind one or two feeds, tied to the ground."""
    points = [(f"p{k}", chance.choice(("line", "neutral", "earth"))) for k in range(chance.randint(4, 30))]
    links = [Link("bond", points[0], GROUND, chance.choice((0.0, 2.0, 100.0)))]
    for k in range(1, len(points)):
        ohm = 0.0 if chance.random() < 0.2 else 10.0 ** chance.uniform(-2.5, 2.5)
        links.append(Link(f"cable{k}", points[chance.randrange(k)], points[k], ohm))
    for k in range(chance.randint(0, 6)):
        links.append(Link(f"ring{k}", *chance.sample(points, 2), 10.0 ** chance.uniform(-2.0, 4.0)))
    feeds = []
    for k in range(chance.randint(1, 2)):
        feeds.append(Feed(f"feed{k}", *chance.sample(points, 2), 230.0, chance.uniform(0.05, 1.0)))
    return Net(links, feeds)
