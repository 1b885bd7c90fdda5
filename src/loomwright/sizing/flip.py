"""What would flip a verdict: the size, length, fuse or current at which findings go or come.

Everything is found by trying: the plan is assessed and judged again with the one figure changed. A figure
between two candidates is not tried: areas and fuses are standard ones, lengths go by 0.1 m, currents by
0.1 A. What lies between them is taken to flip once only.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from loomwright.assessment.record import WireFigure
from loomwright.errors import OutOfTableError
from loomwright.plan.edit import Edit
from loomwright.plan.model import Plan, Run
from loomwright.plan.read import read_plan
from loomwright.plan.values import Quantity
from loomwright.protection.fusing import standard_ratings
from loomwright.protection.sizing import sizes

from .asked import asked
from .search import Found, first_flip
from .texts import clean, fuse_text, gauge, hopeless, running_text, sentence
from .trial import Bench, Change, Matter, OutOfTrialsError, Verdict, change, never_stop

Field = Literal["area", "length", "fuse", "running"]
#: The rules that another rating of the fuse answers.
_FUSE_RULES = ("fuse_above_cable_rating", "fuse_overloaded", "fuse_opens_at_start")
#: So many trials are made in all; a van of 60 circuits takes about a tenth of a second for each.
TRIALS = 24
#: Nobody lays a longer wire in a van. [m]
LONGEST_M = 30.0
#: No size above this is proposed for a wire that is thinner. [mm²]
LARGEST_MM2 = 35.0
#: A current is tried up to so many times that of the plan.
MOST_TIMES = 8.0
#: Lengths and currents go in such steps. [m, A]
STEP = 0.1
NO_CHANGE = Change()


@dataclass(frozen=True, slots=True, kw_only=True)
class Flip:
    """One figure that would flip the verdict.

    Attributes
    ----------
    field : str
        area, length, fuse or running.
    at : str
        Dotted path of the field.
    typed_now : str
        The figure of the plan, typed or worked out.
    keeps : str
        The figure nearest to the flip at which things stay as they are; may be that of the plan.
    typed_then : str
        The first figure at which the findings differ; empty if no figure that was tried does it.
    change : Change
        The findings that go, come or are eased at `typed_then`.
    words : str
        All of it in a sentence.
    exact : bool
        False if the trials ran out with candidates left between `keeps` and `typed_then`.
    edits : tuple of Edit
        What to write for `typed_then`.
    """

    field: Field
    at: str
    typed_now: str
    keeps: str
    typed_then: str
    words: str
    change: Change = NO_CHANGE
    exact: bool = True
    edits: tuple[Edit, ...] = ()


def flips(
    plan: str | Plan, kind: str, id: str, *, trials: int = TRIALS, go_on: Callable[[], bool] = never_stop
) -> Iterator[Flip]:
    """Give what would flip the verdict on a wire, a load, a terminal or a finding, each as it is found.

    Parameters
    ----------
    plan : str or Plan
        The text of a plan, or the plan read.
    kind : str
        "wire", "part", "terminal", "stud" or "finding".
    id : str
        As in the plan; a finding by its number in the check list.
    trials : int
        No more trials than this.
    go_on : callable
        Asked before each trial; where it says False, the search ends with what is known.

    Returns
    -------
    iterator of Flip
        Of a thing with findings: what clears them. Of one without: how far its figures may go. Nothing for
        a thing that has no such figures.

    Raises
    ------
    PlanError
        The text is not a plan.
    """
    yield from flips_on(Bench(read_plan(plan) if isinstance(plan, str) else plan, trials, go_on), kind, id)


def flips_on(bench: Bench, kind: str, id: str) -> Iterator[Flip]:
    """Give what `flips` gives, with the trials that a bench has left."""
    for run_id, matters in asked(bench, kind, id):
        run = bench.plan.wiring.get(run_id)
        wire = bench.checked.assessment.wires.get(run_id)
        if run is None or wire is None or wire.mains or wire.factory or not (matters or wire.current_a):
            continue
        yield from _Wire(bench, run, wire, matters).flips()


class _Wire:
    """Tries the figures of one run and of its load."""

    def __init__(self, bench: Bench, run: Run, wire: WireFigure, matters: frozenset[Matter]) -> None:
        self.bench, self.run, self.wire, self.matters = bench, run, wire, matters
        self.at = f"wiring.{run.id}"

    def flips(self) -> Iterator[Flip]:
        """Give the flips, what is changed most easily first."""
        measured = isinstance(self.run.resistance, Quantity)
        searches = []
        if self.wire.area_mm2 is not None and not measured and (self.matters or self._is_guarded()):
            searches.append(self._area)
        if self.wire.length_m and not measured:
            searches.append(self._length)
        searches.append(self._fuse if self.matters else self._running)
        for search in searches:
            try:
                found = search()
            except OutOfTrialsError:
                return
            if found is not None:
                yield found

    def _is_guarded(self) -> bool:
        """True if a fuse bounds how thin this wire may be; a minus lead or earth is not judged by any."""
        return bool(self.wire.fuses) or self.wire.upstream_fuse is not None

    # --- one field each ------------------------------------------------------------------------------

    def _area(self) -> Flip | None:
        now = self.wire.area_mm2 or 0.0
        gauged = bool(self.wire.gauge)
        ladder = sizes("awg" if gauged else "iec_60228_class_5")
        if self.matters:
            candidates = [area for area in ladder if now < area <= max(LARGEST_MM2, 4.0 * now)]
        else:
            candidates = [area for area in reversed(ladder) if area < now]

        def typed(area: float) -> str:
            return gauge(area) if gauged else f"{area:g} mm²"

        def plan(area: float) -> Plan:
            size = Quantity(area, area, "mm²", typed(area))
            return self.bench.with_run(
                self.run.id, replace(self.run, area=size, typed=self.run.typed | {"area"})
            )

        now_text = self.wire.gauge or f"{now:g} mm²"
        far = len(candidates) - 1 if self.matters else 0
        return self._search("area", f"{self.at}.area", now_text, candidates, plan, typed, far)

    def _length(self) -> Flip | None:
        job = self.bench.checked.assessment
        feed = (piece.id for piece in job.wiring.runs[self.run.id].pieces if piece.role == "feed")
        now = sum(job.wires[id].length_m or 0.0 for id in feed)
        tenths = round(now / STEP, 6)
        if self.matters:
            candidates = [STEP * n for n in range(int(-(-tenths // 1)) - 1, 0, -1)]
        else:
            candidates = [STEP * n for n in range(int(tenths) + 1, round(LONGEST_M / STEP) + 1)]

        def typed(metres: float) -> str:
            return f"{metres:.1f} m"

        def plan(metres: float) -> Plan:
            length = Quantity(round(metres, 1), round(metres, 1), "m", typed(metres))
            return self.bench.with_run(
                self.run.id, replace(self.run, length=length, typed=self.run.typed | {"length"})
            )

        far = len(candidates) - 1 if self.matters else int(tenths)
        return self._search("length", f"{self.at}.length", f"{now:.4g} m", candidates, plan, typed, far)

    def _fuse(self) -> Flip | None:
        """Try the fuses of a run that has one, or two alike; smaller ones first, then larger ones."""
        run = self._fused_run()
        fuses, figures = run.fuse, self.bench.checked.assessment.wires[run.id].fuses
        goal = frozenset(matter for matter in self.matters if matter[0] in _FUSE_RULES)
        if not goal or not isinstance(fuses, tuple) or not fuses or not figures:
            return None
        alike = all(
            replace(fuse, at="") == replace(fuses[0], at="") and isinstance(fuse.rating, Quantity)
            for fuse in fuses
        )
        now, ratings = figures[0].rating_a, _ratings(figures[0].kind)
        if not alike or now is None:
            return None

        def typed(rating: float) -> str:
            return fuse_text(fuses, rating)

        def plan(rating: float) -> Plan:
            amount = Quantity(rating, rating, "A", f"{rating:g} A")
            changed = tuple(replace(fuse, rating=amount) for fuse in fuses)
            return self.bench.with_run(run.id, replace(run, fuse=changed))

        smaller = [rating for rating in reversed(ratings) if rating < now]
        larger = [rating for rating in ratings if rating > now]
        for candidates in (smaller, larger):
            at = f"wiring.{run.id}.fuse"
            found = self._search("fuse", at, f"{now:g} A", candidates, plan, typed, 0, fuse_goal=goal)
            if found is not None:
                return found
        return None

    def _fused_run(self) -> Run:
        """Return the run that holds the fuse: this one, or another from the same way of a box."""
        if self.run.fuse:
            return self.run
        others = (run for run in self.bench.plan.wiring.values() if run.from_ == self.run.from_ and run.fuse)
        return next(others, self.run)

    def _running(self) -> Flip | None:
        """Try larger currents of the load; of several, the one that loses most."""
        job = self.bench.checked.assessment
        circuits = [
            one for one in job.circuits.values() if one.wire == self.run.id and one.path == "ordinary"
        ]
        worst = max(circuits, key=lambda one: one.drop_pct or 0.0, default=None)
        part = self.bench.plan.parts.get(worst.load) if worst is not None else None
        if part is None or not isinstance(part.running.amount, Quantity):
            return None
        running, amount = part.running, part.running.amount
        if amount.unit not in ("A", "W"):
            return None
        step = STEP if amount.unit == "A" else 1.0
        first = int(round(amount.high / step, 6)) + 1
        candidates = [step * n for n in range(first, int(MOST_TIMES * amount.high / step) + 1)]

        def typed(value: float) -> str:
            return running_text(running, value)

        def plan(value: float) -> Plan:
            high = Quantity(
                round(value, 1), round(value, 1), amount.unit, f"{round(value, 1):g} {amount.unit}"
            )
            changed = replace(part, running=replace(running, amount=high), typed=part.typed | {"running"})
            return replace(self.bench.plan, parts={**self.bench.plan.parts, part.id: changed})

        at = f"parts.{part.id}.running"
        return self._search("running", at, amount.typed, candidates, plan, typed, first)

    # --- the search ----------------------------------------------------------------------------------

    def _search(
        self,
        field: Field,
        at: str,
        now: str,
        candidates: Sequence[float],
        plan: Callable[[float], Plan],
        typed: Callable[[float], str],
        far: int,
        *,
        fuse_goal: frozenset[Matter] = frozenset(),
    ) -> Flip | None:
        """Find where the verdict flips.

        `fuse_goal` is what a fuse is to clear, be it at the price of another finding.
        """
        if not candidates:
            return None
        tried: dict[float, Verdict] = {}

        def judge(value: float) -> Verdict:
            if value not in tried:
                tried[value] = self.bench.verdict(plan(value))
            return tried[value]

        goal = fuse_goal or self.matters
        if self.matters and not fuse_goal:
            goal = self._curable(judge(candidates[-1]))
            if not goal:
                words = hopeless(field, typed(candidates[-1]))
                return Flip(field=field, at=at, typed_now=now, keeps=now, typed_then="", words=words)
        base = self.bench.base

        def flipped(verdict: Verdict) -> bool:
            if not goal:
                return verdict.worse_than(base)
            return goal.isdisjoint(verdict.grades) and (bool(fuse_goal) or not verdict.worse_than(base))

        found = first_flip(candidates, judge, flipped, far)
        if found is None:
            if goal or not tried:
                return None
            last = typed(max(tried, key=candidates.index))
            words = f"{clean(field, last)}."
            return Flip(field=field, at=at, typed_now=now, keeps=last, typed_then="", words=words)
        return self._told(field, at, now, found, typed)

    def _curable(self, best: Verdict) -> frozenset[Matter]:
        """Return those matters that the far end of the candidates clears."""
        return frozenset(matter for matter in self.matters if matter not in best.grades)

    def _told(
        self, field: Field, at: str, now: str, found: Found[float], typed: Callable[[float], str]
    ) -> Flip:
        differs = change(self.bench.base, found.verdict)
        keeps = now if found.near is None else typed(found.near)
        then = typed(found.at)
        return Flip(
            field=field,
            at=at,
            typed_now=now,
            keeps=keeps,
            typed_then=then,
            words=sentence(field, now, keeps, then, differs, exact=found.exact, mends=bool(self.matters)),
            change=differs,
            exact=found.exact,
            edits=(Edit(at, then),),
        )


def _ratings(kind: str) -> tuple[float, ...]:
    """Return the ratings that a type of fuse is made in, none of an unknown type. [A]"""
    try:
        return standard_ratings(kind)
    except OutOfTableError:
        return ()


__all__ = ["Flip", "flips", "flips_on"]
