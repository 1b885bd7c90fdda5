"""From an assessment with its findings to the sheets of the wiring diagram."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from loomwright.assessment.mode_flow import ModeFlow
from loomwright.assessment.modes import ModeFigure
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import (
    Numbered,
    cautions,
    danger_band,
    mains_notice,
    margin_entries,
    numbered,
    title_block,
    typed,
)
from loomwright.drawing.frame import PAPER, Border, border_items, column_row
from loomwright.drawing.geometry import Point, length_along
from loomwright.drawing.scene import Drawn, Sheet, Sign, Symbol, Text, Wire
from loomwright.drawing.symbols_marks import charging_way, feeding_way
from loomwright.drawing.symbols_parts import MOTOR
from loomwright.drawing.wires import broken_at_crossings
from loomwright.plan.pieces import Piece
from loomwright.rules.check import Checked

from .columns import is_tap
from .fed import fed_through
from .feet import draw_feet
from .in_faults import KEY as FAULTS_KEY
from .in_faults import InFaults, joined_to, metres_on, pieces_in_one_line
from .in_state import KEY as LIVE_KEY
from .in_state import InState, spots_of_letters
from .marks import PartMark, middle_of
from .missing import missing_ends
from .network import build_net, low_wires
from .overfull import painters_of
from .paint import Painter
from .sides import hang
from .signs import MOTOR_KINDS
from .signs_of_findings import SignSetter
from .strands import PartStep
from .strip import COLUMNS
from .units import with_units
from .words import Words
from .write import write_sheet

KEY = (
    "Wire id · colour letters (IEC 60757) and mm² · length one way. * chosen by the program. "
    "Symbols after IEC 60617."
)
#: Signs that speak for themselves; they leave the legend first when there are too many.
_PLAIN = ("generator", "motor", "converter", "senses voltage", "solar panel", "equipment", "lamp", "battery")
_MOST_SIGNS = 10
_AT_REST = "Drawn at rest: engine off, switches as they rest, relays dropped out. No mains on this sheet."
_AS_IT_STANDS = (
    "Drawn as it stands: {}. What bears no band may be live all the same: test first. No mains here."
)
_SHORTS = (
    "Bands say when a short there is over at the latest, in the worst mode, if each fuse is of the type and "
    "rating written here. Returns bear none. No mains here."
)


def wiring_sheets(
    checked: Checked, figure: ModeFigure | None = None, flow: ModeFlow | None = None
) -> tuple[Sheet, ...]:
    """Draw the wiring diagram of a plan, 12/24 V side, at rest or as it stands in a mode.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings; no figure is worked out here.
    figure : ModeFigure, optional
        How the contacts stand and what is live; at rest if it is left out.
    flow : ModeFlow, optional
        What flows in that mode.

    Returns
    -------
    tuple of Sheet
        One A3 sheet for each 19 columns; every wire and every wired part stands on exactly one of them.
    """
    return WiringDrawing(checked).sheets(figure, flow)


def fault_sheets(checked: Checked) -> tuple[Sheet, ...]:
    """Draw the wiring diagram banded by how soon a short is over at each metre of each wire.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings.

    Returns
    -------
    tuple of Sheet
        As `wiring_sheets` has them.
    """
    return WiringDrawing(checked).faults()


class WiringDrawing:
    """The wiring diagram of a plan, laid out once; then drawn at rest, or in any state.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings.
    """

    def __init__(self, checked: Checked) -> None:
        job = checked.assessment
        hung = with_units(hang(build_net(job.wiring, missing_ends(checked))))
        words = Words(job)
        painters = painters_of(job, hung, words)
        words.taps = frozenset(bar for bar in hung.bars if hung.above[bar] and is_tap(hung, bar))
        words.fed = fed_through(hung, job.wiring.parts, words.live)
        for painter in painters:
            painter.paint()
        words.levels = {
            (place, bar): y for place, p in enumerate(painters) for bar, y in p.heights.bars.items()
        }
        words.spots = dict(_halves_of_relays(painters))
        for painter in painters:
            write_sheet(painter)
        self._checked, self._painters, self._findings = checked, painters, numbered(checked)
        self._spots = dict(_signs(painters, self._findings))
        self._drawn = [broken_at_crossings(painter.canvas.items) for painter in painters]

    def sheets(self, figure: ModeFigure | None = None, flow: ModeFlow | None = None) -> tuple[Sheet, ...]:
        """Return the sheets at rest, or as they are in a mode."""
        found = tuple(self.sheet(place, figure, flow) for place in range(len(self._painters)))
        _assert_complete(self._checked.assessment, found)
        return found

    @cached_property
    def _letters(self) -> list[list[tuple[Piece, Text]]]:
        """By sheet, where letters may stand that say what makes a wire live."""
        return [list(spots_of_letters(painter.marks.wires, painter.canvas)) for painter in self._painters]

    def sheet(self, place: int, figure: ModeFigure | None = None, flow: ModeFlow | None = None) -> Sheet:
        """Return one sheet, counted from 0, at rest or as it is in a mode."""
        if figure is None:
            return self._on_paper(place, self._drawn[place], _Overlay("", _AT_REST, KEY))
        state = InState(self._checked.assessment, figure, flow)
        drawn = [*state.drawn(self._drawn[place]), *state.lettered(self._letters[place])]
        overlay = _Overlay(state.name, _AS_IT_STANDS.format(state.name), LIVE_KEY, state)
        return self._on_paper(place, drawn, overlay)

    def faults(self) -> tuple[Sheet, ...]:
        """Return the sheets banded by when a short is over; the drawing is used up by the words on them."""
        along, painters = self._checked.assessment.faults.along, self._painters
        joined = joined_to(self._checked.assessment)
        whole = pieces_in_one_line([painter.marks for painter in painters])
        found = []
        for place, painter in enumerate(painters):
            faults = InFaults(along, joined, painter.marks, whole)
            drawn = [*faults.drawn(self._drawn[place]), *faults.worded(painter.canvas)]
            found.append(self._on_paper(place, drawn, _Overlay("shorts", _SHORTS, FAULTS_KEY)))
        _assert_complete(self._checked.assessment, found)
        return tuple(found)

    def metres(self, place: int) -> dict[str, list[list[tuple[float, float, float]]]]:
        """Return by wire its lines on one sheet, with the metre of the wire at each corner."""
        along, painters = self._checked.assessment.faults.along, self._painters
        return metres_on(
            along, painters[place].marks, pieces_in_one_line([painter.marks for painter in painters])
        )

    def _on_paper(self, place: int, drawn: Sequence[Drawn], overlay: _Overlay) -> Sheet:
        """Return one sheet with its frame, feet and title."""
        checked, painters = self._checked, self._painters
        job, painter = checked.assessment, painters[place]
        names = {}
        for number, (on, at) in self._spots.items():
            spot = column_row(at, COLUMNS)
            names[number] = spot if on == place else f"{painter.words.spot_sheet(on)}/{spot}"
        part_of = f", part {place + 1} of {len(painters)}" if len(painters) > 1 else ""
        stands = f": {overlay.name}" if overlay.name else ""
        title = f"Wiring diagram, {typed(job.plan.system) or '12 V'} side{part_of}{stands}"
        others = [str(other + 1) for other in range(len(painters)) if other != place]
        reads = (f"Sheet {', '.join(others)} wiring",) if others else ()
        block = title_block(job.plan, title, sheet=place + 1, sheets=len(painters), reads_with=reads)
        border = Border(
            columns=COLUMNS,
            title_block=block,
            findings=margin_entries(self._findings, names),
            danger_band=danger_band(checked),
            notice=mains_notice(job),
            cautions=cautions(job, overlay.caution),
            key=overlay.key,
            signs=_signs_used(painter, drawn),
        )
        items = (*border_items(border), *draw_feet(painter, self._findings, overlay.state), *drawn)
        wires = len({mark.piece.id for mark in painter.marks.wires})
        says = f"{title} of {job.plan.title}: {wires} wires, {len(checked.findings)} findings."
        full_title = f"{job.plan.title}: {title}"
        return Sheet(width=PAPER[0], height=PAPER[1], title=full_title, description=says, items=items)


@dataclass(frozen=True, slots=True)
class _Overlay:
    """What a sheet shows: its name in the title ("" at rest), its caution and key, the state it is in."""

    name: str
    caution: str
    key: str
    state: InState | None = None


def _halves_of_relays(painters: list[Painter]) -> Iterator[tuple[tuple[str, str], tuple[int, str]]]:
    """Yield where the coil and the contact of each relay stand."""
    for place, painter in enumerate(painters):
        for mark in painter.marks.parts:
            part = painter.parts.get(mark.id)
            if part is None or part.kind != "relay" or mark.kind not in ("part", "block"):
                continue
            step = mark.step
            coil = isinstance(step, PartStep) and bool({step.enter, step.leave} & {"85", "86"})
            yield (
                (mark.id, "coil" if coil else "contact"),
                (place, column_row(_contact_at(mark), COLUMNS)),
            )


def _contact_at(mark: PartMark) -> Point:
    """Return where a contact or coil itself is drawn: in its own column."""
    return middle_of(mark.column), mark.room.centre[1]


def _signs(painters: list[Painter], findings: Iterable[Numbered]) -> Iterator[tuple[int, tuple[int, Point]]]:
    """Set the sign of each finding on the first sheet that shows its thing."""
    setters = [SignSetter(painter) for painter in painters]
    for one in findings:
        for place, setter in enumerate(setters):
            at = setter.set(one)
            if at is not None:
                yield one.number, (place, at)
                break


def _signs_used(painter: Painter, drawn: Iterable[Drawn]) -> tuple[Sign, ...]:
    """Return each sign used on a sheet once; where they are many, those with letters in them are left out."""
    seen: set[str] = set()
    kinds = {painter.parts[mark.id].kind for mark in painter.marks.parts if mark.id in painter.parts}
    used = [_in_legend(item.sign) for item in drawn if isinstance(item, Symbol) and item.layer != "findings"]
    found = [*used, *([MOTOR] if kinds & set(MOTOR_KINDS) else [])]
    shown: list[Sign] = []
    for sign in found:
        if sign.title not in seen:
            seen.add(sign.title)
            shown.append(sign)
    plain = [sign for sign in shown if sign.title in _PLAIN]
    while len(shown) > _MOST_SIGNS and plain:
        shown.remove(plain.pop())
    return tuple(shown)


def _in_legend(sign: Sign) -> Sign:
    """Return the form of a sign that shows on bare paper: an arrowhead with an edge."""
    plain = {one.title: one for one in (charging_way(1.0), feeding_way(1.0))}
    return plain.get(sign.title, sign)


def _assert_complete(job: Assessment, sheets: Iterable[Sheet]) -> None:
    """Every wire of the 12/24 V side stands on the sheets, as a line that can be seen.

    Raises
    ------
    AssertionError
        A wire was left out: a fault of this program, never of the plan. Raised by hand, so that no
        option of the interpreter switches it off.
    """
    drawn = (item for sheet in sheets for item in sheet.items if isinstance(item, Wire))
    seen = (wire.of for wire in drawn if length_along(wire.points) > 0.0)
    shown = {of.id for of in seen if of is not None and of.kind == "wire"}
    missing = [id for id in low_wires(job.wiring) if id not in shown]
    if missing:
        raise AssertionError(f"wires that are not drawn: {', '.join(missing)}")
