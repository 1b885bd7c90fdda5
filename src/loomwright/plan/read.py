"""Read a plan: text or JSON-like data in, a `Plan` or every problem out."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from loomwright.errors import PlanError, Problem
from loomwright.plan.advice import unknown_section
from loomwright.plan.checks import check_end, check_plan, check_ref
from loomwright.plan.columns import columns
from loomwright.plan.desk import Desk, Scope, check_ids, names_in
from loomwright.plan.model import VERSION, Plan
from loomwright.plan.near import begin_guessing
from loomwright.plan.overlay import Parent, lay_over, resolve_likes
from loomwright.plan.reader import Reader
from loomwright.plan.run_checks import Ways, check_run
from loomwright.plan.tree import Map, Scalar, from_data, parse, parse_all
from loomwright.plan.values import Quantity, Word


def read_plan(text: str, file: str = "plan", parent: Parent | None = None) -> Plan:
    """Read the text of a plan, variant, as-built record or set of readings.

    Parameters
    ----------
    text : str
        The document.
    file : str
        Its name, for the problems.
    parent : callable or None
        Gives the text of the file named in `of`; raises LookupError or OSError if there is none.

    Returns
    -------
    Plan
        Complete: laid over its parents, every `like` resolved, every reference known.

    Raises
    ------
    PlanError
        With every problem found, each with its place.

    Examples
    --------
    >>> read_plan("loomwright: 1\\ntitle: First van\\nregion: eu").title
    'First van'
    >>> read_plan("loomwright: 1\\ntitle: First van\\nregion: de")
    Traceback (most recent call last):
    ...
    loomwright.errors.PlanError: plan:3:9  region: "de" is not known here. Write uk, eu, na, au or nz.
    """
    tree, problems = parse_all(text, file)
    if tree is None:
        raise PlanError(problems)
    if not problems and tree.get("of") is None and (plan := _sound(text)) is not None:
        return plan
    return _read(tree, file, parent, problems, placed=True)


@lru_cache(maxsize=4)
def _sound(text: str) -> Plan | None:
    """Return the plan of a text that stands alone, None if anything is wrong with it.

    A change of a plan reads what it makes before it is kept, and what is kept is read again.
    """
    try:
        return _read(parse(text), "plan", None, [], placed=True)
    except PlanError:
        return None


def read_data(data: Mapping[str, Any], file: str = "plan", parent: Parent | None = None) -> Plan:
    """Read a plan given as JSON-like data; like `read_plan`, but its problems have no places.

    Raises
    ------
    PlanError
        With every problem found.
    """
    return _read(from_data(data, file), file, parent, [], placed=False)


def _read(tree: Map, file: str, parent: Parent | None, problems: list[Problem], *, placed: bool) -> Plan:
    """Read a tree that lacks what its `problems` are about."""
    begin_guessing()
    _check_version(tree, file, placed)
    laid, foreign = lay_over(tree, file, parent)
    desk = Desk(file, foreign)
    whole = resolve_likes(desk, laid)
    check_ids(desk, whole)
    names = names_in(whole)
    reader, scope = Reader(desk), Scope(names)
    known = Map(
        tuple((key, value) for key, value in whole.entries if key.text in columns(Plan)),
        *(whole.line, whole.column, whole.start, whole.end, whole.flow),
    )
    for key, value in whole.entries:
        if key.text not in columns(Plan):
            desk.note(key, key.text, unknown_section(key.text, value))
    plan = Plan(**reader.fields("Plan", known, "", scope, at=whole), tree=laid)
    _check_header(desk, plan, whole)
    for end in reader.ends:
        check_end(desk, end)
    for ref in reader.refs:
        check_ref(desk, ref, names)
    check_plan(desk, plan, whole)
    ways: Ways = {}
    for run in reader.runs:
        check_run(desk, run, ways)
    if problems or desk.problems:
        # what follows in a line that is no tree is often an echo
        lines = {(problem.file, problem.line) for problem in problems}
        more = [problem for problem in desk.problems if (problem.file, problem.line) not in lines]
        raise PlanError(dict.fromkeys(problems + more))
    return plan


def _check_version(tree: Map, file: str, placed: bool) -> None:
    """Refuse a newer format at once, and a document that does not begin with its version."""
    desk = Desk(file)
    version = tree.get("loomwright")
    if version is None:
        desk.note(tree, "", f"the version is missing. Write loomwright: {VERSION} as the first line.")
    elif isinstance(version, Scalar) and version.text.isdecimal() and int(version.text) > VERSION:
        desk.note(
            version,
            "loomwright",
            f"this file is version {version.text}, this program reads up to {VERSION}. Use a newer program.",
        )
    elif placed and tree.entries[0][0].text != "loomwright":
        desk.note(
            version, "loomwright", f"the version comes first. Move loomwright: {VERSION} to the first line."
        )
    elif isinstance(version, Scalar) and version.text != str(VERSION):
        desk.note(
            version,
            "loomwright",
            f'"{version.text}" is no version of the format. Write loomwright: {VERSION}.',
        )
    if desk.problems:
        raise PlanError(desk.problems)


def _check_header(desk: Desk, plan: Plan, tree: Map) -> None:
    system = tree.get("system")
    volts = plan.system.low if isinstance(plan.system, Quantity) and plan.system.known else None
    if system is not None and volts not in (12.0, 24.0) and not isinstance(plan.system, Word):
        desk.note(system, "system", "the system is 12 V or 24 V. A part of another voltage says so itself.")
    elif isinstance(plan.system, Word) and system is not None:
        desk.note(system, "system", "the system has to be known. Write 12 V or 24 V.")
    for name in ("readings", "removed"):
        node = tree.get(name)
        allowed = ("readings",) if name == "readings" else ("variant", "as_built")
        if node is not None and plan.document not in allowed:
            desk.note(node, name, f"{name} can only stand in a document of {' or '.join(allowed)}.")
