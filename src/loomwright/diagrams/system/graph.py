"""Who feeds whom: a plan's parts as things in five fields, its plus side as lines between them.

Switches, plugs and dimmers in the way of a single load are words on its line; returns and bars of the minus
are left to the wiring sheet. Nothing is worked out here: currents, sizes and fuses are the assessment's.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace

from loomwright.assessment.record import Assessment
from loomwright.plan.kinds import KINDS, is_consumer
from loomwright.plan.pieces import FlatRun, Wiring

from .contract import contracted, without_travellers
from .sides import MAINS_KINDS, is_control, is_minus_run, minus_bars
from .things import CHARGING, SHARED, SOURCES, STORE, USED, Graph, Line, Thing, Tip

_FIELD = {
    **dict.fromkeys(("alternator", "vehicle_battery", "vehicle_feed", "solar_panel", "fuel_cell"), SOURCES),
    **dict.fromkeys(("b2b", "solar_regulator", "mains_charger", "sensing_relay", "equaliser"), CHARGING),
    **dict.fromkeys(("diode_splitter", "diode"), CHARGING),
    "battery": STORE,
    **dict.fromkeys(("converter", "inverter", "inverter_charger", "control_panel", "unit"), SHARED),
    **dict.fromkeys(("tow_socket", "sender", "gauge", "standby"), USED),
}
#: Drawn where the lines say: between source and battery, or after it.
_MOVING = ("relay", "switch", "two_way", "intermediate", "dimmer", "plug", "shunt", "fuse_box", "busbar",
           "splice", "low_voltage_cut", "master_switch", "selector", "change_over")  # fmt: skip


def build_graph(job: Assessment, *, plain: bool = False) -> Graph:
    """Return who feeds whom in a plan; `plain` tells relays in the way of single loads in words too."""
    wiring = job.wiring
    links = [*_factory_links(wiring), *_links(job)]
    links = without_travellers(contracted(wiring, links, plain=plain))
    touched = {_top(wiring.part_of(point) or "") for point in wiring.by_point}
    drawn = {end for link in links for end in (link.start, *(tip.thing for tip in link.tips))}
    fields = _fields(wiring, links, drawn)
    orders = _orders(wiring, links)
    things = {
        id: Thing(
            id, field, wiring.parts.get(id), orders.get(id, 100_000 + place), id in touched or id in drawn
        )
        for place, (id, field) in enumerate(fields.items())
        if id in drawn or id not in touched
    }
    things = {id: replace(thing, words=_minus_words(wiring, thing)) for id, thing in things.items()}
    lines = _joined(links, things)
    kept = {end for line in lines for end in (line.start, *(tip.thing for tip in line.tips))}
    things = {id: thing for id, thing in things.items() if thing.part is not None or id in kept}
    return Graph(things, tuple(_with_ways(_merged_controls(lines), things)))


def _top(id: str) -> str:
    return id.partition("/")[0]


def _node(wiring: Wiring, point: str) -> str | None:
    """Return what stands for a point: a part of the van's own level, a joint, a pin; None for the body."""
    if point.endswith("~"):
        return point
    part = wiring.part_of(point)
    if part is None:
        return None
    if wiring.parts[part].kind == "plug":
        return point.rstrip("<>").replace(".", "|", 1)
    if wiring.parts[part].kind == "switch" and wiring.terminal_of(point).endswith("_2"):
        return f"{part}|2"
    return _top(part)


def _factory_links(wiring: Wiring) -> Iterator[Line]:
    """Yield the cables that a vehicle has without being typed: alternator to its battery."""
    batteries = [id for id, part in wiring.plan.parts.items() if part.kind == "vehicle_battery"]
    for id, part in wiring.plan.parts.items():
        if part.kind == "alternator":
            charged = part.charges or (batteries[0] if batteries else None)
            plus = wiring.by_point.get(f"{id}.plus", ())
            if charged is not None and charged in wiring.parts and not plus:
                yield Line(id, (Tip(charged, ""),), ())


def _links(job: Assessment) -> Iterator[Line]:
    wiring = job.wiring
    bars = minus_bars(wiring)
    for order, (key, flat) in enumerate(wiring.runs.items()):
        if flat.scope or flat.mains:
            continue
        if not is_minus_run(wiring, flat, bars):
            yield from _feed_links(job, key, flat, order)
        yield from _output_links(wiring, flat, order)


def _feed_links(job: Assessment, key: str, flat: FlatRun, order: int) -> Iterator[Line]:
    for piece in flat.pieces:
        if piece.is_return:
            continue
        from_leg = piece.role == "leg" and not piece.a.endswith("~") and piece.id == f"{key}.{piece.load}"
        chained = from_leg and flat.run.joined == "chain" and piece.a in flat.loads
        a = f"{key}~" if chained else _node(job.wiring, piece.a)
        b = _node(job.wiring, piece.b)
        if a is not None and b is not None and a != b:
            control = is_control(job, flat, piece)
            yield Line(a, (Tip(b, piece.id),), (piece.id,), control=control, order=order)


def _output_links(wiring: Wiring, flat: FlatRun, order: int) -> Iterator[Line]:
    """Yield the control lines from a panel that switches the minus of a coil or load."""
    for piece in flat.pieces:
        end = wiring.part_of(piece.b)
        if piece.is_return and end and wiring.parts[end].kind == "control_panel":
            a, b = _node(wiring, piece.b), _node(wiring, piece.a)
            if a and b and wiring.terminal_of(piece.b) not in ("plus", "minus"):
                yield Line(a, (Tip(b, piece.id),), (piece.id,), control=True, order=order)


def _fields(wiring: Wiring, links: list[Line], drawn: set[str]) -> dict[str, int]:
    """Return the field of each part and joint, in the plan's order; mains parts are left out."""
    fields: dict[str, int] = {}
    moving = []
    for id, part in wiring.plan.parts.items():
        if part.kind in MAINS_KINDS:
            continue
        if part.kind in _FIELD:
            fields[id] = _FIELD[part.kind]
        elif part.kind in _MOVING:
            fields[id] = SHARED
            moving.append(id)
        elif is_consumer(part.kind) or part.kind in KINDS:
            fields[id] = USED
    fields |= {id: SHARED for id in sorted(drawn) if id.endswith("~")}
    after: defaultdict[str, list[str]] = defaultdict(list)
    for link in links:
        if not link.control and link.tips[0].thing in fields and link.start in fields:
            after[link.start].append(link.tips[0].thing)
    stores = [id for id, field in fields.items() if field == STORE]
    beyond = _reached(after, stores)
    for id in moving:
        leads_to = _reached(after, [id]) - {id}
        charges = any(fields[other] in (STORE, CHARGING) for other in leads_to)
        back = any(fields[other] == SOURCES for other in after[id])
        if (charges and id not in beyond) or back:
            fields[id] = CHARGING
    return fields


def _reached(after: Mapping[str, list[str]], starts: list[str]) -> set[str]:
    seen, todo = set(starts), list(starts)
    while todo:
        for other in after.get(todo.pop(), ()):
            if other not in seen:
                seen.add(other)
                todo.append(other)
    return seen


def _orders(wiring: Wiring, links: list[Line]) -> dict[str, int]:
    """Return by what things are sorted where nothing else decides: the wire that arrives, the plan."""
    orders: dict[str, int] = {}
    for link in links:
        if not link.control:
            orders.setdefault(link.tips[0].thing, len(orders))
    fixed = {id: 10 * k for k, id in enumerate(wiring.plan.parts)}
    for link in links:
        if not link.wires:  # an alternator stands above its battery
            fixed[link.start] = fixed[link.tips[0].thing] - 5
    return {
        **fixed,
        **{
            id: order
            for id, order in orders.items()
            if id in wiring.parts and is_consumer(wiring.parts[id].kind)
        },
    }


def _minus_words(wiring: Wiring, thing: Thing) -> tuple[str, ...]:
    """Return what stands in the minus of a battery: shunt, master."""
    if thing.field != STORE:
        return ()
    found: list[str] = []
    for flat in wiring.runs.values():
        if any(piece.b == f"{thing.id}.minus" for piece in flat.pieces):
            passages = (*flat.run.through, *(flat.run.return_.through if flat.run.return_ else ()))
            ends_here = any(load == f"{thing.id}.minus" for load in flat.loads)
            inner = flat.run.through if ends_here else passages[len(flat.run.through) :]
            found += [passage.part for passage in inner if passage.part in wiring.parts]
    return (f"minus through {', '.join(dict.fromkeys(found))}",) if found else ()


def _joined(links: list[Line], things: Mapping[str, Thing]) -> list[Line]:
    """Make one line of a run and its legs where all of them end on things that are used."""
    whole = []
    legs: defaultdict[str, list[Line]] = defaultdict(list)
    for link in links:
        if link.start.endswith("~"):
            legs[link.start].append(link)
    bundled = {
        joint
        for joint, parts in legs.items()
        if all(p.tips[0].thing in things and things[p.tips[0].thing].field == USED for p in parts)
        and sum(link.tips[0].thing == joint for link in links) == 1
    }
    for link in links:
        if link.start in bundled:
            continue
        joint = link.tips[0].thing
        if joint in bundled:
            tips = tuple(tip for leg in legs[joint] for tip in leg.tips)
            through = tuple(dict.fromkeys((*link.through, *(t for leg in legs[joint] for t in leg.through))))
            link = replace(link, tips=tips, through=through)
        if link.start in things and all(tip.thing in things for tip in link.tips):
            whole.append(link)
    return whole


def _merged_controls(lines: list[Line]) -> list[Line]:
    """Draw the cores of one control cable between two things as one line."""
    merged: dict[tuple[str, ...], Line] = {}
    kept: list[Line] = []
    for line in lines:
        if not line.control or len(line.tips) > 1:
            kept.append(line)
            continue
        pair = tuple(sorted((line.start, line.tips[0].thing)))
        if pair in merged:
            first = merged[pair]
            both = first.both_ways or first.start != line.start
            merged[pair] = replace(first, wires=(*first.wires, *line.wires), both_ways=both)
        else:
            merged[pair] = line
    return [*kept, *merged.values()]


def _with_ways(lines: list[Line], things: Mapping[str, Thing]) -> Iterator[Line]:
    """Mark the lines by which a battery both gives and is charged: what charges joins beyond them."""
    power = [line for line in lines if not line.control]
    for line in lines:
        ends = (line.start, line.tips[0].thing)
        if line.control or len(line.tips) > 1 or things[ends[1]].field != SHARED:
            yield line
            continue
        others = [other for other in power if other is not line]
        near = _side(others, things, ends[0])
        charged_beyond = _charged(others, things, ends[1])
        has_store = any(things[id].field == STORE for id in near)
        yield replace(line, both_ways=has_store and charged_beyond)


def _stops(thing: Thing) -> bool:
    return thing.kind in ("converter", "inverter", "b2b", "solar_regulator", "mains_charger", "diode")


def _side(lines: list[Line], things: Mapping[str, Thing], start: str) -> set[str]:
    """Return the things joined to one without passing a charger or converter."""
    seen, todo = {start}, [start]
    while todo:
        here = todo.pop()
        if _stops(things[here]) and here != start:
            continue
        for line in lines:
            ends = (line.start, *(tip.thing for tip in line.tips))
            if here in ends:
                for other in ends:
                    if other not in seen and things[other].field in (STORE, SHARED):
                        seen.add(other)
                        todo.append(other)
    return seen


def _charged(lines: list[Line], things: Mapping[str, Thing], start: str) -> bool:
    """Say whether a charger joins at a thing or at what is joined to it."""
    if _stops(things[start]):
        return False
    side = _side(lines, things, start)
    return any(
        line.tips[0].thing in side and things[line.start].field == CHARGING
        for line in lines
        if len(line.tips) == 1
    )
