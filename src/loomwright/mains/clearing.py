"""What opens after a fault, how long a touch is dangerous, and what stays live.

The net is solved; of all devices that see enough, the one with the least longest time opens; what it
opens is taken out, and the net is solved again, until no device has to open any more (`openings`). Where
another device may have been quicker the order is not sure. Breakers start cold; appliances draw what the
net has of them.

Left out: arcs, wear, breaking capacity (`loops` has the current to compare it with).

Sources: the times of `breakers` and `residual`; the touch limit of IEC 60364-4-41.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomwright.mains.behind import nodes_behind
from loomwright.mains.openings import Opening, Stage, stages
from loomwright.mains.records import GROUND, PERSON, Fault, Link, Net, Node, extra_links
from loomwright.mains.states import extra_amps_with
from loomwright.mains.touch import dangerous
from loomwright.tables.iec_60364_4_41 import TOUCH_LIMIT_V
from loomwright.tables.iec_60479_1 import PERSON_OHM
from loomwright.units import Band

__all__ = ["CARRIES_A", "Clearing", "Opening", "clear"]

#: A fault that carries less counts as carrying nothing. [A]
CARRIES_A = 1e-3


@dataclass(frozen=True, slots=True)
class Clearing:
    """What follows a fault.

    Attributes
    ----------
    openings : tuple of Opening
        In order.
    sure : bool
        False if another device may open sooner than one of these, or one may open that need not.
    never : bool
        True if a current through the fault, or without one through the person, stays.
    amps_at_start, amps_after : float
        That current. [A]
    volts_at_start, volts_after : Mapping
        Across a person who touches each node and stands on the ground. [V]
    dangerous_for : Band
        Until every touched node is below the limit; 0 to 0 if none was above it. [s]
    still_live : tuple of Node
        Behind what opened, and over the limit all the same.
    opened : frozenset of str
        Links that are open in the end, those from the start with them.
    """

    openings: tuple[Opening, ...]
    sure: bool
    never: bool
    amps_at_start: float
    amps_after: float
    volts_at_start: Mapping[Node, float]
    volts_after: Mapping[Node, float]
    dangerous_for: Band
    still_live: tuple[Node, ...]
    opened: frozenset[str]


def clear(
    net: Net,
    fault: Fault | None,
    touched: Sequence[Node],
    person: tuple[Node, Node] | None = None,
    touch_v: float = TOUCH_LIMIT_V,
    opened: frozenset[str] = frozenset(),
) -> Clearing:
    """Return what opens after a fault, and what a touch meets until then and afterwards.

    Parameters
    ----------
    net : Net
        The installation.
    fault : Fault or None
        What has gone wrong; None to see what a person alone brings about.
    touched : sequence of Node
        Metal that people touch.
    person : pair of Node or None
        Someone who holds on all the while: their current counts in what the devices see.
    touch_v : float
        Limit of a lasting touch. [V]
    opened : frozenset of str
        Links that are open from the start, a change-over's other way.

    Returns
    -------
    Clearing
        Openings, times, volts.

    Raises
    ------
    ValueError
        A node is not in the net.
    """
    extra = extra_links(fault, person)
    run = tuple(stages(net, extra, opened))
    last = run[-1]
    volts = [{node: _touch_v(net, stage.opened, extra, node) for node in touched} for stage in run]
    risky = [any(dangerous(v, touch_v) for v in of_stage.values()) for of_stage in volts]
    behind = nodes_behind(net, last.opened, before=opened)
    live = [n for n in behind if dangerous(abs(last.state.volts[n]), touch_v)]  # before anyone draws from it
    openings = tuple(stage.opening for stage in run if stage.opening is not None)
    at_start, after = (abs(s.state.amps[extra[0].id]) if extra else 0.0 for s in (run[0], last))
    return Clearing(
        openings=openings,
        sure=not last.may_open and not any(opening.others for opening in openings),
        never=after > CARRIES_A,
        amps_at_start=at_start,
        amps_after=after,
        volts_at_start=volts[0],
        volts_after=volts[-1],
        dangerous_for=_dangerous_for(run, risky),
        still_live=tuple(n for n in live if dangerous(_touch_v(net, last.opened, extra, n), touch_v)),
        opened=last.opened,
    )


def _touch_v(net: Net, opened: frozenset[str], extra: Sequence[Link], node: Node) -> float:
    """Return the volts across someone on the ground who touches a node; nobody touches it twice."""
    hand = Link("hand", node, GROUND, PERSON_OHM)
    held = any(link.id == PERSON and {link.a, link.b} == {node, GROUND} for link in extra)
    links = extra if held else (*extra, hand)
    at = [link.id for link in links].index(PERSON if held else hand.id)
    return abs(float(extra_amps_with(net, opened, links)[at])) * PERSON_OHM


def _dangerous_for(run: Sequence[Stage], risky: Sequence[bool]) -> Band:
    """Return how long after the fault some touched node is over the limit. [s]"""
    if not any(risky):
        return Band(0.0, 0.0)
    worst = run[max(k for k, is_risky in enumerate(risky) if is_risky)]
    return worst.opening.after if worst.opening is not None else Band(worst.soonest_s, math.inf)
