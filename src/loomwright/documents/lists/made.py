"""All lists of one van, each worked out when it is first asked for."""

from __future__ import annotations

from functools import cached_property

from loomwright.assessment.cut_list import CutList, cut_list
from loomwright.assessment.earths import EarthPoint, earth_points
from loomwright.assessment.ends import Joined, WireEnd, ends_of, splices_of
from loomwright.assessment.energy.days import Day, day_promises, days_of_use
from loomwright.assessment.energy.settings import settings_of
from loomwright.assessment.holes import Hole, hole_list
from loomwright.assessment.mains.usual import OnPitch, on_pitches
from loomwright.assessment.orders import Ordered, order_of
from loomwright.assessment.plugs import Plug, plugs_of
from loomwright.assessment.prices import Prices, prices_of
from loomwright.assessment.record import Assessment
from loomwright.assessment.weights import Weights, weights_of
from loomwright.units import Band

from . import energy, goods, pitch, wires
from .record import List


class Lists:
    """The lists of the loom of one van.

    Parameters
    ----------
    job : Assessment
        Of the whole plan.
    """

    def __init__(self, job: Assessment) -> None:
        self.job = job

    @cached_property
    def ends(self) -> dict[str, tuple[WireEnd, WireEnd]]:
        """Both ends of each wire."""
        return ends_of(self.job)

    @cached_property
    def cuts(self) -> CutList:
        """What is cut from which reel."""
        return cut_list(self.job)

    @cached_property
    def splices(self) -> tuple[Joined, ...]:
        """The splices."""
        return splices_of(self.job, self.ends)

    @cached_property
    def plugs(self) -> tuple[Plug, ...]:
        """The plugs with their pins."""
        return plugs_of(self.job, self.ends)

    @cached_property
    def earths(self) -> tuple[EarthPoint, ...]:
        """The studs with their rings from the metal outwards."""
        return earth_points(self.job)

    @cached_property
    def holes(self) -> tuple[Hole, ...]:
        """The holes of the paths."""
        return hole_list(self.job)

    @cached_property
    def order(self) -> tuple[Ordered, ...]:
        """What is to be ordered."""
        return order_of(self.job, self.ends, self.cuts, self.holes)

    @cached_property
    def weights(self) -> Weights:
        """What is weighed."""
        return weights_of(self.job)

    @cached_property
    def prices(self) -> Prices:
        """What it costs."""
        return prices_of(self.job, self.ends, self.cuts, self.holes)

    @cached_property
    def days(self) -> tuple[Day, ...]:
        """A mean day of each month of use."""
        return days_of_use(self.job)

    @cached_property
    def pitches(self) -> tuple[OnPitch, ...]:
        """What may run on each pitch."""
        return tuple(on_pitches(self.job))

    @cached_property
    def every(self) -> tuple[List, ...]:
        """All lists that have rows, in the order of the work."""
        made = (
            wires.cut_table(self.cuts),
            wires.reel_table(self.cuts),
            wires.end_table(self.ends),
            wires.plug_table(self.plugs, {id: pair[0].label for id, pair in self.ends.items()}),
            wires.splice_table(self.splices),
            wires.earth_table(self.earths),
            goods.hole_table(self.holes),
            goods.order_table(self.order),
            goods.weight_table(self.weights),
            goods.price_table(self.prices),
            energy.day_table(self.days),
            energy.promise_table(self.job.plan, tuple(day_promises(self.job))),
            energy.setting_table(tuple(settings_of(self.job))),
            pitch.pitch_table(self.pitches),
        )
        return tuple(one for one in made if one.rows)

    @property
    def printed(self) -> tuple[List, ...]:
        """The same for paper: both ends of a wire in one row."""
        return tuple(wires.end_sheet(self.ends) if one.name == "ends" else one for one in self.every)

    def as_dict(self) -> dict[str, object]:
        """Return the lists as they stand in JSON, and their sums."""
        weights, prices = self.weights, self.prices
        axles = weights.axles
        totals = {
            "cut_m": self.cuts.cut_m,
            "bought_m": sum(lot.bought_m for lot in self.cuts.lots),
            "electrics_kg": _ends(weights.electrics),
            "load_kg": _ends(weights.load),
            "payload_kg": weights.payload_kg,
            "left_kg": _ends(weights.left),
            "front_axle_adds_kg": _ends(None if axles is None else axles.front),
            "rear_axle_adds_kg": _ends(None if axles is None else axles.rear),
            "mass_unknown": list(weights.unknown),
            "price": prices.total if prices.lines else None,
            "currency": prices.currency,
            "price_unknown": list(prices.without),
        }
        return {one.name: one.as_dicts() for one in self.every} | {"totals": totals}


def _ends(band: Band | None) -> dict[str, float] | None:
    return None if band is None else {"low": band.low, "high": band.high}


__all__ = ["Lists"]
