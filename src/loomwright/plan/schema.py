"""The JSON Schema of a plan, made from the field table.

It holds what can be said of one field alone: names, nesting, words, units. What takes two fields to judge
(terminals, ids, rings) is the reader's. Numbers and true or false may stand where a bare number or yes/no is
typed; all else is text.

Sources: JSON Schema, draft 2020-12 (core and validation).
"""

from __future__ import annotations

import re
from typing import Any

from loomwright.plan.columns import (
    LIMIT,
    By,
    Column,
    EndKind,
    Entries,
    Kind,
    ListOf,
    MapOf,
    Nested,
    Ref,
    Special,
    Typed,
    columns,
)
from loomwright.plan.kinds import KINDS, fields_of
from loomwright.plan.model import RECORDS
from loomwright.plan.spellings import UNITS

DRAFT = "https://json-schema.org/draft/2020-12/schema"
_ID = r"^[^\s.\-/]+$"  # the reader is stricter; \w knows no accents in some dialects
_NUMBER = r"[+\-−]?(\d+([.,]\d+)?|[.,]\d+)"
_FRACTION = r"(0([.,]\d+)?|[.,]\d+|1[.,]0)"
_BARE = {
    "count": ["string", "integer"],
    "number": ["string", "number"],
    "money": ["string", "number"],
    "coordinate": ["string", "number"],
    "degrees": ["string", "number"],
    "yes/no": ["string", "boolean"],
}

Schema = dict[str, Any]


def plan_schema() -> Schema:
    """Return the JSON Schema (draft 2020-12) of a plan as data."""
    return {
        "$schema": DRAFT,
        "title": "Loomwright plan",
        "description": "The electrics of one camper van.",
        **_record("Plan"),
        "$defs": {name: _record(name) for name in RECORDS if name not in ("Plan", "Labels", "Part")}
        | {"Part": _part()},
    }


def _record(name: str) -> Schema:
    table = columns(RECORDS[name])
    needed = [field for field, column in table.items() if column.needed]
    if name == "Plan":
        needed = ["loomwright"]  # a document that builds on another takes the rest from it
    if name == "Season":
        needed = []  # or like
    return _object({field: _field(column) for field, column in table.items()}, needed)


def _object(properties: Schema, needed: list[str]) -> Schema:
    schema: Schema = {"type": "object", "properties": properties, "additionalProperties": False}
    return schema | {"required": needed} if needed else schema


def _part() -> Schema:
    """Return the schema of a part: which other fields it may have goes by its kind."""
    table = columns(RECORDS["Part"])
    alike: dict[tuple[tuple[str, ...], tuple[str, ...]], list[str]] = {}
    for kind, row in KINDS.items():
        alike.setdefault((fields_of(kind), row.needed), []).append(kind)
    by_kind = [
        {
            "if": {"properties": {"kind": {"enum": kinds}}, "required": ["kind"]},
            "then": {"propertyNames": {"enum": list(names)}, "required": list(needed)},
        }
        for (names, needed), kinds in alike.items()
    ]
    properties = {name: _field(column) for name, column in table.items()}
    properties["kind"] = {"enum": list(KINDS), "description": table["kind"].says}
    either = [{"required": ["kind"]}, {"required": ["like"]}]
    # a part that is like another has the needed fields from it
    return _object(properties, []) | {
        "anyOf": either,
        "if": {"not": {"required": ["like"]}},
        "then": {"allOf": by_kind},
    }


def _field(column: Column) -> Schema:
    told = f"{column.says} ({column.kind.says}; {'needed' if column.needed else column.default})"
    return {"description": told, **_schema(column.kind)}


def _schema(kind: Kind) -> Schema:
    match kind:
        case Typed():
            return _typed(kind)
        case Ref() | EndKind():
            return {"type": "string"}
        case ListOf():
            item = _schema(kind.item)
            several = {"type": "array", "items": item}
            return {"anyOf": [several, item, {"const": "unknown"}] if kind.doubt else [several, item]}
        case MapOf():
            return {"type": "object", "additionalProperties": _schema(kind.value)}
        case By():
            value = _schema(kind.value)
            return {"anyOf": [value, {"type": "object", "additionalProperties": value, "minProperties": 1}]}
        case Nested():
            return _nested(kind)
        case Entries():
            return {
                "type": "object",
                "propertyNames": {"pattern": _ID},
                "additionalProperties": _schema(kind.of),
            }
        case Special():
            return _SPECIAL[kind.name]


def _typed(kind: Typed) -> Schema:
    if kind.words:
        return {"enum": list(kind.words)}
    if kind.unit:
        return {"type": "string", "pattern": pattern_of(kind), "examples": [kind.example]}
    bare = _BARE.get(kind.says)
    return {"type": bare or "string"} | ({} if kind.says == "text" else {"examples": [kind.example]})


def pattern_of(kind: Typed) -> str:
    """Return the regular expression that texts of a quantity match."""
    spellings = "|".join(re.escape(spelling) for spelling in UNITS[kind.unit].spellings)
    one = rf"{_NUMBER}\s*({spellings})"
    if kind.unit == "mm²":
        one = rf"({one}|\d{{1,2}}(/0)? ?AWG)"
    if kind.unit == "fraction":
        one = rf"({one}|{_FRACTION})"
    return rf"^({'|'.join(kind.also)}|({_NUMBER}\s*|{one})\s*\.\.\s*{one}|{one})$"


def _nested(kind: Nested) -> Schema:
    choices: list[Schema] = [{"$ref": f"#/$defs/{kind.record}"}]
    if kind.short:
        choices.append(_schema(columns(RECORDS[kind.record])[kind.short].kind))
    if kind.absent:
        choices.append({"const": "none"})
    table = columns(RECORDS[kind.record])
    if not any(column.needed for column in table.values()):
        choices.append({"type": "null"})  # `door:` with nothing after it is an empty map
    return choices[0] if len(choices) == 1 else {"anyOf": choices}


_COORDINATE = {"type": ["string", "number"], "examples": ["0.60", "0.4..3.2"]}
_POINT: Schema = {
    "anyOf": [
        {"type": "array", "items": _COORDINATE, "minItems": 3, "maxItems": 3},
        {"const": "unknown"},
    ]
}
_TEXT: Schema = {"type": "string"}
_ONE_FUSE: Schema = {"anyOf": [{"type": "string", "examples": ["15 A"]}, {"$ref": "#/$defs/FuseEntry"}]}
_PAIR = {"type": "string", "pattern": r"^(none|\w+-\w+)$"}
_SPECIAL: dict[str, Schema] = {
    "fuse": {"anyOf": [*_ONE_FUSE["anyOf"], {"type": "array", "items": _ONE_FUSE}]},
    "ends": {
        "anyOf": [
            _TEXT,
            {"type": "array", "items": _TEXT, "minItems": 1},
            {"type": "object", "additionalProperties": {"$ref": "#/$defs/Leg"}, "minProperties": 1},
        ]
    },
    "return": {"anyOf": [_TEXT, {"$ref": "#/$defs/Return"}]},
    "point": _POINT,
    "stop": {"anyOf": [_TEXT, _POINT["anyOf"][0]]},
    "position": {"anyOf": [_PAIR, {"type": "array", "items": _PAIR}]},
    "labels": {
        "type": "object",
        "properties": {"retired": {"type": "array", "items": {"type": ["string", "integer"]}}},
        "additionalProperties": {"type": ["string", "integer"]},
    },
    "limit by state": {
        "anyOf": [
            {"type": "string", "examples": [LIMIT.example]},
            {
                "type": "object",
                "properties": dict.fromkeys(("start", "cruise", "overrun", "tow"), _TEXT),
                "additionalProperties": False,
            },
        ]
    },
}
