"""The cures of a plan in words, for page, paper and terminal: each change once, with its figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from loomwright.documents.reasons.figures import quantity
from loomwright.rules.check import Checked
from loomwright.sizing.cures import Answer, Cure, Figure, cures_of
from loomwright.sizing.trial import never_stop

#: Stands beside every cure: it was applied to the plan, and all of it judged anew.
RECHECKED = "Re-checked"


def answers_of(checked: Checked, go_on: Callable[[], bool] = never_stop) -> dict[int, Answer]:
    """Return the last answer for each finding that is more than a note, by its number."""
    return {answer.number: answer for answer in cures_of(checked, go_on=go_on)}


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of the cure of one finding.

    Attributes
    ----------
    cure : Cure or None
        None if there is none.
    first : int
        Number of the finding that the same cure stands whole with; 0 if it stands here.
    figures : tuple of str
        Figures of this finding before and after, in words.
    clears : str
        Numbers of all findings that it clears; empty if it is this one alone.
    why : str
        Why there is none.
    """

    cure: Cure | None = None
    first: int = 0
    figures: tuple[str, ...] = ()
    clears: str = ""
    why: str = ""


NOTHING_TOLD = Told()


def told(answers: Mapping[int, Answer]) -> dict[int, Told]:
    """Return what is told at each finding; a cure of several stands whole with the first of them."""
    said: dict[str, int] = {}
    done: dict[int, Told] = {}
    for number, answer in sorted(answers.items()):
        if answer.cure is None:
            done[number] = Told(why=answer.why)
            continue
        first = said.setdefault(key_of(answer.cure), number)
        done[number] = tell(answer.cure, 0 if first == number else first)
    return done


def tell(cure: Cure, first: int = 0) -> Told:
    """Return what is told of a cure; `first` is the finding that it stands whole with."""
    figures = tuple(text for text in map(figure_words, cure.before_after) if text)
    return Told(cure, first, figures, joined(cure.clears) if len(cure.clears) > 1 else "")


def key_of(cure: Cure) -> str:
    """Return what is the same for cures that change the plan alike."""
    return repr([edit.as_data() for edit in cure.edits])


def figure_words(figure: Figure) -> str:
    """Return a figure before and after; empty if it stays, or is not known.

    Examples
    --------
    >>> figure_words(Figure("loses at its start", 11.317, 6.249, "%"))
    'loses at its start 11.3 % before, 6.2 % after'
    """
    if figure.before is None or figure.after is None:
        return ""
    before, after = (quantity(value, figure.unit) for value in (figure.before, figure.after))
    return "" if before == after else f"{figure.what} {before} before, {after} after"


def joined(numbers: Sequence[int]) -> str:
    """Return numbers as one says them.

    Examples
    --------
    >>> joined((1, 2, 5))
    '1, 2 and 5'
    """
    *first, last = (str(number) for number in numbers)
    return f"{', '.join(first)} and {last}" if first else last
