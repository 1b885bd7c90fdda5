"""Loomwright: plan, size, check, draw and print the electrics of a camper van.

Names are imported when they are first used, so that a command pays only for what it needs.

>>> import loomwright
>>> "check" in loomwright.__all__
True
"""

import importlib as _importlib
import typing as _typing

if _typing.TYPE_CHECKING:
    from loomwright.api import (
        Assessment,
        Plan,
        Report,
        assess,
        book,
        check,
        choose,
        draw,
        read,
        read_data,
        read_text,
        year,
    )
    from loomwright.errors import LoomwrightError, PlanError

__all__ = [
    "Assessment",
    "LoomwrightError",
    "Plan",
    "PlanError",
    "Report",
    "assess",
    "book",
    "check",
    "choose",
    "draw",
    "read",
    "read_data",
    "read_text",
    "year",
]
_ERRORS = ("LoomwrightError", "PlanError")


def __getattr__(name: str) -> _typing.Any:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(
        _importlib.import_module("loomwright.errors" if name in _ERRORS else "loomwright.api"), name
    )


def __dir__() -> list[str]:
    return sorted(__all__)
