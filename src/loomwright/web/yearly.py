"""The year of a van, worked out beside the page: nobody waits for it, and it stops when the plan goes on."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass

from loomwright.assessment.energy.days import Energy
from loomwright.assessment.energy.year import year_of
from loomwright.diagrams.energy import energy_sheets, no_year_sheet
from loomwright.documents.year import YearReport
from loomwright.drawing.scene import Sheet
from loomwright.errors import LoomwrightError
from loomwright.rules.check import Checked

_log = logging.getLogger(__name__)
#: A request waits so long for the next step. [s]
WAIT_S = 2.0
YEARS = 100


class _GoneOnError(Exception):
    """Another plan or another text lies on the table."""


@dataclass(frozen=True, slots=True)
class Came:
    """What came of it: the report, or None with the reason; and its sheets."""

    report: YearReport | None
    why: str
    sheets: tuple[Sheet, ...]


class Yearly:
    """The year of one plan.

    Parameters
    ----------
    checked : callable
        Gives the plan assessed and judged.
    """

    def __init__(self, checked: Callable[[], Checked]) -> None:
        self._checked = checked
        self._step = threading.Condition()
        self._runs = False
        self.done, self.of = 0, 0
        self.came: Came | None = None

    def has_tab(self) -> bool:
        """Say whether the plan has what a year is about: a season of use and a house battery."""
        job = self._checked().assessment
        return bool(job.plan.use) and bool(Energy(job).stores)

    def wait(self, go_on: Callable[[], bool], done: int = -1) -> Came | None:
        """Begin, if nobody has; return what came of it, or None after a step beyond `done` or some time.

        Parameters
        ----------
        go_on : callable
            Asked at each step; where it says False, all is given up until it is asked for again.
        done : int
            So many steps are known already.
        """
        with self._step:
            if self.came is None and not self._runs:
                self._runs, self.done = True, 0
                threading.Thread(target=self._work, args=(go_on,), daemon=True).start()
            self._step.wait_for(lambda: not self._runs or self.done > done, WAIT_S)
            return self.came

    def _work(self, go_on: Callable[[], bool]) -> None:
        came: Came | None = None
        try:
            came = self._year(go_on)
        except _GoneOnError:
            pass
        except Exception:
            _log.exception("The year could not be worked out.")
            came = Came(None, "it could not be worked out, a mistake of ours", ())
        finally:
            with self._step:
                self._runs, self.came = False, came
                self._step.notify_all()

    def _year(self, go_on: Callable[[], bool]) -> Came:
        def said(done: int, of: int) -> None:
            if not go_on():
                raise _GoneOnError
            with self._step:
                self.done, self.of = done, of
                self._step.notify_all()

        checked = self._checked()
        try:
            report = YearReport(checked.assessment, year_of(checked.assessment, YEARS, progress=said))
        except LoomwrightError as none:
            return Came(None, str(none), (no_year_sheet(checked, str(none)),))
        return Came(report, "", energy_sheets(checked, report.year, report.said()))
