"""One case of the mains side: how the van is fed, what goes wrong, what is out of order before."""

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
from .pitch import EARTHINGS as STANDING
from .pitch import USUAL_ELECTRODE_OHM, Pitch, pitch_like
from .shared import PitchNets

#: The mode in which a pitch feeds; every other one bears the id of what makes mains.
HOOK_UP = "hook_up"
#: The pitch of a plan without supplies.
USUAL = "usual"
#: Named in words.
EARTHINGS: Mapping[str, str] = MappingProxyType({"tn": "TN", "tt": "TT, electrode", "none": "none"})
POLARITIES: Mapping[str, str] = MappingProxyType({"right": "right", "reversed": "reversed"})
#: What goes wrong, in words.
FAULTS: Mapping[str, str] = MappingProxyType(
    {
        "none": "nothing",
        "case": "line to a case",
        "chafed": "chafed cable, line to the body",
        "pipe": "chafed cable, line to a pipe or tap",
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


def supplies_of(plan: Plan) -> dict[str, Supply]:
    """Return the supplies of a plan; where it has none, the usual pitch of its region."""
    if plan.supplies:
        return dict(plan.supplies)
    ratings = [amps for amps in SUPPLIES[plan.region].ratings_a if amps <= 16.0]
    amps = Quantity(ratings[-1], ratings[-1], "A", f"{ratings[-1]:g} A")
    return {USUAL: Supply(current=amps)}


def own_earthing(supply: Supply) -> str:
    """Return how the plan says that a supply is earthed; "" where it leaves that open."""
    known = STANDING.get(str(supply.earthing), ())
    return known[0] if len(known) == 1 else ""


def pitch_of_case(plan: Plan, case: Case) -> Pitch:
    """Return the supply of a case, standing as it is chosen.

    A loop or an electrode that the plan names holds for the earthing that it was named with only.
    """
    supply = supplies_of(plan)[case.source]
    own, is_reversed = own_earthing(supply), case.polarity == "reversed"
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


__all__ = [
    "EARTHINGS",
    "FAULTS",
    "HOOK_UP",
    "MISSING",
    "POLARITIES",
    "USUAL",
    "Case",
    "Side",
    "opened_before",
    "own_earthing",
    "pitch_of_case",
    "supplies_of",
]
