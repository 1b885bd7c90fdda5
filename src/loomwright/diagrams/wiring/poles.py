"""On which side every bar is, the feed's or the return's, and what feeds what."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from loomwright.plan.kinds import is_consumer

from .strands import End, Net, PartStep, Strand

#: Kinds whose contacts lead on downwards; all other boxes give back upwards to a rail.
CONTACTS = [
    "relay",
    "selector",
    "change_over",
    "intermediate",
    "two_way",
    "diode_splitter",
    "switch",
    "master_switch",
    "low_voltage_cut",
    "dimmer",
    "plug",
    "diode",
    "shunt",
    "control_panel",
]


def is_minus(terminal: str) -> bool:
    """True for a terminal on the return side of its part."""
    return terminal.endswith("minus") or terminal in ("85", "31", "case")


def _poles(strand: Strand, kinds: Mapping[str, str]) -> tuple[str, str]:
    """Return + or − for both ends of a strand, "" where nothing in it tells."""
    first = last = ""
    for step in strand.steps:
        if isinstance(step, PartStep) and not passes(kinds[step.part], step):
            enters = "-" if is_minus(step.enter) else "+"
            first, last = first or enters, "+" if enters == "-" else "-"
    return first, last


def passes(kind: str, step: PartStep) -> bool:
    """True for a part with which nothing is used: what enters it leaves it with the same pole."""
    coil = {step.enter, step.leave} & {"85", "86", "coil_plus", "coil_minus"}
    return kind in CONTACTS and not coil


def bar_sides(net: Net, kinds: Mapping[str, str]) -> dict[str, bool]:
    """Return for each bar whether it is on the feed side."""
    sides: dict[str, bool] = {}
    for bar, kind in net.bars.items():
        if kind in ("rail", "box"):
            sides[bar] = True
        elif kind in ("stud", "body", "minus"):
            sides[bar] = False
    poles = [(strand, *_poles(strand, kinds)) for strand in net.strands]
    for _ in range(len(net.bars)):
        votes: defaultdict[str, int] = defaultdict(int)
        for strand, first, last in poles:
            for end, pole, other in ((strand.a, first, strand.b), (strand.b, last, strand.a)):
                if end.kind != "bar" or end.id in sides:
                    continue
                votes[end.id] += _vote(pole, other, sides)
        decided = {bar: vote > 0 for bar, vote in votes.items() if vote}
        if not decided:
            break
        sides |= decided
    return {bar: sides.get(bar, True) for bar in net.bars}


def _vote(pole: str, other: End, sides: Mapping[str, bool]) -> int:
    if pole:
        return 1 if pole == "+" else -1
    if other.kind == "block":
        return -1 if is_minus(other.terminal) else 1
    if other.kind == "bar" and other.id in sides:
        return 2 if sides[other.id] else -2
    return 0


def feeds(net: Net, above: Mapping[str, bool], kinds: Mapping[str, str]) -> tuple[dict[str, str], list[str]]:
    """Return the parent of each feed bar and the feed bars in the order in which they are fed."""
    near: defaultdict[str, list[str]] = defaultdict(list)
    fed_by_series: set[str] = set()
    for strand in net.strands:
        a, b = strand.a, strand.b
        if a.kind == b.kind == "bar" and above[a.id] and above[b.id] and a.id != b.id:
            near[a.id].append(b.id)
            near[b.id].append(a.id)
            for step in strand.steps:
                if isinstance(step, PartStep) and kinds[step.part] in ("battery", "vehicle_battery"):
                    plus = f"{step.part}.plus"
                    fed_by_series |= {a.id, b.id} - {plus}
    rank = {"vehicle_battery": 0, "alternator": 1, "vehicle_feed": 1, "battery": 2}

    def root(bar: str) -> int:
        part = net.wiring.part_of(bar)
        kind = kinds.get(part or "", "")
        return rank.get(kind, 3) if net.bars[bar] == "rail" and bar not in fed_by_series else 9

    parent: dict[str, str] = {}
    order: list[str] = []
    loads: list[str] = []  # a load's own terminal feeds others only where nothing else does
    by_block = _through_blocks(net, above)
    starts = sorted((bar for bar in net.bars if above[bar]), key=root)
    while starts:
        fed = [bar for bar in starts if root(bar) == 9 and by_block[bar] & set(order)]
        start = fed[0] if fed and root(starts[0]) == 9 else starts[0]
        if root(starts[0]) == 9 and not fed and loads:
            start = loads[0]
        loads = [bar for bar in loads if bar != start]
        order.append(start)
        queue = [start]
        while queue:
            bar = queue.pop(0)
            for child in near[bar]:
                if child in order or child in loads:
                    continue
                parent[child] = bar
                part = net.wiring.part_of(child)
                if part is not None and is_consumer(kinds[part]):
                    loads.append(child)
                else:
                    order.append(child)
                    queue.append(child)
        starts = [bar for bar in starts if bar not in order and bar not in loads] or loads
    return parent, order


def _through_blocks(net: Net, above: Mapping[str, bool]) -> defaultdict[str, set[str]]:
    """Return for each feed bar the feed bars that it is joined to through a block."""
    at_block: defaultdict[str, set[str]] = defaultdict(set)
    for strand in net.strands:
        for end, far in ((strand.a, strand.b), (strand.b, strand.a)):
            if end.kind == "block" and far.kind == "bar" and above[far.id]:
                at_block[end.id].add(far.id)
    joined: defaultdict[str, set[str]] = defaultdict(set)
    for bars in at_block.values():
        for bar in bars:
            joined[bar] |= bars - {bar}
    return joined
