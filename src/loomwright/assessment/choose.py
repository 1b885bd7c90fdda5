"""Choosing what the plan leaves `auto`: fuses first, then the smallest size without a finding behind them.

A fuse is the smallest standard rating that its lasting current fills to at most 80 % and that outlasts the
start. A size carries its fuses and its lasting current, keeps drop and start drop under the watch line, and
keeps the dips it shares under theirs. Rating and size wait for each other, so the loop runs until nothing
changes; then each size is tried one step smaller.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from loomwright.errors import OutOfTableError
from loomwright.plan.pieces import FlatRun, Piece, Wiring
from loomwright.plan.values import AUTO, Quantity
from loomwright.protection.fusing import smallest_fuse
from loomwright.protection.rating import cable_rating
from loomwright.protection.resistance import conductor_resistance
from loomwright.protection.sizing import sizes
from loomwright.tables.insulation import insulation_class
from loomwright.tables.limits import LimitSet

from . import bands
from .limits import first_level
from .loads import LONG_START_S
from .record import Assessment, CircuitFigure, Share, WireFigure
from .sizes import Chosen, auto_key, conductor_table, is_auto_area, rating_table

#: The loop settles in a handful of turns; a plan that keeps swinging keeps its larger sizes.
TURNS = 12

Assess = Callable[[Chosen], Assessment]


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be chosen: keys (run or leg ids) whose area, and whose fuse, is `auto`."""

    areas: tuple[str, ...]
    fuses: tuple[str, ...]


def wished(wiring: Wiring) -> Wish:
    """Return everything a plan leaves to the program."""
    areas: dict[str, None] = {}
    fuses: dict[str, None] = {}
    for flat in wiring.runs.values():
        for piece in flat.pieces:
            if is_auto_area(flat, piece) and not _is_joint(flat, piece):
                areas[auto_key(piece)] = None
            if any(spot.fuse.rating is AUTO for spot in piece.spots):
                fuses[auto_key(piece)] = None
    return Wish(tuple(areas), tuple(fuses))


def _is_joint(flat: FlatRun, piece: Piece) -> bool:
    leg = flat.run.legs.get(piece.load or "") if piece.load else None
    if not piece.load:
        return False
    return leg is None or (isinstance(leg.length, Quantity) and leg.length.high == 0.0)


def choose(wiring: Wiring, limits: LimitSet, assess_with: Assess) -> tuple[Chosen, Assessment]:
    """Choose fuses and areas until nothing changes.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    limits : LimitSet
        The watch lines that a chosen size has to keep.
    assess_with : callable
        Assesses the plan with given choices.

    Returns
    -------
    tuple of Chosen and Assessment
        The choices and the assessment made with them.
    """
    chooser = _Chooser(wiring, limits, assess_with)
    return chooser.run()


class _Chooser:
    def __init__(self, wiring: Wiring, limits: LimitSet, assess_with: Assess) -> None:
        self.wiring, self.limits, self.assess_with = wiring, limits, assess_with
        self.wish = wished(wiring)
        self.table, self.conductors = rating_table(wiring.plan), conductor_table(wiring.plan)
        self.ladder: Sequence[float] = sizes(self.conductors)

    def run(self) -> tuple[Chosen, Assessment]:
        chosen = Chosen(dict.fromkeys(self.wish.areas, self.ladder[0]), {})
        result = self.assess_with(chosen)
        if not self.wish.areas and not self.wish.fuses:
            return chosen, result
        for _ in range(TURNS):
            better = self._turn(chosen, result)
            if better == chosen:
                break
            chosen, result = better, self.assess_with(better)
        return self._shrink(chosen, result)

    def _turn(self, chosen: Chosen, result: Assessment) -> Chosen:
        fuses = {key: self._fuse(key, result) for key in self.wish.fuses}
        areas = {
            key: max(area, self._area_for_heat(key, fuses, result)) for key, area in chosen.area_mm2.items()
        }
        if areas == chosen.area_mm2 and fuses == chosen.fuse_a:  # sizes for heat first, then for drop
            for shares, excess_v in self._too_much(result):
                self._grow(shares, excess_v, areas)
        return replace(chosen, area_mm2=areas, fuse_a=fuses)

    def _fuse(self, key: str, result: Assessment) -> float:
        """Return the smallest fuse that its lasting current and the hardest start behind it allow. [A]"""
        lasting, kind = 0.0, ""
        for wire in self._wires(key, result):
            for fuse in wire.fuses:
                if fuse.auto:
                    lasting, kind = max(lasting, fuse.lasting_a or 0.0), fuse.kind
        starts = [
            (circuit.start_a, circuit.start_s or 0.1)
            for circuit in result.circuits.values()
            if circuit.wire == key.partition(".")[0] and circuit.start_a
        ]
        start_a, start_s = max(starts, default=(0.0, 0.0))
        return smallest_fuse(
            lasting, type=kind or bands.usual_fuse_kind(lasting / 0.8), start_a=start_a, start_s=start_s
        )

    def _wires(self, key: str, result: Assessment) -> Iterator[WireFigure]:
        for wire in result.wires.values():
            if not wire.mains and key == (f"{wire.run}.{_leg(wire)}" if wire.role == "leg" else wire.run):
                yield wire

    def _area_for_heat(self, key: str, fuses: Mapping[str, float], result: Assessment) -> float:
        """Return the smallest area whose derated rating holds a run's fuses and its lasting current. [mm²]"""
        area = self.ladder[0]
        for wire in self._wires(key, result):
            if "area" not in wire.chosen or wire.inner:
                continue
            needed = max(
                wire.current_a or 0.0, fuses.get(key, 0.0), *(f.rating_a or 0.0 for f in wire.fuses), 0.0
            )
            while self._rating(wire, area) < needed and (bigger := self._bigger(area)) is not None:
                area = bigger
        return area

    def _rating(self, wire: WireFigure, area: float) -> float:
        try:
            return cable_rating(
                area,
                table=self.table,
                insulation_c=insulation_class(wire.insulation).max_c,
                ambient_c=wire.ambient_c,
                bundled=wire.bundled,
            ).amps
        except OutOfTableError:
            return 0.0

    def _bigger(self, area: float) -> float | None:
        return next((size for size in self.ladder if size > area), None)

    def _smaller(self, area: float) -> float | None:
        return next((size for size in reversed(self.ladder) if size < area), None)

    def _too_much(self, result: Assessment) -> Iterator[tuple[tuple[Share, ...], float]]:
        """Give what takes the volts, and how many too many, for each drop, start and dip over its line."""
        for circuit in result.circuits.values():
            yield from ((circuit.shares, excess) for excess in self._excess(circuit) if excess > 0)
            for dip in circuit.dips:
                most = min(x for x in (self.limits.dip.watch, self.limits.dip.fault, 1e9) if x is not None)
                if dip.dip_v > most:
                    yield dip.shares, dip.dip_v - most

    def _excess(self, circuit: CircuitFigure) -> Iterator[float]:
        if circuit.path == "signal" or circuit.drop_pct is None:
            return
        limit = self.limits.charging_drop if circuit.path == "charging" else self.limits.drop
        yield (circuit.drop_pct - first_level(limit, circuit.system_v)) / 100.0 * circuit.system_v
        if circuit.start_drop_pct is not None and circuit.running_a and circuit.start_a:
            long = (circuit.start_s or 0.0) >= LONG_START_S
            limit = self.limits.drop if long else self.limits.start_drop
            over_pct = circuit.start_drop_pct - first_level(limit, circuit.system_v)
            excess_v = over_pct / 100.0 * circuit.system_v
            yield excess_v * circuit.running_a / circuit.start_a  # in the volts of the running shares

    def _grow(self, shares: Sequence[Share], excess_v: float, areas: dict[str, float]) -> None:
        """Make the auto size that takes most of these volts as much larger as the excess needs."""
        taken: dict[str, float] = {}
        for share in shares:
            key = self._key(share.ohm.owner)
            if share.ohm.what.startswith("copper") and key in areas and self._bigger(areas[key]) is not None:
                taken[key] = taken.get(key, 0.0) + share.volts
        if not taken:
            return
        key = max(taken, key=lambda name: taken[name])
        area = areas[key]
        while (bigger := self._bigger(area)) is not None:
            area = bigger
            saved = taken[key] * (1.0 - self._ohms(area) / self._ohms(areas[key]))
            if saved >= excess_v:
                break
        areas[key] = area

    def _ohms(self, area: float) -> float:
        return conductor_resistance(area, 1.0, 20.0, self.conductors)

    def _key(self, piece_id: str) -> str:
        for flat in self.wiring.runs.values():
            for piece in flat.pieces:
                if piece.id == piece_id:
                    return auto_key(piece)
        return ""

    def _shrink(self, chosen: Chosen, result: Assessment) -> tuple[Chosen, Assessment]:
        """Try each size one step smaller; keep it where nothing comes of it."""
        before = self._score(result)
        for key in self.wish.areas:
            while (smaller := self._smaller(chosen.area_mm2[key])) is not None:
                if self._area_for_heat(key, chosen.fuse_a, result) > smaller:
                    break
                trial = replace(chosen, area_mm2={**chosen.area_mm2, key: smaller})
                tried = self.assess_with(trial)
                if self._score(tried) > before:
                    break
                chosen, result = trial, tried
        return chosen, result

    def _score(self, result: Assessment) -> int:
        return sum(1 for _ in self._too_much(result))


def _leg(wire: WireFigure) -> str:
    return wire.id.removeprefix(f"{wire.run}.").partition(".")[0]
