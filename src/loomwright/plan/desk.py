"""Where problems are gathered while a plan is read, and the names that its entries may refer to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from loomwright.errors import Problem
from loomwright.plan.forms import is_id
from loomwright.plan.model import Part
from loomwright.plan.scalars import nearest
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

    names: Mapping[str, tuple[str, ...]]
    inside: str = ""
    parts: dict[str, Part] = field(default_factory=dict)

    def known(self, *spaces: str) -> tuple[str, ...]:
        """Return all ids of some spaces."""
        return tuple(name for space in spaces for name in self.names.get(space, ()))

    def within(self, path: str, parts: Iterable[str]) -> Scope:
        """Return the scope inside a composite: its own parts; places and paths are those of the van."""
        names = {**self.names, "part": tuple(parts), "stud": (), "outer": self.known("part", "stud")}
        return Scope(names, path)


def keys_of(node: Node | None) -> tuple[str, ...]:
    """Return the keys of a map, none of anything else."""
    return tuple(key.text for key, _ in node.entries) if isinstance(node, Map) else ()


def names_in(tree: Map) -> dict[str, tuple[str, ...]]:
    """Return the ids of all sections by what they are."""
    return {what: keys_of(tree.get(section)) for space in SPACES for section, what in space.items()}


def check_ids(desk: Desk, tree: Map, path: str = "") -> None:
    """Note ids of a wrong shape, reserved ones, and those of one space that are the same or nearly so."""
    for space in SPACES:
        seen: dict[str, tuple[str, str, Scalar]] = {}
        for section, what in space.items():
            node = tree.get(section)
            for key, _ in node.entries if isinstance(node, Map) else ():
                where = f"{path}{section}.{key.text}"
                says = _id_problem(key.text)
                if says is None and (first := seen.get(key.text.casefold())):
                    says = _clash(key.text, *first)
                seen.setdefault(key.text.casefold(), (key.text, what, key))
                if says:
                    desk.note(key, where, says)


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


def unknown_id(text: str, what: str, known: Iterable[str]) -> str:
    """Say that there is no such entry."""
    return f'no {what} "{text}".{nearest(text, tuple(known))}'
