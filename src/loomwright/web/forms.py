"""The forms on a slip: what can be changed of a thing, what can be joined to it, what can be added."""

from __future__ import annotations

from dataclasses import dataclass, replace

from loomwright.errors import PlanError
from loomwright.plan.changes.candidates import Candidate, candidates
from loomwright.plan.changes.delete import delete
from loomwright.plan.changes.facts import title_of
from loomwright.plan.changes.fields import Form, form_of
from loomwright.plan.changes.ids import free_id
from loomwright.plan.changes.offers import Offer, offers, unwired
from loomwright.plan.changes.parts import new_part
from loomwright.plan.edit import apply_edits
from loomwright.plan.kinds import KINDS, is_consumer, passages, terminals, usual_passage
from loomwright.plan.model import Plan
from loomwright.plan.pieces import take_apart
from loomwright.plan.read import read_plan

from .controls import Control, controls, named
from .entries import SORTS, own_form
from .markup import fill
from .reading import Reading
from .shelf import NEW_SWITCH, PREFILLED, SHELF, SWITCHED, words_of
from .thing import Thing

#: What a wire goes through, in the order in which it is offered.
PASSED = ("switch", "two_way", "intermediate", "dimmer", "relay", "sensing_relay", "master_switch",
          "low_voltage_cut", "shunt", "plug")  # fmt: skip
#: A path in which nothing stands, for the form of an entry that is not there yet.
NEW = "new_entry"
#: Sections whose entries have a name of their own.
_NAMED = ("parts", *(sort.section for sort in SORTS.values()))
_TITLES = {"wiring": "Change this wire", "parts": "Change this part", "studs": "Change this stud"}


@dataclass(frozen=True, slots=True)
class Shown:
    """A form as it is shown: where it writes, its title, its controls, and whether it is folded away."""

    at: str
    title: str
    first: list[Control]
    more: list[Control]
    folded: bool = False


def changing(reading: Reading, thing: Thing, entry: tuple[str, ...]) -> str:
    """Return the forms that change a thing, written at `entry` of the plan, and join something to it."""
    joins = thing.kind in ("part", "stud", "terminal") and "/" not in thing.id
    forms = [form for form in _forms(reading, entry) if form is not None]
    return (connecting(reading.plan, thing) if joins else "") + fill("change.html", forms=forms)


def acts(thing: Thing, entry: tuple[str, ...]) -> str:
    """Return what can be done with a thing as a whole: another name, a copy, away with it."""
    if len(entry) < 2 or "inside" in entry or thing.kind == "finding" or entry[0] not in _NAMED:
        return ""
    return fill("acts.html", space=entry[0], id=entry[1], copies=entry[0] == "parts")


def deletion(reading: Reading, space: str, id: str) -> str:
    """Return what taking an entry out would mean, and the button that does it.

    Raises
    ------
    PlanError
        It can't be taken out.
    """
    found = delete(reading.plan, reading.text, space, id)
    return fill("deletion.html", space=space, id=id, consequences=found.consequences)


def wanted(plan: Plan, thing: Thing) -> str:
    """Return the wires that a part most likely still lacks, each made by one press."""
    found = offers(plan, thing.id) if thing.kind == "part" and thing.id in plan.parts else ()
    return fill("wanted.html", offers=found) if found else ""


def lacking(plan: Plan, thing: Thing) -> str:
    """Return a line with the next part that has no wire yet, and the wire that it most likely wants."""
    if thing.kind not in ("wire", "part", "stud"):
        return ""
    waiting = [(id, lacks) for id, lacks in unwired(plan) if Thing("part", id) != thing]
    if not waiting:
        return ""
    id, lacks = waiting[0]
    return fill("next.html", id=id, title=title_of(plan, id), offer=lacks[0], count=len(waiting))


def _forms(reading: Reading, entry: tuple[str, ...]) -> list[Shown | None]:
    """Return the form of an entry, and for a wire those of its return and its legs."""
    if not entry:
        return []
    sort = entry[-2] if "inside" in entry else entry[0]
    title = "Change this return" if entry[-1] == "return" else _TITLES.get(sort, f"Change {entry[-1]}")
    found = [_form(reading, ".".join(entry), title)]
    run = reading.plan.wiring.get(entry[1]) if entry[0] == "wiring" and len(entry) == 2 else None
    if run is None:
        return found
    at = f"wiring.{entry[1]}"
    if run.return_ is not None:
        found.append(_form(reading, f"{at}.return", "Its return", " of the return", "r"))
    if len(run.to) > 1:
        for number, end in enumerate(run.to):
            words = f"The leg to {title_of(reading.plan, end.id)}"
            found.append(_form(reading, f"{at}.to.{end}", words, f" of the leg to {end}", f"l{number}"))
    return found


def _form(reading: Reading, at: str, title: str, of: str = "", prefix: str = "f") -> Shown | None:
    form = own_form(reading, at)
    return None if form is None else Shown(at, title, *controls(reading, form, of, prefix), folded=bool(of))


# --- joining


def connecting(plan: Plan, thing: Thing) -> str:
    """Return the form that runs a wire from a part, a stud or a terminal, the likeliest one laid out."""
    id, _, terminal = thing.id.partition(".")
    starts = [thing.id]
    if id in plan.parts:
        starts = [id, *(f"{id}.{name}" for name in terminals(plan.parts[id]))]
    return fill(
        "connect.html",
        start=thing.id,
        starts=starts,
        kind=plan.parts[id].kind if id in plan.parts else "",
        offers=offers(plan, id) if id in plan.parts and not terminal else (),
        candidates=candidates(plan, thing.id),
        passages=_passages(plan),
        studs=[(stud, named(plan, stud)) for stud in plan.studs],
    )


def _passages(plan: Plan) -> list[tuple[str, str]]:
    """Return what a wire may go through, each with its name; what nothing passes through yet comes first."""
    used = take_apart(plan).by_point
    found: list[tuple[bool, str, str]] = []
    for kind in PASSED:
        for id, part in plan.parts.items():
            if part.kind == kind and usual_passage(part) is not None:
                free = not any(f"{id}.{name}" in used for name in terminals(part))
                found.append((not free, id, f"{named(plan, id)}{', not used yet' if free else ''}"))
            elif part.kind == kind and kind == "plug":
                found += [(True, f"{id}.{pin}", f"{id}, pin {pin}") for pin, _ in passages(part)]
    return [(id, words) for _, id, words in sorted(found, key=lambda one: one[0])]


# --- adding


def adding(reading: Reading, what: str) -> str:
    """Return the slip of something to be added: the shelf, or the form of one kind ("part.lamp", "stud")."""
    sort, _, kind = what.partition(".")
    if sort == "part" and kind in KINDS:
        return _new_part(reading, kind)
    if what in ("unit", "box"):
        plan, id = reading.plan, free_id(reading.plan, "parts", "U1")
        return fill(f"{what}.html", places=list(plan.places), place=_last_place(plan), id=id)
    if what in SORTS:
        form = form_of(reading.plan, reading.text, f"{SORTS[what].section}.{NEW}")
        given = {"place": _last_place(reading.plan)} if what == "stud" else {}
        shown = controls(reading, form, given=given)
        return fill("new.html", what=what, title=SORTS[what].one, shown=shown, id="", joins=None)
    shelf = {
        heading: [(kind, words_of(kind), KINDS[kind].says) for kind in kinds]
        for heading, kinds in SHELF.items()
    }
    return fill("add.html", shelf=shelf)


def _new_part(reading: Reading, kind: str) -> str:
    plan = reading.plan
    form = _without_kind(form_of(plan, reading.text, f"parts.{NEW}", kind))
    given = {"place": _last_place(plan), **PREFILLED.get(kind, {})}
    id = free_id(plan, "parts", kind)
    return fill(
        "new.html",
        what=f"part.{kind}",
        title=words_of(kind),
        shown=controls(reading, form, given=given),
        id=id,
        joins=_joins(reading, kind),
    )


@dataclass(frozen=True, slots=True)
class Joins:
    """What a new part is joined to at once: a circuit for what uses current, else one wire for each terminal.

    In the ends of its wires AT stands for the part, which has no id yet.
    """

    feeds: list[Candidate]
    feed: str
    passages: list[tuple[str, str]]
    through: str
    studs: list[tuple[str, str]]
    wires: list[Offer]


#: Stands for the new part in the ends of its wires.
AT = "@"


def _joins(reading: Reading, kind: str) -> Joins | None:
    """Return what a part of a kind could be joined to, tried out with one in the plan."""
    try:
        new = new_part(reading.plan, kind, {"place": _last_place(reading.plan), **PREFILLED.get(kind, {})})
        trial = read_plan(apply_edits(reading.text, new.edits))
    except PlanError:
        return None
    lacks = offers(trial, new.id)
    if not is_consumer(kind):
        wires = [_of_new(one, new.id) for one in lacks]
        return Joins([], "", [], "", [], wires) if wires else None
    if not lacks:
        return None
    places = _passages(reading.plan)
    free = [id for id, words in places if words.endswith("not used yet")]
    through = free[0] if free else NEW_SWITCH if kind in SWITCHED else ""
    through = "" if _is_switched(trial, lacks[0].end) else through
    studs = [(stud, named(trial, stud)) for stud in trial.studs]
    feeds = [one for one in candidates(trial, new.id) if one.end not in (*trial.studs, "body")]
    return Joins(feeds, lacks[0].end, places, through, studs, [])


def _is_switched(plan: Plan, end: str) -> bool:
    """Return whether a relay of a unit switches this way of it, and no other bar."""
    id, _, way = end.partition(".")
    unit = plan.parts[id]
    if unit.inside is None or way not in unit.ports:
        return False
    box = unit.ports[way].id
    relays = {name for name, part in unit.inside.parts.items() if part.kind == "relay"}
    feeding = [run for run in unit.inside.wiring.values() if box in (to.id for to in run.to)]
    return any(passed.part in relays for run in feeding for passed in run.through)


def _of_new(offer: Offer, id: str) -> Offer:
    start, end, through = (_at(one, id) for one in (offer.start, offer.end, offer.through))
    return Offer(start, end, offer.says, through)


def _at(end: str, id: str) -> str:
    name, dot, terminal = end.partition(".")
    return f"{AT}{dot}{terminal}" if name == id else end


def _last_place(plan: Plan) -> str:
    """Return where the last thing was put: the next one is often beside it."""
    return next((part.place for part in reversed(list(plan.parts.values())) if part.place), "")


def _without_kind(form: Form) -> Form:
    return replace(form, fields=tuple(field for field in form.fields if field.name != "kind"))
