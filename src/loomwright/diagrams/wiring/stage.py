"""Rows of a sheet, what has to be known to give everything its height, and the heights given."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from .crossings import Tracks
from .spread import Placed
from .strands import PartStep

#: Rows of a sheet. [mm from its upper edge]
RAIL_TOP, RAIL_PITCH = 27.0, 10.0
BOX_BAR, BLOCK_ROW, LOAD_FOOT, STUD_BAR, BODY_RAIL = 67.0, 103.0, 167.0, 199.5, 206.5
#: Where a control panel stands that all hangs from. [mm]
PANEL_TOP = 36.0
#: Where wires run across to their unit: under the fuse boxes. [mm]
ACROSS = 99.0
#: Where a bar that comes from the sheet before is drawn. [mm]
COMES_IN = 37.0


@dataclass(slots=True)
class Heights:
    """Heights of bars and blocks (upper edge), and of what stands in the columns.

    `clear` says that no bar runs through a thing in another line, `fits` also that there is room for all.
    """

    bars: dict[str, float]
    blocks: dict[str, float]
    placed: list[tuple[Placed, Placed]]  # each strand, and where it stands with these heights
    edges: dict[tuple[str, bool], float] = field(default_factory=dict)
    clear: bool = True
    fits: bool = True

    def laid(self) -> Heights:
        """Set all strands to where they stand with these heights; return the heights."""
        for strand, now in self.placed:
            strand.top, strand.bottom, strand.puts = now.top, now.bottom, now.puts
        return self


@dataclass(slots=True)
class Stage:
    """What stands on one sheet: everything that `levels` has to know about it.

    `spans` gives the columns from and to which each bar is drawn; `tracks` has the bars from the highest to
    the lowest, where nothing else decides; `block_height` and `part_height` ask the
    signs; `rail_kind` tells rails (with their step from the top) from other feed bars.
    """

    strands: Sequence[Placed]
    spans: Mapping[str, tuple[float, float]]
    above: Mapping[str, bool]
    kinds: Mapping[str, str]
    tracks: Tracks
    blocks: Mapping[str, Sequence[int]]
    comes_in: frozenset[str]
    rail_step: Mapping[str, int]
    scatter: frozenset[str]
    block_height: Callable[[str], float]
    part_height: Callable[[PartStep], float]
