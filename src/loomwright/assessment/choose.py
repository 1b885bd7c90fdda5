"""Choosing what the plan leaves `auto`: fuses first, then the smallest size without a finding behind them.

A fuse is the smallest standard rating that its lasting current fills to at most 80 % and that outlasts the
start. A size carries its fuses and its lasting current, keeps drop and start drop under the watch line, and
keeps the dips it shares under theirs. Rating and size wait for each other, so the loop runs until nothing
changes; then each size is tried one step smaller.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from loomwright.errors import OutOfTableError
from loomwright.plan.model import Leg
from loomwright.plan.pieces import FlatRun, Piece, Wiring
from loomwright.plan.values import AUTO, Quantity
from loomwright.protection.fusing import FILL, smallest_fuse, standard_ratings
from loomwright.protection.resistance import conductor_resistance
from loomwright.protection.sizing import sizes
from loomwright.tables.limits import LimitSet

from . import bands
from .limits import first_level
from .loads import LONG_START_S, UNSAID_START_S
from .record import Assessment, CircuitFigure, Share, WireFigure
from .sizes import Chosen, auto_key, conductor_table, is_auto_area, rating_table
from .sources import is_battery
from .wires import rating_with

#: The loop settles in a handful of turns; a plan that keeps swinging keeps its larger sizes.
TURNS = 12
#: No auto size grows beyond this to cure a dip: two wires cure it better, and fuse boxes take no thicker.
LARGEST_FOR_DIP_MM2 = 10.0
#: More than this part of a wire's volts is not worth its copper in one step.
WORTH_SAVING = 0.8

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
    """True for a leg without length, and for its return unless that is a wire of its own."""
    if not piece.load:
        return False
    leg = flat.run.legs.get(piece.load, Leg())
    length = leg.length
    if piece.is_return and leg.return_ is not None:
        length = leg.return_.length or length
    return length is None or (isinstance(length, Quantity) and length.high == 0.0)


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
        self.key_of = {piece.id: auto_key(piece) for piece in wiring.pieces()}
        self.pieces: dict[str, list[str]] = {}
        for flat in wiring.runs.values():
            for piece in flat.pieces if not flat.mains else ():
                self.pieces.setdefault(auto_key(piece), []).append(piece.id)

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
        if areas == chosen.area_mm2 and fuses == chosen.fuse_a:  # sizes for heat first, then for volts
            grown: set[str] = set()
            for shares, excess_v, largest in self._margins(result):
                if excess_v > 0 and grown.isdisjoint(taken := self._taken(shares, areas)):
                    grown |= self._grow(taken, excess_v, largest, areas)
        return replace(chosen, area_mm2=areas, fuse_a=fuses)

    def _fuse(self, key: str, result: Assessment) -> float:
        """Return the smallest fuse that its lasting current and every start behind it allow. [A]"""
        auto = [fuse for wire in self._wires(key, result) for fuse in wire.fuses if fuse.auto]
        lasting = max((fuse.lasting_a or 0.0 for fuse in auto), default=0.0)
        starts = [  # the others of the run stay on while one starts
            (lasting - (circuit.running_a or 0.0) + circuit.start_a, circuit.start_s or UNSAID_START_S)
            for circuit in result.circuits.values()
            if circuit.wire == key.partition(".")[0] and circuit.start_a
        ]
        kind = self._kind(key) or bands.usual_fuse_kind(lasting / FILL)
        try:
            return max(
                smallest_fuse(lasting, type=kind, start_a=amps, start_s=seconds)
                for amps, seconds in [(0.0, 0.0), *starts]
            )
        except OutOfTableError:  # none is large enough: the largest, and the rules say what is wrong with it
            return standard_ratings(kind)[-1]

    def _kind(self, key: str) -> str | None:
        """Return the type that an auto fuse has to be: typed, or what its box takes; None: any."""
        for flat in self.wiring.runs.values():
            for piece in flat.pieces:
                for spot in piece.spots if auto_key(piece) == key else ():
                    box = self.wiring.parts.get(self.wiring.part_of(spot.way or "") or "")
                    kind = spot.fuse.type or (box.fuse_type if box is not None else None)
                    if spot.fuse.rating is AUTO and isinstance(kind, str) and kind != "unknown":
                        return kind
        return None

    def _wires(self, key: str, result: Assessment) -> list[WireFigure]:
        return [result.wires[piece] for piece in self.pieces.get(key, ())]

    def _area_for_heat(self, key: str, fuses: Mapping[str, float], result: Assessment) -> float:
        """Return the smallest area whose derated rating holds a run's fuses and its lasting current. [mm²]"""
        area = self.ladder[0]
        for wire in self._wires(key, result):
            if "area" not in wire.chosen or wire.inner:
                continue
            own = [fuse.rating_a or 0.0 for fuse in wire.fuses]
            needed = max(wire.current_a or 0.0, fuses.get(key, 0.0), self._returned(key, result), *own, 0.0)
            while rating_with(wire, area, self.table) < needed and (bigger := self._bigger(area)) is not None:
                area = bigger
            if rating_with(wire, area, self.table) <= 0:  # too hot for this insulation: no size helps
                area = self.ladder[0]
        return area

    def _returned(self, key: str, result: Assessment) -> float:
        """Return the largest fuse that a battery's own minus lead brings the current of back. [A]"""
        flat = self.wiring.runs.get(key)
        if flat is None or flat.pieces[0].spots:
            return 0.0
        batteries = {
            self.wiring.part_of(point)
            for point in (flat.pieces[0].a, *flat.loads)
            if self.wiring.terminal_of(point) == "minus"
        }
        return max(
            (
                fuse.rating_a or 0.0
                for battery in batteries
                if battery is not None and is_battery(self.wiring, battery)
                for piece in self.wiring.by_point.get(f"{battery}.plus", ())
                for fuse in result.wires[piece.id].fuses
            ),
            default=0.0,
        )

    def _bigger(self, area: float) -> float | None:
        return next((size for size in self.ladder if size > area), None)

    def _smaller(self, area: float) -> float | None:
        return next((size for size in reversed(self.ladder) if size < area), None)

    def _margins(self, result: Assessment) -> Iterator[tuple[tuple[Share, ...], float, float]]:
        """Give, for each drop, start and dip, what takes the volts, how many too many, and the largest cure.

        A dip is cured by copper only up to `LARGEST_FOR_DIP_MM2`; beyond that the loads want wires apart.
        """
        levels = (self.limits.dip.watch, self.limits.dip.fault, math.inf)
        dip_v = min(level for level in levels if level is not None)
        for circuit in result.circuits.values():
            for excess_v in self._excess(circuit):
                yield circuit.shares, excess_v, math.inf
            for dip in circuit.dips:
                yield dip.shares, dip.dip_v - dip_v, LARGEST_FOR_DIP_MM2

    def _excess(self, circuit: CircuitFigure) -> Iterator[float]:
        """Give by how many volts of its running drop a circuit is over each line; below zero: the margin."""
        if circuit.path == "signal" or circuit.drop_v is None:
            return
        limit = self.limits.charging_drop if circuit.path == "charging" else self.limits.drop
        most_v = first_level(limit, circuit.system_v) * circuit.system_v / 100.0
        whole_v = max(circuit.drop_v, circuit.drop_run_v or 0.0)
        yield (whole_v - most_v) * (circuit.drop_v / whole_v if whole_v > 0 else 1.0)
        part = self.wiring.parts.get(circuit.load)
        cut_out = part.cut_out.volts if part is not None and part.cut_out is not None else None
        if isinstance(cut_out, Quantity) and circuit.load_v is not None:
            margin = self.limits.cut_out_margin.watch or 0.0
            yield cut_out.high + margin - circuit.load_v
        if circuit.start_drop_v is not None and circuit.running_a and circuit.start_a:
            long = (circuit.start_s or 0.0) > LONG_START_S
            limit = self.limits.drop if long else self.limits.start_drop
            most_v = first_level(limit, circuit.system_v) * circuit.system_v / 100.0
            # in the volts of the running shares
            yield (circuit.start_drop_v - most_v) * circuit.running_a / circuit.start_a

    def _taken(self, shares: Sequence[Share], areas: Mapping[str, float]) -> dict[str, float]:
        """Return the volts that the copper of each auto size takes. [V]"""
        taken: dict[str, float] = {}
        for share in shares:
            key = self.key_of.get(share.ohm.owner, "")
            if key in areas and share.ohm.what.startswith("copper"):
                taken[key] = taken.get(key, 0.0) + share.volts
        return taken

    def _grow(
        self, taken: Mapping[str, float], excess_v: float, largest: float, areas: dict[str, float]
    ) -> set[str]:
        """Make the auto size that takes most of these volts as much larger as the excess needs.

        Returns the key that has grown, if any; where one size alone can't save enough, it grows to where
        little is left of its volts, and the next turn looks at the next.
        """
        open_keys = [key for key in taken if self._bigger(areas[key]) is not None]
        if not open_keys:
            return set()
        key = max(open_keys, key=lambda name: taken[name])
        area, needed = areas[key], min(excess_v, WORTH_SAVING * taken[key])
        while (bigger := self._bigger(area)) is not None:
            area = bigger
            if taken[key] * (1.0 - self._ohms(area) / self._ohms(areas[key])) >= needed:
                break
        if area > largest:
            return set()
        areas[key] = area
        return {key}

    def _ohms(self, area: float) -> float:
        return conductor_resistance(area, 1.0, 20.0, self.conductors)

    def _shrink(self, chosen: Chosen, result: Assessment) -> tuple[Chosen, Assessment]:
        """Try each size one step smaller; keep it where nothing comes of it."""
        before = self._score(result)
        for key in self.wish.areas:
            while (smaller := self._smaller(chosen.area_mm2[key])) is not None:
                if self._area_for_heat(key, chosen.fuse_a, result) > smaller:
                    break
                if not self._may_shrink(key, smaller, chosen, result):
                    break
                trial = replace(chosen, area_mm2={**chosen.area_mm2, key: smaller})
                tried = self.assess_with(trial)
                if self._score(tried) > before:
                    break
                chosen, result = trial, tried
        return chosen, result

    def _may_shrink(self, key: str, smaller: float, chosen: Chosen, result: Assessment) -> bool:
        """Estimate from the shares alone whether a smaller size would keep every line that is kept now."""
        growth = self._ohms(smaller) / self._ohms(chosen.area_mm2[key]) - 1.0
        for shares, excess_v, _ in self._margins(result):
            more = self._taken(shares, chosen.area_mm2).get(key, 0.0) * growth
            if excess_v <= 0 < excess_v + more:
                return False
        return True

    def _score(self, result: Assessment) -> int:
        return sum(1 for _, excess_v, _ in self._margins(result) if excess_v > 0)
