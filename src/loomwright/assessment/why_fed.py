"""Who feeds what in each mode, and of what nothing feeds, what stands in the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from loomwright.circuit.states import Contacts
from loomwright.plan.pieces import Wiring

from .conditions import TOWING, condition
from .loads import ends_of_load
from .modes import ModeFigure, Modes
from .sources import is_battery
from .turning import inner_point
from .ways import Ways

#: The condition that a trailer hangs on the van.
TRAILER = condition("towing")


@dataclass(frozen=True, slots=True)
class Stop:
    """A device that stands in the way.

    Attributes
    ----------
    device, stands : str
        Its id and the position it has.
    waits : tuple of str
        What its coil waits for: devices that are open on the way to it.
    held : str
        The end that is live and holds it off; empty if none does.
    """

    device: str
    stands: str
    waits: tuple[str, ...] = ()
    held: str = ""


@dataclass(frozen=True, slots=True)
class InTheWay:
    """The source that is nearest to something dead, and what stands between; nothing: no way is wired."""

    source: str
    stops: tuple[Stop, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """What feeds or charges one thing in one mode; if nothing does, why."""

    sources: frozenset[str]
    why: InTheWay | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One load, or one battery and what charges it, in every mode."""

    id: str
    is_store: bool
    cells: tuple[Cell, ...]


class WhyFed:
    """Says in one mode why something is not fed.

    Parameters
    ----------
    wiring : Wiring
    net : Contacts
    figure : ModeFigure
        How everything stands.
    """

    def __init__(self, wiring: Wiring, net: Contacts, figure: ModeFigure) -> None:
        self._wiring, self._net, self._figure = wiring, net, figure

    @cached_property
    def ways(self) -> Ways:
        """The ways of this mode."""
        return Ways(self._net, self._figure)

    @cached_property
    def _lasting(self) -> dict[str, str]:
        """What gives at all times, with its plus: batteries, and feeds of the vehicle always live."""
        return {one.id: one.plus for one in self._net.origins if one.while_ is None and not one.charges}

    def of_point(self, point: str) -> InTheWay | None:
        """Return what stands between the nearest source and a dead feed; None if no way is wired."""
        found = self.ways.to(point, self._lasting) or self.ways.to(point)
        return None if found is None else InTheWay(found[0], tuple(map(self._stop, found[1].open)))

    def of_load(self, load: str) -> InTheWay | None:
        """Return what stands in the way of a load that nothing feeds: in its feed, or in its return."""
        if self._figure.positions.get(TRAILER) == TOWING[0] and load not in self._wiring.parts:
            return InTheWay("", (Stop(TRAILER, TOWING[0]),))
        plus, minus = ends_of_load(self._wiring, load)
        live = self._figure.live.at(plus)
        if not live:
            return self.of_point(plus)
        minuses = {one.id: one.minus for one in self._net.origins if one.id in live}
        found = self.ways.to(minus, minuses)
        return None if found is None else InTheWay(found[0], tuple(map(self._stop, found[1].open)))

    def _stop(self, device: str) -> Stop:
        stands = self._figure.positions[device]
        part = self._wiring.parts.get(device)
        if part is not None and part.kind == "relay" and part.off_while is not None:
            end = inner_point(self._wiring, device, part.off_while)
            if self._figure.live.at(end):
                return Stop(device, stands, held=end)
        coil = f"{device}.86"
        if coil not in self._wiring.by_point:
            return Stop(device, stands)
        found = self.ways.to(coil, self._lasting) or self.ways.to(coil)
        return Stop(device, stands, tuple(one for one in found[1].open if one != device) if found else ())


def mode_table(wiring: Wiring, modes: Modes) -> tuple[tuple[str, ...], tuple[Row, ...]]:
    """Return the modes of a van and a row for each of its batteries and loads, a cell for each mode."""
    figures = list(modes.figures.values())
    whys = [WhyFed(wiring, modes.net, figure) for figure in figures]
    rows = [*_stores(wiring, figures), *_loads(figures, whys)]
    return tuple(modes.figures), tuple(rows)


def _stores(wiring: Wiring, figures: list[ModeFigure]) -> Iterator[Row]:
    for id in wiring.parts:
        if is_battery(wiring, id):
            yield Row(id, True, tuple(Cell(figure.charges.get(id, frozenset())) for figure in figures))


def _loads(figures: list[ModeFigure], whys: list[WhyFed]) -> Iterator[Row]:
    for load in figures[0].feeds if figures else ():
        pairs = zip(figures, whys, strict=True)
        yield Row(load, False, tuple(_cell(figure, why, load) for figure, why in pairs))


def _cell(figure: ModeFigure, why: WhyFed, load: str) -> Cell:
    sources = figure.feeds[load]
    return Cell(sources) if sources else Cell(sources, why.of_load(load))


__all__ = ["Cell", "InTheWay", "Row", "Stop", "WhyFed", "mode_table"]
