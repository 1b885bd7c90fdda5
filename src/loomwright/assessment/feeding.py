"""What feeds each load: as the contacts stand when asked for, else in the positions that feed it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from loomwright.plan.pieces import Wiring

from .circuits import circuit_id, feeding_run, load_circuits
from .flow import positions_that_feed
from .record import CircuitFigure, LoadFigure
from .solve import Solved

#: Volts the wrong way round by which a load counts as reversed. [V]
REVERSED_V = 1.0
SolveStanding = Callable[[Mapping[str, str]], Solved]


def circuits_in_other_positions(
    wiring: Wiring, solved: Solved, solve_standing: SolveStanding
) -> dict[str, CircuitFigure]:
    """Return the circuits of loads that the contacts at rest do not feed, in the positions that feed them.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    solved : Solved
        With the contacts as asked for.
    solve_standing : callable
        Solves the van with some parts in other states.
    """
    groups: dict[tuple[tuple[str, str], ...], list[str]] = {}
    for k, port in enumerate(solved.flow.ports):
        if port.gives or port.kind == "signal" or solved.flow.reduced.live[k]:
            continue
        if feeding_run(wiring, port) is None:
            continue
        positions = positions_that_feed(wiring, port, solved.flow.sources)
        if positions is not None:
            groups.setdefault(tuple(sorted(positions.items())), []).append(port.id)
    found = {}
    for overrides, names in groups.items():
        for circuit in load_circuits(wiring, solve_standing(dict(overrides)), names):
            found[circuit.id] = circuit
    return found


def load_figures(
    wiring: Wiring, solved: Solved, circuits: Mapping[str, CircuitFigure]
) -> dict[str, LoadFigure]:
    """Return for each load whether it is fed, from where, at what volts, and which wire is missing."""
    net, wired = solved.flow, set(wiring.by_point)
    by_load = {circuit.load: circuit for circuit in circuits.values()}
    found = {}
    for k, port in enumerate(net.ports):
        if port.gives:
            continue
        circuit, flat = by_load.get(port.part), feeding_run(wiring, port)
        elsewhere = circuit is not None and flat is not None and circuit.id == circuit_id(flat, port)
        volts = circuit.load_v if circuit is not None else None
        found[port.id] = LoadFigure(
            id=port.id,
            part=port.part,
            kind=port.kind,
            fed=bool(net.reduced.live[k]) or elsewhere,
            feeder=net.feeder(k) or (circuit.feeder if circuit is not None else ""),
            volts_v=float(net.reduced.v0[k]) if net.reduced.reached[k] else volts,
            class_low_v=port.class_v[0],
            class_high_v=port.class_v[1],
            open_minus=port.minus not in wired and wiring.owner(port.part).case != "minus",
            open_plus=port.plus not in wired,
            reversed_=bool(net.reduced.reached[k]) and float(net.reduced.v0[k]) < -REVERSED_V,
        )
    return found
