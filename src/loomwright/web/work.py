"""The plan that lies on the table: its text, what was read from it, and every step back and forth.

One `Work` is shared by all pages. A change names the revision that it was made on; a stale one is refused, so
that no page writes over another's change unseen. A text that can't be read stays as typed and keeps the last
good drawing beside it.
"""

from __future__ import annotations

import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from loomwright import store
from loomwright.api import read_at
from loomwright.errors import ChangedMeanwhile, LoomwrightError, PlanError, Problem

from .reading import Reading

#: So many steps can be undone.
STEPS_KEPT = 500
#: So many readings are kept for undo and redo, with their sheets.
READINGS_KEPT = 4
#: Typing within this time is one step of undo. [s]
ONE_BREATH_S = 2.0

#: What a file that has been deleted meanwhile is known by when it is written again.
GONE = "gone"

#: Turns the text, with the reading of it, into the new text and into what the change is called.
Change = Callable[[str, Reading], str]


class StaleError(LoomwrightError):
    """The change was made on an older revision than the one that lies there now."""


class UnsavedError(LoomwrightError):
    """Another plan would be put in the place of changes that are in no file."""


class UnreadableError(LoomwrightError):
    """The plan can't be changed by a form as long as its text can't be read."""


@dataclass(frozen=True, slots=True)
class Step:
    """One state of the text, and what led to it."""

    text: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class Moment:
    """All that a page shows, at one revision.

    Attributes
    ----------
    rev : int
        Counts up with every change.
    text : str
        As typed, readable or not.
    reading : Reading
        Of the last text that could be read.
    problems : tuple of Problem
        Why the text can't be read; empty if it can.
    file : str
        Name of the plan's file.
    path : Path or None
        Where it is saved; None for a copy that has no file yet.
    unsaved : bool
        There are changes that are in no file.
    undo, redo : str
        What would be taken back or done again; empty if nothing.
    table : str
        Stays as long as the same plan lies there.
    stamp : Stamp or None
        Of the file as it was read or written.
    begun : bool
        False as long as nobody has chosen how to begin.
    offer : str
        Id of the draft of this plan that was found when it was opened; empty if none, or answered.
    """

    rev: int
    text: str
    reading: Reading
    problems: tuple[Problem, ...]
    file: str
    path: Path | None
    unsaved: bool
    undo: str
    redo: str
    table: str
    stamp: store.Stamp | None
    begun: bool
    offer: str


@dataclass(slots=True)
class Table:
    """A plan with its steps and its file; changed only by `Work`, under its lock."""

    steps: list[Step]
    at: int
    reading: Reading
    problems: tuple[Problem, ...]
    file: str
    path: Path | None
    stamp: store.Stamp | None
    saved_text: str | None
    last: list[Reading] = field(default_factory=list)
    typed_at: float = 0.0
    typed_by: str = ""
    id: str = field(default_factory=lambda: secrets.token_hex(6))
    begun: bool = True
    offer: str = ""


@dataclass(slots=True)
class Work:
    """The one open plan. All methods may be called from any thread.

    Parameters
    ----------
    _table : Table
        As `copy_of`, `from_file` and `new_file` make it.
    """

    _table: Table
    _rev: int = field(default=1, init=False)
    _lock: threading.RLock = field(default_factory=threading.RLock, init=False)
    _listeners: list[Callable[[Moment, str], None]] = field(default_factory=list, init=False)

    def now(self) -> Moment:
        """Return what lies on the table."""
        with self._lock:
            table = self._table
            back = table.steps[table.at].says if table.at else ""
            forth = table.steps[table.at + 1].says if table.at + 1 < len(table.steps) else ""
            text = table.steps[table.at].text
            return Moment(
                rev=self._rev,
                text=text,
                reading=table.reading,
                problems=table.problems,
                file=table.file,
                path=table.path,
                unsaved=table.begun and text != table.saved_text,
                undo=back,
                redo=forth,
                table=table.id,
                stamp=table.stamp,
                begun=table.begun,
                offer=table.offer,
            )

    def listen(self, listener: Callable[[Moment, str], None]) -> None:
        """Have `listener` called with the moment, and who brought it about, after every change."""
        self._listeners.append(listener)

    def type(self, text: str, rev: int, by: str = "") -> Moment:
        """Take the text as typed; typing in one breath is one step.

        Raises
        ------
        StaleError
            The text was typed on an older revision.
        """
        with self._lock:
            self._check(rev)
            table, now = self._table, time.monotonic()
            goes_on = table.typed_by == by and now - table.typed_at < ONE_BREATH_S
            if text != table.steps[table.at].text:
                self._step(Step(text, "typing"), replace_last=goes_on and table.at > 0)
            table.typed_at, table.typed_by = now, by
            return self._changed(by)

    def change(self, change: Change, says: str, rev: int, by: str = "") -> Moment:
        """Change the text by a form; the plan must be readable before and after.

        Raises
        ------
        StaleError
            The change was made on an older revision.
        UnreadableError
            The text has errors at the moment.
        PlanError
            The change can't be made, or would leave a text that can't be read; nothing is changed.
        """
        with self._lock:
            self._check(rev)
            if self._table.problems:
                raise UnreadableError("Mend the text of the plan first: it has errors.")
            old = self._table.steps[self._table.at].text
            new = change(old, self._table.reading)
            if new != old:
                self._read(new)  # or nothing is changed
                self._step(Step(new, says))
            self._table.typed_by = ""
            return self._changed(by)

    def undo(self, rev: int, by: str = "") -> Moment:
        """Go one step back, if there is one."""
        return self._go(-1, rev, by)

    def redo(self, rev: int, by: str = "") -> Moment:
        """Go one step forth, if there is one."""
        return self._go(+1, rev, by)

    def lay(self, table: Table, rev: int | None = None, by: str = "") -> Moment:
        """Put another plan on the table.

        Parameters
        ----------
        table : Table
            The other plan.
        rev : int or None
            Revision of the unsaved work that may go; None refuses if there is any.
        by : str
            Who does it.

        Raises
        ------
        UnsavedError
            There is unsaved work, and no revision was named.
        StaleError
            There is newer work than that of `rev`.
        """
        with self._lock:
            if rev is not None:
                self._check(rev)
            elif self.now().unsaved:
                raise UnsavedError(f"{self._table.reading.plan.title} has changes that are not saved.")
            self._table = table
            return self._changed(by)

    def answer_offer(self, by: str = "") -> Moment:
        """Offer the draft that was found no more."""
        with self._lock:
            self._table.offer = ""
            return self._changed(by)

    def save(self, path: Path, by: str = "", over: str = "") -> Moment:
        """Write the text as it is, readable or not, to `path`.

        Parameters
        ----------
        path : Path
            Where to; its folder is made if it is missing.
        by : str
            Who does it.
        over : str
            Digest of another's file that is knowingly overwritten, or GONE for one that has been deleted.

        Raises
        ------
        ChangedMeanwhile
            The file is no longer as it was read, or one of this name exists; nothing was written.
        OSError
            The disk is full, the folder is read-only; the old file is whole.
        """
        with self._lock:
            table = self._table
            text = table.steps[table.at].text
            stamp = table.stamp if table.path == path else None
            if over:
                stamp = None if over == GONE else store.stamp_of(path)
                if stamp is not None and stamp.digest != over:
                    raise ChangedMeanwhile(f"{path.name} has been changed once more. Nothing was written.")
            path.parent.mkdir(parents=True, exist_ok=True)
            table.stamp = store.save(path, text, stamp)
            table.path, table.file, table.saved_text, table.begun = path, path.name, text, True
            return self._changed(by)

    def _go(self, way: int, rev: int, by: str) -> Moment:
        with self._lock:
            self._check(rev)
            table = self._table
            if 0 <= table.at + way < len(table.steps):
                table.at += way
                self._reread()
            table.typed_by = ""
            return self._changed(by)

    def _step(self, step: Step, replace_last: bool = False) -> None:
        table = self._table
        del table.steps[table.at + 1 :]
        if replace_last:
            table.steps[table.at] = Step(step.text, table.steps[table.at].says)
        else:
            table.steps.append(step)
        del table.steps[: max(0, len(table.steps) - STEPS_KEPT)]
        table.at = len(table.steps) - 1
        self._reread()

    def _reread(self) -> None:
        table = self._table
        try:
            table.reading, table.problems = self._read(table.steps[table.at].text), ()
        except PlanError as unreadable:
            table.problems = unreadable.problems

    def _read(self, text: str) -> Reading:
        """Read a text, or take one of the last readings, with all that was worked out of it."""
        table = self._table
        last = [table.reading, *(reading for reading in table.last if reading is not table.reading)]
        reading = next((one for one in last if one.text == text), None)
        if reading is None:
            reading = read(text, table.file, table.path)
            reading.before = table.reading.remembered()
        table.last = [reading, *(one for one in last if one is not reading)][:READINGS_KEPT]
        return reading

    def _check(self, rev: int) -> None:
        if rev != self._rev:
            raise StaleError("The plan has been changed in another window meanwhile. Look, then do it again.")

    def _changed(self, by: str) -> Moment:
        self._rev += 1
        moment = self.now()
        for listener in self._listeners:
            listener(moment, by)
        return moment


def read(text: str, file: str, path: Path | None) -> Reading:
    """Read a text and find what is wrong in the van.

    Raises
    ------
    PlanError
        The text is not a plan.
    """
    return Reading(text, read_at(text, file, path))


def copy_of(text: str, file: str, reading: Reading | None = None) -> Table:
    """Return a table with a copy in memory: no file is touched until it is saved under a name.

    Parameters
    ----------
    text : str
        The plan.
    file : str
        What it was called.
    reading : Reading or None
        Of the same text, if there is one already.

    Raises
    ------
    PlanError
        The text is not a plan.
    """
    return Table([Step(text)], 0, reading or read(text, file, None), (), file, None, None, text)


def from_file(path: Path) -> Table:
    """Return a table with the plan of a file.

    Raises
    ------
    PlanError
        The text is not a plan.
    OSError
        The file can't be read.
    """
    loaded = store.load(path)
    reading = read(loaded.text, path.name, path)
    return Table([Step(loaded.text)], 0, reading, (), path.name, path, loaded.stamp, loaded.text)


def new_file(path: Path, text: str) -> Table:
    """Return a table with a plan that makes its file when it is first saved.

    Raises
    ------
    PlanError
        The text is not a plan.
    """
    return Table([Step(text)], 0, read(text, path.name, path), (), path.name, path, None, None)
