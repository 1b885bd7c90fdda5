"""The way from a source to a point: what it passes, or what stands in it."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

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


#: One step: where it leads, the device that joins it ("" for a joint), and whether it is open now.
_Step = tuple[str, str, bool]


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
            self._join(a, b, "", is_open=False)
        for a, k in net.diodes:
            self._steps.setdefault(a, []).append((k, "", False))
        for device in net.devices:
            now = set(device.positions.get(figure.positions[device.id], ()))
            for pair in {pair for pairs in device.positions.values() for pair in pairs}:
                self._join(*pair, device.id, is_open=pair not in now)

    def _join(self, a: str, b: str, device: str, *, is_open: bool) -> None:
        self._steps.setdefault(a, []).append((b, device, is_open))
        self._steps.setdefault(b, []).append((a, device, is_open))

    def to(self, point: str, sources: Mapping[str, str] | None = None) -> tuple[str, Way] | None:
        """Return the source with the fewest open contacts on its way to a point, and that way.

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
        starts = {one.plus: one.id for one in self._net.origins} if sources is None else {}
        starts |= {plus: id for id, plus in (sources or {}).items()}
        cost: dict[str, int] = {point: 0}
        came: dict[str, tuple[str, str, bool]] = {}
        queue = deque([point])
        settled: set[str] = set()
        while queue:
            here = queue.popleft()
            if here in settled:
                continue
            settled.add(here)
            if here in starts:
                return starts[here], _way(list(_back(came, here, point)))
            for there, device, is_open in self._leading_to(here):
                price = cost[here] + is_open
                if price < cost.get(there, price + 1):
                    cost[there], came[there] = price, (here, device, is_open)
                    (queue.append if is_open else queue.appendleft)(there)
        return None

    def _leading_to(self, point: str) -> Iterator[_Step]:
        """Give the steps that lead to a point; a diode is passed from its anode on only."""
        blocked = {a for a, k in self._net.diodes if k == point}
        backwards = {k for a, k in self._net.diodes if a == point}
        for there, device, is_open in self._steps.get(point, ()):
            if device or there not in backwards:
                yield there, device, is_open
        for anode in sorted(blocked):
            yield anode, "", False


def _back(came: Mapping[str, _Step], start: str, goal: str) -> Iterator[_Step]:
    here = start
    while here != goal:
        step = came[here]
        yield step
        here = step[0]


def _way(steps: list[_Step]) -> Way:
    passed = dict.fromkeys(device for _, device, is_open in steps if device and not is_open)
    stopped = dict.fromkeys(device for _, device, is_open in steps if device and is_open)
    return Way(tuple(passed), tuple(stopped))


__all__ = ["Way", "Ways"]
