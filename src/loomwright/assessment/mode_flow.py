"""Currents and volts in a mode, worked out when somebody asks."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from loomwright.circuit.answer import Solution
from loomwright.circuit.network import Element, Limited, Load, Network, Source
from loomwright.circuit.solve import solve
from loomwright.plan.values import Quantity

from .mode_network import Asked, ModeNetwork
from .modes import ModeFigure

#: By so much a battery's current may pass its limit before it is held. [A]
SLACK_A = 1e-6
_GIVES, _LOAD = "gives ", "load "


@dataclass(frozen=True, slots=True)
class LoadFlow:
    """What one load gets: volts at its terminals, and its current. [V, A]"""

    volts: float
    amps: float


@dataclass(frozen=True, slots=True)
class ModeFlow:
    """What flows in a mode.

    Attributes
    ----------
    branch_a : mapping of str to float
        By wire, way, contact or stud: the current from its first point to its second. [A]
    volts : mapping of str to float
        By point, against the minus of a battery that it hangs together with; NaN where nothing settles. [V]
    loads : mapping of str to LoadFlow
        By load; one that nothing feeds is left out.
    gives_a : mapping of str to float
        By source; a battery's is below zero while it is charged. [A]
    collapsed : tuple of str
        Loads, and converters by their input, that ask for more than there is: the rest is without them.
    """

    branch_a: Mapping[str, float]
    volts: Mapping[str, float]
    loads: Mapping[str, LoadFlow]
    gives_a: Mapping[str, float]
    collapsed: tuple[str, ...]


class ModeFlows:
    """The currents of one van, in whatever mode is asked for.

    Parameters
    ----------
    network : ModeNetwork
        Builds the elements.
    """

    def __init__(self, network: ModeNetwork) -> None:
        self._network = network

    def of(
        self,
        figure: ModeFigure,
        running: Collection[str] | None = None,
        starting: Collection[str] | None = None,
        *,
        sun: bool = False,
    ) -> ModeFlow:
        """Return what flows in a mode.

        Parameters
        ----------
        figure : ModeFigure
            How the contacts stand and what gives.
        running : collection of str, optional
            The consumers and inverters that are on; if it is left out those that the mode names, else every
            consumer and no inverter.
        starting : collection of str, optional
            Those of them that are just starting; if it is left out those that the mode names.
        sun : bool
            Solar regulators give what their panels bring.
        """
        running = figure.running if running is None else running
        starting = figure.starting if starting is None else starting
        elements = self._network.elements(figure, Asked(running, starting, sun))
        too_much: list[str] = []
        while True:
            network, solution = self.settled(elements)
            falling = {id for one in solution.collapsed for id in one.loads}
            if not falling:
                return _flow(network, solution, tuple(too_much))
            too_much += sorted(falling)
            elements = [one for one in elements if one.id not in falling]

    def elements(self, figure: ModeFigure, asked: Asked) -> list[Element]:
        """Return the elements of a mode, as `ModeNetwork` gives them."""
        return self._network.elements(figure, asked)

    def settled(self, elements: Sequence[Element]) -> tuple[Network, Solution]:
        """Return the circuit and its solution; a battery that would take too much takes its limit."""
        network = Network(elements)
        solution = solve(network)
        for _ in self._limits:
            limits = self._limits.items()
            over = {id: most for id, most in limits if solution.amps.get(id, 0.0) < -most - SLACK_A}
            if not over:
                break
            network = Network([_held(one, over) for one in network.elements])
            solution = solve(network)
        return network, solution

    @property
    def _limits(self) -> dict[str, float]:
        """The most that each battery takes, where the plan says so, by element. [A]"""
        return {
            f"{_GIVES}{id}": part.charge_limit.high
            for id, part in self._network.wiring.parts.items()
            if part.kind == "battery" and isinstance(part.charge_limit, Quantity)
        }


def _held(element: Element, over: Mapping[str, float]) -> Element:
    """Return a battery that is charged as what takes its limit and no more, and gives nothing."""
    if isinstance(element, Source) and element.id in over:
        return Limited(element.id, element.minus, element.plus, -element.volts, over[element.id], element.ohm)
    return element


def _takes(element: Element) -> bool:
    """Say whether an element is a battery that is held at its charge limit."""
    return isinstance(element, Limited) and element.volts < 0.0


def _flow(network: Network, solution: Solution, too_much: tuple[str, ...]) -> ModeFlow:
    named = {one.id: one for one in network.elements if one.id.startswith((_GIVES, _LOAD, "takes "))}
    gives = {
        id.removeprefix(_GIVES): -amps if _takes(named[id]) else amps
        for id, amps in solution.amps.items()
        if id.startswith(_GIVES)
    }
    loads = {
        one.id.removeprefix(_LOAD): LoadFlow(solution.across(one.plus, one.minus), solution.amps[one.id])
        for one in named.values()
        if isinstance(one, Load) and one.id.startswith(_LOAD) and solution.amps[one.id] > 0.0
    }
    branches = {id: amps for id, amps in solution.amps.items() if id not in named}
    collapsed = tuple(id.removeprefix(_LOAD).removeprefix(_GIVES) for id in too_much)
    return ModeFlow(branches, solution.volts, loads, gives, collapsed)


__all__ = ["LoadFlow", "ModeFlow", "ModeFlows"]
