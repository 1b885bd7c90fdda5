"""No crossing that moving one column could avoid: every move that the layout may make is tried again.

What may move is a part with all its columns, or one column; it stays among those of its kind (before a unit,
its feeds, its ways), and a cluster stays together. A line through the outline of a fuse box counts as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from unittest.mock import patch

import pytest

from loomwright import read_text
from loomwright.diagrams.wiring import order, overfull, wiring_sheets
from loomwright.diagrams.wiring.columns import Cluster
from loomwright.diagrams.wiring.crossings import Tracks
from loomwright.diagrams.wiring.sides import Hang
from loomwright.drawing.spacing_wires import score
from loomwright.rules.check import check_plan
from tests.plans import big_plan, random_plan
from tests.scenarios.lines import EXAMPLES, VANS

#: Crossings drawn on each sheet of the vans: the second output and the signal of Alderford go past a box.
DRAWN = {
    "alderford": [3, 0, 0],
    "amberquay": [0],
    "highcol": [0],
    "mossgrove": [0],
    "planeshed": [0],
    "saltpan": [0, 0],
}
RANDOM = [(1, 5), (2, 12), (3, 20), (4, 30), (5, 40), (6, 60), (7, 80), (8, 120)]
PLANS = [*VANS, *(f"{seed} {wires}" for seed, wires in RANDOM), "60 circuits"]


def text_of(name: str) -> str:
    if name in VANS:
        return (EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8")
    if name == "60 circuits":
        return big_plan(60, 200)
    seed, wires = map(int, name.split())
    return random_plan(seed, wires)


@cache
def laid_out(name: str) -> tuple[list[tuple[Hang, list[Cluster]]], list[int]]:
    """Return the order of each sheet as the layout leaves it, and the crossings that are drawn."""
    found: list[tuple[Hang, list[Cluster]]] = []
    ordered = order.ordered

    def noted(hang: Hang, clusters: Sequence[Cluster]) -> tuple[list[Cluster], Tracks]:
        blocks, tracks = ordered(hang, clusters)
        found.append((hang, blocks))
        return blocks, tracks

    with patch.object(overfull, "ordered", noted):
        sheets = wiring_sheets(check_plan(read_text(text_of(name))))
    return found, [score(sheet.items).crossings for sheet in sheets]


@pytest.mark.parametrize("name", PLANS)
def test_no_single_move_saves_a_crossing(name):
    sheets, drawn = laid_out(name)
    counted = 0
    for hang, blocks in sheets:
        search = order._Search(hang, blocks)
        counted += search.total
        for block in range(len(blocks)):
            for turned in search._turns(block):
                moves = [*search._moves_of_cluster(block), *search._moves_within(block)]
                columns = search.count.columns([moved for _, moved in moves], turned)
                for row in columns if moves else ():
                    assert search.count.exact(row) >= search.total
    assert sum(drawn) <= counted, "what is drawn crosses no more than what was counted"


@pytest.mark.parametrize("van", VANS)
def test_crossings_drawn_on_the_vans(van):
    assert laid_out(van)[1] == DRAWN[van]


def test_at_most_one_crossing_for_two_columns():
    for name in PLANS:
        for drawn in laid_out(name)[1]:
            assert drawn <= 19 / 2, name
