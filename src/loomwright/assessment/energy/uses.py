"""What a day of a season takes out of the house batteries, load by load, in ampere-hours at their posts.

A load behind a converter or inverter takes its watt-hours and what those lose; one that is tapped from the
middle of batteries in series takes from those below alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.kinds import is_consumer
from loomwright.plan.model import Part, Season
from loomwright.plan.values import Curve, Quantity, Running, Start, Use
from loomwright.source import Source
from loomwright.steps import Given, Step
from loomwright.tables.appliances import (
    APPLIANCE_SOURCE,
    USUAL_CHARGER_EFFICIENCY,
    USUAL_INVERTER_EFFICIENCY,
    USUAL_INVERTER_IDLE_A,
    USUAL_RUNNING_A,
)
from loomwright.tables.lookup import between
from loomwright.tables.thermostats import DUTY_BY_C, DUTY_SOURCE

from ..banks_states import points_of
from ..inputs import TYPED
from ..loads import count_of, voltage_class
from ..record import Assessment
from ..sources import converter_volts
from ..tapped import Tap, taps
from .air import inside_c
from .clock import span_h
from .stores import Store, stores_of

_INVERTERS = ("inverter", "inverter_charger")
_S_PER_H = 3600.0


@dataclass(frozen=True, slots=True)
class Take:
    """What one load takes in a day.

    Attributes
    ----------
    load : str
        The part.
    store : str
        The tank it is fed from; "" if none of the house feeds it.
    level : tuple of str
        The batteries that give it; all of the tank's levels if empty.
    through : str
        The converter or inverter between, else "".
    ah : float
        At the posts of its batteries. [Ah]
    hours : float
        How long it is on. [h]
    steps : tuple of Step
    unknown : tuple of str
        Fields of the plan that were guessed at.
    """

    load: str
    store: str
    level: tuple[str, ...]
    through: str
    ah: float
    hours: float
    steps: tuple[Step, ...]
    unknown: tuple[str, ...]


class Uses:
    """The days of a van's seasons.

    Parameters
    ----------
    job : Assessment
    """

    def __init__(self, job: Assessment) -> None:
        self.job, self.inputs = job, job.under_load.inputs
        self.stores = stores_of(job)
        self._taps: dict[str, Tap] = {tap.load: tap for tap in taps(job)}

    def of_day(self, season_id: str, month: str) -> tuple[Take, ...]:
        """Return what each load of a season takes in a day of a month; with a stated total, that alone."""
        season, store = self.job.plan.use[season_id], self.stores[0] if self.stores else None
        if isinstance(season.total, Quantity) and store is not None:
            ah = self.inputs.end(season.total, f"use.{season_id}.total")
            step = Step("Q", "table", (Given("table", ah, "Ah"),), ah, "Ah", TYPED, "as the plan states it")
            return (Take("", store.id, (), "", ah, 24.0, (step,), ()),)
        found = []
        for load, use in season.loads.items():
            part = self.job.wiring.parts.get(load)
            if part is not None:
                found += list(self._takes(season_id, season, month, load, part, use))
        return tuple(found)

    def _takes(
        self, season_id: str, season: Season, month: str, load: str, part: Part, use: Use
    ) -> Iterator[Take]:
        store, level, through = self._fed_by(load, part)
        way, unsure = self._to_posts(part, store, level, through)
        field, name = f"use.{season_id}.loads.{load}", part.name or load

        def take(
            hours: float, factors: list[Given], amount: Given, source: Source, says: str, *unknown: str
        ) -> Take:
            """Return factors × amount, brought to the posts."""
            names, value = [one.name for one in (*factors, amount)], amount.value * way.ah_per(amount.unit)
            for one in factors:
                value *= one.value
            given = (*factors, amount, *way.given(amount.unit))
            step = Step("Q", " * ".join(names) + way.per(amount.unit), given, value, "Ah", source, says)
            tank = store.id if store is not None else ""
            return Take(load, tank, level, through, value, hours, (step,), (*unsure, *unknown))

        if use.energy is not None:
            yield take(24.0, [], Given("W_h", self.inputs.end(use.energy, field), "Wh"), TYPED, name)
            return
        hours, guess = self._hours(use, field)
        amount, unit, source, more = self._amount(load, part, use)
        factors = [Given("t", hours, "h")]
        if (duty := self._duty(part, use, season, month)) is not None:
            factors.append(Given("d", duty.value, ""))
            source = duty.source or source
        symbol = "I" if unit == "A" else "P"
        yield take(hours, factors, Given(symbol, amount, unit), source, name, *guess, *more)
        if (start := self._starts(part, use)) is not None:
            count, drawn, each_h = start
            factors = [Given("n", count, ""), Given("t_s", each_h, "h")]
            yield take(count * each_h, factors, drawn, TYPED, f"{name}: its starts")

    # Where it comes from

    def _fed_by(self, load: str, part: Part) -> tuple[Store | None, tuple[str, ...], str]:
        """Return the tank a load takes from, the level that gives alone, and what stands between."""
        main = self.stores[0] if self.stores else None
        if part.kind == "appliance":
            inverter = self._inverter()
            store = self._store_of(inverter) if inverter else None
            return store, (), inverter
        figure = self.job.loads.get(load)
        if figure is None or figure.feeder not in self.job.wiring.parts:  # or by a signal such as D+
            low = voltage_class(part, self.job.plan)[0]
            through = self._converter(low) if main is not None and low < 0.75 * main.volts else ""
            return main, (), through
        feeder, through = figure.feeder, ""
        if self.job.wiring.parts[feeder].kind == "converter":
            through, feeder = feeder, self._feeder_of(feeder)
        tap = self._taps.get(load)
        return self._store_of(feeder), tap.below if tap is not None and not through else (), through

    def _store_of(self, id: str) -> Store | None:
        """Return the tank that a battery belongs to, or that feeds a part: the first, if it has no wires."""
        part = self.job.wiring.parts[id]
        if part.kind not in ("battery", "vehicle_battery"):
            id = self._feeder_of(id) or (self.stores[0].id if self.stores else "")
        return next((store for store in self.stores if id in store.batteries), None)

    def _feeder_of(self, id: str) -> str:
        figure = self.job.loads.get(id)
        return figure.feeder if figure is not None else ""

    def _inverter(self) -> str:
        return next((id for id, part in self.job.wiring.parts.items() if part.kind in _INVERTERS), "")

    def _converter(self, low_v: float) -> str:
        parts = self.job.wiring.parts
        made = (id for id, part in parts.items() if part.kind == "converter")
        return next((id for id in made if abs(converter_volts(self.job.wiring, id) - low_v) < 3.0), "")

    def _to_posts(
        self, part: Part, store: Store | None, level: tuple[str, ...], through: str
    ) -> tuple[_ToPosts, tuple[str, ...]]:
        """Return how what a load takes becomes ampere-hours at the posts of its batteries."""
        posts_v = store.volts if store is not None else voltage_class(part, self.job.plan)[0]
        if level and store is not None:
            posts_v = store.volts * _share_of(store, level)
        if not through:
            low, high = voltage_class(part, self.job.plan)
            shared = high < 0.75 * posts_v  # an equaliser shares it out
            return _ToPosts(posts_v, None, low if shared else None), ()
        device = self.job.wiring.parts[through]
        usual = USUAL_INVERTER_EFFICIENCY if device.kind in _INVERTERS else USUAL_CHARGER_EFFICIENCY
        share = self.inputs.pick(
            device.efficiency, usual, f"parts.{through}.efficiency", APPLIANCE_SOURCE, worse="low"
        )
        load_v = converter_volts(self.job.wiring, through) if device.kind == "converter" else None
        return _ToPosts(posts_v, share.value, load_v), (share.unknown,) if share.unknown else ()

    # How much and how long

    def _hours(self, use: Use, field: str) -> tuple[float, tuple[str, ...]]:
        if isinstance(use.hours, Quantity):
            return self.inputs.end(use.hours, field), ()
        if use.span is not None:
            return span_h(use.span), ()
        return 0.0, (field,)

    def _amount(self, load: str, part: Part, use: Use) -> tuple[float, str, Source, tuple[str, ...]]:
        """Return what a load takes while it is on: current or power. [A or W]"""
        if use.at is not None and use.at.unit in ("A", "W"):
            return self.inputs.end(use.at, f"parts.{load}.running"), use.at.unit, TYPED, ()
        if part.kind in _INVERTERS or (not is_consumer(part.kind) and isinstance(part.idle, Quantity)):
            idle = self.inputs.pick(part.idle, USUAL_INVERTER_IDLE_A, f"parts.{load}.idle", APPLIANCE_SOURCE)
            return idle.value, "A", idle.source, (idle.unknown,) if idle.unknown else ()
        running = part.average if isinstance(part.average, Running) else part.running
        low_v = voltage_class(part, self.job.plan)[0]
        if isinstance(running, Running) and isinstance(running.amount, Quantity):
            count = 1 if running.together else count_of(part)
            if running.amount.unit == "Ω":
                ohm = self.inputs.end(running.amount, f"parts.{load}.running", worse="low")
                return count * low_v**2 / ohm, "W", TYPED, ()
            value = self.inputs.end(running.amount, f"parts.{load}.running")
            return count * value, running.amount.unit, TYPED, ()
        if isinstance(part.power, Quantity):
            return self.inputs.end(part.power, f"parts.{load}.power") * count_of(part), "W", TYPED, ()
        if isinstance(part.per_metre, Quantity) and isinstance(part.length, Quantity):
            metre_w = self.inputs.end(part.per_metre, f"parts.{load}.per_metre")
            metres = self.inputs.end(part.length, f"parts.{load}.length")
            return metre_w * metres * count_of(part), "W", TYPED, ()
        low, high = USUAL_RUNNING_A.get(part.kind, USUAL_RUNNING_A["load"])
        scale = 12.0 / max(low_v, 1.0) * count_of(part)
        pick = self.inputs.pick(None, (low * scale, high * scale), f"parts.{load}.running", APPLIANCE_SOURCE)
        return pick.value, "A", pick.source, (pick.unknown,) if pick.unknown else ()

    def _duty(self, part: Part, use: Use, season: Season, month: str) -> Step | None:
        """Return the share of its time that a thermostat runs a load; None where nothing switches it."""
        if use.at is not None:
            if use.at.unit != "fraction":
                return None
            return Step("d", "table", (Given("table", use.at.high, ""),), use.at.high, "", TYPED)
        celsius = inside_c(self.job, season, month)
        if isinstance(part.duty, Curve):
            only = part.duty.only()
            typed = points_of(part.duty)
            share = (
                only.high if isinstance(only, Quantity) else between(tuple(typed), celsius) if typed else None
            )
            return (
                None if share is None else Step("d", "table", (Given("table", share, ""),), share, "", TYPED)
            )
        if part.kind not in DUTY_BY_C:
            return None
        share = between(DUTY_BY_C[part.kind], celsius)
        return Step("d", "table", (Given("table", share, ""),), share, "", DUTY_SOURCE)

    def _starts(self, part: Part, use: Use) -> tuple[float, Given, float] | None:
        """Return how often a load starts, what each start takes, and how long. [1, A or W, h]"""
        start = part.start
        if not use.starts or not isinstance(start, Start) or not isinstance(start.amount, Quantity):
            return None
        seconds = start.for_s.high if start.for_s is not None else 0.0
        amount, unit = start.amount.high * count_of(part), start.amount.unit
        return float(use.starts), Given("I_s" if unit == "A" else "P_s", amount, unit), seconds / _S_PER_H


@dataclass(frozen=True, slots=True)
class _ToPosts:
    """How ampere-hours or watt-hours at a load become ampere-hours at the posts.

    Attributes
    ----------
    posts_v : float
        [V]
    share : float or None
        What comes through a converter or inverter between; None if there is none.
    load_v : float or None
        The volts of a load that has others than the posts, else None. [V]
    """

    posts_v: float
    share: float | None
    load_v: float | None

    def given(self, unit: str) -> tuple[Given, ...]:
        """Return what the formula names beside the load's own figures."""
        lost = () if self.share is None else (Given("η", self.share, ""),)
        posts = (Given("U", self.posts_v, "V"), *lost)
        if unit != "A":
            return posts
        return () if self.load_v is None else (Given("U_l", self.load_v, "V"), *posts)

    def per(self, unit: str) -> str:
        """Return the end of the formula."""
        per_wh = " / U" if self.share is None else " / (η * U)"
        if unit != "A":
            return per_wh
        return "" if self.load_v is None else f" * U_l{per_wh}"

    def ah_per(self, unit: str) -> float:
        """Return the factor that this end makes. [1 for A, 1/V for W and Wh]"""
        per_wh = 1.0 / (self.posts_v * (self.share or 1.0))
        if unit != "A":
            return per_wh
        return 1.0 if self.load_v is None else self.load_v * per_wh


def _share_of(store: Store, level: tuple[str, ...]) -> float:
    """Return the share of a tank's volts that some of its levels have."""
    among = sum(1 for one in store.levels if set(one) & set(level))
    return among / len(store.levels)


__all__ = ["Take", "Uses"]
