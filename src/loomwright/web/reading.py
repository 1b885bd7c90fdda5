"""One readable text with all that follows from it, each worked out when it is first asked for."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial

from loomwright.diagrams.loom import loom_sheets
from loomwright.diagrams.modes import mode_sheets
from loomwright.diagrams.system import system_sheets
from loomwright.diagrams.van import BANDS, By, VanDrawing
from loomwright.diagrams.wiring import WiringDrawing, fault_sheets
from loomwright.documents.report import Report
from loomwright.drawing.frame import MARGIN_BOX
from loomwright.drawing.scene import Sheet
from loomwright.drawing.svg import to_svg
from loomwright.plan.calendar import MONTHS
from loomwright.plan.model import Plan
from loomwright.rules.check import Checked, check_plan

from .choosing import Choosing
from .curing import Curing
from .supposing import Supposing
from .yearly import Yearly

_log = logging.getLogger(__name__)


#: Sheets that take long to draw and are not looked at while wires are changed.
SELDOM = ("van", "loom")
#: What stands on the sheets of one name: kinds and ids, sheet by sheet.
Shown = tuple[tuple[tuple[str, str], ...], ...]


@dataclass(slots=True)
class Reading:
    """A plan with its assessment, findings and sheets.

    Parameters
    ----------
    text : str
        What was read.
    plan : Plan
        What it says.

    before : mapping of str to Shown
        What stood on the sheets that are seldom looked at, by name, before the last change.

    Attributes
    ----------
    cures : Curing
        The cures of its findings, looked for when they are first asked for.
    yearly : Yearly
        Its year, worked out when it is first asked for.
    choosing : Choosing
        Other sizes of battery, panels and charger, tried when somebody asks for them.
    supposing : Supposing
        Its year with something changed, drawn while somebody moves it.
    """

    text: str
    plan: Plan
    cures: Curing = field(init=False)
    yearly: Yearly = field(init=False)
    choosing: Choosing = field(init=False)
    supposing: Supposing = field(init=False)
    before: Mapping[str, Shown] = field(default_factory=dict)
    _shown: dict[str, Shown] = field(default_factory=dict, init=False)
    _checked: Checked | None = field(default=None, init=False)
    _wiring: WiringDrawing | None = field(default=None, init=False)
    _vans: dict[By, VanDrawing] = field(default_factory=dict, init=False)
    _sheets: dict[str, tuple[Sheet, ...]] = field(default_factory=dict, init=False)
    _svgs: dict[tuple[str, int, bool], str] = field(default_factory=dict, init=False)
    _lock: threading.RLock = field(default_factory=threading.RLock, init=False)

    def __post_init__(self) -> None:
        self.cures = Curing(lambda: self.checked)
        self.yearly = Yearly(lambda: self.checked)
        self.choosing = Choosing(lambda: self.checked)
        self.supposing = Supposing(lambda: self.checked)

    @property
    def checked(self) -> Checked:
        """The assessment and its findings."""
        with self._lock:
            if self._checked is None:
                self._checked = check_plan(self.plan)
            return self._checked

    @property
    def report(self) -> Report:
        """The report as `check` gives it."""
        return Report(self.checked)

    @property
    def wiring(self) -> WiringDrawing:
        """The wiring diagram, laid out once."""
        with self._lock:
            if self._wiring is None:
                self._wiring = WiringDrawing(self.checked)
            return self._wiring

    def van(self, by: By) -> VanDrawing:
        """The van sheet with one of its bands, or none."""
        with self._lock:
            if by not in self._vans:
                self._vans[by] = VanDrawing(self.checked, by)
            return self._vans[by]

    def _van_sheets(self, by: By, _: Checked) -> tuple[Sheet, ...]:
        drawing = self.van(by)
        return (drawing.sheet(),) if drawing.spots else ()

    @staticmethod
    def van_name(by: By) -> str:
        """Return the name under which the van sheet with a band is asked for."""
        return f"van {by}" if by else "van"

    @staticmethod
    def system_name(month: str) -> str:
        """Return the name under which the system sheet with a month's mean day is asked for."""
        return f"system {month}" if month else "system"

    def sheets(self, name: str) -> tuple[Sheet, ...]:
        """Return the sheets of a name that is no list ("van", "wiring" ...); none if they can't be drawn.

        A plan that breaks the drawing must not take the page with it, where the plan could be mended.
        """
        draws: dict[str, Callable[[Checked], Iterable[Sheet]]]
        draws = {
            **{self.system_name(month): partial(_system_sheets, month) for month in ("", "none", *MONTHS)},
            "wiring": lambda _: self.wiring.sheets(),
            **{self.van_name(by): partial(self._van_sheets, by) for by in ("", *BANDS)},
            "loom": loom_sheets,
            "modes": mode_sheets,
            "faults": fault_sheets,
            "energy": lambda _: self.yearly.came.sheets if self.yearly.came is not None else (),
        }
        with self._lock:
            if name not in self._sheets:
                try:
                    self._sheets[name] = tuple(draws[name](self.checked))
                except Exception:
                    _log.exception("The %s sheet of %s could not be drawn.", name, self.plan.title)
                    self._sheets[name] = ()
            return self._sheets[name]

    def shown(self, name: str) -> Shown:
        """Return what stands in the field of each sheet of a name: kind and id, in the order drawn.

        Sheets that are seldom looked at are not drawn for that alone: as long as nobody has looked, what
        stood on them before the last change is told.
        """
        with self._lock:
            if name in SELDOM and name not in self._sheets and name in self.before:
                return self.before[name]
            if name not in self._shown:
                self._shown[name] = tuple(_in_field(sheet) for sheet in self.sheets(name))
            return self._shown[name]

    def remembered(self) -> dict[str, Shown]:
        """Return what stood on the sheets that are seldom looked at, as far as anybody has looked."""
        with self._lock:
            drawn = {name: self.shown(name) for name in SELDOM if name in self._sheets}
            return {**self.before, **drawn}

    def svg(self, name: str, number: int, evening: bool) -> str:
        """Return a sheet as it lies in the page, with the page's own fonts; `number` counts from 0."""
        with self._lock:
            key = name, number, evening
            if key not in self._svgs:
                sheet = self.sheets(name)[number]
                self._svgs[key] = to_svg(sheet, inline_fonts=False, evening=evening).decode()
            return self._svgs[key]


def _system_sheets(month: str, checked: Checked) -> list[Sheet]:
    return system_sheets(checked, month)


def _in_field(sheet: Sheet) -> tuple[tuple[str, str], ...]:
    """Return what can be chosen in the field of a sheet, its margin of findings left out."""
    of = (item.of for item in sheet.items if item.of is not None and item.box().left < MARGIN_BOX.left)
    return tuple(dict.fromkeys((one.kind, one.id) for one in of if one.kind != "corner"))
