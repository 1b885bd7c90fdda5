"""Which points lie behind an opened contact, seen from what feeds the net.

A walk goes from point to point along cores that carry current, whatever their names become on the way (a
reversed supply changes them); it never goes through an appliance, which joins two cores of one point.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from loomwright.mains.records import LIVE_CORES, Link, Net, Node


def nodes_behind(net: Net, opened: frozenset[str], before: frozenset[str] = frozenset()) -> tuple[Node, ...]:
    """Return the nodes of the points that lie behind opened links.

    Parameters
    ----------
    net : Net
        The installation.
    opened : frozenset of str
        Links that are open.
    before : frozenset of str
        Those of them that had been open before; what lies behind them is not asked for.

    Returns
    -------
    tuple of Node
        All cores of every such point, in the order of the net; nothing lies behind a link that is fed
        from both sides.
    """
    kept = [link for link in net.links if link.id not in opened and _leads_on(link)]
    near = _walk(kept, (end for feed in net.feeds for end in (feed.high, feed.low)))
    far = [
        end
        for link in net.links
        if link.id in opened - before and (link.a in near) != (link.b in near)
        for end in (link.a, link.b)
        if end not in near
    ]
    points = {point for point, _core in _walk(kept, far)}
    return tuple(node for node in net.nodes if node[0] in points and node[1])


def _leads_on(link: Link) -> bool:
    return link.a[0] != link.b[0] and link.a[1] in LIVE_CORES and link.b[1] in LIVE_CORES


def _walk(links: Iterable[Link], start: Iterable[Node]) -> set[Node]:
    """Return every node that is reached."""
    beside = defaultdict(list)
    for link in links:
        beside[link.a].append(link.b)
        beside[link.b].append(link.a)
    reached: set[Node] = set()
    waiting = list(start)
    while waiting:
        node = waiting.pop()
        if node not in reached:
            reached.add(node)
            waiting += beside[node]
    return reached
