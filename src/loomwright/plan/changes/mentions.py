"""Every id in the text of a plan, where it is given and where it is named, found through the field table.

Nothing is searched for: each scalar is looked at as the kind of its field says, so that a run `pump`, a part
`pump` and the word pump in a note are told apart. The tree is the one typed, `like` and short forms as they
stand. An id inside a composite carries its path, `U1/KS`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from loomwright.plan.columns import (
    PASSAGE,
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
from loomwright.plan.desk import keys_of
from loomwright.plan.model import RECORDS, Plan
from loomwright.plan.tree import List, Map, Node, Scalar

#: Names of the maps, and numbers of the list items, that lead to a scalar.
Way = tuple[str | int, ...]

_SECTIONS = {
    "place": ("places",),
    "path": ("paths",),
    "path or place": ("paths", "places"),
    "stud": ("studs",),
    "part": ("parts",),
    "season": ("use",),
    "supply": ("supplies",),
    "mode": ("modes",),
}
_FUSE_AT = re.compile(r" at (\w+)$")
#: Sections that a composite has as well.
_PATHED = ("parts", "wiring")
_ANYTHING = ("wiring", "parts", "studs", "places", "paths")


@dataclass(frozen=True, slots=True)
class Mention:
    """One id in the text.

    Attributes
    ----------
    space, id : str
        Section of what is meant, and its id with the path of its composite.
    node : Scalar
        The scalar that it stands in, a key if `key`.
    at : int
        Where it begins in the text of the scalar.
    way : tuple
        The names that lead to the scalar; of a key, its own text is the last.
    key : bool
        True if the scalar is a key.
    gives : bool
        True where the id is given to an entry, not named.
    """

    space: str
    id: str
    node: Scalar
    at: int
    way: Way
    key: bool = False
    gives: bool = False

    @property
    def name(self) -> str:
        """The id as it stands in the text."""
        return name_of(self.space, self.id)


def name_of(space: str, id: str) -> str:
    """Return an id without the path of its composite."""
    return id.rpartition("/")[2] if space in _PATHED else id


@dataclass(frozen=True, slots=True)
class _Scope:
    """What may be named: `path` is that of the composite, "" outside; `runs` are the nodes of the wiring."""

    path: str
    names: Mapping[str, frozenset[str]]
    tree: Map

    def space_of(self, id: str, *spaces: str) -> str | None:
        """Return the section that has the id, the first of these."""
        return next((space for space in spaces if id in self.names.get(space, ())), None)

    def full(self, space: str, id: str) -> str:
        """Return the id with its path; places and paths inside are those of the van."""
        return self.path + id if space in _PATHED else id

    def within(self, id: str) -> _Scope | None:
        """Return the scope inside a composite part."""
        parts = self.tree.get("parts")
        part = parts.get(id) if isinstance(parts, Map) else None
        inside = part.get("inside") if isinstance(part, Map) else None
        if not isinstance(inside, Map):
            return None
        outside = {space: self.names.get(space, frozenset()) for space in ("places", "paths")}
        return _Scope(f"{self.path}{id}/", {**_names(inside), "studs": frozenset(), **outside}, inside)


def _names(tree: Map) -> dict[str, frozenset[str]]:
    return {key.text: frozenset(keys_of(value)) for key, value in tree.entries if isinstance(value, Map)}


def mentions(tree: Map) -> list[Mention]:
    """Return every id of a plan's tree, in the order of the text.

    Parameters
    ----------
    tree : Map
        Of a text that reads without errors; what is no field of a plan is passed over.
    """
    names = {key: ids for key, ids in _names(tree).items() if key in columns(Plan)}
    found = _record("Plan", tree, (), _Scope("", names, tree))
    return sorted(found, key=lambda mention: (mention.node.start, mention.at))


def _record(record: str, node: Map, way: Way, scope: _Scope) -> Iterator[Mention]:
    table: Mapping[str, Column] = columns(RECORDS[record])
    inner = scope.within(str(way[-1])) if record == "Part" else None
    for key, child in node.entries:
        if key.text not in table:
            continue
        own = inner if inner is not None and key.text in ("inside", "ports") else scope
        if record == "FuseEntry" and key.text == "at":
            yield from _part_at(child, 0, (*way, "at"), scope)
        else:
            yield from _value(table[key.text].kind, child, (*way, key.text), own)


def _value(kind: Kind, node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    reader = _BY_KIND.get(type(kind))
    return reader(kind, node, way, scope) if reader else iter(())


def _typed(kind: Typed, node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    if kind is PASSAGE:
        yield from _end(node, way, scope)


def _ref(kind: Ref, node: Node, way: Way, scope: _Scope, key: bool = False) -> Iterator[Mention]:
    if not isinstance(node, Scalar) or node.text in kind.words:
        return
    if kind.space in ("state", "inner part"):
        yield from _end(node, way, scope, key)
    elif kind.space == "anything":
        yield from _anything(node, way, scope)
    elif space := scope.space_of(node.text, *_SECTIONS[kind.space]):
        yield Mention(space, scope.full(space, node.text), node, 0, way, key)


def _list(kind: ListOf, node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    for item, to_item in _items(node, way):
        yield from _value(kind.item, item, to_item, scope)


def _items(node: Node, way: Way) -> Iterator[tuple[Node, Way]]:
    """Yield the items of a list, or the one that stands without brackets."""
    if isinstance(node, List):
        yield from ((item, (*way, number)) for number, item in enumerate(node.items))
    else:
        yield node, way


def _map(kind: MapOf, node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    for key, child in node.entries if isinstance(node, Map) else ():
        if isinstance(kind.key, Ref):
            yield from _ref(kind.key, key, (*way, key.text), scope, key=True)
        yield from _value(kind.value, child, (*way, key.text), scope)


def _nested(kind: Nested, node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    if isinstance(node, Map):
        yield from _record(kind.record, node, way, scope)
    elif kind.short:
        yield from _value(columns(RECORDS[kind.record])[kind.short].kind, node, way, scope)


def _entries(kind: Entries, node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    section = str(way[-1])
    for key, child in node.entries if isinstance(node, Map) else ():
        to_key = (*way, key.text)
        yield Mention(section, scope.full(section, key.text), key, 0, to_key, key=True, gives=True)
        yield from _value(kind.of, child, to_key, scope)


# --- texts that hold ids


def _end(node: Node, way: Way, scope: _Scope, key: bool = False) -> Iterator[Mention]:
    """Yield the ids of `leisure.plus`, `E1`, `EB1/box.1`, `K1.30-87a`, `S0.pump`."""
    if not isinstance(node, Scalar):
        return
    yield from _part_path(node, 0, way, scope, key)


def _end_kind(kind: EndKind, node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    yield from _end(node, way, scope)


def _part_path(node: Scalar, at: int, way: Way, scope: _Scope, key: bool = False) -> Iterator[Mention]:
    """Yield the parts of a path like `U1/KS`, or a stud, from one place of a scalar on."""
    before, inner = "", scope
    for name in node.text[at:].partition(".")[0].split("/"):
        within = inner.within(before) if before else inner
        if within is None or (space := within.space_of(name, "parts", "studs")) is None:
            return
        yield Mention(space, within.full(space, name), node, at, way, key)
        before, inner, at = name, within, at + len(name) + 1


def _part_at(node: Node, at: int, way: Way, scope: _Scope) -> Iterator[Mention]:
    if isinstance(node, Scalar) and node.text[at:] not in ("from", "to", "both"):
        yield from _part_path(node, at, way, scope)


def _anything(node: Scalar, way: Way, scope: _Scope) -> Iterator[Mention]:
    """Yield the ids of a wire, part, stud, place or path; a wire goes before what has the same name."""
    first = re.split(r"[./]", node.text, maxsplit=1)[0]
    space = scope.space_of(first, *_ANYTHING)
    if node.text[len(first) :][:1] == "/" and (inner := scope.within(first)):
        yield Mention("parts", first, node, 0, way)
        yield from _inner_anything(node, len(first) + 1, way, inner)
    elif space == "wiring":
        yield from _wire(node, 0, way, scope)
    elif space in ("parts", "studs"):
        yield from _part_path(node, 0, way, scope)
    elif space is not None:
        yield Mention(space, node.text, node, 0, way)


def _inner_anything(node: Scalar, at: int, way: Way, scope: _Scope, key: bool = False) -> Iterator[Mention]:
    """Yield the ids of a wire or part inside a composite, from after its slash on."""
    first = re.split(r"[./]", node.text[at:], maxsplit=1)[0]
    if scope.space_of(first, "wiring") and node.text[at + len(first) :][:1] != "/":
        yield from _wire(node, at, way, scope, key)
    elif inner := scope.within(first):
        yield Mention("parts", scope.path + first, node, at, way, key)
        yield from _inner_anything(node, at + len(first) + 1, way, inner, key)
    else:
        yield from _part_path(node, at, way, scope, key)


def _wire(node: Scalar, at: int, way: Way, scope: _Scope, key: bool = False) -> Iterator[Mention]:
    """Yield the ids of `W4`, `W4.S1`, `W4.K1.30`, `W4.usb.return.D1`: run, load, part in series."""
    run, *rest = node.text[at:].split(".")
    yield Mention("wiring", scope.full("wiring", run), node, at, way, key)
    at += len(run) + 1
    steps = [_loads(scope, run), frozenset({"return"}), scope.names.get("parts", frozenset())]
    for name in rest:
        while steps and name not in steps[0]:
            steps.pop(0)
        if not steps:
            return  # a terminal, or one of two travellers
        steps.pop(0)
        if name != "return" and (space := scope.space_of(name, "parts", "studs")):
            yield Mention(space, scope.full(space, name), node, at, way, key)
        at += len(name) + 1


def _loads(scope: _Scope, run: str) -> frozenset[str]:
    """Return the loads that legs of a run are named by: all of `to`, if it is a list or map."""
    wiring = scope.tree.get("wiring")
    entry = wiring.get(run) if isinstance(wiring, Map) else None
    to = entry.get("to") if isinstance(entry, Map) else None
    texts = keys_of(to) if isinstance(to, Map) else [_text(one) for one, _ in _items(to, ())] if to else []
    return frozenset(text.partition(".")[0] for text in texts) if not isinstance(to, Scalar) else frozenset()


def _text(node: Node) -> str:
    return node.text if isinstance(node, Scalar) else ""


# --- fields with a reader of their own


def _ends(node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    if isinstance(node, Map):
        for key, leg in node.entries:
            yield from _end(key, (*way, key.text), scope, key=True)
            if isinstance(leg, Map):
                yield from _record("Leg", leg, (*way, key.text), scope)
        return
    for item, to_item in _items(node, way):
        yield from _end(item, to_item, scope)


def _fuse(node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    for item, to_item in _items(node, way):
        if isinstance(item, Map):
            yield from _record("FuseEntry", item, to_item, scope)
        elif isinstance(item, Scalar) and (match := _FUSE_AT.search(item.text)):
            yield from _part_at(item, match.start(1), to_item, scope)


def _return(node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    if isinstance(node, Map):
        return _record("Return", node, way, scope)
    return _end(node, way, scope)


def _stop(node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    return _ref(Ref("place", "place"), node, way, scope)


def _labels(node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    for key, _ in node.entries if isinstance(node, Map) else ():
        first = re.split(r"[./]", key.text, maxsplit=1)[0]
        to_key = (*way, key.text)
        if key.text == "retired":
            continue
        if "/" in key.text and (inner := scope.within(first)):
            yield Mention("parts", first, key, 0, to_key, key=True)
            yield from _inner_anything(key, len(first) + 1, to_key, inner, key=True)
        else:
            yield from _wire(key, 0, to_key, scope, key=True)


_SPECIAL: Mapping[str, Callable[[Node, Way, _Scope], Iterator[Mention]]] = {
    "ends": _ends,
    "fuse": _fuse,
    "return": _return,
    "stop": _stop,
    "labels": _labels,
}


def _special(kind: Special, node: Node, way: Way, scope: _Scope) -> Iterator[Mention]:
    reader = _SPECIAL.get(kind.name)
    return reader(node, way, scope) if reader else iter(())


_BY_KIND: Mapping[type, Callable[[Any, Node, Way, _Scope], Iterator[Mention]]] = {
    Typed: _typed,
    Ref: _ref,
    EndKind: _end_kind,
    ListOf: _list,
    MapOf: _map,
    Nested: _nested,
    Entries: _entries,
    Special: _special,
}

__all__ = ["Mention", "Way", "mentions", "name_of"]
