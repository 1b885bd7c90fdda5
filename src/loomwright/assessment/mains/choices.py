"""What may be chosen of a case, and a case that is not all chosen settled.

It follows from the van: the supplies of the plan (where there is none, the usual pitch of its region), its
inverters and generators, its sockets and appliances, its RCDs and bonds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from loomwright.plan.model import Supply
from loomwright.plan.values import Quantity

from .case import (
    EARTHINGS,
    FAULTS,
    HOOK_UP,
    MISSING,
    POLARITIES,
    Case,
    Side,
    own_earthing,
    pitch_of_case,
    supplies_of,
)


@dataclass(frozen=True, slots=True)
class Choices:
    """What may be chosen, each by its key, in words.

    Attributes
    ----------
    modes, sources, earthings, polarities, faults, outlets, missing : Mapping
        Key to words.
    """

    modes: Mapping[str, str]
    sources: Mapping[str, str]
    earthings: Mapping[str, str]
    polarities: Mapping[str, str]
    faults: Mapping[str, str]
    outlets: Mapping[str, str]
    missing: Mapping[str, str]


def modes_of(side: Side) -> dict[str, str]:
    """Return how the van may be fed, in words: those that reach a socket or an appliance."""
    found = {HOOK_UP: "hook-up"} if side.inlet is not None and side.served(side.inlet) else {}
    return found | {id: f"on {_named(side, id)}" for id in side.layout.makers if side.served(id)}


def choices_of(side: Side, case: Case) -> Choices:
    """Return what may be chosen beside what is chosen.

    Parameters
    ----------
    side : Side
        The mains side, which has something to feed.
    case : Case
        Settled.
    """
    plan = side.wiring.plan
    on_pitch = case.mode == HOOK_UP
    source = side.inlet if on_pitch else case.mode
    supplies = supplies_of(plan) if on_pitch else {}
    legs = pitch_of_case(plan, case).legs if on_pitch else 1
    gates = side.layout.gates
    missing = dict(MISSING)
    if not on_pitch:
        del missing["post_earth"], missing["post_neutral"]
    if not any(gate.residual for gate in gates):
        del missing["rcd"]
    if not side.layout.bonds:
        del missing["bond"]
    if case.earthing == "none":
        missing.pop("post_earth", None)
    return Choices(
        modes=modes_of(side),
        sources={id: _rated(id, one) for id, one in supplies.items()},
        earthings=EARTHINGS if on_pitch else {},
        polarities=POLARITIES if on_pitch and legs == 1 else {},
        faults=_faults(side),
        outlets={id: _named(side, id) for id in side.served(source or "")},
        missing=missing,
    )


def _faults(side: Side) -> dict[str, str]:
    """Return what can go wrong; metal pipes only where the plan tells of them."""
    pipes = side.wiring.plan.vehicle.pipes in ("bonded", "loose")
    return {key: words for key, words in FAULTS.items() if key != "pipe" or pipes}


def settled(side: Side, case: Case) -> Case:
    """Return a case of this van: what it lacks is put in the place of what it has.

    Parameters
    ----------
    side : Side
        The mains side, which has something to feed.
    case : Case
        As asked for; what names nothing of the van counts as not chosen.

    Raises
    ------
    ValueError
        There is nothing that feeds a socket or an appliance.
    """
    modes = modes_of(side)
    if not modes:
        raise ValueError("nothing feeds a socket or an appliance of the mains side")
    mode = case.mode if case.mode in modes else next(iter(modes))
    supplies = supplies_of(side.wiring.plan)
    source = (case.source if case.source in supplies else next(iter(supplies))) if mode == HOOK_UP else ""
    own = supplies[source] if source else None
    earthing = case.earthing if case.earthing in EARTHINGS else (own and own_earthing(own)) or "tt"
    polarity = case.polarity if case.polarity in POLARITIES else _own_polarity(own)
    case = replace(
        case,
        mode=mode,
        source=source,
        earthing=earthing if source else "",
        polarity=polarity if source else "",
        fault=case.fault if case.fault in _faults(side) else "case",
    )
    offered = choices_of(side, case)
    return replace(
        case,
        polarity=case.polarity if case.polarity in offered.polarities else ("right" if source else ""),
        outlet=case.outlet if case.outlet in offered.outlets else _first_outlet(side, offered),
        missing=case.missing if case.missing in offered.missing else "",
    )


def _own_polarity(supply: Supply | None) -> str:
    return "reversed" if supply is not None and supply.polarity == "reversed" else "right"


def _first_outlet(side: Side, offered: Choices) -> str:
    sockets = (id for id in offered.outlets if side.wiring.parts[id].kind == "mains_socket")
    return next(sockets, next(iter(offered.outlets)))


def _named(side: Side, id: str) -> str:
    part = side.wiring.parts.get(id)
    return f"{id}, {part.name}" if part is not None and part.name else id


def _rated(id: str, supply: Supply) -> str:
    amps = f"{supply.current.high:g} A" if isinstance(supply.current, Quantity) else "? A"
    return f"{id}, {amps}"


__all__ = ["Choices", "choices_of", "modes_of", "settled"]
