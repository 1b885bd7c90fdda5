"""Other batteries, panels and chargers, run through the van's years beside the page when somebody asks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from loomwright.diagrams.choosing import choice_sheet
from loomwright.documents.choose import HEADS, ChoiceReport
from loomwright.drawing.svg import to_svg
from loomwright.errors import LoomwrightError
from loomwright.rules.check import Checked
from loomwright.sizing.choosing import choose

from .beside import Beside, Said
from .markup import fill
from .yearly import YEARS

#: So many designs stand in the table of the page.
_ROWS = 40


@dataclass(frozen=True, slots=True)
class Chosen:
    """What came of it: the report, or None with the reason."""

    report: ChoiceReport | None
    why: str


class Choosing(Beside[Chosen]):
    """The designs around one plan.

    Parameters
    ----------
    checked : callable
        Gives the plan assessed and judged.
    """

    def __init__(self, checked: Callable[[], Checked]) -> None:
        super().__init__(self._choose, lambda: Chosen(None, "it could not be worked out, a mistake of ours"))
        self._checked = checked

    def _choose(self, said: Said) -> Chosen:
        job = self._checked().assessment
        said(0, 0)
        try:
            return Chosen(ChoiceReport(job, choose(job, years=YEARS, progress=said)), "")
        except LoomwrightError as none:
            return Chosen(None, str(none))

    def markup(self, evening: bool) -> str:
        """Return what stands on the page: a button, or what came of it."""
        if self.came is None or self.came.report is None:
            return fill("choose.html", report=None, why=self.came.why if self.came else "")
        report = self.came.report
        sheet = choice_sheet(report.assessment.plan.title, report.choice)
        rows, head = report.rows(_ROWS)
        return fill(
            "choose.html",
            report=report,
            picture=to_svg(sheet, inline_fonts=False, evening=evening).decode(),
            heads=HEADS,
            rows=rows,
            head=head,
        )
