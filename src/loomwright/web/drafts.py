"""Drafts: unsaved work, kept aside after every change, so that a killed program takes nothing with it.

A draft is one file in the user's state folder, readable by the user alone. It is put in place in one step
before the change is answered; forcing it to the disk, which guards against a power cut, follows on a thread
of its own. A draft goes when its plan is saved, or when the user throws it away.

Source: XDG Base Directory Specification 0.8, XDG_STATE_HOME (from memory).
"""

from __future__ import annotations

import json
import os
import re
import secrets
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from loomwright.errors import LoomwrightError
from loomwright.store import Stamp

from .work import Moment

_ID = re.compile(r"[0-9a-f]{12}")


class NoDraftError(LoomwrightError):
    """There is no such draft, or it can't be read any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """Unsaved work.

    Attributes
    ----------
    id : str
        That of its table.
    title, text : str
        Of the plan, readable or not.
    good : str
        The last text that could be read.
    file : str
        Name of the plan.
    path : Path or None
        Its file; None if it had none yet.
    stamp : Stamp or None
        Of its file as it was read or written last.
    kept : datetime
        When the last change was made.
    """

    id: str
    title: str
    text: str
    good: str
    file: str
    path: Path | None
    stamp: Stamp | None
    kept: datetime


def folder() -> Path:
    """Return the folder of the drafts; it need not exist yet."""
    if os.name == "nt":
        state = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    else:
        named = Path(os.environ.get("XDG_STATE_HOME", ""))
        state = named if named.is_absolute() else Path.home() / ".local" / "state"
    return state / "loomwright" / "drafts"


def keep(moment: Moment) -> Path:
    """Keep the unsaved work of a moment and return where.

    Raises
    ------
    OSError
        The disk is full, or the folder can't be written.
    """
    path = _path(moment.table)
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    data = json.dumps(
        {
            "title": moment.reading.plan.title,
            "text": moment.text,
            "good": moment.reading.text,
            "file": moment.file,
            "path": None if moment.path is None else str(moment.path),
            "stamp": None if moment.stamp is None else asdict(moment.stamp),
            "kept": datetime.now().isoformat(timespec="microseconds"),
        }
    ).encode()
    beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.tmp")
    try:
        with open(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
            file.write(data)
        os.replace(beside, path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    return path


def drop(id: str) -> None:
    """Throw a draft away, if there is one."""
    _path(id).unlink(missing_ok=True)


def draft(id: str) -> Draft:
    """Return a draft.

    Raises
    ------
    NoDraftError
        There is none of this id.
    """
    if not _ID.fullmatch(id):
        raise NoDraftError("There is no such draft.")
    try:
        return _from_data(id, json.loads(_path(id).read_bytes()))
    except (OSError, ValueError, KeyError, TypeError):
        raise NoDraftError("This draft is not there any more, or can't be read.") from None


def all_drafts() -> list[Draft]:
    """Return the drafts that can be read, newest first."""
    found = []
    for path in folder().glob("*.json"):
        try:
            found.append(draft(path.stem))
        except NoDraftError:
            continue
    return sorted(found, key=lambda one: one.kept, reverse=True)


def draft_of(file: str, path: Path | None) -> str:
    """Return the id of the newest draft of a plan: of the same file, or of a copy of the same name."""
    for one in all_drafts():
        same = one.file == file if path is None else one.path is not None and _same(one.path, path)
        if same and (one.path is None) == (path is None):
            return one.id
    return ""


@dataclass(slots=True)
class Keeper:
    """Keeps the draft of a table up to date; `hear` listens to its changes.

    Attributes
    ----------
    trouble : str
        Why the last change could not be kept; empty if it was.
    """

    trouble: str = ""
    # Python waits for its thread at the end of the program.
    _to_disk: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1, "drafts"), init=False)

    def hear(self, moment: Moment, by: str) -> None:
        """Keep the unsaved work, or throw the draft away if all is saved."""
        del by
        try:
            if moment.unsaved:
                self._to_disk.submit(_sync, keep(moment))
            else:
                drop(moment.table)
            self.trouble = ""
        except OSError as refused:
            self.trouble = f"Unsaved work can't be kept aside ({refused.strerror or refused}). Save soon."


def _path(id: str) -> Path:
    return folder() / f"{id}.json"


def _from_data(id: str, data: dict[str, Any]) -> Draft:
    texts = {name: data[name] for name in ("title", "text", "good", "file")}
    if not all(isinstance(text, str) for text in texts.values()):
        raise TypeError("a draft holds texts")
    return Draft(
        id=id,
        path=None if data["path"] is None else Path(data["path"]),
        stamp=None if data["stamp"] is None else Stamp(**data["stamp"]),
        kept=datetime.fromisoformat(data["kept"]),
        **texts,
    )


def _same(one: Path, other: Path) -> bool:
    return one.resolve() == other.resolve()


def _sync(path: Path) -> None:
    """Have a draft reach the disk, if it is still there."""
    try:
        number = os.open(path, os.O_RDWR)
    except OSError:
        return  # saved, or changed once more, meanwhile
    try:
        os.fsync(number)
    finally:
        os.close(number)
