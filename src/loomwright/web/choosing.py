"""Other batteries, panels and chargers, run through the van's years beside the page when somebody asks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from loomwright.diagrams.choosing import choice_sheet
from loomwright.documents.choose import HEADS, ChoiceReport
from loomwright.drawing.svg import to_svg
from loomwright.errors import LoomwrightError
from loomwright.rules.check import Checked
from loomwright.sizing.choosing import Limits, choose

from .beside import Beside, Said
from .markup import fill
from .yearly import YEARS

#: So many designs stand in the table of the page.
_ROWS = 40


@dataclass(frozen=True, slots=True)
class Asked:
    """What designs have to keep to, and the flat nights put up with."""

    limits: Limits = field(default_factory=Limits)
    nights: float = 1.0


#: The fields on the page, and what stands at them.
FIELDS = {
    "nights": "Flat nights a year put up with",
    "budget": "Budget",
    "payload": "Payload left, kg",
    "roof": "Room on the roof, m²",
}


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
        self.asked = Asked()

    def ask(self, asked: Asked) -> None:
        """Take up what was typed; other limits make what came of the last ones void."""
        with self._step:
            if not self.runs and asked != self.asked:
                self.asked, self.came = asked, None

    def _choose(self, said: Said) -> Chosen:
        job, asked = self._checked().assessment, self.asked
        said(0, 0)
        try:
            choice = choose(job, asked.limits, asked.nights, YEARS, progress=said)
            return Chosen(ChoiceReport(job, choice), "")
        except LoomwrightError as none:
            return Chosen(None, str(none))

    def markup(self, evening: bool) -> str:
        """Return what stands on the page: fields and a button, and what came of it."""
        limits = self.asked.limits
        typed = {
            "nights": self.asked.nights,
            "budget": limits.budget,
            "payload": limits.payload_kg,
            "roof": limits.roof_m2,
        }
        values = {name: "" if value is None else f"{value:g}" for name, value in typed.items()}
        came = self.came or Chosen(None, "")
        shown = {} if came.report is None else _shown(came.report, evening)
        return fill(
            "choose.html",
            report=came.report,
            why=came.why,
            fields=FIELDS,
            values=values,
            runs=self.runs,
            **shown,
        )


def _shown(report: ChoiceReport, evening: bool) -> dict[str, object]:
    """Return what the page shows of a report beside its own words."""
    sheet = choice_sheet(report.assessment.plan.title, report.choice)
    rows, head = report.rows(_ROWS)
    picture = to_svg(sheet, inline_fonts=False, evening=evening).decode()
    return {"picture": picture, "heads": HEADS, "rows": rows, "head": head}
