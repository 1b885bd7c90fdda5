"""Work that runs beside the page: nobody waits for it, it is told step by step, and it stops when told."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from typing import Generic, TypeVar

_log = logging.getLogger(__name__)
#: A request waits so long for the next step. [s]
WAIT_S = 2.0

Came = TypeVar("Came")
#: Told how many steps of how many are done.
Said = Callable[[int, int], None]


class _GoneOnError(Exception):
    """Another plan or another text lies on the table, or somebody wants no more of it."""


class Beside(Generic[Came]):
    """Something that takes long, made once.

    Parameters
    ----------
    make : callable
        Makes it; it is given what it tells its steps to.
    broken : callable
        Gives what came of it after a mistake of ours.
    """

    def __init__(self, make: Callable[[Said], Came], broken: Callable[[], Came]) -> None:
        self._make, self._broken = make, broken
        self._step = threading.Condition()
        self.runs, self._stopped = False, False
        self.done, self.of = 0, 0
        self.came: Came | None = None

    def wait(self, go_on: Callable[[], bool], done: int = -1) -> Came | None:
        """Begin, if nobody has; return what came of it, or None after a step beyond `done` or some time.

        Parameters
        ----------
        go_on : callable
            Asked at each step; where it says False, all is given up until it is asked for again.
        done : int
            So many steps are known already.
        """
        with self._step:
            if self.came is None and not self.runs:
                self.runs, self._stopped, self.done = True, False, 0
                threading.Thread(target=self._work, args=(go_on,), daemon=True).start()
            self._step.wait_for(lambda: not self.runs or self.done > done, WAIT_S)
            return self.came

    def stop(self) -> None:
        """Give it up at the next step, until it is asked for again."""
        with self._step:
            self._stopped = self.runs

    def _work(self, go_on: Callable[[], bool]) -> None:
        def said(done: int, of: int) -> None:
            if self._stopped or not go_on():
                raise _GoneOnError
            with self._step:
                self.done, self.of = done, of
                self._step.notify_all()

        came: Came | None = None
        try:
            came = self._make(said)
        except _GoneOnError:
            pass
        except Exception:
            _log.exception("What runs beside the page could not be worked out.")
            came = self._broken()
        finally:
            with self._step:
                self.runs, self.came = False, came
                self._step.notify_all()
