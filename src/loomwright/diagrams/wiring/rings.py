"""Finds feeds that run round in a ring: one line of each ring has to be drawn the other way up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from .strands import End, Strand


def ring_closers(strands: Sequence[Strand], above: Mapping[str, bool], order: Sequence[str]) -> list[int]:
    """Return the strands that lead back up to something that feeds them, by their places in the sequence.

    With all of them turned no ring is left: what remains runs down from the feeds that come first in `order`.
    """
    down: defaultdict[str, list[tuple[int, str]]] = defaultdict(list)
    for place, strand in enumerate(strands):
        if _feeds(strand.a, above) and _feeds(strand.b, above):
            down[_node(strand.a)].append((place, _node(strand.b)))
    found: list[int] = []
    done: set[str] = set()
    for start in (*order, *down):
        if start in done:
            continue
        path, waiting = [start], [iter(down.get(start, ()))]
        while path:
            step = next(waiting[-1], None)
            if step is None:
                done.add(path.pop())
                waiting.pop()
            elif step[1] in path:
                found.append(step[0])
            elif step[1] not in done:
                path.append(step[1])
                waiting.append(iter(down.get(step[1], ())))
    return found


def _feeds(end: End, above: Mapping[str, bool]) -> bool:
    return end.kind == "block" or (end.kind == "bar" and above[end.id])


def _node(end: End) -> str:
    return end.id if end.kind == "bar" else f"{end.id}|"
