"""The public verbs: read a plan, assess it, check it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from loomwright import store
from loomwright.assessment.assess import assess as _assess
from loomwright.assessment.record import Assessment
from loomwright.documents.report import Report
from loomwright.plan.model import Plan
from loomwright.plan.read import read_data as _read_data
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan

__all__ = ["Assessment", "Plan", "Report", "assess", "check", "read", "read_data", "read_text"]


def read(path: str | Path) -> Plan:
    """Read a plan file; files it builds on are looked for in the same folder.

    Parameters
    ----------
    path : str or Path
        A text file of the plan format.

    Returns
    -------
    Plan
        The whole document, checked.

    Raises
    ------
    PlanError
        The text is not a plan; the error carries every problem with its place.
    OSError
        The file can't be read.
    """
    path = Path(path)
    return read_plan(store.load(path).text, path.name, store.parent_reader(path))


def read_text(text: str) -> Plan:
    """Read a plan from its text.

    Raises
    ------
    PlanError
        The text is not a plan.
    """
    return read_plan(text)


def read_data(data: Mapping[str, object]) -> Plan:
    """Read a plan from the same tree as plain maps, lists and texts, as JSON gives it.

    Raises
    ------
    PlanError
        The tree is not a plan.
    """
    return _read_data(data)


def assess(plan: Plan) -> Assessment:
    """Work out every figure of a plan, at the worse end of what is not known.

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    """
    return _assess(plan)


def check(plan: Plan) -> Report:
    """Find what is dangerous, faulty or doubtful in a plan.

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    """
    return Report(check_plan(plan))
