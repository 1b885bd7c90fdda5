"""More charge while driving: a charger in place of a relay, a promise that holds; contacts that make more."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from loomwright.assessment.charging_taken import LinkCharge, charge_promises
from loomwright.plan.changes.ids import free_id
from loomwright.plan.edit import Edit
from loomwright.protection.fusing import FILL, standard_ratings
from loomwright.rules.finding import Finding
from loomwright.tables.alternators import MAKES_TIMES

from .candidate import Base, Candidate, change
from .copper import area_of, size_text
from .parts import MADE_FOR

_RELAYS = ("sensing_relay", "relay")
#: From a charger to the battery beside it. Common practice.
_SHORT = "0.5 m"


def charger_instead(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a charger between the batteries in the place of the relay between them."""
    for promise in charge_promises(base.assessment):
        if promise.id != finding.where:
            continue
        for charge in promise.by:
            part = base.assessment.plan.parts.get(charge.part)
            if part is not None and part.kind in _RELAYS:
                yield from _charger(base, charge, promise.asked_ah)


def _charger(base: Base, charge: LinkCharge, asked_a: float) -> Iterator[Candidate]:
    plan, run = base.assessment.plan, base.assessment.plan.wiring.get(charge.run)
    amps = next((made for made in MADE_FOR if made >= asked_a), None)
    fuse = next((one for one in standard_ratings("bolted") if amps is not None and amps <= FILL * one), None)
    if run is None or amps is None or fuse is None or len(run.to) != 1 or run.to[0].id != charge.house:
        return
    if {one.part for one in run.through} != {charge.part}:
        return
    id, out = free_id(plan, "parts", "charger"), free_id(plan, "wiring", f"{run.id}_out")
    place = plan.parts[charge.house].place
    part = {"kind": "b2b", "current": f"{amps:g} A", "start_on": "engine"} | (
        {"place": place} if place else {}
    )
    wire: dict[str, object] = {
        "from": id,
        "fuse": f"{fuse:g} A bolted at to",
        "to": f"{charge.house}.plus",
        "area": size_text(base, run.id, area_of(base, run.id)),
        "length": _SHORT,
    }
    at = f"wiring.{run.id}"
    if (back := base.at(f"{at}.return")) is not None:
        wire["return"] = back  # the battery keeps its earth, the charger gets one
    yield change(
        f"a charger of {amps:g} A between the batteries in place of {base.job.name(charge.part)}",
        Edit(f"parts.{id}", part),
        Edit(f"{at}.through", remove=True),
        Edit(f"{at}.to", id),
        Edit(f"wiring.{out}", wire),
        Edit(f"parts.{charge.part}", remove=True),
    )


def charge_that_comes(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the promise of as much as an hour's drive brings."""
    if (whole := floor(finding.value or 0.0)) > 0:
        says = f"{whole:g} Ah promised of an hour's drive instead of {finding.limit or 0.0:g} Ah"
        yield change(says, Edit(f"promises.{finding.where}.charges", f"{whole:g} Ah/h"))


def contact_that_makes(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the relay or switch in the next makes whose contacts make the first current."""
    at = f"parts.{finding.where}.rating"
    enough = [made for made in MADE_FOR if MAKES_TIMES * made >= (finding.value or 0.0)]
    if base.at(at) is not None:
        for amps in enough[:2]:
            says = f"{base.job.name(finding.where)} made for {amps:g} A"
            yield change(says, Edit(at, f"{amps:g} A"))


__all__ = ["charge_that_comes", "charger_instead", "contact_that_makes"]
