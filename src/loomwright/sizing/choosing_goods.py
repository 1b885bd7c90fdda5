"""What a design weighs and costs: its battery, panels, regulator and charger.

A part that stays has the plan's own mass and price. Of another size it has them in proportion, where the
plan states them and the chemistry stays; else the tables' middle. What is in the van already costs nothing as
long as it stays; panels are added to those that are there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from loomwright.assessment.loads import count_of
from loomwright.plan.model import Part
from loomwright.plan.values import Quantity
from loomwright.tables import masses, purchase

from .choosing_parts import Design, Own

#: Volts that a panel's regulator charges with, for 12 V. [V]
_CHARGED_AT_V = 13.2


@dataclass(frozen=True, slots=True)
class Good:
    """What the plan has of one sort: how much of it, its mass and price where all parts state them. [kg]"""

    amount: float
    kg: float | None
    price: float | None
    there: bool


@dataclass(frozen=True, slots=True)
class Bill:
    """What a design weighs and costs; the price is None where no price is held. [kg]"""

    kg: float
    price: float | None


class Goods:
    """The goods of a van that are chosen anew.

    Parameters
    ----------
    own : Own
    currency : str or None
        By its three letters; None: the tables hold no prices in it.
    """

    def __init__(self, own: Own, currency: str | None) -> None:
        self.own, self.rate = own, purchase.FOR_A_EURO.get(currency or "")
        now, parts = own.design, own.plan.parts
        self.battery = _good(now.capacity_ah, [parts[id] for id in own.batteries])
        self.panel = _good(now.panel_wp, [parts[id] for id in own.panels])
        self.charger = _good(now.charger_a, [parts[id] for id in own.chargers])
        regulators = [parts[id] for id in own.regulators]
        amps = sum(one.current.low * count_of(one) for one in regulators if isinstance(one.current, Quantity))
        self.regulator = _good(amps or self._needed_a(now.panel_wp), regulators)

    def _needed_a(self, watts: float) -> float:
        return watts / (_CHARGED_AT_V * self.own.in_12v)

    def regulator_times(self, design: Design) -> float:
        """Return how many times the plan's regulator current a design has: no smaller one is fitted."""
        now = self.own.design.panel_wp
        return max(design.panel_wp / now, 1.0) if now and self.own.regulators else 1.0

    def bill(self, design: Design) -> Bill:
        """Return what a design weighs and costs."""
        now, rows = self.own.design, []
        if self.own.batteries:
            rows.append(self._battery(design))
        if self.own.panels:
            wp = design.panel_wp
            rows.append(
                self._one(self.panel, wp, masses.PANEL_KG_PER_W.mid, purchase.PANEL_EUR_PER_WP.mid, adds=True)
            )
        if self.own.regulators:
            amps = (
                self.regulator.amount * self.regulator_times(design)
                if now.panel_wp
                else self._needed_a(design.panel_wp)
            )
            amps = amps if design.panel_wp else 0.0
            kg, each = purchase.REGULATOR_KG_PER_A.mid, purchase.REGULATOR_EUR_PER_A.mid
            rows.append(self._one(self.regulator, amps, kg, each))
        if self.own.chargers:
            kg, each = purchase.B2B_KG_PER_A.mid, purchase.B2B_EUR_PER_A.mid
            rows.append(self._one(self.charger, design.charger_a, kg, each))
        prices = [row.price for row in rows]
        known = [price for price in prices if price is not None]
        return Bill(sum(row.kg for row in rows), sum(known) if len(known) == len(prices) else None)

    def _battery(self, design: Design) -> Bill:
        kg = masses.BATTERY_KG_PER_AH[design.chemistry].mid * self.own.in_12v
        each = purchase.BATTERY_EUR_PER_AH[design.chemistry].mid * self.own.in_12v
        good = self.battery
        if design.chemistry != self.own.design.chemistry:
            good = Good(good.amount, None, None, False)
        return self._one(good, design.capacity_ah, kg, each)

    def _one(self, good: Good, amount: float, kg_each: float, eur_each: float, *, adds: bool = False) -> Bill:
        """Return what so much of a good weighs and costs."""
        kg = amount * kg_each
        price = None if self.rate is None else amount * eur_each * self.rate
        if good.amount:
            kg = kg if good.kg is None else good.kg * amount / good.amount
            price = price if good.price is None else good.price * amount / good.amount
        if good.there and price is not None and amount:
            bought = max(amount - good.amount, 0.0) if adds else amount * (amount != good.amount)
            price *= bought / amount
        return Bill(kg, 0.0 if not amount else price)


def _good(amount: float, parts: Iterable[Part]) -> Good:
    some = list(parts)
    there = bool(some) and all(one.status == "existing" for one in some)
    return Good(amount, _all(some, lambda one: one.mass), _all(some, lambda one: one.price), there)


def _all(parts: list[Part], what: Callable[[Part], object]) -> float | None:
    """Return the sum of a figure over parts, None unless each states it."""
    known = [value.mid * count_of(one) for one in parts if isinstance(value := what(one), Quantity)]
    return sum(known) if parts and len(known) == len(parts) else None


__all__ = ["Bill", "Good", "Goods"]
