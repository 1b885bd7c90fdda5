"""Every id that stands in a plan's text, with what it names: found through the field table, not by search.

A reference is a stretch of one scalar: of `P1.3` the `P1`, of `W4.S1.return` the `W4` and the `S1`, of
`U1/KS` both. Ids of parts and studs are one group, those of places and paths another, as in the plan itself;
inside a composite part `scope` is its path, `U1/`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from loomwright.plan.columns import PASSAGE as PASSAGE_KIND
from loomwright.plan.columns import (
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
    columns,
)
from loomwright.plan.model import RECORDS, Plan
from loomwright.plan.tree import List, Map, Node, Scalar, is_empty

#: Sections by the group of their ids, named after the first section of each.
GROUPS = {
    **{"parts": "parts", "studs": "parts", "places": "places", "paths": "places", "wiring": "wiring"},
    **{"supplies": "supplies", "modes": "modes", "use": "use"},
}
_GROUP_OF_REF = {
    **{"place": "places", "path": "places", "path or place": "places", "stud": "parts", "part": "parts"},
    **{"season": "use", "supply": "supplies", "mode": "modes"},
}
_RECORD_GROUPS = {"Part": "parts", "Stud": "parts", "Place": "places", "Path": "places", "Run": "wiring"}
_RECORD_GROUPS |= {"Supply": "supplies", "Mode": "modes", "Season": "use"}
#: Words that stand in place of an id.
_WORDS = frozenset(("body", "wire", "none", "any", "unknown", "auto", "from", "to", "both", "all"))
_FUSE_AT = re.compile(r" at (\S+)$")
_RETURN = Nested("return", "Return")
_LEG = Nested("leg", "Leg")
_FUSE = Nested("fuse", "FuseEntry")

#: Where something stands in the data: names and, in lists, numbers.
Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Reference:
    """An id, and where it stands.

    Attributes
    ----------
    group, scope, id : str
        What it names.
    at : tuple
        The path of the value; for a name of a map the path of its entry.
    node : Scalar
        The text it stands in, from `start` to before `end`.
    key, defines : bool
        The text is the name of an entry; it is the entry that has this id.
    """

    group: str
    scope: str
    id: str
    at: Path
    node: Scalar
    start: int
    end: int
    key: bool = False
    defines: bool = False


def references(tree: Map) -> Iterator[Reference]:
    """Yield every reference of a plan's tree, in the order of the text within each section."""
    walker = _Walker(tree)
    for key, value in tree.entries:
        column = columns(Plan).get(key.text)
        if key.text == "removed":
            yield from walker.removed(value, ("removed",))
        elif column is not None:
            yield from walker.walk(column.kind, value, (key.text,), "")


def references_of_entry(section: str, id: str, node: Node, tree: Map) -> Iterator[Reference]:
    """Yield the references within one entry, as it would stand in a plan's tree."""
    kind = columns(Plan)[section].kind
    assert isinstance(kind, Entries), "only what has entries has references of its own"
    yield from _Walker(tree).walk(kind.of, node, (section, id), "")


def renamed(node: Node, texts: Mapping[int, str]) -> Any:
    """Return a tree as data, with other texts for the scalars that `texts` has by their `id`."""
    if isinstance(node, Scalar):
        return texts.get(id(node), None if is_empty(node) else node.text)
    if isinstance(node, List):
        return [renamed(item, texts) for item in node.items]
    return {texts.get(id(key), key.text): renamed(value, texts) for key, value in node.entries}


def new_texts(found: Iterable[Reference], new: Callable[[Reference], str | None]) -> dict[int, str]:
    """Return the new text of each scalar, by its `id`, in which a reference gets another id.

    Parameters
    ----------
    found : iterable of Reference
        As `references` gives them.
    new : callable
        Gives the new id of a reference, None for one that stays.
    """
    cuts: dict[int, tuple[Scalar, list[tuple[int, int, str]]]] = {}
    for one in found:
        if (word := new(one)) is not None:
            cuts.setdefault(id(one.node), (one.node, []))[1].append((one.start, one.end, word))
    texts = {}
    for number, (node, stretches) in cuts.items():
        text = node.text
        for start, end, word in sorted(set(stretches), reverse=True):
            text = text[:start] + word + text[end:]
        texts[number] = text
    return texts


class _Walker:
    """Goes through a tree by the kinds of its fields."""

    def __init__(self, tree: Map) -> None:
        self._tree = tree
        self._by_kind: dict[type, Callable[[Any, Node, Path, str], Iterator[Reference]]] = {
            Typed: self._typed,
            Ref: self._ref,
            EndKind: self._end,
            ListOf: self._list,
            MapOf: self._map,
            By: self._nothing,
            Nested: self._nested,
            Entries: self._entries,
            Special: self._special,
        }
        self._specials = {
            "ends": self._ends,
            "return": self._return,
            "fuse": self._fuse,
            "stop": self._stop,
            "labels": self._labels,
        }

    def walk(self, kind: Kind, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        """Yield the references in a value of a kind."""
        return self._by_kind[type(kind)](kind, node, at, scope)

    def removed(self, node: Node, at: Path) -> Iterator[Reference]:
        """Yield the entries that a variant takes away, `wiring.L5` or `parts.U1.inside.parts.KS`."""
        for number, item in enumerate(node.items) if isinstance(node, List) else [(0, node)]:
            if not isinstance(item, Scalar):
                continue
            names, offset, scope = item.text.split("."), 0, ""
            for first, second in pairwise(names):
                offset += len(first) + 1
                if first in GROUPS:
                    yield _part_of(GROUPS[first], scope, item, offset, second, (*at, number))
                    scope += f"{second}/" if first == "parts" else ""

    def _nothing(self, kind: By, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        return iter(())

    def _typed(self, kind: Typed, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if kind is PASSAGE_KIND and isinstance(node, Scalar):
            yield from _first_id("parts", scope, node, at)

    def _ref(self, kind: Ref, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if isinstance(node, Scalar) and node.text not in kind.words:
            yield from self._named(kind, node, at, scope)

    def _named(self, kind: Ref, node: Scalar, at: Path, scope: str, key: bool = False) -> Iterator[Reference]:
        group = _GROUP_OF_REF.get(kind.space)
        if kind.space in ("inner part", "state"):
            yield from _path_ids(node, at, scope, key)
        elif kind.space == "anything":
            yield from self._anything(node, at)
        elif group is not None and node.text not in _WORDS:
            inner = scope if group == "parts" else ""
            yield Reference(group, inner, node.text, at, node, 0, len(node.text), key)

    def _end(self, kind: EndKind, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if isinstance(node, Scalar):
            yield from _path_ids(node, at, scope, False)

    def _list(self, kind: ListOf, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if isinstance(node, List):
            for number, item in enumerate(node.items):
                yield from self.walk(kind.item, item, (*at, number), scope)
        elif isinstance(node, Scalar) and node.text not in ("unknown", "none"):
            yield from self.walk(kind.item, node, at, scope)

    def _map(self, kind: MapOf, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        for key, child in node.entries if isinstance(node, Map) else ():
            where = (*at, key.text)
            if isinstance(kind.key, Ref):
                yield from self._named(kind.key, key, where, scope, key=True)
            yield from self.walk(kind.value, child, where, scope)

    def _nested(self, kind: Nested, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        table = columns(RECORDS[kind.record])
        if isinstance(node, Map):
            inner = scope
            if kind.record == "Part" and node.get("inside") is not None:
                inner = f"{scope}{at[-1]}/"
            for key, child in node.entries:
                where = (*at, key.text)
                if kind.record == "FuseEntry" and key.text == "at" and isinstance(child, Scalar):
                    yield from _first_id("parts", scope, child, where)
                elif key.text in table:
                    own = inner if key.text in ("ports", "inside") else scope
                    yield from self.walk(table[key.text].kind, child, where, own)
        elif kind.short:
            yield from self.walk(table[kind.short].kind, node, at, scope)

    def _entries(self, kind: Entries, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        record = kind.of.record if isinstance(kind.of, Nested) else ""
        for key, child in node.entries if isinstance(node, Map) else ():
            where = (*at, key.text)
            if record in _RECORD_GROUPS:
                group = _RECORD_GROUPS[record]
                yield Reference(group, scope, key.text, where, key, 0, len(key.text), True, True)
            yield from self.walk(kind.of, child, where, scope)

    def _special(self, kind: Special, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if kind.name in self._specials:
            yield from self._specials[kind.name](node, at, scope)

    def _ends(self, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if isinstance(node, Scalar):
            yield from _path_ids(node, at, scope, False)
        elif isinstance(node, List):
            for number, item in enumerate(node.items):
                if isinstance(item, Scalar):
                    yield from _path_ids(item, (*at, number), scope, False)
        else:
            for key, leg in node.entries:
                yield from _path_ids(key, (*at, key.text), scope, True)
                yield from self._nested(_LEG, leg, (*at, key.text), scope)

    def _return(self, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if isinstance(node, Map):
            yield from self._nested(_RETURN, node, at, scope)
        elif isinstance(node, Scalar):
            yield from _path_ids(node, at, scope, False)

    def _fuse(self, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if isinstance(node, Map):
            yield from self._nested(_FUSE, node, at, scope)
        elif isinstance(node, List):
            for number, item in enumerate(node.items):
                yield from self._fuse(item, (*at, number), scope)
        elif (found := _FUSE_AT.search(node.text)) and found[1] not in _WORDS:
            yield _part_of("parts", scope, node, found.start(1), found[1], at)

    def _stop(self, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        if isinstance(node, Scalar):
            yield _part_of("places", "", node, 0, node.text, at)

    def _labels(self, node: Node, at: Path, scope: str) -> Iterator[Reference]:
        for key, _ in node.entries if isinstance(node, Map) else ():
            if key.text != "retired":
                yield from self._wire(key, (*at, key.text), key=True)

    # --- wire ids

    def _anything(self, node: Scalar, at: Path) -> Iterator[Reference]:
        """Yield what an id names; one that fits a run and a part is the run's, a part before a supply."""
        first = re.split(r"[./]", node.text, maxsplit=1)[0]
        if first in self._names("wiring") or ("/" in node.text and first in self._names("parts")):
            yield from self._wire(node, at, key=False)
        elif first in self._names("places") or first in self._names("paths"):
            yield _part_of("places", "", node, 0, first, at)
        elif first in self._names("supplies") and first not in self._names("parts"):
            yield _part_of("supplies", "", node, 0, first, at)
        else:
            yield from _path_ids(node, at, "", False)

    def _names(self, section: str) -> Mapping[str, Node]:
        node = self._tree.get(section)
        return {key.text: value for key, value in node.entries} if isinstance(node, Map) else {}

    def _wire(self, node: Scalar, at: Path, *, key: bool) -> Iterator[Reference]:
        """Yield the run of a wire id, the load of a leg and the part that a piece arrives at."""
        path, _, rest = node.text.partition(".")
        *units, run = path.split("/")
        scope, offset = "", 0
        for unit in units:
            yield _part_of("parts", scope, node, offset, unit, at, key)
            scope, offset = f"{scope}{unit}/", offset + len(unit) + 1
        if units and not rest and run not in self._inner_runs(units):
            yield _part_of("parts", scope, node, offset, run, at, key)  # a part inside, not a wire
            return
        yield _part_of("wiring", scope, node, offset, run, at, key)
        offset += len(run) + 1
        words = rest.split(".") if rest else []
        parts_left = 2 if words and words[0] in self._loads(scope, units, run) else 1
        for word in words:
            if word != "return" and parts_left:
                yield _part_of("parts", scope, node, offset, word, at, key)
                parts_left -= 1
            offset += len(word) + 1

    def _inner(self, units: list[str]) -> Map | None:
        """Return the map `inside` of a composite by its path."""
        node: Node | None = self._tree
        for unit in units:
            for name in ("parts", unit, "inside"):
                node = node.get(name) if isinstance(node, Map) else None
        return node if isinstance(node, Map) else None

    def _inner_runs(self, units: list[str]) -> tuple[str, ...]:
        inside = self._inner(units)
        wiring = inside.get("wiring") if inside is not None else None
        return tuple(key.text for key, _ in wiring.entries) if isinstance(wiring, Map) else ()

    def _loads(self, scope: str, units: list[str], run: str) -> tuple[str, ...]:
        """Return the loads that a run has legs to."""
        holder = self._inner(units) if scope else self._tree
        wiring = holder.get("wiring") if holder is not None else None
        entry = wiring.get(run) if isinstance(wiring, Map) else None
        to = entry.get("to") if isinstance(entry, Map) else None
        if isinstance(to, Map):
            ends = [key.text for key, _ in to.entries]
        else:
            ends = (
                [item.text for item in to.items if isinstance(item, Scalar)] if isinstance(to, List) else []
            )
        return tuple(end.partition(".")[0] for end in ends)


def _part_of(
    group: str, scope: str, node: Scalar, start: int, id: str, at: Path, key: bool = False
) -> Reference:
    return Reference(group, scope, id, at, node, start, start + len(id), key)


def _first_id(group: str, scope: str, node: Scalar, at: Path) -> Iterator[Reference]:
    """Yield the id before a dot, unless it is a word that stands for no id."""
    id = node.text.partition(".")[0]
    if id not in _WORDS:
        yield _part_of(group, scope, node, 0, id, at)


def _path_ids(node: Scalar, at: Path, scope: str, key: bool) -> Iterator[Reference]:
    """Yield the ids of `P1.3`, `E1`, `U1/KS` or `U1/box.1`, each in the scope of the one before."""
    path = node.text.partition(".")[0]
    offset = 0
    for id in path.split("/"):
        if id not in _WORDS:
            yield _part_of("parts", scope, node, offset, id, at, key)
        scope, offset = f"{scope}{id}/", offset + len(id) + 1
