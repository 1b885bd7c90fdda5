"""What the program chooses is the smallest that will do: the next smaller size and fuse are shown failing.

A plan is frozen first: every choice is typed in. Then one choice at a time is made one step smaller; a rule
has to speak that was silent before.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import pytest

from loomwright import read_text
from loomwright.assessment.choose import wished
from loomwright.assessment.record import Assessment, FuseFigure
from loomwright.assessment.sizes import conductor_table
from loomwright.plan.edit import Edit, apply_edits
from loomwright.protection.fusing import standard_ratings
from loomwright.protection.sizing import sizes
from loomwright.rules.check import Checked, check_plan
from loomwright.rules.registry import Job, run_rules
from tests.plans import random_plan

PLANS = [(seed, (6, 10, 16, 25)[seed % 4]) for seed in range(100, 240, 2)]


@dataclass(frozen=True)
class Choice:
    """One figure that was left to the program: of which run or leg, and what was chosen."""

    key: str
    what: str  # area or fuse
    value: float
    kind: str = ""

    @property
    def at(self) -> str:
        run, _, leg = self.key.partition(".")
        return f"wiring.{run}.to.{leg}.{self.what}" if leg else f"wiring.{run}.{self.what}"

    def edit(self, value: float) -> Edit:
        return Edit(self.at, f"{value!r} mm²" if self.what == "area" else f"{value:g} A {self.kind}")


@cache
def checked(text: str) -> Checked:
    return check_plan(read_text(text))


def choices(job: Assessment) -> Iterator[Choice]:
    """Give everything that a plan left to the program."""
    wish = wished(job.wiring)
    for key in wish.areas:
        piece = next(
            wire for wire in job.wires.values() if "area" in wire.chosen and key_of(wire.id, wire.role) == key
        )
        assert piece.area_mm2 is not None
        yield Choice(key, "area", piece.area_mm2)
    for key in wish.fuses:
        fuse = fuse_of(job, key)
        assert fuse.rating_a is not None
        yield Choice(key, "fuse", fuse.rating_a, fuse.kind)


def key_of(id: str, role: str) -> str:
    """Return the key of the choice for a wire: its run's, or its leg's."""
    run, _, rest = id.partition(".")
    return f"{run}.{rest.partition('.')[0]}" if role == "leg" else run


def fuse_of(job: Assessment, key: str) -> FuseFigure:
    return next(fuse for wire in job.wires.values() if wire.run == key for fuse in wire.fuses if fuse.auto)


@cache
def frozen(seed: int, size: int) -> tuple[str, tuple[Choice, ...]]:
    """Return a random plan with all its choices typed in, and the choices."""
    text = random_plan(seed, size)
    made = tuple(choices(checked(text).assessment))
    return apply_edits(text, [choice.edit(choice.value) for choice in made]), made


def new_rules(text: str, changed: str) -> set[str]:
    """Return the rules that speak after a change and were silent, or milder, before."""
    return {rule for rule, _, _, severity in said(changed) - said(text) if severity != "note"}


@cache
def said(text: str) -> frozenset[tuple[str, str, tuple[str, ...], str]]:
    """Return what the rules say at the bad end of what is not known, which the choices are made for."""
    job = Job(checked(text).assessment)
    return frozenset((f.rule, f.where, f.also, f.severity) for f in run_rules(job))


@cache
def failures(what: str) -> tuple[tuple[Choice, str], ...]:
    """Return each choice that has a smaller neighbour, with what says that the neighbour will not do."""
    found = []
    for seed, size in PLANS:
        text, made = frozen(seed, size)
        for choice in made:
            smaller = next_smaller(choice, text) if choice.what == what else None
            if smaller is not None:
                changed = apply_edits(text, [choice.edit(smaller)])
                found.append((choice, " ".join(sorted(new_rules(text, changed)))))
    return tuple(found)


def next_smaller(choice: Choice, text: str) -> float | None:
    """Return the next smaller standard size or rating, None if there is none."""
    ladder = (
        standard_ratings(choice.kind) if choice.what == "fuse" else sizes(conductor_table(read_text(text)))
    )
    return max((value for value in ladder if value < choice.value * 0.9999), default=None)


def test_there_are_many_choices():
    assert len(failures("area")) > 20
    assert len(failures("fuse")) > 20


@pytest.mark.parametrize("what", ["area", "fuse"])
def test_next_smaller_fails(what):
    silent = [choice for choice, reason in failures(what) if not reason]
    assert silent == []


def test_each_reason_binds_somewhere():
    areas, fuses = (Counter(reason for _, reason in failures(what)) for what in ("area", "fuse"))
    said = set(" ".join(areas).split())
    assert {"fuse_above_cable_rating", "drop_too_large", "start_drop_too_large"} <= said, areas
    assert any("fuse_overloaded" in reason for reason in fuses), fuses
    assert any("fuse_opens_at_start" in reason for reason in fuses), fuses


@pytest.mark.parametrize(("seed", "size"), PLANS[::10])
def test_typed_in_the_choices_mean_the_same(seed, size):
    chosen, typed = checked(random_plan(seed, size)), checked(frozen(seed, size)[0])
    assert [(f.rule, f.where, f.says) for f in chosen.findings] == [
        (f.rule, f.where, f.says) for f in typed.findings
    ]
    for id, wire in chosen.assessment.wires.items():
        same = typed.assessment.wires[id]
        assert (wire.area_mm2, wire.rating_a) == (same.area_mm2, same.rating_a), id
        assert wire.drop_v == pytest.approx(same.drop_v, abs=1e-9), id


@pytest.mark.parametrize(("seed", "size"), PLANS[::10])
def test_what_is_chosen_brings_no_finding_of_its_own(seed, size):
    """A chosen fuse is filled to 80 % at most, a chosen size carries its fuse."""
    job = checked(random_plan(seed, size)).assessment
    for wire in job.wires.values():
        for fuse in wire.fuses:
            if fuse.auto:
                assert fuse.rating_a is not None
                assert (fuse.lasting_a or 0.0) <= 0.8 * fuse.rating_a * (1 + 1e-6)
    for wire in job.wires.values():
        if "area" in wire.chosen and wire.length_m:
            guards = [f.rating_a or 0.0 for w in job.wires.values() if w.run == wire.run for f in w.fuses]
            guards += [wire.upstream_fuse.rating_a or 0.0] if wire.upstream_fuse is not None else []
            assert wire.rating_a is not None
            assert max(guards) <= wire.rating_a * (1 + 1e-6), wire.id
