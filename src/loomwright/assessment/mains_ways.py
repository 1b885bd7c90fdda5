"""Ways along the wires of the mains: from an inverter's output to the pins of the inlet.

Only wires, boxes, plugs and contacts lead on. A transformer parts the two sides, and what stands inside an
inverter that charges is its maker's. A contact that a wired coil works stands as it rests; one that a hand
works may stand anywhere, but in one position at a time.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.kinds import rest_state, states
from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity

from .states import contacts_of

#: Kinds whose contacts a mains wire may pass.
_CONTACTS = ("switch", "two_way", "intermediate", "change_over", "selector", "relay")
#: Terminals of a coil: with two of them wired, the contact is not worked by hand.
_COIL = ("85", "86", "coil_plus", "coil_minus")


@dataclass(frozen=True, slots=True)
class LiveInlet:
    """An inlet that another source reaches: devices on the way with their positions, and the inlet's run."""

    inlet: str
    source: str
    positions: tuple[tuple[str, str], ...]
    run: str


@dataclass(frozen=True, slots=True)
class _Step:
    """One step to another point, and the device and position that it needs."""

    to: str
    device: str = ""
    position: str = ""


def live_inlets(wiring: Wiring) -> Iterator[LiveInlet]:
    """Give the inlets whose pins are live while an inverter, a generator or another inlet feeds, their own
    lead pulled."""
    inlets = {f"{id}.out": id for id, part in wiring.parts.items() if part.kind == "inlet"}
    makers = [id for id, part in wiring.parts.items() if part.kind in ("inverter", "generator")]
    others = [*makers, *(inlets.values() if len(inlets) > 1 else ())]
    steps = _steps(wiring) if inlets and others else {}
    for source in others:
        for point, positions in _reached(steps, f"{source}.out").items():
            if inlets.get(point, source) != source:
                run = next(iter(wiring.by_point[point])).run
                yield LiveInlet(inlets[point], source, tuple(sorted(positions)), run)


@dataclass(frozen=True, slots=True)
class FixedBond:
    """An inverter that passes hook-up through and keeps its neutral on earth all the same."""

    inverter: str
    inlet: str


def fixed_bonds(wiring: Wiring) -> Iterator[FixedBond]:
    """Give the inverters that charge whose bond stays while an inlet feeds them."""
    inlets = [id for id, part in wiring.parts.items() if part.kind == "inlet"]
    bonded = [
        id
        for id, part in wiring.parts.items()
        if part.kind == "inverter_charger" and part.neutral_bond == "fixed"
    ]
    steps = _steps(wiring) if inlets and bonded else {}
    for id in bonded:
        fed = (inlet for inlet in inlets if f"{id}.in" in _reached(steps, f"{inlet}.out"))
        if (inlet := next(fed, None)) is not None:
            yield FixedBond(id, inlet)


@dataclass(frozen=True, slots=True)
class TooMuch:
    """A fixed appliance that an inverter reaches and can't feed, its run, and both powers. [W]"""

    appliance: str
    run: str
    inverter: str
    takes_w: float
    gives_w: float


def too_much_for_inverters(wiring: Wiring) -> Iterator[TooMuch]:
    """Give the wired appliances that take more by themselves than an inverter that reaches them gives."""
    kinds = {part.kind for part in wiring.parts.values()}
    steps = _steps(wiring) if "appliance" in kinds and kinds & {"inverter", "inverter_charger"} else {}
    for id, part in wiring.parts.items():
        if part.kind not in ("inverter", "inverter_charger") or not isinstance(part.power, Quantity):
            continue
        for other, takes in _wired(wiring, steps, id).items():
            if takes > part.power.high:
                run = next(iter(wiring.by_point[f"{other}.in"])).run
                yield TooMuch(other, run, id, takes, part.power.high)


def reached_appliances(wiring: Wiring, inverter: str) -> dict[str, float]:
    """Return what each appliance takes that is wired to an inverter. [W]"""
    return _wired(wiring, _steps(wiring), inverter)


def _wired(wiring: Wiring, steps: dict[str, list[_Step]], inverter: str) -> dict[str, float]:
    reached = _reached(steps, f"{inverter}.out")
    return {
        id: part.power.low
        for id, part in wiring.parts.items()
        if part.kind == "appliance" and isinstance(part.power, Quantity) and f"{id}.in" in reached
    }


def _reached(steps: dict[str, list[_Step]], start: str) -> dict[str, frozenset[tuple[str, str]]]:
    """Return by point the positions that a way to it needs, no device in two of them."""
    found: dict[str, frozenset[tuple[str, str]]] = {}
    first: tuple[str, frozenset[tuple[str, str]]] = (start, frozenset())
    seen, queue = {first}, deque([first])
    while queue:
        point, needs = queue.popleft()
        found.setdefault(point, needs)
        for step in steps.get(point, ()):
            if step.device and dict(needs).get(step.device, step.position) != step.position:
                continue
            after = (step.to, needs | {(step.device, step.position)} if step.device else needs)
            if after not in seen:
                seen.add(after)
                queue.append(after)
    return found


def _steps(wiring: Wiring) -> dict[str, list[_Step]]:
    steps: dict[str, list[_Step]] = {}

    def join(a: str, b: str, device: str = "", position: str = "") -> None:
        steps.setdefault(a, []).append(_Step(b, device, position))
        steps.setdefault(b, []).append(_Step(a, device, position))

    for flat in wiring.runs.values():
        for piece in flat.pieces:
            join(piece.a, piece.b)
    for point in wiring.by_point:
        box = wiring.parts.get(wiring.part_of(point) or "")
        if box is not None and box.kind == "breaker_box" and wiring.terminal_of(point).isdigit():
            join(f"{wiring.part_of(point)}.in", point)
    for id, part in wiring.parts.items():
        if part.kind == "mains_socket":
            join(f"{id}.in", f"{id}.load")
        elif part.kind == "plug":
            for contact in contacts_of(id, part, None):
                join(contact.a, contact.b)
        elif part.kind in _CONTACTS:
            for state in _may_stand(wiring, id, part):
                for contact in contacts_of(id, part, state):
                    join(contact.a, contact.b, id, state)
    return steps


def _may_stand(wiring: Wiring, id: str, part: Part) -> tuple[str, ...]:
    """Return the positions that count for a device: as it rests if a wired coil works it, else all."""
    coiled = sum(f"{id}.{end}" in wiring.by_point for end in _COIL) == 2
    rest = rest_state(part)
    return (rest,) if coiled and rest is not None else tuple(states(part))


__all__ = [
    "FixedBond",
    "LiveInlet",
    "TooMuch",
    "fixed_bonds",
    "live_inlets",
    "reached_appliances",
    "too_much_for_inverters",
]
