"""Fields that the general rules of the reader don't cover: ends, fuses, returns, points, labels ..."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from loomwright.plan import forms, scalars
from loomwright.plan.columns import LIMIT, Nested
from loomwright.plan.desk import Desk, Scope, unknown_id
from loomwright.plan.misread import Misread
from loomwright.plan.model import FuseEntry, Labels, Leg, Point, Return
from loomwright.plan.tree import List, Map, Node, Scalar
from loomwright.plan.values import End, Fuse, Limit, Quantity, Word

if TYPE_CHECKING:
    from loomwright.plan.reader import Reader

_END = re.compile(r"(?P<id>[^\W\d_]\w*(?:/[^\W\d_]\w*)*)(?:\.(?P<terminal>\w+))?")
_FUSE_ENTRY, _LEG, _RETURN = Nested("fuse", "FuseEntry"), Nested("leg", "Leg"), Nested("return", "Return")
_DRIVING = ("start", "cruise", "overrun", "tow")


@lru_cache(maxsize=4096)
def end_of(text: str) -> End:
    """Read `leisure.plus`, `P1.3`, `E1`, `body`; `EB1/box.1` where that may stand."""
    match = _END.fullmatch(text)
    if match is None:
        raise Misread(
            f'"{text}" is no end of a wire. Write a part, part.terminal or stud: P1.3, leisure.minus, E1.'
        )
    return End(match["id"], match["terminal"])


def _one_text(node: Node, form: str) -> str:
    if not isinstance(node, Scalar):
        raise Misread(f"a list or map stands here; one value is asked. Write it like {form}.")
    if not node.text:
        raise Misread("nothing stands here. Leave it out or write unknown.")
    return node.text


def read_fuse(reader: Reader, node: Node, path: str, scope: Scope) -> tuple[Fuse, ...] | Word:
    """Read the short form, the long form, or a list of either."""
    if isinstance(node, Scalar):
        return forms.fuse(_one_text(node, "15 A"))
    if isinstance(node, Map):
        return _long_fuse(reader, node, path, scope)
    found: list[Fuse] = []
    for item in node.items:
        try:
            one = read_fuse(reader, item, path, scope)
        except Misread as misread:
            reader.desk.note(item, path, str(misread))
            continue
        found += [Fuse(one)] if isinstance(one, Word) else one
    return tuple(found)


def _long_fuse(reader: Reader, node: Map, path: str, scope: Scope) -> tuple[Fuse, ...]:
    entry: FuseEntry = reader.entry(_FUSE_ENTRY, node, path, scope, at=node)
    if entry.rating is None:  # missing, and said so
        return ()
    return forms.at_both(
        Fuse(
            entry.rating,
            entry.type if isinstance(entry.type, str) else None,
            entry.at,
            entry.breaks,
            entry.voltage,
            entry.distance,
            entry.resistance,
            entry.plus_mark,
        )
    )


def read_ends(
    reader: Reader, node: Node, path: str, scope: Scope
) -> tuple[tuple[End, ...], Mapping[str, Leg]]:
    """Read `to`: one end, a list of loads, or a map from load to leg."""
    if isinstance(node, Scalar):
        text = _one_text(node, "pump or P1.in")
        return (reader.claim_end(text, "to", node, path, scope),), {}
    named: list[tuple[Scalar, Node | None]] = []
    if isinstance(node, Map):
        named = list(node.entries)
    for item in node.items if isinstance(node, List) else ():
        if isinstance(item, Scalar):
            named.append((item, None))
        else:
            reader.desk.note(
                item, path, "an end is a single text. A map from load to leg: to: {pump: {length: 1 m}}."
            )
    if not named:
        raise Misread("no end stands here. Write the part, stud or terminal where the cable ends.")
    ends: list[End] = []
    legs: dict[str, Leg] = {}
    for name, leg in named:
        try:
            end = reader.claim_end(name.text, "to", name, path, scope)
        except Misread as misread:
            reader.desk.note(name, path, str(misread))
            continue
        if end.id in legs:
            says = f"{end.id} stands twice in to. Write a run of its own for its other terminal."
            reader.desk.note(name, path, says)
            continue
        ends.append(end)
        legs[end.id] = Leg()
        if leg is not None:
            try:
                legs[end.id] = reader.entry(_LEG, leg, f"{path}.{name.text}", scope, at=name)
            except Misread as misread:
                reader.desk.note(leg, f"{path}.{name.text}", str(misread))
    single = len(ends) == 1 and not isinstance(node, Map)
    return tuple(ends), {} if single else legs


def read_return(reader: Reader, node: Node, path: str, scope: Scope) -> Return | None:
    """Read `wire`, `body`, an end, `none`, or the map."""
    if isinstance(node, Map):
        found: Return = reader.entry(_RETURN, node, path, scope, at=node)
        return found
    text = _one_text(node, "E1, body, wire or {to: E1, length: 0.4 m}")
    if text == "none":
        return None
    end = reader.claim_end(text, "return", node, path, scope)
    return Return(to=end, typed=frozenset({"to"}), line=node.line, column=node.column)


def read_point(reader: Reader, node: Node, path: str, scope: Scope) -> Point | None:
    """Read three coordinates; one that is unknown is None."""
    if isinstance(node, Scalar) and node.text == "unknown":
        return None
    if not isinstance(node, List) or len(node.items) != 3:
        many = (
            f" ({len(node.items)} stand here; a decimal comma needs quotes)" if isinstance(node, List) else ""
        )
        raise Misread(
            f"a point has three coordinates in metres{many}. Write [0.60, -0.45, 0.12]: rearward, right, up."
        )
    read: list[Quantity | None] = []
    for item in node.items:
        try:
            value = scalars.coordinate(_one_text(item, "0.60"))
            read.append(value if isinstance(value, Quantity) else None)
        except Misread as misread:
            reader.desk.note(item, path, str(misread))
            read.append(None)
    return read[0], read[1], read[2]


def read_stop(reader: Reader, node: Node, path: str, scope: Scope) -> str | Point | None:
    """Read a stop of a path: a place or a point."""
    if not isinstance(node, Scalar):
        return read_point(reader, node, path, scope)
    known = scope.known("place")
    if node.text not in known:
        raise Misread(unknown_id(node.text, "place", known))
    return node.text


def read_position(reader: Reader, node: Node, path: str, scope: Scope) -> tuple[tuple[str, str], ...]:
    """Read the passages that a position of a selector closes."""
    if isinstance(node, Scalar):
        return () if node.text == "none" else (forms.contacts(_one_text(node, "com-leisure")),)
    if isinstance(node, List):
        return tuple(forms.contacts(_one_text(item, "com-leisure")) for item in node.items)
    raise Misread("a position is a passage or a list of them. Write it like com-leisure, or none.")


def read_volts_by_state(reader: Reader, node: Node, path: str, scope: Scope) -> dict[str, Limit]:
    """Read one voltage (key ""), or those of an alternator by what the vehicle does."""
    if not isinstance(node, Map):
        return {"": reader.value(LIMIT, node, path, scope)}
    found: dict[str, Limit] = {}
    for key, child in node.entries:
        where = f"{path}.{key.text}"
        try:
            if key.text not in _DRIVING:
                raise Misread(f'"{key.text}" is no state. Write {", ".join(_DRIVING)}.')
            found[key.text] = reader.value(LIMIT, child, where, scope)
        except Misread as misread:
            reader.desk.note(child if key.text in _DRIVING else key, where, str(misread))
    return found


def read_labels(reader: Reader, node: Node, path: str, scope: Scope) -> Labels:
    """Read wire id to number, and `retired`."""
    if not isinstance(node, Map):
        raise Misread("labels are a map from wire to number. Write {W4: 104, W4.return: 105}.")
    numbers: dict[str, int] = {}
    retired: list[int] = []
    for key, child in node.entries:
        where = f"{path}.{key.text}"
        for one in child.items if key.text == "retired" and isinstance(child, List) else (child,):
            try:
                number = scalars.count(_one_text(one, "104"))
                if not isinstance(number, int):
                    raise Misread("a label is a number. Write it like 104, or leave the line out.")
            except Misread as misread:
                reader.desk.note(one, where, str(misread))
                continue
            if key.text == "retired":
                retired.append(number)
            else:
                reader.claim_wire(key.text, key, where, scope)
                numbers[key.text] = number
    typed = frozenset(key.text for key, _ in node.entries)
    return Labels(numbers=numbers, retired=tuple(retired), typed=typed, line=node.line, column=node.column)


READERS: Mapping[str, Callable[[Reader, Node, str, Scope], Any]] = MappingProxyType(
    {
        "fuse": read_fuse,
        "ends": read_ends,
        "return": read_return,
        "point": read_point,
        "stop": read_stop,
        "position": read_position,
        "limit by state": read_volts_by_state,
        "labels": read_labels,
    }
)

_ONE_OF = MappingProxyType(
    {"Promise": ("days", "charges", "power", "switch"), "Reading": ("volts", "amps", "ohms", "temperature")}
)
_THEN = MappingProxyType(
    {
        "power": ("part",),
        "volts": ("red", "black"),
        "ohms": ("red", "black"),
        "amps": ("at",),
        "temperature": ("at",),
        "switch": ("leaves",),
    }
)


def exactly_one(desk: Desk, record: str, values: Mapping[str, Any], at: Node, path: str) -> None:
    """Note a promise or reading that does not say exactly one thing, or lacks what belongs to it."""
    choice = _ONE_OF.get(record)
    if choice is None:
        return
    said = [name for name in choice if name in values["typed"]]
    if len(said) != 1:
        found = f"{' and '.join(said)} stand here" if said else "none of them stands here"
        desk.note(at, path, f"exactly one of {', '.join(choice)} has to stand; {found}.")
    for name in said:
        for other in _THEN.get(name, ()):
            if other not in values["typed"]:
                desk.note(at, path, f"{other} is missing; it belongs to {name}.")


__all__ = ["READERS", "end_of", "exactly_one"]
