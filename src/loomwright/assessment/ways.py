"""The way from a source to a point: what it passes, or what stands in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count

from loomwright.circuit.states import Contacts

from .modes import ModeFigure


@dataclass(frozen=True, slots=True)
class Way:
    """A way along contacts that are closed, or that some position would close.

    Attributes
    ----------
    passes : tuple of str
        Devices on the way, from the source on, whose contact there is closed.
    open : tuple of str
        Devices on the way whose contact there is open: empty on a live way.
    """

    passes: tuple[str, ...]
    open: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Step:
    """One step: where it leads, and the device that joins it in some positions; none for a joint."""

    to: str
    device: str = ""
    positions: frozenset[str] = frozenset()
    is_open: bool = False


#: Where a search is: a point, and the contact that it came by last. A device can't stand in two positions.
_State = tuple[str, str, frozenset[str]]
#: Open contacts passed, contacts passed.
_Cost = tuple[int, int]


class Ways:
    """The ways of a van in one mode.

    Parameters
    ----------
    net : Contacts
        What has positions.
    figure : ModeFigure
        How it stands.
    """

    def __init__(self, net: Contacts, figure: ModeFigure) -> None:
        self._net = net
        self._steps: dict[str, list[_Step]] = {}
        for a, b in net.joints:
            self._join(a, b, "", frozenset(), is_open=False)
        for a, k in net.diodes:
            self._steps.setdefault(k, []).append(_Step(a))
        for device in net.devices:
            now = figure.positions[device.id]
            closed: dict[tuple[str, str], set[str]] = {}
            for position, pairs in device.positions.items():
                for pair in pairs:
                    closed.setdefault(pair, set()).add(position)
            for pair, positions in closed.items():
                self._join(*pair, device.id, frozenset(positions), is_open=now not in positions)

    def _join(self, a: str, b: str, device: str, positions: frozenset[str], *, is_open: bool) -> None:
        self._steps.setdefault(a, []).append(_Step(b, device, positions, is_open))
        self._steps.setdefault(b, []).append(_Step(a, device, positions, is_open))

    def to(self, point: str, sources: Mapping[str, str] | None = None) -> tuple[str, Way] | None:
        """Return the source with the fewest open contacts on its way to a point, then the fewest contacts.

        Parameters
        ----------
        point : str
            Where to.
        sources : mapping of str to str, optional
            The sources that count, with their plus; every one of the van if it is left out.

        Returns
        -------
        (str, Way) or None
            None where no position of any contact leads there from a source.
        """
        counted = {one.id: one.plus for one in self._net.origins} if sources is None else sources
        starts = {plus: id for id, plus in counted.items()}
        begin: _State = (point, "", frozenset())
        best: dict[_State, _Cost] = {begin: (0, 0)}
        came: dict[_State, tuple[_State, _Step]] = {}
        order = count()
        queue = [((0, 0), next(order), begin)]
        while queue:
            (open_, passed), _, here = heappop(queue)
            if (open_, passed) > best[here]:
                continue
            if here[0] in starts:
                return starts[here[0]], _way(list(_back(came, here)))
            for step in self._steps.get(here[0], ()):
                there = _after(here, step)
                if there is None:
                    continue
                cost = open_ + step.is_open, passed + bool(step.device)
                if there not in best or cost < best[there]:
                    best[there], came[there] = cost, (here, step)
                    heappush(queue, (cost, next(order), there))
        return None


def _after(here: _State, step: _Step) -> _State | None:
    """Return where a step leads; None if its device would have to stand in two positions at once."""
    _, device, positions = here
    if not step.device:
        return step.to, device, positions
    if step.device == device and not step.positions & positions:
        return None
    return step.to, step.device, step.positions


def _back(came: Mapping[_State, tuple[_State, _Step]], start: _State) -> Iterator[_Step]:
    here = start
    while here in came:
        here, step = came[here]
        yield step


def _way(steps: list[_Step]) -> Way:
    passed = dict.fromkeys(step.device for step in steps if step.device and not step.is_open)
    stopped = dict.fromkeys(step.device for step in steps if step.is_open)
    return Way(tuple(passed), tuple(stopped))


__all__ = ["Way", "Ways"]
