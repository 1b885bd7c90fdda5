"""Volts and currents of a mains installation, of one state or of many faults.

Sources: Kirchhoff's and Ohm's laws; Thévenin's theorem, as in any textbook of circuit theory.
"""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.mains.records import (
    BODY,
    CORES,
    GROUND,
    LIVE_CORES,
    PERSON,
    Breaker,
    Device,
    Fault,
    Feed,
    Link,
    Net,
    Node,
    Residual,
    State,
    extra_links,
)
from loomwright.mains.states import state_with

__all__ = [
    "BODY",
    "CORES",
    "GROUND",
    "LIVE_CORES",
    "PERSON",
    "Breaker",
    "Device",
    "Fault",
    "Feed",
    "Link",
    "Net",
    "Node",
    "Residual",
    "State",
    "solve",
    "solve_many",
]


def solve(
    net: Net,
    fault: Fault | None = None,
    opened: frozenset[str] = frozenset(),
    person: tuple[Node, Node] | None = None,
) -> State:
    """Return volts and currents of one state.

    Parameters
    ----------
    net : Net
        The installation, under 100 nodes or so.
    fault : Fault or None
        Two nodes that touch.
    opened : frozenset of str
        Links that are open.
    person : pair of Node or None
        Where a person of `PERSON_OHM` touches, and where the current leaves: mostly `GROUND`.

    Returns
    -------
    State
        With the fault and the person among the currents.

    Raises
    ------
    ValueError
        A fault or a person touches a node that the net does not have.

    Examples
    --------
    >>> line, neutral = ("pitch", "line"), ("pitch", "neutral")
    >>> net = Net([Link("bond", neutral, GROUND, 0.0)], [Feed("grid", line, neutral, 230.0, 0.5)])
    >>> round(solve(net, person=(line, GROUND)).amps["person"], 4)
    0.2299
    """
    return state_with(net, opened, extra_links(fault, person))


def solve_many(net: Net, faults: Sequence[Fault], opened: frozenset[str] = frozenset()) -> list[State]:
    """Return the state of each fault alone, from one factorisation of the net.

    Parameters
    ----------
    net : Net
        The installation.
    faults : sequence of Fault
        One at a time.
    opened : frozenset of str
        Links that are open.

    Returns
    -------
    list of State
        In the order of `faults`; as `solve` gives them.

    Raises
    ------
    ValueError
        As for `solve`.
    """
    return [solve(net, fault, opened) for fault in faults]
