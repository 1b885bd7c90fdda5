"""The cures of a plan, worked out beside the page: they arrive as they are ready, and nobody waits for them.

They are looked for in a thread of their own, once for each reading of a plan. It gives up as soon as another
plan or another text lies on the table, and goes on where it was when the same reading comes back by undo.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable

from loomwright.rules.check import Checked
from loomwright.sizing.cures import Answer, cures_of
from loomwright.sizing.trial import never_stop

_log = logging.getLogger(__name__)
#: A request waits so long for more answers. [s]
WAIT_S = 2.0
BROKEN = "this could not be looked for. That is a mistake of ours"


class Curing:
    """The answers for one plan, in the order in which they come.

    Parameters
    ----------
    checked : callable
        Gives the plan assessed and judged.
    """

    def __init__(self, checked: Callable[[], Checked]) -> None:
        self._checked = checked
        self._answers: list[Answer] = []
        self._more = threading.Condition()
        self._runs = self._done = False

    def more(self, have: int, go_on: Callable[[], bool]) -> tuple[list[Answer], bool]:
        """Return the answers after those that one has, and whether they are all; waits for some if need be.

        Parameters
        ----------
        have : int
            So many answers are known already.
        go_on : callable
            Asked before each trial; where it says False, the search rests until it is asked for again.
        """
        with self._more:
            if not self._runs and not self._done:
                self._runs = True
                threading.Thread(target=self._look, args=(go_on,), daemon=True).start()
            self._more.wait_for(lambda: len(self._answers) > have or not self._runs, WAIT_S)
            return self._answers[have:], self._done

    def every(self) -> dict[int, Answer]:
        """Return the last answer for each finding; waits for all of them."""
        answers, done = self.more(0, never_stop)
        while not done:
            self.more(len(answers), never_stop)
            answers, done = self.more(0, never_stop)
        return {answer.number: answer for answer in answers}

    def _look(self, go_on: Callable[[], bool]) -> None:
        finished = False
        try:
            for number, answer in enumerate(cures_of(self._checked(), go_on=go_on)):
                with self._more:
                    if number >= len(self._answers):  # those before came when it was first looked for
                        self._answers.append(answer)
                        self._more.notify_all()
            finished = go_on()
        except Exception:
            _log.exception("The cures could not be looked for.")
            self._give_up()
            finished = True
        finally:
            with self._more:
                self._runs, self._done = False, finished
                self._more.notify_all()

    def _give_up(self) -> None:
        """Answer for the findings that are left."""
        with self._more:
            answered = {answer.number for answer in self._answers}
            self._answers += [
                Answer(number, None, BROKEN)
                for number, finding in enumerate(self._checked().findings, 1)
                if finding.severity != "note" and number not in answered
            ]
