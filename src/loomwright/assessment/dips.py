"""Dips: what one load sees when another starts, and which shared elements put how much into it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial

import numpy as np

from loomwright.circuit.ports import pairs

from .flow import Flow
from .loads import LONG_START_S
from .record import CircuitFigure, Dip, Ohm, Share
from .solve import Solved

#: Dips smaller than this, a third of the workshop's watch line, are seen by nobody and not listed. [V]
SMALLEST_DIP_V = 0.1
#: Shares of a dip smaller than this are not listed. [V]
SMALLEST_SHARE_V = 0.002


def with_dips(circuits: Mapping[str, CircuitFigure], inside: Solved) -> dict[str, CircuitFigure]:
    """Add to each circuit what the starts of others do to it, battery resistance included."""
    net = inside.flow
    starters = [
        k
        for k, port in enumerate(net.ports)
        if port.has_start and port.start_s < LONG_START_S and net.reduced.live[k]
    ]
    if not starters:
        return dict(circuits)
    result = pairs(net.reduced, net.loads(), inside.start_a)
    feeders = [net.feeder(k) for k in range(len(net.ports))]
    done = {}
    for key, circuit in circuits.items():
        i = net.index.get(circuit.load)
        if i is None or net.ports[i].kind not in ("consumer", "inverter"):
            done[key] = circuit
            continue
        dips = []
        for j in starters:
            if j == i or feeders[i] != feeders[j]:
                continue
            fall = float(inside.alone_v[i] - result.volts[j, i])
            if fall > SMALLEST_DIP_V:
                start_a = float(inside.start_a[j])
                volts = float(inside.alone_v[i]), float(result.volts[j, i])
                shares = partial(_common, net, i, j, start_a)
                dips.append(Dip(circuit.load, net.ports[j].part, fall, start_a, *volts, shares))
        done[key] = replace(circuit, dips=tuple(sorted(dips, key=lambda dip: -dip.dip_v)))
    return done


def _common(net: Flow, i: int, j: int, start_a: float) -> tuple[Share, ...]:
    """Return what each shared element puts into a dip, largest first."""
    part, felt = net.reduced.share[net.item_branch, j], net.reduced.share[net.item_branch, i]
    volts = net.item_ohm * felt * part * start_a
    listed = np.flatnonzero(volts > SMALLEST_SHARE_V)
    shares = [Share(net.items[n], float(part[n]), float(volts[n]), float(felt[n])) for n in listed]
    for s, source in enumerate(net.sources):
        carried, felt_s = (float(net.reduced.source_share[s, k]) for k in (j, i))
        inner_v = source.ohm * felt_s * carried * start_a
        if inner_v > SMALLEST_SHARE_V:
            shares.append(Share(Ohm(source.id, "battery inside", source.ohm), carried, inner_v, felt_s))
    return tuple(sorted(shares, key=lambda share: -share.volts))
