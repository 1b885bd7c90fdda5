"""Where plans lie: the folder `vans` in the user's home, and what a plan may be called in it.

Nothing is ever written into the program's own folder, so that an example stays what it is and an update of
the program takes nobody's van with it.

Source: Microsoft, Naming Files, Paths, and Namespaces: the characters and device names that can't be used
(from memory). They are refused everywhere, since plans travel.
"""

from __future__ import annotations

import os
import re
import unicodedata
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from loomwright.errors import LoomwrightError

#: Longest name of a file with its ending. [bytes] File systems hold 255; a save needs 15 for the file beside.
NAME_LIMIT = 200
ENDINGS = (".yaml", ".yml")

_REFUSED = '<>:"/\\|?*'
_DEVICES = frozenset(
    ("con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10)))
)
_TITLE = re.compile(r"^title:[ \t]*(.+?)[ \t]*$", re.MULTILINE)
#: Enough of a plan to find its title in. [bytes]
_HEAD = 4096


class PlaceRefusedError(LoomwrightError):
    """A plan can't be saved under this name, or in this folder; the text says why."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A plan that lies in the folder: name of its file, its title, and when it was changed."""

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


def kept_plan(file: str, folder: Path) -> Path:
    """Return the path of a plan that `kept_plans` listed.

    Raises
    ------
    PlaceRefusedError
        The folder holds no such plan.
    """
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
