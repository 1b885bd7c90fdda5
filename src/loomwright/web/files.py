"""Where plans lie: the folder `vans` in the user's home or another one, and what a plan may be called.

Nothing is ever written into the program's own folder, so that an example stays what it is and an update of
the program takes nobody's van with it.

Source: Microsoft, Naming Files, Paths, and Namespaces: the characters and device names that can't be used
(from memory). They are refused everywhere, since plans travel.
"""

from __future__ import annotations

import contextlib
import os
import re
import unicodedata
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from loomwright.errors import LoomwrightError

from . import drafts

#: Longest name of a file with its ending. [bytes] File systems hold 255; a save needs 15 for the file beside.
NAME_LIMIT = 200
ENDINGS = (".yaml", ".yml")

_REFUSED = '<>:"/\\|?*'
_DEVICES = frozenset(
    ("con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10)))
)
_TITLE = re.compile(r"^title:[ \t]*(.+?)[ \t]*$", re.MULTILINE)
#: So many plans that lie elsewhere are kept in mind.
_REMEMBERED = 20
#: Enough of a plan to find its title in. [bytes]
_HEAD = 4096


class PlaceRefusedError(LoomwrightError):
    """A plan can't be saved under this name, or in this folder; the text says why."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A plan that was kept: its file (by name in the folder, else by its path), its title, when changed."""

    file: str
    title: str
    changed: datetime


def vans_folder() -> Path:
    """Return the folder that plans are kept in; it need not exist yet."""
    return Path.home() / "vans"


def program_folder() -> Path:
    """Return the folder that the program itself lies in: the whole project, or the installed package."""
    package = Path(__file__).resolve().parents[1]
    project = package.parents[1]
    return project if (project / "pyproject.toml").exists() else package


def is_programs_own(path: Path) -> bool:
    """Return whether a file lies, or would lie, in the program's own folder."""
    return path.resolve().is_relative_to(program_folder())


def folder_of(typed: str, usual: Path) -> Path:
    """Return the folder that was typed: from the home folder on if it does not say from where.

    It is made with the plan if the folder around it is there.

    Parameters
    ----------
    typed : str
        As typed; empty for the usual one.
    usual : Path
        What is meant where nothing is typed; it need not exist.

    Raises
    ------
    PlaceRefusedError
        There is no such folder, or it is a file.
    """
    typed = unicodedata.normalize("NFC", typed.strip())
    if not typed or typed == str(usual):
        return usual
    if any(_is_unseen(character) for character in typed):
        raise PlaceRefusedError("The name of a folder can't hold characters that are not seen.")
    below = re.sub(r"^~(?:[/\\]+|$)", "", typed)
    folder = Path(os.path.normpath(Path.home() / below))
    if folder.exists() and not folder.is_dir():
        raise PlaceRefusedError(f"{folder} is a file, not a folder.")
    if not folder.parent.is_dir():
        raise PlaceRefusedError(f"There is no folder {folder.parent}. Choose one that is there, or make it.")
    return folder


def place(name: str, folder: Path) -> Path:
    """Return the file for a name as typed; `.yaml` is put behind it if it is missing.

    Raises
    ------
    PlaceRefusedError
        The name can't be used on every computer, or the folder is the program's own.
    """
    name = unicodedata.normalize("NFC", name.strip())
    bare = name[: -len(ending)] if (ending := _ending(name)) else name
    if not bare:
        raise PlaceRefusedError("Give the plan a name.")
    for refused, why in (
        (any(character in _REFUSED for character in bare), f"A name can't hold any of {' '.join(_REFUSED)}"),
        (any(_is_unseen(character) for character in bare), "A name can't hold characters that are not seen"),
        (bare.startswith("."), "A name can't begin with a dot: the file would be hidden"),
        (bare.endswith((".", " ")), "A name can't end with a dot or a space"),
        (
            bare.split(".")[0].strip().casefold() in _DEVICES,
            f'"{bare}" is the name of a device on some computers',
        ),
    ):
        if refused:
            raise PlaceRefusedError(f"{why}. Choose another name, such as my-van.")
    file = bare + (ending or ENDINGS[0])
    if (length := len(file.encode())) > NAME_LIMIT:
        raise PlaceRefusedError(f"This name is too long ({length} bytes; at most {NAME_LIMIT}).")
    path = folder / file
    refuse_programs_own(path)
    return path


def refuse_programs_own(path: Path) -> None:
    """Refuse a file in the program's own folder.

    Raises
    ------
    PlaceRefusedError
        It would lie there.
    """
    if is_programs_own(path):
        raise PlaceRefusedError(
            f"{path.parent} belongs to the program: plans are not saved there, so that an update takes none "
            "with it. Open the plan from another folder, such as vans in your home folder."
        )


def free_name(title: str, folder: Path) -> str:
    """Return a name for a plan of this title that no file of the folder has yet, without its ending."""
    words = re.findall(r"[^\W_]+", unicodedata.normalize("NFC", title).lower())
    name = "-".join(words)[:60].strip("-") or "van"
    if name in _DEVICES:
        name = f"van-{name}"
    count, tried = 1, name
    while any((folder / f"{tried}{ending}").exists() for ending in ENDINGS):
        count += 1
        tried = f"{name}-{count}"
    return tried


def when(moment: datetime) -> str:
    """Return a time in few words: of today by the clock, of another day by its date."""
    return f"today {moment:%H:%M}" if moment.date() == datetime.now().date() else f"{moment:%Y-%m-%d}"


def kept_plans(folder: Path) -> list[Kept]:
    """Return the plans that lie in a folder, newest first; none if there is no such folder."""
    try:
        entries = [entry for entry in os.scandir(folder) if _is_plan(entry)]
    except OSError:
        return []
    plans = [
        Kept(entry.name, _title(Path(entry.path)), datetime.fromtimestamp(entry.stat().st_mtime))
        for entry in entries
    ]
    return sorted(plans, key=lambda plan: (plan.changed, plan.file), reverse=True)


def remember(path: Path) -> None:
    """Keep in mind a plan that was saved elsewhere than in the folder, so that it can be gone on with.

    It is a help only: where the list can't be written, the plan is saved all the same.
    """
    if path.parent == vans_folder():
        return
    others = [str(other) for other in _elsewhere() if other != path]
    with contextlib.suppress(OSError):
        _list_file().parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        _list_file().write_text("\n".join([str(path), *others][:_REMEMBERED]) + "\n", "utf-8")


def kept_elsewhere() -> list[Kept]:
    """Return the plans saved elsewhere that are still there, the last one first."""
    found = []
    for path in _elsewhere():
        with contextlib.suppress(OSError):
            changed = datetime.fromtimestamp(path.stat().st_mtime)
            found.append(Kept(str(path), _title(path), changed))
    return found


def _elsewhere() -> list[Path]:
    try:
        lines = _list_file().read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return []
    return [Path(line) for line in lines if line.strip()]


def _list_file() -> Path:
    return drafts.folder().parent / "elsewhere.txt"


def kept_plan(file: str, folder: Path) -> Path:
    """Return the path of a plan that `kept_plans` or `kept_elsewhere` listed.

    Raises
    ------
    PlaceRefusedError
        The folder holds no such plan.
    """
    if file in {plan.file for plan in kept_elsewhere()}:
        return Path(file)
    if file not in {plan.file for plan in kept_plans(folder)}:
        raise PlaceRefusedError(f"{folder} holds no plan of the name {file} any more.")
    return folder / file


def _ending(name: str) -> str:
    return next((name[-len(ending) :] for ending in ENDINGS if name.casefold().endswith(ending)), "")


def _is_unseen(character: str) -> bool:
    """Return whether a character is a control, turns the direction of writing, or is half a character."""
    kind = unicodedata.category(character)
    return kind in ("Cc", "Cs", "Cn", "Zl", "Zp") or (kind == "Cf" and character != "\N{ZERO WIDTH JOINER}")


def _is_plan(entry: os.DirEntry[str]) -> bool:
    try:
        return bool(_ending(entry.name)) and not entry.name.startswith(".") and entry.is_file()
    except OSError:
        return False


def _title(path: Path) -> str:
    """Return the title in the head of a plan, without reading all of it; empty if there is none."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD).decode("utf-8", "replace")
    except OSError:
        return ""
    found = _TITLE.search(head)
    return found.group(1).strip("\"'") if found else ""
