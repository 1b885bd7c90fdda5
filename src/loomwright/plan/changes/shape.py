"""What stands at a path of a plan's data: an entry, a field of a record, an item of a list, a map's name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from loomwright.plan.changes.references import Path
from loomwright.plan.columns import By, Entries, Kind, ListOf, MapOf, Nested, Special, columns
from loomwright.plan.edit import Edit
from loomwright.plan.model import RECORDS

_RECORD_OF = {"return": Nested("return", "Return"), "fuse": Nested("fuse", "FuseEntry")}
_LEG = Nested("leg", "Leg")


@dataclass(frozen=True, slots=True)
class Step:
    """The last step of a path.

    `what` is "entry", "field", "item" or "name"; `record` and `field` are those that the step stands in.
    """

    what: str
    record: str
    field: str
    kind: Kind


def step_of(path: Path) -> Step:
    """Return what the last step of a path is."""
    kind: Kind = Nested("plan", "Plan")
    step = Step("entry", "Plan", "", kind)
    for name in path:
        step = _next(step, kind, name)
        kind = step.kind
    return step


def _next(step: Step, kind: Kind, name: str | int) -> Step:
    if isinstance(kind, Special) and kind.name in _RECORD_OF and isinstance(name, str):
        kind = _RECORD_OF[kind.name]
    match kind:
        case Nested():
            return Step("field", kind.record, str(name), columns(RECORDS[kind.record])[str(name)].kind)
        case Entries():
            return Step("entry", step.record, step.field, kind.of)
        case ListOf():
            return Step("item", step.record, step.field, kind.item)
        case MapOf() | By():
            return Step("name", step.record, step.field, kind.value)
        case Special(name="ends") if isinstance(name, str):
            return Step("name", step.record, step.field, _LEG)
        case _:  # an item of a list of ends or fuses, a label
            return Step("item" if isinstance(name, int) else "name", step.record, step.field, kind)


def value_at(data: Any, path: Path) -> Any:
    """Return what stands at a path."""
    for name in path:
        data = data[name]
    return data


def edits_between(old: Mapping[str, Any], new: Mapping[str, Any], at: str = "") -> Iterator[Edit]:
    """Yield the edits that make of old data the new: of each map only the names whose value differs."""
    for name, value in old.items():
        path = f"{at}.{name}" if at else name
        if name not in new:
            yield Edit(path, remove=True)
        elif new[name] != value:
            both = isinstance(value, dict) and isinstance(new[name], dict)
            if both and not any("." in inner for inner in (*value, *new[name])):
                yield from edits_between(value, new[name], path)
            else:
                yield Edit(path, new[name])
    yield from (Edit(f"{at}.{name}" if at else name, new[name]) for name in new if name not in old)
