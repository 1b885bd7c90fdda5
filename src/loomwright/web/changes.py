"""The acts that change the plan: what a page asks for, turned into one change of the text."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from loomwright.errors import LoomwrightError
from loomwright.plan.edit import apply_edits, edits_from_data

from .thing import Thing
from .work import Moment, Work


class Done(NamedTuple):
    """What an act answers with: the moment after it, what is chosen then (None: as before), what to say."""

    moment: Moment
    chosen: Thing | None = None
    says: str = ""


Act = Callable[[Work, Mapping[str, Any]], Done]


class AskedWronglyError(LoomwrightError):
    """A request lacks something, or asks for an act that there is not."""


def type_text(work: Work, asked: Mapping[str, Any]) -> Done:
    """Take the text of the plan as typed."""
    return Done(work.type(text_of(asked, "text"), rev_of(asked), by_of(asked)))


def undo(work: Work, asked: Mapping[str, Any]) -> Done:
    """Take the last step back."""
    return Done(work.undo(rev_of(asked), by_of(asked)))


def redo(work: Work, asked: Mapping[str, Any]) -> Done:
    """Do the last step taken back again."""
    return Done(work.redo(rev_of(asked), by_of(asked)))


def edit(work: Work, asked: Mapping[str, Any]) -> Done:
    """Make edits by path, as a cure proposes them."""
    edits = edits_from_data(asked.get("edits"))
    says = str(asked.get("says") or "change")
    return Done(work.change(lambda text, _: apply_edits(text, edits), says, rev_of(asked), by_of(asked)))


ACTS: dict[str, Act] = {"type": type_text, "undo": undo, "redo": redo, "edit": edit}


def rev_of(asked: Mapping[str, Any]) -> int:
    """Return the revision that a page made its change on."""
    rev = asked.get("rev")
    if not isinstance(rev, int):
        raise AskedWronglyError("rev: the revision that the change was made on.")
    return rev


def by_of(asked: Mapping[str, Any]) -> str:
    """Return the name of the window that asks; empty if it gives none."""
    return str(asked.get("by", ""))


def text_of(asked: Mapping[str, Any], name: str) -> str:
    """Return a text of what was asked."""
    value = asked.get(name)
    if not isinstance(value, str):
        raise AskedWronglyError(f"{name}: a text.")
    return value
