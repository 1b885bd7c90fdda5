"""Circuits of the loads: each alone at its running and start current, and with all others on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from loomwright.plan.pieces import FlatRun, Wiring
from loomwright.plan.values import Quantity
from loomwright.steps import Step

from .flow import Flow
from .loads import Port
from .record import CircuitFigure
from .solve import Solved, nominal_amps
from .sources import is_battery
from .sums import drop_steps, per_cent, run_step, shares_of, together_steps, unknown_fields

_QUIET = ("coil", "signal")


def load_circuits(
    wiring: Wiring, solved: Solved, only: Sequence[str] | None = None
) -> Iterator[CircuitFigure]:
    """Give the circuit of every load that is fed by a run and reached by a source."""
    net = solved.flow
    runs = [None if port.gives else feeding_run(wiring, port) for port in net.ports]
    worst_shared = _worst_shared(solved, runs)
    for k, (port, flat) in enumerate(zip(net.ports, runs, strict=True)):
        if flat is not None and net.reduced.live[k] and (only is None or port.id in only):
            yield _load_circuit(wiring, solved, k, port, flat, worst_shared[k])


def feeding_run(wiring: Wiring, port: Port) -> FlatRun | None:
    """Return the run that ends on a port's plus (on either terminal of a coil)."""
    flat = wiring.run_to.get(port.plus)
    return None if flat is None or flat.mains else flat


def circuit_id(flat: FlatRun, port: Port) -> str:
    """Return the circuit's id: the run's key, with the load's name where it has several."""
    return flat.id if len(flat.loads) == 1 else f"{flat.id}.{port.part.rpartition('/')[2]}"


def _load_circuit(
    wiring: Wiring, solved: Solved, k: int, port: Port, flat: FlatRun, worst_shared: str
) -> CircuitFigure:
    net = solved.flow
    feeder = net.feeder(k) or ""
    v0, loop = float(net.reduced.v0[k]), float(net.reduced.z[k, k])
    posts_v = next(s.volts for s in net.sources if s.id == feeder)
    series = series_volts(wiring, feeder, net, k)
    posts_v, amps = series or posts_v, float(solved.alone_a[k])
    if port.kind == "charger_input":
        cruise = cruising_volts(wiring, feeder) or posts_v
        v0, posts_v = v0 + cruise - posts_v, cruise
        amps = _power_amps(v0, loop, port.watts)
    collapsed = math.isnan(amps)
    if collapsed:
        amps = nominal_amps(port)
    lost = posts_v - v0 + loop * amps
    start_a = float(solved.start_a[k]) if port.has_start else None
    start_v = None if start_a is None else posts_v - v0 + loop * start_a
    together_v = float(solved.together_v[k])
    system_v = 24.0 if posts_v > 18.0 else 12.0
    shares = shares_of(net, k, amps)
    steps = drop_steps(port, shares, v0, posts_v, system_v, amps, start_a, start_v)
    run_drop = _run_drop(solved, flat, k, amps, posts_v - v0)
    if len(flat.loads) > 1:
        steps += run_drop, per_cent("u_r", run_drop, system_v)
    if port.kind != "charger_input" and not math.isnan(together_v):
        steps += together_steps(posts_v, together_v, system_v)
    return CircuitFigure(
        id=circuit_id(flat, port),
        wire=flat.id,
        load=port.part,
        path="charging" if port.kind == "charger_input" else "signal" if port.kind in _QUIET else "ordinary",
        feeder=feeder,
        system_v=system_v,
        running_a=amps,
        start_a=start_a,
        start_s=port.start_s if port.has_start else None,
        loop_resistance_ohm=lost / amps if amps > 0 and not collapsed else loop,
        drop_v=None if collapsed else lost,
        drop_pct=None if collapsed else 100.0 * lost / system_v,
        drop_together_v=None
        if math.isnan(together_v) or port.kind == "charger_input"
        else max(posts_v - together_v, 0.0),
        drop_run_v=None if collapsed else run_drop.value,
        start_drop_v=start_v,
        start_drop_pct=None if start_v is None else 100.0 * start_v / system_v,
        load_v=None if collapsed else posts_v - lost,
        start_load_v=None if start_v is None else posts_v - start_v,
        shares=shares,
        steps=() if collapsed else steps,
        unknown=unknown_fields(port, shares),
        worst_shared=worst_shared,
    )


def _run_drop(solved: Solved, flat: FlatRun, k: int, amps: float, own_v: float) -> Step:
    """Return the drop at port `k` with all loads of its run on, each at the current it takes alone. [V]

    `own_v` is lost with nothing on.
    """
    net = solved.flow
    terms = [(net.ports[k].part, amps, float(net.reduced.z[k, k]))]
    if len(flat.loads) > 1:
        terms += [
            (other.part, float(np.nan_to_num(solved.alone_a[j])), float(net.reduced.z[k, j]))
            for j, other in enumerate(net.ports)
            if j != k and not other.gives and other.plus in flat.loads and net.reduced.live[j]
        ]
    return run_step(terms, own_v)


def series_volts(wiring: Wiring, feeder: str, net: Flow, k: int) -> float | None:
    """Return the posts' volts of a bank in series that feeds port `k`; None if one battery does."""
    feeding = [
        source.volts
        for s, source in enumerate(net.sources)
        if is_battery(wiring, source.id) and abs(float(net.reduced.source_share[s, k])) > 0.5
    ]
    return (
        sum(feeding)
        if len(feeding) > 1 and abs(sum(feeding) - float(net.reduced.v0[k])) < 0.1 * sum(feeding)
        else None
    )


def cruising_volts(wiring: Wiring, battery: str) -> float | None:
    """Return the volts at a vehicle battery while its alternator cruises, None if not stated. [V]"""
    for part in wiring.parts.values():
        if part.kind == "alternator" and part.charges == battery and part.output:
            for state in ("cruise", "", *part.output):
                limit = part.output.get(state)
                if limit is not None and isinstance(limit.volts, Quantity):
                    return limit.volts.low
    return None


def _power_amps(v0: float, loop: float, watts: float) -> float:
    root = v0 * v0 - 4.0 * loop * watts
    return watts / ((v0 + math.sqrt(root)) / 2.0) if root >= 0 else watts / v0


def _worst_shared(solved: Solved, runs: Sequence[FlatRun | None]) -> list[str]:
    """Return for each port the owner that costs it most when all others run too: shared wire, stud or bar."""
    net = solved.flow
    if not net.branches:
        return [""] * len(runs)
    share = np.nan_to_num(net.reduced.share)
    ohm = np.bincount(net.item_branch, net.item_ohm, minlength=len(net.branches))
    others_a = solved.branch_a()[:, None] - share * np.nan_to_num(solved.together_a)
    cost = ohm[:, None] * share * others_a
    row = {branch.id: b for b, branch in enumerate(net.branches)}
    for k, flat in enumerate(runs):
        own = [row[piece.id] for piece in flat.pieces] if flat is not None else []
        cost[own, k] = 0.0
    worst = cost.argmax(axis=0)
    return [net.branches[b].owner if cost[b, k] > 0 else "" for k, b in enumerate(worst)]
