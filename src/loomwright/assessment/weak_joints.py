"""Each joint grown old, alone: what it costs, how hot it gets, which verdict breaks first, at how many ohms.

Every crimp, lug, stud, pin, switch contact and pair of fuse clips is put at what its kind resists after years
(`basis.aged`, else the planning band's worse end), all others as they are. Nothing is solved again: what
loads then get follows from the ohms that they see (`circuit.aging`). Batteries joined against each other
drive nothing through a joint here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass

import numpy as np

from loomwright.circuit.aging import Seen, own_ohm, seen_ohm
from loomwright.circuit.linear import Floats
from loomwright.plan.values import Quantity
from loomwright.tables.limits import Limit

from .breaks_network import BreaksNetwork
from .limits import limits_of
from .record import Assessment, CircuitFigure
from .worn import Joint, joints_of

#: A load that loses less by a worn joint is not told of. [V]
TOLD_V = 0.01
#: Less of a load's current than this is what sums leave. [-]
LEAST_PART = 1e-6
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


@dataclass(frozen=True, slots=True)
class _Tests:
    """Verdicts that may break: n of them, each at a load, with the ohms left until then."""

    name: tuple[str, ...]
    load: tuple[str, ...]
    part: Floats  #: (places, n) part of the load's current that comes through a place
    left_ohm: Floats  #: (n,) [Ω]


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
    tests = _tests(job, network)
    loads = [one for one in job.circuits.values() if one.path == "ordinary" and one.load_v is not None]
    seen, part = _seen(network, loads), _part(network, loads)
    found = []
    for joint in joints_of(job, network):
        if only is not None and joint.of != only:
            continue
        place = network.place(joint.branch)
        if place < 0 or not network.lasting_a.get(joint.branch, 0.0):
            continue
        around_s = float(network.net.around_s[place, place])
        first, ohm = _first(job, tests, joint, network, place, around_s)
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
    job: Assessment, tests: _Tests, joint: Joint, network: BreaksNetwork, place: int, around_s: float
) -> tuple[tuple[str, str], float | None]:
    """Return which verdict breaks first, at which load, and the joint's own ohms then."""
    ways = np.full_like(tests.left_ohm, around_s)
    part = tests.part[place] ** 2
    seen = np.divide(tests.left_ohm, part, out=np.full_like(ways, np.inf), where=part > 0.0)
    more = own_ohm(np.where(tests.left_ohm > 0.0, seen, np.inf), ways)  # what is broken already is a finding
    first, ohm = ("", ""), np.inf
    if more.size and np.isfinite(more).any():
        k = int(more.argmin())
        first, ohm = (tests.name[k], tests.load[k]), joint.fresh_ohm + float(more[k])
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


# --- what the loads see ------------------------------------------------------------------------------------


def _seen(network: BreaksNetwork, circuits: list[CircuitFigure], *, starting: bool = False) -> Seen:
    """Return the loads of circuits as they see their network, running or starting."""
    rows = [_row(network, one, starting) for one in circuits]
    columns = np.array(rows, dtype=float).reshape(len(rows), 5).T
    return Seen(*columns)


def _row(network: BreaksNetwork, circuit: CircuitFigure, starting: bool) -> tuple[float, ...]:
    """Return volts and ohms that a load sees, and what it takes: amps, watts, siemens."""
    load_v, lost_v = circuit.load_v or 0.0, circuit.drop_v or 0.0
    port = network.load(circuit.load)
    if starting:
        amps = circuit.start_a or 0.0
        ohm = (circuit.start_drop_v or 0.0) / amps if amps else 0.0
        watts = port.start_w if port is not None else 0.0
        return load_v + lost_v, ohm, 0.0 if watts else amps, watts, 0.0
    ohm = lost_v / circuit.running_a if circuit.running_a else 0.0
    if port is None or circuit.load not in network.column:
        return load_v + lost_v, ohm, circuit.running_a or 0.0, 0.0, 0.0
    return load_v + lost_v, ohm, port.amps, port.watts, port.siemens


def _part(network: BreaksNetwork, circuits: list[CircuitFigure]) -> Floats:
    """Return what part of each circuit's current comes through each place, shape (places, n)."""
    found = np.zeros((len(network.net.bridge), len(circuits)))
    share = np.abs(network.net.share)
    for n, circuit in enumerate(circuits):
        columns = list(network.columns_of(circuit.load, circuit.feeder, circuit.path))
        if columns:
            found[:, n] = share[:, columns].max(axis=1)
    return np.where(found > LEAST_PART, found, 0.0)


def _tests(job: Assessment, network: BreaksNetwork) -> _Tests:
    """Return the verdicts of all circuits that a joint may break, with the ohms left until then."""
    limits, rows = limits_of(job.plan), list[tuple[str, CircuitFigure, float, bool]]()
    for circuit in job.circuits.values():
        if circuit.path == "signal" or circuit.drop_v is None or not circuit.running_a:
            continue
        if circuit.path == "charging":
            rows += _limited("charging_drop", circuit, limits.charging_drop, False)
            continue
        rows += _limited("drop", circuit, limits.drop, False)
        if circuit.start_drop_v is not None and circuit.start_a:
            rows += _limited("start_drop", circuit, limits.start_drop, True)
        part = job.wiring.parts.get(circuit.load)
        cut_out = part.cut_out.volts if part is not None and part.cut_out is not None else None
        if isinstance(cut_out, Quantity):
            rows.append(("cut_out", circuit, cut_out.high, False))
            if circuit.start_drop_v is not None and circuit.start_a:
                rows.append(("cut_out", circuit, cut_out.high, True))
    left = np.zeros(len(rows))
    for starting in (False, True):
        at = [k for k, row in enumerate(rows) if row[3] is starting]
        seen = _seen(network, [rows[k][1] for k in at], starting=starting)
        left[at] = seen.ohm_until(np.array([rows[k][2] for k in at], dtype=float))
    circuits = [row[1] for row in rows]
    return _Tests(
        tuple(row[0] for row in rows),
        tuple(one.load for one in circuits),
        _part(network, circuits),
        left,
    )


def _limited(
    name: str, circuit: CircuitFigure, limit: Limit, starting: bool
) -> Iterator[tuple[str, CircuitFigure, float, bool]]:
    """Give a verdict on a drop, by the volts at which it is a fault."""
    most = limit.as_pct(circuit.system_v).fault
    if most is not None:
        posts_v = (circuit.load_v or 0.0) + (circuit.drop_v or 0.0)
        yield name, circuit, posts_v - most / 100.0 * circuit.system_v, starting


__all__ = ["Loses", "WeakJoint", "check_first", "joints_at", "weak_joints"]
