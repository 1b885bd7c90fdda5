"""What lies on the table at first, and the start sheet: the ways to begin."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, NamedTuple

from loomwright import store
from loomwright.plan.changes.starter import QUESTIONS, bare_van

from . import drafts, files
from .board import tabs_of, things_of
from .examples import ABOUT, DEMO, example_names, example_reading, example_text, examples
from .markup import fill
from .reading import Reading
from .thing import Thing
from .work import Moment, Table, copy_of, from_file, new_file

_BARE_FILE = "new-van.yaml"
#: The field of a sheet, without findings margin and foot. [mm]
_FIELD = "19.6 9.6 342.2 239.8"
_VIEW = re.compile(r'viewBox="[^"]*"')


def table_for(path: Path | None) -> Table:
    """Return the table for the argument of `open`.

    Without a path it is a copy of the demo van. A file of the program's own is opened as a copy. For a file
    that is not there yet the table is not begun: the start sheet asks how.

    Raises
    ------
    PlanError
        The file is not a plan.
    OSError
        The file can't be read.
    """
    if path is None:
        return example_table(DEMO) if DEMO in example_names() else nothing()
    path = Path(path).absolute()
    if files.is_programs_own(path):
        return _offering(copy_of(store.load(path).text, path.name)) if path.exists() else nothing()
    if path.exists():
        return file_table(path)
    table = _offering(new_file(path, bare_van({})))
    table.begun = False
    return table


def nothing() -> Table:
    """Return a table on which nothing has been begun."""
    table = copy_of(bare_van({}), _BARE_FILE)
    table.begun = False
    return table


def example_table(name: str) -> Table:
    """Return a table with a copy of an example.

    Raises
    ------
    KeyError
        There is no such example.
    """
    table = copy_of(example_text(name), f"{name}.yaml", example_reading(name))
    return _offering(table)


def file_table(path: Path) -> Table:
    """Return a table with the plan of a file, and its draft on offer if there is one.

    Raises
    ------
    PlanError
        The file is not a plan.
    OSError
        The file can't be read.
    """
    return _offering(from_file(path))


def bare_table(text: str) -> Table:
    """Return a table with a van just begun: it has no file, and is not saved."""
    table = copy_of(text, _BARE_FILE)
    table.saved_text = None
    return table


def _offering(table: Table) -> Table:
    """Look for a draft of the plan, and throw it away if it says nothing new."""
    found = drafts.draft_of(table.file, table.path)
    if found and drafts.draft(found).text == table.saved_text:
        drafts.drop(found)
        found = ""
    table.offer = found
    return table


class Tried(NamedTuple):
    """What to try first: the thing, the key and the name of a sheet that shows it, what is wrong with it."""

    thing: Thing
    sheet: str
    name: str
    says: str


def hint(moment: Moment) -> Tried | None:
    """Return what to try first on the demo van, as long as nobody has changed it."""
    if DEMO not in example_names() or moment.path is not None or moment.text != example_text(DEMO):
        return None
    return first_try(moment.reading)


def first_try(reading: Reading) -> Tried | None:
    """Return the thing that the gravest finding of a plan is about; None if nothing is found."""
    tabs = tabs_of(reading)
    things = things_of(reading, tabs)
    names = {tab.key: tab.name for tab in tabs}
    for finding in reading.checked.findings:
        for kind in ("wire", "part", "stud"):
            thing = Thing(kind, finding.where)
            if shown := things.get(thing, {}).get("sheets"):
                return Tried(thing, shown[0], names[shown[0]], finding.says.split(";")[0])
    return None


def beside(moment: Moment, trouble: str = "") -> dict[str, Any]:
    """Return what a page shows besides the board: where the plan is saved, what is offered or hinted at."""
    offer = None
    if moment.offer:
        try:
            offer = drafts.draft(moment.offer)
        except drafts.NoDraftError:
            offer = None
    plan = moment.reading.plan
    tried = None if offer or trouble else hint(moment)
    return {
        "path": "" if moment.path is None else str(moment.path),
        "begun": moment.begun,
        "notice": fill("notice.html", offer=offer, tried=tried, trouble=trouble, bare=not plan.wiring),
    }


def sheet(moment: Moment) -> str:
    """Return the start sheet as a whole page."""
    demo = example_reading(DEMO) if DEMO in example_names() else None
    mine = {moment.table, moment.offer if moment.begun else ""}
    return fill(
        "start.html",
        moment=moment,
        demo=demo,
        demo_name=DEMO,
        about=ABOUT[DEMO],
        tried=first_try(demo) if demo else None,
        picture=picture(False) if demo else "",
        questions=QUESTIONS,
        examples=examples(),
        folder=files.vans_folder(),
        plans=[*files.kept_plans(files.vans_folder()), *files.kept_elsewhere()],
        drafts=[draft for draft in drafts.all_drafts() if draft.id not in mine],
        when=files.when,
    )


def picture(evening: bool) -> str:
    """Return the wiring sheet of the demo van that shows what to try first: its field alone."""
    demo = example_reading(DEMO)
    tried = first_try(demo)
    shown = int(tried.sheet.partition("-")[2] or 1) - 1 if tried is not None else 0
    return _VIEW.sub(f'viewBox="{_FIELD}"', demo.svg("wiring", shown, evening), count=1)
