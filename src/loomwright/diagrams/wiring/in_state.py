"""The wiring diagram as it stands in a mode: contacts moved, live wires banded, lamps lit, amperes written.

Nothing is laid out anew: what is drawn at rest is drawn again, each moving sign in another pose.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from loomwright.assessment.conditions import fuse_device
from loomwright.assessment.mode_flow import ModeFlow
from loomwright.assessment.modes import ModeFigure
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import amps, length
from loomwright.diagrams.live import letters_of, patterns_of
from loomwright.drawing.lettering import text_width_mm
from loomwright.drawing.scene import Band, Drawn, Link, Symbol, Text, Wire
from loomwright.drawing.symbols_parts import LAMP, LAMP_LIT, STRIP, STRIP_LIT
from loomwright.plan.pieces import Piece

from .canvas import Canvas
from .labels import Line, beside_line
from .marks import WireMark

KEY = "Live bands: V vehicle, plain. L leisure, dots. C charger, slant. M mains, cross."
_LIT = {LAMP.name: LAMP_LIT, STRIP.name: STRIP_LIT}
#: A text may grow by so much beyond what it was set with: others keep 1 mm from it. [mm]
_GROWS, _SMALLEST = 0.85, 2.6
#: So long is a stretch of wire that has letters of its own; room is kept for so many, a little larger. [mm]
_LEAST, _WIDEST, _ROOMY = 9.0, "VLC", 0.3


@dataclass(frozen=True, slots=True)
class InState:
    """How a van stands, for drawing.

    Attributes
    ----------
    job : Assessment
    figure : ModeFigure
        The positions of its devices, and what is live.
    flow : ModeFlow or None
        What flows; None: no amperes are written and no lamp is lit.
    """

    job: Assessment
    figure: ModeFigure
    flow: ModeFlow | None = None

    @property
    def name(self) -> str:
        """The state in words."""
        return self.figure.id.replace("_", " ")

    def drawn(self, items: Iterable[Drawn]) -> list[Drawn]:
        """Return the items of a sheet as they are in this state, the bands of live wires with them."""
        pieces = {piece.id: piece for run in self.job.wiring.runs.values() for piece in run.pieces}
        return [new for item in items for new in self._item(item, pieces)]

    def _item(self, item: Drawn, pieces: dict[str, Piece]) -> Iterator[Drawn]:
        piece = pieces.get(item.of.id) if item.of is not None and item.of.kind == "wire" else None
        if isinstance(item, Wire):
            letters = self.letters(piece) if piece is not None else self._letters(item.lies_at)
            if letters:
                yield Band(item.points, patterns_of(letters), item.half_width + 1.2, of=item.of)
        if isinstance(item, Symbol):
            item = self._symbol(item)
        elif isinstance(item, Text) and piece is not None:
            item = self._label(item, piece)
        yield item

    # --- what is live ------------------------------------------------------------------------------

    def letters(self, piece: Piece) -> str:
        """Return the letters of what makes a wire live, in their order; empty if nothing does."""
        return letters_of(self.job.wiring, self.sources(piece))

    def _letters(self, point: str) -> str:
        return letters_of(self.job.wiring, self.figure.live.at(point)) if point else ""

    def sources(self, piece: Piece) -> frozenset[str]:
        """Return what reaches a wire; behind its own fuse, pulled, only what comes from its other end."""
        live, nothing = self.figure.live, frozenset[str]()
        if self.figure.positions.get(fuse_device(piece.id)) != "pulled":
            return live.at(piece.a)
        fused = {spot.side for spot in piece.spots if spot.way is None}
        open_ends = [point for side, point in (("a", piece.a), ("b", piece.b)) if side not in fused]
        return live.at(open_ends[0]) if open_ends else nothing

    # --- signs and labels --------------------------------------------------------------------------

    def _symbol(self, item: Symbol) -> Symbol:
        if item.poses is not None:
            now = self.figure.positions.get(item.poses.of, "")
            return replace(item, sign=item.poses.signs.get(now, item.sign))
        if item.sign.name in _LIT and item.of is not None and self.is_on(item.of.id):
            return replace(item, sign=_LIT[item.sign.name])
        return item

    def is_on(self, load: str) -> bool:
        """Say whether current flows in a load."""
        return self.flow is not None and load in self.flow.loads

    def load_words(self, load: str) -> str:
        """Return what a load gets now: amperes and volts."""
        if self.flow is None:
            return ""
        if load in self.flow.collapsed:
            return "too few volts"
        now = self.flow.loads.get(load)
        return "off" if now is None else f"{flowing(now.amps)}, {now.volts:.1f} V"

    def _label(self, item: Text, piece: Piece) -> Text:
        """Return the label of a wire with what flows in it in the place of its length."""
        figure = self.job.wires.get(piece.id)
        metres = length(figure) if figure is not None else ""
        if self.flow is None or not metres or not item.text.endswith(metres):
            return item
        before = item.text.removesuffix(metres)
        text = f"{before}{flowing(self.flow.branch_a.get(piece.id, 0.0))}"
        for size in (item.size, 3.0, _SMALLEST):
            if size <= item.size and text_width_mm(text, size, item.weight, item.mono) <= item.width + _GROWS:
                return replace(item, text=text, size=size)
        return replace(item, text=before.rstrip(", "))

    # --- letters at the wires ------------------------------------------------------------------------

    def lettered(self, spots: Iterable[tuple[Piece, Text]]) -> Iterator[Text]:
        """Yield at each wire the letters of what makes it live, where there is room for them."""
        for piece, spot in spots:
            letters = self.letters(piece)
            if letters:
                yield replace(spot, text=letters)


def flowing(value: float) -> str:
    """Return a current as it flows, either way round.

    Examples
    --------
    >>> flowing(-4.516), flowing(0.0121), flowing(1e-9)
    ('4.52 A', '12 mA', '0 A')
    """
    milliamperes = round(1000.0 * abs(value))
    return f"{milliamperes} mA" if 0 < milliamperes < 100 else amps(abs(value) if milliamperes else 0.0)


def spots_of_letters(marks: Iterable[WireMark], canvas: Canvas) -> Iterator[tuple[Piece, Text]]:
    """Yield where letters may stand beside each stretch of wire; the canvas keeps these places taken."""
    for mark in marks:
        if mark.bottom - mark.top < _LEAST:
            continue
        of = Link("wire", mark.piece.id)
        line = (Line(_WIDEST, _SMALLEST + _ROOMY, 600),)
        texts = beside_line(canvas, [line], mark.x, (mark.top, mark.bottom), mark.half + 0.6, of, start=0.1)
        yield from ((mark.piece, replace(text, size=_SMALLEST)) for text in texts or ())


__all__ = ["KEY", "InState", "flowing", "spots_of_letters"]
