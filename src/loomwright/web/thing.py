"""What can be chosen on the page."""

from __future__ import annotations

from typing import NamedTuple

KINDS = ("wire", "part", "stud", "place", "terminal", "finding")


class Thing(NamedTuple):
    """A thing of the plan by its id, ("wire", "W4") or ("terminal", "P1.3"), or a finding by its number."""

    kind: str
    id: str
