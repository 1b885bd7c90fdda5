"""Volts and power at inverters and other large loads, by charge and temperature of the batteries.

All batteries stand at the same charge and temperature, the load is alone, its contacts closed as for its
circuit. As seen from the load the whole network is then one source with one resistance (Thévenin), and the
sums are those of `circuit.sag`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from loomwright.circuit.chains import join_chains
from loomwright.circuit.network import Resistor
from loomwright.circuit.ports import reduce_to_ports
from loomwright.circuit.sag import most_watts, volts_under_power, watts_at, watts_at_current
from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Limit, Quantity
from loomwright.steps import Given, Step

from .banks_states import WARM_C, coldest_c, ohm_in_state, resting_v
from .flow import Flow
from .inputs import Inputs
from .loads import Port, count_of
from .sources import is_battery, states_inner_ohm
from .states import Link
from .sums import OHMS_LAW

#: States of charge that are looked at. [%]
CHARGES_PCT = (100.0, 70.0, 50.0, 20.0)
#: The coldest that is looked at where the plan names no climate: a winter's night in a van. [°C]
UNSAID_COLD_C = 0.0
#: A load that takes as much at 12 V is large, the same power at 24 V. [W]
LARGE_W = 360.0
#: Charge is looked for to within this. [%]
_STEP_PCT = 0.25


@dataclass(frozen=True, slots=True)
class Seen:
    """A load's supply in a state of the batteries, as one source with one resistance.

    `shares` has the part of the load's current that each battery gives. [V, Ω]
    """

    open_v: float
    ohm: float
    shares: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class SagState:
    """A large load with its batteries at one charge and temperature.

    Attributes
    ----------
    charge_pct, temperature_c : float
        Of all batteries. [%, °C]
    open_v, ohm : float
        The supply as seen from the load. [V, Ω]
    volts_v, amps : float or None
        At its terminals with its full power or current; None if the supply collapses. [V, A]
    most_w : float
        The power, at its output if it is an inverter, that its supply holds for good. [W]
    held_by : str
        What ends that: "alarm", "cut-out", "collapse", or the battery at its limit.
    steps : tuple of Step
        The sums.
    """

    charge_pct: float
    temperature_c: float
    open_v: float
    ohm: float
    volts_v: float | None
    amps: float | None
    most_w: float
    held_by: str
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True)
class Sag:
    """An inverter or other large load in the states of its batteries.

    Attributes
    ----------
    part : str
        The load.
    batteries : tuple of str
        What feeds it, the nearest first.
    rated_w : float
        Its full power, at its output if it is an inverter. [W]
    limit_v : float or None
        Volts below which it warns, or else stops; None if nobody says. [V]
    limit_is : str
        "alarm" or "cut-out", "" if there is none.
    states : tuple of SagState
        Warm and fullest first.
    unknown : tuple of str
        Fields of the plan that were guessed at.
    stops_v : float
        Volts below which it stops, 0 if nobody says. [V]
    peak_w, peak_v : float or None
        The peak of an inverter, and its volts then in the first of the states; None if there is no peak, or
        if the volts collapse. [W, V]
    """

    part: str
    batteries: tuple[str, ...]
    rated_w: float
    limit_v: float | None
    limit_is: str
    states: tuple[SagState, ...]
    unknown: tuple[str, ...]
    stops_v: float = 0.0
    peak_w: float | None = None
    peak_v: float | None = None


class UnderLoad:
    """The supplies of one van's loads, with its batteries in any state; worked out when somebody asks.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    inputs : Inputs
        Figures at one end of what is unknown.
    net : Flow
        The van with the inner resistances of its batteries.
    link_net : callable
        The van with one link between batteries closed, as a flow with the house battery as its port.
    """

    def __init__(self, wiring: Wiring, inputs: Inputs, net: Flow, link_net: Callable[[Link], Flow]) -> None:
        self.wiring, self.inputs, self.net, self._link_net = wiring, inputs, net, link_net

    def link_ohm(self, link: Link) -> float | None:
        """Return what lies between the posts of two batteries that a link joins, None if nothing. [Ω]"""
        reduced = self._link_net(link).reduced
        return float(reduced.z[0, 0]) if reduced.reached[0] else None

    @cached_property
    def _large(self) -> tuple[Port, ...]:
        ports = enumerate(self.net.ports)
        return tuple(port for k, port in ports if self.net.reduced.live[k] and _is_large(port))

    @cached_property
    def short(self) -> tuple[Resistor, ...]:
        """The wires and contacts, their chains joined."""
        keep = {end for port in self.net.ports for end in (port.plus, port.minus)}
        keep |= {end for source in self.net.sources for end in (source.plus, source.minus)}
        return join_chains([branch.resistor() for branch in self.net.branches], keep).joined

    def seen(self, port: Port, charge_pct: float, temperature_c: float) -> Seen | None:
        """Return the supply of a load with all batteries in a state, None if nothing feeds it then."""
        sources = [
            replace(
                source,
                volts=resting_v(self.wiring, source.id, charge_pct),
                ohm=ohm_in_state(self.wiring, self.inputs, source.id, charge_pct, temperature_c),
            )
            if is_battery(self.wiring, source.id)
            else source
            for source in self.net.sources
        ]
        reduced = reduce_to_ports(self.short, sources, [(port.plus, port.minus)])
        if not reduced.live[0]:
            return None
        given = np.nan_to_num(reduced.source_share[:, 0])
        shares = {
            source.id: float(share)
            for source, share in sorted(zip(sources, given, strict=True), key=lambda pair: -pair[1])
            if is_battery(self.wiring, source.id) and abs(share) > 1e-6
        }
        return Seen(float(reduced.v0[0]), float(reduced.z[0, 0]), shares)

    @cached_property
    def temperatures_c(self) -> tuple[float, ...]:
        """Warm, and as cold as the plan's site gets."""
        coldest = coldest_c(self.wiring)
        return WARM_C, min(WARM_C, UNSAID_COLD_C if coldest is None else coldest)

    @cached_property
    def sags(self) -> Mapping[str, Sag]:
        """Every inverter and other large load that batteries feed, by part."""
        found = {}
        for port in self._large:
            states = [
                state
                for celsius in dict.fromkeys(self.temperatures_c)
                for pct in CHARGES_PCT
                if (state := self.state(port, pct, celsius)) is not None
            ]
            feeding = self.seen(port, 100.0, WARM_C)
            if states and feeding is not None and feeding.shares:
                found[port.part] = self._sag(port, feeding, tuple(states))
        return found

    def _sag(self, port: Port, feeding: Seen, states: tuple[SagState, ...]) -> Sag:
        part = self.wiring.parts[port.part]
        limit_v, limit_is = limit_of(part)
        guessed = (f"parts.{id}.resistance" for id in feeding.shares if not states_inner_ohm(self.wiring, id))
        peak_w = _peak_w(port, part)
        best = states[0]
        return Sag(
            part=port.part,
            batteries=tuple(feeding.shares),
            rated_w=_rated_w(port, part),
            limit_v=limit_v,
            limit_is=limit_is,
            states=states,
            unknown=tuple(dict.fromkeys((*port.unknown, *guessed))),
            stops_v=stops_v(part) or 0.0,
            peak_w=peak_w,
            peak_v=None
            if peak_w is None
            else volts_under_power(best.open_v, best.ohm, peak_w / _efficiency(port, part)),
        )

    def state(self, port: Port, charge_pct: float, temperature_c: float) -> SagState | None:
        """Return what a load gets with the batteries in a state; None if nothing feeds it."""
        seen = self.seen(port, charge_pct, temperature_c)
        if seen is None:
            return None
        part = self.wiring.parts[port.part]
        limit_v, limit_is = limit_of(part)
        volts = _volts(port, seen)
        amps = None if volts is None else port.amps + port.siemens * volts + port.watts / volts
        most, held_by = self._most(seen, limit_v or 0.0, limit_is)
        share = _efficiency(port, part)
        return SagState(
            charge_pct,
            temperature_c,
            seen.open_v,
            seen.ohm,
            volts,
            amps,
            most * share,
            held_by,
            _steps(port, seen, volts, share, most, held_by, limit_v),
        )

    def _most(self, seen: Seen, limit_v: float, limit_is: str) -> tuple[float, str]:
        """Return the power that a supply holds, and what ends it."""
        found = [(most_watts(seen.open_v, seen.ohm), "collapse")]
        found.append((watts_at(seen.open_v, seen.ohm, limit_v), limit_is or "collapse"))
        for battery, share in seen.shares.items():
            most_a = discharge_limit_a(self.wiring, battery)
            if most_a is not None and share > 0.0:
                found.append((watts_at_current(seen.open_v, seen.ohm, most_a / share), battery))
        return min(found, key=lambda one: one[0])

    def port_of(self, part: str) -> Port | None:
        """Return where a part takes its power, None if nothing feeds it."""
        ports = enumerate(self.net.ports)
        taking = (p for k, p in ports if p.part == part and not p.gives and self.net.reduced.live[k])
        return max(taking, key=lambda p: p.watts + p.amps + p.siemens, default=None)

    def held_from_pct(self, port: Port, output_w: float, temperature_c: float) -> float | None:
        """Return the least charge at which a supply holds some power; None if not even full. [%]"""

        def holds(pct: float) -> bool:
            state = self.state(port, pct, temperature_c)
            return state is not None and state.most_w >= output_w

        low, high = 0.0, 100.0
        if not holds(high):
            return None
        while high - low > _STEP_PCT:
            middle = (low + high) / 2.0
            low, high = (low, middle) if holds(middle) else (middle, high)
        return high


def discharge_limit_a(wiring: Wiring, battery: str) -> float | None:
    """Return the most that a battery may give, `count` alike together, None if nobody says. [A]"""
    part = wiring.parts[battery]
    if not isinstance(part.discharge_limit, Quantity) or part.discharge_limit.low <= 0.0:
        return None
    return part.discharge_limit.low * (1 if part.joined == "series" else count_of(part))


def limit_of(part: Part) -> tuple[float | None, str]:
    """Return the volts below which a load warns, or else stops, and which of them that is. [V]"""
    if isinstance(part.alarm, Quantity):
        return part.alarm.high, "alarm"
    stops = stops_v(part)
    return (None, "") if stops is None else (stops, "cut-out")


def stops_v(part: Part) -> float | None:
    """Return the volts below which a load stops, None if nobody says. [V]"""
    limit = part.cut_out
    return limit.volts.high if isinstance(limit, Limit) and isinstance(limit.volts, Quantity) else None


def _peak_w(port: Port, part: Part) -> float | None:
    """Return the peak of an inverter, at its output. [W]"""
    amount = part.peak.amount if port.kind == "inverter" else None
    return amount.low if isinstance(amount, Quantity) and amount.unit == "W" else None


def _is_large(port: Port) -> bool:
    if port.kind not in ("inverter", "consumer"):
        return False
    watts = port.watts + port.amps * port.nominal_v + port.siemens * port.nominal_v**2
    return watts > 0.0 and (port.kind == "inverter" or watts >= LARGE_W)


def _efficiency(port: Port, part: Part) -> float:
    """Return the share of its input that an inverter gives, 1 for other loads."""
    if port.kind != "inverter" or not isinstance(part.power, Quantity) or port.watts <= 0.0:
        return 1.0
    return part.power.high / port.watts


def _rated_w(port: Port, part: Part) -> float:
    """Return the full power: of an inverter at its output, of others at the volts of their class. [W]"""
    if port.kind == "inverter" and isinstance(part.power, Quantity):
        return part.power.high
    return port.watts + port.amps * port.nominal_v + port.siemens * port.nominal_v**2


def _volts(port: Port, seen: Seen) -> float | None:
    """Return the volts at a load; the conductance and the constant current are taken into the supply."""
    slope = 1.0 + seen.ohm * port.siemens
    open_v, ohm = (seen.open_v - seen.ohm * port.amps) / slope, seen.ohm / slope
    volts = volts_under_power(open_v, ohm, port.watts)
    return volts if volts is not None and volts > 0.0 else None


def _steps(
    port: Port,
    seen: Seen,
    volts: float | None,
    efficiency: float,
    most: float,
    held_by: str,
    limit_v: float | None,
) -> tuple[Step, ...]:
    """Return the sums of a load that takes a constant power: its volts, and what its supply holds."""
    open_v = Given("U_0", seen.open_v, "V")
    ohm = Given("R", seen.ohm, "Ω")
    steps: list[Step] = []
    if volts is not None and port.watts and not port.amps and not port.siemens:
        formula = "(U_0 + sqrt(U_0**2 - 4 * R * P)) / 2"
        inputs = (open_v, ohm, Given("P", port.watts, "W"))
        steps.append(Step("U", formula, inputs, volts, "V", OHMS_LAW, "at its terminals, full power"))
    eta = Given("eta", efficiency, "")
    if held_by in ("alarm", "cut-out") and limit_v is not None and limit_v > seen.open_v / 2.0:
        formula = "max(U_0 - U_min, 0) / R * U_min * eta"
        down_to = (open_v, Given("U_min", limit_v, "V"), ohm, eta)
        says = f"the most it can give down to its {held_by}"
        steps.append(Step("P_most", formula, down_to, most * efficiency, "W", OHMS_LAW, says))
    elif held_by == "collapse" and seen.ohm > 0.0:
        inputs = (open_v, ohm, eta)
        steps.append(
            Step(
                "P_most",
                "U_0**2 / (4 * R) * eta",
                inputs,
                most * efficiency,
                "W",
                OHMS_LAW,
                "where the supply collapses",
            )
        )
    return tuple(steps)


__all__ = ["Sag", "SagState", "Seen", "UnderLoad", "discharge_limit_a", "limit_of"]
