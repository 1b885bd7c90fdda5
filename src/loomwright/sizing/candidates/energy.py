"""More days from full batteries: larger batteries, more sun, a promise that holds."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor, isfinite

from loomwright.assessment.energy.days import Day, day_promises, lasting_seasons
from loomwright.plan.edit import Edit
from loomwright.plan.values import Quantity
from loomwright.rules.energy import LEAST_DAYS
from loomwright.rules.finding import Finding
from loomwright.tables.battery_energy import MADE_AH

from .candidate import Base, Candidate, change

#: Panels come in such steps; a promise is rounded down to such parts of a day. [W, days]
_PANEL_W, _PART_OF_DAY = 10.0, 0.25
#: More than so many times what there is nobody would call a change of the same van.
_AT_MOST = 4.0


def _day(base: Base, finding: Finding) -> tuple[Day, float] | None:
    """Return the day a finding is about, and how many days are asked."""
    for one in day_promises(base.assessment):
        if finding.rule == "promised_days_missed" and one.id == finding.where:
            return one.day, one.asked
    for day in lasting_seasons(base.assessment):
        if finding.rule == "empty_within_a_day" and day.season == finding.where:
            return day, LEAST_DAYS
    return None


def larger_batteries(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give batteries of the same kind in the sizes that last so long; weight and price grow with them."""
    found = _day(base, finding)
    if found is None or not isfinite(found[0].days):
        return
    day, asked = found
    parts = base.assessment.plan.parts
    store = [id for id in day.level.level if id in parts and isinstance(parts[id].capacity, Quantity)]
    if len(store) < len(day.level.level):
        return
    more = asked / day.days
    others = [id for id in base.assessment.plan.parts if id not in store and parts[id].kind == "battery"]
    for spare in (1.0, 1.2):
        edits: list[Edit] = []
        sizes = []
        for id in [*store, *others]:  # batteries in series and side by side stay alike
            capacity = parts[id].capacity
            if not isinstance(capacity, Quantity):
                return
            size = next((made for made in MADE_AH if made >= more * spare * capacity.high), None)
            if size is None or size > _AT_MOST * capacity.high:
                return
            sizes.append(size)
            edits += _grown(base, id, size / capacity.high, size)
        names = " and ".join(base.job.name(id) for id in store)
        yield change(f"{names} of {sizes[0]:g} Ah{' each' if len(store) > 1 else ''}", *edits)


def _grown(base: Base, id: str, times: float, size_ah: float) -> Iterator[Edit]:
    """Give the edits of a battery that grows: its capacity, and what it weighs and costs in proportion."""
    part = base.assessment.plan.parts[id]
    yield Edit(f"parts.{id}.capacity", f"{size_ah:g} Ah")
    if isinstance(part.mass, Quantity):
        yield Edit(f"parts.{id}.mass", f"{times * part.mass.high:.3g} kg")
    if isinstance(part.price, Quantity):
        yield Edit(f"parts.{id}.price", f"{times * part.price.high:.0f}")


def more_sun(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give panels of as many watts as make up for what is missing, where the sun is counted on."""
    found = _day(base, finding)
    parts = base.assessment.plan.parts
    panels = [
        id for id, part in parts.items() if part.kind == "solar_panel" and isinstance(part.power, Quantity)
    ]
    if found is None or len(panels) != 1:
        return
    day, asked = found
    came, power = day.snow * (day.sun_ah or 0.0), parts[panels[0]].power
    if came <= 0.0 or not isinstance(power, Quantity) or not isfinite(day.days):
        return
    missing = day.net_ah - day.level.ah / asked
    watts = ceil(power.high * (1.0 + 1.1 * missing / came) / _PANEL_W) * _PANEL_W
    if watts <= _AT_MOST * power.high:
        says = f"{base.job.name(panels[0])} of {watts:g} W instead of {power.high:g} W"
        yield change(says, Edit(f"parts.{panels[0]}.power", f"{watts:g} W"))


def days_that_hold(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the promise of as many days as full batteries last."""
    days = floor((finding.value or 0.0) / _PART_OF_DAY) * _PART_OF_DAY
    if days > 0.0:
        says = f"{days:g} days promised instead of {finding.limit or 0.0:g}"
        yield change(says, Edit(f"promises.{finding.where}.days", f"{days:g}"))


__all__ = ["days_that_hold", "larger_batteries", "more_sun"]
