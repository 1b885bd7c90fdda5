"""Everything that a plan holds, section by section: the van itself, as entries with a form each."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.errors import PlanError
from loomwright.plan.changes.fields import Form, form_of
from loomwright.plan.model import Plan

from .controls import controls
from .markup import fill
from .reading import Reading
from .thing import VAN, Thing


@dataclass(frozen=True, slots=True)
class Sort:
    """A sort of entries that can be added: its section, what one is called, what all are."""

    section: str
    one: str
    all: str


#: By the word that an addition is asked with.
SORTS = {
    "place": Sort("places", "place", "Places"),
    "path": Sort("paths", "path for cables", "Paths for cables"),
    "stud": Sort("studs", "earth stud", "Earth studs"),
    "wire": Sort("wiring", "wire with everything", "Wires"),
    "supply": Sort("supplies", "mains supply", "Mains supplies"),
    "mode": Sort("modes", "state of the van", "States of the van"),
    "season": Sort("use", "season of use", "Seasons of use"),
    "promise": Sort("promises", "promise to the customer", "Promises"),
    "question": Sort("questions", "question of the customer", "Questions of the customer"),
    "cargo": Sort("cargo", "thing carried", "Things carried"),
    "revision": Sort("revisions", "revision", "Revisions"),
    "accepted": Sort("accepted", "accepted watch", "Accepted"),
    "reading": Sort("readings", "reading", "Readings of a meter"),
}
#: What a van has one of: where it stands and what its form is called.
SINGLE = {
    "header": "Name, region, dates",
    "vehicle": "The base vehicle",
    "site": "Where it is used: climate",
    "basis": "What is counted with",
    "basis.limits": "Limits counted with",
    "basis.contacts": "Contacts counted with",
    "basis.aged": "Contacts, aged",
    "prices": "Prices",
    "labels": "Numbers printed on wires",
}
_KIND_OF = {"parts": "part", "studs": "stud", "places": "place", "wiring": "wire"}
_PARTS = Sort("parts", "part", "Parts")


def thing_of(section: str, id: str) -> Thing:
    """Return the thing that an entry is on the page."""
    kind = _KIND_OF.get(section)
    return Thing(kind, id) if kind else Thing("entry", f"{section}.{id}")


def is_there(plan: Plan, thing: Thing) -> bool:
    """Return whether an entry can be shown."""
    section, _, id = thing.id.partition(".")
    if thing == VAN or thing.id in SINGLE:
        return True
    return any(sort.section == section for sort in SORTS.values()) and id in getattr(plan, section)


def entry_slip(reading: Reading, thing: Thing, acts: str) -> str:
    """Return the slip of an entry, or of the van itself."""
    if thing == VAN:
        return _van(reading.plan)
    form = own_form(reading, thing.id)
    shown = controls(reading, form) if form is not None else None
    title = SINGLE.get(thing.id) or thing.id.partition(".")[2]
    return fill("entry.html", title=title, shown=shown, at=thing.id, acts=acts)


def own_form(reading: Reading, at: str) -> Form | None:
    """Return the form of an entry; None for one of the document that this plan builds on."""
    try:
        return form_of(reading.plan, reading.text, at)
    except PlanError:
        return None


def _van(plan: Plan) -> str:
    sections = [
        (word, sort, list(getattr(plan, sort.section)))
        for word, sort in {"part": _PARTS, **SORTS}.items()
        if sort.section != "readings" or plan.document == "readings"
    ]
    return fill("van.html", single=SINGLE, sections=sections, thing_of=thing_of)
