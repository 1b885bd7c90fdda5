"""What if: knobs on the tab Energy; moved, they draw the year anew, and nothing of it is in the plan."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

from loomwright.assessment.energy.year_record import Year
from loomwright.diagrams.energy import what_if_sheet
from loomwright.documents.what_if import WRITTEN, differences, supposed, written
from loomwright.drawing.svg import to_svg
from loomwright.rules.check import Checked
from loomwright.sizing.what_if import Knob, Tried, WhatIf

from .markup import edits_json, fill


class Supposing:
    """The questions put to one plan.

    Parameters
    ----------
    checked : callable
        Gives the plan assessed and judged; it has a year.
    """

    def __init__(self, checked: Callable[[], Checked]) -> None:
        self._checked = checked
        self._asked: WhatIf | None = None
        self._own: dict[int, Year] = {}
        self._lock = threading.Lock()

    @property
    def knobs(self) -> tuple[Knob, ...]:
        """What may be moved."""
        return tuple(self._what_if().knobs.values())

    def markup(self) -> str:
        """Return the knobs as they stand on the page."""
        return fill("what_if.html", knobs=self.knobs, written=WRITTEN)

    def answer(self, values: dict[str, float], years: int, evening: bool) -> dict[str, Any]:
        """Return the picture, its words and the edits, as JSON.

        Raises
        ------
        ValueError
            There is no such knob, or it cannot be moved so far.
        """
        tried = self._what_if().suppose(values, years)
        before = self._before(years)
        what, said = supposed(tried), differences(tried, before)
        sheet = what_if_sheet(self._checked(), tried.year, before, what, _words(tried, said))
        return {
            "years": years,
            "what": what,
            "says": said,
            "edits": edits_json(tried.edits) if tried.edits else "",
            "step": written(tried),
            "drawing": to_svg(sheet, inline_fonts=False, evening=evening).decode(),
        }

    def _what_if(self) -> WhatIf:
        with self._lock:
            if self._asked is None:
                self._asked = WhatIf(self._checked().assessment)
            return self._asked

    def _before(self, years: int) -> Year:
        """Return the plan's own figures of as many years."""
        what_if = self._what_if()
        if years not in self._own:
            self._own[years] = what_if.suppose({}, years).year
        return self._own[years]


def _words(tried: Tried, said: list[str]) -> list[tuple[str, list[str]]]:
    heads = [("What comes of it", said)]
    if tried.changed:
        heads.append(
            ("Nothing of this is in the plan", ["Its own promises and habits stand on its own sheet."])
        )
    return heads
