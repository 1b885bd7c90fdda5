"""The network behind an assessment, as elements of a circuit: for the reference and for the node sums."""

from __future__ import annotations

from functools import cache

from loomwright import Plan, read_text
from loomwright.assessment.assess import _Run
from loomwright.assessment.choose import choose
from loomwright.assessment.inputs import Corner
from loomwright.assessment.limits import limits_of
from loomwright.assessment.solve import Solved
from loomwright.assessment.topology import topology_of
from loomwright.circuit.network import Element, Load, Network
from loomwright.plan.pieces import take_apart

Current = dict[str, float]


@cache
def solved_van(text: str) -> Solved:
    """Return a plan's network with its loads solved, as its assessment holds it."""
    plan = read_text(text)
    wiring = take_apart(plan)
    topology = topology_of(wiring)
    chosen, result = choose(
        wiring, limits_of(plan), lambda trial: _Run(topology, Corner.BAD, trial).assessment()
    )
    solved, _, _ = _Run(topology, Corner.BAD, chosen)._settled()
    currents = dict(zip((b.id for b in solved.flow.branches), solved.branch_a().tolist(), strict=True))
    if not in_parallel(
        plan
    ):  # batteries in parallel share by their inner resistances, which ideal posts lack
        assert currents == dict(result.branch_a)  # these are the figures that wires are judged by
    return solved


def in_parallel(plan: Plan) -> bool:
    """Return whether a run joins the plus posts of two batteries."""
    kinds = {id: part.kind for id, part in plan.parts.items()}
    return any(
        kinds.get(run.from_.id) == "battery" and run.from_.terminal == "plus" and end.terminal == "plus"
        for run in plan.wiring.values()
        for end in run.to
        if kinds.get(end.id) == "battery"
    )


def network_of(solved: Solved) -> Network:
    """Return the network with everything on: wires, sources, and what each load takes."""
    elements: list[Element] = [branch.resistor() for branch in solved.flow.branches]
    elements += solved.flow.sources
    for k, port in enumerate(solved.flow.ports):
        if runs(solved, k):
            id = f"load {port.id}"
            elements.append(Load(id, port.plus, port.minus, port.amps, port.watts, port.siemens))
    return Network(elements)


def runs(solved: Solved, k: int) -> bool:
    """True if something is drawn at a port with everything on: fed, no charger."""
    return bool(solved.flow.reduced.live[k]) and bool(solved.together_a[k] > 0.0)
