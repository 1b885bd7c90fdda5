"""What the vehicle's own feeds and its alternator give, where the plan does not say."""

from __future__ import annotations

from loomwright.source import Source
from loomwright.units import Band

USUAL_SOURCE = Source(
    work="common practice",
    place="a vehicle's own feed behind 15 A, an alternator of 120 A, where the plan does not say",
    checked="common practice",
)
#: What a vehicle feed gives where the plan does not say: the maker's own fuse before it. [A]
FEED_A = 15.0
#: What an alternator gives where the plan does not say. [A]
ALTERNATOR_A = 120.0
#: The maker's cable and fuse before such a feed: 2 to 6 m of 1 to 2.5 mm² with a blade fuse. [Ω]
FEED_OHM = Band(0.02, 0.15)
FEED_SOURCE = Source(
    work="common practice",
    place="a vehicle's own feed: 2 to 6 m of 1 to 2.5 mm² behind a blade fuse",
    checked="from memory",
)
