"""The wiring diagram of the 12/24 V side: feed from above, return below, one column for each upright line."""

from __future__ import annotations

from loomwright.diagrams.common import (
    cautions,
    danger_band,
    mains_notice,
    margin_entries,
    numbered,
    title_block,
)
from loomwright.drawing.frame import PAPER, Border, border_items
from loomwright.drawing.scene import Sheet
from loomwright.drawing.wires import broken_at_crossings
from loomwright.rules.check import Checked

from .columns import place_columns
from .network import build_net
from .paint import Painter
from .sides import hang
from .strip import COLUMNS, leaves
from .words import Words
from .write import write_sheet


def wiring_sheets(checked: Checked) -> tuple[Sheet, ...]:
    """Draw the wiring diagram of a plan."""
    job = checked.assessment
    net = build_net(job.wiring)
    hung = hang(net)
    made = leaves(hung, place_columns(hung))
    words = Words(job)
    sheets = []
    for leaf in made:
        painter = Painter(job, hung, leaf, words)
        painter.paint()
        write_sheet(painter)
        block = title_block(job.plan, "Wiring diagram", sheet=leaf.number + 1, sheets=len(made))
        border = Border(
            columns=COLUMNS, title_block=block, findings=margin_entries(numbered(checked), {}),
            danger_band=danger_band(checked), notice=mains_notice(job), cautions=cautions(job),
        )  # fmt: skip
        items = (*border_items(border), *broken_at_crossings(painter.canvas.items))
        sheets.append(
            Sheet(width=PAPER[0], height=PAPER[1], title=job.plan.title, description="", items=items)
        )
    return tuple(sheets)
