"""Solve one network: volts, amperes and states, or a name for what stands in the way.

A network always comes back with an answer. Where it has no working point, the figures of the parts concerned
are NaN and the reason is listed:

unfed       nodes and loads that no source reaches; they draw nothing
collapsed   loads that ask for more than a source can deliver, and how much of the demand it could hold
clash       ideal sources joined against each other by nothing that has resistance
undecided   elements of a part whose states ran in circles or whose figures are absurd: said, not guessed

Nothing needs an earth: each galvanic island has a reference node, the minus of its first source unless one
is named. Two constant-current or constant-power loads in series have no answer and count as unfed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from loomwright.circuit.answer import Collapse, ElementState, Solution
from loomwright.circuit.compile import Compiled, compile_network
from loomwright.circuit.feeding import Idle, find_idle, highest_volts, reached
from loomwright.circuit.joints import Clash
from loomwright.circuit.linear import FED_PART, Reduction
from loomwright.circuit.network import Converter, Diode, Element, Load, Network, Resistor, Source
from loomwright.circuit.valves import SLACK_A, Circuit, State, States
from loomwright.circuit.working import Limit, Lost, Working, work

#: Weight by which a source at its limit is named only where no other gives way. [1/A]
SLIGHT = 1e-12
#: What a source or converter is said to do.
DELIVERS: dict[State, ElementState] = {State.OFF: "off", State.ON: "voltage", State.FULL: "current"}


def solve(network: Network, tolerance_v: float = 1e-10, references: Iterable[str] = ()) -> Solution:
    """Solve a network.

    Parameters
    ----------
    network : Network
        Any elements between any nodes; no source and no earth is needed.
    tolerance_v : float
        The search for the working point ends when a step moves no load by more. [V]
    references : Iterable[str]
        Nodes that stand at 0 V; the first in an island counts, islands without one choose their own.

    Returns
    -------
    Solution
        See there; it is an answer whatever the network is.

    Examples
    --------
    >>> from loomwright.circuit.network import Load, Resistor, Source
    >>> battery, wire = Source("B", "plus", "minus", volts=12.0), Resistor("W", "plus", "lamp", ohm=0.1)
    >>> solution = solve(Network([battery, wire, Load("L", "lamp", "minus", watts=20.0)]))
    >>> round(solution.volts["lamp"], 4), round(solution.amps["L"], 4)
    (11.831, 1.6905)
    """
    solution = Solution()
    wanted = tuple(references)
    for group in compile_network(network):
        _choose_references(solution, group, wanted)
        with np.errstate(all="ignore"):  # absurd figures end as undecided, not as warnings
            _solve_group(solution, group, tolerance_v)
    return solution


def _choose_references(solution: Solution, group: Compiled, wanted: Sequence[str]) -> None:
    """Name the reference node of each island of a group."""
    minus = [branch.element.minus for branch in group.always if isinstance(branch.element, Source)]
    for element, _ in group.valves:
        if not isinstance(element, Diode):
            minus.append(element.out_minus if isinstance(element, Converter) else element.minus)
    chosen: dict[int, str] = {}
    for node in (*(node for node in wanted if node in group.number), *minus, *group.number):
        chosen.setdefault(group.island[group.number[node]], node)
    for node, island in zip(group.number, group.island, strict=True):
        solution.reference[node] = chosen[island]


def _solve_group(solution: Solution, group: Compiled, tolerance_v: float) -> None:
    """Add the answer of one group to the solution."""
    circuit = group.circuit()
    idle = find_idle(group, circuit)
    found: Working | Limit | Clash | Lost
    if isinstance(idle, Idle):
        found = work(circuit, group.demand(idle.fed, idle.barred), idle.working, tolerance_v)
        _name_unfed(solution, group, circuit, idle, found if isinstance(found, Working) else idle.working)
    else:
        found = idle
    if isinstance(found, Working) and _fill(solution, group, circuit, found):
        return
    if isinstance(found, Limit):
        solution.collapsed.append(_collapse(group, circuit, found))
    elif isinstance(found, Clash):
        solution.clash.append(_clash(group, found))
    else:
        solution.undecided.extend(
            element.id for element in group.elements if not isinstance(element, Resistor)
        )
    _leave_open(solution, group)


def _fill(solution: Solution, group: Compiled, circuit: Circuit, working: Working) -> bool:
    """Write down volts, amperes and states of a group that works; refuse figures beyond all numbers."""
    point = circuit.point(working.states, _lines(circuit, working.states), working.draws_a)
    if not (np.isfinite(point.volts).all() and np.isfinite(point.fixed_a).all()):
        return False
    names = list(group.number)
    raw = dict(zip(names, point.volts.tolist(), strict=True))
    solution.volts.update({node: raw[node] - raw[solution.reference[node]] for node in names})
    solution.amps.update({element.id: 0.0 for element in group.elements})
    for branch, amps in zip(group.always, point.fixed_a.tolist(), strict=True):
        solution.amps[branch.element.id] += amps
    for draw, amps in zip(group.draws, working.draws_a.tolist(), strict=True):
        if isinstance(draw.element, Converter):
            solution.input_amps[draw.element.id] = amps
        else:
            solution.amps[draw.element.id] += amps
    for (element, _), state, amps in zip(group.valves, working.states, point.valve_a.tolist(), strict=True):
        solution.amps[element.id] = amps
        solution.state[element.id] = _state(element, state, amps)
    return True


def _state(element: Element, state: State, amps: float) -> ElementState:
    """Say what a valve does in the words for its element."""
    if isinstance(element, Diode):
        return "conducts" if state is State.ON and amps > SLACK_A else "blocks"
    return DELIVERS[state]


def _leave_open(solution: Solution, group: Compiled) -> None:
    """Mark every figure of a group as not known."""
    solution.volts.update(dict.fromkeys(group.number, math.nan))
    solution.amps.update({element.id: math.nan for element in group.elements})
    solution.input_amps.update({e.id: math.nan for e in group.elements if isinstance(e, Converter)})


def _name_unfed(solution: Solution, group: Compiled, circuit: Circuit, idle: Idle, working: Working) -> None:
    """List the nodes and loads that no source reaches."""
    lines = _lines(circuit, working.states)
    volts = circuit.point(working.states, lines, working.draws_a).volts.tolist()
    piece, highest = lines.piece.tolist(), highest_volts(group, working.states, lines.piece).tolist()
    at_hand = reached(group, working.states, lines.piece)
    solution.unfed_nodes.extend(node for node, live in zip(group.number, at_hand, strict=True) if not live)
    fed = {group.draws[k].element.id for k in idle.fed}
    for load in group.elements:
        if not isinstance(load, Load) or load.id in fed:
            continue
        plus, minus = group.number[load.plus], group.number[load.minus]
        least, across = FED_PART * highest[piece[plus]], volts[plus] - volts[minus]
        joined = piece[plus] == piece[minus] and least >= 0.0
        demanding = load.amps > 0.0 or load.watts > 0.0
        if demanding or not joined or abs(across) <= least:
            solution.unfed_loads.append(load.id)
            if joined and across < -least:
                solution.reversed_loads.append(load.id)


def _collapse(group: Compiled, circuit: Circuit, limit: Limit) -> Collapse:
    """Name the loads that fall away and the source that can't hold them."""
    loads = tuple(group.draws[k].element.id for k in limit.falling)
    if limit.spent is not None:
        return Collapse(loads, group.valves[limit.spent][0].id, limit.share)
    states = limit.last.states
    lines = _lines(circuit, states)
    gives = {
        branch.element.id: float(lines.share[row, limit.falling].sum())
        for row, branch in enumerate(group.always)
        if isinstance(branch.element, Source)
    }
    for row, k in enumerate(circuit.order(states), start=len(group.always)):
        if not isinstance(group.valves[k][0], Diode):
            gives[group.valves[k][0].id] = float(lines.share[row, limit.falling].sum())
    for (element, valve), state in zip(group.valves, states, strict=True):
        if state is State.FULL:  # counts only where nothing else gives way
            gives.setdefault(element.id, SLIGHT * valve.max_a)
    return Collapse(loads, max(gives, key=lambda source: gives[source]), limit.share)


def _clash(group: Compiled, clash: Clash) -> tuple[str, ...]:
    """Name the sources and valves of a ring that no current satisfies."""
    always = len(group.always)
    ring = [group.always[k].element if k < always else group.valves[k - always][0] for k, _ in clash.ring]
    return tuple(sorted(element.id for element in ring if not isinstance(element, Resistor)))


def _lines(circuit: Circuit, states: States) -> Reduction:
    """Return the reduction of states that hold."""
    lines = circuit.reduced(states)
    assert isinstance(lines, Reduction)
    return lines
