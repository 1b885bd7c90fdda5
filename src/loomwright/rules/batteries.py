"""Rules on batteries: gas, heat, what may stand in parallel and how it shares, lithium on a bare link."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.banks import banks_under_load
from loomwright.assessment.housing import air_of, among_people, spot_of, warmest_c
from loomwright.assessment.inputs import TYPED
from loomwright.assessment.joined import banks
from loomwright.plan.model import Part
from loomwright.plan.values import Quantity
from loomwright.protection.gassing import GASSING_SOURCE, opening_cm2
from loomwright.source import Source
from loomwright.tables.limits import Limit

from .finding import Finding, Severity
from .registry import Job, rule

WET = ("flooded", "efb")
#: Regions whose rules ask for a way to the outside for every lead battery, sealed ones too.
_SEALED_TOO = ("au", "nz")
AS_NZS_VENT = Source(
    work="AS/NZS 3001.2:2022", place="section 5.4, lead-acid batteries", checked="one source"
)
CHARGE_HEAT = Source(
    work="common practice",
    place="lithium cells are charged from 0 to 45 °C",
    checked="published, second hand",
)
#: The warmest at which cells are charged where the plan does not say. [°C]
WARMEST_CHARGE_C = 45.0
ALIKE = Source(
    work="common practice",
    place="batteries in parallel are of one kind, size and age",
    checked="common practice",
)
#: Capacities in parallel may differ so much, and ages. Common practice.
CAPACITY_APART = 1.10
AGE_APART_S = 365.25 * 86400.0
BARE_LINK = Source(
    work="common practice",
    place="lithium behind a plain relay takes all that an alternator gives; how much, is disputed",
    checked="published, second hand",
)


def _batteries(job: Job, kinds: tuple[str, ...] = ("battery",)) -> Iterator[tuple[str, Part]]:
    for part_id, part in job.assessment.wiring.parts.items():
        if part.kind in kinds:
            yield part_id, part


@rule(
    worst="fault",
    asks="Does the gas of each lead battery find its way outside?",
    why="Under charge lead batteries give off hydrogen, which burns from 4 % in air on; wet ones give most.",
    source=GASSING_SOURCE,
)
def lead_battery_unvented(job: Job) -> Iterator[Finding]:
    strict = job.assessment.plan.region in _SEALED_TOO
    for part_id, part in _batteries(job, ("battery", "vehicle_battery")):
        air = air_of(job.assessment.wiring, part_id)
        if air is None or part.vent in ("box", "hose") or not among_people(job.assessment.wiring, part_id):
            continue
        shut, wet = part.vent == "none", part.chemistry in WET
        if not shut and (not wet or part.kind == "vehicle_battery"):
            continue  # sealed ones give little, and a vehicle's own has its maker's hose: only what is said
        severity: Severity = "fault" if shut and (wet or strict) else "watch"
        openings = f"{air:.2f} m³/h of air, openings of {opening_cm2(air):.1f} cm² low and as much high"
        yield Finding(
            rule="lead_battery_unvented",
            severity=severity,
            where=part_id,
            place=job.place(part_id),
            says=f"{job.name(part_id)} ({part.chemistry}) gives off gas where people are"
            f"{'' if shut else ', and nobody says how it gets outside'}: it needs {openings}",
            do="lead a hose from its vent to the outside, or set it in a box that is vented outside"
            if shut
            else f"look how it is vented and write box, hose or none at parts.{part_id}.vent",
            source=AS_NZS_VENT if shut and strict and not wet else GASSING_SOURCE,
        )


@rule(
    worst="fault",
    asks="Does each lithium battery stay cool enough to be charged?",
    why="Lithium cells age fast in heat; their management stops the charge, or lets them swell.",
    source=CHARGE_HEAT,
)
def lithium_too_hot(job: Job) -> Iterator[Finding]:
    for part_id, part in _batteries(job):
        place = spot_of(job.assessment.wiring, part_id)
        warm = warmest_c(place) if place is not None and part.chemistry == "lifepo4" else None
        typed = part.charge_temperature
        most = typed.high if isinstance(typed, Quantity) else WARMEST_CHARGE_C
        limit = Limit(fault=most, unit="°C", source=TYPED if isinstance(typed, Quantity) else CHARGE_HEAT)
        if warm is not None and limit.level(warm) is not None:
            yield Finding(
                rule="lithium_too_hot",
                severity="fault",
                where=part_id,
                place=job.place(part_id),
                value=warm,
                limit=most,
                unit="°C",
                says=f"{job.name(part_id)} sits where it gets {warm:g} °C, and is charged up to {most:g} °C",
                do="set it where it stays cooler, away from engine, exhaust and roof",
                source=limit.source,
            )


@rule(
    worst="fault",
    asks="Are the batteries of each bank alike?",
    why="Unlike batteries charge each other for ever: one is overcharged, the other never full.",
    source=ALIKE,
)
def batteries_unlike(job: Job) -> Iterator[Finding]:
    wiring = job.assessment.wiring
    for bank in banks(wiring, job.assessment.standing.closed):
        parts = [wiring.parts[part_id] for part_id in bank]
        severity, what = _unlike(parts)
        if severity is not None:
            yield Finding(
                rule="batteries_unlike",
                severity=severity,
                where=bank[0],
                also=bank[1:],
                place=job.place(*bank),
                says=f"{' and '.join(bank)} stand in parallel and differ in {what}",
                do="use batteries of one kind, size and age, or keep them apart with a charger between them",
                source=ALIKE,
            )


def _unlike(parts: list[Part]) -> tuple[Severity | None, str]:
    """Return how bad it is that these stand in parallel, and in what they differ."""
    known = [str(part.chemistry) for part in parts if isinstance(part.chemistry, str)]
    families = {"flooded" if chemistry in WET else chemistry for chemistry in known}
    if len(families) > 1:
        return "fault", f"chemistry ({', '.join(dict.fromkeys(known))})"
    capacities = [one.mid for part in parts if isinstance(one := part.capacity, Quantity)]
    if len(capacities) > 1 and max(capacities) > CAPACITY_APART * min(capacities):
        return "watch", f"capacity ({', '.join(f'{one:g} Ah' for one in capacities)})"
    ages = [one.mid for part in parts if isinstance(one := part.age, Quantity)]
    if len(ages) > 1 and max(ages) - min(ages) > AGE_APART_S:
        return "watch", f"age ({', '.join(f'{one / AGE_APART_S:.2g} years' for one in ages)})"
    return None, ""


@rule(
    worst="watch",
    asks="Do batteries in parallel share the current?",
    why="The battery next to the main leads works hardest, ages first and takes the others with it.",
)
def batteries_share_unequally(job: Job) -> Iterator[Finding]:
    limit, wiring = job.limits.share_over_fair, job.assessment.wiring
    for bank in banks(wiring, job.assessment.standing.closed):
        drawn = {part_id: max(job.assessment.drawn_a.get(part_id, 0.0), 0.0) for part_id in bank}
        fair, whole = _fair_shares(job, bank), sum(drawn.values())
        if whole <= 0.0 or any(wiring.parts[part_id].kind != "battery" for part_id in bank):
            continue
        most = max(bank, key=lambda part_id: drawn[part_id] / fair[part_id])
        share = drawn[most] / whole
        severity: Severity | None = limit.level(share / fair[most])
        if severity is not None:
            yield Finding(
                rule="batteries_share_unequally",
                severity=severity,
                where=most,
                also=tuple(part_id for part_id in bank if part_id != most),
                place=job.place(*bank),
                value=100.0 * share,
                limit=100.0 * fair[most] * (limit.watch or 1.0),
                unit="%",
                says=f"{job.name(most)} gives {100 * share:.1f} % of the current of its bank, its fair "
                f"share is {100 * fair[most]:.1f} %",
                do="take the main plus lead from one end of the bank and the main minus from the other; make "
                "all links alike in size and length",
                source=limit.source,
                unknown=_unknown_resistance(job, bank),
            )
    for part_id, part in _batteries(job):
        if part.joined == "same_end" and isinstance(part.count, int) and part.count > 1:
            yield Finding(
                rule="batteries_share_unequally",
                severity="watch",
                where=part_id,
                place=job.place(part_id),
                says=f"both main leads of {job.name(part_id)} are on one battery: it works hardest",
                do="take the main plus lead from one end of the bank and the main minus from the other",
                source=limit.source,
            )


def _fair_shares(job: Job, bank: tuple[str, ...]) -> dict[str, float]:
    """Return the fair share of each battery of a bank: by capacity where all are known, else alike."""
    capacities = [job.assessment.wiring.parts[part_id].capacity for part_id in bank]
    sizes = [one.mid for one in capacities if isinstance(one, Quantity)]
    if len(sizes) < len(bank) or min(sizes) <= 0.0:
        sizes = [1.0] * len(bank)
    return {part_id: size / sum(sizes) for part_id, size in zip(bank, sizes, strict=True)}


def _unknown_resistance(job: Job, bank: tuple[str, ...]) -> tuple[str, ...]:
    parts = job.assessment.wiring.parts
    return tuple(f"parts.{part_id}.resistance" for part_id in bank if parts[part_id].resistance is None)


@rule(
    worst="fault",
    asks="Does each battery stay below the current it may give?",
    why="Above its limit a battery's own management opens and everything is dark; a lead one ages fast.",
)
def battery_overloaded(job: Job) -> Iterator[Finding]:
    limit = job.limits.load_over_rating
    rows = (one for one in banks_under_load(job.assessment) if len(one.cascade.opens) > 1)
    in_turn = {id for one in rows for id in one.batteries}  # another rule tells what they do together
    for part_id, part in _batteries(job):
        amps = job.assessment.drawn_a.get(part_id, 0.0)
        typed = part.discharge_limit
        if part_id in in_turn or not isinstance(typed, Quantity) or typed.low <= 0.0:
            continue
        alike = part.count if isinstance(part.count, int) and part.joined != "series" else 1
        most = alike * typed.low
        severity: Severity | None = limit.level(amps / most)
        if severity is not None:
            yield Finding(
                rule="battery_overloaded",
                severity=severity,
                where=part_id,
                place=job.place(part_id),
                value=amps,
                limit=most,
                unit="A",
                says=f"{job.name(part_id)} gives {amps:.3g} A with everything on, it may give {most:g} A",
                do="run less at once, use a larger battery, or share the current over more of the same",
                source=TYPED,
            )


@rule(
    worst="watch",
    asks="Does something limit what lithium takes from the alternator?",
    why="A lithium battery resists so little that it asks an alternator for all it has, and it overheats.",
    source=BARE_LINK,
)
def lithium_on_bare_link(job: Job) -> Iterator[Finding]:
    parts = job.assessment.wiring.parts
    for circuit in job.assessment.circuits.values():
        house, vehicle = parts.get(circuit.load), parts.get(circuit.feeder)
        if circuit.path != "charging" or house is None or vehicle is None:
            continue
        if vehicle.kind == "vehicle_battery" and house.kind == "battery" and house.chemistry == "lifepo4":
            yield Finding(
                rule="lithium_on_bare_link",
                severity="watch",
                where=circuit.wire,
                also=(circuit.load, circuit.feeder),
                place=job.place(circuit.wire, circuit.load),
                says=f"{job.name(circuit.load)} is lithium and hangs on the alternator with nothing between "
                "that limits the current",
                do="put a charger between the two batteries, or measure what flows against what the "
                "alternator gives when hot",
                source=BARE_LINK,
            )
