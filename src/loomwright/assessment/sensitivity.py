"""What a figure that is not known is worth: how much of a drop or dip goes when it stands at its good end.

For ohms this is a sum over the way: the resistances that hang on the field, at the bad end less at the good
one, each by how much of the current passes it; a current that follows the volts is worked out anew. Anything
else that is not known (a current, an efficiency) is turned in a whole assessment of its own.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from loomwright.steps import evaluate

from .assess import Corners
from .inputs import Corner, Inputs
from .network import END_JOINTS
from .record import Assessment, CircuitFigure, Dip, Ohm, Share
from .sources import inner_ohm, states_inner_ohm

#: What the resistance inside a battery is called among the shares of a dip.
INSIDE = "battery inside"


@dataclass(frozen=True, slots=True)
class Worth:
    """What one resistance of a field may save: which it is, its ohms at both ends, the volts. [Ω, V]"""

    field: str
    ohm: Ohm
    good_ohm: float
    volts: float


class Sensitivity:
    """Turns figures that are not known to their good end, one by one, all else staying at the bad one."""

    def __init__(self, corners: Corners) -> None:
        self.corners, self._whole = corners, dict[frozenset[str], Assessment]()

    def assessed(self, fields: Collection[str]) -> Assessment:
        """Return the van with some fields at their good end, all of it worked out anew."""
        key = frozenset(fields)
        if key not in self._whole:
            self._whole[key] = self.corners.at(Corner.BAD, turned=key).assessment
        return self._whole[key]

    @cached_property
    def _good_ohm(self) -> Mapping[tuple[str, str, str], float]:
        good = self.corners.good
        ohms = [share.ohm for circuit in good.circuits.values() for share in circuit.shares]
        return {_key(ohm): ohm.ohm for ohm in ohms}

    def _good(self, ohm: Ohm) -> float:
        """Return a resistance at the good end; as it is if it is not found there. [Ω]"""
        if ohm.what == INSIDE:
            wiring = self.corners.bad.wiring
            return inner_ohm(wiring, Inputs(wiring.plan, Corner.GOOD), ohm.owner)
        return self._good_ohm.get(_key(ohm), ohm.ohm)

    def worths(self, shares: Iterable[Share], amps: float) -> list[Worth]:
        """Return what each resistance that is not known may save of a drop at these amperes."""
        found = []
        for share in shares:
            if share.ohm.unknown:
                good = self._good(share.ohm)
                volts = (share.ohm.ohm - good) * share.part_of_current**2 * amps
                found.append(Worth(share.ohm.unknown, share.ohm, good, volts))
        return found

    def dip_worths(self, dip: Dip) -> list[Worth]:
        """Return what each resistance that is not known may save of a dip."""
        found, wiring = [], self.corners.bad.wiring
        for share in dip.shares:
            field = share.ohm.unknown
            if share.ohm.what == INSIDE and not states_inner_ohm(wiring, share.ohm.owner):
                field = f"parts.{share.ohm.owner}.resistance"
            if field:
                good = self._good(share.ohm)
                volts = (share.ohm.ohm - good) * share.felt * share.part_of_current * dip.start_a
                found.append(Worth(field, share.ohm, good, volts))
        return found


def by_field(worths: Iterable[Worth]) -> dict[str, float]:
    """Return what each field may save, most first. [V]"""
    saved: dict[str, float] = {}
    for one in worths:
        saved[one.field] = saved.get(one.field, 0.0) + one.volts
    return dict(sorted(saved.items(), key=lambda item: -item[1]))


def lighter(circuit: CircuitFigure, saved_v: float) -> CircuitFigure:
    """Return a circuit whose loop has so many ohms less as lose these volts at its running current. [V]"""
    amps, start = circuit.running_a or 0.0, circuit.start_a or 0.0
    saved_ohm = saved_v / amps if amps else 0.0
    by_symbol = {step.symbol: step for step in circuit.steps}
    saved = saved_v
    if "I" in by_symbol and circuit.drop_v is not None:  # its current follows its volts
        drawn = by_symbol["I"]
        given = [
            one._replace(value=one.value - saved_ohm) if one.name == "R_loop" else one for one in drawn.inputs
        ]
        loop = next(one.value for one in given if one.name == "R_loop")
        own = by_symbol["U"].inputs[-1].value
        saved = circuit.drop_v - own - loop * evaluate(replace(drawn, inputs=tuple(given)))

    def less(volts: float | None, by: float) -> float | None:
        return None if volts is None else volts - by

    drop, start_drop = less(circuit.drop_v, saved), less(circuit.start_drop_v, saved_ohm * start)
    return replace(
        circuit,
        drop_v=drop,
        drop_pct=None if drop is None else 100.0 * drop / circuit.system_v,
        start_drop_v=start_drop,
        start_drop_pct=None if start_drop is None else 100.0 * start_drop / circuit.system_v,
        load_v=less(circuit.load_v, -saved),
        start_load_v=less(circuit.start_load_v, -saved_ohm * start),
    )


def shallower(dip: Dip, saved_v: float) -> Dip:
    """Return a dip that is smaller by so many volts. [V]"""
    return replace(dip, dip_v=dip.dip_v - saved_v, while_v=dip.while_v + saved_v)


def joint_ohm(job: Assessment, where: str) -> Ohm:
    """Return one joint of a wire, the contact of a stud, or the worst pin of a plug."""
    stud = job.studs.get(where)
    if stud is not None and stud.ohm is not None:
        return stud.ohm
    if where in job.wires:
        both = next(one for one in job.wires[where].ohms if one.what in END_JOINTS)
        return replace(both, ohm=both.ohm / 2.0)
    pins = [one for one in job.passages if one.part == where and one.volts_v]
    worst = max(pins, key=lambda one: one.volts_v)
    return Ohm(where, "contact", worst.volts_v / worst.current_a, unknown=worst.unknown)


def _key(ohm: Ohm) -> tuple[str, str, str]:
    """Return what a resistance is known by at both ends; the length of copper may differ."""
    return ohm.owner, ohm.what.partition(" ")[0], ohm.unknown
