"""Each joint grown old, alone: what it costs, how hot it gets, which verdict breaks first, at how many ohms.

Every crimp, lug, stud, pin, switch contact and pair of fuse clips is put at what its kind resists after years
(`basis.aged`, else the planning band's worse end), all others as they are. Nothing is solved again: what
loads then get follows from the ohms that they see (`circuit.aging`). Batteries joined against each other
drive nothing through a joint here.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

import numpy as np

from loomwright.circuit.aging import Seen, own_ohm, seen_ohm
from loomwright.circuit.linear import Floats

from .breaks_network import BreaksNetwork
from .limits import limits_of
from .record import Assessment, CircuitFigure
from .worn import Joint, joints_of
from .worn_verdicts import Verdicts, part_of, seen_by, verdicts_of

#: A load that loses less by a worn joint is not told of. [V]
TOLD_V = 0.01
#: Zones in which joints age sooner: water, movement, heat. Common practice.
AGEING = ("wet", "outside", "underfloor", "moving", "engine_bay", "hot", "flue")
#: So many joints are to be checked first.
FIRST = 10
#: So many are named beside a joint.
NAMED = 4
#: Joints in which the volts are limited; fuses and switches have their own.
_LIMITED = ("crimp", "lug", "stud", "pin")


@dataclass(frozen=True, slots=True)
class Loses:
    """What a load gets while its joint is as it is, and with it worn. [V]"""

    load: str
    before_v: float
    then_v: float


@dataclass(frozen=True, slots=True)
class WeakJoint:
    """One joint, worn.

    Attributes
    ----------
    of, what, at, place : str
        Wire, stud or part it belongs to; crimp, lug, stud, pin, contact or fuse clips; the end it sits at and
        the place of that.
    fresh_ohm, worn_ohm : float
        As counted, and after years. [Ω]
    amps_a, volts_v, watts_w : float
        Lasting current, volts and heat in it, worn. [A, V, W]
    first, load : str
        The verdict that breaks first as it ages ("drop", "start_drop", "charging_drop", "cut_out", "joint"),
        "" if none ever does; at which load.
    breaks_at_ohm : float or None
        Its own ohms then; None if no verdict ever breaks. [Ω]
    suffers : tuple of Loses
        The loads that lose most by it, worn.
    zones : tuple of str
        What its place does to it that ages a joint sooner: wet, outside, moving ...
    """

    of: str
    what: str
    at: str
    place: str
    fresh_ohm: float
    worn_ohm: float
    amps_a: float
    volts_v: float
    watts_w: float
    first: str
    load: str
    breaks_at_ohm: float | None
    suffers: tuple[Loses, ...]
    zones: tuple[str, ...] = ()

    @property
    def wear(self) -> float:
        """Its worn ohms by those at which a verdict breaks; from 1 on it does within its years. [-]"""
        return self.worn_ohm / self.breaks_at_ohm if self.breaks_at_ohm else 0.0

    def as_dict(self) -> dict[str, object]:
        """Return the joint as it stands in JSON."""
        return asdict(self) | {"wear": self.wear}


def weak_joints(job: Assessment) -> tuple[WeakJoint, ...]:
    """Return every joint that carries current, the one to look at first first.

    Sorted by how far it comes, worn, on the way to the first verdict that breaks; those of which none breaks
    by their heat.

    Parameters
    ----------
    job : Assessment
        Of a van.
    """
    if job.breaks.worn is None:
        job.breaks.worn = _worked_out(job, None)
    return job.breaks.worn


def joints_at(job: Assessment, of: str) -> tuple[WeakJoint, ...]:
    """Return the joints of one wire, stud or part, sorted alike.

    Parameters
    ----------
    job : Assessment
        Of a van.
    of : str
        Its id.
    """
    if job.breaks.worn is None:
        return _worked_out(job, of)
    return tuple(one for one in job.breaks.worn if one.of == of)


def _worked_out(job: Assessment, only: str | None) -> tuple[WeakJoint, ...]:
    network = job.breaks.network
    tests = verdicts_of(job)
    through = part_of(network, tests.circuits)
    loads = [one for one in job.circuits.values() if one.path == "ordinary" and one.load_v is not None]
    seen, part = seen_by(network, loads), part_of(network, loads)
    found = []
    for joint in joints_of(job, network):
        if only is not None and joint.of != only:
            continue
        place = network.place(joint.branch)
        if place < 0 or not network.lasting_a.get(joint.branch, 0.0):
            continue
        around_s = float(network.net.around_s[place, place])
        first, ohm = _first(job, tests, through[place], joint, network, around_s)
        more = seen_ohm(np.array(joint.worn_ohm - joint.fresh_ohm), np.array(around_s)) * part[place] ** 2
        suffers = _suffers(loads, seen, more)
        amps = network.lasting_a[joint.branch] / (1.0 + (joint.worn_ohm - joint.fresh_ohm) * around_s)
        found.append(
            WeakJoint(
                of=joint.of,
                what=joint.what,
                at=joint.at,
                place=joint.place,
                fresh_ohm=joint.fresh_ohm,
                worn_ohm=joint.worn_ohm,
                amps_a=amps,
                volts_v=amps * joint.worn_ohm,
                watts_w=amps * amps * joint.worn_ohm,
                first=first[0],
                load=first[1],
                breaks_at_ohm=ohm,
                suffers=suffers,
                zones=_zones(job, joint.place),
            )
        )
    return tuple(sorted(found, key=lambda one: (-one.wear, -one.watts_w, one.of, one.at)))


def _zones(job: Assessment, place: str) -> tuple[str, ...]:
    """Return what a place does to the joints in it."""
    spot = job.plan.places.get(place)
    return tuple(zone for zone in spot.zones if zone in AGEING) if spot is not None else ()


def check_first(joints: tuple[WeakJoint, ...], most: int = FIRST) -> tuple[WeakJoint, ...]:
    """Return the joints to check first at service: of the joints alike of one wire or part the worst only.

    Parameters
    ----------
    joints : tuple of WeakJoint
        As `weak_joints` gives them.
    most : int
        No more than these.
    """
    found: dict[tuple[str, str], WeakJoint] = {}
    for one in joints:
        found.setdefault((one.of, one.what), one)
    return tuple(found.values())[:most]


def _first(
    job: Assessment, tests: Verdicts, through: Floats, joint: Joint, network: BreaksNetwork, around_s: float
) -> tuple[tuple[str, str], float | None]:
    """Return which verdict breaks first, at which load, and the joint's own ohms then."""
    ways = np.full_like(tests.left_ohm, around_s)
    part = through**2
    seen = np.divide(tests.left_ohm, part, out=np.full_like(ways, np.inf), where=part > 0.0)
    more = own_ohm(np.where(tests.left_ohm > 0.0, seen, np.inf), ways)  # what is broken already is a finding
    first, ohm = ("", ""), np.inf
    if more.size and np.isfinite(more).any():
        k = int(more.argmin())
        first, ohm = (tests.name[k], tests.circuits[k].load), joint.fresh_ohm + float(more[k])
    limit_v = limits_of(job.plan).joint.fault
    if joint.what in _LIMITED and limit_v is not None:
        volts_ohm = limit_v / network.lasting_a[joint.branch]
        if joint.fresh_ohm < volts_ohm < ohm:
            first, ohm = ("joint", ""), volts_ohm
    return first, ohm if np.isfinite(ohm) else None


def _suffers(loads: list[CircuitFigure], seen: Seen, more_ohm: Floats) -> tuple[Loses, ...]:
    then = seen.volts_with(more_ohm)
    now = seen.volts_with(np.zeros_like(more_ohm))
    lost = now - then
    order = [k for k in np.argsort(-lost, kind="stable").tolist() if lost[k] > TOLD_V]
    return tuple(Loses(loads[k].load, float(now[k]), float(then[k])) for k in order[:NAMED])


__all__ = ["Loses", "WeakJoint", "check_first", "joints_at", "weak_joints"]
