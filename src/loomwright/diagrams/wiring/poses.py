"""Which sign a contact takes in each position that its part can have."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from loomwright.assessment.conditions import fuse_device
from loomwright.drawing.scene import Poses, Sign
from loomwright.drawing.symbols_contacts import (
    INTERMEDIATE,
    INTERMEDIATE_CROSSED,
    PANEL_CONTACT,
    PANEL_CONTACT_ON,
    TWO_WAY,
    TWO_WAY_OVER,
    selector,
)
from loomwright.drawing.symbols_parts import FUSE, FUSE_PULLED
from loomwright.plan.kinds import states
from loomwright.plan.model import Part

#: Upper and lower traveller of a pair of two-way switches, as they are drawn.
UPPER, LOWER = 0, 1


def contact_poses(id: str, part: Part, ends: Collection[str], opened: Sign, shut: Sign) -> Poses:
    """Return the poses of one contact of a part, between two of its terminals."""
    closes = {state: any(set(pair) == set(ends) for pair in pairs) for state, pairs in states(part).items()}
    return Poses(id, {state: shut if closed else opened for state, closed in closes.items()})


def output_poses(output: str) -> Poses:
    """Return the poses of an output of a control panel."""
    return Poses(output, {"off": PANEL_CONTACT, "on": PANEL_CONTACT_ON})


def fuse_poses(at: str) -> Poses:
    """Return the poses of a fuse in a way or a wire."""
    return Poses(fuse_device(at), {"whole": FUSE, "pulled": FUSE_PULLED})


def selector_poses(id: str, part: Part, terminals: Sequence[str], spacing: float) -> Poses:
    """Return the poses of a selector or change-over contact, its terminals from left to right."""
    count = max(len(terminals), 2)
    signs = {state: selector(count, spacing, closed_at(part, terminals, state)) for state in states(part)}
    return Poses(id, signs)


def closed_at(part: Part, terminals: Sequence[str], state: str) -> int | None:
    """Return which of some terminals is joined to the common one in a state, from 1."""
    joined = (terminal for pair in states(part).get(state, ()) for terminal in pair)
    return next((terminals.index(one) + 1 for one in joined if one in terminals), None)


def two_way_poses(id: str, part: Part, levels: Mapping[str, int], drawn: int) -> Poses:
    """Return the poses of a two-way switch of a pair.

    `levels` says by terminal on which traveller it lies; the sign at rest is drawn on `drawn`.
    """
    signs = {}
    for state, pairs in states(part).items():
        level = next((levels[one] for pair in pairs for one in pair if one in levels), drawn)
        signs[state] = TWO_WAY if level == drawn else TWO_WAY_OVER
    return Poses(id, signs)


def intermediate_poses(id: str, part: Part, levels: Mapping[str, int]) -> Poses:
    """Return the poses of an intermediate switch; its terminals lie on the travellers as `levels` says."""
    signs = {}
    for state, pairs in states(part).items():
        across = any(levels.get(a) != levels.get(b) for a, b in pairs)
        signs[state] = INTERMEDIATE_CROSSED if across else INTERMEDIATE
    return Poses(id, signs)
