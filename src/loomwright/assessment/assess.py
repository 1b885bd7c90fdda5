"""The one place that turns a plan into inputs, runs the sciences in order, and waits until nothing changes.

Plan -> pieces -> contacts as asked for -> network -> currents -> ratings and copper temperature -> sizes and
fuses where `auto` -> again. The order is the whole of this module; the sums are in the sciences below it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property, partial
from typing import NamedTuple

import numpy as np

from loomwright.plan.model import Plan
from loomwright.plan.pieces import FlatRun, Wiring, take_apart
from loomwright.plan.values import Quantity
from loomwright.protection.resistance import copper_temperature
from loomwright.tables.appliances import APPLIANCE_SOURCE, USUAL_CHARGER_EFFICIENCY

from .breaks import Broken
from .breaks_network import breaks_network
from .bundling import loaded_together
from .chargers import ports_of
from .charging import Charge, charges_of, lasting_charge, link_net
from .choose import choose
from .circuits import load_circuits
from .diodes import conducting
from .dips import with_dips
from .faults import Faults
from .feeding import circuits_in_other_positions, load_figures
from .flow import Potentials, flow
from .inputs import Corner, Inputs, Unsure
from .leads import lead_figures
from .limits import limits_of
from .loads import system_volts
from .loom import Loom
from .mains.side import MainsSide
from .mode_flow import ModeFlows
from .mode_network import ModeNetwork
from .moved import Moved
from .network import Branch, NetworkBuilder
from .passages import main_fuses, passage_figures, stud_figures
from .record import Assessment, CircuitFigure, WireFigure
from .sag import UnderLoad
from .sizes import Chosen, rating_table, size_of
from .solve import Converts, Solved, drawn_from, given_by, shared_out, solve, through
from .sources import converter_volts, is_battery, sources_of
from .states import standing
from .topology import Topology, topology_of
from .wires import Lost, RunDrop, WireBook, rating_of

#: Copper warms its own resistance; two turns bring the temperature within a tenth of a degree.
COPPER_TURNS = 2


def assess(plan: Plan, corner: Corner = Corner.BAD) -> Assessment:
    """Work out everything about a plan.

    Parameters
    ----------
    plan : Plan
        As `read_plan` gives it.
    corner : Corner
        Which end of every unknown figure is counted with.

    Returns
    -------
    Assessment
        Frozen; every figure with its inputs and sources.
    """
    corners = Corners(plan)
    return corners.bad if corner is Corner.BAD else corners.good


class Corners:
    """The assessments of a plan at the bad and at the good end of every unknown figure, with one choice.

    The good one is worked out when it is first asked for: where nothing is found at the bad end, nothing
    that is unknown can matter.
    """

    def __init__(self, plan: Plan) -> None:
        self.topology = topology_of(take_apart(plan))
        self.unsure: Mapping[str, Unsure] = {}  # what is not known exactly, by field
        self.chosen, self.bad = choose(self.topology.wiring, limits_of(plan), self._bad)

    def _bad(self, trial: Chosen) -> Assessment:
        run = _Run(self.topology, Corner.BAD, trial)
        self.unsure = run.inputs.unsure
        return run.assessment()

    @cached_property
    def good(self) -> Assessment:
        """At the good end."""
        warm = {id: wire.copper_c for id, wire in self.bad.wires.items()}
        return _Run(self.topology, Corner.GOOD, self.chosen, warm).assessment()

    def at(
        self,
        corner: Corner,
        pinned: Mapping[str, float] | None = None,
        turned: frozenset[str] = frozenset(),
    ) -> Worked:
        """Return the van at another corner, with the same choice of sizes and fuses.

        Parameters
        ----------
        corner : Corner
            Which end of what is not known exactly is counted with.
        pinned, turned
            As in `Inputs`.
        """
        return _Run(self.topology, corner, self.chosen, pinned=pinned, turned=turned).worked()


class Worked(NamedTuple):
    """An assessment with what it was read off: the network solved, and what in it is not known exactly.

    `shared` is `solved` with the currents parted between batteries by their inner resistances, `inside` has
    these resistances in its volts too.
    """

    assessment: Assessment
    solved: Solved
    shared: Solved
    inside: Solved
    unsure: Mapping[str, Unsure]


class _Run:
    """One assessment of one van at one corner with given choices."""

    def __init__(
        self,
        topology: Topology,
        corner: Corner,
        chosen: Chosen,
        copper_c: Mapping[str, float] | None = None,
        pinned: Mapping[str, float] | None = None,
        turned: frozenset[str] = frozenset(),
    ) -> None:
        """`copper_c`: of each piece if it is known already. [°C] `pinned`, `turned`: as in `Inputs`."""
        self.topology, self.standing = topology, topology.standing
        self.wiring = wiring = topology.wiring
        self.plan = wiring.plan
        self.inputs = Inputs(wiring.plan, corner, pinned or {}, turned)
        self.chosen, self.copper_c = chosen, copper_c
        self.ports = ports_of(wiring, self.inputs)
        self.sizes = {
            piece.id: size_of(topology.routes, flat, piece, self.inputs, chosen)
            for flat in wiring.runs.values()
            for piece in flat.pieces
        }
        table = rating_table(wiring.plan)
        self.ratings = {id: rating_of(table, size) for id, size in self.sizes.items()}
        self.converters = _converters(wiring, self.inputs)

    def assessment(self) -> Assessment:
        return self.worked().assessment

    def worked(self) -> Worked:
        solved, builder, branches = self._settled()
        circuits = {circuit.id: circuit for circuit in load_circuits(self.wiring, solved)}
        circuits |= circuits_in_other_positions(
            self.wiring, solved, lambda moved: self._solve(self._standing_branches(builder, moved))
        )
        inside = self._solve(branches, inside=True)
        circuits = with_dips(circuits, inside)
        batteries = [id for id in self.wiring.parts if is_battery(self.wiring, id)]
        shared = shared_out(solved, inside, batteries)
        charges = charges_of(self.wiring, self.inputs, solved, builder, self.standing, circuits.values())
        for charge in charges:
            circuits.setdefault(charge.circuit.id, charge.circuit)
        lasting, charging = _by_branch(shared), lasting_charge(charges)
        most = {id: max(abs(lasting.get(id, 0.0)), charging.get(id, 0.0)) for id in {*lasting, *charging}}
        order = {id: k for k, id in enumerate(self.wiring.runs)}
        wires = self._wires(solved, builder, circuits, charges, lasting, charging)

        def solve_moved(moved: Mapping[str, str], inside: bool) -> Solved:
            return self._solve(self._standing_branches(builder, moved), inside=inside)

        done = Assessment(
            plan=self.plan,
            wiring=self.wiring,
            wires=wires,
            circuits=dict(sorted(circuits.items(), key=lambda item: order.get(item[1].wire, 0))),
            studs=stud_figures(self.wiring, branches, most),
            loads=load_figures(self.wiring, solved, circuits),
            passages=passage_figures(self.wiring, branches, most, self.converters, shared),
            main_fuses=main_fuses(self.wiring, most),
            drawn_a=self._drawn(shared),
            given_a={id: given_by(shared, id) for id in self._givers(shared)},
            open_ends=self.topology.open_ends,
            collapsed=solved.collapsed,
            clash=solved.flow.reduced.clash,
            idle_a=self._idle(solved),
            branch_a=lasting,
            poles=self.topology.poles,
            leads=lead_figures(self.wiring, wires),
            through=through(shared),
            under_load=UnderLoad(
                self.wiring, self.inputs, inside.flow, partial(link_net, self.wiring, builder, self.standing)
            ),
            loom=Loom(self.topology.routes, wires),
            mains=MainsSide(self.wiring, wires),
            standing=self.standing,
            modes=self.topology.modes,
            moved=Moved(self.wiring, self.topology.modes, solve_moved, circuits),
            breaks=Broken(
                inside.flow,
                lambda net: breaks_network(self.wiring, net, _taken(solved), most, self.standing.links),
                wires,
                self.topology.poles,
            ),
            flows=ModeFlows(ModeNetwork(self.wiring, self.inputs, builder, self.converters)),
            faults=Faults(
                self.topology,
                self.chosen,
                self.inputs.corner,
                {id: size.length.value for id, size in self.sizes.items()},
                wires,
                self.inputs.turned,
            ),
        )
        return Worked(done, solved, shared, inside, self.inputs.unsure)

    def _idle(self, solved: Solved) -> dict[str, float]:
        """Return what each battery gives with everything off: sources against each other, or a short. [A]"""
        amps = np.nan_to_num(solved.flow.reduced.source_b0)
        pairs = zip(solved.flow.sources, amps, strict=True)
        return {source.id: float(a) for source, a in pairs if is_battery(self.wiring, source.id)}

    def _drawn(self, solved: Solved) -> dict[str, float]:
        """Return what each battery and converter gives with everything on. [A]"""
        return {id: drawn_from(solved, id) for id in self._givers(solved)}

    def _givers(self, solved: Solved) -> list[str]:
        ids = (source.id for source in solved.flow.sources)
        return [id for id in ids if is_battery(self.wiring, id) or id in self.converters]

    # --- the loop ------------------------------------------------------------------------------------

    def _settled(self) -> tuple[Solved, NetworkBuilder, list[Branch]]:
        """Solve until the copper has the temperature of its own current."""
        pinned = self.plan.basis.copper
        if isinstance(pinned, Quantity):
            copper, turns = dict.fromkeys(self.sizes, pinned.high), 1
        elif self.copper_c is not None:
            copper, turns = dict(self.copper_c), 1
        else:
            copper, turns = {id: size.ambient_c for id, size in self.sizes.items()}, COPPER_TURNS
        for _ in range(turns):
            builder = NetworkBuilder(self.wiring, self.inputs, self.sizes, self.chosen, copper)
            branches = builder.branches(self.standing.closed)
            solved = self._solve(branches)
            self._bundle(solved)
            copper = self._copper(solved)
        return solved, builder, branches

    def _solve(self, branches: Sequence[Branch], *, inside: bool = False) -> Solved:
        sources = sources_of(self.wiring, self.inputs, inside=inside)
        diodes = conducting(self.wiring, self.standing.closed, sources)
        return solve(flow(branches, [*sources, *diodes], self.ports), self.converters)

    def _standing_branches(self, builder: NetworkBuilder, moved: Mapping[str, str]) -> list[Branch]:
        return builder.branches(standing(self.wiring, moved).closed)

    def _bundle(self, solved: Solved) -> None:
        """Derate each wire by the loaded cores that lie with it, where the plan does not say how many."""
        table = rating_table(self.plan)
        together = loaded_together(self.topology.routes, self.sizes, _by_branch(solved))
        for id, count in together.items():
            if self.sizes[id].bundled != count:
                self.sizes[id] = self.sizes[id].with_bundled(count)
                self.ratings[id] = rating_of(table, self.sizes[id])

    def _copper(self, solved: Solved) -> dict[str, float]:
        """Return the copper temperature of each piece at its running current. [°C]"""
        amps, found = _by_branch(solved), {}
        for id, size in self.sizes.items():
            rating, ambient = self.ratings[id], size.ambient_c
            if rating is None or rating.amps <= 0:
                found[id] = ambient
                continue
            current = min(abs(amps.get(id, 0.0)), rating.amps)
            found[id] = copper_temperature(ambient, size.insulation_c, current, rating.amps)
        return found

    # --- wires ---------------------------------------------------------------------------------------

    def _wires(
        self,
        solved: Solved,
        builder: NetworkBuilder,
        circuits: Mapping[str, CircuitFigure],
        charges: Sequence[Charge],
        lasting: Mapping[str, float],
        charging: Mapping[str, float],
    ) -> dict[str, WireFigure]:
        peak = _peaks(solved, charging)
        book = WireBook(
            self.topology, builder, solved, lasting, charging, peak, self.ratings, self.converters
        )
        drops = _Drops(self.wiring, solved, charges)
        found: dict[str, WireFigure] = {}
        for flat in self.wiring.runs.values():
            own = drops.own(flat, circuits)
            lost = Lost() if flat.mains else drops.lost(flat, own, book)
            system_v = own.system_v if own is not None else self._system(flat.pieces[0].a)
            for piece in flat.pieces:
                found[piece.id] = book.figure(flat, piece, (lost, system_v), own)
        return found

    def _system(self, point: str) -> float:
        """Return 12 or 24: what percentages are of at a point that no circuit of its own tells. [V]"""
        for part_id, points in self.topology.behind.items():
            if point in points and part_id in self.converters:
                return 24.0 if self.converters[part_id].volts > 18 else 12.0
        return system_volts(self.plan)


class _Drops:
    """Picks the currents each run's drop is counted at: its charger's, its loads', or everything on."""

    def __init__(self, wiring: Wiring, solved: Solved, charges: Sequence[Charge]) -> None:
        self.wiring, self.solved = wiring, solved
        self.charges = {charge.circuit.wire: charge for charge in charges}
        self.along = RunDrop(wiring, solved.flow.branches)
        self.alone_a = solved.alone_branch_a()
        self.together = Potentials(solved.flow.branches, solved.branch_a())
        self.apart = Potentials(solved.flow.branches, self.alone_a)

    def own(self, flat: FlatRun, circuits: Mapping[str, CircuitFigure]) -> CircuitFigure | None:
        charge = self.charges.get(flat.id)
        return charge.circuit if charge is not None else circuits.get(flat.id)

    def lost(self, flat: FlatRun, own: CircuitFigure | None, book: WireBook) -> Lost:
        """Return what is lost along a run and its return."""
        charge, index = self.charges.get(flat.id), self.solved.flow.index
        if charge is not None and charge.joins_batteries(self.wiring):
            return Lost(charge.circuit.drop_v)
        if charge is not None:
            return self.along.along_circuit(flat, charge.circuit, charge.drops, None)
        if own is not None and own.load in index:
            return self.along.along_circuit(flat, own, self.apart, index[own.load])
        if len(flat.loads) > 1:
            on = [k for k, port in enumerate(self.solved.flow.ports) if port.plus in flat.loads]
            run_only = Potentials(self.solved.flow.branches, self.alone_a[:, on].sum(axis=1))
            return self.along.along_circuit(flat, None, run_only, None)
        amps = {piece.id: book.current(flat, piece, own) for piece in flat.pieces}
        return self.along.along_feeder(flat, amps, self.together)


def _by_branch(solved: Solved) -> dict[str, float]:
    amps = solved.branch_a()
    return {branch.id: float(amps[k]) for k, branch in enumerate(solved.flow.branches)}


def _taken(solved: Solved) -> dict[str, float]:
    """Return what each converter takes at its input with everything on. [W]"""
    return {port.part: port.watts for port in solved.flow.ports if port.kind == "converter_input"}


def _peaks(solved: Solved, charging: Mapping[str, float]) -> dict[str, float]:
    """Return the largest current of each branch: all on with the hardest single start, or chargers. [A]"""
    net, base = solved.flow, np.abs(solved.branch_a())
    extra = np.nan_to_num(solved.start_a - np.nan_to_num(solved.alone_a)).clip(min=0.0)
    rise = np.abs(np.nan_to_num(net.reduced.share) * extra).max(axis=1, initial=0.0)
    return {
        branch.id: max(float(base[k] + rise[k]), charging.get(branch.id, 0.0))
        for k, branch in enumerate(net.branches)
    }


def _converters(wiring: Wiring, inputs: Inputs) -> dict[str, Converts]:
    """Return what each converter gives, by part id."""
    found = {}
    for part_id, part in wiring.parts.items():
        if part.kind == "converter" and part.wired is not False:
            limit = part.current if isinstance(part.current, Quantity) else part.fold_back
            amps = limit.high if isinstance(limit, Quantity) else float("inf")
            field = f"parts.{part_id}.efficiency"
            share = inputs.pick(
                part.efficiency, USUAL_CHARGER_EFFICIENCY, field, APPLIANCE_SOURCE, worse="low"
            )
            found[part_id] = Converts(converter_volts(wiring, part_id), amps, share.value)
    return found


__all__ = ["Corner", "Corners", "assess"]
