"""What one habit brings, worked out by hand beside the year of a van."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from loomwright import assess, read, read_text
from loomwright.assessment.energy.air import inside_c
from loomwright.assessment.energy.habits import MAKES_UP, NIGHT, Habit, Habits
from loomwright.assessment.energy.year import year_of
from loomwright.assessment.energy.year_run import YearRun
from tests.scenarios.lines import EXAMPLES, text_of


@cache
def run(van: str) -> YearRun:
    return YearRun(assess(read(EXAMPLES / f"{van}.yaml")), 6)


@cache
def habits(van: str, before: float = 0.0) -> dict[str, Habit]:
    return {one.habit: one for one in run(van).habits(before)}


def made_up() -> float:
    """Return what a box makes up for after a night off, of what its fridge would have carried out.

    Newton's law of cooling, stepped by the minute: 18 Wh/°C, 1 W/°C, from 5 °C in air of 25 °C; what it has
    warmed is carried out again in the morning.
    """
    inside = 5.0
    for _ in range(60 * len(NIGHT)):
        inside += (25.0 - inside) / 18.0 / 60.0
    return 18.0 * (inside - 5.0) / (20.0 * len(NIGHT))


def test_a_fridge_makes_up_for_most_of_the_night():
    """Mossgrove's fridge in July and October, 31 days each: nine hours of 24, less what is made up for."""
    energy = run("mossgrove").energy
    taken = [
        take.ah
        for season, month in energy.seasons()
        for take in energy.uses.of_day(season, month)
        if take.load == "fridge"
    ]
    saved = habits("mossgrove")["fridge_off_at_night"]
    assert saved.parts == ("fridge",)
    assert saved.saved_ah == pytest.approx(sum(taken) / 2.0 * 9.0 / 24.0 * (1.0 - made_up()), rel=0.01)
    warmest = max(inside_c(energy.job, energy.plan.use[s], m) for s, m in energy.seasons())
    assert saved.warmer_c == pytest.approx((warmest - 5.0) * (1.0 - math.exp(-0.5)))


def test_a_night_without_the_fridge_moves_its_load_and_leaves_the_others():
    text = text_of("mossgrove", "").replace("lamps: 3.5 h at 0.85 A", "lamps: 22:30..01:00 at 0.85 A")
    of, seen = YearRun(assess(read_text(text)), 1), list[np.ndarray]()

    def nights(load: np.ndarray) -> float:
        seen.append(load)
        return 0.0

    next(Habits(of.energy, of.store, of.level, of.schedule).tried(1.0, nights))
    day, now = (one.reshape(365, 24)[280] for one in (seen[0], of.schedule.load_a))
    fridge = now[3] - day[3]
    assert fridge > 1.0
    assert now[list(NIGHT)] - day[list(NIGHT)] == pytest.approx(fridge), "the lamps go on"
    more = day[list(MAKES_UP)] - now[list(MAKES_UP)]
    assert more == pytest.approx(made_up() * 9.0 * fridge / len(MAKES_UP), rel=1e-2)


def test_an_inverter_saves_its_idle_current_alone():
    """Planeshed: on for 8 h at 1.5 A, saw and compressor run 1.5 h of them: 9.75 Ah."""
    assert habits("planeshed")["inverter_off_when_unused"].saved_ah == pytest.approx(9.75)


def test_less_taken_never_means_more_flat_nights():
    before = year_of(run("alderford").job, 6).flat_nights[0]
    for habit in habits("alderford", before).values():
        assert 0.0 <= habit.flat_nights <= before
    assert habits("alderford", before)["fridge_one_degree_warmer"].flat_nights < before
