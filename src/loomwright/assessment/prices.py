"""What the electrics cost, as far as the plan has prices: parts, cable, small things, work, margin, tax.

Cable: metres to cut and the reserve, at the price for its area. Small things are a share of all material.
Work is counted where the plan has the price of an hour; a time that it does not say is common practice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.plan.values import Quantity
from loomwright.tables.work import TIMES_S

from .cut_list import CutList, Lot
from .ends import WireEnd
from .holes import Hole
from .record import Assessment
from .weights import VEHICLES_OWN

_LIGHTS = ("lamp", "strip")
_GLANDED = "sealed gland"


@dataclass(frozen=True, slots=True)
class Price:
    """One line: what, of which sort, how many or how much of a unit, and the money for one and for all."""

    sort: str
    what: str
    count: float
    unit: str
    each: float
    total: float


@dataclass(frozen=True, slots=True)
class Prices:
    """All lines that have a price, what has none, and the sum with margin and tax in it."""

    lines: tuple[Price, ...]
    without: tuple[str, ...]
    currency: str
    budget: float | None

    @property
    def total(self) -> float:
        """The sum of all lines."""
        return math.fsum(line.total for line in self.lines)


def prices_of(
    job: Assessment, ends: Mapping[str, tuple[WireEnd, WireEnd]], cuts: CutList, holes: tuple[Hole, ...]
) -> Prices:
    """Return what the electrics cost.

    Parameters
    ----------
    job : Assessment
    ends, cuts, holes
        As `ends_of`, `cut_list` and `hole_list` give them.
    """
    without: list[str] = []
    lines = [*_parts(job, without), *_runs(job), *_cable(job, cuts, without), *_cargo(job)]
    set_ = job.plan.prices
    material = math.fsum(line.total for line in lines)
    lines += _share("terminals and fixings", "small things", set_.small, material)
    lines += _work(job, ends, holes)
    for what, share in (("margin", set_.margin), ("tax", set_.tax)):
        lines += _share(what, what, share, math.fsum(line.total for line in lines))
    budget = job.plan.budget
    return Prices(
        tuple(lines),
        tuple(without),
        job.plan.currency or "",
        budget.high if isinstance(budget, Quantity) else None,
    )


def _parts(job: Assessment, without: list[str]) -> Iterator[Price]:
    for id, part in job.plan.parts.items():
        if part.status != "new" or part.kind in VEHICLES_OWN or part.kind in ("appliance", "splice"):
            continue
        count = part.count if isinstance(part.count, int) else 1
        if isinstance(part.price, Quantity):
            yield Price("part", id, count, "", part.price.mid, count * part.price.mid)
        else:
            without.append(id)


def _runs(job: Assessment) -> Iterator[Price]:
    for id, run in job.plan.wiring.items():
        if isinstance(run.price, Quantity) and run.status == "new":
            yield Price("run", id, 1, "", run.price.mid, run.price.mid)


def _cable(job: Assessment, cuts: CutList, without: list[str]) -> Iterator[Price]:
    set_ = job.plan.prices
    reserve = set_.waste.high if isinstance(set_.waste, Quantity) else 0.0
    for lot in cuts.lots:
        metres = (1.0 + reserve) * _unpriced_m(job, lot)
        each = set_.cable.get(lot.stock.area_mm2 or 0.0)
        what = f"{lot.stock.size} {lot.stock.colour}"
        if isinstance(each, Quantity) and lot.stock.cores == 1:
            yield Price("cable", what, metres, "m", each.mid, metres * each.mid)
        elif metres:
            without.append(f"cable {what}")


def _unpriced_m(job: Assessment, lot: Lot) -> float:
    """Return the metres of a lot whose runs have no price of their own. [m]"""
    runs = job.plan.wiring
    return math.fsum(
        cut.metres
        for cut in lot.cuts
        if (run := runs.get(job.wires[cut.wires[0]].run)) is None or not isinstance(run.price, Quantity)
    )


def _cargo(job: Assessment) -> Iterator[Price]:
    for id, one in job.plan.cargo.items():
        if one.share == "electrics" and isinstance(one.price, Quantity):
            yield Price("cargo", id, 1, "", one.price.mid, one.price.mid)


def _share(what: str, sort: str, share: object, of: float) -> Iterator[Price]:
    if isinstance(share, Quantity) and share.mid and of:
        yield Price(sort, f"{what}, {100.0 * share.mid:g} %", 1, "", share.mid * of, share.mid * of)


def _work(
    job: Assessment, ends: Mapping[str, tuple[WireEnd, WireEnd]], holes: tuple[Hole, ...]
) -> list[Price]:
    hour = job.plan.prices.hour
    if not isinstance(hour, Quantity):
        return []
    new = [part for part in job.plan.parts.values() if part.status == "new"]
    counts = {
        "wire_end": sum(1 for pair in ends.values() for end in pair if end.made),
        "stud": sum(1 for stud in job.plan.studs.values() if stud.factory is not True),
        "gland": sum(1 for hole in holes if hole.seal.startswith(_GLANDED)),
        "inlet": sum(1 for part in new if part.kind == "inlet"),
        "lamp": sum(part.count if isinstance(part.count, int) else 1 for part in new if part.kind in _LIGHTS),
        "commissioning": 1,
    }
    typed = job.plan.prices.times or {}
    lines = []
    for what, count in counts.items():
        own = typed.get(what)
        hours = (own.mid if isinstance(own, Quantity) else TIMES_S[what]) * count / 3600.0
        if count:
            lines.append(
                Price("work", f"{what.replace('_', ' ')} × {count}", hours, "h", hour.mid, hours * hour.mid)
            )
    return lines


__all__ = ["Price", "Prices", "prices_of"]
