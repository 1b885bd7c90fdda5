"""The nets that a case asks for, each built once: of pitches, of inverters and generators, with what runs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from loomwright.mains.records import Link, Net
from loomwright.tables.mains_supplies import SUPPLIES

from .case import HOOK_UP, Case, Side, pitch_of_case
from .cases import POST, Reach, is_bonded, maker_net
from .faulted import least_share, live_core
from .layout import Gate
from .pitch import Pitch
from .taken import Taker, taken_on, takers_of


@dataclass(frozen=True, slots=True)
class Stand:
    """The van as it is fed in a case.

    Attributes
    ----------
    pitch : Pitch or None
        None off hook-up.
    reach : Reach
        From the inlet, or from what makes mains.
    live, cold : str
        Cores with and without volts to the ground; of two legs the first.
    volts : float
        Between them. [V]
    legs : int
        Of the supply.
    running : Mapping
        By what runs, a resistance where it hangs.
    """

    pitch: Pitch | None
    reach: Reach
    live: str
    cold: str
    volts: float
    legs: int
    running: Mapping[str, Link]


@dataclass(slots=True)
class CaseNets:
    """The nets of one van, kept for the next case.

    Parameters
    ----------
    side : Side
        The mains side.
    """

    side: Side
    _stands: dict[Case, Stand] = field(default_factory=dict, init=False)
    _nets: dict[tuple[Case, bool, float, bool], Net] = field(default_factory=dict, init=False)

    def stand(self, case: Case) -> Stand:
        """Return how the van is fed."""
        key = replace(case, fault="none", outlet="", missing="")
        if key not in self._stands:
            self._stands[key] = self._on_pitch(key) if key.mode == HOOK_UP else self._on_maker(key.mode)
        return self._stands[key]

    def net(self, case: Case, loaded: bool, temp_c: float, *, least: bool = False) -> Net:
        """Return the net of a case, stuck RCDs left out, what runs in it if asked for.

        Parameters
        ----------
        case : Case
            Settled.
        loaded : bool
            With what runs.
        temp_c : float
            Of the copper. [°C]
        least : bool
            With the lowest volts of the region.
        """
        missing = "rcd" if case.missing == "rcd" else ""
        key = replace(case, fault="none", outlet="", missing=missing), loaded, temp_c, least
        if key not in self._nets:
            self._nets[key] = self._net(key[0], loaded, temp_c, least)
        return self._nets[key]

    def _net(self, case: Case, loaded: bool, temp_c: float, least: bool) -> Net:
        if case.missing == "rcd":
            net = self.net(replace(case, missing=""), loaded, temp_c, least=least)
            return net.guarded(
                tuple(one if one.id == POST else replace(one, residual=None) for one in net.devices)
            )
        stand = self.stand(case)
        if loaded:
            net = self.net(case, False, temp_c, least=least)
            return replace(net, links=(*net.links, *stand.running.values())) if stand.running else net
        if stand.pitch is not None:
            assert self.side.inlet is not None
            share = least_share(stand.pitch) if least else 1.0
            return self.side.nets(self.side.inlet).of(stand.pitch, temp_c, share)
        part = self.side.wiring.parts[case.mode]
        bonded = is_bonded(part)
        return maker_net(self.side.layout, stand.reach, part, stand.volts, temp_c, bonded=bonded)

    def _on_pitch(self, case: Case) -> Stand:
        """Return the van on hook-up, with what the plan's first mode there runs, else with what is wired."""
        assert self.side.inlet is not None
        plan, reach = self.side.wiring.plan, self.side.reaches[self.side.inlet]
        pitch = pitch_of_case(plan, case)
        takers = takers_of(self.side.wiring, self.side.layout, reach)
        runs = next(iter(taken_on(plan, takers, pitch))).running
        live = live_core(pitch)
        cold = "line" if live == "neutral" else "neutral"
        links = self._links({id: takers[id] for id in runs}, reach, pitch.volts, pitch.legs)
        return Stand(pitch, reach, live, cold, pitch.volts, pitch.legs, links)

    def _on_maker(self, id: str) -> Stand:
        """Return the van on its own inverter or generator, with what is wired there and is no charger."""
        reach, volts = self.side.reaches[id], SUPPLIES[self.side.wiring.plan.region].volts
        takers = takers_of(self.side.wiring, self.side.layout, reach)
        runs = {id: one for id, one in takers.items() if one.wired and not one.always}
        return Stand(None, reach, "line", "neutral", volts, 1, self._links(runs, reach, volts, 1))

    def _links(self, takers: Mapping[str, Taker], reach: Reach, volts: float, legs: int) -> dict[str, Link]:
        """Return what runs as resistances; on which leg a way lies no plan says: they count in turn."""
        found = {}
        for id, one in takers.items():
            point = self._point(id, one)
            if point in reach.came and one.watts > 0.0:
                core = "line" if legs == 1 or _way(reach, point) % 2 else "line_2"
                found[id] = Link(f"runs {id}", (point, core), (point, "neutral"), volts**2 / one.watts)
        return found

    def _point(self, id: str, taker: Taker) -> str:
        """Return where something hangs; what may be plugged in anywhere hangs in the first socket."""
        outlets, parts = self.side.layout.outlets, self.side.wiring.parts
        if taker.wired:
            return outlets[id]
        plugged = parts[id].plugged
        first = next((one for one in outlets if parts[one].kind == "mains_socket"), "")
        return outlets.get(plugged if plugged in outlets else first, "")


def _way(reach: Reach, point: str) -> int:
    """Return the number of the way of a breaker box that feeds a point, 1 if there is none."""
    names = (one.id.rpartition(".")[2] for one in reach.way(point) if isinstance(one, Gate))
    return next((int(name) for name in names if name.isdigit()), 1)


__all__ = ["CaseNets", "Stand"]
