"""The compiled hour loops against plain Python and against numpy; they come only where they are wanted.

The promise is 1e-12 of the largest figure: no sum is reordered and no product fused, but numpy takes powers
in a way of its own, and a compiler may round in another way what it takes out of a loop. Where the compiler
is missing (it is in the lock of the tests) the same functions run as they are written.
"""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from loomwright.energy import kernels, sweep, tank
from loomwright.energy.standard_year import HOURS
from loomwright.energy.sweep import Designs, Sky, flat_nights
from loomwright.energy.tank import Hours, Tank, Tanks, one_tank, tanks

NAMES = tuple(Hours.__dataclass_fields__)


def several(n: int) -> list[Tank]:
    """Return batteries of all sorts: with and without taper, losses, hysteresis, rest."""
    random = np.random.default_rng(7)
    made = [
        Tank(capacity_ah=100.0, limit_a=50.0),
        Tank(capacity_ah=80.0, limit_a=20.0, taper_from=0.8, tail_a=1.0),
    ]
    for _ in range(n - 2):
        size = float(random.uniform(40.0, 300.0))
        made.append(
            Tank(
                capacity_ah=size,
                efficiency=float(random.uniform(0.8, 1.0)),
                limit_a=float(random.uniform(5.0, 60.0)),
                taper_from=float(random.uniform(0.7, 1.0)),
                tail_a=float(random.uniform(0.0, 4.0)),
                back_ah=0.05 * size,
                rest_a=float(random.uniform(0.0, 0.02)),
                rated_a=size / 20.0,
                fastest_a=size / 2.0,
                exponent=float(random.uniform(1.0, 1.3)),
            )
        )
    return made


def hours(n: int, count: int) -> tuple[np.ndarray, ...]:
    """Return load, source, floor and share of so many hours."""
    random = np.random.default_rng(11)
    load = random.uniform(0.0, 20.0, (1, count))
    source = np.maximum(random.normal(9.0, 12.0, (n, count)), 0.0)
    floor = random.uniform(10.0, 30.0, (n, count))
    return load, source, floor, (random.uniform(size=(1, count)) > 0.1).astype(float)


def set_fast(monkeypatch: pytest.MonkeyPatch, fast: bool) -> None:
    for module in (tank, sweep):
        monkeypatch.setattr(module, "is_fast", lambda: fast)


def test_the_loop_is_that_of_plain_python():
    """The same function that is compiled, called as it is written."""
    hour = getattr(kernels.hour, "py_func", kernels.hour)
    load, source, floor, share = hours(6, 500)
    for k, one in enumerate(several(6)):
        figures = Tanks.of([one]).figures[0]
        held, is_on, rows = one.capacity_ah, True, []
        for t in range(500):
            row = hour(held, is_on, load[0, t], source[k, t], floor[k, t], share[0, t], figures)
            held, is_on = row[:2]
            rows.append((held, *row[2:]))
        asked = (load[0].tolist(), source[k].tolist(), floor[k].tolist(), share[0].tolist())
        plain = one_tank(one, *asked, one.capacity_ah)
        assert np.array_equal(np.array(rows).T, np.stack([getattr(plain, name) for name in NAMES]))


def test_compiled_batteries_are_those_of_numpy(monkeypatch):
    many, start = Tanks.of(several(9)), np.linspace(10.0, 40.0, 9)
    found = {}
    for fast in (True, False):
        set_fast(monkeypatch, fast)
        found[fast] = tanks(many, *hours(9, 3000), start)
    for name in NAMES:
        fast, slow = getattr(found[True], name), getattr(found[False], name)
        assert np.abs(fast - slow).max() <= 1e-12 * max(slow.max(), 1.0), name
    assert found[True].missed_ah.max() > 0.0
    assert (found[True].drained_ah > 1.01 * found[True].given_ah).any()
    assert found[True].spilled_ah.max() > 0.0


def test_compiled_designs_have_the_flat_nights_of_numpy(monkeypatch):
    random, made = np.random.default_rng(3), several(5)
    day = np.maximum(np.sin((np.arange(24) - 6.0) * np.pi / 12.0), 0.0)
    sky = Sky(
        load_a=random.uniform(0.5, 4.0, HOURS),
        hook_up_a=np.zeros((1, HOURS)),
        driven_a=(random.uniform(size=(1, HOURS)) > 0.97) * 20.0,
        courses=tuple(np.tile(day, (2, 365)) * random.uniform(0.2, 1.0, (2, HOURS)) for _ in range(2)),
        clear=np.ones((1, 1)),
        warmth=random.uniform(0.8, 1.0, (2, HOURS)),
        may_charge=np.ones((1, HOURS)),
    )
    designs = Designs(
        tanks=Tanks.of(made),
        usable_ah=np.array([0.5 * one.capacity_ah for one in made]),
        sun_a=random.uniform(1.0, 9.0, (5, 2, 12)),
        most_a=np.full((5, 2), 6.0),
        driven_times=np.array([0.0, 0.5, 1.0, 1.5, 2.0]),
    )
    found = []
    for fast in (True, False):
        set_fast(monkeypatch, fast)
        found.append(flat_nights(sky, designs, 2))
    assert np.array_equal(*found)
    assert 0 < found[0].sum() < 5 * 2 * 365


def test_the_compiler_is_not_loaded_before_a_year_is_run():
    seen = "import sys, loomwright.cli, loomwright.energy.sweep; print('numba' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", seen], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
