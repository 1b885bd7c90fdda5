"""What a bar of the feed side is fed through: "after master switch S1", or when it is live."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from loomwright.plan.model import Part

from .sides import Hang
from .strands import End, PartStep, Strand

#: What may part a bar from its battery -> its words.
_PARTING = {
    "master_switch": "master switch", "low_voltage_cut": "cut-off", "relay": "relay", "switch": "switch",
    "selector": "selector", "change_over": "selector", "sensing_relay": "relay", "two_way": "switch",
    "b2b": "charger", "converter": "converter",
}  # fmt: skip


def fed_through(hang: Hang, parts: Mapping[str, Part], live: Callable[[str], str]) -> dict[str, str]:
    """Return for each bar of the feed side what it is fed through at the nearest, "" for nothing.

    Parameters
    ----------
    hang : Hang
        How everything hangs, feeds before what they feed.
    parts : mapping
        All parts of the plan by their full id.
    live : callable
        Rail -> when it is live, in words; that holds for all that it feeds through nothing.
    """
    found: dict[str, str] = {}
    for bar in hang.order:
        if hang.bars[bar] == "rail" and bar not in hang.parent:
            found[bar] = live(bar)
            continue
        found[bar] = _nearest(bar, hang, parts) or found.get(hang.parent.get(bar, ""), "")
    return found


def _nearest(bar: str, hang: Hang, parts: Mapping[str, Part]) -> str:
    """Return what lies between a bar and the bar or the box that feeds it."""
    feeding = [s for s in hang.strands if s.b == End("bar", bar) and _feeds(s, bar, hang)]
    words: list[str] = []
    for strand in feeding[:1]:
        ids = [strand.a.id] if strand.a.kind == "block" else []
        ids += [step.part for step in strand.steps if isinstance(step, PartStep)]
        for id in ids:
            word = _PARTING.get(parts[id].kind, "") if id in parts else ""
            if id == strand.a.id and word == "relay":
                word = "selector"  # a change-over contact chooses between two feeds
            if word:
                name = id.rpartition("/")[2]
                words.append(word if word.startswith(name) else f"{word} {name}")
    return f"after {' and '.join(words)}" if words else ""


def _feeds(strand: Strand, bar: str, hang: Hang) -> bool:
    """True for a strand that brings a bar its feed from above."""
    if strand.a.kind == "block":
        return True
    return strand.a.id == hang.parent.get(bar)
