"""Circuits with a selector or change-over moved from where it rests: another battery, another way.

A mode is judged here if it moves one of these, and so is a state of the switches that moves one as no mode
does; all else stands as for the circuits at rest, each load asked for alone. Of two modes that move them
alike the first is taken, and of each only the circuits it alters.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property

from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring

from .circuits import load_circuits
from .dips import with_dips
from .modes import ModeFigure, Modes
from .record import CircuitFigure
from .solve import Solved
from .states import asked_state

#: A loop that changes by less is the same way. [Ω]
SAME_OHM = 1e-6
#: Solves the van with some parts in other states; with the inner resistances of batteries or without.
SolveMoved = Callable[[Mapping[str, str], bool], Solved]


def moves_the_feed(part: Part) -> bool:
    """Say whether a part leads one thing to another source or way: a selector, a change-over."""
    if part.kind == "relay":
        return part.contact == "change_over"
    return part.kind in ("selector", "change_over")


class Moved:
    """The circuits of a van with its selectors and change-overs moved, worked out when they are asked for.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    modes : Modes
        Says where they stand in each mode.
    solve : callable
        Solves the van with some parts in other states.
    at_rest : mapping of str to CircuitFigure
        The circuits with everything as asked for.
    """

    def __init__(
        self, wiring: Wiring, modes: Modes, solve: SolveMoved, at_rest: Mapping[str, CircuitFigure]
    ) -> None:
        self._wiring, self._modes, self._solve, self._at_rest = wiring, modes, solve, at_rest

    @cached_property
    def circuits(self) -> Mapping[str, Mapping[str, CircuitFigure]]:
        """By mode, the circuits that it alters."""
        altered = {mode: self._altered(self._moves(figure)) for mode, figure in self.figures.items()}
        return {mode: circuits for mode, circuits in altered.items() if circuits}

    @cached_property
    def figures(self) -> Mapping[str, ModeFigure]:
        """The modes, and the states of the switches, that move something as none before them does."""
        found: dict[str, ModeFigure] = {}
        if not self._movers:
            return found
        known: set[tuple[tuple[str, str], ...]] = set()
        for figure in self._modes.every:
            key = tuple(sorted(self._moves(figure).items()))
            named = figure.id in self._modes.figures
            if key and key not in known and figure.id != "jump_start" and (named or len(key) == 1):
                known.add(key)
                found[figure.id] = figure
        return found

    @cached_property
    def _movers(self) -> dict[str, str | None]:
        """What may be moved, and where it stands when consumers are asked for."""
        return {id: asked_state(part) for id, part in self._wiring.parts.items() if moves_the_feed(part)}

    def _moves(self, figure: ModeFigure) -> dict[str, str]:
        """Return what a mode moves from where it stands when consumers are asked for."""
        stands = {id: figure.positions[id] for id in self._movers if id in figure.positions}
        return {id: position for id, position in stands.items() if position != self._movers[id]}

    def _altered(self, moved: dict[str, str]) -> dict[str, CircuitFigure]:
        circuits = {one.id: one for one in load_circuits(self._wiring, self._solve(moved, False))}
        altered = {id: one for id, one in circuits.items() if self._is_other(one, self._at_rest.get(id))}
        return with_dips(altered, self._solve(moved, True)) if altered else {}

    @staticmethod
    def _is_other(one: CircuitFigure, rest: CircuitFigure | None) -> bool:
        if rest is None or rest.feeder != one.feeder:
            return True
        return abs((rest.loop_resistance_ohm or 0.0) - (one.loop_resistance_ohm or 0.0)) > SAME_OHM


__all__ = ["Moved", "moves_the_feed"]
