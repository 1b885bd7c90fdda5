"""Where problems are gathered while a plan is read, and the names that its entries may refer to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from loomwright.errors import Problem
from loomwright.plan.forms import is_id
from loomwright.plan.model import Part
from loomwright.plan.near import nearest
from loomwright.plan.tree import Map, Node, Scalar

RESERVED = ("body", "wire", "none", "auto", "unknown", "any", "all", "from", "to", "both", "return")

#: Sections whose ids share one space, and what an entry of each is called.
SPACES = (
    {"parts": "part", "studs": "stud"},
    {"places": "place", "paths": "path"},
    {"wiring": "run"},
    {"supplies": "supply"},
    {"modes": "mode"},
    {"use": "season"},
)


#: So many names are listed where none is like the one typed.
_LISTED = 8

#: Ids by what they are, in the order of the text.
Names = Mapping[str, Mapping[str, None]]


class Desk:
    """Problems found so far. `foreign` has the file of each node that comes from a parent document."""

    def __init__(self, file: str, foreign: Mapping[int, str] | None = None) -> None:
        self.problems: list[Problem] = []
        self._file = file
        self._foreign = foreign or {}

    def note(self, node: Node, path: str, says: str) -> None:
        """Add a problem at the place of a node."""
        file = self._foreign.get(id(node), self._file)
        self.problems.append(Problem(node.line, node.column, path, says, file))


@dataclass(slots=True)
class Scope:
    """What may be named in one place: the van's own, or the inside of one composite part.

    `names` has the ids by what they are ("part", "stud", "place" ...) as the text has them; `parts` fills up
    while the parts are read. `inside` is the path of the composite, "" outside.
    """

    names: Names
    inside: str = ""
    parts: dict[str, Part] = field(default_factory=dict)
    _known: dict[tuple[str, ...], tuple[str, ...]] = field(default_factory=dict, repr=False)
    _homes: dict[str, str] | None = field(default=None, repr=False)

    def has(self, text: str, *spaces: str) -> bool:
        """Return whether some entry of these spaces has this id."""
        return any(text in self.names.get(space, ()) for space in spaces)

    def known(self, *spaces: str) -> tuple[str, ...]:
        """Return all ids of some spaces."""
        if spaces not in self._known:
            found = (name for space in spaces for name in self.names.get(space, ()))
            self._known[spaces] = tuple(found)
        return self._known[spaces]

    def home(self, text: str) -> str | None:
        """Return the composite that has such a part inside. To be asked when all parts are read."""
        if self._homes is None:
            units = [(id, part.inside) for id, part in self.parts.items() if part.inside is not None]
            self._homes = {inner: id for id, inside in reversed(units) for inner in inside.parts}
        return self._homes.get(text)

    def within(self, path: str, parts: Iterable[str]) -> Scope:
        """Return the scope inside a composite: its own parts; places and paths are those of the van."""
        outer = dict.fromkeys(self.known("part", "stud"))
        names = {**self.names, "part": dict.fromkeys(parts), "stud": {}, "outer": outer}
        return Scope(names, path)


def keys_of(node: Node | None) -> tuple[str, ...]:
    """Return the keys of a map, none of anything else."""
    return tuple(key.text for key, _ in node.entries) if isinstance(node, Map) else ()


def names_in(tree: Map) -> Names:
    """Return the ids of all sections by what they are."""
    return {
        what: dict.fromkeys(keys_of(tree.get(section))) for space in SPACES for section, what in space.items()
    }


def check_ids(desk: Desk, tree: Map, path: str = "") -> None:
    """Note ids of a wrong shape, reserved ones, and those of one space that are the same or nearly so."""
    for space in SPACES:
        seen: dict[str, tuple[str, str, Scalar]] = {}
        ids: list[tuple[Scalar, str, str]] = []
        for section, what in space.items():
            node = tree.get(section)
            for key, _ in node.entries if isinstance(node, Map) else ():
                where = f"{path}{section}.{key.text}"
                says = _id_problem(key.text)
                if says:
                    desk.note(key, where, says)
                ids.append((key, what, where))
        ids.sort(key=lambda one: (one[0].line, one[0].column))
        for key, what, where in ids:
            first = seen.setdefault(key.text.casefold(), (key.text, what, key))
            if first[2] is not key:
                desk.note(key, where, _clash(key.text, *first))


def _id_problem(text: str) -> str | None:
    if not is_id(text):
        proposed = "".join(letter if letter.isalnum() else "_" for letter in text).strip("_")
        proposed = proposed if is_id(proposed) else f"x_{proposed}" if is_id(f"x_{proposed}") else "W1"
        return f'"{text}" is no id: a letter first, then letters, digits and _. Write {proposed}.'
    if text in RESERVED:
        return f'"{text}" has a meaning of its own in a plan. Take another id.'
    return None


def _clash(text: str, other: str, what: str, key: Scalar) -> str:
    if text == other:
        return f'"{text}" is a {what} already (line {key.line}). Give one of them another id.'
    return f'"{text}" and "{other}" (line {key.line}) differ only in capitals. Give one of them another id.'


def unknown_id(text: str, what: str, known: Iterable[str], where: str = "") -> str:
    """Say that there is no such entry, and which was likely meant or which there are."""
    names = tuple(known)
    near = nearest(text, names)
    if not near and len(names) <= _LISTED:
        near = f" There is {', '.join(names)}." if names else " There is none."
    return f'no {what} "{text}"{where and f" {where}"}.{near}'
