"""The order in which devices open after a fault.

At each stage the device with the least longest time opens. One that has seen enough since an earlier
stage goes on from there: it takes at most the longest of its times in the stages since, and at least the
shortest.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from loomwright.mains.breakers import breaker_time
from loomwright.mains.records import Device, Link, Net, State
from loomwright.mains.residual import residual_time
from loomwright.mains.states import state_with
from loomwright.units import Band

By = Literal["breaker", "residual"]


class Opening(NamedTuple):
    """One device opens.

    Attributes
    ----------
    device : str
        Which.
    by : str
        What made it: "breaker" or "residual".
    amps : float
        The current, or the residue, that it saw. [A]
    after : Band
        Since the fault came. [s]
    others : tuple of str
        Devices that may have been quicker.
    """

    device: str
    by: By
    amps: float
    after: Band
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stage:
    """One state between two openings.

    Attributes
    ----------
    opened : frozenset of str
        Links that are open.
    state : State
        Volts and currents.
    opening : Opening or None
        What ends it; None: nothing has to.
    may_open : tuple of str
        In the last stage: devices that may open and need not.
    soonest_s : float
        When the first of these may; infinite without any. [s]
    """

    opened: frozenset[str]
    state: State
    opening: Opening | None = None
    may_open: tuple[str, ...] = ()
    soonest_s: float = math.inf


def seen_by(device: Device, state: State) -> dict[By, tuple[float, Band]]:
    """Return what a device sees and how soon it opens on it.

    Parameters
    ----------
    device : Device
        Not open yet.
    state : State
        Volts and currents.

    Returns
    -------
    dict
        By its release: the current [A] and the times [s]; without releases that stay.
    """
    found: dict[By, tuple[float, Band]] = {}
    if device.breaker is not None:
        poles = device.opens if device.senses is None else device.senses
        amps = max((abs(state.amps.get(pole, 0.0)) for pole in poles), default=0.0)
        found["breaker"] = amps, breaker_time(device.breaker.curve, device.breaker.rating_a, amps)
    if device.residual is not None:
        amps = abs(sum(state.amps.get(core, 0.0) for core in device.links))
        found["residual"] = amps, residual_time(device.residual, amps)
    return {by: seen for by, seen in found.items() if math.isfinite(seen[1].low)}


def stages(net: Net, extra: Sequence[Link], opened: frozenset[str] = frozenset()) -> Iterator[Stage]:
    """Yield the states from a fault on until no device has to open any more.

    Parameters
    ----------
    net : Net
        The installation.
    extra : sequence of Link
        The fault, a person.
    opened : frozenset of str
        Links that are open from the start.

    Yields
    ------
    Stage
        Each but the last with the opening that ends it.
    """
    start = Band(0.0, 0.0)
    since: dict[tuple[str, By], _Since] = {}
    while True:
        state = state_with(net, opened, extra)
        ways = {
            (device, by): seen
            for device in net.devices
            if not opened.issuperset(device.opens)
            for by, seen in seen_by(device, state).items()
        }
        since = {
            (device.id, by): _Since.go_on(since.get((device.id, by)), start, times)
            for (device, by), (_, times) in ways.items()
        }
        ends = {way: since[way[0].id, way[1]].end(start) for way in ways}
        sure = [way for way in ends if math.isfinite(ends[way].high)]
        if not sure:
            may_open = tuple(dict.fromkeys(device.id for device, _by in ends))
            yield Stage(
                opened, state, None, may_open, min((end.low for end in ends.values()), default=math.inf)
            )
            return
        first = min(sure, key=lambda way: (ends[way].high, ends[way].low))
        device, by = first
        others = dict.fromkeys(
            d.id for (d, _), end in ends.items() if d is not device and end.low < ends[first].high
        )
        start = ends[first]
        yield Stage(opened, state, Opening(device.id, by, ways[first][0], start, tuple(others)))
        opened |= frozenset(device.opens)


class _Since(NamedTuple):
    """When a release began to see enough, and its times since."""

    start: Band
    shortest_s: float
    longest_s: float

    @staticmethod
    def go_on(before: _Since | None, start: Band, times: Band) -> _Since:
        if before is None:
            return _Since(start, times.low, times.high)
        return _Since(before.start, min(before.shortest_s, times.low), max(before.longest_s, times.high))

    def end(self, stage: Band) -> Band:
        """Return when it opens, which is not before the stage begins."""
        soonest, latest = self.start.low + self.shortest_s, self.start.high + self.longest_s
        return Band(max(stage.low, soonest), latest)  # nobody was due sooner than who opened last
