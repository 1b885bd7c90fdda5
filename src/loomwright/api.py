"""The public verbs: read a plan, assess it, check it, draw it, print its book."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from loomwright import store
from loomwright.assessment.assess import assess as _assess
from loomwright.assessment.record import Assessment
from loomwright.documents.report import Report
from loomwright.errors import NoSuchModeError, PlanError
from loomwright.plan.calendar import MONTHS
from loomwright.plan.changes.numbers import give_numbers as _give_numbers
from loomwright.plan.changes.numbers import how_many
from loomwright.plan.edit import apply_edits
from loomwright.plan.model import Plan
from loomwright.plan.read import read_data as _read_data
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan

if TYPE_CHECKING:
    from collections.abc import Callable
    from concurrent.futures import Executor

    from loomwright.assessment.energy.year_run import Progress
    from loomwright.documents.choose import ChoiceReport
    from loomwright.documents.year import YearReport

__all__ = [
    "Assessment",
    "Plan",
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

#: What the bands of the van sheet may say.
BANDS = ("current", "drop", "opening")
#: The sheets that can be drawn, and the formats that they can be had in.
SHEETS = (
    "system",
    "wiring",
    "van",
    "loom",
    "board",
    "labels",
    "modes",
    "faults",
    "energy",
    "mains",
    "fuse-label",
)
FORMATS = ("svg", "dxf", "pdf")
#: Papers that the board can be cut into.
PAPERS = ("a4", "a3")


def read(path: str | Path) -> Plan:
    """Read a plan file; files it builds on are looked for in the same folder.

    Parameters
    ----------
    path : str or Path
        A text file of the plan format.

    Returns
    -------
    Plan
        The whole document, checked.

    Raises
    ------
    PlanError
        The text is not a plan; the error carries every problem with its place.
    OSError
        The file can't be read.
    """
    path = Path(path)
    return read_at(store.load(path).text, path.name, path)


def read_at(text: str, file: str, path: Path | None) -> Plan:
    """Read a text as the plan of a file: what it builds on and its weather file stand in the same folder.

    Parameters
    ----------
    text : str
        The document.
    file : str
        Its name, for the problems.
    path : Path or None
        Where it is, or will be saved; None reads no other file.

    Raises
    ------
    PlanError
        The text is not a plan, or its weather file can't be read.
    """
    if path is None:
        return read_plan(text, file)
    plan = read_plan(text, file, store.parent_reader(path))
    if plan.site is None or plan.site.weather is None:
        return plan
    from loomwright.assessment.energy.own_weather import LARGEST_BYTES, problem_of, with_weather

    name = plan.site.weather
    try:
        data = store.bytes_beside(path, name, LARGEST_BYTES)
    except LookupError as refused:
        raise PlanError([problem_of(plan, f"{refused} Write the name alone.", file)]) from None
    except OSError as missing:
        says = f'"{name}" can\'t be read beside the plan: {missing.strerror or missing}.'
        raise PlanError([problem_of(plan, says, file)]) from None
    return with_weather(plan, data, file)


def read_text(text: str) -> Plan:
    """Read a plan from its text.

    Raises
    ------
    PlanError
        The text is not a plan.
    """
    return read_plan(text)


def read_data(data: Mapping[str, object]) -> Plan:
    """Read a plan from the same tree as plain maps, lists and texts, as JSON gives it.

    Raises
    ------
    PlanError
        The tree is not a plan.
    """
    return _read_data(data)


def assess(plan: Plan) -> Assessment:
    """Work out every figure of a plan, at the worse end of what is not known.

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    """
    return _assess(plan)


def check(plan: Plan) -> Report:
    """Find what is dangerous, faulty or doubtful in a plan.

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    """
    return Report(check_plan(plan))


def year(plan: Plan, years: int = 100, seed: int = 0, progress: Progress | None = None) -> YearReport:
    """Run a van through years of weather, hour by hour.

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    years : int
        How many.
    seed : int
        Another seed, another weather; the same, the same.
    progress : callable or None
        Told how many steps of how many are done.

    Returns
    -------
    YearReport
        With `as_dict()` and `as_text()`.

    Raises
    ------
    NoYearError
        The plan has no house battery, no season of use, or no latitude on land.
    MissingExtra
        pvlib, which knows the sun, is not installed.
    """
    from loomwright.assessment.energy.year import year_of
    from loomwright.documents.year import YearReport

    assessment = _assess(plan)
    return YearReport(assessment, year_of(assessment, years, seed, progress))


def choose(
    plan: Plan,
    *,
    budget: float | None = None,
    payload_kg: float | None = None,
    roof_m2: float | None = None,
    nights: float = 1.0,
    years: int = 100,
    seed: int = 0,
    progress: Progress | None = None,
    cancel: Callable[[], bool] | None = None,
    executor: Executor | None = None,
) -> ChoiceReport:
    """Run other batteries, panels and chargers through the years of a van: which to take, and why.

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    budget : float or None
        For battery, panels, regulator and charger, in the plan's money; None: no limit.
    payload_kg : float or None
        So much may be added to what the plan weighs; None: what the plan leaves, if it says. [kg]
    roof_m2 : float or None
        Room for panels; None: not known. [m²]
    nights : float
        So many flat nights a year are put up with.
    years : int
        How many.
    seed : int
        Another seed, another weather; the same, the same. It is that of `year`.
    progress : callable or None
        Told how many designs of how many are done.
    cancel : callable or None
        Asked before each lot of designs; True stops.
    executor : Executor or None
        Any of `concurrent.futures`: it runs the lots, and the answer is the same.

    Returns
    -------
    ChoiceReport
        With `as_dict()` and `as_text()`.

    Raises
    ------
    ValueError
        A limit is below 0.
    NoYearError
        The plan has no house battery, no season of use, or no latitude on land.
    MissingExtra
        pvlib, which knows the sun, is not installed.
    StoppedError
        `cancel` said so.
    """
    from loomwright.documents.choose import ChoiceReport
    from loomwright.sizing.choosing import Limits
    from loomwright.sizing.choosing import choose as _choose

    assessment = _assess(plan)
    limits = Limits(budget=budget, payload_kg=payload_kg, roof_m2=roof_m2)
    return ChoiceReport(
        assessment, _choose(assessment, limits, nights, years, seed, progress, cancel, executor)
    )


def draw(
    plan: Plan,
    sheet: str,
    to: str = "svg",
    mode: str = "",
    by: str = "",
    paper: str = "a4",
    month: str = "",
) -> list[bytes]:
    """Draw a sheet of a plan.

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    sheet : str
        "system", "wiring", "van", "loom", "board" (looms at true size), "labels" (of wires), "modes" (who
        feeds what), "faults" (how soon shorts are over), "energy" (the year), "mains" or "fuse-label".
    to : str
        "svg", "dxf" or "pdf".
    mode : str
        A mode of the van, such as "driving" or one of the plan's own: the wiring as it stands then. At rest
        if it is left out.
    by : str
        "current", "drop" or "opening": what the bands of the van sheet say; "" for none.
    paper : str
        "a4" or "a3": what the board is cut into.
    month : str
        "jan" ... "dec": whose mean day the system sheet has in ampere-hours; "" for that of the smallest
        margin, "none" for none.

    Returns
    -------
    list of bytes
        SVG and DXF: one document for each sheet of paper; PDF: one document with all of them. Empty if
        the van has nothing for such a sheet, such as no mains side.

    Raises
    ------
    ValueError
        There is no such sheet, format or paper.
    NoSuchModeError
        The van has no such mode, or the sheet is not drawn in modes, or has no such bands or month.
    """
    if sheet not in SHEETS or to not in FORMATS:
        raise ValueError(
            f"no sheet {sheet!r} as {to!r}; sheets: {', '.join(SHEETS)}; to: {', '.join(FORMATS)}"
        )
    if mode and sheet != "wiring":
        raise NoSuchModeError(f"only the wiring is drawn in a mode, not {sheet!r}")
    if by and (sheet != "van" or by not in BANDS):
        raise NoSuchModeError(f"only the van sheet has bands, by {', '.join(BANDS)}, not {sheet!r} by {by!r}")
    if month and (sheet != "system" or month not in (*MONTHS, "none")):
        raise NoSuchModeError(
            f"only the system sheet has a month, {', '.join(MONTHS)} or none, not {sheet!r} {month!r}"
        )
    if paper not in PAPERS:
        raise ValueError(f"no paper {paper!r}; papers: {', '.join(PAPERS)}")
    from loomwright.documents.sheets import sheets_of

    sheets = sheets_of(check_plan(plan), sheet, mode=mode, by=by, month=month, paper=paper)
    if to == "pdf" and sheets:
        from loomwright.drawing.pdf import to_pdf

        return [to_pdf(sheets)]
    if to == "dxf":
        from loomwright.drawing.dxf import to_dxf

        return [to_dxf(one) for one in sheets]
    from loomwright.drawing.svg import to_svg

    return [to_svg(one, inline_fonts=True) for one in sheets]


def book(plan: Plan, year: YearReport | None = None) -> bytes:
    """Return the van book of a plan: sheets, tables, findings with reasons, cautions and sources as one PDF.

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    year : YearReport or None
        Of the same plan, if its sheet is to be in the book; a book runs no years by itself.
    """
    from loomwright.documents.book import book_pdf

    return book_pdf(check_plan(plan), None, year)


def book_files(plan: Plan, year: YearReport | None = None) -> dict[str, bytes]:
    """Return the files of a book by the end of their names: "book.pdf", "wires.csv", "fuses.csv" ...

    Parameters
    ----------
    plan : Plan
        As `read` gives it.
    year : YearReport or None
        As for `book`.
    """
    from loomwright.documents.book import book_lists, book_pdf

    checked = check_plan(plan)
    lists = {f"{name}.csv": data for name, data in book_lists(checked).items()}
    return {"book.pdf": book_pdf(checked, None, year), **lists}


def give_numbers(path: str | Path) -> int:
    """Write a number for the label of each wire that has none into a plan file; return how many.

    Numbers once given are kept. All else in the file stays as it is, comments too.

    Parameters
    ----------
    path : str or Path
        A text file of the plan format.

    Raises
    ------
    PlanError
        The text is not a plan, or the numbers can't be written into it as it is laid out.
    OSError
        The file can't be read or written.
    ChangedMeanwhile
        The file was changed while the numbers were sought; nothing was written.
    """
    path = Path(path)
    loaded = store.load(path)
    edits = _give_numbers(read_plan(loaded.text, path.name, store.parent_reader(path)))
    if edits:
        store.save(path, apply_edits(loaded.text, edits, path.name), loaded.stamp)
    return how_many(edits)
