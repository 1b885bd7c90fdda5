"""The forms on a slip: what can be changed of a thing, what can be joined to it, what can be added."""

from __future__ import annotations

from dataclasses import replace

from loomwright.errors import PlanError
from loomwright.plan.changes.candidates import candidates
from loomwright.plan.changes.fields import Form, form_of
from loomwright.plan.changes.ids import free_id
from loomwright.plan.kinds import KINDS, passages, terminals, usual_passage
from loomwright.plan.model import Plan

from .markup import fill
from .reading import Reading
from .shelf import SHELF, words_of
from .thing import Thing

#: What a wire goes through, in the order in which it is offered.
_SWITCHES = ("switch", "two_way", "intermediate", "dimmer", "relay", "sensing_relay", "master_switch",
             "low_voltage_cut", "shunt", "plug")  # fmt: skip
#: What can be added that is no part: section and words.
_ENTRIES = {
    "stud": ("studs", "earth stud"),
    "place": ("places", "place"),
    "path": ("paths", "path for cables"),
}
#: A path in which nothing stands, for the form of an entry that is not there yet.
NEW = "new_entry"


def changing(reading: Reading, thing: Thing, entry: tuple[str, ...]) -> str:
    """Return the forms that change a thing, written at `entry` of the plan, and join something to it."""
    joins = thing.kind in ("part", "stud", "terminal") and "/" not in thing.id
    return (connecting(reading.plan, thing) if joins else "") + _change_form(reading, entry)


def acts(thing: Thing, entry: tuple[str, ...]) -> str:
    """Return what can be done with a thing as a whole: another name, a copy, away with it."""
    if len(entry) < 2 or thing.kind == "finding":
        return ""
    return fill("acts.html", space=entry[0], id=entry[1], copies=entry[0] == "parts")


def _change_form(reading: Reading, entry: tuple[str, ...]) -> str:
    """Return the form of an entry; nothing for what has no entry of its own."""
    if not entry:
        return ""
    try:
        form = form_of(reading.plan, reading.text, ".".join(entry))
    except PlanError:  # inherited from the plan that this one builds on
        return ""
    words = {"wiring": "Change this wire", "parts": "Change this part", "studs": "Change this stud"}
    title = words.get(entry[0], f"Change {entry[-1]}")
    if entry[-1] == "return":
        title = "Change this return"
    return fill("change.html", form=form, title=title)


def connecting(plan: Plan, thing: Thing) -> str:
    """Return the form that runs a wire from a part, a stud or a terminal."""
    starts = [thing.id]
    if thing.kind == "part" and thing.id in plan.parts:
        starts += [f"{thing.id}.{name}" for name in terminals(plan.parts[thing.id])]
    return fill(
        "connect.html",
        thing=thing,
        starts=starts,
        candidates=candidates(plan, thing.id),
        passages=_passages(plan),
        studs=list(plan.studs),
    )


def adding(reading: Reading, what: str) -> str:
    """Return the slip of something to be added: the shelf, or the form of one kind ("part.lamp", "stud")."""
    sort, _, kind = what.partition(".")
    if sort == "part" and kind in KINDS:
        form = _without_kind(form_of(reading.plan, reading.text, f"parts.{NEW}", kind))
        id = free_id(reading.plan, "parts", kind)
        return fill("new.html", what=what, title=words_of(kind), form=form, id=id)
    if what in _ENTRIES:
        section, title = _ENTRIES[what]
        form = form_of(reading.plan, reading.text, f"{section}.{NEW}")
        return fill("new.html", what=what, title=title, form=form, id="")
    shelf = {
        heading: [(kind, words_of(kind), KINDS[kind].says) for kind in kinds]
        for heading, kinds in SHELF.items()
    }
    return fill("add.html", shelf=shelf)


def _without_kind(form: Form) -> Form:
    return replace(form, fields=tuple(field for field in form.fields if field.name != "kind"))


def _passages(plan: Plan) -> list[tuple[str, str]]:
    """Return what a wire may go through, each with its name."""
    found = []
    for kind in _SWITCHES:
        for id, part in plan.parts.items():
            if part.kind == kind and usual_passage(part) is not None:
                found.append((id, f"{id}{f', {part.name}' if part.name else ''}"))
            elif part.kind == kind and kind == "plug":
                found += [(f"{id}.{pin}", f"{id}, pin {pin}") for pin in terminals(part) if passages(part)]
    return found
