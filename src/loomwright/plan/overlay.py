"""Trees laid over trees: `like` within a document, and documents that build on another one.

The rule is one: maps are merged field by field, lists and scalars are replaced.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import NoReturn

from loomwright.errors import PlanError, Problem
from loomwright.plan.desk import Desk, keys_of, unknown_id
from loomwright.plan.tree import List, Map, Node, Scalar, is_empty, parse

#: So many documents may build on each other.
DEEPEST = 8
#: What a `readings` document may hold besides the header.
_READINGS_ONLY = ("modes", "readings")
_OWN_HEADER = ("document", "of", "removed")

Parent = Callable[[str], str]


def merged(base: Map, over: Map) -> Map:
    """Return `base` with the entries of `over` laid over it; new entries come last."""
    entries = {key.text: (key, value) for key, value in base.entries}
    for key, value in over.entries:
        below = entries.get(key.text)
        if below is not None and isinstance(below[1], Map) and isinstance(value, Map):
            value = merged(below[1], value)
        entries[key.text] = (key, value)
    return replace(over, entries=tuple(entries.values()))


def without(node: Map, names: Iterable[str]) -> Map:
    """Return a map without some of its entries."""
    gone = frozenset(names)
    return replace(node, entries=tuple(entry for entry in node.entries if entry[0].text not in gone))


def resolve_likes(desk: Desk, tree: Map) -> Map:
    """Return the tree with every `like` of a part or season replaced by what it stands for."""
    entries = []
    for key, section in tree.entries:
        if isinstance(section, Map) and key.text in ("parts", "use"):
            what = "part" if key.text == "parts" else "season"
            section = _likes_in(desk, section, key.text, what)
        entries.append((key, section))
    return replace(tree, entries=tuple(entries))


def _likes_in(desk: Desk, section: Map, path: str, what: str) -> Map:
    written = {key.text: value for key, value in section.entries}
    whole: dict[str, Node] = {}

    def resolved(name: str, chain: tuple[str, ...]) -> Node:
        if name in whole:
            return whole[name]
        node = written[name]
        if isinstance(node, Map):
            node = _inside(desk, node, f"{path}.{name}")
            like = node.get("like")
            if isinstance(like, Scalar):
                node = follow(name, node, like, (*chain, name))
        whole[name] = node
        return node

    def follow(name: str, node: Map, like: Scalar, chain: tuple[str, ...]) -> Map:
        if like.text in chain:
            ring = " → ".join((*chain[chain.index(like.text) :], like.text))
            desk.note(
                like, f"{path}.{name}.like", f"a ring of like: {ring}. One of them has to say its own fields."
            )
            return node
        if like.text not in written:
            desk.note(like, f"{path}.{name}.like", unknown_id(like.text, what, written))
            return node
        base = resolved(like.text, chain)
        return merged(without(base, ("name", "serial")), node) if isinstance(base, Map) else node

    return replace(section, entries=tuple((key, resolved(key.text, ())) for key, _ in section.entries))


def _inside(desk: Desk, part: Map, path: str) -> Map:
    """Return a part with the `like`s of its inner parts resolved."""
    inside = part.get("inside")
    if not isinstance(inside, Map) or not isinstance(inside.get("parts"), Map):
        return part
    entries = []
    for key, value in inside.entries:
        if key.text == "parts" and isinstance(value, Map):
            value = _likes_in(desk, value, f"{path}.inside.parts", "part")
        entries.append((key, value))
    whole = replace(inside, entries=tuple(entries))
    return replace(
        part, entries=tuple((key, whole if key.text == "inside" else value) for key, value in part.entries)
    )


def lay_over(
    tree: Map, file: str, parent: Parent | None, chain: tuple[str, ...] = ()
) -> tuple[Map, dict[int, str]]:
    """Return the tree of a document laid over those that it builds on.

    Parameters
    ----------
    tree : Map
        Of the document; a plan is returned as it is.
    file : str
        Its name.
    parent : callable or None
        Gives the text of a file by its name; raises LookupError or OSError if there is none.
    chain : tuple of str
        The files that build on this one.

    Returns
    -------
    Map, dict
        The tree, and the file of each node that comes from a parent, by its `id`.

    Raises
    ------
    PlanError
        The parent is not there or can't be parsed, or they build on each other in a ring.
    """
    document, of = tree.get("document"), tree.get("of")
    sort = document.text if isinstance(document, Scalar) else "plan"
    if sort not in ("variant", "as_built", "readings"):
        if of is not None and sort == "plan":
            _refuse(
                of, "of", "a plan builds on no other. Write document: variant, as_built or readings.", file
            )
        return tree, {}
    if not isinstance(of, Scalar) or is_empty(of):
        where = of or document or tree
        _refuse(where, "of", f"a {sort} builds on another file. Write of: its-name.yaml.", file)
    base_text = _text_of(of, file, parent, (*chain, file))
    base, foreign = lay_over(parse(base_text, of.text), of.text, parent, (*chain, file))
    for node in _nodes(base):
        foreign.setdefault(id(node), of.text)
    desk = Desk(file, foreign)
    _check_parts_of_document(desk, tree, base, sort)
    base = _take_away(desk, without(base, _OWN_HEADER), tree.get("removed"))
    if desk.problems:
        raise PlanError(desk.problems)
    return merged(base, tree), foreign


def _text_of(of: Scalar, file: str, parent: Parent | None, chain: tuple[str, ...]) -> str:
    name = of.text
    if "/" in name or "\\" in name or name.startswith("."):
        _refuse(
            of,
            "of",
            f'"{name}" is not a bare name. Put the file into the same folder and write its name.',
            file,
        )
    if name in chain:
        ring = " → ".join((*chain[chain.index(name) :], name))
        _refuse(of, "of", f"these files build on each other in a ring: {ring}.", file)
    if len(chain) > DEEPEST:
        _refuse(of, "of", f"more than {DEEPEST} documents build on each other.", file)
    if parent is None:
        _refuse(of, "of", f'"{name}" is not at hand here: only the text of this document was given.', file)
    try:
        return parent(name)
    except (LookupError, OSError):
        _refuse(of, "of", f'no file "{name}" beside this one.', file)


def _check_parts_of_document(desk: Desk, tree: Map, base: Map, sort: str) -> None:
    document = base.get("document")
    if isinstance(document, Scalar) and document.text == "readings":
        of = tree.get("of")
        assert of is not None
        desk.note(
            of, "of", "nothing builds on readings. Name the plan, variant or as_built that they belong to."
        )
    if sort != "readings":
        return
    for key, value in tree.entries:
        if isinstance(value, Map) and key.text not in _READINGS_ONLY:
            says = f"{key.text} can't stand in readings; only the header, modes and readings can."
            desk.note(key, key.text, says)


def _take_away(desk: Desk, base: Map, removed: Node | None) -> Map:
    """Return the parent's tree without the dotted names of `removed`."""
    items = removed.items if isinstance(removed, List) else (removed,) if isinstance(removed, Scalar) else ()
    for item in items:
        if not isinstance(item, Scalar):
            continue  # the reader says so
        names = item.text.split(".")
        base, missing = _take_one(base, names)
        if missing is not None:
            at, known = missing
            says = unknown_id(at, "entry or field", known, "in the parent")
            desk.note(item, "removed", f"nothing to remove: {says}")
    return base


def _take_one(node: Map, names: list[str]) -> tuple[Map, tuple[str, tuple[str, ...]] | None]:
    child = node.get(names[0])
    if child is None:
        return node, (names[0], keys_of(node))
    if len(names) == 1:
        return without(node, names), None
    if not isinstance(child, Map):
        return node, (names[1], ())
    less, missing = _take_one(child, names[1:])
    entries = tuple((key, less if key.text == names[0] else value) for key, value in node.entries)
    return replace(node, entries=entries), missing


def _nodes(node: Node) -> Iterable[Node]:
    yield node
    if isinstance(node, Map):
        for key, value in node.entries:
            yield key
            yield from _nodes(value)
    elif isinstance(node, List):
        for item in node.items:
            yield from _nodes(item)


def _refuse(node: Node, path: str, says: str, file: str) -> NoReturn:
    raise PlanError([Problem(node.line, node.column, path, says, file)])


__all__ = ["DEEPEST", "Parent", "lay_over", "merged", "resolve_likes", "without"]
