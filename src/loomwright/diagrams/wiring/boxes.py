"""Parts that reach over several columns: what a block is, how high it stands, how its ends are named."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.plan.model import Part

#: Kinds drawn as a contact with one end below and several above, or the other way round.
CONTACT_KINDS = ("selector", "change_over", "relay")
#: From the middle of the outer columns to the edge of a block. [mm]
EDGE = 7.2
_SHORT = {
    "battery_minus": "B−", "panel_minus": "PV−", "battery": "B+", "panel": "PV+", "second": "2",
    "out_minus": "out −", "minus": "−", "plus": "+", "in_1": "1", "in_2": "2",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Slot:
    """A terminal on the edge of a block: its name, the middle of its column, half its wire's width. [mm]"""

    terminal: str
    x: float
    half: float = 0.0


@dataclass(frozen=True, slots=True)
class Box:
    """A block with its columns: `xs` their middles, slots from the left, what is written in it.

    `volts` are those on both sides of a converter, as written beside its diagonal.
    """

    id: str
    part: Part
    xs: tuple[float, ...]
    upper: tuple[Slot, ...]
    lower: tuple[Slot, ...]
    name: str
    lines: tuple[str, ...]
    relay_box: bool = False
    volts: tuple[str, str] = ("", "")


def block_height(part: Part, *, pair: bool, relay_box: bool) -> float:
    """Return the height of a block, from edge to edge. [mm]"""
    if pair:
        return 13.0
    if part.kind == "solar_panel":
        return 12.0
    if part.kind in ("relay", "sensing_relay"):
        return 27.0 if relay_box or part.kind == "sensing_relay" else 17.4
    if part.kind in ("selector", "change_over"):
        return 17.4
    return 22.0 if part.kind == "control_panel" else 19.0


def shown(terminal: str) -> str:
    """Return the words for a terminal on the edge of a box."""
    return _SHORT.get(terminal, terminal.replace("_", " "))
