"""The acts that build the van: parts, circuits and their fields, without anyone typing the plan's text."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from loomwright.plan.changes.connect import connect
from loomwright.plan.changes.duplicate import duplicate
from loomwright.plan.changes.fields import Form, edits_of, form_of
from loomwright.plan.changes.parts import New, new_part, new_path, new_place, new_stud
from loomwright.plan.changes.rename import rename
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.model import Plan

from .changes import Act, AskedWronglyError, Done, by_of, rev_of, text_of
from .forms import NEW
from .reading import Reading
from .thing import Thing
from .work import Work

_NUMBER = re.compile(r"\d+([.,]\d+)?")
_KIND_OF = {"parts": "part", "studs": "stud", "places": "place", "wiring": "wire"}


class Built(NamedTuple):
    """What a change makes of the text: its edits, what is chosen then, and what to say."""

    edits: Sequence[Edit]
    chosen: Thing | None = None
    says: str = ""


def fields(work: Work, asked: Mapping[str, Any]) -> Done:
    """Write what was typed into the form of an entry."""
    at, typed = text_of(asked, "at"), _typed(asked)

    def build(plan: Plan, text: str) -> Built:
        return Built(edits_of(plan, text, at, with_units(form_of(plan, text, at), typed)))

    return _build(work, asked, build, f"change of {at}")


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


def add(work: Work, asked: Mapping[str, Any]) -> Done:
    """Add a part of a kind, a stud, a place or a path."""
    sort, _, kind = text_of(asked, "what").partition(".")
    if sort not in _NEW:
        raise AskedWronglyError(f"There is nothing called {sort} to add.")
    typed = _typed(asked)
    id = typed.pop("new_id", "").strip() or None

    def build(plan: Plan, text: str) -> Built:
        new = _NEW[sort](plan, kind, _data(plan, text, sort, kind, typed), id)
        return Built(
            new.edits, Thing(sort, new.id) if sort != "path" else None, f"{new.id} is in the plan now."
        )

    return _build(work, asked, build, f"adding {id or kind or sort}")


def copy(work: Work, asked: Mapping[str, Any]) -> Done:
    """Copy a part with its circuit."""
    part = text_of(asked, "part")

    def build(plan: Plan, text: str) -> Built:
        made = duplicate(plan, text, part)
        return Built(made.edits, Thing("part", made.id), made.says)

    return _build(work, asked, build, f"duplicating {part}")


def name(work: Work, asked: Mapping[str, Any]) -> Done:
    """Give an entry another name, everywhere."""
    space, old, new = text_of(asked, "space"), text_of(asked, "old"), text_of(_typed(asked), "new").strip()
    moment = work.change(
        lambda text, _: rename(text, space, old, new), f"renaming {old}", rev_of(asked), by_of(asked)
    )
    kind = _KIND_OF.get(space)
    return Done(moment, Thing(kind, new) if kind else None, f"{old} is called {new} now, everywhere.")


ACTS: dict[str, Act] = {"fields": fields, "connect": join, "add": add, "duplicate": copy, "rename": name}


def _new_stud(plan: Plan, _: str, data: dict[str, Any], id: str | None) -> New:
    return new_stud(plan, str(data.pop("place", "")), data, id)


def _new_place(plan: Plan, _: str, data: dict[str, Any], id: str | None) -> New:
    return new_place(plan, id or "place", data)


def _new_path(plan: Plan, _: str, data: dict[str, Any], id: str | None) -> New:
    return new_path(plan, id or "path", data)


_NEW: dict[str, Callable[[Plan, str, dict[str, Any], str | None], New]] = {
    "part": new_part,
    "stud": _new_stud,
    "place": _new_place,
    "path": _new_path,
}


def _data(plan: Plan, text: str, sort: str, kind: str, typed: Mapping[str, str]) -> dict[str, Any]:
    """Return the fields of a new entry, as the plan has them: lists and maps read from one line."""
    form = form_of(plan, text, f"{sort}s.{NEW}", kind or None)
    filled = {field: value for field, value in with_units(form, typed).items() if value.strip()}
    if sort == "part":
        filled["kind"] = kind
    edits = edits_of(plan, text, f"{sort}s.{NEW}", filled)
    written = edits[0].write if edits else {}
    data = dict(written) if isinstance(written, dict) else {"at": written}  # a place may be its point alone
    data.pop("kind", None)
    return data


def with_units(form: Form, typed: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed, a bare number with the unit that its field stands in."""
    units = {field.name: field.unit for field in form.fields if field.kind == "quantity"}
    return {
        name: f"{value.strip()} {units[name]}"
        if units.get(name) and _NUMBER.fullmatch(value.strip())
        else value
        for name, value in typed.items()
    }


def _typed(asked: Mapping[str, Any]) -> dict[str, str]:
    typed = asked.get("typed")
    if not isinstance(typed, Mapping) or not all(isinstance(value, str) for value in typed.values()):
        raise AskedWronglyError("typed: a map of field to text.")
    return {str(field): value for field, value in typed.items()}


def _build(work: Work, asked: Mapping[str, Any], build: Callable[[Plan, str], Built], says: str) -> Done:
    """Change the plan by the edits that `build` makes of it."""
    built = Built(())

    def change(text: str, reading: Reading) -> str:
        nonlocal built
        built = build(reading.plan, text)
        return apply_edits(text, built.edits) if built.edits else text

    moment = work.change(change, says, rev_of(asked), by_of(asked))
    return Done(moment, built.chosen, built.says)
