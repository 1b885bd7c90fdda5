"""One case of the mains side: how the van is fed, what goes wrong, what is out of order before.

What may be chosen follows from the van: the supplies of the plan (where there is none, the usual pitch of its
region), its inverters and generators, its sockets and appliances, its RCDs and bonds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Protocol

from loomwright.mains.records import Net
from loomwright.plan.model import Plan, Supply
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import UNKNOWN, Quantity
from loomwright.tables.mains_supplies import SUPPLIES

from .cases import Reach
from .layout import Layout
from .pitch import USUAL_ELECTRODE_OHM, Pitch, pitch_like
from .shared import PitchNets

#: The mode in which a pitch feeds; every other one bears the id of what makes mains.
HOOK_UP = "hook_up"
#: The pitch of a plan without supplies.
USUAL = "usual"
#: Named in words.
EARTHINGS: Mapping[str, str] = MappingProxyType(
    {"tn": "TN, from the supply", "tt": "TT, own electrode", "none": "none"}
)
POLARITIES: Mapping[str, str] = MappingProxyType({"right": "right", "reversed": "reversed"})
#: What goes wrong, in words.
FAULTS: Mapping[str, str] = MappingProxyType(
    {
        "none": "nothing",
        "case": "line to a case",
        "chafed": "chafed cable, line to the body",
        "short": "line to neutral",
        "neutral_case": "neutral to a case",
        "hand": "a hand on the line",
    }
)
#: What is out of order before, in words.
MISSING: Mapping[str, str] = MappingProxyType(
    {
        "": "nothing",
        "post_earth": "the post's earth is lost",
        "post_neutral": "the post's neutral is lost",
        "rcd": "the van's RCDs stick",
        "bond": "the bond to the body is off",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What is chosen.

    Attributes
    ----------
    mode : str
        "hook_up", or the part that makes mains.
    source : str
        A supply of the plan, "usual" where it has none; of no meaning off hook-up.
    earthing, polarity : str
        Of the post: tn, tt or none; right or reversed.
    fault : str
        One of `FAULTS`.
    outlet : str
        Where: a socket or an appliance that is wired.
    missing : str
        One of `MISSING`.
    """

    mode: str = HOOK_UP
    source: str = ""
    earthing: str = ""
    polarity: str = ""
    fault: str = "case"
    outlet: str = ""
    missing: str = ""


class Side(Protocol):
    """What of the mains side is asked here."""

    wiring: Wiring

    @property
    def layout(self) -> Layout:
        """Cables, what opens, sockets and appliances."""

    @property
    def reaches(self) -> dict[str, Reach]:
        """By inlet and by maker, what it reaches."""

    @property
    def inlet(self) -> str | None:
        """The inlet that pitches are judged at."""

    def served(self, source: str) -> dict[str, str]:
        """Return what a source reaches, with its points."""

    def nets(self, inlet: str) -> PitchNets:
        """Return the nets behind an inlet."""


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


def supplies_of(plan: Plan) -> dict[str, Supply]:
    """Return the supplies of a plan; where it has none, the usual pitch of its region."""
    if plan.supplies:
        return dict(plan.supplies)
    ratings = [amps for amps in SUPPLIES[plan.region].ratings_a if amps <= 16.0]
    amps = Quantity(ratings[-1], ratings[-1], "A", f"{ratings[-1]:g} A")
    return {USUAL: Supply(current=amps)}


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
        faults=FAULTS,
        outlets={id: _named(side, id) for id in side.served(source or "")},
        missing=missing,
    )


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
    earthing = case.earthing if case.earthing in EARTHINGS else _own_earthing(own)
    polarity = case.polarity if case.polarity in POLARITIES else _own_polarity(own)
    case = replace(
        case,
        mode=mode,
        source=source,
        earthing=earthing if source else "",
        polarity=polarity if source else "",
        fault=case.fault if case.fault in FAULTS else "case",
    )
    offered = choices_of(side, case)
    return replace(
        case,
        polarity=case.polarity if case.polarity in offered.polarities else ("right" if source else ""),
        outlet=case.outlet if case.outlet in offered.outlets else _first_outlet(side, offered),
        missing=case.missing if case.missing in offered.missing else "",
    )


def _own_earthing(supply: Supply | None) -> str:
    """Return how a supply is earthed; where nobody knows, the one that drives less through a fault."""
    return supply.earthing if supply is not None and isinstance(supply.earthing, str) else "tt"


def _own_polarity(supply: Supply | None) -> str:
    return "reversed" if supply is not None and supply.polarity == "reversed" else "right"


def _first_outlet(side: Side, offered: Choices) -> str:
    sockets = (id for id in offered.outlets if side.wiring.parts[id].kind == "mains_socket")
    return next(sockets, next(iter(offered.outlets)))


def pitch_of_case(plan: Plan, case: Case) -> Pitch:
    """Return the supply of a case, standing as it is chosen.

    A loop or an electrode that the plan names holds for the earthing that it was named with only.
    """
    supply = supplies_of(plan)[case.source]
    own, is_reversed = supply.earthing, case.polarity == "reversed"
    if own == "tt" and case.earthing != "tt":
        supply = replace(supply, loop=UNKNOWN)
    pitch = pitch_like(plan, case.source, supply, case.earthing, reversed=is_reversed)
    if own == "tn" and case.earthing == "tt":
        cores = pitch_like(plan, case.source, supply, "tn")
        pitch = replace(
            pitch, live_ohm=cores.live_ohm, back_ohm=cores.back_ohm, electrode_ohm=USUAL_ELECTRODE_OHM
        )
    return pitch


def opened_before(case: Case, net: Net) -> frozenset[str]:
    """Return the links that are open before anything goes wrong."""
    lost = {"post_earth": "pitch.earth", "post_neutral": "pitch.back"}.get(case.missing)
    if lost is not None:
        return frozenset({lost})
    if case.missing == "bond":
        return frozenset(link.id for link in net.links if link.id.endswith(".bond"))
    return frozenset()


def _named(side: Side, id: str) -> str:
    part = side.wiring.parts.get(id)
    return f"{id}, {part.name}" if part is not None and part.name else id


def _rated(id: str, supply: Supply) -> str:
    amps = f"{supply.current.high:g} A" if isinstance(supply.current, Quantity) else "? A"
    return f"{id}, {amps}"


__all__ = [
    "EARTHINGS",
    "FAULTS",
    "HOOK_UP",
    "MISSING",
    "POLARITIES",
    "USUAL",
    "Case",
    "Choices",
    "choices_of",
    "modes_of",
    "opened_before",
    "pitch_of_case",
    "settled",
    "supplies_of",
]
