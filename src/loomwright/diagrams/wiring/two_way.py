"""Chains of two-way switches: two changeover contacts, and intermediate ones, joined by two travellers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from loomwright.plan.kinds import terminals
from loomwright.plan.pieces import Piece, Wiring

from .strands import Block


def two_way_pairs(wiring: Wiring, pieces: Sequence[Piece], wires_at: Mapping[str, int]) -> list[Block]:
    """Return chains of two-way switches that two travellers join, as blocks."""
    kinds = {id: part.kind for id, part in wiring.parts.items()}
    found: list[Block] = []
    by_pair: dict[tuple[str, str], list[Piece]] = {}
    for piece in pieces:
        a, b = wiring.part_of(piece.a), wiring.part_of(piece.b)
        if a and b and {kinds[a], kinds[b]} <= {"two_way", "intermediate"} and a != b:
            by_pair.setdefault((a, b), []).append(piece)
    doubled = {pair: both for pair, both in by_pair.items() if len(both) == 2}
    for first in [a for a, _ in doubled if kinds[a] == "two_way"]:
        chain, travellers = [first], []
        while True:
            step = next((pair for pair in doubled if pair[0] == chain[-1]), None)
            if step is None or step[1] in chain:
                break
            chain.append(step[1])
            travellers += doubled[step]
        ends = (f"{chain[0]}.com", f"{chain[-1]}.com")
        plain = all(wires_at.get(f"{id}.{t}", 0) <= 1 for id in chain for t in terminals(wiring.parts[id]))
        if kinds[chain[-1]] == "two_way" and plain and not any(chain[0] in b.members for b in found):
            counted = tuple((end, wires_at.get(end, 0)) for end in ends)
            found.append(Block("+".join(chain), counted, tuple(chain), tuple(travellers)))
    return found
