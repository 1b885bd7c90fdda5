"""What a picture of a case is made of: lines, areas and letters, in pixels."""

from __future__ import annotations

from dataclasses import dataclass, field

WIDTH = 350.0
#: So many letters have room beside the cores.
_LONGEST = 17


@dataclass(frozen=True, slots=True)
class Shape:
    """A line or an area: its path, what it is, its ink where that is no token. [px]"""

    path: str
    of: str
    ink: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """Letters at a place: their anchor "start", "middle" or "end". [px]"""

    text: str
    x: float
    y: float
    of: str = "name"
    anchor: str = "start"
    whole: str = ""


@dataclass(slots=True)
class Picture:
    """The picture of a case. [px]"""

    height: float = 0.0
    width: float = WIDTH
    shapes: list[Shape] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)

    def line(self, of: str, *points: tuple[float, float], ink: str = "") -> None:
        """Draw a line through points."""
        self.shapes.append(Shape("M" + "L".join(f"{x:g} {y:g}" for x, y in points), of, ink))

    def box(self, of: str, x: float, y: float, width: float, height: float) -> None:
        """Draw a box."""
        self.shapes.append(Shape(f"M{x:g} {y:g}h{width:g}v{height:g}h{-width:g}z", of))

    def say(self, text: str, x: float, y: float, of: str = "name", anchor: str = "start") -> None:
        """Write a line of text."""
        shown = text if len(text) <= _LONGEST or anchor != "start" else f"{text[: _LONGEST - 1]}…"
        self.words.append(Words(shown, x, y, of, anchor, text if shown != text else ""))


__all__ = ["WIDTH", "Picture", "Shape", "Words"]
