"""The acts that build the van: parts, circuits and their fields, without anyone typing the plan's text."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from loomwright.plan.changes.connect import connect
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.model import Plan

from .changes import Act, Done, by_of, rev_of, text_of
from .reading import Reading
from .thing import Thing
from .work import Work


class Built(NamedTuple):
    """What a change makes of the text: its edits, what is chosen then, and what to say."""

    edits: Sequence[Edit]
    chosen: Thing | None = None
    says: str = ""


def join(work: Work, asked: Mapping[str, Any]) -> Done:
    """Run a wire between two ends."""
    typed = asked.get("typed", asked)
    start, end = text_of(typed, "start"), text_of(typed, "end")
    through = [name.strip() for name in str(typed.get("through", "")).split(",") if name.strip()]
    back = str(typed.get("return_to", "")) or None

    def build(plan: Plan, _: str) -> Built:
        made = connect(plan, start, end, through=through, return_to=back)
        return Built(made.edits, Thing("wire", made.key), made.says)

    return _build(work, asked, build, f"connecting {start} and {end}")


def _build(work: Work, asked: Mapping[str, Any], build: Callable[[Plan, str], Built], says: str) -> Done:
    """Change the plan by the edits that `build` makes of it."""
    built = Built(())

    def change(text: str, reading: Reading) -> str:
        nonlocal built
        built = build(reading.plan, text)
        return apply_edits(text, built.edits) if built.edits else text

    moment = work.change(change, says, rev_of(asked), by_of(asked))
    return Done(moment, built.chosen, built.says)


ACTS: dict[str, Act] = {"connect": join}
