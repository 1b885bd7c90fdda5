"""What if: the year of a plan with other sizes, longer dull spells, a warmer fridge, under the same weather.

Sizes are tried as the edits that would write them into the plan: what is shown is what comes of those edits.
All parts of a sort change in proportion, and with them what a label states of the same sort: a battery's
charging current, a panel's currents, mass and price. Regulators, cables and fuses stay as they are.

The few years of a quick answer are the first of the hundred (common random numbers): what differs from the
plan's own figures is the doing of what was changed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.assessment.assess import assess
from loomwright.assessment.energy.habits import COOLING
from loomwright.assessment.energy.year import figures_of
from loomwright.assessment.energy.year_record import Year
from loomwright.assessment.energy.year_run import Supposed, YearRun
from loomwright.assessment.loads import count_of
from loomwright.assessment.record import Assessment
from loomwright.plan.edit import Edit
from loomwright.plan.edited import edited
from loomwright.plan.model import Part
from loomwright.plan.values import Curve, Quantity
from loomwright.tables.solar import SUNNY_V

from .choosing_parts import LEAST, MOST, Own, own_of

#: Steps of the sizes. [Wp, Ah, A]
STEPS = {"panel": 10.0, "battery": 5.0, "charger": 1.0}
#: Spells get no longer than by so many days, and fridges no warmer than by so many degrees. [days, °C]
MOST_DULL_DAYS, MOST_WARMER_C = 3, 3
#: What of a part grows in proportion with its size, and what falls.
_GROWS = {
    "panel": ("power", "working_current", "short_current", "mass", "price"),
    "battery": ("capacity", "charge_limit", "discharge_limit", "mass", "price"),
    "charger": ("current", "mass", "price"),
}
_SIZE = {"panel": "power", "battery": "capacity", "charger": "current"}


@dataclass(frozen=True, slots=True)
class Knob:
    """Something that may be supposed otherwise.

    Attributes
    ----------
    name : str
        panel, battery, charger, dull or warmer.
    says, unit : str
    now : float
        As the plan has it.
    least, most, step : float
        `now` is a whole number of steps from `least`.
    parts : tuple of str
        Those that change; empty for what is not in the plan.
    """

    name: str
    says: str
    unit: str
    now: float
    least: float
    most: float
    step: float
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tried:
    """What was supposed, and the year that comes of it.

    Attributes
    ----------
    changed : tuple of (Knob, float)
        What differs from the plan, with what it is supposed to be.
    edits : tuple of Edit
        Would write the sizes into the plan; empty if none differs.
    year : Year
        Without promises and habits.
    clipped_a : float
        The regulators that stay bring no more than this, and the panels could; 0: they hold nothing back. [A]
    """

    changed: tuple[tuple[Knob, float], ...]
    edits: tuple[Edit, ...]
    year: Year
    clipped_a: float = 0.0


class WhatIf:
    """The questions that may be put to one plan.

    Parameters
    ----------
    job : Assessment

    Raises
    ------
    NoYearError
        As `YearRun`.
    """

    def __init__(self, job: Assessment) -> None:
        self.job = job
        self.own = own_of(YearRun(job, 1))
        self.knobs = {knob.name: knob for knob in _knobs(job, self.own)}

    def suppose(self, values: dict[str, float], years: int, seed: int = 0) -> Tried:
        """Run the plan's years with other values of some knobs.

        Parameters
        ----------
        values : dict of str to float
            By the names of knobs; those left out stay as the plan has them.
        years, seed : int

        Raises
        ------
        ValueError
            There is no such knob, or the value is outside of it.
        PlanError
            The plan cannot be written so.
        """
        for name, value in values.items():
            knob = self.knobs.get(name)
            if knob is None or not knob.least <= value <= knob.most:
                asked = "there is no such question" if knob is None else f"{knob.least:g} to {knob.most:g}"
                raise ValueError(f"{name} {value:g}: {asked}")
        changed = tuple(
            (knob, values[name])
            for name, knob in self.knobs.items()
            if abs(values.get(name, knob.now) - knob.now) > knob.step / 2
        )
        edits = tuple(edit for knob, value in changed for edit in self._edits(knob, value))
        job = assess(edited(self.job.plan, edits)) if edits else self.job
        by_name = {knob.name: value for knob, value in changed}
        supposed = Supposed(round(by_name.get("dull", 0.0)), by_name.get("warmer", 0.0))
        run = YearRun(job, years, seed, supposed)
        clipped_a = self._clipped_a(by_name["panel"]) if "panel" in by_name else 0.0
        return Tried(changed, edits, figures_of(run, run.whole()), clipped_a)

    def _clipped_a(self, panel_wp: float) -> float:
        """Return what the plan's regulators bring at most, if the panels could bring more; else 0. [A]"""
        parts = [self.own.plan.parts[id] for id in self.own.regulators]
        known = [one.current.low * count_of(one) for one in parts if isinstance(one.current, Quantity)]
        most = sum(known) if known and len(known) == len(parts) else 0.0
        return most if panel_wp / (SUNNY_V["lead"] * self.own.in_12v) > most > 0.0 else 0.0

    def _edits(self, knob: Knob, value: float) -> Iterator[Edit]:
        """Give the edits that write a size into the plan: each part in proportion."""
        times = value / knob.now if knob.parts else 1.0
        for id in knob.parts:
            part = self.own.plan.parts[id]
            for field in _GROWS[knob.name]:
                amount = getattr(part, field)
                if isinstance(amount, Quantity):
                    unit = "Wp" if field == "power" else "" if field == "price" else amount.unit
                    digits = 2 if field == _SIZE[knob.name] else 1
                    text = f"{round(amount.mid * times, digits):g} {unit}".strip()
                    yield Edit(f"parts.{id}.{field}", text)
            if knob.name == "battery" and (ohm := _single(part)) is not None:
                yield Edit(f"parts.{id}.resistance", f"{1000.0 * ohm / times:.3g} mΩ")


def _single(part: Part) -> float | None:
    """Return the resistance of a part that states one alone. [Ω]"""
    only = part.resistance.only() if isinstance(part.resistance, Curve) else None
    return only.mid if isinstance(only, Quantity) else None


def _knobs(job: Assessment, own: Own) -> Iterator[Knob]:
    now = own.design
    sizes = (
        ("panel", "Panels", "Wp", now.panel_wp, own.panels),
        ("battery", "Battery", "Ah", now.capacity_ah, own.batteries),
        ("charger", "Engine charger", "A", now.charger_a, own.chargers),
    )
    for name, says, unit, size, ids in sizes:
        if size > 0.0 and ids and all(_is_known(own.plan.parts[id], name) for id in ids):
            step = STEPS[name]
            down = int(size * (1.0 - LEAST) / step) * step
            up = max(int(size * (MOST - 1.0) / step), 1) * step
            yield Knob(name, says, unit, size, size - down, size + up, step, ids)
    if own.panels and now.panel_wp > 0.0:
        yield Knob("dull", "Each dull spell longer by", "days", 0.0, 0.0, MOST_DULL_DAYS, 1.0)
    loads = {id for season in job.plan.use.values() for id in season.loads}
    if any(id in job.wiring.parts and job.wiring.parts[id].kind in COOLING for id in loads):
        yield Knob("warmer", "Fridge set warmer by", "°C", 0.0, 0.0, MOST_WARMER_C, 1.0)


def _is_known(part: Part, name: str) -> bool:
    return isinstance(getattr(part, _SIZE[name]), Quantity)


__all__ = ["Knob", "Tried", "WhatIf"]
