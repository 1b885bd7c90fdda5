"""Choosing battery, panels and charger: many designs of a van under the same years of weather.

Each chemistry, battery size and charger is worked out as a plan of its own, so that charging currents, usable
shares, cold and efficiency follow as they do in `year`; panels scale what the plan's bring. Then all designs
run hour by hour side by side (`energy.sweep`). What is left out is in `docs/methods/choosing.md`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from loomwright.assessment.energy.year_run import Progress, YearRun
from loomwright.assessment.record import Assessment
from loomwright.assessment.weights import weights_of
from loomwright.tables.purchase import WP_PER_M2, money

from .choosing_goods import Bill, Goods
from .choosing_parts import Design, Own, grid, most_wp, own_of
from .choosing_picks import Outcome, Pick, front_of, picks_of
from .choosing_trials import Trials

#: Letters of the picks, in their order.
LETTERS = "ABC"
#: What the next step of each is: panels, battery, charger. [Wp, Ah, A]
NEXT_WP, NEXT_AH, NEXT_A = 50.0, 50.0, 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What designs have to keep to; None: no limit.

    Attributes
    ----------
    budget : float or None
        For battery, panels, regulator and charger, in the plan's money.
    payload_kg : float or None
        So much may be added to what the plan weighs; below 0: so much has to go. [kg]
    roof_m2 : float or None
        Room for panels. [m²]

    Raises
    ------
    ValueError
        A limit below 0, or no number.
    """

    budget: float | None = None
    payload_kg: float | None = None
    roof_m2: float | None = None

    def __post_init__(self) -> None:
        for name, least in (("budget", 0.0), ("payload_kg", -1e9), ("roof_m2", 0.0)):
            value = getattr(self, name)
            if value is not None and not least <= value < math.inf:
                raise ValueError(f"{name} is {value:g}; a limit is 0 or more, such as 400")


@dataclass(frozen=True, slots=True)
class Next:
    """One step away from the plan, and what comes of it: "The next 50 Wp"."""

    says: str
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Choice:
    """What may be taken, and what comes of it.

    Attributes
    ----------
    own : Own
    now : Outcome
        The plan as it stands.
    outcomes : tuple of Outcome
        All that were run and keep to the limits, and the plan as it stands, first.
    front : tuple of Outcome
    picks : tuple of Pick
    steps : tuple of Next
    over : tuple of str
        The limits that the plan itself does not keep.
    left_out : Mapping of str to int
        How many designs each limit kept out.
    most_wp : float
        Panels were tried up to this. [Wp]
    limits : Limits
    currency : str
        Three letters; "" where no prices are held.
    nights : float
        So many flat nights a year are put up with.
    years, seed : int
    taken_from : str
        Whence the weather comes.
    """

    own: Own
    now: Outcome
    outcomes: tuple[Outcome, ...]
    front: tuple[Outcome, ...]
    picks: tuple[Pick, ...]
    steps: tuple[Next, ...]
    over: tuple[str, ...]
    left_out: Mapping[str, int]
    most_wp: float
    limits: Limits
    currency: str
    nights: float
    years: int
    seed: int
    taken_from: str

    def cost(self, one: Outcome) -> float:
        """Return what a design costs: money, or its weight where no prices are held."""
        return one.price if self.currency and one.price is not None else one.kg

    @property
    def letters(self) -> dict[Design, str]:
        """The picks by their letters."""
        return {pick.outcome.design: letter for letter, pick in zip(LETTERS, self.picks, strict=False)}


def choose(
    job: Assessment,
    limits: Limits | None = None,
    nights: float = 1.0,
    years: int = 100,
    seed: int = 0,
    progress: Progress | None = None,
    cancel: Callable[[], bool] | None = None,
    executor: Executor | None = None,
) -> Choice:
    """Run designs around a plan's own through the same years of weather.

    Parameters
    ----------
    job : Assessment
    limits : Limits or None
        The payload that the plan leaves counts where none is given.
    nights : float
        So many flat nights a year are put up with.
    years, seed : int
    progress : callable or None
        Told how many designs of how many are done.
    cancel : callable or None
        Asked before each lot of designs; True stops.
    executor : Executor or None
        Runs the lots; the answer is the same whatever it is.

    Returns
    -------
    Choice

    Raises
    ------
    NoYearError
        As `YearRun`.
    StoppedError
        `cancel` said so.
    """
    run = YearRun(job, years, seed)
    own = own_of(run)
    currency = money(job.plan.currency, job.plan.region)
    goods = Goods(own, currency)
    asked = _limits(job, limits or Limits())
    bills = {design: goods.bill(design) for design in grid(own, asked.roof_m2)}
    broken = {design: _broken(asked, bill, bills[own.design], design) for design, bill in bills.items()}
    within = [design for design in bills if not broken[design] or design == own.design]
    steps = dict(_steps(own, asked))
    wanted = list(dict.fromkeys([*within, *steps.values()]))
    said, stops = progress or (lambda done, of: None), cancel or (lambda: False)
    found = Trials(run, own, goods).run(wanted, said, stops, executor)

    def outcome(design: Design) -> Outcome:
        bill, flat = goods.bill(design), found[design]
        return Outcome(design, float(flat.mean()), 100.0 * float((flat > 0).mean()), bill.kg, bill.price)

    now, outcomes = outcome(own.design), tuple(outcome(design) for design in within)
    eligible = [one for one in outcomes if not broken[one.design]]
    front = front_of(eligible)
    priced = currency or "" if all(one.price is not None for one in outcomes) else ""
    return Choice(
        own=own,
        now=now,
        outcomes=outcomes,
        front=front,
        picks=picks_of(front, now, nights, priced),
        steps=tuple(Next(says, outcome(design)) for says, design in steps.items()),
        over=broken[own.design],
        left_out={
            name: sum(name in one for one in broken.values()) for name in ("budget", "payload", "roof")
        },
        most_wp=most_wp(own, asked.roof_m2),
        limits=asked,
        currency=priced,
        nights=nights,
        years=years,
        seed=seed,
        taken_from=run.weather.taken_from,
    )


def _limits(job: Assessment, asked: Limits) -> Limits:
    """Return the limits, with the payload that the plan leaves where none is given."""
    if asked.payload_kg is not None:
        return asked
    left = weights_of(job).left
    return Limits(budget=asked.budget, payload_kg=None if left is None else left.low, roof_m2=asked.roof_m2)


def _broken(limits: Limits, bill: Bill, now: Bill, design: Design) -> tuple[str, ...]:
    """Return the limits that a design does not keep."""
    over = {
        "budget": limits.budget is not None and bill.price is not None and bill.price > limits.budget,
        "payload": limits.payload_kg is not None and bill.kg - now.kg > limits.payload_kg + 1e-9,
        "roof": limits.roof_m2 is not None and design.panel_wp > WP_PER_M2 * limits.roof_m2,
    }
    return tuple(name for name, is_over in over.items() if is_over)


def _steps(own: Own, limits: Limits) -> Iterator[tuple[str, Design]]:
    """Give one step from the plan to each side, with its name."""
    now = own.design
    if own.panels and (limits.roof_m2 is None or now.panel_wp + NEXT_WP <= WP_PER_M2 * limits.roof_m2):
        yield f"The next {NEXT_WP:g} Wp", replace(now, panel_wp=now.panel_wp + NEXT_WP)
    if own.batteries:
        yield f"The next {NEXT_AH:g} Ah", replace(now, capacity_ah=now.capacity_ah + NEXT_AH)
        if now.chemistry != "lifepo4":
            yield f"{now.capacity_ah:g} Ah of LiFePO4", replace(now, chemistry="lifepo4")
    if own.chargers:
        yield f"A charger larger by {NEXT_A:g} A", replace(now, charger_a=now.charger_a + NEXT_A)


__all__ = ["LETTERS", "Choice", "Limits", "Next", "choose"]
