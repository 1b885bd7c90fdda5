"""Why something is not fed, in words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.assessment.why_fed import TRAILER, Cell, InTheWay, Row, Stop, mode_table

Named = Callable[[str], str]


def why_words(why: InTheWay | None, named: Named = str) -> str:
    """Return why something is not fed, in words."""
    if why is None or not why.stops:
        return "no way is wired to it"
    return "; ".join(stop_words(stop, named) for stop in why.stops)


def stop_words(stop: Stop, named: Named = str) -> str:
    """Return what stands in the way, in words.

    Examples
    --------
    >>> stop_words(Stop("K1", "off", ("S2",)))
    'K1 is off, its coil waits for S2'
    """
    if stop.device == TRAILER:
        return "no trailer is on"
    says = f"{named(stop.device)} is {stop.stands}"
    if stop.held:
        return f"{says}, held so by {stop.held}"
    return f"{says}, its coil waits for {' and '.join(map(named, stop.waits))}" if stop.waits else says


@dataclass(frozen=True, slots=True)
class Told:
    """A row of the mode table in words: what charges a battery or feeds a load in each mode, or why not."""

    id: str
    said: tuple[str, ...]


def told_rows(job: Assessment) -> tuple[Told, ...]:
    """Return the mode table in words."""
    _, rows = mode_table(job.wiring, job.modes)
    return tuple(Told(row.id, tuple(_said(row, cell) for cell in row.cells)) for row in rows)


def _said(row: Row, cell: Cell) -> str:
    if cell.sources:
        return f"{'charged by ' if row.is_store else ''}{', '.join(sorted(cell.sources))}"
    return "not charged" if row.is_store else f"not fed: {why_words(cell.why)}"
