"""Loop resistances of a net, and the currents that a short between two nodes may draw.

A loop is what a tester finds between two nodes: the way there and the way back, with whatever lies
beside. Left out: the reactance of the supply, so a loop of under 0.1 Ω near a large transformer reads a
little higher.

Sources: Thévenin's theorem; IEC 60909-0 (volts behind the largest short), BS 7671 411.4.4 (behind the
least), its Appendix 3 (readings taken cold).
"""

from __future__ import annotations

from dataclasses import replace

from loomwright.mains.records import Fault, Net, Node, extra_links
from loomwright.mains.states import reduced, state_with
from loomwright.tables.iec_60364_4_41 import C_MIN
from loomwright.tables.iec_60909 import C_MAX
from loomwright.units import Band


def loop_ohm(net: Net, a: Node, b: Node, opened: frozenset[str] = frozenset()) -> float:
    """Return the resistance between two nodes with every feed at rest.

    Parameters
    ----------
    net : Net
        The installation; its ohms say how warm the copper is.
    a, b : Node
        The two.
    opened : frozenset of str
        Links that are open.

    Returns
    -------
    float
        Infinite if they share no metal. [Ω]

    Raises
    ------
    ValueError
        The net has no such node.
    """
    return reduced(net, opened).loop_ohm(a, b)


def earth_loop_ohm(net: Net, point: str, core: str = "line", opened: frozenset[str] = frozenset()) -> float:
    """Return the loop from a core to the earth of one point.

    Parameters
    ----------
    net : Net
        The installation.
    point : str
        The inlet, a socket.
    core : str
        "line" or "line_2".
    opened : frozenset of str
        Links that are open.

    Returns
    -------
    float
        Infinite if they share no metal. [Ω]

    Raises
    ------
    ValueError
        The point has no such core.
    """
    return loop_ohm(net, (point, core), (point, "earth"), opened)


def neutral_loop_ohm(net: Net, point: str, core: str = "line", opened: frozenset[str] = frozenset()) -> float:
    """Return the loop from a core to the neutral of one point.

    Parameters
    ----------
    net, point, core, opened
        As for `earth_loop_ohm`.

    Returns
    -------
    float
        Infinite if they share no metal. [Ω]

    Raises
    ------
    ValueError
        The point has no such core.
    """
    return loop_ohm(net, (point, core), (point, "neutral"), opened)


def prospective_a(
    cold: Net, hot: Net, a: Node, b: Node, *, c_max: float = C_MAX, c_min: float = C_MIN
) -> Band:
    """Return the least and the largest current of a short between two nodes.

    Parameters
    ----------
    cold, hot : Net
        The installation with cold copper and fresh joints, and as hot as the load makes it.
    a, b : Node
        What touches.
    c_max, c_min : float
        Volts behind the largest and the least short, over the nominal.

    Returns
    -------
    Band
        A feed that limits itself gives its limit. [A]

    Raises
    ------
    ValueError
        A net has no such node.

    References
    ----------
    IEC 60909-0, Table 1 (c_max, from memory); BS 7671, 411.4.4 (c_min).
    """
    one, other = (_short_a(net, a, b, c) for net, c in ((hot, c_min), (cold, c_max)))
    return Band(min(one, other), max(one, other))


def most_reading_ohm(limit_ohm: float, reading_factor: float) -> float:
    """Return the largest reading, taken cold, of a loop that has a limit when hot.

    Parameters
    ----------
    limit_ohm : float
        Of the hot loop. [Ω]
    reading_factor : float
        0.8 or 2/3, by region.

    Returns
    -------
    float
        To compare a tester's reading with. [Ω]

    Examples
    --------
    >>> round(most_reading_ohm(2.73, 0.8), 2)
    2.18
    """
    return limit_ohm * reading_factor


def _short_a(net: Net, a: Node, b: Node, c: float) -> float:
    feeds = tuple(feed._replace(volts=feed.volts * c) for feed in net.feeds)
    fault = Fault("prospective", a, b)
    return abs(state_with(replace(net, feeds=feeds), frozenset(), extra_links(fault, None)).amps[fault.id])
