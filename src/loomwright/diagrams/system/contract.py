"""Switches, plugs and, where it gets dense, relays of single loads made into words on their line."""

from __future__ import annotations

from dataclasses import replace

from loomwright.plan.kinds import is_consumer
from loomwright.plan.pieces import Wiring

from .things import Line, Tip

#: Words on a line where just one line passes through.
_IN_WORDS = ("switch", "two_way", "intermediate", "dimmer", "plug", "shunt")


def contracted(wiring: Wiring, links: list[Line], *, plain: bool) -> list[Line]:
    """Turn switches and plugs with one line in and one out into words of that line."""
    ends = {end for link in links for end in (link.start, link.tips[0].thing)}
    for node in sorted(ends, key=lambda node: (_is_relay(wiring, node), node)):
        part = wiring.parts.get(node.partition("|")[0])
        kinds = (*_IN_WORDS, "relay") if plain else _IN_WORDS
        if part is None or part.kind not in kinds or part.by in ("relay", "contactor"):
            continue
        if part.kind == "relay":
            if not _leads_to_use(wiring, node, links):
                continue
            links = [link for link in links if not (link.control and _touches(link, node))]
        links = _through(node, node.partition("|")[0], links)
    return [
        replace(
            link,
            start=link.start.partition("|")[0],
            tips=tuple(Tip(tip.thing.partition("|")[0], tip.wire) for tip in link.tips),
        )
        for link in links
    ]


def _is_relay(wiring: Wiring, node: str) -> bool:
    return node in wiring.parts and wiring.parts[node].kind == "relay"


def _touches(link: Line, node: str) -> bool:
    return node in (link.start, link.tips[0].thing)


def _leads_to_use(wiring: Wiring, node: str, links: list[Line]) -> bool:
    """Say whether a relay has one line in and one out, which goes to a consumer or to where a run parts."""
    power = [link for link in links if not link.control and _touches(link, node)]
    ends = [link.tips[0].thing for link in power if link.start == node]
    if len(power) != 2 or len(ends) != 1:
        return False
    part = wiring.parts.get(ends[0])
    return ends[0].endswith("~") or (part is not None and is_consumer(part.kind))


def _through(node: str, part: str, links: list[Line]) -> list[Line]:
    """Return the links with a node taken out if it has one link in and one out, travellers counted once."""
    ins = [link for link in links if link.tips[0].thing == node]
    outs = [link for link in links if link.start == node]
    if not ins or not outs or len({link.control for link in (*ins, *outs)}) > 1:
        return links
    if len({link.start for link in ins}) > 1 or len({link.tips[0].thing for link in outs}) > 1:
        return links
    if len(ins) > 1 and len({link.order for link in ins}) > 1:
        return links
    if len(outs) > 1 and len({link.order for link in outs}) > 1:
        return links
    came, goes = ins[0], outs[0]
    if came.start == goes.tips[0].thing:
        return links
    wires = tuple(dict.fromkeys((*came.wires, *goes.wires)))
    joined = replace(goes, start=came.start, wires=wires, through=(*came.through, part, *goes.through))
    gone = {id(link) for link in (*ins, *outs)}
    place = next(k for k, link in enumerate(links) if id(link) in gone)
    rest = [link for link in links if id(link) not in gone]
    return [*rest[:place], joined, *rest[place:]]


def without_travellers(links: list[Line]) -> list[Line]:
    """Keep one of two lines of one run between the same two things."""
    seen: set[tuple[str, str, int]] = set()
    kept = []
    for link in links:
        ends = (link.start, link.tips[0].thing, link.order if link.wires else -1)
        if link.start != link.tips[0].thing and ends not in seen:
            seen.add(ends)
            kept.append(link)
    return kept
