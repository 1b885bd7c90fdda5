"""What is cut from which reel: wires of one area, colour and insulation together, longest first.

Only new wires are cut; the vehicle maker's own and what lies there already are kept. A cable with several
cores is one line. A length that nobody knows is counted at its long end and marked: measure it first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwright.loom.cutting import BY_THE_METRE_MM2, REELS_M, Reel, nested, to_buy_m
from loomwright.plan.model import Run
from loomwright.plan.values import Quantity

from .ends import label_of, listed_wires
from .record import Assessment, WireFigure

#: Cores of a mains cable where the plan does not say.
MAINS_CORES = 3


@dataclass(frozen=True, slots=True)
class Stock:
    """What a reel is of: `area_mm2` None if not known, `cores` in one sheath, `made` as the plan has it."""

    area_mm2: float | None
    gauge: str
    colour: str
    insulation: str
    cores: int
    conductor: str
    sheathed: bool

    @property
    def size(self) -> str:
        """In words: "2.5 mm²", "3 × 1.5 mm²", "14 AWG"."""
        area = self.gauge or ("size not known" if self.area_mm2 is None else f"{self.area_mm2:g} mm²")
        return area if self.cores == 1 else f"{self.cores} × {area}"

    @property
    def sort(self) -> str:
        """Insulation and what is special, in words."""
        special = [self.conductor] * (self.conductor != "flexible") + ["in a second sleeve"] * self.sheathed
        return ", ".join([self.insulation, *special])


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece to cut: the wires in it (several if it has several cores), their labels, its length. [m]

    `basis` is "plan" where the length is typed, else "worked out", or "not known": then it is the longest.
    """

    wires: tuple[str, ...]
    labels: tuple[str, ...]
    from_: str
    to: str
    metres: float
    basis: str


@dataclass(frozen=True, slots=True)
class Lot:
    """All that is cut of one stock: longest first, on which reels, what is to be bought. [m]"""

    stock: Stock
    cuts: tuple[Cut, ...]
    reels: tuple[Reel, ...]
    buy_m: tuple[float, ...]

    @property
    def cut_m(self) -> float:
        """All pieces together. [m]"""
        return math.fsum(one.metres for one in self.cuts)

    @property
    def bought_m(self) -> float:
        """All that is bought. [m]"""
        return math.fsum(self.buy_m)


@dataclass(frozen=True, slots=True)
class CutList:
    """The lots, thick ones first, and the wires that are not cut: kept, or of no known length."""

    lots: tuple[Lot, ...]
    kept: tuple[str, ...]

    @property
    def cut_m(self) -> float:
        """All pieces of all lots. [m]"""
        return math.fsum(lot.cut_m for lot in self.lots)


def cut_list(job: Assessment) -> CutList:
    """Return what is cut from which reel.

    Parameters
    ----------
    job : Assessment
        Lengths are those of its wires, the reserve is `waste` of its prices.
    """
    cuts: dict[Stock, list[Cut]] = {}
    kept = []
    for wires in _together(job):
        first = wires[0]
        run = job.wiring.runs[first.run].run
        if first.length_m is None or first.factory or run.status != "new":
            kept += [wire.id for wire in wires]
        else:
            stock = _stock(first, run, _cores(first, run))
            cuts.setdefault(stock, []).append(_cut(job, wires))
    lots = [_lot(stock, own, _reserve(job)) for stock, own in cuts.items()]
    return CutList(tuple(sorted(lots, key=_order)), tuple(kept))


def sold_m(area_mm2: float | None) -> tuple[float, ...]:
    """Return the lengths of reels that a cable is sold on; none: by the metre. [m]"""
    return () if area_mm2 is not None and area_mm2 >= BY_THE_METRE_MM2 else REELS_M


def _reserve(job: Assessment) -> float:
    waste = job.plan.prices.waste
    return waste.high if isinstance(waste, Quantity) else 0.0


def _together(job: Assessment) -> Iterator[tuple[WireFigure, ...]]:
    """Give the wires that are cut as one piece: alone, or feed and return in one sheath."""
    wires = {wire.id: wire for wire in listed_wires(job)}
    inside: set[str] = set()
    for wire in wires.values():
        if wire.id in inside:
            continue
        run = job.wiring.runs[wire.run].run
        back = wires.get(f"{wire.id}.return")
        if isinstance(run.cores, int) and run.cores > 1 and back is not None and _alike(wire, back):
            inside.add(back.id)
            yield wire, back
        else:
            yield (wire,)


def _alike(a: WireFigure, b: WireFigure) -> bool:
    return (a.area_mm2, a.length_m, a.insulation) == (b.area_mm2, b.length_m, b.insulation)


def _cores(wire: WireFigure, run: Run) -> int:
    if isinstance(run.cores, int):
        return run.cores
    return MAINS_CORES if wire.mains else 1


def _stock(wire: WireFigure, run: Run, cores: int) -> Stock:
    return Stock(
        wire.area_mm2,
        wire.gauge,
        wire.colour,
        wire.insulation,
        cores,
        run.conductor,
        run.sheathed is True,
    )


def _cut(job: Assessment, wires: Sequence[WireFigure]) -> Cut:
    first = wires[0]
    unknown = any(name.endswith(".length") for name in first.unknown)
    return Cut(
        tuple(wire.id for wire in wires),
        tuple(label_of(job, wire.id) for wire in wires),
        first.from_,
        first.to,
        first.length_m or 0.0,
        "not known" if unknown else "worked out" if "length" in first.chosen else "plan",
    )


def _lot(stock: Stock, cuts: Sequence[Cut], reserve: float) -> Lot:
    longest_first = sorted(cuts, key=lambda one: (-one.metres, one.wires))
    sold = sold_m(stock.area_mm2)
    reels = nested({one.wires[0]: one.metres for one in longest_first}, sold)
    return Lot(stock, tuple(longest_first), reels, to_buy_m(reels, reserve, sold))


def _order(lot: Lot) -> tuple[float, str, str, int]:
    return -(lot.stock.area_mm2 or 0.0), lot.stock.colour, lot.stock.insulation, lot.stock.cores


__all__ = ["Cut", "CutList", "Lot", "Stock", "cut_list", "sold_m"]
