"""Another part or another basis: a larger contact, a table that holds the sizes in use."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from loomwright.assessment.derating import derated
from loomwright.plan.edit import Edit
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change
from .copper import one_size_up

#: Currents that switches, relays, plugs, bars and converters are made for. Common practice. [A]
MADE_FOR = (
    1,
    2,
    3,
    5,
    6,
    7.5,
    10,
    15,
    16,
    20,
    25,
    30,
    40,
    50,
    60,
    70,
    80,
    100,
    120,
    150,
    200,
    250,
    300,
    400,
)
#: The fields that say so, by what a part is.
_FIELDS = ("rating", "current", "discharge_limit")


def larger_part(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the part in the next makes that carry what flows through it."""
    part = base.assessment.plan.parts.get(finding.where)
    if part is None or finding.value is None or finding.limit is None:
        return
    fitting = [amps for amps in MADE_FOR if amps >= finding.value][:2]
    for field in _places(base, finding):
        for amps in fitting:
            says = f"{base.job.name(part.id)} made for {amps:g} A instead of {finding.limit:g} A"
            yield change(says, Edit(field, f"{amps:g} A"))


def larger_in_the_heat(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a converter or inverter in the next make whose rest in the heat is enough."""
    one = next((one for one in derated(base.assessment) if one.part == finding.where), None)
    if one is None or one.share <= 0.0:
        return
    needed = one.asked / one.share
    in_watts = one.unit == "W"
    made = [100.0 * ceil(needed / 100.0)] if in_watts else [amps for amps in MADE_FOR if amps >= needed][:2]
    for size in made:
        rated = f"{size:g} {one.unit}"
        says = f"{base.job.name(one.part)} made for {rated} instead of {one.rated:g} {one.unit}"
        yield change(says, Edit(f"parts.{one.part}.{'power' if in_watts else 'current'}", rated))


def _places(base: Base, finding: Finding) -> Iterator[str]:
    """Give the fields of a part that hold the figure which is too small."""
    at = f"parts.{finding.where}"
    for field in _FIELDS:
        if base.at(f"{at}.{field}") is not None:
            yield f"{at}.{field}"
    outputs = base.at(f"{at}.outputs")
    for name, output in outputs.items() if isinstance(outputs, dict) else ():
        if isinstance(output, dict) and output.get("rating") is not None:
            yield f"{at}.outputs.{name}.rating"
        elif isinstance(output, str):
            yield f"{at}.outputs.{name}"


def listed_size(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a size that the table holds; or the usual table, where the plan names one that nobody has."""
    if finding.where == "basis":
        says = "cables rated by the usual table of the region"
        yield change(says, Edit("basis.cable_rating", remove=True))
    elif not finding.unknown:
        yield from one_size_up(base, finding)


def joint_made_anew(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the joint that was measured poor as a sound one of its kind."""
    for at in (f"studs.{finding.where}", f"parts.{finding.where}"):
        if base.at(f"{at}.resistance") is not None:
            says = f"{finding.where} cleaned and made anew, as good as a usual one"
            yield change(says, Edit(f"{at}.resistance", remove=True))
    wire = base.assessment.wires.get(finding.where)
    if wire is not None and base.at(f"wiring.{wire.run}.joints") is not None:
        says = f"the joints of {wire.run} made anew, as good as usual ones"
        yield change(says, Edit(f"wiring.{wire.run}.joints", remove=True))
