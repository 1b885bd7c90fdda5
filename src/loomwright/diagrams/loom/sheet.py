"""The loom sheets: every loom laid flat with its tables, the cables made on their own, the rest in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, partial

from loomwright.assessment.looms import Looms
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import (
    cautions,
    danger_band,
    mains_notice,
    margin_entries,
    numbered,
    title_block,
)
from loomwright.drawing.frame import FIELD_BOX, PAPER, Border, border_items, column_row
from loomwright.drawing.scene import Drawn, Sheet, Sign, Symbol
from loomwright.drawing.symbols_ends import ENDS as END_SIGNS
from loomwright.rules.check import Checked

from .ends import Ends
from .picture import Picture
from .signs import with_signs
from .singles import SinglesBlock
from .tables import head, tables

TITLE = "Loom, laid flat for the bench"
KEY = "Ø of a bundle = 1.2 × √(sum of d²), never less than its two thickest side by side; common practice."
_LEFT, _RIGHT = FIELD_BOX.left + 2.5, FIELD_BOX.right - 2.5
_TOP, _BOTTOM = FIELD_BOX.top + 3.0, FIELD_BOX.bottom - 2.0
_BETWEEN = 5.0
_COLUMNS = 8


@dataclass(frozen=True, slots=True)
class Piece:
    """Something that takes a stretch of a sheet: how tall it is, and what draws it below a given y."""

    height: float
    draw: Callable[[float], Iterator[Drawn]]


def loom_sheets(checked: Checked) -> tuple[Sheet, ...]:
    """Draw the looms of a van, flat and to scale, as they are made on the bench.

    Parameters
    ----------
    checked : Checked
        The assessment and the findings.

    Returns
    -------
    tuple of Sheet
        A3; one or more, also for a van of which no way is known.
    """
    return _Drawing(checked).sheets()


@dataclass(frozen=True)
class _Drawing:
    checked: Checked

    @property
    def job(self) -> Assessment:
        return self.checked.assessment

    @cached_property
    def looms(self) -> Looms:
        return Looms(self.job)

    @cached_property
    def ends(self) -> Ends:
        return Ends(self.job)

    def sheets(self) -> tuple[Sheet, ...]:
        pages: list[list[Drawn]] = [[]]
        y = _TOP
        for pieces in self._pieces():
            tall = sum(one.height for one in pieces)
            for n, one in enumerate(pieces):
                needed = tall if n == 0 and tall <= _BOTTOM - _TOP else one.height
                if y + needed > _BOTTOM and y > _TOP:
                    pages.append([])
                    y = _TOP
                pages[-1] += one.draw(y)
                y += one.height
            y += _BETWEEN if len(pieces) > 1 else 0.0
        spots: dict[int, str] = {}
        findings = numbered(self.checked)
        for n, items in enumerate(pages, 1):
            signs, at = with_signs(items, findings, spots)
            items += signs
            spots |= {number: f"{n}/{column_row(spot, _COLUMNS)}" for number, spot in at.items()}
        return tuple(self._sheet(items, n, len(pages), spots) for n, items in enumerate(pages, 1))

    def _pieces(self) -> Iterator[list[Piece]]:
        """Yield what belongs together, to be kept on one sheet if it fits."""
        for loom in self.looms.looms:
            whole = Picture(self.looms, loom, self.ends, (_LEFT, _RIGHT), _BOTTOM - _TOP - 8.0)
            for picture in whole.parts():
                made = tables(picture, _LEFT, _RIGHT, _BOTTOM - _TOP)
                yield [
                    Piece(8.0 + picture.height, partial(self._loom, picture)),
                    *(Piece(tall, draw) for tall, draw in made),
                ]
        block = SinglesBlock(self.looms, self.ends, _LEFT, _RIGHT)
        for tall, draw in block.rows():
            yield [Piece(tall, draw)]

    def _loom(self, picture: Picture, y: float) -> Iterator[Drawn]:
        yield from head(picture, _LEFT, y + 4.2)
        yield from picture.items(y + 8.0)

    def _sheet(self, items: list[Drawn], number: int, count: int, spots: Mapping[int, str]) -> Sheet:
        job = self.job
        border = Border(
            columns=_COLUMNS,
            title_block=title_block(job.plan, TITLE, sheet=number, sheets=count),
            findings=margin_entries(
                numbered(self.checked),
                {one: spot.removeprefix(f"{number}/") for one, spot in spots.items()},
            ),
            danger_band=danger_band(self.checked),
            notice=mains_notice(job),
            cautions=cautions(job, "String the way in the real van and compare before you cut."),
            key=KEY,
            signs=_signs(items),
        )
        looms = self.looms
        return Sheet(
            width=PAPER[0],
            height=PAPER[1],
            title=f"{job.plan.title}: {TITLE}" + (f", sheet {number} of {count}" if count > 1 else ""),
            description=f"{len(looms.looms)} looms and {len(looms.singles)} single cables of "
            f"{job.plan.title}: what lies together, where it branches, what each end gets.",
            items=(*border_items(border), *items),
        )


def _signs(items: list[Drawn]) -> tuple[Sign, ...]:
    used = {one.sign.name for one in items if isinstance(one, Symbol)}
    return tuple(sign for sign in END_SIGNS if sign.name in used)


__all__ = ["loom_sheets"]
