"""The form of one entry: its fields with labels, what is typed in them, and the edits of what was changed.

The fields come from the table that the reader and the manual use, so a form can ask nothing that a plan can't
hold. A list or map is typed in one line, as in the plan: `[S1, S2]`, `{to: E1, length: 0.4 m}`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from loomwright.errors import PlanError, Problem
from loomwright.plan.changes.facts import facts_of, refuse
from loomwright.plan.changes.labels import label_of, main_fields
from loomwright.plan.changes.numbers import LABELS, number_edits, numbered
from loomwright.plan.changes.options import options_of
from loomwright.plan.columns import (
    TEXT,
    By,
    EndKind,
    Entries,
    Kind,
    ListOf,
    MapOf,
    Nested,
    Ref,
    Special,
    Typed,
    column,
    columns,
)
from loomwright.plan.desk import unknown_id
from loomwright.plan.edit import Edit
from loomwright.plan.kinds import KINDS, fields_of
from loomwright.plan.model import RECORDS, Part, Plan
from loomwright.plan.tree import parse, to_data
from loomwright.plan.write import value_text

#: What `at` is for the fields at the top of a plan.
HEADER = "header"
#: The kind of a field whose map is typed entry by entry.
PAIRS = "pairs"
#: Fields at its top that nobody types into a form: the version is the program's, numbers have their own.
_NOT_ASKED = ("loomwright", LABELS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """An entry of `questions`, which is one text."""

    says: str = column(TEXT, needed=True, says="what the customer asks, in their own words")


_RECORDS: Mapping[str, type] = {**RECORDS, "Question": Question}


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form.

    Attributes
    ----------
    name, label : str
        As it is typed in a plan; as the form calls it.
    kind : str
        `text`, `choice`, `yes_no`, `number`, `quantity`, `date`, `form` (a short form such as
        `14 A for 80 ms`), `reference`, `end`, `ends`, `list`, `map`, `fuse`, `return`, `point` or `pairs`: a
        map whose entries are typed one by one, each by the name of the field and its own, `loads.fridge`.
    unit : str
        Of a quantity: A, mm², m ...
    typed : str
        As typed now, in one line; empty if it is left out.
    options : tuple of str
        What may stand there, as far as it can be listed.
    needed, main : bool
        It can't be left out; the form shows it first.
    help, left_out, example : str
        What it means; what holds when it is left out; what may be typed.
    pairs : tuple of (str, str)
        The entries of a map that are typed one by one.
    """

    name: str
    label: str
    kind: str
    unit: str
    typed: str
    options: tuple[str, ...]
    needed: bool
    main: bool
    help: str
    left_out: str = ""
    example: str = ""
    pairs: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Form:
    """The form of the entry `at`; `is_new` if there is none yet. Main fields come first."""

    at: str
    is_new: bool
    fields: tuple[Field, ...]

    def __getitem__(self, name: str) -> Field:
        return next(field for field in self.fields if field.name == name)


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where an entry stands: its record, the field that a bare value is short for, the parts in scope."""

    record: str
    short: str
    parts: Mapping[str, Part]
    inside: bool
    data: Any


def form_of(plan: Plan, text: str, at: str, kind: str | None = None) -> Form:
    """Return the form of an entry, or of a new one.

    Parameters
    ----------
    plan : Plan
        As read from `text`.
    text : str
        Its text; a form shows what is typed there, not what the program makes of it.
    at : str
        `wiring.W4`, `parts.pump`, `parts.U1.inside.parts.KS`, `wiring.W4.return`, `vehicle`, `header`, or
        `labels`, which has a field for each wire.
    kind : str, optional
        Of a new part, or of one that is to be of another kind.

    Raises
    ------
    PlanError
        A plan has no such entry.

    Examples
    --------
    >>> from loomwright.plan.read import read_plan
    >>> text = "loomwright: 1\\ntitle: First\\nregion: eu\\nplaces: {kitchen: [0.6, 0.7, 0.5]}"
    >>> form = form_of(read_plan(text), text, "places.kitchen")
    >>> form["at"].typed, form["zones"].typed, form["zones"].left_out
    ('[0.6, 0.7, 0.5]', '', 'living')
    """
    if at == LABELS:
        return Form(at, False, tuple(_number(wire, number) for wire, number in numbered(plan).items()))
    spot = _spot(plan, text, at)
    entry = _entry_data(spot)
    if spot.record == "Part":
        kind = kind or _kind_of(spot, at, entry)
    fields = tuple(_fields(plan, spot, entry, at, kind or ""))
    return Form(at, spot.data is None and at != HEADER, fields)


def edits_of(plan: Plan, text: str, at: str, typed: Mapping[str, str]) -> tuple[Edit, ...]:
    """Return the edits that make an entry say what was typed into its form; none where nothing differs.

    Parameters
    ----------
    plan : Plan
        As read from `text`.
    text : str
        Its text.
    at : str
        As for `form_of`.
    typed : mapping
        Text by field name; fields that are not named stay, an empty text takes its field out. A part that
        gets another kind loses the fields that this does not have.

    Raises
    ------
    PlanError
        A list or map is not closed, or the entry has no such field.
    """
    if at == LABELS:
        return number_edits(plan, typed)
    spot = _spot(plan, text, at)
    entry, table = _entry_data(spot), columns(_RECORDS[spot.record])
    changes: dict[str, Any] = {}
    for name, value in typed.items():
        field, _, key = name.partition(".")
        if key and field in table and kind_word(table[field].kind) == PAIRS:
            changes[field] = _with_pair(changes.get(field, entry.get(field)), key, _in_one_line(value))
            continue
        if name not in table:
            refuse(f"{at}.{name}", unknown_id(name, "field", table))
        if _in_one_line(value) != _typed_text(entry.get(name)):
            changes[name] = _value(table[name].kind, value, f"{at}.{name}")
    if spot.record == "Part" and isinstance(changes.get("kind"), str) and changes["kind"] in KINDS:
        kept = fields_of(changes["kind"])
        changes |= {name: None for name in entry if name not in kept and name not in changes}
    return _edits(spot, entry, at, changes)


def _with_pair(pairs: Any, key: str, value: str) -> dict[str, Any] | None:
    """Return a map with an entry typed anew, or taken out by an empty text; None if none is left."""
    found = {**(pairs if isinstance(pairs, dict) else {}), key: value}
    return {name: one for name, one in found.items() if one != ""} or None


def _edits(spot: _Spot, entry: Mapping[str, Any], at: str, changes: Mapping[str, Any]) -> tuple[Edit, ...]:
    if not changes:
        return ()
    if at == HEADER or (isinstance(spot.data, dict) and spot.data):
        path = "" if at == HEADER else f"{at}."
        gone = [
            Edit(f"{path}{name}", remove=True) for name in changes if changes[name] is None and name in entry
        ]
        return (
            *(Edit(f"{path}{name}", value) for name, value in changes.items() if value is not None),
            *gone,
        )
    whole = {name: value for name, value in {**entry, **changes}.items() if value is not None}
    if spot.short and whole.keys() == {spot.short}:
        return (Edit(at, whole[spot.short]),)
    return (Edit(at, whole),)


# --- where


def _spot(plan: Plan, text: str, at: str) -> _Spot:
    """Return what stands at a path, and as which record."""
    data = _data_of(text)
    if at == HEADER:
        return _Spot("Plan", "", plan.parts, False, data)
    record, short, parts, inside, part = "Plan", "", plan.parts, False, None
    names = at.split(".")
    while names:
        name = names.pop(0)
        table = columns(RECORDS[record])
        if name not in table:
            refuse(at, unknown_id(name, "section" if record == "Plan" else "field", table))
        data = data.get(name) if isinstance(data, dict) else None
        kind = table[name].kind
        if (
            isinstance(kind, Entries | Special)
            and names
            and (isinstance(kind, Entries) or kind.name == "ends")
        ):
            id = ".".join(names) if isinstance(kind, Special) else names.pop(0)
            names = [] if isinstance(kind, Special) else names
            data = data.get(id) if isinstance(data, dict) else None
            kind = kind.of if isinstance(kind, Entries) else Nested("leg", "Leg")
            kind = Nested("question", "Question", "says") if isinstance(kind, Typed) else kind
            part = parts.get(id) if isinstance(kind, Nested) and kind.record == "Part" else None
        elif isinstance(kind, Special) and kind.name == "return":
            kind = Nested("return", "Return", "to")
        if not isinstance(kind, Nested):
            refuse(at, f"{name} is one field and has no form of its own.")
        if kind.record == "Inside" and part is not None and part.inside is not None:
            parts, inside = part.inside.parts, True
        record, short = kind.record, kind.short
    return _Spot(record, short, parts, inside, data)


@lru_cache(maxsize=4)
def _data_of(text: str) -> Any:
    """Return the data of a text; a page asks for form after form of the same one. It is never changed."""
    return to_data(parse(text))


def _entry_data(spot: _Spot) -> dict[str, Any]:
    """Return the fields that are typed; a bare value stands for one of them."""
    if isinstance(spot.data, dict):
        return spot.data
    return {} if spot.data is None else {spot.short: spot.data}


def _kind_of(spot: _Spot, at: str, entry: Mapping[str, Any]) -> str:
    """Return the kind of a part; of one that is like another that of the other."""
    if isinstance(entry.get("kind"), str):
        return str(entry["kind"])
    part = spot.parts.get(at.rpartition(".")[2])
    return part.kind if part is not None else ""


# --- the fields


def _fields(plan: Plan, spot: _Spot, entry: Mapping[str, Any], at: str, kind: str) -> Iterator[Field]:
    table = columns(_RECORDS[spot.record])
    names = list(fields_of(kind)) if kind in KINDS else list(table)
    if spot.record == "Part" and kind not in KINDS:
        names = ["kind", "like", "name", "place"]
    if spot.record == "Plan":
        own = [name for name in table if not isinstance(table[name].kind, Entries | Nested)]
        names = [name for name in own if name not in _NOT_ASKED]
    main = main_fields(spot.record, kind, mains=spot.record == "Run" and _is_mains(plan, at))
    needed = KINDS[kind].needed if kind in KINDS else ()
    for name in sorted(names, key=lambda name: main.index(name) if name in main else len(main)):
        asked = table[name]
        yield Field(
            name,
            label_of(spot.record, name),
            kind_word(asked.kind),
            _unit(asked.kind),
            kind if name == "kind" and not entry else _typed_text(entry.get(name)),
            options_of(asked.kind, plan, spot.parts, spot.inside),
            asked.needed or name in needed or (name == "kind" and "like" not in entry),
            name in main,
            _help(KINDS[kind].says if name == "kind" and kind in KINDS else asked.says),
            "" if asked.needed or name in needed else asked.default,
            _example(asked.kind),
            _pairs(asked.kind, entry.get(name)),
        )


def _pairs(kind: Kind, value: Any) -> tuple[tuple[str, str], ...]:
    """Return the entries of a map that are typed one by one."""
    if kind_word(kind) != PAIRS or not isinstance(value, dict):
        return ()
    return tuple((name, _typed_text(one)) for name, one in value.items())


def _number(wire: str, number: int | None) -> Field:
    says = "Printed on this wire; given once, and to no other."
    return Field(wire, wire, "number", "", str(number or ""), (), False, True, says, "none", "104")


def _is_mains(plan: Plan, at: str) -> bool:
    key = at.partition(".")[2]
    return key in plan.wiring and facts_of(plan).wiring.runs[key].mains


def kind_word(kind: Kind) -> str:
    """Return the sort of input that a field wants; see `Field`."""
    match kind:
        case Typed(words=words) if words:
            return "choice"
        case Typed(unit=unit) if unit:
            return "quantity"
        case Typed():
            return _TYPED.get(kind.says, "form")
        case Ref():
            return "reference"
        case EndKind():
            return "end"
        case ListOf():
            return "list"
        case MapOf(value=Typed(says="use")):
            return PAIRS
        case MapOf() | Nested() | Entries():
            return "map"
        case By():
            return "quantity" if kind.value.unit else "form"
        case Special():
            return _SPECIAL.get(kind.name, "map")


_TYPED = {"text": "text", "kind": "choice", "yes/no": "yes_no", "date": "date"}
_TYPED |= dict.fromkeys(("count", "number", "money", "coordinate", "degrees"), "number")
_SPECIAL = {"fuse": "fuse", "ends": "ends", "return": "return", "point": "point", "limit by state": "form"}


def _unit(kind: Kind) -> str:
    unit = kind.unit if isinstance(kind, Typed) else kind.value.unit if isinstance(kind, By) else ""
    return "%" if unit == "fraction" else unit


def _help(says: str) -> str:
    says = says.replace("`", '"')
    return f"{says[:1].upper()}{says[1:]}{'' if says.endswith('.') else '.'}"


def _example(kind: Kind) -> str:
    match kind:
        case Typed():
            return "" if kind.says == "text" else kind.example
        case By():
            return kind.value.example
        case ListOf(item=Typed() as item):
            return f"[{item.example}]"
        case MapOf(value=Typed(says="use") as value):
            return value.example
        case Special():
            return _EXAMPLES.get(kind.name, "")
    return ""


_EXAMPLES = {
    "fuse": "15 A",
    "ends": "pump or [pump, lamps]",
    "return": "E1, wire or {to: E1, length: 0.4 m}",
    "point": "[0.60, -0.45, 0.12]",
    "limit by state": "14.4 V",
}

# --- what is typed


def _typed_text(value: Any) -> str:
    """Return a value as it is typed in one line; a text as it reads, without quotes."""
    return _in_one_line(value) if isinstance(value, str) else value_text(value, in_brackets=True)


def _in_one_line(text: str) -> str:
    return " ".join(text.split())


def _value(kind: Kind, text: str, at: str) -> Any:
    """Return what was typed as data: None if nothing was, a list or map where the field takes one."""
    text = _in_one_line(text)
    if not text:
        return None
    if isinstance(kind, Typed | Ref | EndKind):
        return text
    if text[0] in "[{":
        return _bracketed(text, at)
    takes_list = isinstance(kind, ListOf) or (isinstance(kind, Special) and kind.name in ("ends", "fuse"))
    if takes_list and re.search(r",\s", text):
        return _bracketed(f"[{text}]", at)
    return text


def _bracketed(text: str, at: str) -> Any:
    """Return a list or map typed in brackets."""
    try:
        tree = parse(f"value: {text}")
    except PlanError as wrong:
        raise PlanError(Problem(1, 1, at, problem.says) for problem in wrong.problems) from None
    if len(tree.entries) != 1 or isinstance(to_data(tree)["value"], str | None):
        refuse(at, f'"{text}" is no list or map. Write it like [S1, S2] or {{to: E1, length: 0.4 m}}.')
    return to_data(tree)["value"]
