"""What happens to a van in a short, and where it has no fuse: worked out when a rule or a page asks."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from .breaking import Breaks, breaks_of
from .inputs import Corner
from .shorts import Shorts, largest_shorts, smallest_shorts
from .sizes import Chosen
from .topology import Topology
from .unfused import UnfusedEnd, unfused_ends


class Faults:
    """The faults of one van with one choice of sizes, at one end of what is unknown.

    At the bad end the largest shorts are as large, and the smallest as small, as the unknown figures allow.
    """

    def __init__(
        self, topology: Topology, chosen: Chosen, corner: Corner, length_m: Mapping[str, float]
    ) -> None:
        """`length_m`: of each piece of wire. [m]"""
        self._of, self._length_m = (topology, chosen, corner), length_m

    @cached_property
    def largest(self) -> Shorts:
        """The largest current of a short at each end."""
        return largest_shorts(*self._of)

    @cached_property
    def smallest(self) -> Shorts:
        """The smallest."""
        return smallest_shorts(*self._of)

    @cached_property
    def breaking(self) -> tuple[Breaks, ...]:
        """What each fuse may have to break, and what it can."""
        return breaks_of(*self._of[:2], self.largest)

    @cached_property
    def unfused(self) -> tuple[UnfusedEnd, ...]:
        """Every end without a fuse that a source reaches."""
        return unfused_ends(*self._of[:2], self._length_m)
