"""What an assessment holds: frozen records, every figure with its unit in its name and its chain of sums."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from loomwright.plan.model import Plan
from loomwright.plan.pieces import Wiring
from loomwright.source import Source
from loomwright.steps import Step

from .poles import Poles

if TYPE_CHECKING:
    from .breaks import Broken
    from .faults import Faults
    from .loom import Loom
    from .mains.side import MainsSide
    from .mode_flow import ModeFlows
    from .modes import Modes
    from .moved import Moved
    from .sag import UnderLoad
    from .states import Standing


@dataclass(frozen=True, slots=True)
class Ohm:
    """One resistance on the way of a current: what it is, where, how much, and whence the figure.

    Attributes
    ----------
    owner : str
        The wire, part or stud it belongs to.
    what : str
        In words: "copper", "crimps", "fuse 15 A", "stud", "body" ...
    ohm : float
        [Ω]
    unknown : str
        Dotted field to fill in if this figure is a guess, else "".
    sum : Step or None
        How it was worked out; None for a figure taken as it stands.
    """

    owner: str
    what: str
    ohm: float
    source: Source | None = None
    unknown: str = ""
    sum: Step | None = None


@dataclass(frozen=True, slots=True)
class FuseFigure:
    """One fuse of a wire: where it sits, what it is, what lasts through it."""

    at: str
    rating_a: float | None
    kind: str
    breaks_a: float | None
    lasting_a: float | None
    auto: bool = False
    unknown: bool = False
    largest_safe_a: float | None = None  # the largest standard rating that its wire's derated rating holds


@dataclass(frozen=True, slots=True)
class WireFigure:
    """One piece of wire with everything worked out about it; None where a figure is not to be had."""

    id: str
    run: str
    role: str
    from_: str
    to: str
    area_mm2: float | None
    gauge: str
    length_m: float | None
    colour: str
    insulation: str
    ambient_c: float
    bundled: int
    engine_space: bool
    rating_a: float | None
    rating_basis: str
    rating_steps: tuple[Step, ...]
    current_a: float | None
    peak_a: float | None
    fuses: tuple[FuseFigure, ...]
    drop_v: float | None
    drop_pct: float | None
    joint_v: float
    copper_c: float
    chosen: frozenset[str] = frozenset()
    unknown: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    mains: bool = False
    inner: bool = False
    factory: bool = False
    upstream_fuse: FuseFigure | None = None
    ohms: tuple[Ohm, ...] = ()
    drop_steps: tuple[Step, ...] = ()  # of the whole run and its return, where no circuit is its own


@dataclass(frozen=True, slots=True)
class Share:
    """What one resistance takes of a circuit's drop, or of a dip; `felt` counts in a dip only."""

    ohm: Ohm
    part_of_current: float
    volts: float
    felt: float = 1.0


@dataclass(frozen=True)
class Dip:
    """What a load sees when another starts, the battery's inside resistance included.

    `start_a` is the current of that start, `before_v` and `while_v` the volts at the load.
    """

    load: str
    by_start_of: str
    dip_v: float
    start_a: float
    before_v: float
    while_v: float
    share_out: Callable[[], tuple[Share, ...]] = field(compare=False, repr=False)

    @cached_property
    def shares(self) -> tuple[Share, ...]:
        """What each shared element puts into it, largest first, without what hardly counts.

        `part_of_current` is that of the start, `felt` that of the load which dips. Worked out when asked
        for: a van has hundreds of dips and shows few of them.
        """
        return self.share_out()


@dataclass(frozen=True, slots=True)
class CircuitFigure:
    """One run and one load: alone, together with all others, at its start, and what others do to it.

    `drop_run_v` is the drop with all loads of its own run on and nothing else.
    `path` is "ordinary", "charging" (to a charger, from one to its battery, panel to regulator, relay link)
    or "signal" (coils, signals, panels: judged by nothing but being fed).
    """

    id: str
    wire: str
    load: str
    path: str
    feeder: str
    system_v: float
    running_a: float | None
    start_a: float | None
    start_s: float | None
    loop_resistance_ohm: float | None
    drop_v: float | None
    drop_pct: float | None
    drop_together_v: float | None
    drop_run_v: float | None
    start_drop_v: float | None
    start_drop_pct: float | None
    load_v: float | None
    start_load_v: float | None
    shares: tuple[Share, ...] = ()
    dips: tuple[Dip, ...] = ()
    steps: tuple[Step, ...] = ()
    unknown: tuple[str, ...] = ()
    worst_shared: str = ""


@dataclass(frozen=True, slots=True)
class StudFigure:
    """One stud: the sum of currents, the volts in its contact, its rings.

    `rings` has the lasting current of the wire under each ring, by wire; `ohm` is the contact.
    """

    id: str
    current_a: float
    volts_v: float
    lugs: int
    place: str
    rings: tuple[tuple[str, float], ...] = ()
    ohm: Ohm | None = None


@dataclass(frozen=True, slots=True)
class LoadFigure:
    """One thing that takes current: is it fed, from where, at what volts, of what class."""

    id: str
    part: str
    kind: str
    fed: bool
    feeder: str
    volts_v: float | None
    class_low_v: float
    class_high_v: float
    open_minus: bool
    open_plus: bool
    reversed_: bool = False


@dataclass(frozen=True, slots=True)
class PassageFigure:
    """A contact, pin, dimmer, panel output or converter: the lasting current and what it may carry.

    `branch` is that of the network, "" for a bar or converter; `unknown` the field to fill in if its ohms
    are a guess.
    """

    part: str
    what: str
    current_a: float
    rating_a: float
    volts_v: float
    branch: str = ""
    unknown: str = ""


@dataclass(frozen=True, slots=True)
class LeadFigure:
    """A lead that a part comes with: what it carries for good, and the fuse before it."""

    part: str
    run: str
    area_mm2: float
    rating_a: float
    rating_basis: str
    fuse: FuseFigure


@dataclass(frozen=True, slots=True)
class Through:
    """Whose current flows in which branch with everything on; `amps` has shape (branches, loads). [A]"""

    branches: tuple[str, ...]
    loads: tuple[str, ...]
    amps: NDArray[np.float64] = field(repr=False, compare=False)

    def by_load(self, branch: str) -> dict[str, float]:
        """Return what each load adds to the current of a branch, without what flows with nothing on. [A]"""
        if branch not in self.branches:
            return {}
        row = self.amps[self.branches.index(branch)]
        return {load: float(a) for load, a in zip(self.loads, row, strict=True) if a}


@dataclass(frozen=True, slots=True)
class Assessment:
    """Everything worked out from one plan; findings, drawings and lists read it and add no sums."""

    plan: Plan
    wiring: Wiring
    wires: Mapping[str, WireFigure]
    circuits: Mapping[str, CircuitFigure]
    studs: Mapping[str, StudFigure]
    loads: Mapping[str, LoadFigure]
    passages: tuple[PassageFigure, ...]
    main_fuses: Mapping[str, FuseFigure]  # by fuse box
    drawn_a: Mapping[str, float]  # by battery or converter, everything on
    given_a: Mapping[str, Mapping[str, float]]  # the same, by what takes it
    faults: Faults  # shorts, and ends without a fuse
    breaks: Broken  # what stops, goes on and is live when something comes open
    modes: Modes  # who feeds what when the van is parked, driven ...
    flows: ModeFlows  # currents and volts then
    moved: Moved  # circuits with a selector or change-over moved
    under_load: UnderLoad  # volts and power by charge and temperature of the batteries
    loom: Loom  # the way of each wire through the paths of the van, and what lies together
    mains: MainsSide  # the 230/120 V side, source by source and pitch by pitch
    standing: Standing  # how the contacts stand when consumers are asked for
    open_ends: tuple[tuple[str, str], ...] = ()  # (wire, end point) that lead nowhere
    collapsed: tuple[str, ...] = ()
    clash: tuple[str, ...] = ()  # sources joined against each other without any resistance
    idle_a: Mapping[str, float] = field(default_factory=dict)  # what each source gives with everything off
    choices: tuple[str, ...] = field(default=())
    branch_a: Mapping[str, float] = field(default_factory=dict)
    poles: Poles = field(default_factory=Poles)
    leads: tuple[LeadFigure, ...] = ()
    through: Through = field(default_factory=lambda: Through((), (), np.zeros((0, 0))))

    def circuits_in(self, mode: str) -> Mapping[str, CircuitFigure]:
        """Return the circuits at rest (""), or those that a mode alters by moving a selector."""
        return self.moved.circuits.get(mode, {}) if mode else self.circuits
