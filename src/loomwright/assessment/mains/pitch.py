"""What a pitch gives at its post: volts, earth, resistances, and the ends of what nobody knows about it.

The loop impedance at the post is shared by halves: line and transformer on one side, the way back on the
other, so that it is the same to neutral and to earth. A pitch with its own electrode (TT) has all of its loop
in the electrode unless the plan names both. Nobody's figures count with the bad end.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.mains.records import Residual
from loomwright.plan.model import Part, Plan, Supply
from loomwright.plan.values import Quantity, Rcd
from loomwright.source import Source
from loomwright.tables.mains_supplies import SUPPLIES

#: Loop impedance at a post that nobody has measured. [Ω]
USUAL_LOOP_OHM = 0.8
LOOP_SOURCE = Source(
    work="common practice",
    place="largest loop impedance that network operators state for a separate earth: 0.8 Ω",
    checked="from memory",
)
#: Electrode of a pitch that nobody has measured: above this it may not be stable. [Ω]
USUAL_ELECTRODE_OHM = 200.0
ELECTRODE_SOURCE = Source(
    work="IEC 60364-4-41", place="note to the table of electrodes and RCDs", checked="published, second hand"
)
#: How each word of the plan may stand; what it leaves open stands both ways.
EARTHINGS = {"tn": ("tn",), "tn_c_s": ("tn",), "tt": ("tt",), "none": ("none",)}
#: What is left in line and neutral of a pitch whose electrode is all of its loop. [Ω]
LEAST_OHM = 0.01
#: A supply lead that the plan does not have. [m, mm²]
USUAL_LEAD = (25.0, 2.5)
LEAD_SOURCE = Source(
    work="IEC 60364-7-721 and national practice",
    place="connecting lead of 25 m, 2.5 mm² at 16 A",
    checked="published, second hand",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitch:
    """One way a supply may stand.

    Attributes
    ----------
    id : str
        Of the supply in the plan.
    region : str
        Where the post stands.
    volts, legs : float, int
        Between line and neutral; 2 where two lines come in. [V]
    rated_a : float
        Of its breaker. [A]
    earthing : str
        tn, tt or none.
    reversed : bool
        Line and neutral are crossed.
    live_ohm, back_ohm : float
        Of the line, and of each way back: neutral, earth of a tn supply. [Ω]
    electrode_ohm : float
        Of a tt supply. [Ω]
    residual : Residual or None
        In the post.
    lead_m, lead_mm2 : float
        The connecting lead. [m, mm²]
    floats : bool
        A generator without earth: neither of its poles is tied to the ground.
    open_core : str
        A core that is broken at the post: "earth", "neutral"; "" for none.
    """

    id: str
    region: str
    volts: float
    legs: int
    rated_a: float
    earthing: str
    reversed: bool
    live_ohm: float
    back_ohm: float
    electrode_ohm: float
    residual: Residual | None
    lead_m: float
    lead_mm2: float
    floats: bool = False
    open_core: str = ""


def pitches_of(plan: Plan) -> Iterator[Pitch]:
    """Give each supply of a plan, in both kinds of earthing where the plan leaves that open.

    Nobody knows which pole is live on the next pitch: what opens one pole only is found by itself.
    """
    for id, supply in plan.supplies.items():
        for earthing in EARTHINGS.get(str(supply.earthing), ("tn", "tt")):
            yield pitch_of(plan, id, earthing, reversed=supply.polarity == "reversed")


def pitch_of(plan: Plan, id: str, earthing: str, *, reversed: bool = False, open_core: str = "") -> Pitch:
    """Return a supply of a plan, standing in one way.

    Parameters
    ----------
    plan : Plan
        It has the supply, the lead and the region.
    id : str
        One of its supplies.
    earthing : str
        tn, tt or none.
    reversed : bool
        Line and neutral crossed.
    open_core : str
        A core broken at the post.
    """
    return pitch_like(plan, id, plan.supplies[id], earthing, reversed=reversed, open_core=open_core)


def pitch_like(
    plan: Plan, id: str, supply: Supply, earthing: str, *, reversed: bool = False, open_core: str = ""
) -> Pitch:
    """Return a supply that need not be in the plan, standing in one way.

    Parameters
    ----------
    plan : Plan
        It has the lead and the region.
    id : str
        What the supply is called.
    supply : Supply
        What the post gives.
    earthing, reversed, open_core
        As for `pitch_of`.
    """
    rated = supply.current.high if isinstance(supply.current, Quantity) else 0.0
    there = SUPPLIES[supply.region or plan.region]
    live, back, electrode = _ohms(supply, earthing)
    lead_m, lead_mm2 = lead_of(plan)
    return Pitch(
        id=id,
        region=there.region,
        volts=there.volts,
        legs=there.legs if rated >= (there.two_legs_from_a or math.inf) else 1,
        rated_a=rated,
        earthing=earthing,
        reversed=reversed,
        live_ohm=live,
        back_ohm=back,
        electrode_ohm=electrode,
        residual=_residual(supply),
        lead_m=lead_m,
        lead_mm2=lead_mm2,
        floats=supply.outlet == "generator" and earthing == "none",
        open_core=open_core,
    )


def _ohms(supply: Supply, earthing: str) -> tuple[float, float, float]:
    """Return the ohms of the line, of each way back, and of the electrode."""
    loop = supply.loop.high if isinstance(supply.loop, Quantity) else None
    if earthing != "tt":
        half = max((USUAL_LOOP_OHM if loop is None else loop) / 2.0, LEAST_OHM)
        return half, half, 0.0
    typed = supply.electrode.high if isinstance(supply.electrode, Quantity) else None
    if typed is None:
        return LEAST_OHM, LEAST_OHM, USUAL_ELECTRODE_OHM if loop is None else loop
    rest = max((loop or 0.0) - typed, 0.0)
    return max(rest, LEAST_OHM), max(rest, LEAST_OHM), typed


def _residual(supply: Supply) -> Residual | None:
    """Return the RCD of a post; one that nobody knows of is not counted on."""
    if not isinstance(supply.rcd, Rcd) or not isinstance(supply.rcd.trips, Quantity):
        return None
    return Residual(supply.rcd.trips.high)


def lead_of(plan: Plan) -> tuple[float, float]:
    """Return length and area of the connecting lead, the usual where the plan has none. [m, mm²]"""
    part = next((one for one in plan.parts.values() if one.kind == "hook_up_lead"), None)
    length, area = (_high(part, name) for name in ("length", "area"))
    return length or USUAL_LEAD[0], area or USUAL_LEAD[1]


def _high(part: Part | None, name: str) -> float | None:
    amount = getattr(part, name, None)
    return amount.high if isinstance(amount, Quantity) else None


__all__ = ["Pitch", "lead_of", "pitch_like", "pitch_of", "pitches_of"]
