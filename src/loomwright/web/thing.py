"""What can be chosen on the page."""

from __future__ import annotations

from typing import NamedTuple

KINDS = ("wire", "part", "stud", "place", "terminal", "finding", "add")


class Thing(NamedTuple):
    """A thing of the plan by its id ("wire", "W4"), a finding by its number, or what to add."""

    kind: str
    id: str
