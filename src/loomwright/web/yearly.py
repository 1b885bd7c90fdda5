"""The year of a van, worked out beside the page: nobody waits for it, and it stops when the plan goes on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from loomwright.assessment.energy.days import Energy
from loomwright.assessment.energy.year import year_of
from loomwright.diagrams.energy import energy_sheets, no_year_sheet
from loomwright.documents.year import YearReport
from loomwright.drawing.scene import Sheet
from loomwright.errors import LoomwrightError
from loomwright.rules.check import Checked

from .beside import Beside, Said

YEARS = 100


@dataclass(frozen=True, slots=True)
class Came:
    """What came of it: the report, or None with the reason; and its sheets."""

    report: YearReport | None
    why: str
    sheets: tuple[Sheet, ...]


class Yearly(Beside[Came]):
    """The year of one plan.

    Parameters
    ----------
    checked : callable
        Gives the plan assessed and judged.
    """

    def __init__(self, checked: Callable[[], Checked]) -> None:
        super().__init__(self._year, lambda: Came(None, "it could not be worked out, a mistake of ours", ()))
        self._checked = checked

    def has_tab(self) -> bool:
        """Say whether the plan has what a year is about: a season of use and a house battery."""
        job = self._checked().assessment
        return bool(job.plan.use) and bool(Energy(job).stores)

    def _year(self, said: Said) -> Came:
        checked = self._checked()
        try:
            report = YearReport(checked.assessment, year_of(checked.assessment, YEARS, progress=said))
        except LoomwrightError as none:
            return Came(None, str(none), (no_year_sheet(checked, str(none)),))
        return Came(report, "", energy_sheets(checked, report.year, report.said()))
