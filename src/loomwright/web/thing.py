"""What can be chosen on the page."""

from __future__ import annotations

from typing import NamedTuple

KINDS = ("wire", "part", "stud", "place", "terminal", "finding", "entry", "add")


class Thing(NamedTuple):
    """A thing of the plan by its id ("wire", "W4"), a finding by its number, what to add.

    An entry of the plan that is nowhere drawn has its path as id: "basis", "use.winter"; VAN is all of them.
    """

    kind: str
    id: str


#: The van itself: everything of the plan that is no part and no wire.
VAN = Thing("entry", "van")
