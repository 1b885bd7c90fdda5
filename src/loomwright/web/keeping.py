"""The acts that open and save plans: each puts another plan on the table, or this one into a file.

An act that would put another plan over unsaved work is refused, so that the page can ask first; with `keep`
the work becomes a draft, if it is still that of the revision that was looked at.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from loomwright import store
from loomwright.errors import PlanError
from loomwright.plan.changes.starter import bare_van

from . import drafts, files, start
from .changes import Act, AskedWronglyError, Done, by_of, rev_of, text_of
from .examples import example_names, example_text
from .markup import fill
from .work import GONE, Moment, Step, Table, Work, copy_of, from_file, new_file, read


def open_example(work: Work, asked: Mapping[str, Any]) -> Done:
    """Lay a copy of an example on the table."""
    name = text_of(asked, "name")
    if name not in example_names():
        raise AskedWronglyError(f"There is no example {name}.")
    waiting = _waiting(work.now())
    return _lay(work, new_file(waiting, example_text(name)) if waiting else start.example_table(name), asked)


def begin(work: Work, asked: Mapping[str, Any]) -> Done:
    """Lay a bare van on the table, made from the answers given."""
    answers = asked.get("answers")
    if not isinstance(answers, dict) or not all(isinstance(answer, str) for answer in answers.values()):
        raise AskedWronglyError("answers: a text for each question that is answered.")
    text = bare_van(answers)
    waiting = _waiting(work.now())
    return _lay(work, new_file(waiting, text) if waiting else start.bare_table(text), asked)


def open_text(work: Work, asked: Mapping[str, Any]) -> Done:
    """Lay a copy of a file on the table, whose text the browser has read."""
    text, name = text_of(asked, "text"), Path(text_of(asked, "file")).name or "plan.yaml"
    return _lay(work, copy_of(text, name[-files.NAME_LIMIT :]), asked)


def open_plan(work: Work, asked: Mapping[str, Any]) -> Done:
    """Lay a plan of the folder `vans` on the table."""
    return _lay(work, start.file_table(files.kept_plan(text_of(asked, "name"), files.vans_folder())), asked)


def put_away(work: Work, asked: Mapping[str, Any]) -> Done:
    """Clear the table."""
    return _lay(work, start.nothing(), asked)


def take_up(work: Work, asked: Mapping[str, Any]) -> Done:
    """Lay the unsaved work of a draft on the table; what the file holds is one step of undo away."""
    draft = drafts.draft(text_of(asked, "draft"))
    moment, chosen, _ = _lay(work, _table_of(draft), asked)
    drafts.keep(moment)
    drafts.drop(draft.id)
    return Done(moment, chosen)


def leave(work: Work, asked: Mapping[str, Any]) -> Done:
    """Leave the draft that was offered; it stays on the start sheet."""
    return Done(work.answer_offer(by_of(asked)))


def throw_away(work: Work, asked: Mapping[str, Any]) -> Done:
    """Throw a draft away, but never that of the plan on the table."""
    draft, moment = drafts.draft(text_of(asked, "draft")), work.now()
    if draft.id == moment.table:
        raise AskedWronglyError("This draft belongs to the plan that is open.")
    drafts.drop(draft.id)
    return Done(work.answer_offer(by_of(asked)) if draft.id == moment.offer else moment)


def other_version(work: Work, asked: Mapping[str, Any]) -> Done:
    """Lay the file as another program has written it on the table; the work on it is kept as a draft."""
    path = work.now().path
    if path is None:
        raise AskedWronglyError("This plan has no file yet.")
    return _lay(work, start.file_table(path), dict(asked) | {"keep": True})


def save(work: Work, asked: Mapping[str, Any]) -> Done:
    """Write the plan into its file, or into a new one beside it; never over another's unasked."""
    moment, name = work.now(), asked.get("name")
    if moment.path is None and not name:
        raise AskedWronglyError("Give the plan a name.")
    folder = files.folder_of(str(asked.get("folder", "")), save_folder(moment))
    path = files.place(text_of(asked, "name"), folder) if name else moment.path
    assert path is not None
    files.refuse_programs_own(path)
    done = Done(work.save(path, by_of(asked), str(asked.get("over", ""))))
    files.remember(path)
    return done


ACTS: dict[str, Act] = {
    "open-example": open_example,
    "begin": begin,
    "open-text": open_text,
    "open-plan": open_plan,
    "clear": put_away,
    "take-up": take_up,
    "leave": leave,
    "throw-away": throw_away,
    "other-version": other_version,
    "save": save,
}


def save_folder(moment: Moment) -> Path:
    """Return the folder that a plan is saved in under a new name."""
    return files.vans_folder() if moment.path is None else moment.path.parent


def dialog(moment: Moment, name: str = "", typed: str = "") -> str:
    """Return what is asked when a plan can't simply be saved: its name and folder, or what to do about it.

    Parameters
    ----------
    moment : Moment
        The plan.
    name, typed : str
        The name and the folder that were tried; empty at first.
    """
    folder = save_folder(moment)
    try:
        folder = files.folder_of(typed, folder)
        path = files.place(name, folder) if name else moment.path
    except files.PlaceRefusedError:
        path = None
    exists = path is not None and path.exists()
    if path is not None and path == moment.path:
        case = "changed" if exists else "gone"
    elif exists:
        case = "taken"
    else:
        case = "name"
    return fill(
        "save.html",
        case=case,
        path=path,
        name=name or files.free_name(moment.reading.plan.title, folder),
        folder=typed or folder,
        digest=store.stamp_of(path).digest if path is not None and exists else GONE,
        changed=datetime.fromtimestamp(path.stat().st_mtime) if path is not None and exists else None,
    )


def _lay(work: Work, table: Table, asked: Mapping[str, Any]) -> Done:
    keep, before = asked.get("keep") is True, work.now()
    if keep and before.unsaved:
        drafts.keep(before)
    return Done(work.lay(table, rev_of(asked) if keep else None, by_of(asked)))


def _waiting(moment: Moment) -> Path | None:
    """Return the file that was named at the start, if the plan for it is still to be begun."""
    return None if moment.begun else moment.path


def _table_of(draft: drafts.Draft) -> Table:
    """Return a table with the draft as its last step, over what its file holds or its last good text."""
    table = _table_under(draft)
    if draft.text != table.steps[0].text:
        table.steps.append(Step(draft.text, "the unsaved work taken up"))
        table.at = 1
    try:
        table.reading, table.problems = read(draft.text, draft.file, draft.path), ()
    except PlanError as unreadable:
        table.reading, table.problems = read(draft.good, draft.file, draft.path), unreadable.problems
    return table


def _table_under(draft: drafts.Draft) -> Table:
    if draft.path is None:
        table = copy_of(draft.good, draft.file)
        table.saved_text = None
        return table
    try:
        table = from_file(draft.path)
    except (OSError, PlanError):
        table = new_file(draft.path, draft.good)
    table.stamp = draft.stamp  # a file that has changed since the draft was made is not overwritten unasked
    if draft.stamp is None:
        table.saved_text = None
    return table
