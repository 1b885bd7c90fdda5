"""Lines, poles and words of the mains sheet: a line has the colour of its core, dashes join its poles."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from loomwright.assessment.mains.layout import Gate
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import inks_of
from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import LINKAGE, Token
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Drawn, Link, Polyline, Sign, Symbol, Text, Wire
from loomwright.drawing.symbols_mains import (
    BREAKER_POLE,
    CONTACT_POLE,
    GRIP,
    POLE_HALF,
    SUMMING_RING,
    summing_ring,
)  # fmt: skip
from loomwright.drawing.symbols_parts import SPLICE
from loomwright.tables.mains_cores import CORE_COLOURS

from .place import PITCH, Placed
from .signs import Spot

#: Core of every line. [mm]
CORE = 0.7
LINE = 3.6
SMALL = 2.8


class Painter:
    """What is drawn of one sheet.

    Parameters
    ----------
    job : Assessment
    placed : Placed
        Where things lie.
    pages : mapping
        By part, the number of the sheet that it is on first.
    """

    def __init__(self, job: Assessment, placed: Placed, pages: Mapping[str, int]) -> None:
        self.job, self.placed, self._pages = job, placed, pages
        self.items: list[Drawn] = []
        self.signs: dict[str, Sign] = {}
        self.spots: dict[str, Spot] = {}
        #: Points that the row of their thing begins at, and those that only another row joins.
        self.fed: frozenset[str] = frozenset()
        self.joined: frozenset[str] = frozenset()
        self._colours = CORE_COLOURS[job.plan.region]

    def page_of(self, part: str) -> str:
        """Return which sheet a part is on, as words behind its name."""
        return f", part {self._pages[part]}" if part in self._pages else ""

    def y(self, row_y: float, core: str) -> float:
        """Return the height of one line of a row."""
        return self.placed.y(row_y, core)

    def inks(self, core: str) -> tuple[Token, ...]:
        """Return the colours of a core in the region of the van."""
        letters = self._colours[core]
        return ("GN", "YE") if letters == "GNYE" else inks_of(letters)

    def line(self, core: str, points: Sequence[Point], of: Link) -> None:
        """Draw one core."""
        kept = tuple(point for n, point in enumerate(points) if n == 0 or point != points[n - 1])
        if len(kept) > 1:
            self.items.append(Wire(kept, CORE, self.inks(core), of=of))

    def level(self, cores: Iterable[str], row_y: float, x: tuple[float, float], of: Link) -> None:
        """Draw level cores of one row."""
        for core in cores:
            y = self.y(row_y, core)
            self.line(core, ((x[0], y), (x[1], y)), of)

    def sign(self, sign: Sign, at: Point, of: Link, turn: int = 0) -> None:
        """Set a sign, and have it in the legend."""
        self.items.append(Symbol(sign, at, 90 if turn else 0, of=of))
        self.signs.setdefault(sign.name.rpartition("_")[0] if "ring" in sign.name else sign.name, sign)

    def dot(self, at: Point, of: Link) -> None:
        """Set the dot of a joint."""
        self.items.append(Symbol(SPLICE, at, of=of))

    def gate(self, gate: Gate, cores: Sequence[str], row_y: float, x: float, of: Link) -> float:
        """Draw what opens in the lines of a row, from `x` on; return where it ends. [mm]"""
        if gate.breaker is None and gate.residual is None:
            return x
        sign = BREAKER_POLE if gate.breaker is not None else CONTACT_POLE
        end = x + 2 * POLE_HALF + (5.0 if gate.residual is not None else 0.0)
        self.poles(sign, self.opened(gate.poles, cores), cores, row_y, (x, end), of)
        if gate.residual is not None:
            self._ring(cores, row_y, x, of)
        return end

    @staticmethod
    def opened(poles: int | None, cores: Sequence[str]) -> list[str]:
        """Return the cores that so many poles open: lines first, neutral last; all where nobody knows."""
        live = [core for core in cores if core != "PE"]
        return live if poles is None else live[: max(1, min(poles, len(live)))]

    def poles(
        self,
        sign: Sign,
        opened: Sequence[str],
        cores: Sequence[str],
        row_y: float,
        x: tuple[float, float],
        of: Link,
    ) -> None:
        """Draw poles of one device, joined, at the left of a stretch of lines."""
        middle, after = x[0] + POLE_HALF, x[0] + 2 * POLE_HALF
        for core in cores:
            y = self.y(row_y, core)
            if core in opened:
                self.sign(sign, (middle, y), of)
                self.line(core, ((after, y), (x[1], y)), of)
            else:
                self.line(core, ((x[0], y), (x[1], y)), of)
        heights = [self.y(row_y, core) + GRIP[1] for core in opened]
        if len(heights) > 1:
            self.items.append(Polyline(((middle, min(heights)), (middle, max(heights))), LINKAGE, of=of))

    def _ring(self, cores: Sequence[str], row_y: float, x: float, of: Link) -> None:
        """Draw the ring of an RCD around its live lines, and how it acts on the poles."""
        heights = [self.y(row_y, core) for core in cores if core != "PE"]
        ring = summing_ring(max(heights) - min(heights)) if len(heights) > 1 else SUMMING_RING
        at, grip = x + 2 * POLE_HALF + 2.5, x + POLE_HALF
        self.sign(ring, (at, (min(heights) + max(heights)) / 2), of)
        top = min(heights) - 2.5
        link = ((at, min(heights) - 1.6), (at, top), (grip, top), (grip, min(heights) + GRIP[1]))
        self.items.append(Polyline(link, LINKAGE, of=of))

    def words(
        self, at: Point, lines: Iterable[str], width: float, *, of: Link | None = None, grey: bool = True,
        size: float = SMALL,
    ) -> float:  # fmt: skip
        """Set lines under each other, cut to a width; return where the next would stand. [mm]"""
        x, y = at
        for line in lines:
            if line:
                ink: Token = "grey" if grey else "ink"
                self.items.append(Text((x, y), shorten(line, width, size), size, ink=ink, of=of))
                y += LINE
        return y

    def title(self, id: str, more: str, at: Point, width: float, of: Link) -> None:
        """Set the name of a thing, the rest of it in grey where there is room."""
        own = shorten(id, width, 2.9, 600)
        self.items.append(Text(at, own, 2.9, 600, of=of))
        used = text_width_mm(own, 2.9, 600) + 2.0
        if more and width - used > 8.0:
            self.items.append(
                Text((at[0] + used, at[1]), shorten(more, width - used, SMALL), SMALL, ink="grey", of=of)
            )
        self.spots.setdefault(id, Spot(at, used - 2.0))


__all__ = ["CORE", "LINE", "PITCH", "SMALL", "Painter"]
