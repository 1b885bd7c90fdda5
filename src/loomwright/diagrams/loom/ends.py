"""What stands at an end of a wire: its label, its terminal in words, and the sign for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from loomwright.assessment.ends import WireEnd, ends_of, label_of
from loomwright.assessment.record import Assessment
from loomwright.drawing.lettering import shorten, text_width_mm
from loomwright.drawing.scene import Sign
from loomwright.drawing.symbols_ends import BARE, BLADE, FERRULE, OWN, PIN, RING, SPLICE
from loomwright.tables import terminals as table

_SIGNS = {
    table.RING: RING,
    table.RECEPTACLE: BLADE,
    table.FERRULE: FERRULE,
    table.PIN: PIN,
    table.SPLICE: SPLICE,
    table.OWN: OWN,
}


@dataclass(frozen=True, slots=True)
class EndWords:
    """The text of the label, the terminal in words with and without its cable, and its sign."""

    label: str
    terminal: str
    kind: str
    sign: Sign

    def within(self, width: float, size: float) -> str:
        """Return as much of the terminal's words as fits a width: whole, without its cable, then cut. [mm]"""
        texts = (
            self.terminal,
            self.kind,
            self.kind.replace(", thread not known", " ?").replace("receptacle", "rec."),
        )
        return next(
            (one for one in texts if text_width_mm(one, size) <= width), shorten(texts[-1], width, size)
        )


@dataclass(frozen=True)
class Ends:
    """The ends of all wires of a van.

    Parameters
    ----------
    job : Assessment
    """

    job: Assessment

    @cached_property
    def _known(self) -> dict[str, tuple[WireEnd, WireEnd]]:
        return ends_of(self.job)

    def of(self, wire: str, side: str) -> EndWords:
        """Return what stands at the "a" or "b" end of a wire."""
        end = self._known[wire]["ab".index(side)]
        holder = f", {end.holder} in a holder" if end.holder else ""
        kind = end.terminal.words if end.terminal.kind != table.UNKNOWN else "not known"
        area = next(self.sizes(wire), "")
        return EndWords(self.label(wire, side), f"{kind}{', ' * bool(area)}{area}{holder}", kind,
                        _SIGNS.get(end.terminal.kind, BARE))  # fmt: skip

    def label(self, wire: str, side: str) -> str:
        """Return what is printed on the wire at one end: its number, and what this end goes to."""
        return f"{self.number(wire)} {self.at(wire, side)}"

    def number(self, wire: str) -> str:
        """Return what a wire is called on its labels: the number given to it, else its id."""
        return label_of(self.job, wire)

    def at(self, wire: str, side: str) -> str:
        """Return in words what a wire ends on."""
        figure = self.job.wires[wire]
        return figure.from_ if side == "a" else figure.to

    def size(self, wire: str) -> str:
        """Return size and colour of a wire: "2.5 mm² RDBU"."""
        return " ".join((*self.sizes(wire), self.job.wires[wire].colour)).strip()

    @property
    def wires(self) -> tuple[str, ...]:
        """All wires that have ends to be made."""
        return tuple(self._known)

    def sizes(self, wire: str) -> Iterator[str]:
        """Yield the size of a wire, if it is known."""
        one = self.job.wires[wire]
        if one.gauge:
            yield one.gauge
        elif one.area_mm2 is not None:
            yield f"{one.area_mm2:g} mm²"


__all__ = ["EndWords", "Ends"]
