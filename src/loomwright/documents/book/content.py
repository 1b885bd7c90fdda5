"""All that a book says, as plain data for its pages; no markup, and no sums beyond counting."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass

from loomwright.assessment.energy.year_record import Year
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import OWN_WORKSHOP, mains_notice, numbered, typed
from loomwright.diagrams.fuse_label import fuse_boxes, loose_fuses
from loomwright.documents.cured import Told
from loomwright.documents.lists import List, Lists
from loomwright.documents.promised import CAUTION as PROMISE_CAUTION
from loomwright.documents.promised import as_data, promised_of
from loomwright.documents.report import CAUTION, not_judged
from loomwright.drawing.lettering import clean, shorten, with_held_letters
from loomwright.drawing.pdf import sheet_alt
from loomwright.drawing.scene import Sheet
from loomwright.plan.model import Plan
from loomwright.rules.check import Checked, count
from loomwright.rules.finding import SEVERITIES, Finding
from loomwright.sizing.nearest import Nearest
from loomwright.tables.earth_points import TORQUE_NM

from .basis import choices, cite_all, counted_with, guesses
from .cautions import cautions_of
from .citing import CONFIDENCE, Citing
from .found import GRAVE, chains, flips_words, found_rows, sentence
from .inspection import inspection_steps
from .loose import fuse_rows, joint_rows, odd_rows
from .marks import marks_of
from .notice import notices
from .rest import Rest
from .studs import stud_rows
from .wires import WireRow, wire_rows

Data = dict[str, object]
#: What the word beside a cure means to a reader.
RECHECKED_MEANS = (
    "Re-checked: the change was made to the plan, and all of it worked out and judged anew; "
    "the finding is gone, and nothing has come that was not there. "
    "Whether it can be built so, the person at the van decides."
)
#: The lists of the loom by the chapter they stand in; earth points have a chapter of their own.
MADE = ("cuts", "ends", "plugs", "splices", "holes")
GOODS = ("order", "weights", "prices")
ENERGY = ("days", "settings")
MAINS = ("pitch",)
#: Room in the foot line for the van's name, and for serial, revision, date and who checked. [mm]
_FOOT_VAN_MM, _FOOT_WORDS_MM = 52.0, 92.0


@dataclass(frozen=True, slots=True)
class Changes:
    """What was tried on the plan: the cure of each finding by its number, and what flips the verdicts."""

    cures: Mapping[int, Told]
    flips: Nearest


def content(
    checked: Checked,
    sheets: Sequence[Sheet],
    labels: Sequence[Sheet],
    changes: Changes,
    rests: Sequence[list[Rest]],
    year: Year | None = None,
) -> Data:
    """Return the data of a book.

    Parameters
    ----------
    checked : Checked
        A plan assessed and judged.
    sheets, labels : sequence of Sheet
        The drawings, and the fuse labels; the pages show them as pictures by their numbers.
    changes : Changes
        Cures and flips.
    rests : sequence of list of Rest
        For each of the drawings the words that the pages write onto it.
    year : Year or None
        The van's years of weather; then the last of the sheets is theirs.
    """
    job, plan, citing = checked.assessment, checked.assessment.plan, Citing()
    cautions = cautions_of(job)
    wires = wire_rows(checked)
    studs = stud_rows(checked)
    loom = Lists(job).printed
    found = found_rows(checked, citing, changes.cures, changes.flips)
    sums = chains(checked, citing)
    cite_all(checked, citing)
    of_year = 0 if year is None else 1
    pictures = [
        _sheet(sheet, f"sheet-{n}.svg") | {"rests": [asdict(one) for one in rests[n]]}
        for n, sheet in enumerate(sheets)
    ]
    return {
        "title": plan.title,
        "foot": _foot(plan),
        "cover": _cover(checked),
        "bands": {"dangers": count(checked.findings, "danger"), "mains": _mains(checked)},
        "counts": _counts(checked),
        "not_judged": list(not_judged(job)),
        "caution": " ".join(CAUTION.split()),
        "cautions": [{"head": c.head, "says": c.says, "source": str(c.source)} for c in cautions],
        "findings": [asdict(row) for row in found],
        "rechecked": RECHECKED_MEANS,
        "flips": flips_words(changes.flips),
        "chains": [asdict(row) for row in sums],
        "sheets": pictures[: len(pictures) - of_year],
        "energy_sheets": pictures[len(pictures) - of_year :],
        "labels": [_sheet(sheet, f"label-{n}.svg") for n, sheet in enumerate(labels)],
        "wires": [_wire(row) for row in wires],
        "wire_findings": _grave(checked, {row.id for row in wires} | {row.figure.run for row in wires}),
        "fuses": _fuses(checked),
        "studs": [{**asdict(row), "figure": None} for row in studs],
        "stud_findings": _grave(checked, {row.id for row in studs}),
        "loose": _loose(job),
        "making": [_list(one) for one in loom if one.name in MADE],
        "goods": [_list(one) for one in loom if one.name in GOODS],
        "promised": as_data(promised_of(checked, year)),
        "promised_caution": PROMISE_CAUTION,
        "energy": [_list(one) for one in loom if one.name in ENERGY],
        "pitch": [_list(one) for one in loom if one.name in MAINS],
        "inspection": [asdict(step) for step in inspection_steps(job)],
        "notices": [asdict(one) for one in notices(job)],
        "torque": "; ".join(f"{thread} about {nm:g} N·m" for thread, nm in TORQUE_NM.items()),
        "counted": [asdict(row) for row in counted_with(plan)],
        "guesses": [asdict(row) for row in guesses(checked)],
        "choices": [asdict(row) for row in choices(job)],
        "sources": [asdict(row) for row in citing.rows()],
        "confidence": [{"word": word, "means": means} for word, means in CONFIDENCE.items()],
        "revisions": [
            {"id": id, "date": str(one.date or ""), "by": one.by or "", "says": sentence(one.says)}
            for id, one in plan.revisions.items()
        ],
    }


def _list(made: List) -> Data:
    """Return a list of the loom as its pages want it: every cell as printed."""
    made = made.used
    return {
        "title": made.title,
        "lead": made.lead,
        "columns": [{"head": one.titled, "wide": one.wide, "figure": one.is_figure} for one in made.below],
        "groups": [
            {
                "over": over,
                "rows": [
                    [column.shown(cell) for column, cell in zip(made.below, row, strict=True)] for row in rows
                ],
            }
            for over, rows in made.grouped
        ],
        "notes": list(made.notes),
        "faces": [
            {"title": face.title, "rows": [[list(pin) for pin in row] for row in face.rows]}
            for face in made.faces
        ],
    }


def _foot(plan: Plan) -> Data:
    revision = f"revision {plan.revision}" if plan.revision else "no revision named"
    serial = plan.serial or ", ".join(plan.serials)
    words = [f"serial {serial}" if serial else "", revision, str(plan.date or "")]
    words.append(f"checked by: {plan.checked_by or 'open'}")
    return {
        "van": shorten(plan.title, _FOOT_VAN_MM, 3.1, 600),
        "words": shorten(" · ".join(word for word in words if word), _FOOT_WORDS_MM, 2.8),
    }


def _cover(checked: Checked) -> list[Data]:
    plan = checked.assessment.plan
    lines = {
        "For": plan.customer,
        "Note": plan.note,
        "Region, system": f"{plan.region.upper()}, {typed(plan.system) or '12 V'}",
        "Serial": plan.serial or ", ".join(plan.serials),
        "Revision": plan.revision,
        "Date": str(plan.date or ""),
        "Drawn": plan.drawn_by or OWN_WORKSHOP,
        "Checked": plan.checked_by or "open",
    }
    return [{"what": what, "value": value} for what, value in lines.items() if value]


def _mains(checked: Checked) -> str:
    return mains_notice(checked.assessment)


def _counts(checked: Checked) -> list[Data]:
    counts: list[Data] = []
    for severity, words in SEVERITIES.items():
        found = [finding for finding in checked.findings if finding.severity == severity]
        taken = sum(1 for finding in found if finding.accepted)
        counts.append({"severity": severity, "words": words, "count": len(found), "accepted": taken})
    return counts


def _sheet(sheet: Sheet, name: str) -> Data:
    title = clean(sheet.title) or "Drawing"
    return {
        "name": name,
        "title": title,
        "alt": sheet_alt(sheet),
        "width": sheet.width,
        "height": sheet.height,
    }


def _wire(row: WireRow) -> Data:
    data = {
        name: getattr(row, name) for name in WireRow.__slots__ if name not in ("figure", "fuses", "marks")
    }
    return {
        **data,
        "fuses": [asdict(fuse) for fuse in row.fuses],
        "marks": [asdict(mark) for mark in row.marks],
    }


def _grave(checked: Checked, ids: set[str]) -> list[Data]:
    """Return the dangers and faults that bear on a page with these things."""
    return [
        {"number": one.number, "severity": one.finding.severity, **_short(one.finding)}
        for one in numbered(checked)
        if one.finding.severity in GRAVE and ids & set(one.ids)
    ]


def _short(finding: Finding) -> Data:
    return {"where": finding.where, "says": sentence(finding.says), "do": sentence(finding.do)}


def _loose(job: Assessment) -> Data:
    odd, more = odd_rows(job)
    return {
        "fuses": [asdict(row) for row in fuse_rows(job)],
        "odd": [asdict(row) for row in odd],
        "more": more,
        "joints": [asdict(row) for row in joint_rows(job)],
    }


def _fuses(checked: Checked) -> list[Data]:
    """Return the boxes with their rows, those in no box last."""
    boxes = [
        (f"{box.id} {box.name}" if box.name != box.id.replace("_", " ") else box.name, box.place, box.rows)
        for box in fuse_boxes(checked.assessment)
    ]
    loose = loose_fuses(checked.assessment)
    if loose:
        boxes.append(("In the cables", "", loose))
    return [
        {
            "name": name,
            "place": place.replace("_", " "),
            "rows": [{**asdict(row), "marks": _fuse_marks(checked, (row.at, *row.wires))} for row in rows],
        }
        for name, place, rows in boxes
    ]


def _fuse_marks(checked: Checked, ids: Sequence[str]) -> list[Data]:
    marks = {mark.number: mark for id in ids for mark in marks_of(checked, id)}
    return [asdict(marks[number]) for number in sorted(marks)]


def shown(value: object, held: Sequence[str] = ()) -> object:
    """Return data with every text made fit to print: one line, only letters of our faces, breakable."""
    if isinstance(value, str):
        return value if value in held else printable(value)
    if isinstance(value, dict):
        return {key: shown(one, held) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [shown(one, held) for one in value]
    return value


#: A word longer than this gets places where a line may break. [letters]
LONGEST_WORD = 16
_BREAK = "\u200b"
#: So many letters without a place to break get one.
_UNBROKEN = re.compile(rf"[^{_BREAK}]{{28}}(?=[^{_BREAK}])")


def printable(text: str) -> str:
    """Return a text of a user as one that can be set: see `shown`.

    Examples
    --------
    >>> printable("a_very_long_name_of_a_place").replace("\\u200b", "|")
    'a_|very_|long_|name_|of_|a_|place'
    """
    text = clean(text)
    for weight in (400, 500, 600):
        text = with_held_letters(text, weight)
    return " ".join(_breakable(word) for word in text.split(" "))


def _breakable(word: str) -> str:
    if len(word) <= LONGEST_WORD:
        return word
    for mark in "_./,":
        word = word.replace(mark, f"{mark}{_BREAK}")
    return _UNBROKEN.sub(rf"\g<0>{_BREAK}", word)
