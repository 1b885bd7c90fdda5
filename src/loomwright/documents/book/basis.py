"""What a plan was counted with: tables and limits, figures that it does not know, what the program chose."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from loomwright.assessment.limits import limits_of
from loomwright.assessment.record import Assessment, Ohm
from loomwright.assessment.sizes import conductor_table, rating_table
from loomwright.diagrams.fuse_label import fuse_boxes, loose_fuses
from loomwright.documents.report import is_listed
from loomwright.plan.model import Plan
from loomwright.plan.values import Quantity
from loomwright.rules.check import Checked

from .citing import Citing

#: So many ids are named in one line, the rest is counted.
NAMED = 6
PLAN, DEFAULT, CHOSEN = "the plan", "default", "by region"
_TABLES = {
    "vde_0298_4": "DIN VDE 0298-4",
    "iso_10133": "ISO 10133",
    "abyc_e11": "ABYC E-11",
    "bs_7671": "BS 7671",
    "maker": "the cable maker's figures",
    "iec_60228_class_5": "IEC 60228, class 5, flexible",
    "iec_60228_class_2": "IEC 60228, class 2, stranded",
    "awg": "AWG",
    "workshop": "the workshop's limits",
    "en_1648_2": "EN 1648-2",
}


@dataclass(frozen=True, slots=True)
class Counted:
    """One line of what was counted with, and where that comes from."""

    what: str
    value: str
    whence: str


@dataclass(frozen=True, slots=True)
class Guess:
    """A field that the plan does not know: the figure counted with, and where it took part."""

    field: str
    counted: str
    part_in: str


def counted_with(plan: Plan) -> tuple[Counted, ...]:
    """Return the tables, limits and surroundings that a plan was counted with."""
    return tuple(_counted(plan))


def _counted(plan: Plan) -> Iterator[Counted]:
    basis = plan.basis

    def whence(field: str, otherwise: str = DEFAULT) -> str:
        return PLAN if field in basis.typed else otherwise

    yield Counted("Region, nominal voltage", f"{plan.region.upper()}, {_typed(plan.system)}", PLAN)
    yield Counted("Current a cable may carry", _named(rating_table(plan)), whence("cable_rating", CHOSEN))
    yield Counted("Resistance of copper", _named(conductor_table(plan)), whence("conductors", CHOSEN))
    yield Counted("Insulation, if nothing else is said", basis.insulation, whence("insulation"))
    yield Counted("Air, if nothing else is said", _typed(basis.temperature), whence("temperature"))
    yield Counted("Loaded cores together", str(_typed(basis.bundle)), whence("bundle"))
    copper = "as warm as the current makes it" if basis.copper is None else _typed(basis.copper)
    yield Counted("Copper, for drops", copper, whence("copper"))
    yield Counted("Limits", _named(basis.limit_set), whence("limit_set"))
    for field in sorted(basis.limits.typed if basis.limits else ()):
        yield Counted(f"Limit changed: {field.replace('_', ' ')}", "see the reasons", PLAN)
    for word, contacts in (("fresh", basis.contacts), ("aged", basis.aged)):
        typed = sorted((contacts.typed - {"note"}) if contacts else ())
        values = ", ".join(f"{name} {_typed(getattr(contacts, name))}" for name in typed)
        if values or word == "fresh":
            yield Counted(f"Contacts, {word}", values or "see the sources", PLAN if values else DEFAULT)
    yield Counted("Cold resistance of fuses", "as typed" if basis.fuses else "by type", whence("fuses"))


def _typed(value: object) -> str:
    if isinstance(value, Quantity):
        return value.typed
    return str(value) if isinstance(value, int | str) else "not known"


def _named(key: str) -> str:
    return _TABLES.get(key, key.replace("_", " "))


def guesses(checked: Checked) -> tuple[Guess, ...]:
    """Return the fields that were counted with at their worse end because the plan does not know them."""
    job = checked.assessment
    where: dict[str, dict[str, None]] = {}
    for id, names in _unknown(checked):
        for name in names:
            where.setdefault(name, {})[id] = None
    counted = {ohm.unknown: f"{1e3 * ohm.ohm:.3g} mΩ" for ohm in _ohms(job) if ohm.unknown}
    return tuple(Guess(name, counted.get(name, ""), _some(ids)) for name, ids in where.items())


def _unknown(checked: Checked) -> Iterator[tuple[str, tuple[str, ...]]]:
    job = checked.assessment
    for finding in checked.findings:
        yield finding.where, finding.unknown
    for wire in job.wires.values():
        yield wire.id, wire.unknown
    for circuit in job.circuits.values():
        yield circuit.id, circuit.unknown


def _ohms(job: Assessment) -> Iterator[Ohm]:
    for wire in job.wires.values():
        yield from wire.ohms
    for circuit in job.circuits.values():
        yield from (share.ohm for share in circuit.shares)
    yield from (stud.ohm for stud in job.studs.values() if stud.ohm is not None)


def choices(job: Assessment) -> tuple[Counted, ...]:
    """Return what the program chose or worked out where the plan leaves it open; tables mark it by a star."""
    listed = [wire for wire in job.wires.values() if is_listed(wire)]
    fuses = [*(row for box in fuse_boxes(job) for row in box.rows), *loose_fuses(job)]
    found = {
        "Sizes of wires": [
            f"{wire.id} {wire.gauge or f'{wire.area_mm2:g} mm²'}"
            for wire in listed
            if "area" in wire.chosen and wire.area_mm2 is not None
        ],
        "Lengths of wires": [
            f"{wire.id} {wire.length_m:.1f} m"
            for wire in listed
            if "length" in wire.chosen and wire.length_m is not None
        ],
        "Fuses": [f"{row.at} {row.rating.rstrip('*')}" for row in fuses if row.rating.endswith("*")],
    }
    return tuple(Counted(what, ", ".join(values), "") for what, values in found.items() if values)


def cite_all(checked: Checked, citing: Citing) -> None:
    """Number every source behind the figures and limits of a plan, those not cited by a table included."""
    job = checked.assessment
    for wire in job.wires.values():
        for step in wire.rating_steps:
            if step.source is not None:
                citing.number(step.source)
    for ohm in _ohms(job):
        if ohm.source is not None:
            citing.number(ohm.source)
    limits = limits_of(job.plan)
    for name in ("drop", "charging_drop", "start_drop", "dip", "fuse_over_cable", "load_over_fuse"):
        citing.number(getattr(limits, name).source)


def _some(ids: Iterable[str]) -> str:
    listed = list(ids)
    more = f" and {len(listed) - NAMED} more" if len(listed) > NAMED else ""
    return ", ".join(listed[:NAMED]) + more
