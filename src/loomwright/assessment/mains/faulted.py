"""Line to case at each socket and appliance, source by source: what flows, what opens, what a touch meets.

The current told is that of a tester: cold copper, nominal volts. What opens is judged with hot copper and,
where the region counts with it, with less than the nominal volts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.mains.clearing import CARRIES_A, Clearing, clear
from loomwright.mains.net import solve
from loomwright.mains.records import BODY, Fault, Net
from loomwright.mains.touch import touch
from loomwright.tables.iec_60364_4_41 import FINAL_S
from loomwright.tables.mains_clauses import clause

from .cases import COLD_C, HOT_C
from .pitch import Pitch
from .shared import PitchNets


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseFault:
    """A line that touches the case of what hangs at one point.

    Attributes
    ----------
    pitch : Pitch
        The supply, standing in one way.
    outlet : str
        The socket or thing.
    expected_a : float
        What a tester shows there: cold copper, nominal volts. [A]
    loop_ohm : float
        Its loop, cold. [Ω]
    least_a : float
        Hot copper, low volts. [A]
    touch_v : float
        Across a person between that case and the ground, before anything opens. [V]
    clearing : Clearing
        What opens, hot.
    allowed_s : float
        In so many seconds it has to be over. [s]
    """

    pitch: Pitch
    outlet: str
    expected_a: float
    loop_ohm: float
    least_a: float
    touch_v: float
    clearing: Clearing
    allowed_s: float

    @property
    def stays(self) -> bool:
        """True if the case stays live for longer than is allowed."""
        return self.clearing.dangerous_for.high > self.allowed_s


def live_core(pitch: Pitch) -> str:
    """Return the core that is live to the ground on a pitch."""
    return "neutral" if pitch.reversed and pitch.legs == 1 else "line"


def least_share(pitch: Pitch) -> float:
    """Return the share of the nominal volts that a region counts with for the smallest fault current."""
    return clause("c_min", pitch.region).limit or 1.0


def case_faults(nets: PitchNets, pitch: Pitch) -> Iterator[CaseFault]:
    """Give a fault to the case at each point that a pitch reaches and that has an earth.

    Parameters
    ----------
    nets : PitchNets
        Of the mains side behind an inlet.
    pitch : Pitch
        The supply.
    """
    cold = nets.of(pitch, COLD_C)
    hot = nets.of(pitch, HOT_C, least_share(pitch))
    known = set(cold.nodes)
    for outlet, point in nets.layout.outlets.items():
        if point in nets.reach.came and (point, "earth") in known:
            yield _case_fault(cold, hot, pitch, outlet, point)


def _case_fault(cold: Net, hot: Net, pitch: Pitch, outlet: str, point: str) -> CaseFault:
    case = (point, "earth")
    fault = Fault("case", (point, live_core(pitch)), case)
    flows = abs(solve(cold, fault).amps["case"])
    amps = flows if flows > CARRIES_A else 0.0
    cleared = clear(hot, fault, (case, BODY))
    return CaseFault(
        pitch=pitch,
        outlet=outlet,
        expected_a=amps,
        loop_ohm=pitch.volts / amps if amps > CARRIES_A else float("inf"),
        least_a=cleared.amps_at_start,
        touch_v=touch(cold, case, fault=fault).volts,
        clearing=cleared,
        allowed_s=FINAL_S["TT" if pitch.earthing == "tt" else "TN"],
    )


__all__ = ["CaseFault", "case_faults", "least_share", "live_core"]
