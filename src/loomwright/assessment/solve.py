"""Solving a flow: each load alone, all together, each at its start; what converters ask of their inputs."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.ports import alone, together

from .flow import Flow, metal_of
from .loads import Port
from .record import Through

Floats = NDArray[np.float64]
#: A smaller current is what rounding leaves. [A]
DUST_A = 1e-9
#: What runs when everything is on.
RUNS_TOGETHER = ("consumer", "inverter", "converter_input", "coil", "signal")


@dataclass(frozen=True, slots=True)
class Converts:
    """What a converter gives: its output volts, its current limit (infinite if unknown), its efficiency."""

    volts: float
    limit_a: float
    efficiency: float


@dataclass(frozen=True, slots=True)
class Solved:
    """A flow with its loads solved: alone, together, at their starts."""

    flow: Flow
    alone_v: Floats
    alone_a: Floats
    start_a: Floats
    together_v: Floats
    together_a: Floats
    collapsed: tuple[str, ...]

    def branch_a(self) -> Floats:
        """Currents of the branches with everything on, shape (m,). [A]"""
        taken = np.nan_to_num(self.together_a)
        share = np.nan_to_num(self.flow.reduced.share)
        rest = np.nan_to_num(self.flow.reduced.b0)
        return _clean(rest + share @ taken)

    def alone_branch_a(self) -> Floats:
        """Currents of the branches with each load alone, shape (m, n). [A]"""
        return _clean(np.nan_to_num(self.flow.reduced.share) * np.nan_to_num(self.alone_a))


def shared_out(solved: Solved, inside: Solved, batteries: Collection[str]) -> Solved:
    """Return a solution whose currents part between batteries in parallel by their inner resistances.

    Ideal posts would let one battery carry everything; where no batteries stand in parallel, nothing changes.

    Parameters
    ----------
    solved : Solved
        With ideal posts.
    inside : Solved
        The same network with the batteries' inner resistances.
    batteries : collection of str
        Ids of the sources that are batteries.
    """
    metal = metal_of(solved.flow.branches)
    posts = [
        (metal.get(source.plus), metal.get(source.minus))
        for source in solved.flow.sources
        if source.id in batteries and source.plus in metal
    ]
    if len(set(posts)) == len(posts):
        return solved
    other = inside.flow.reduced
    reduced = replace(
        solved.flow.reduced,
        share=other.share,
        b0=other.b0,
        source_share=other.source_share,
        source_b0=other.source_b0,
    )
    return replace(solved, flow=replace(solved.flow, reduced=reduced))


def _clean(amps: Floats) -> Floats:
    """Take away the dust that sums leave where no current flows."""
    return np.where(np.abs(amps) < DUST_A, 0.0, amps)


def solve(net: Flow, converters: Mapping[str, Converts]) -> Solved:
    """Solve all loads of a flow.

    Parameters
    ----------
    net : Flow
        The reduced network.
    converters : mapping of str to Converts
        By part id; what their loads take is put on their inputs.
    """
    solved = _solve(net)
    watts = _converter_watts(solved, converters)
    if not watts:
        return solved
    ports = tuple(
        replace(port, watts=watts[port.part])
        if port.part in watts and port.kind == "converter_input"
        else port
        for port in net.ports
    )
    return _solve(replace(net, ports=ports))


def _converter_watts(solved: Solved, converters: Mapping[str, Converts]) -> dict[str, float]:
    watts = {}
    for part_id, one in converters.items():
        watts[part_id] = one.volts * min(drawn_from(solved, part_id), one.limit_a) / one.efficiency
    return watts


def drawn_from(solved: Solved, source: str) -> float:
    """Return the current a source gives with everything on. [A]"""
    names = [one.id for one in solved.flow.sources]
    if source not in names:
        return 0.0
    share = np.nan_to_num(solved.flow.reduced.source_share[names.index(source)])
    return float(share @ np.nan_to_num(solved.together_a))


def given_by(solved: Solved, source: str) -> dict[str, float]:
    """Return what a source gives with everything on, by the port that takes it. [A]"""
    row = [one.id for one in solved.flow.sources].index(source)
    amps = _clean(np.nan_to_num(solved.flow.reduced.source_share[row]) * np.nan_to_num(solved.together_a))
    pairs = zip(solved.flow.ports, amps, strict=True)
    return {port.id: float(a) for port, a in pairs if a}


def through(solved: Solved) -> Through:
    """Return whose current flows in which branch with everything on."""
    net = solved.flow
    amps = _clean(np.nan_to_num(net.reduced.share) * np.nan_to_num(solved.together_a))
    return Through(tuple(b.id for b in net.branches), tuple(p.id for p in net.ports), amps)


def _solve(net: Flow) -> Solved:
    loads = net.loads()
    running = alone(net.reduced, loads)
    on = np.array([[port.kind in RUNS_TOGETHER for port in net.ports]], dtype=bool)
    both = together(net.reduced, loads, on)
    z = np.diag(net.reduced.z)
    start_a = np.array(
        [_start_amps(port, v0, zkk) for port, v0, zkk in zip(net.ports, net.reduced.v0, z, strict=True)]
    )
    collapsed = tuple(port.id for port, gone in zip(net.ports, running.collapsed, strict=True) if gone)
    together_a = both.amps[0] if len(net.ports) else np.zeros(0)
    if len(net.ports) and bool(both.collapsed.any()):
        together_a = np.array(
            [nominal_amps(port) if port.kind in RUNS_TOGETHER else 0.0 for port in net.ports]
        )
        together_a = np.where(net.reduced.live, together_a, 0.0)
    volts = both.volts[0] if len(net.ports) else np.zeros(0)
    return Solved(net, running.volts, running.amps, start_a, volts, together_a, collapsed)


def nominal_amps(port: Port) -> float:
    """Return what a port takes at its class voltage. [A]"""
    return port.amps + port.watts / port.nominal_v + port.siemens * port.nominal_v


def _start_amps(port: Port, v0: float, z: float) -> float:
    """Return the current of a start; one stated in W is a constant power. [A]"""
    if port.start_w and not math.isnan(v0):
        root = v0 * v0 - 4.0 * z * port.start_w
        return port.start_w / ((v0 + math.sqrt(root)) / 2.0) if root > 0 else port.start_w / port.nominal_v
    return port.start_a
