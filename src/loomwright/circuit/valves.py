"""Elements that conduct one way and up to a limit, and the search for the state that each is in.

A diode, a limited source and a converter's output are all valves. A valve drives current from a to b by its
emf; it is OFF where that would flow backwards, ON in between, and FULL where it would exceed `max_a`:

    OFF    i = 0        v_a - v_b + emf <= 0
    ON     0 <= i <= max_a        v_a - v_b + emf = ohm * i
    FULL   i = max_a    v_a - v_b + emf >= ohm * max_a

With the drawn currents held this is a linear complementarity problem with bounds. It is solved by exchanging
all valves that contradict their state at once, and one at a time where that stops making headway.

Source: principal pivoting after Murty, and in blocks after Júdice and Pires (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum

import numpy as np

from loomwright.circuit.joints import Clash
from loomwright.circuit.linear import Branches, Floats, Reduction, reduce

#: A valve contradicts its state only by more than this. [V]
SLACK_V = 1e-9
#: The same for its current. [A]
SLACK_A = 1e-8
#: Exchanges of all wrong valves at once that may pass without headway. [-]
PATIENCE = 8


class State(Enum):
    """What a valve does."""

    OFF = "off"
    ON = "on"
    FULL = "full"


States = tuple[State, ...]


@dataclass(frozen=True, slots=True)
class Valve:
    """One valve between numbered nodes; `max_a` of a diode is infinite."""

    a: int
    b: int
    emf_v: float
    ohm: float
    max_a: float = math.inf


@dataclass(frozen=True, slots=True)
class Point:
    """Volts of the nodes and amperes of the branches with given states and given currents drawn."""

    volts: Floats
    fixed_a: Floats  #: of the branches that always conduct
    valve_a: Floats


@dataclass(slots=True)
class Circuit:
    """Branches that always conduct, pairs of nodes at which current is drawn, and valves."""

    nodes: int
    fixed: Branches
    draws: Sequence[tuple[int, int]]
    valves: Sequence[Valve]
    _seen: dict[States, Reduction | list[Clash]] = field(init=False, default_factory=dict)

    def reduced(self, states: States) -> Reduction | list[Clash]:
        """Return the network with these states, reduced to its draws and then its valves."""
        if states not in self._seen:
            on = [self.valves[k] for k in self.order(states)]
            branches = Branches(
                a=[*self.fixed.a, *(valve.a for valve in on)],
                b=[*self.fixed.b, *(valve.b for valve in on)],
                ohm=[*self.fixed.ohm, *(valve.ohm for valve in on)],
                emf_v=[*self.fixed.emf_v, *(valve.emf_v for valve in on)],
            )
            pairs = [*self.draws, *((valve.a, valve.b) for valve in self.valves)]
            self._seen[states] = reduce(self.nodes, branches, pairs, links=pairs)
        return self._seen[states]

    def order(self, states: States) -> list[int]:
        """Return the valves that are ON as their branches are ordered: of two ideal ones the higher holds."""
        on = [k for k, state in enumerate(states) if state is State.ON]
        return sorted(on, key=lambda k: -self.valves[k].emf_v)

    def drawn(self, states: States, draws_a: Floats) -> Floats:
        """Return what is drawn at all ports of `reduced`: a FULL valve is a current from a to b."""
        full = [v.max_a if s is State.FULL else 0.0 for v, s in zip(self.valves, states, strict=True)]
        return np.concatenate([draws_a, full])

    def point(self, states: States, lines: Reduction, draws_a: Floats) -> Point:
        """Work out volts and amperes."""
        drawn = self.drawn(states, draws_a)
        volts, amps = lines.v0 - lines.drop @ drawn, lines.amps0 + lines.share @ drawn
        valve_a = drawn[len(self.draws) :].copy()
        always = len(self.fixed.ohm)
        valve_a[self.order(states)] = amps[always:]
        return Point(volts, amps[:always], valve_a)

    def wrong(self, states: States, point: Point) -> dict[int, State]:
        """Return the valves that contradict their state, each with the state it asks for."""
        asks: dict[int, State] = {}
        for k, (valve, state) in enumerate(zip(self.valves, states, strict=True)):
            drive = point.volts[valve.a] - point.volts[valve.b] + valve.emf_v
            amps = point.valve_a[k]
            if state is State.ON:
                if amps < -SLACK_A:
                    asks[k] = State.OFF
                elif amps > valve.max_a + SLACK_A:
                    asks[k] = State.FULL
            elif (state is State.OFF and drive > SLACK_V) or (
                state is State.FULL and drive - valve.ohm * valve.max_a < -SLACK_V
            ):
                asks[k] = State.ON
        return asks

    def yields(self, states: States, clash: Clash) -> dict[int, State]:
        """Return the valve that gives way in a ring of ideal branches, or nothing if none can."""
        order, always = self.order(states), len(self.fixed.ohm)
        ring = [(order[branch - always], sense) for branch, sense in clash.ring if branch >= always]
        for k, sense in ring:
            if sense < 0:
                return {k: State.OFF}
            if math.isfinite(self.valves[k].max_a):
                return {k: State.FULL}
        return {}

    def renumbered(self, states: States, clash: Clash) -> Clash:
        """Return a clash whose valves count on from the branches in their own order, whatever the states."""
        order, always = self.order(states), len(self.fixed.ohm)
        ring = [(k if k < always else always + order[k - always], sense) for k, sense in clash.ring]
        return Clash(ring)


def find_states(
    circuit: Circuit, states: States, draws_a: Floats, barred: frozenset[int] = frozenset()
) -> States | Clash | None:
    """Return the states that agree with the currents drawn.

    Parameters
    ----------
    circuit : Circuit
        The network.
    states : States
        Where the search starts.
    draws_a : Floats
        Current drawn at each pair of `circuit.draws`. [A]
    barred : frozenset[int]
        Valves that stay OFF whatever drives them.

    Returns
    -------
    States | Clash | None
        The states; the ring of ideal branches that no state can satisfy; None if the search ran in circles.
    """
    least, patience = len(states) + 1, PATIENCE
    for _ in range(50 + 20 * len(states)):
        lines = circuit.reduced(states)
        if isinstance(lines, Reduction):
            if not states:
                return states
            asks = circuit.wrong(states, circuit.point(states, lines, draws_a))
            asks = {k: state for k, state in asks.items() if k not in barred}
            if not asks:
                return states
            if len(asks) < least:
                least, patience = len(asks), PATIENCE
            elif patience:
                patience -= 1
            else:
                first = min(asks)
                asks = {first: asks[first]}
        else:
            asks = circuit.yields(states, lines[0])
            if not asks:
                return circuit.renumbered(states, lines[0])
        states = tuple(asks.get(k, state) for k, state in enumerate(states))
    return None
