"""What follows from one open place: what stops, what goes on, what is left in series, what is live.

Everything is on. Besides, each switch in turn is off beside the break: a lost earth shows only then, when its
current finds a way backwards through a lamp that is switched off. Of the switches the one counts that leaves
the most loads in series. A load that is electronic does not conduct backwards, and in series it does what it
likes: its volts are a guide, no more.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

import numpy as np

from loomwright.circuit.breaks import Opened, Openings
from loomwright.circuit.linear import Bools, Floats
from loomwright.plan.pieces import BODY

from .breaks_network import BURNS_PART, DEAD_PART, WORKS_PART, BreaksNetwork
from .breaks_record import Break, InSeries, OtherWay
from .poles import Poles
from .record import WireFigure
from .sources import is_battery

#: Part of a load's current that has to come through a place for it to count as on its way. [-]
ON_ITS_WAY = 0.05
#: A wire that takes less over than this, or than that part of what was there, is not told of. [A, -]
TOLD_A, TOLD_PART = 0.5, 0.05
#: A minus that stands this far above minus is live. [V]
LIVE_V = 1.0
#: What may glow, turn or hold in series; what charges does not.
_IN_SERIES = ("consumer", "coil")
#: So many switches are tried beside a break, those first that leave most loads in series.
TRIED = 3
#: So often loads that would conduct backwards are looked for.
_TURNS = 5
#: So often the loads that go on are set anew by the volts that they then have.
_TURNS_OF_VOLTS = 3


class Follows:
    """What follows from each open place of one van.

    Parameters
    ----------
    network : BreaksNetwork
        The van as a network whose places may open.
    wires : mapping of str to WireFigure
        What each wire is good for.
    poles : Poles
        Which points are minus.
    """

    def __init__(self, network: BreaksNetwork, wires: Mapping[str, WireFigure], poles: Poles) -> None:
        self._network, self._wires, self._poles = network, wires, poles
        self._known: dict[int, Break] = {}

    def of(self, place: int) -> Break:
        """Return what follows from an open place; which thing of it is open stands in no name yet."""
        if place not in self._known:
            self._known[place] = self._of(place)
        return self._known[place]

    def _of(self, place: int) -> Break:
        network, bridge = self._network, bool(self._network.net.bridge[place])
        volts = np.nan_to_num(self._alone[place])
        opened = None
        if not bridge or network.lets_go(volts) or self._backwards(network.net, volts):
            opened, volts = self._settled([place])
            for _ in range(0 if bridge else _TURNS_OF_VOLTS):  # what goes on takes what it takes
                opened, volts = self._settled([place], network.at(volts))
        dead = np.where(self._eligible, np.abs(volts) < DEAD_PART * network.own_v, self._starved(volts))
        stops, quiet = self._stopped(network.fed & dead)
        live_v = self._live_v(place)
        return Break(
            of="",
            kind="",
            amps_a=abs(float(network.net.place_a[place])),
            stops=stops,
            charges_no_more=quiet,
            goes_on=() if bridge else self._goes_on(place, volts),
            in_series=self._series(place, volts),
            other_ways=() if bridge or opened is None else self._other_ways(place, opened.amps),
            live=self._live(place) if live_v else (),
            live_v=live_v,
        )

    def together(self, places: Sequence[int]) -> Break:
        """Return what follows when several places are open at once, as by a plug that is pulled."""
        network = self._network
        _, volts = self._settled(places)
        dead = np.where(self._eligible, np.abs(volts) < DEAD_PART * network.own_v, self._starved(volts))
        stops, quiet = self._stopped(network.fed & dead)
        series = tuple(self._part_of(volts, network.own_v, ""))
        amps = sum(abs(float(network.net.place_a[place])) for place in places)
        return Break("", "", amps, stops, quiet, in_series=series)

    @cached_property
    def _alone(self) -> Floats:
        """Volts of the loads with each place open, shape (k, n). [V]"""
        return self._network.net.each()

    def _starved(self, volts: Floats) -> Bools:
        """Say what is without its full volts: what charges, converts or watches is of no use then."""
        return np.asarray(volts < WORKS_PART * self._network.own_v)

    def _stopped(self, dead: Bools) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return the parts that stop, and those that charge no more."""
        stops, quiet = dict[str, None](), dict[str, None]()
        for k in np.flatnonzero(dead).tolist():
            port = self._network.ports[k]
            charges = port.gives or self._network.wiring.parts[port.part].kind == "b2b"
            (quiet if charges else stops)[port.part] = None
        return tuple(stops), tuple(quiet)

    def _goes_on(self, place: int, volts: Floats) -> tuple[str, ...]:
        """Return the parts that work though much of their current came this way."""
        network = self._network
        works = network.fed & (volts >= WORKS_PART * network.own_v)
        on_way = works & (np.abs(network.net.share[place]) > ON_ITS_WAY)
        parts = (network.ports[k].part for k in np.flatnonzero(on_way).tolist() if not network.ports[k].gives)
        return tuple(dict.fromkeys(parts))

    # --- in series -------------------------------------------------------------------------------------

    @cached_property
    def _eligible(self) -> Bools:
        network = self._network
        kinds = np.array([port.kind in _IN_SERIES for port in network.ports], dtype=bool)
        return np.asarray(network.fed & kinds)

    @cached_property
    def _off(self) -> list[int]:
        """The first place of each switch."""
        return [places[0] for _, places in self._network.switches]

    def _in_part(self, volts: Floats, before: Floats) -> Bools:
        """Say which loads have part of their volts, and had not before the break."""
        own, volts, before = self._network.own_v, np.nan_to_num(volts), np.nan_to_num(before)
        wrong = (volts < WORKS_PART * own) | (volts > BURNS_PART * own)
        part = (np.abs(volts) >= DEAD_PART * own) & wrong
        return np.asarray(part & (np.abs(volts - before) > DEAD_PART / 2.0 * own) & self._eligible)

    def _series(self, place: int, volts: Floats) -> tuple[InSeries, ...]:
        found: dict[str, InSeries] = {}
        for one in self._part_of(volts, self._network.own_v, ""):
            found[one.load] = one
        beside = self._network.net.each(place)[self._off]
        counts = self._in_part(beside, self._alone[self._off]).sum(axis=1)
        for k in np.argsort(-counts, kind="stable")[:TRIED].tolist():
            name, switch = self._network.switches[k]
            if not counts[k] or place in switch:
                continue
            _, before = self._settled(switch)
            _, volts = self._settled([*switch, place])
            shown = [one for one in self._part_of(volts, before, f"{name} off") if one.load not in found]
            if shown:
                found |= {one.load: one for one in shown}
                break
        return tuple(found.values())

    def _part_of(self, volts: Floats, before: Floats, when: str) -> Iterator[InSeries]:
        """Give the loads that are left with part of their volts."""
        network = self._network
        for k in np.flatnonzero(self._in_part(volts, before)).tolist():
            yield InSeries(network.ports[k].part, float(volts[k]), float(network.own_v[k]), when)

    def _settled(self, places: Sequence[int], net: Openings | None = None) -> tuple[Opened, Floats]:
        """Return the network with places open and what opens by itself; no load conducts as it cannot.

        A load that would have to is at 0 V in what comes beside it.
        """
        network = self._network
        net = net or network.net
        for _ in range(_TURNS):
            opened, _ = network.with_followers(places, net)
            volts = np.nan_to_num(opened.volts)
            wrong = self._backwards(net, volts)
            if not wrong:
                break
            net = net.without(wrong)
        return opened, np.where(network.fed & (net.siemens == 0.0), 0.0, volts)

    def _backwards(self, net: Openings, volts: Floats) -> list[int]:
        """Return the loads that conduct the wrong way round and cannot."""
        network = self._network
        turned = np.flatnonzero((volts < -DEAD_PART * network.own_v) & (net.siemens > 0.0)).tolist()
        return [k for k in turned if not network.conducts_backwards(k)]

    # --- other ways, and what is live ------------------------------------------------------------------

    def _other_ways(self, place: int, amps: Floats) -> tuple[OtherWay, ...]:
        """Return the wires that take current over, the fullest first."""
        network, found = self._network, list[OtherWay]()
        least = max(TOLD_A, TOLD_PART * abs(float(network.net.place_a[place])))
        for branch in network.branches:
            wire = self._wires.get(branch.id)
            at = network.place(branch.id)
            if branch.kind != "wire" or wire is None or wire.inner or at < 0:
                continue
            before, then = abs(float(network.net.place_a[at])), abs(float(amps[network.row[branch.id]]))
            if then - before > least:
                found.append(OtherWay(wire.id, before, then, wire.rating_a))
        return tuple(sorted(found, key=lambda one: -one.filled))

    def _live_v(self, place: int) -> float:
        """Return how far a minus is lifted by what hangs on it, 0 where it is no minus or hardly. [V]"""
        net = self._network.net
        if not net.bridge[place] or not self._poles.minus.intersection(net.ends[place]):
            return 0.0
        volts = abs(float(net.opened([place]).gap_v[0]))
        return volts if volts > LIVE_V else 0.0

    def _live(self, place: int) -> tuple[str, ...]:
        """Return studs, bars, the body and parts with their case on minus on the side that has no source."""
        one, other = (self._side(end, place) for end in self._network.net.ends[place])
        wiring = self._network.wiring
        posts = {f"{id}.minus" for id in wiring.parts if is_battery(wiring, id)}
        without = [side for side in (one, other) if not posts & side]
        minus = without[0] & self._poles.minus if len(without) == 1 else set[str]()
        return tuple(sorted(filter(None, map(self._touched, minus))))

    def _touched(self, point: str) -> str:
        """Return the name of a point that hands and tools touch, "" for any other."""
        wiring = self._network.wiring
        part = wiring.parts.get(wiring.part_of(point) or "")
        if point == BODY or point in wiring.plan.studs or (part is not None and part.kind == "busbar"):
            return point
        return wiring.part_of(point) or "" if part is not None and part.case == "minus" else ""

    def _side(self, end: str, place: int) -> set[str]:
        """Return the points that hang together with an end of a place once that is open."""
        seen, queue = {end}, [end]
        while queue:
            for other, by in self._joined.get(queue.pop(), ()):
                if by != place and other not in seen:
                    seen.add(other)
                    queue.append(other)
        return seen

    @cached_property
    def _joined(self) -> dict[str, list[tuple[str, int]]]:
        """The points beside each point, and the place between them; none between the posts of a source."""
        network, found = self._network, dict[str, list[tuple[str, int]]]()
        pairs = [
            (one.a, one.b, int(at)) for one, at in zip(network.resistors, network.net.place, strict=True)
        ]
        pairs += [(one.minus, one.plus, -2) for one in network.sources]
        for a, b, at in pairs:
            found.setdefault(a, []).append((b, at))
            found.setdefault(b, []).append((a, at))
        return found


__all__ = ["LIVE_V", "Follows"]
