"""From a tree to records, driven by the field table; what it can't judge alone it leaves as claims.

Every field is read by its kind. A text that does not fit is noted with its place and the reading goes on, so
that all problems come at once. Ends, passages and states name parts that may stand further down: they are
kept as claims, which `checks` goes through when all parts are there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from loomwright.plan import specials
from loomwright.plan.advice import unknown_field, unknown_kind
from loomwright.plan.columns import (
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
    attribute,
    columns,
)
from loomwright.plan.desk import Desk, Scope, check_ids, keys_of, unknown_id
from loomwright.plan.kinds import KINDS, fields_of
from loomwright.plan.misread import Misread
from loomwright.plan.model import RECORDS, Inside, Part, Run
from loomwright.plan.tree import List, Map, Node, Scalar, is_empty
from loomwright.plan.values import Curve, End, Quantity, Word

_IMMEDIATE = {
    "place": ("place",),
    "path": ("path",),
    "path or place": ("path", "place"),
    "stud": ("stud",),
    "part": ("part",),
    "season": ("season",),
    "supply": ("supply",),
}
_SHAPES = {Map: "a map", List: "a list", Scalar: "a single text"}


@dataclass(frozen=True, slots=True)
class EndClaim:
    """An end that has to be there; `stands` says where it was typed."""

    end: End
    stands: str
    node: Node
    path: str
    scope: Scope


@dataclass(frozen=True, slots=True)
class RunClaim:
    """A run whose ends, passages, fuses and return have to fit each other."""

    run: Run
    node: Map
    path: str
    scope: Scope


@dataclass(frozen=True, slots=True)
class RefClaim:
    """A reference to be judged when all parts are read; `value` is the state beside a state key."""

    text: str
    space: str
    node: Node
    path: str
    scope: Scope
    value: str | None = None


class Reader:
    """Reads records; problems go to the desk, claims are kept."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.ends: list[EndClaim] = []
        self.runs: list[RunClaim] = []
        self.refs: list[RefClaim] = []
        self._by_kind: dict[type, Callable[[Any, Node, str, Scope], Any]] = {
            Typed: self._typed,
            Ref: self._ref,
            EndKind: self._end,
            ListOf: self._list,
            MapOf: self._map,
            By: self._curve,
            Nested: self._nested,
            Entries: self._entries,
            Special: self._special,
        }

    def value(self, kind: Kind, node: Node, path: str, scope: Scope) -> Any:
        """Return the value of one field.

        Raises
        ------
        Misread
            The field as a whole is not of its kind; problems within lists and maps are noted instead.
        """
        return self._by_kind[type(kind)](kind, node, path, scope)

    def fields(
        self,
        record: str,
        node: Map,
        path: str,
        scope: Scope,
        *,
        at: Node,
        kind: str = "",
        scopes: Mapping[str, Scope] | None = None,
    ) -> dict[str, Any]:
        """Return the typed fields of an entry by attribute, with `typed`, `line` and `column`.

        `at` is where a missing field is reported, `kind` the kind of a part, `scopes` the scope of fields
        that have one of their own.
        """
        table, needed = _table(record, kind)
        values: dict[str, Any] = {}
        for key, child in node.entries:
            name = key.text
            where = f"{path}.{name}" if path else name
            row = table.get(name)
            if row is None:
                self.desk.note(key, where, unknown_field(name, record, kind))
                continue
            own = scopes.get(name, scope) if scopes else scope
            try:
                values[row[0]] = self._by_kind[row[1]](row[2], child, where, own)
            except Misread as misread:
                self.desk.note(child, where, str(misread))
        typed = frozenset([key.text for key, _ in node.entries])
        for name, column in needed:
            if attribute(name) not in values:
                values[attribute(name)] = None
                if name not in typed:
                    self.desk.note(at, path, _missing(column))
        values["typed"], values["line"], values["column"] = typed, at.line, at.column
        return values

    def _typed(self, kind: Typed, node: Node, path: str, scope: Scope) -> Any:
        return kind.read(text_of(node, kind.says, kind.example))

    def _ref(self, kind: Ref, node: Node, path: str, scope: Scope) -> str:
        text = text_of(node, kind.says, "an id of this plan")
        self._refer(kind, text, node, path, scope)
        return text

    def _refer(
        self, kind: Ref, text: str, node: Node, path: str, scope: Scope, value: str | None = None
    ) -> None:
        if text in kind.words:
            return
        spaces = _IMMEDIATE.get(kind.space)
        if spaces is None:
            self.refs.append(RefClaim(text, kind.space, node, path, scope, value))
            return
        if not scope.has(text, *spaces):
            says = unknown_id(text, " or ".join(spaces), (*scope.known(*spaces), *kind.words))
            self.desk.note(node, path, says)

    def _end(self, kind: EndKind, node: Node, path: str, scope: Scope) -> End:
        text = text_of(node, kind.says, "P1.3, leisure.minus or E1")
        return self.claim_end(text, kind.stands, node, path, scope)

    def claim_end(self, text: str, stands: str, node: Node, path: str, scope: Scope) -> End:
        """Read an end and keep it to be looked at when all parts are there."""
        end = specials.end_of(text)
        self.ends.append(EndClaim(end, stands, node, path, scope))
        return end

    def claim_wire(self, text: str, node: Node, path: str, scope: Scope) -> None:
        """Keep the id of a wire to be looked at when all runs are there."""
        self.refs.append(RefClaim(text, "wire", node, path, scope))

    def _list(self, kind: ListOf, node: Node, path: str, scope: Scope) -> tuple[Any, ...] | None:
        if isinstance(node, Scalar):
            if kind.doubt and node.text == "unknown":
                return None
            if node.text == "none" and not isinstance(kind.item, Typed):
                return ()
            return (self.value(kind.item, node, path, scope),)
        if isinstance(node, Map):
            raise Misread(f"{_SHAPES[Map]} stands here; a list is asked. Write [ ... , ... ].")
        return tuple(self.items(kind.item, node, path, scope))

    def items(self, kind: Kind, node: List, path: str, scope: Scope) -> list[Any]:
        """Return the items of a list that could be read; the others are noted."""
        found = []
        for item in node.items:
            try:
                found.append(self.value(kind, item, path, scope))
            except Misread as misread:
                self.desk.note(item, path, str(misread))
        return found

    def _map(self, kind: MapOf, node: Node, path: str, scope: Scope) -> dict[Any, Any]:
        found: dict[Any, Any] = {}
        for key, child in entries_of(node, f"a {kind.says}"):
            where = f"{path}.{key.text}"
            try:
                name = self._map_key(kind.key, key, child, where, scope)
                value = self.value(kind.value, child, where, scope)
                found[name] = value
            except Misread as misread:
                self.desk.note(child if str(misread).startswith('"') else key, where, str(misread))
        return found

    def _map_key(self, kind: Typed | Ref, key: Scalar, child: Node, where: str, scope: Scope) -> Any:
        if isinstance(kind, Ref):
            value = child.text if isinstance(child, Scalar) else None
            self._refer(kind, key.text, key, where, scope, value)
            return key.text
        return definite(kind.read(key.text), key.text)

    def _curve(self, kind: By, node: Node, path: str, scope: Scope) -> Curve:
        if not isinstance(node, Map):
            single = self._typed(kind.value, node, path, scope)
            return Curve("", {"": single})
        points: dict[float | str, Any] = {}
        for key, child in node.entries:
            where = f"{path}.{key.text}"
            try:
                at = definite(kind.key.read(key.text), key.text)
            except Misread as misread:
                self.desk.note(key, where, f"{misread} The map goes by {kind.axis}.")
                continue
            try:
                points[at] = self._typed(kind.value, child, where, scope)
            except Misread as misread:
                self.desk.note(child, where, str(misread))
        if not node.entries:
            raise Misread(f"the map is empty. Write one value, or some by {kind.axis}.")
        return Curve(kind.axis, points)

    def _nested(self, kind: Nested, node: Node, path: str, scope: Scope) -> Any:
        return self.entry(kind, node, path, scope, at=node)

    def entry(self, kind: Nested, node: Node, path: str, scope: Scope, *, at: Node, id: str = "") -> Any:
        """Return one record; `at` is where it begins, `id` its key."""
        if not isinstance(node, Map):
            if kind.absent and isinstance(node, Scalar) and node.text == "none":
                return None
            if is_empty(node):
                node = Map((), node.line, node.column, node.start, node.end, False)
            elif kind.short:
                key = Scalar(kind.short, node.line, node.column, node.start, node.start, False)
                node = Map(((key, node),), node.line, node.column, node.start, node.end, True)
            else:
                raise Misread(_no_record(kind, node))
        if kind.record == "Part":
            return self._part(node, path, scope, at=at, id=id)
        if kind.record == "Inside":
            return self._inside(node, path, scope)
        values = self.fields(kind.record, node, path, scope, at=at)
        if kind.record == "Run":
            to, legs = values.pop("to") or ((), {})
            run = Run(id=id, to=to, legs=legs, **values)
            self.runs.append(RunClaim(run, node, path, scope))
            return run
        specials.exactly_one(self.desk, kind.record, values, at, path)
        return RECORDS[kind.record](**values)

    def _part(self, node: Map, path: str, scope: Scope, *, at: Node, id: str) -> Part | None:
        typed_kind = node.get("kind")
        if typed_kind is None or not isinstance(typed_kind, Scalar):
            if node.get("like") is None:  # else its origin has been complained about
                raise Misread("a part needs a kind. Write kind: battery, lamp, fuse_box ...")
            return None
        kind = typed_kind.text
        if kind not in KINDS:
            self.desk.note(typed_kind, f"{path}.kind", unknown_kind(kind))
            return None
        scopes = {}
        if kind == "unit":
            inside = node.get("inside")
            inner = scope.within(
                f"{scope.inside}{id}/", keys_of(inside.get("parts") if isinstance(inside, Map) else None)
            )
            scopes = {"inside": inner, "ports": inner}
        values = {
            **KINDS[kind].defaults,
            **self.fields("Part", node, path, scope, at=at, kind=kind, scopes=scopes),
        }
        for name in KINDS[kind].needed:
            if name not in values["typed"]:
                self.desk.note(at, path, _missing(columns(Part)[name]))
        values["kind"] = kind
        part = Part(id=id, **values)
        scope.parts[id] = part
        return part

    def _inside(self, node: Map, path: str, scope: Scope) -> Inside:
        check_ids(self.desk, node, f"{path}.")
        return Inside(**self.fields("Inside", node, path, scope, at=node))

    def _entries(self, kind: Entries, node: Node, path: str, scope: Scope) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for key, child in entries_of(node, f"a map of {kind.says}"):
            where = f"{path}.{key.text}"
            try:
                if isinstance(kind.of, Nested):
                    read = self.entry(kind.of, child, where, scope, at=key, id=key.text)
                else:
                    read = self._typed(kind.of, child, where, scope)
            except Misread as misread:
                self.desk.note(child, where, str(misread))
            else:
                if read is not None:
                    found[key.text] = read
        return found

    def _special(self, kind: Special, node: Node, path: str, scope: Scope) -> Any:
        return specials.READERS[kind.name](self, node, path, scope)


def entries_of(node: Node, says: str) -> tuple[tuple[Scalar, Node], ...]:
    """Return the entries of a map; nothing after the colon is an empty one.

    Raises
    ------
    Misread
        It is no map.
    """
    if isinstance(node, Map):
        return node.entries
    if is_empty(node):
        return ()
    shape = _SHAPES[type(node)]
    raise Misread(
        f"{shape} stands here; {says} is asked. Write one name: value a line, indented by two spaces."
    )


def text_of(node: Node, says: str, example: str) -> str:
    """Return the text of a scalar.

    Raises
    ------
    Misread
        It is a list or map, or nothing stands there.
    """
    if isinstance(node, Scalar):
        if node.text or node.quoted:
            return node.text
        raise Misread(f"nothing stands after the colon. Write it like {example}, or leave the line out.")
    raise Misread(f"{_SHAPES[type(node)]} stands here; one value is asked ({says}). Write it like {example}.")


def definite(value: Any, text: str) -> Any:
    """Return the key of a map as a float or text; a key is one definite figure."""
    if isinstance(value, Quantity) and value.known:
        return value.low
    if isinstance(value, Quantity | Word):
        raise Misread(f'"{text}" is not one figure; a name in this map has to be.')
    return value


@cache
def _table(
    record: str, kind: str
) -> tuple[Mapping[str, tuple[str, type, Kind]], tuple[tuple[str, Column], ...]]:
    """Return attribute, class of kind and kind by field name, and what is needed; for one kind of part."""
    every = columns(RECORDS[record])
    names = fields_of(kind) if kind else tuple(every)
    table = {name: (attribute(name), type(every[name].kind), every[name].kind) for name in names}
    return table, tuple((name, every[name]) for name in names if every[name].needed)


def _missing(column: Column) -> str:
    example = ""
    if isinstance(column.kind, Typed):
        example = f" Write {column.name}: {', '.join(column.kind.words) or column.kind.example}."
    if column.name == "from":
        example = " Write from: P1.1, the feeding end."
    elif column.name == "to":
        example = " Write to: and the part, stud or terminal where it ends."
    return f"{column.name} is missing; it is needed here ({column.says}).{example}"


def _no_record(kind: Nested, node: Node) -> str:
    if kind.record == "Part" and isinstance(node, Scalar) and node.text in KINDS:
        return f'"{node.text}" stands here; a part has fields. Write {{kind: {node.text}}}.'
    table = columns(RECORDS[kind.record])
    first = next((name for name, row in table.items() if row.needed), list(table)[2])
    shape = f'"{node.text}"' if isinstance(node, Scalar) else _SHAPES[type(node)]
    return f"{shape} stands here; a {kind.says.removeprefix('map ')} has fields. Write {{{first}: ...}}."
