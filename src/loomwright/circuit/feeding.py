"""What a source reaches: found by drawing next to nothing at every load and looking at the volts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from loomwright.circuit.compile import Compiled
from loomwright.circuit.joints import Clash
from loomwright.circuit.linear import FED_PART, Bools, Floats, Ints, Reduction
from loomwright.circuit.network import Diode, Source
from loomwright.circuit.valves import Circuit, State, States, find_states
from loomwright.circuit.working import Lost, Working

#: Drawn at each load to see whether it is fed. [A]
PROBE_A = 1e-6
#: Below this a load is not fed, whatever the source. [V]
LEAST_V = 1e-3


@dataclass(frozen=True, slots=True)
class Idle:
    """A network with next to nothing drawn."""

    working: Working
    fed: list[int]  #: the draws that a source reaches
    barred: frozenset[int]  #: valves that stay off: outputs of converters that are not fed, limits of 0 A


def find_idle(group: Compiled, circuit: Circuit) -> Idle | Clash | Lost:
    """Find the states with next to nothing drawn, and what is fed.

    Converters start unfed, so one that only its own output would feed stays off; so does one whose output
    takes its own input away.
    """
    denied = frozenset(k for k, valve in enumerate(circuit.valves) if valve.max_a == 0.0)
    barred = denied | {feed.valve for feed in group.feeds}
    probed = np.ones(len(circuit.draws), dtype=bool)
    states: States = (State.OFF,) * len(circuit.valves)
    while True:
        draws = np.where(probed, PROBE_A, 0.0)
        found = find_states(circuit, states, draws, barred)
        if isinstance(found, Clash):
            return found
        if found is None:
            return Lost.STATES
        states = found
        fed = _fed(group, circuit, states, draws) & probed
        awake = {feed.valve for feed in group.feeds if fed[feed.draw]} - denied
        asleep = {feed.valve for feed in group.feeds if not fed[feed.draw]} - barred
        if awake & barred:
            barred -= awake
        elif asleep:
            denied, barred = denied | asleep, barred | asleep
            states = tuple(State.OFF if k in barred else state for k, state in enumerate(states))
        elif np.array_equal(fed, probed):
            return Idle(Working(states, draws), np.flatnonzero(fed).tolist(), barred)
        else:
            probed = fed


def _fed(group: Compiled, circuit: Circuit, states: States, draws_a: Floats) -> Bools:
    """Tell which draws have volts of the right polarity on a piece that a source feeds."""
    lines = circuit.reduced(states)
    assert isinstance(lines, Reduction)
    volts = circuit.point(states, lines, draws_a).volts
    plus, minus = np.array(circuit.draws, dtype=np.intp).reshape(-1, 2).T
    highest = highest_volts(group, states, lines.piece)
    piece = lines.piece[plus]
    same: Bools = (piece == lines.piece[minus]) & (highest[piece] >= 0.0)
    return same & (volts[plus] - volts[minus] > np.maximum(FED_PART * highest[piece], LEAST_V))


def highest_volts(group: Compiled, states: States, piece: Ints) -> Floats:
    """Return the volts of the highest source that feeds each conducting piece; -1 where none does."""
    highest = np.full(int(piece.max(initial=-1)) + 1, -1.0)
    volts = [
        (branch.b, abs(branch.element.volts)) for branch in group.always if isinstance(branch.element, Source)
    ]
    for (element, valve), state in zip(group.valves, states, strict=True):
        if not isinstance(element, Diode) and state is not State.OFF and valve.max_a > 0.0:
            volts += [(valve.a, valve.emf_v), (valve.b, valve.emf_v)]
    for node, emf in volts:
        highest[piece[node]] = max(highest[piece[node]], emf)
    return highest


def reached(group: Compiled, states: States, piece: Ints) -> list[bool]:
    """Tell for each node whether a source reaches it, through valves that wait for a load as well."""
    live = (highest_volts(group, states, piece) >= 0.0).tolist()
    waiting = [
        (int(piece[valve.a]), int(piece[valve.b]))
        for element, valve in group.valves
        if isinstance(element, Diode)
    ]
    while ahead := [b for a, b in waiting if live[a] and not live[b]]:
        for number in ahead:
            live[number] = True
    return [live[number] for number in piece.tolist()]
