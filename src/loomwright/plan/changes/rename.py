"""An id changed everywhere: where it is given and wherever it is meant, comments and layout kept.

What an id names is known from the field table (`references`), so the part `pump` is told from a mode, a panel
output or a note of that name.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import zip_longest
from typing import Any

from loomwright.errors import PlanError, Problem
from loomwright.plan.changes.facts import refuse
from loomwright.plan.changes.references import GROUPS, Reference, new_texts, references, renamed
from loomwright.plan.desk import RESERVED, SPACES, unknown_id
from loomwright.plan.forms import is_id
from loomwright.plan.nodes import name_problem
from loomwright.plan.tree import Map, Scalar, parse, to_data
from loomwright.plan.write import name_text

#: Sections whose ids nothing else in a plan refers to.
_ALONE = ("promises", "questions", "cargo", "revisions", "accepted", "readings")
_WHAT = {section: what for space in SPACES for section, what in space.items()}


def rename(text: str, space: str, old: str, new: str) -> str:
    """Return the text with an id changed wherever it stands.

    In a document that builds on another the id may be one of that: then what refers to it is changed, and
    the same has to be done in the other file.

    Parameters
    ----------
    text : str
        Of a plan that reads without errors.
    space : str
        The section of the entry: `parts`, `studs`, `places`, `paths`, `wiring`, `supplies`, `modes`, `use`,
        `promises` ...
    old : str
        Its id; `U1/KS` for a part or run inside a composite.
    new : str
        Its new id, without a path.

    Returns
    -------
    str
        The new text; nothing but the ids differs.

    Raises
    ------
    PlanError
        There is no such entry, the new id is none or is taken, or it would be taken for something else
        where the old one stands.

    Examples
    --------
    >>> text = "parts:\\n  pump: {kind: water_pump}   # pump\\nwiring:\\n  W4: {from: P1.2, to: pump}\\n"
    >>> print(rename(text, "parts", "pump", "shower"), end="")
    parts:
      shower: {kind: water_pump}   # pump
    wiring:
      W4: {from: P1.2, to: shower}
    """
    tree = parse(text)
    path, _, id = old.rpartition("/")
    scope = f"{path}/" if path else ""
    if space in _ALONE:
        return _rename_key(text, tree, space, old, new)
    _check_new(new, f"{space}.{old}")
    if space not in GROUPS:
        refuse(space, unknown_id(space, "section", (*GROUPS, *_ALONE)))
    group = GROUPS[space]
    every = list(references(tree))
    found = [one for one in every if (one.group, one.scope, one.id) == (group, scope, id)]
    _check_there(found, every, tree, space, old)
    _check_free(every, group, scope, id, new, f"{space}.{old}")
    texts = new_texts(found, lambda one: new)
    changed = _spliced(text, [one.node for one in found], texts)
    _check_unmistaken(every, changed, new, texts, f"{space}.{old}")
    assert to_data(parse(changed)) == renamed(tree, texts), "a rename changes ids and nothing else"
    return changed


def _check_new(new: str, at: str) -> None:
    if not is_id(new):
        refuse(at, f'"{new}" is no id: a letter first, then letters, digits and _.')
    if new in RESERVED:
        refuse(at, f'"{new}" has a meaning of its own in a plan. Take another id.')


def _check_there(found: list[Reference], every: list[Reference], tree: Map, space: str, old: str) -> None:
    """Refuse an id that no entry of the section has; one of another document is at least meant here."""
    if any(one.defines and _section_of(one) == space for one in found):
        return
    builds_on = tree.get("of") is not None
    if builds_on and found and not any(one.defines for one in found):
        return
    known = [f"{one.scope}{one.id}" for one in every if one.defines and _section_of(one) == space]
    refuse(f"{space}.{old}", unknown_id(old, _WHAT[space], known))


def _section_of(one: Reference) -> str:
    """Return the section that an entry stands in: the last name of its path but its own."""
    return str(one.at[-2])


def _check_free(every: list[Reference], group: str, scope: str, id: str, new: str, at: str) -> None:
    for one in every:
        if (one.group, one.scope) != (group, scope) or one.id.casefold() != new.casefold():
            continue
        if one.id == new or one.id != id:
            node = one.node
            alike = "" if one.id == new else " Capitals do not tell them apart."
            says = f'"{one.id}" is there already (line {node.line}). Take another id.{alike}'
            raise PlanError([Problem(node.line, node.column, at, says)])


def _check_unmistaken(
    every: list[Reference], changed: str, new: str, texts: Mapping[int, str], at: str
) -> None:
    """Refuse an id that is read as something else where the old one stood, as a label or wire id may be."""
    try:
        again = list(references(parse(changed)))
    except PlanError:  # `retired` among the labels
        refuse(at, f'"{new}" has a meaning of its own there. Take another id.')
    for one, is_now in zip_longest(every, again):
        text = texts.get(id(one.node), one.node.text) if one is not None else ""
        same = one is not None and is_now is not None and one.group == is_now.group
        if not same or text != is_now.node.text or one.scope.count("/") != is_now.scope.count("/"):
            where = ".".join(map(str, (one or is_now).at))
            refuse(at, f'"{new}" would be taken for something else in {where}. Take another id.')


def _rename_key(text: str, tree: Map, space: str, old: str, new: str) -> str:
    """Change the name of an entry that nothing refers to."""
    entries: Any = tree.get(space)
    keys = {key.text: key for key, _ in entries.entries} if isinstance(entries, Map) else {}
    if old not in keys:
        refuse(f"{space}.{old}", unknown_id(old, "entry", keys))
    if says := name_problem(new):
        refuse(f"{space}.{old}", says)
    if new in keys:
        refuse(f"{space}.{old}", f'"{new}" is there already (line {keys[new].line}). Take another id.')
    return _spliced(text, [keys[old]], {id(keys[old]): new if is_id(new) else name_text(new, True)})


def _spliced(text: str, nodes: list[Scalar], texts: dict[int, str]) -> str:
    """Return the text with other scalars in place of some, in quotes where they were."""
    for node in sorted(
        {id(node): node for node in nodes}.values(), key=lambda node: node.start, reverse=True
    ):
        typed, word = text[node.start : node.end], texts[id(node)]
        quote = typed[0] if typed[0] in "'\"" and word[0] not in "'\"" else ""
        text = f"{text[: node.start]}{quote}{word}{quote}{text[node.end :]}"
    return text
