"""What of a van may be chosen anew, which sizes are tried, and the plan with other sizes in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from loomwright.assessment.banks_states import chemistry_of
from loomwright.assessment.energy.year_run import YearRun
from loomwright.assessment.loads import count_of
from loomwright.assessment.sources import UNSAID_CAPACITY_AH, battery_class
from loomwright.plan.model import Part, Plan
from loomwright.plan.model.parts import CutOff
from loomwright.plan.values import Quantity
from loomwright.tables.charge_profiles import PROFILES
from loomwright.tables.purchase import AH_TRIED, AMPS_TRIED, WP_PER_M2, WP_TRIED

CHEMISTRIES = ("flooded", "agm", "lifepo4")
#: Sizes from this to that many times the plan's own are tried, none that is nearer to it than a share.
LEAST, MOST, NEAR = 0.5, 2.2, 0.12
#: The watts that panels are tried to where the plan has few or none. [Wp]
WP_AT_LEAST = 180.0
#: A van without a panel is tried with this one. [Wp]
_UNIT_WP = 100.0
_PANEL, _REGULATOR = "a panel to be", "a regulator to be"


@dataclass(frozen=True, slots=True, order=True)
class Design:
    """What is chosen: chemistry and size of the battery, panels, charging from the engine.

    Attributes
    ----------
    chemistry : str
    capacity_ah : float
        Of one level of the bank. [Ah]
    panel_wp : float
        [Wp]
    charger_a : float
        Of all chargers from the vehicle's battery; 0: the plan has none. [A]
    """

    chemistry: str
    capacity_ah: float
    panel_wp: float
    charger_a: float


@dataclass(frozen=True, slots=True)
class Own:
    """The parts of a plan that are chosen anew.

    Attributes
    ----------
    plan : Plan
        With a panel put in where it has none.
    design : Design
        What it has.
    batteries, panels, regulators, chargers : tuple of str
        The parts; empty where they are not to be changed.
    level : tuple of str
        The batteries of the level that is empty first.
    in_12v : float
        The bank is so many times 12 V.
    without : tuple of str
        What is not chosen anew, and why.
    """

    plan: Plan
    design: Design
    batteries: tuple[str, ...]
    panels: tuple[str, ...]
    regulators: tuple[str, ...]
    chargers: tuple[str, ...]
    level: tuple[str, ...]
    in_12v: float
    without: tuple[str, ...]


def own_of(run: YearRun) -> Own:
    """Return what of a van may be chosen anew.

    Parameters
    ----------
    run : YearRun
        Its years of weather.
    """
    plan, energy, store, job = run.job.plan, run.energy, run.store, run.job
    without: list[str] = []
    batteries = store.batteries
    if not set(batteries) <= set(plan.parts):
        batteries = ()
        without.append("The battery stands inside a unit and stays as it is.")
    arrays = [one for one in energy.arrays if one.store == store.id]
    panels = tuple(id for one in arrays for id in one.panels)
    regulators = tuple(dict.fromkeys(one.regulator for one in arrays if one.regulator in plan.parts))
    watts = 0.0
    if not arrays:
        plan = _with_panel(plan)
        without.append(
            "The plan has no panel for this battery: level ones with an MPPT regulator were tried."
        )
        panels, regulators = (_PANEL,), (_REGULATOR,)
    elif all(isinstance(job.wiring.parts[id].power, Quantity) for id in panels) and set(panels) <= set(
        plan.parts
    ):
        watts = sum(_amount(job.wiring.parts[id].power) * count_of(job.wiring.parts[id]) for id in panels)
    else:
        panels = ()
        without.append("The watts of a panel are not known, or it is inside a unit: panels stay as they are.")
    chargers = tuple(
        one.part for one in energy.brings if one.store == store.id and _is_charger(plan, one.part)
    )
    amps = sum(_amount(plan.parts[id].current) * count_of(plan.parts[id]) for id in chargers)
    if not chargers:
        without.append("No charger from the vehicle's battery has a known current: none was tried.")
    chemistry = chemistry_of(job.wiring.parts[run.level[0]])
    in_12v = sum(battery_class(job.wiring, level[0]) for level in store.levels) / 12.0
    design = Design(chemistry, run.tank.capacity_ah, watts, amps)
    return Own(plan, design, batteries, panels, regulators, chargers, run.level, in_12v, tuple(without))


def _is_charger(plan: Plan, id: str) -> bool:
    part = plan.parts.get(id)
    return part is not None and part.kind == "b2b" and _amount(part.current) > 0.0


def _amount(value: object) -> float:
    return value.low if isinstance(value, Quantity) else 0.0


def most_wp(own: Own, roof_m2: float | None) -> float:
    """Return up to which watts panels are tried. [Wp]"""
    if roof_m2 is not None:
        return WP_PER_M2 * roof_m2
    return MOST * max(own.design.panel_wp, WP_AT_LEAST)


def grid(own: Own, roof_m2: float | None) -> Iterator[Design]:
    """Give all designs that are tried, the plan's own first."""
    now = own.design
    yield now
    chemistries = (now.chemistry, *CHEMISTRIES) if own.batteries else (now.chemistry,)
    sizes = _around(now.capacity_ah, AH_TRIED, 5) if own.batteries else (now.capacity_ah,)
    most = most_wp(own, roof_m2)
    watts = [now.panel_wp]
    if own.panels:
        watts += [0.0] if now.panel_wp else []
        watts += _thinned(
            [w for w in WP_TRIED if w <= most and abs(w - now.panel_wp) > NEAR * now.panel_wp], 4
        )
    amps = _around(now.charger_a, AMPS_TRIED, 3) if own.chargers else (now.charger_a,)
    seen = {now}
    for chemistry in dict.fromkeys(chemistries):
        for ah in sizes:
            for wp in watts:
                for a in amps:
                    design = Design(chemistry, ah, wp, a)
                    if design not in seen:
                        seen.add(design)
                        yield design


def _around(own: float, tried: Iterable[float], count: int) -> tuple[float, ...]:
    """Return sizes about the plan's own, and that one first."""
    some = [x for x in tried if LEAST * own <= x <= MOST * own and abs(x - own) > NEAR * own]
    return (own, *_thinned(some, count - 1))


def _thinned(some: list[float], count: int) -> list[float]:
    """Return no more than so many of them, spread evenly, both ends among them."""
    if len(some) <= count:
        return some
    return [some[round(k * (len(some) - 1) / (count - 1))] for k in range(count)]


# The plan with other sizes


def _with_panel(plan: Plan) -> Plan:
    panel = Part(id=_PANEL, kind="solar_panel", power=Quantity(_UNIT_WP, _UNIT_WP, "W", "100 W"), wired=False)
    regulator = Part(id=_REGULATOR, kind="solar_regulator", regulation="mppt", wired=False)
    return replace(plan, parts={**plan.parts, _PANEL: panel, _REGULATOR: regulator})


def panel_times(own: Own, watts: float) -> float:
    """Return how many times the sun of the plan's panels these bring."""
    return watts / (own.design.panel_wp or _UNIT_WP) if own.panels else 1.0


def with_design(own: Own, design: Design) -> Plan:
    """Return the plan with the battery and charger of a design; panels only scale what they bring."""
    parts = dict(own.plan.parts)
    now = own.design
    if (design.chemistry, design.capacity_ah) != (now.chemistry, now.capacity_ah):
        times = design.capacity_ah / now.capacity_ah
        for id in own.batteries:
            parts[id] = _other_battery(parts[id], design.chemistry, times, now.chemistry)
    if design.charger_a != now.charger_a:
        for id in own.chargers:
            current = parts[id].current
            assert isinstance(current, Quantity), "only chargers of a known current are changed"
            parts[id] = replace(parts[id], current=_times(current, design.charger_a / now.charger_a))
    return replace(own.plan, parts=parts)


def _other_battery(part: Part, chemistry: str, times: float, before: str) -> Part:
    """Return a battery of another size or chemistry; what the plan says of the old chemistry goes with it."""
    size, blank = part.capacity, Part(id=part.id, kind=part.kind)
    if not isinstance(size, Quantity):
        size = Quantity(UNSAID_CAPACITY_AH, UNSAID_CAPACITY_AH, "Ah", f"{UNSAID_CAPACITY_AH:g} Ah")
    part = replace(
        part, capacity=_times(size, times), mass=blank.mass, price=blank.price, resistance=None, age=blank.age
    )
    if chemistry == before:
        charge, discharge = part.charge_limit, part.discharge_limit
        return replace(
            part,
            charge_limit=_times(charge, times) if isinstance(charge, Quantity) else charge,
            discharge_limit=_times(discharge, times) if isinstance(discharge, Quantity) else discharge,
        )
    least = PROFILES[chemistry].least_c
    cold = CutOff(charge_below=Quantity(least, least, "°C", f"{least:g} °C"))
    return replace(
        part,
        chemistry=chemistry,
        cut_off=cold if chemistry == "lifepo4" else None,
        capacity_at=None,
        usable=None,
        open_circuit=None,
        peukert=None,
        charge_limit=None,
        discharge_limit=None,
        charge_temperature=None,
        charge_efficiency=None,
        self_discharge=None,
    )


def _times(value: Quantity, times: float) -> Quantity:
    return Quantity(value.low * times, value.high * times, value.unit, f"{value.mid * times:g} {value.unit}")


__all__ = ["CHEMISTRIES", "Design", "Own", "grid", "most_wp", "own_of", "panel_times", "with_design"]
