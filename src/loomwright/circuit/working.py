"""The working point of a network with valves and demanding loads: states and currents that agree.

States are found for the currents drawn, then the currents for these states, until neither changes. What a
direct search misses is followed up from no demand at all; where that path ends is the most that the sources
can deliver.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from loomwright.circuit.demand import settle
from loomwright.circuit.joints import Clash
from loomwright.circuit.linear import Floats, Ints, Reduction
from loomwright.circuit.valves import Circuit, State, States, find_states

#: Rounds of states and currents in turn. [-]
ROUNDS = 20
#: Rounds without currents for the same states, after which the demand is held to be too much. [-]
MISSES = 3
#: How closely the largest share is found. [-]
SHARE_STEP = 1e-6
#: Steps along that path; a smooth one needs about sixty to its end. [-]
TRIES = 200
#: A pair falls away if its volts fall at least this fast against the fastest. [-]
FALLING_PART = 0.5


@dataclass(frozen=True, slots=True)
class Feed:
    """A converter inside the circuit: its input draws at pair `draw` what its output `valve` delivers."""

    draw: int
    valve: int
    efficiency: float


@dataclass(frozen=True, slots=True)
class Demand:
    """What is drawn at the pairs of a circuit while all of it is met."""

    amps: Floats  #: constant current of each pair [A]
    watts: Floats  #: constant power of each pair [W]
    feeds: tuple[Feed, ...]
    on: Ints  #: the pairs that draw at all
    barred: frozenset[int]  #: valves that stay off


class Lost(Enum):
    """Why no working point was found."""

    DEMAND = "more is asked than can be delivered"
    STATES = "the states of the valves ran in circles"


@dataclass(frozen=True, slots=True)
class Working:
    """A working point."""

    states: States
    draws_a: Floats  #: current of each pair [A]


@dataclass(frozen=True, slots=True)
class Limit:
    """The end of the path: `share` of the demand is the most that can be met."""

    share: float
    last: Working  #: working point just before the end
    falling: Ints  #: the pairs whose volts fall away there
    spent: int | None  #: valve that has reached its limit there


def work(
    circuit: Circuit, demand: Demand, idle: Working, tolerance_v: float
) -> Working | Limit | Clash | Lost:
    """Find the working point of the whole demand, or the most of it that can be met.

    Parameters
    ----------
    circuit : Circuit
        The network.
    demand : Demand
        What is drawn.
    idle : Working
        States and currents that agree with next to nothing drawn.
    tolerance_v : float
        The search ends when a step moves no pair by more. [V]

    Returns
    -------
    Working | Limit | Clash | Lost
        The working point, the largest share of the demand, a ring of ideal branches that no state satisfies,
        or `Lost.STATES`.
    """
    whole, little = np.ones(len(circuit.draws)), np.full(len(circuit.draws), SHARE_STEP)
    found = _agree(circuit, demand, whole, idle, tolerance_v)
    if found is not Lost.DEMAND:
        return found
    if demand.feeds:  # what converters take for themselves or for batteries comes before the loads
        feeds = little.copy()
        feeds[[feed.draw for feed in demand.feeds]] = 1.0
        begun = _follow(circuit, demand, (little, feeds), idle, tolerance_v)
        if not isinstance(begun, Working):
            return begun
        idle, little = begun, feeds
    return _follow(circuit, demand, (little, whole), idle, tolerance_v)


def _follow(
    circuit: Circuit, demand: Demand, ends: tuple[Floats, Floats], begin: Working, tolerance_v: float
) -> Working | Limit | Clash | Lost:
    """Follow the working point from one share of each pair's demand to another, in long steps if it can."""
    start, end = ends
    part, step, last = 0.0, 1.0, begin
    for _ in range(TRIES):
        ahead = min(1.0, part + step)
        found = _agree(circuit, demand, start + ahead * (end - start), last, tolerance_v)
        if isinstance(found, Working):
            if ahead == 1.0:
                return found
            part, step, last = ahead, step * 1.5, found
        elif step > SHARE_STEP:
            step /= 2.0
        elif found is Lost.DEMAND or part > 0.0:
            return _limit(circuit, demand, ends, part, last)
        else:
            return found
    return Lost.STATES


def _agree(
    circuit: Circuit, demand: Demand, share: Floats, begin: Working, tolerance_v: float
) -> Working | Clash | Lost:
    """Find states and currents that agree for a share of each pair's demand, starting from less."""
    states, missed = begin.states, 0
    lines = _Lines.of(circuit, demand, states)
    draws = lines.substitute(share, begin.draws_a)
    for _ in range(ROUNDS):
        if draws is None or missed > MISSES:
            return Lost.DEMAND
        found = find_states(circuit, states, draws, demand.barred)
        if not isinstance(found, tuple):
            return Lost.STATES if found is None else found
        if found == states:
            missed += 1
        else:
            states, missed, lines = found, 0, _Lines.of(circuit, demand, found)
        exact = lines.solve(share, draws, tolerance_v)
        if exact is not None:
            point = circuit.point(states, lines.reduction, exact)
            if circuit.wrong(states, point).keys() <= demand.barred:
                return Working(states, exact)
        draws = lines.substitute(share, draws)
        if exact is not None and draws is not None and np.all(exact >= draws):
            draws = exact  # never back: less drawn would only undo the states
    return Lost.STATES


@dataclass(frozen=True, slots=True)
class _Lines:
    """A circuit with given states as its demanding pairs see it."""

    reduction: Reduction
    demand: Demand
    v0: Floats  #: (n,) volts of each pair with nothing drawn
    z: Floats  #: (n, n) transfer resistances [Ω]
    watts: Floats  #: (n,) power of each pair, with what converters need when nothing is drawn
    more: Floats | None  #: (n, n) what a converter's input needs per ampere drawn at another pair [W/A]

    @classmethod
    def of(cls, circuit: Circuit, demand: Demand, states: States) -> _Lines:
        """Take the lines of the pairs out of those of the nodes; states that hold have no clash."""
        reduction = circuit.reduced(states)
        assert isinstance(reduction, Reduction)
        count = len(circuit.draws)
        full = circuit.drawn(states, np.zeros(count))
        v0, drop = reduction.v0 - reduction.drop @ full, reduction.drop[:, :count]
        plus, minus = np.array(circuit.draws, dtype=np.intp).reshape(-1, 2).T
        watts = demand.watts.copy()
        more = np.zeros((count, count)) if demand.feeds else None
        order = circuit.order(states)
        for feed in demand.feeds:
            assert more is not None
            valve, state = circuit.valves[feed.valve], states[feed.valve]
            if state is State.ON:
                row = len(circuit.fixed.ohm) + order.index(feed.valve)
                gain = valve.emf_v / feed.efficiency
                watts[feed.draw] += gain * (reduction.amps0[row] + reduction.share[row] @ full)
                more[feed.draw] = gain * reduction.share[row, :count]
            elif state is State.FULL:
                gain = valve.max_a / feed.efficiency
                watts[feed.draw] += gain * (v0[valve.b] - v0[valve.a])
                more[feed.draw] = gain * (drop[valve.a] - drop[valve.b])
        return cls(reduction, demand, v0[plus] - v0[minus], drop[plus] - drop[minus], watts, more)

    def power(self, draws_a: Floats) -> Floats:
        """Return the power of each pair. [W]"""
        return self.watts if self.more is None else self.watts + self.more @ draws_a

    def substitute(self, share: Floats, draws_a: Floats) -> Floats | None:
        """Return what the pairs draw at the volts that these currents leave, or None if one has no volts."""
        on = self.demand.on
        volts = (self.v0 - self.z @ draws_a)[on]
        if np.any(volts <= 0.0):
            return None
        then = np.zeros_like(draws_a)
        then[on] = share[on] * (self.demand.amps[on] + self.power(draws_a)[on] / volts)
        return then

    def solve(self, share: Floats, start_a: Floats, tolerance_v: float) -> Floats | None:
        """Return what the pairs draw once volts and currents agree."""
        closer = self.substitute(share, start_a)  # cheaper than a step of Newton's method
        start_a = start_a if closer is None else closer
        on, square = self.demand.on, np.ix_(self.demand.on, self.demand.on)
        share = share[on]
        more = None if self.more is None else share[:, None] * self.more[square]
        then = np.zeros_like(start_a)
        for start in (start_a[on], None):
            found = settle(
                self.v0[on],
                self.z[square],
                share * self.demand.amps[on],
                share * self.watts[on],
                more,
                start,
                tolerance_v,
            )
            if found is not None:
                then[on] = found
                return then
        return None


def _limit(
    circuit: Circuit, demand: Demand, ends: tuple[Floats, Floats], part: float, last: Working
) -> Limit | Lost:
    """Say what gives way: the pairs whose volts fall fastest, or a valve that reaches its limit."""
    lines = _Lines.of(circuit, demand, last.states)
    on, square = demand.on, np.ix_(demand.on, demand.on)
    more, share = (ends[1] - ends[0])[on], (ends[0] + part * (ends[1] - ends[0]))[on]
    volts, power = (lines.v0 - lines.z @ last.draws_a)[on], lines.power(last.draws_a)[on]
    slope = np.eye(len(on)) - (share * power / volts**2)[:, None] * lines.z[square]
    if lines.more is not None:
        slope -= share[:, None] * lines.more[square] / volts[:, None]
    if not np.isfinite(slope).all():
        return Lost.STATES
    growth = np.linalg.lstsq(slope, more * (demand.amps[on] + power / volts))[0]

    point = circuit.point(last.states, lines.reduction, last.draws_a)
    spent, most, weight = None, 0.0, (lines.z[square] @ growth) / volts
    for row, k in enumerate(circuit.order(last.states), start=len(circuit.fixed.ohm)):
        takes = lines.reduction.share[row, on] * growth
        if point.valve_a[k] >= (1.0 - 10.0 * SHARE_STEP) * circuit.valves[k].max_a and takes.sum() > most:
            spent, most, weight = k, float(takes.sum()), takes
    return Limit(part, last, on[weight >= FALLING_PART * weight.max(initial=0.0)], spent)
