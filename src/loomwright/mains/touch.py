"""What a person meets who touches something: the volts across them and the current through them.

The person is one resistance; what the touched thing gives falls by what the person draws, so a thing that
floats or stands behind a high resistance gives little. Under 50 V a lasting touch counts as no danger in
dry places; the order of size is all that this says.

Sources: IEC 60479-1 (the person), IEC 60364-4-41 (the limit), both from memory.
"""

from __future__ import annotations

from typing import NamedTuple

from loomwright.mains.records import GROUND, Fault, Net, Node, extra_links
from loomwright.mains.states import extra_amps_with
from loomwright.tables.iec_60364_4_41 import TOUCH_LIMIT_V
from loomwright.tables.iec_60479_1 import PERSON_OHM


class Touched(NamedTuple):
    """Volts across a person and current through them. [V, mA]"""

    volts: float
    milliamps: float


def touch(
    net: Net,
    node: Node,
    other: Node = GROUND,
    fault: Fault | None = None,
    opened: frozenset[str] = frozenset(),
) -> Touched:
    """Return what a person between two nodes meets.

    Parameters
    ----------
    net : Net
        The installation.
    node, other : Node
        Where they touch, and where the current leaves.
    fault : Fault or None
        What has gone wrong.
    opened : frozenset of str
        Links that are open.

    Returns
    -------
    Touched
        Never below zero.

    Raises
    ------
    ValueError
        The net has no such node.

    References
    ----------
    IEC 60479-1: 1000 Ω, from memory.
    """
    amps = abs(float(extra_amps_with(net, opened, extra_links(fault, (node, other)))[-1]))
    return Touched(amps * PERSON_OHM, amps * 1000.0)


def dangerous(volts: float, limit_v: float = TOUCH_LIMIT_V) -> bool:
    """Tell whether a lasting touch of these volts is over the limit.

    Parameters
    ----------
    volts : float
        Across the person. [V]
    limit_v : float
        The limit. [V]
    """
    return volts > limit_v * (1.0 + 1e-9)
