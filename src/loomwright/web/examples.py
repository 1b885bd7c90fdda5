"""The example vans that come with the program, each opened as a copy."""

from __future__ import annotations

from pathlib import Path

#: Shown first.
DEMO = "alderford"
_FOLDER = Path(__file__).resolve().parents[3] / "examples"


def example_names() -> list[str]:
    """Return the names of the example plans; none where only the package was installed."""
    return sorted(path.stem for path in _FOLDER.glob("*.yaml"))


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
