"""The acts that build the van: parts, circuits and their fields, without anyone typing the plan's text."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from loomwright.plan.changes.connect import connect
from loomwright.plan.changes.delete import delete
from loomwright.plan.changes.duplicate import duplicate
from loomwright.plan.changes.facts import facts_of
from loomwright.plan.changes.fields import Field, Form, edits_of, form_of
from loomwright.plan.changes.ids import check_new_id, free_id, next_key
from loomwright.plan.changes.numbers import LABELS, give_numbers, how_many
from loomwright.plan.changes.parts import New, new_part, new_path, new_place, new_stud
from loomwright.plan.changes.rename import rename
from loomwright.plan.changes.trial import check_new
from loomwright.plan.changes.unit import box_from_answers, unit_from_answers
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.read import read_plan
from loomwright.plan.tree import parse, to_data

from .changes import Act, AskedWronglyError, Done, by_of, rev_of, text_of
from .entries import SORTS, thing_of
from .forms import AT, NEW
from .reading import Reading
from .shelf import NEW_SWITCH
from .thing import Thing
from .unit_form import rows_of, unit_answers
from .work import Work

_NUMBER = re.compile(r"\d+([.,]\d+)?")


class Built(NamedTuple):
    """What a change makes of the text: its edits, what is chosen then, and what to say."""

    edits: Sequence[Edit]
    chosen: Thing | None = None
    says: str = ""


def fields(work: Work, asked: Mapping[str, Any]) -> Done:
    """Write what was typed into the form of an entry."""
    at, typed = text_of(asked, "at"), _typed(asked)

    def build(plan: Plan, text: str) -> Built:
        form = form_of(plan, text, at)
        return Built((*_parted(plan, text, at), *edits_of(plan, text, at, with_units(form, typed))))

    return _build(work, asked, build, f"change of {at}")


def join(work: Work, asked: Mapping[str, Any]) -> Done:
    """Run a wire between two ends."""
    typed = asked.get("typed", asked)
    start, end = text_of(typed, "start"), text_of(typed, "end")
    through = _names(str(typed.get("through", "")))
    back = str(typed.get("return_to", "")) or None

    def build(plan: Plan, _: str) -> Built:
        made = connect(plan, start, end, through=through, return_to=back)
        return Built(made.edits, Thing("wire", made.key), made.says)

    return _build(work, asked, build, f"connecting {start} and {end}")


def add(work: Work, asked: Mapping[str, Any]) -> Done:
    """Add a part of a kind with the wires it is to have, a stud, a place, a wire, a season ..."""
    sort, _, kind = text_of(asked, "what").partition(".")
    if sort not in SORTS and sort != "part":
        raise AskedWronglyError(f"There is nothing called {sort} to add.")
    typed, joins = _typed(asked), _joins(asked)
    id = typed.pop("new_id", "").strip() or None
    circuit = {name: typed.pop(name, "").strip() for name in ("c_feed", "c_through", "c_return")}

    def build(plan: Plan, text: str) -> Built:
        if sort != "part":
            made = _new_entry(plan, sort, _data(plan, text, SORTS[sort].section, "", typed), id)
            return Built(made.edits, thing_of(SORTS[sort].section, made.id), f"{made.id} is in the plan now.")
        data = _data(plan, text, "parts", kind, typed)
        new = new_part(plan, kind, data, id)
        wired = Wired(text, new.edits)
        if circuit["c_feed"]:
            through = circuit["c_through"]
            through = wired.switch(data) if through == NEW_SWITCH else through
            wired.join(circuit["c_feed"], new.id, through, circuit["c_return"] or None)
        for start, end, through in joins:
            wired.join(*(re.sub(rf"^{AT}(?=\.|$)", new.id, name) for name in (start, end, through)))
        says = " ".join((f"{new.id} is in the plan now.", *wired.says))
        return Built(wired.edits, Thing("part", new.id), says)

    return _build(work, asked, build, f"adding {id or kind or sort}")


class Wired:
    """A text with edits to which wires are added one after the other, each seeing those before it."""

    def __init__(self, text: str, edits: Sequence[Edit]) -> None:
        self.text, self.edits, self.says = text, list(edits), list[str]()

    def plan(self) -> Plan:
        """Return the plan as it is with the edits so far."""
        return read_plan(apply_edits(self.text, self.edits))

    def switch(self, beside: Mapping[str, Any]) -> str:
        """Add a switch in the place of a part with these fields; return its id."""
        place = {"place": beside["place"]} if "place" in beside else {}
        made = new_part(self.plan(), "switch", place, free_id(self.plan(), "parts", "S1"))
        self.edits += made.edits
        return made.id

    def join(self, start: str, end: str, through: str = "", back: str | None = None) -> None:
        """Add a wire between two ends."""
        made = connect(self.plan(), start, end, through=_names(through), return_to=back)
        self.edits += made.edits
        self.says.append(made.says)


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
    return Done(moment, thing_of(space, new), f"{old} is called {new} now, everywhere.")


def away(work: Work, asked: Mapping[str, Any]) -> Done:
    """Take an entry out, with what falls with it."""
    space, id = text_of(asked, "space"), text_of(asked, "thing")

    def build(plan: Plan, text: str) -> Built:
        says = f"{id} is out of the plan. Undo brings it back."
        return Built(delete(plan, text, space, id).edits, None, says)

    return _build(work, asked, build, f"deleting {id}")


def number(work: Work, asked: Mapping[str, Any]) -> Done:
    """Give every wire without a printed number the next one."""

    def build(plan: Plan, _: str) -> Built:
        edits = give_numbers(plan)
        given = how_many(edits)
        says = f"{given} wires have got a number." if edits else "Every wire has its number already."
        return Built(edits, None if asked.get("stay") else Thing("entry", LABELS), says)

    return _build(work, asked, build, "giving numbers to wires")


def unit(work: Work, asked: Mapping[str, Any]) -> Done:
    """Add a combined unit from the answers to its form."""
    answers, id = unit_answers(_typed(asked))

    def build(plan: Plan, _: str) -> Built:
        new = unit_from_answers(plan, answers, id)
        return Built(new.edits, Thing("part", new.id), f"{new.id} is in the plan now.")

    return _build(work, asked, build, f"adding {answers.name}")


def box(work: Work, asked: Mapping[str, Any]) -> Done:
    """Add a box of unknown insides."""
    typed = _typed(asked)
    roles = {row["name"]: row["role"] for row in rows_of(typed, "terminal", ("name", "role"))}
    name, id = typed.get("name", "").strip() or "Box", typed.get("new_id", "").strip() or None
    place, running, standby = (typed.get(field, "").strip() for field in ("place", "running", "standby"))

    def build(plan: Plan, _: str) -> Built:
        new = box_from_answers(plan, name, place, roles, running, standby, id)
        return Built(new.edits, Thing("part", new.id), f"{new.id} is in the plan now.")

    return _build(work, asked, build, f"adding {name}")


ACTS: dict[str, Act] = {
    "fields": fields,
    "connect": join,
    "add": add,
    "duplicate": copy,
    "rename": name,
    "delete": away,
    "number": number,
    "unit": unit,
    "box": box,
}


def _new_entry(plan: Plan, sort: str, data: Any, id: str | None) -> New:
    """Return a new entry that is no part."""
    section = SORTS[sort].section
    if section == "studs":
        return new_stud(plan, str(data.pop("place", "")), data, id)
    if section == "places":
        return new_place(plan, id or sort, data)
    if section == "paths":
        return new_path(plan, id or sort, data)
    if id is None:
        id = next_key(facts_of(plan), "other") if section == "wiring" else free_id(plan, section, sort)
    check_new_id(plan, section, id)
    data = data.get("says", "") if section == "questions" else data
    check_new(plan, section, id, data)
    return New(id, (Edit(f"{section}.{id}", data),))


def _data(plan: Plan, text: str, section: str, kind: str, typed: Mapping[str, str]) -> dict[str, Any]:
    """Return the fields of a new entry, as the plan has them: lists and maps read from one line."""
    at = f"{section}.{NEW}"
    form = form_of(plan, text, at, kind or None)
    filled = {field: value for field, value in with_units(form, typed).items() if value.strip()}
    if kind:
        filled["kind"] = kind
    edits = edits_of(plan, text, at, filled)
    written = edits[0].write if edits else {}
    data = dict(written) if isinstance(written, dict) else {_SHORT[section]: written}
    data.pop("kind", None)
    return data


#: The field that an entry typed as one value is short for.
_SHORT = {"places": "at", "cargo": "mass", "questions": "says"}


def _parted(plan: Plan, text: str, at: str) -> Sequence[Edit]:
    """Return the edit that gives each load of a run a map of its own, where one of them is to get fields."""
    match = _LEG.fullmatch(at)
    if match is None or match[1] not in plan.wiring:
        return ()
    typed = to_data(parse(text)).get("wiring", {}).get(match[1], {}).get("to")
    if isinstance(typed, dict):
        return ()
    return (Edit(f"wiring.{match[1]}.to", {str(end): {} for end in plan.wiring[match[1]].to}),)


_LEG = re.compile(r"wiring\.(\w+)\.to\..+")


def _names(typed: str) -> list[str]:
    return [name.strip() for name in typed.split(",") if name.strip()]


def _joins(asked: Mapping[str, Any]) -> list[tuple[str, str, str]]:
    """Return the wires that were ticked: start, end, and what they pass."""
    ticked = asked.get("joins", [])
    wires = [one.split("|") for one in ticked if isinstance(one, str)] if isinstance(ticked, list) else [[]]
    if not all(len(one) == 3 for one in wires):
        raise AskedWronglyError("joins: a list of start|end|through.")
    return [(start, end, through) for start, end, through in wires]


def with_units(form: Form, typed: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed, a bare number with the unit that its field stands in.

    Not so where a field counts in seconds: hours are meant as often.
    """
    kinds = {field.name: field for field in form.fields}
    return {name: _with_unit(kinds.get(name), value) for name, value in typed.items()}


def _with_unit(field: Field | None, typed: str) -> str:
    text = typed.strip()
    if field is None:
        return typed
    if field.kind == "point" and re.fullmatch(r"[^\[\]]+,[^\[\]]+,[^\[\]]+", text):
        return f"[{text}]"
    unit = "A" if field.kind == "fuse" else field.unit if field.kind == "quantity" else ""
    return f"{text} {unit}" if unit not in ("", "s") and _NUMBER.fullmatch(text) else typed


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
