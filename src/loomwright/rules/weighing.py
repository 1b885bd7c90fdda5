"""Rules on what the van weighs with its electrics and what is carried."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.weights import Weight, Weights, weights_of
from loomwright.source import Source

from .finding import Finding
from .registry import Job, rule

PERMITTED = Source(
    work="common practice",
    place="no more than the permitted mass of the vehicle's papers",
    checked="common practice",
)


@rule(
    worst="fault",
    asks="Does the van stay within its permitted mass?",
    why="Too heavy, it brakes longer than it was tested for, may not be driven, and its insurer may not pay."
    " Judged where the plan has the ready and the permitted mass; a mass that it lacks counts with a band.",
    source=PERMITTED,
)
def too_heavy(job: Job) -> Iterator[Finding]:
    vehicle = job.assessment.plan.vehicle
    if not {"ready_mass", "permitted_mass"} <= vehicle.typed:
        return
    weights = weights_of(job.assessment)
    left = weights.left
    if left is None or weights.permitted_kg is None or left.low >= 0.0:
        return
    surely = left.high < 0.0
    over = -(left.high if surely else left.low)
    named = _heaviest(weights) if surely else _least_known(weights)
    ids = tuple(one.what for one in named if one.sort == "part")
    where = ids[0] if ids else "vehicle"
    names = ", ".join(one.what for one in named)
    least = "at least " if surely else ""
    masses = f"{weights.permitted_kg - left.high:,.0f} to {weights.permitted_kg - left.low:,.0f} kg"
    if round(left.high) == round(left.low):
        masses, least = f"{weights.permitted_kg - left.low:,.0f} kg", ""
    yield Finding(
        rule="too_heavy",
        severity="fault" if surely else "watch",
        where=where,
        also=ids[1:],
        place=job.place(where) if ids else "",
        says=f"the van weighs {masses} with its electrics and what is carried; permitted"
        f" {weights.permitted_kg:,.0f} kg; {least}{over:,.0f} kg too much{'' if surely else ' at the most'}",
        do=f"leave something at home or fit lighter things; the heaviest are {names}"
        if surely
        else f"weigh or look up {names}, and write mass into the part",
        value=weights.permitted_kg - (left.high if surely else left.low),
        limit=weights.permitted_kg,
        unit="kg",
        source=PERMITTED,
    )


#: So many things are named.
_NAMED = 3


def _heaviest(weights: Weights) -> list[Weight]:
    known = [one for one in weights.every if one.counted and one.kg is not None]
    return sorted(known, key=lambda one: -(one.kg.low if one.kg is not None else 0.0))[:_NAMED]


def _least_known(weights: Weights) -> list[Weight]:
    def width(one: Weight) -> float:
        return 0.0 if one.kg is None else one.kg.high - one.kg.low

    wide = [one for one in weights.every if one.counted and width(one) > 0.0]
    return sorted(wide, key=lambda one: -width(one))[:_NAMED]
