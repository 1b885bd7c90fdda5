"""Another name for an entry of a plan: at the entry itself and wherever it is named, and nowhere else."""

from __future__ import annotations

from itertools import groupby

from loomwright.errors import PlanError
from loomwright.plan.changes.facts import refuse
from loomwright.plan.changes.mentions import Mention, mentions, name_of
from loomwright.plan.desk import RESERVED, SPACES, unknown_id
from loomwright.plan.forms import is_id
from loomwright.plan.nodes import name_problem
from loomwright.plan.tree import Map, Scalar, parse
from loomwright.plan.write import name_text


def rename(text: str, space: str, old: str, new: str) -> str:
    """Return the text with one entry renamed, its key and every reference to it.

    Only the characters of the name change; comments, notes, quotes and layout stay.

    Parameters
    ----------
    text : str
        Of a plan that reads without errors.
    space : str
        Its section: `parts`, `studs`, `places`, `paths`, `wiring`, `supplies`, `modes`, `use` ...
    old : str
        Its id; inside a composite with the path of that, `U1/KS`.
    new : str
        The new id, without a path.

    Raises
    ------
    PlanError
        There is no such entry, the new id is malformed, reserved or taken, or it would be read as something
        else where the old one is named.

    Examples
    --------
    >>> rename("parts: {a: {kind: lamp}}\\nwiring: {W1: {from: P1.1, to: a}}  # a", "parts", "a", "lamp")
    'parts: {lamp: {kind: lamp}}\\nwiring: {W1: {from: P1.1, to: lamp}}  # a'
    """
    tree = parse(text)
    _check_document(tree)
    found = mentions(tree)
    _check_old(found, space, old)
    if new == name_of(space, old):
        return text
    _check_new(found, space, old, new)
    meant = [mention for mention in found if (mention.space, mention.id) == (space, old)]
    changed = _replaced(text, meant, new)
    try:
        again = mentions(parse(changed))
    except PlanError:  # the name has a meaning of its own in one map, like `retired` among labels
        refuse(f"{space}.{new}", f'"{new}" has a meaning of its own in a plan. Take another id.')
    _check_unmistaken(found, again, space, old, new)
    return changed


def _check_document(tree: Map) -> None:
    """Refuse a document whose names are those of the file that it builds on."""
    of = tree.get("of")
    if isinstance(of, Scalar):
        refuse("of", f"the names of this document are those of {of.text}. Rename it there.")


def _check_old(found: list[Mention], space: str, old: str) -> None:
    given = [mention.id for mention in found if mention.gives and mention.space == space]
    if old not in given:
        refuse(f"{space}.{old}", unknown_id(old, f"entry of {space}", given))


def _check_new(found: list[Mention], space: str, old: str, new: str) -> None:
    shared = next((tuple(one) for one in SPACES if space in one), ())
    where = f"{space}.{new}"
    if shared and not is_id(new):
        refuse(where, f'"{new}" is no id: a letter first, then letters, digits and _.')
    if shared and new in RESERVED:
        refuse(where, f'"{new}" has a meaning of its own in a plan. Take another id.')
    if says := name_problem(new):
        refuse(where, says)
    scope = old.removesuffix(name_of(space, old))
    for other in found:
        if not other.gives or other.id == old or other.space not in (shared or (space,)):
            continue
        if other.id.removesuffix(other.name) == scope and other.name.casefold() == new.casefold():
            says = f'"{other.name}" is there already (line {other.node.line}). Take another id.'
            refuse(where, says if other.name == new else f"{says} Capitals do not tell them apart.")


def _replaced(text: str, meant: list[Mention], new: str) -> str:
    """Return the text with the name replaced wherever it is meant."""
    out, reached = [], 0
    for _, group in groupby(meant, key=lambda mention: mention.node.start):
        in_one = list(group)
        node = in_one[0].node
        out += [text[reached : node.start], _scalar(text[node.start : node.end], in_one, new)]
        reached = node.end
    return "".join(out) + text[reached:]


def _scalar(typed: str, meant: list[Mention], new: str) -> str:
    """Return one scalar as typed, with the name replaced; its quotes stay."""
    node, name = meant[0].node, meant[0].name
    begins = typed.find(node.text)
    if begins < 0:  # escapes or quotes stand in it
        return name_text(_put(node.text, [mention.at for mention in meant], name, new), True)
    fresh = _put(node.text, [mention.at for mention in meant], name, new)
    if not node.quoted and name_text(fresh, True) != fresh:
        return name_text(fresh, True)
    return typed[:begins] + fresh + typed[begins + len(node.text) :]


def _put(text: str, places: list[int], name: str, new: str) -> str:
    for at in reversed(places):
        text = text[:at] + new + text[at + len(name) :]
    return text


def _check_unmistaken(before: list[Mention], after: list[Mention], space: str, old: str, new: str) -> None:
    """Refuse a name that would be taken for something else where it is named, as in the ids of wires."""
    path = old.removesuffix(name_of(space, old))

    def moved(mention: Mention) -> tuple[str, str]:
        inside = mention.space in ("parts", "wiring") and mention.id.startswith(f"{old}/")
        if (mention.space, mention.id) == (space, old) or (space == "parts" and inside):
            return mention.space, path + new + mention.id[len(old) :]
        return mention.space, mention.id

    meant = [moved(mention) for mention in before]
    if meant == [(mention.space, mention.id) for mention in after]:
        return
    differs = next(
        (one for one, is_now in zip(before, after, strict=False) if moved(one) != (is_now.space, is_now.id)),
        before[-1],
    )
    where = ".".join(str(step) for step in differs.way)
    refuse(f"{space}.{new}", f'"{new}" would be taken for something else in {where}. Take another id.')


__all__ = ["rename"]
