"""Designs of one van run through the same years, lot by lot, by whoever does the work."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, as_completed
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loomwright.assessment.assess import assess
from loomwright.assessment.energy.days import Energy
from loomwright.assessment.energy.filled import tank_of
from loomwright.assessment.energy.frost import Sources, frost_of
from loomwright.assessment.energy.schedule import schedule_of
from loomwright.assessment.energy.stores import Store, usable_of
from loomwright.assessment.energy.weathered import (
    battery_c,
    by_month_a,
    capacity_left,
    course_of,
    most_a,
    snow_leaves,
)
from loomwright.assessment.energy.year_run import Progress, YearRun
from loomwright.energy.sweep import Designs, Sky, flat_nights
from loomwright.energy.tank import Tank, Tanks
from loomwright.errors import StoppedError

from .choosing_goods import Goods
from .choosing_parts import Design, Own, panel_times, with_design

Floats = NDArray[np.float64]
Nights = NDArray[np.int64]
#: So many years of designs run side by side: with more, their numbers leave the fast memory.
TOGETHER = 3200


@dataclass(frozen=True, slots=True, eq=False)
class Lot:
    """Designs of one chemistry that run side by side, by their place among all."""

    places: tuple[int, ...]
    sky: Sky
    designs: Designs
    years: int

    def run(self) -> Nights:
        """Return the flat nights of each design in each year, shape (designs, years)."""
        return flat_nights(self.sky, self.designs, self.years)


@dataclass(frozen=True, slots=True)
class _Built:
    """The battery and charger of a design, worked out as a plan. [A, Ah]"""

    energy: Energy
    store: Store
    tank: Tank
    usable_ah: float
    driven_a: float


class Trials:
    """The designs of a van.

    Parameters
    ----------
    run : YearRun
        The plan's own years.
    own : Own
    goods : Goods
    """

    def __init__(self, run: YearRun, own: Own, goods: Goods) -> None:
        self.own, self.goods, self._run = own, goods, run
        self._built: dict[Design, _Built] = {}
        self._skies: dict[str, tuple[Sky, Floats, Floats]] = {}

    def run(
        self,
        designs: Sequence[Design],
        progress: Progress,
        cancel: Callable[[], bool],
        executor: Executor | None = None,
    ) -> dict[Design, Nights]:
        """Return the flat nights of each design in each year.

        Parameters
        ----------
        designs : sequence of Design
        progress : callable
            Told how many designs of how many are done.
        cancel : callable
            Asked before each lot; True stops.
        executor : Executor or None
            Runs the lots.

        Raises
        ------
        StoppedError
            `cancel` said so.
        """
        found: dict[Design, Nights] = {}
        for lot, nights in self._ran(self._lots(designs, cancel), cancel, executor):
            found |= {designs[place]: row for place, row in zip(lot.places, nights, strict=True)}
            progress(len(found), len(designs))
        return found

    def _ran(
        self, lots: Iterator[Lot], cancel: Callable[[], bool], executor: Executor | None
    ) -> Iterator[tuple[Lot, Nights]]:
        if executor is None:
            for lot in lots:
                yield lot, lot.run()
            return
        waiting = {executor.submit(lot.run): lot for lot in lots}
        try:
            for done in as_completed(waiting):
                yield waiting[done], done.result()
                _stop_if(cancel)
        finally:
            for one in waiting:
                one.cancel()

    def _lots(self, designs: Sequence[Design], cancel: Callable[[], bool]) -> Iterator[Lot]:
        """Give the designs in lots of one chemistry each."""
        by_chemistry: dict[str, list[int]] = {}
        for place, design in enumerate(designs):
            by_chemistry.setdefault(design.chemistry, []).append(place)
        together = max(TOGETHER // self._run.count, 1)
        for places in by_chemistry.values():
            for k in range(0, len(places), together):
                _stop_if(cancel)
                some = tuple(places[k : k + together])
                yield self._lot(some, [designs[place] for place in some])

    def _lot(self, places: tuple[int, ...], designs: Sequence[Design]) -> Lot:
        sky, sun_a, most = self._sky(designs[0].chemistry)
        built = [self._build(design) for design in designs]
        times = np.array([panel_times(self.own, design.panel_wp) for design in designs])
        regulator = np.array([self.goods.regulator_times(design) for design in designs])
        now_a = self._own.driven_a
        return Lot(
            places,
            sky,
            Designs(
                tanks=Tanks.of([one.tank for one in built]),
                usable_ah=np.array([one.usable_ah for one in built]),
                sun_a=times[:, None, None] * sun_a,
                most_a=regulator[:, None] * most,
                driven_times=np.array([one.driven_a / now_a if now_a else 0.0 for one in built]),
            ),
            self._run.count,
        )

    @cached_property
    def _own(self) -> _Built:
        return self._build(self.own.design)

    def _build(self, design: Design) -> _Built:
        """Return the battery and charger of a design; its panels make no difference to them."""
        key = Design(design.chemistry, design.capacity_ah, self.own.design.panel_wp, design.charger_a)
        if key not in self._built:
            job = assess(with_design(self.own, key))
            energy = Energy(job)
            store = next(one for one in energy.stores if one.id == self._run.store.id)
            tank = tank_of(job, store, self.own.level)
            usable = usable_of(job, self.own.level, None).ah
            driven = sum(one.ah_per_h for one in energy.brings if one.store == store.id)
            self._built[key] = _Built(energy, store, tank, usable, driven)
        return self._built[key]

    @cached_property
    def _celsius(self) -> Floats:
        return battery_c(self._run.energy, self.own.level[0], self._run.weather)

    def _sky(self, chemistry: str) -> tuple[Sky, Floats, Floats]:
        """Return what the designs of a chemistry share, and their arrays: amperes by month, the most. [A]"""
        if chemistry not in self._skies:
            now = self.own.design
            built = self._build(Design(chemistry, now.capacity_ah, now.panel_wp, now.charger_a))
            energy, store, job = built.energy, built.store, built.energy.job
            arrays = [array for array in energy.arrays if array.store == store.id]
            run, level = self._run, self.own.level
            courses = tuple(course_of(job, store, array, run.weather) for array in arrays)
            come = Sources(run.shone_a, run.schedule.drive_a[None, :], run.schedule.hook_up_a[None, :])
            frost = frost_of(energy, store, level, self._celsius, come)
            fed = np.divide(
                frost.sources.sun_a, come.sun_a, where=come.sun_a > 0.0, out=np.ones_like(come.sun_a)
            )
            sky = Sky(
                load_a=schedule_of(energy, store, level).load_a,
                hook_up_a=frost.sources.hook_up_a,
                driven_a=frost.sources.drive_a,
                courses=courses,
                clear=snow_leaves(energy, run.weather) * fed,
                warmth=capacity_left(energy, level[0], frost.battery_c) * frost.gives,
                may_charge=frost.may_charge,
            )
            pairs = zip(arrays, courses, strict=True)
            by_month = [by_month_a(job, store, array, course) for array, course in pairs]
            most = [most_a(job, array) for array in arrays]
            self._skies[chemistry] = sky, np.array(by_month).reshape(-1, 12), np.array(most)
        return self._skies[chemistry]


def _stop_if(cancel: Callable[[], bool]) -> None:
    if cancel():
        raise StoppedError("stopped before all designs had been run")


__all__ = ["Lot", "Trials"]
