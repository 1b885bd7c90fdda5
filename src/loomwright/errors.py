"""The errors that a caller may meet.

LoomwrightError
├── PlanError          the text is not a plan, or does not name one definite van; carries every problem
├── OutOfTableError    a table was asked for a value that it does not hold
├── OutOfClimate       no sun and air are held for the place that was asked for
├── MissingExtra       a package that only some answers need is not installed
├── NoYearError        the plan leaves out what a year can't be run without
├── StoppedError       the caller asked to stop, and nothing came of it
├── NoSuchModeError    a sheet was asked for in a mode that the van, or the sheet, does not have
├── WeatherFileError   a weather file can't be read; carries every problem with its line
└── ChangedMeanwhile   the file to be saved is no longer the one that was read

A poor plan is a finding, never an exception; a bug of ours is an `assert`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class LoomwrightError(Exception):
    """Base of all errors that a caller may want to catch."""


class OutOfTableError(LoomwrightError, ValueError):
    """A table was asked for a size or condition that it does not hold."""


class OutOfClimate(LoomwrightError, ValueError):  # noqa: N818  (where it is, not what broke)
    """The climate was asked for a place that it does not hold: open sea, or too near a pole."""


class MissingExtra(LoomwrightError, ImportError):  # noqa: N818
    """An answer needs a package that is not installed; the text says how to get it."""


class NoYearError(LoomwrightError, ValueError):
    """A year was asked of a plan without a house battery, a season of use, or a place."""


class StoppedError(LoomwrightError):
    """The caller asked to stop before all had been worked out."""


class NoSuchModeError(LoomwrightError, ValueError):
    """A sheet was asked for in a mode that this van, or this sheet, does not have."""


class ChangedMeanwhile(LoomwrightError):  # noqa: N818  (it says what happened, and nothing failed)
    """The file to be saved has been changed, made or deleted by another program; nothing was written."""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing wrong in a plan's text, with its place (line and column count from 1)."""

    line: int
    column: int
    path: str
    says: str
    file: str = "plan"

    def __str__(self) -> str:
        return (
            f"{self.file}:{self.line}:{self.column}  {self.path}: {self.says}"
            if self.path
            else (f"{self.file}:{self.line}:{self.column}  {self.says}")
        )


#: So many problems are printed; the rest is counted.
PRINTED_AT_MOST = 50


class _WithProblems(LoomwrightError):  # noqa: N818  (a base, never raised)
    """Carries problems and prints them."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__(str(self))

    def __str__(self) -> str:
        lines = [str(problem) for problem in self.problems[:PRINTED_AT_MOST]]
        rest = len(self.problems) - PRINTED_AT_MOST
        if rest > 0:
            lines.append(f"... and {rest} more.")
        return "\n".join(lines)


class PlanError(_WithProblems):
    """The text can't be read as a plan; `problems` holds every reason, in the order of the file."""


class WeatherFileError(_WithProblems, ValueError):
    """A weather file can't be read; `problems` holds every reason, in the order of the file."""
