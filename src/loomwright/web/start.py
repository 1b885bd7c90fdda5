"""What lies on the table at first: a copy of the demo van, a file, or a bare van for a file not made yet."""

from __future__ import annotations

from pathlib import Path

from .examples import DEMO, example_text
from .work import Table, copy_of, from_file, new_file

#: A van of which nothing is known yet.
BARE = """loomwright: 1
title: New van
region: eu

parts:
  starter: {kind: vehicle_battery, chemistry: flooded}
"""


def table_for(path: Path | None) -> Table:
    """Return the table for the argument of `open`.

    Raises
    ------
    PlanError
        The file is not a plan.
    OSError
        The file can't be read.
    """
    if path is None:
        return copy_of(example_text(DEMO), f"{DEMO}.yaml")
    return from_file(path) if path.exists() else new_file(path, BARE)
