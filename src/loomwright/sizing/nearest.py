"""For each verdict the one figure that is nearest to changing it, within a bound of trials for all."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwright.rules.check import Checked

from .flip import TRIALS, Flip, flips_on
from .trial import Bench

#: So many wires are worked out anew in all: a trial costs about as its wires.
WIRES_TRIED = 3000

_NUMBER = re.compile(r"\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Nearest:
    """What flips the verdicts of a plan.

    Attributes
    ----------
    flips : Mapping of int to Flip
        By the number of the finding, from 1; none where no figure that was tried flips it.
    asked : tuple of int
        The findings that the trials sufficed for; of the others nothing is known.
    left : tuple of int
        Those that they did not suffice for.
    """

    flips: Mapping[int, Flip]
    asked: tuple[int, ...]
    left: tuple[int, ...]


def nearest(checked: Checked, wires_tried: int = WIRES_TRIED) -> Nearest:
    """Return the nearest flip of each finding that is more than a note, the gravest asked first.

    Parameters
    ----------
    checked : Checked
        A plan assessed and judged.
    wires_tried : int
        The bound: trials of the whole plan, times its wires. One question's trials are made at least.
    """
    left = max(TRIALS, wires_tried // max(1, len(checked.assessment.wires)))
    bench = Bench(checked.assessment.plan, left)
    found: dict[int, Flip] = {}
    numbers = [n for n, finding in enumerate(checked.findings, 1) if finding.severity != "note"]
    for done, number in enumerate(numbers):
        if left <= 0:
            return Nearest(found, tuple(numbers[:done]), tuple(numbers[done:]))
        bench.left = granted = min(TRIALS, left)
        best = min(_that_flip(bench, number), key=_distance, default=None)
        if best is not None:
            found[number] = best
        left -= granted - bench.left
    return Nearest(found, tuple(numbers), ())


def _that_flip(bench: Bench, number: int) -> Iterator[Flip]:
    return (flip for flip in flips_on(bench, "finding", str(number)) if flip.typed_then)


def _distance(flip: Flip) -> tuple[bool, float]:
    """Return how far a flip is: what brings another finding last, then by the ratio of the figures."""
    now, then = (_NUMBER.search(text) for text in (flip.typed_now, flip.typed_then))
    if now is None or then is None or not float(now[0]) or not float(then[0]):
        return bool(flip.change.come), math.inf
    return bool(flip.change.come), abs(math.log(float(then[0]) / float(now[0])))
