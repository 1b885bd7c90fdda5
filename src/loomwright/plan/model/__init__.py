"""The plan as frozen records; the dataclasses are the one field table (see `columns`).

What was not typed has these values:

- a default that the table states as such ("M8", "0 m", no, 1, unknown) is there as the value read from it;
- `unknown` is `UNKNOWN` for quantities, counts, yes/no and words, `Running(UNKNOWN)` and the like in forms;
  a reference, point, list or map that is not known is None;
- "by kind", "by region", "set", "worked out" and the like are None: who knows better fills it;
- a list or map of nothing ("–", "none") is empty.

`typed` names the fields that stand in the text. `like` is resolved: a part or season is complete.
A value `by` something is a `Curve`, with no axis if one value was typed.
"""

from __future__ import annotations

from types import MappingProxyType

from loomwright.plan.model.entry import Entry
from loomwright.plan.model.life import (
    Accepted,
    Cargo,
    Labels,
    Mode,
    Prices,
    Promise,
    Reading,
    Revision,
    Season,
    Supply,
)
from loomwright.plan.model.parts import CutOff, Inside, Output, Part, Second
from loomwright.plan.model.plan import VERSION, Plan
from loomwright.plan.model.van import Basis, Contacts, Limits, Path, Place, Point, Site, Stud, Vehicle, YesNo
from loomwright.plan.model.wiring import FuseEntry, Fuses, Leg, Return, Run

#: Every record by the name that `columns.Nested` calls it.
RECORDS = MappingProxyType(
    {
        record.__name__: record
        for record in (
            *(Plan, Vehicle, Site, Basis, Limits, Contacts, Place, Path, Stud, Part, CutOff, Second, Output),
            *(Inside, Run, Leg, Return, FuseEntry, Supply, Mode, Season, Promise, Cargo, Prices, Labels),
            *(Revision, Accepted, Reading),
        )
    }
)

__all__ = [
    "RECORDS",
    "VERSION",
    "Accepted",
    "Basis",
    "Cargo",
    "Contacts",
    "CutOff",
    "Entry",
    "FuseEntry",
    "Fuses",
    "Inside",
    "Labels",
    "Leg",
    "Limits",
    "Mode",
    "Output",
    "Part",
    "Path",
    "Place",
    "Plan",
    "Point",
    "Prices",
    "Promise",
    "Reading",
    "Return",
    "Revision",
    "Run",
    "Season",
    "Second",
    "Site",
    "Stud",
    "Supply",
    "Vehicle",
    "YesNo",
]
