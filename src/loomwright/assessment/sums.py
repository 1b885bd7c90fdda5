"""The chain of sums behind a drop: what each resistance on the way takes, and the steps that add it up."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from loomwright.source import Source
from loomwright.steps import Given, Step

from .flow import Flow
from .loads import Port
from .record import Share

OHMS_LAW = Source(work="Ohm's law", place="U = R · I along the whole way of the current", checked="computed")
#: Branches that carry less of a circuit's own current are not on its way.
ON_WAY = 1e-4
#: A branch that carries all but this of a circuit's current carries all of it.
WHOLE = 0.9999


def shares_of(net: Flow, k: int, amps: float) -> tuple[Share, ...]:
    """Return what each resistance takes of a port's drop, in the order of the network."""
    part = net.reduced.share[net.item_branch, k]
    volts = net.item_ohm * part * part * amps
    return tuple(
        Share(net.items[n], abs(float(part[n])), float(volts[n]))
        for n in np.flatnonzero(np.abs(part) > ON_WAY)
    )


def drop_steps(
    port: Port,
    shares: Sequence[Share],
    v0: float,
    posts_v: float,
    system_v: float,
    amps: float,
    start_a: float | None,
    start_v: float | None,
) -> tuple[Step, ...]:
    """Return the steps from the resistances on the way to the drop: running, and starting if it starts.

    Parameters
    ----------
    port : Port
        The load.
    shares : sequence of Share
        What lies on the way of its current.
    v0, posts_v, system_v : float
        Volts at the load with no current of its own, between the posts of the battery, and those that per
        cent are of. [V]
    amps : float
        Running current. [A]
    start_a, start_v : float or None
        Current of the start [A] and the drop then [V]; None if there is none.
    """
    terms = [
        f"r{n} * k{n}**2" if share.part_of_current < WHOLE else f"r{n}" for n, share in enumerate(shares)
    ]
    given: list[Given] = []
    for n, share in enumerate(shares):
        given.append(Given(f"r{n}", share.ohm.ohm, "Ω"))
        if share.part_of_current < WHOLE:
            given.append(Given(f"k{n}", share.part_of_current, ""))
    loop = sum(
        share.ohm.ohm * (share.part_of_current**2 if share.part_of_current < WHOLE else 1.0)
        for share in shares
    )
    names = "; ".join(f"r{n} {share.ohm.owner} {share.ohm.what}" for n, share in enumerate(shares))
    steps = [Step("R_loop", " + ".join(terms) or "0", tuple(given), loop, "Ω", OHMS_LAW, names)]
    if port.watts and not port.amps and not port.siemens:
        formula = "P / ((U0 + sqrt(max(U0**2 - 4 * R_loop * P, 0))) / 2)"
        inputs = (Given("P", port.watts, "W"), Given("U0", v0, "V"), Given("R_loop", loop, "Ω"))
        value = port.watts / ((v0 + math.sqrt(max(v0**2 - 4 * loop * port.watts, 0.0))) / 2)
        steps.append(Step("I", formula, inputs, value, "A", OHMS_LAW, "constant power at its terminals"))
        amps = value
    elif port.siemens and not port.amps and not port.watts:
        inputs = (Given("U0", v0, "V"), Given("G", port.siemens, "S"), Given("R_loop", loop, "Ω"))
        amps = v0 * port.siemens / (1 + port.siemens * loop)
        steps.append(Step("I", "U0 * G / (1 + G * R_loop)", inputs, amps, "A", OHMS_LAW, "a resistance"))
    own = posts_v - v0
    fall = (Given("I", amps, "A"), Given("R_loop", loop, "Ω"), Given("U_d", own, "V"))
    drop = Step("U", "I * R_loop + U_d", fall, amps * loop + own, "V", OHMS_LAW, "drop, running")
    steps += [drop, per_cent("u", drop, system_v), at_load("U_l", drop, posts_v)]
    if start_a is not None and start_v is not None:
        fall = (Given("I_s", start_a, "A"), Given("R_loop", loop, "Ω"), Given("U_d", own, "V"))
        drop = Step("U_s", "I_s * R_loop + U_d", fall, start_a * loop + own, "V", OHMS_LAW, "drop, starting")
        steps += [drop, per_cent("u_s", drop, system_v), at_load("U_ls", drop, posts_v)]
    return tuple(steps)


def per_cent(symbol: str, drop: Step, system_v: float) -> Step:
    """Return a drop as a part of the system's volts. [%]"""
    given = (Given(drop.symbol, drop.value, "V"), Given("U_n", system_v, "V"))
    value = 100.0 * drop.value / system_v
    return Step(symbol, f"100 * {drop.symbol} / U_n", given, value, "%", None, f"{drop.says}, in per cent")


def at_load(symbol: str, drop: Step, posts_v: float) -> Step:
    """Return the volts that a drop leaves at the load. [V]"""
    given = (Given("U_p", posts_v, "V"), Given(drop.symbol, drop.value, "V"))
    value = posts_v - drop.value
    return Step(symbol, f"U_p - {drop.symbol}", given, value, "V", None, f"at the load, {drop.says[6:]}")


def run_step(terms: Sequence[tuple[str, float, float]], own_v: float) -> Step:
    """Return the drop of a load with the others of its run on.

    Parameters
    ----------
    terms : sequence of tuple
        Load, its current [A], and what that current has in common with the way of the first load's [Ω].
    own_v : float
        Lost with nothing on. [V]
    """
    given = [
        one
        for n, (_, a, ohm) in enumerate(terms)
        for one in (Given(f"I{n}", a, "A"), Given(f"R{n}", ohm, "Ω"))
    ]
    formula = " + ".join(f"I{n} * R{n}" for n in range(len(terms)))
    value = sum(a * ohm for _, a, ohm in terms) + own_v
    says = "drop, with the other loads of its wire on"
    return Step("U_r", f"{formula} + U_d", (*given, Given("U_d", own_v, "V")), value, "V", OHMS_LAW, says)


def filled(amps: float, most_a: float, says: str) -> Step:
    """Return a current as a part of what a fuse, cable or contact is made for. [%]"""
    given = (Given("I", amps, "A"), Given("I_n", most_a, "A"))
    return Step("f", "100 * I / I_n", given, 100.0 * amps / most_a, "%", None, says)


def together_steps(posts_v: float, volts: float, system_v: float) -> tuple[Step, ...]:
    """Return the drop of a load with everything on: from the posts' volts and those found at it."""
    given = (Given("U_p", posts_v, "V"), Given("U_lt", volts, "V"))
    drop = Step(
        "U_t", "max(U_p - U_lt, 0)", given, max(posts_v - volts, 0.0), "V", None, "drop, everything on"
    )
    return drop, per_cent("u_t", drop, system_v)


def unknown_fields(port: Port, shares: Sequence[Share]) -> tuple[str, ...]:
    """Return the fields of the plan that a drop guesses at, what takes most volts first."""
    guessed: dict[str, float] = {}
    for share in shares:
        if share.ohm.unknown:
            guessed[share.ohm.unknown] = guessed.get(share.ohm.unknown, 0.0) + share.volts
    return (*port.unknown, *sorted(guessed, key=lambda field: -guessed[field]))
