"""The states of one net: with faults and persons in it, feeds at their limits where they would give more.

What was factorised is kept with the net. Sources: as for `reduced`.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from loomwright.mains.joints import Floats
from loomwright.mains.records import Feed, Link, Net, State
from loomwright.mains.reduced import Reduced

#: A limit counts as passed only beyond this share.
_DUST = 1e-9


def reduced(net: Net, opened: frozenset[str] = frozenset(), limited: frozenset[str] = frozenset()) -> Reduced:
    """Return the factorised net, kept with it for the next question.

    Parameters
    ----------
    net : Net
        The installation.
    opened, limited : frozenset of str
        Links that are open, feeds that give their limit.

    Returns
    -------
    Reduced
        To be asked for states.
    """
    key = opened, limited
    if key not in net.kept:
        net.kept[key] = Reduced(net, opened, limited)
    found: Reduced = net.kept[key]
    return found


def state_with(net: Net, opened: frozenset[str], extra: Sequence[Link]) -> State:
    """Return the state with further links, feeds at their limits where they would give more.

    Parameters
    ----------
    net : Net
        The installation.
    opened : frozenset of str
        Links that are open.
    extra : sequence of Link
        A fault, a person.

    Returns
    -------
    State
        Volts and currents.
    """
    limited: frozenset[str] = frozenset()
    for _ in range(2 * len(net.feeds) + 1):
        state = reduced(net, opened, limited).state(extra)
        now = frozenset(feed.id for feed in net.feeds if _at_limit(feed, state, feed.id in limited))
        if now == limited:
            break
        limited = now
    return state


def extra_amps_with(net: Net, opened: frozenset[str], extra: Sequence[Link]) -> Floats:
    """Return the currents of further links alone, as `state_with` has them.

    Parameters
    ----------
    net : Net
        The installation.
    opened : frozenset of str
        Links that are open.
    extra : sequence of Link
        A fault, a person.

    Returns
    -------
    ndarray, shape (links,)
        In their order. [A]
    """
    if all(feed.most_a is None for feed in net.feeds):
        return reduced(net, opened).extra_amps(extra)
    state = state_with(net, opened, extra)
    return np.array([state.amps[link.id] for link in extra])


def _at_limit(feed: Feed, state: State, limited: bool) -> bool:
    if feed.most_a is None:
        return False
    if not limited:
        return state.amps[feed.id] > feed.most_a * (1.0 + _DUST)
    across = state.volts[feed.high] - state.volts[feed.low]
    return across < (feed.volts - feed.ohm * feed.most_a) * (1.0 + _DUST)
