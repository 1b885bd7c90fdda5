"""The example vans that come with the program, each opened as a copy."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from loomwright.plan.read import read_plan

from .reading import Reading

#: Shown first.
DEMO = "alderford"
#: What each is, in few words, in the order in which they are offered.
ABOUT = {
    "alderford": "combined unit, summer trips",
    "mossgrove": "surf van, small budget",
    "highcol": "ski van, lithium, frost",
    "amberquay": "hire van, 230 V hook-up",
    "planeshed": "workshop, 2 kW inverter",
    "saltpan": "24 V truck cabin, desert",
}
_FOLDER = Path(__file__).resolve().parents[3] / "examples"


@dataclass(frozen=True, slots=True)
class Example:
    """An example as it is offered: the name it is asked for by, its title, what it is."""

    name: str
    title: str
    about: str


def example_names() -> list[str]:
    """Return the names of the example plans; none where only the package was installed."""
    found = {path.stem for path in _FOLDER.glob("*.yaml")}
    return [name for name in ABOUT if name in found] + sorted(found - set(ABOUT))


def examples() -> list[Example]:
    """Return the examples as they are offered."""
    return [Example(name, name.capitalize(), ABOUT.get(name, "")) for name in example_names()]


def example_text(name: str) -> str:
    """Return the text of an example.

    Raises
    ------
    KeyError
        There is no such example.
    """
    if name not in example_names():
        raise KeyError(name)
    return (_FOLDER / f"{name}.yaml").read_text(encoding="utf-8")


@cache
def example_reading(name: str) -> Reading:
    """Return the reading of an example, the same one every time: what it has worked out is kept.

    Raises
    ------
    KeyError
        There is no such example.
    """
    text = example_text(name)
    return Reading(text, read_plan(text, f"{name}.yaml"))
