"""Plan files on disk: read whole, written whole or not at all, never over another program's change.

A save writes a new file beside the old one, forces it to the disk and puts it in the old one's place in one
step. Whatever fails, power included, the plan is either the old text or the new one. The byte order mark,
the line ends and the access rights stay as found.

Source: POSIX.1-2017, rename(): "that name shall remain visible ... throughout the renaming operation"
(from memory).
"""

from __future__ import annotations

import hashlib
import os
import secrets
import stat
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from loomwright.errors import ChangedMeanwhile, PlanError, Problem
from loomwright.plan.tree import SIZE_LIMIT, decode

_BOM = "\ufeff"
# Between the look at the file and the change of it no other thread of this program may write.
_writing = threading.Lock()


@dataclass(frozen=True, slots=True)
class Stamp:
    """What a file was when it was read or written.

    Attributes
    ----------
    digest : str
        SHA-256 of its bytes; the same bytes written again by another program are no change.
    bom : bool
        It began with a byte order mark.
    newline : str
        How all its lines ended, "\\n" or "\\r\\n"; empty if there were none, or some of each.
    """

    digest: str
    bom: bool
    newline: str


@dataclass(frozen=True, slots=True)
class Loaded:
    """The text of a file, without byte order mark, and the stamp to save it with."""

    text: str
    stamp: Stamp


def load(path: str | Path) -> Loaded:
    """Return the text of a plan file.

    Raises
    ------
    OSError
        The file is not there, or can't be read.
    PlanError
        It is no text file, not UTF-8, or too large.
    """
    path = Path(path)
    data = _bytes_of(path)
    return Loaded(decode(data, path.name), _stamp_of(data))


def save(path: str | Path, text: str, stamp: Stamp | None) -> Stamp:
    """Write a plan file in one step and return its new stamp.

    Parameters
    ----------
    path : str or Path
        The file; if it is a link, the file that the link leads to.
    text : str
        The whole text. Its line ends become those of the file.
    stamp : Stamp or None
        Of the file as it was read; None if there is no such file yet.

    Raises
    ------
    ChangedMeanwhile
        The file is no longer as the stamp says; nothing was written.
    OSError
        The disk is full, the folder or file is read-only; the old file is whole.
    PlanError
        The text is too large, or could not be read again.
    """
    path = Path(path)
    data = _encoded(text, stamp)
    decode(data, path.name)
    target = path.resolve()
    try:
        with _writing:
            _replace(target, data, stamp)
    except OSError as wrong:  # with the name the user knows, not that of the file beside it
        raise OSError(wrong.errno, wrong.strerror, str(path)) from wrong
    return _stamp_of(data)


def stamp_of(path: str | Path) -> Stamp:
    """Return the stamp of a file as it is now, whatever it holds.

    Raises
    ------
    OSError
        The file is not there, or can't be read.
    PlanError
        It is a device or a pipe.
    """
    return _stamp_of(_bytes_of(Path(path)))


def parent_reader(path: str | Path) -> Callable[[str], str]:
    """Return what reads the plans that `path` builds on: bare file names, in the same folder only.

    The function returned raises LookupError for any other name, OSError if the file can't be read and
    PlanError if it is not text.
    """
    return lambda name: load(_beside(path, name)).text


def bytes_beside(path: str | Path, name: str, most: int) -> bytes:
    """Return what is in a file in the folder of a plan.

    Parameters
    ----------
    path : str or Path
        The plan.
    name : str
        A bare file name.
    most : int
        So many bytes are read and no more; one beyond shows that there are more.

    Raises
    ------
    LookupError
        It is no bare file name, or leads out of the folder.
    OSError
        The file is not there, or can't be read.
    PlanError
        It is a device or a pipe.
    """
    return _bytes_of(_beside(path, name), most)


def _beside(path: str | Path, name: str) -> Path:
    folder = Path(path).resolve().parent
    if not name or name.startswith(".") or any(character in name for character in "/\\:\0"):
        raise LookupError(f'"{name}" is not a bare file name.')
    if (folder / name).resolve().parent != folder:
        raise LookupError(f'"{name}" leads out of the folder.')
    return folder / name


def _bytes_of(path: Path, most: int = SIZE_LIMIT) -> bytes:
    """Return the bytes of an ordinary file, one more than the limit at most."""
    if path.exists() and not stat.S_ISREG(path.stat().st_mode) and not path.is_dir():
        raise PlanError([Problem(1, 1, "", "this is a device or a pipe, not a file.", path.name)])
    with path.open("rb") as file:
        return file.read(most + 1)


def _stamp_of(data: bytes) -> Stamp:
    ends, crlf = data.count(b"\n"), data.count(b"\r\n")
    newline = "\r\n" if ends and crlf == ends else "\n" if ends and not crlf else ""
    return Stamp(hashlib.sha256(data).hexdigest(), data.startswith(_BOM.encode()), newline)


def _encoded(text: str, stamp: Stamp | None) -> bytes:
    text = text.removeprefix(_BOM)
    if stamp is not None and stamp.newline:
        text = text.replace("\r\n", "\n").replace("\n", stamp.newline)
    mark = _BOM if stamp is not None and stamp.bom else ""
    return (mark + text).encode("utf-8", "surrogatepass")


def _replace(target: Path, data: bytes, stamp: Stamp | None) -> None:
    """Put the data in the place of the file, if that is still what the stamp says."""
    if target.exists() and not os.access(target, os.W_OK):
        raise PermissionError(13, "this file is read-only", str(target))
    beside = target.with_name(f".{target.name}.{secrets.token_hex(4)}.tmp")
    try:
        with open(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            os.chmod(beside, stat.S_IMODE(target.stat().st_mode))
        _check_unchanged(target, stamp)
        os.replace(beside, target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _check_unchanged(target: Path, stamp: Stamp | None) -> None:
    if stamp is None and target.exists():
        raise ChangedMeanwhile(
            f"{target.name}: a file of this name has been made meanwhile. Nothing was written."
        )
    if stamp is not None and not target.exists():
        raise ChangedMeanwhile(f"{target.name} has been deleted or renamed meanwhile. Nothing was written.")
    if stamp is not None and _stamp_of(_bytes_of(target)).digest != stamp.digest:
        raise ChangedMeanwhile(
            f"{target.name} has been changed by another program meanwhile. Nothing was written."
        )


def _sync_folder(folder: Path) -> None:
    """Have the new name reach the disk too, where folders can be synced."""
    if os.name != "posix":
        return
    number = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(number)
    except OSError:
        pass  # the file itself is safe; some network drives refuse this
    finally:
        os.close(number)
