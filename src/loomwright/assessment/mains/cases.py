"""One source and how everything stands, as a network: a pitch behind its lead, an inverter, a generator.

From the source the cables are followed through what may stand closed, each device in one position. What the
source does not reach is left out. The shell stands on its tyres; bonds tie it to the earth of the van.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field

from loomwright.mains.records import BODY, GROUND, Breaker, Device, Feed, Link, Net, Node, Residual
from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity
from loomwright.protection.resistance import conductor_resistance
from loomwright.source import Source

from .layout import Bond, Contact, Gate, Layout, Span
from .pitch import Pitch

COLD_C, HOT_C = 20.0, 70.0
#: The post and, behind its breaker, the end of the lead.
POST, LEAD = "post", "post|out"
#: Metal pipes and taps that nothing bonds.
PIPE: Node = ("pipe", "")
#: Of a van on its tyres to the ground. [Ω]
TYRES_OHM = 1e7
TYRES_SOURCE = Source(work="from memory", place="tyres on dry ground: megohms", checked="from memory")
#: An inverter gives so many times its rated current into a short, for a moment; the low end of what is told.
SHORT_MULTIPLE = 1.5
SHORT_SOURCE = Source(
    work="common practice",
    place="inverters limit a short to 1.5 to 3 times their rating",
    checked="from memory",
)
#: Resistance counted inside of whatever makes mains. [Ω]
MADE_OHM = 0.1
#: Bonds of neutral and earth that are closed while an inverter or a generator feeds.
BONDED = ("fixed", "relay", "external")


@dataclass(frozen=True, slots=True)
class Reach:
    """What a source reaches: how it came to each point, and which devices stand where for that."""

    start: str
    came: dict[str, tuple[str, Span | Gate | Contact | None]]

    def way(self, point: str) -> list[Span | Gate | Contact]:
        """Return what lies between the source and a point, from the source on."""
        found: list[Span | Gate | Contact] = []
        while (step := self.came[point][1]) is not None:
            found.append(step)
            point = self.came[point][0]
        return found[::-1]

    def gates(self, point: str) -> list[Gate]:
        """Return the breakers and RCDs between the source and a point, from the source on."""
        return [one for one in self.way(point) if isinstance(one, Gate)]


def reach_of(layout: Layout, start: str, *, passing: tuple[str, ...] = ()) -> Reach:
    """Return what a source reaches from a point.

    Parameters
    ----------
    layout : Layout
        The mains side.
    start : str
        `inlet.out`, or the inside of what makes mains.
    passing : tuple of str
        Inverter-chargers that pass their input on.
    """
    steps: dict[str, list[tuple[str, Span | Gate | Contact]]] = {}
    through = tuple(Contact(id, f"{id}.in", f"{id}.out") for id in passing)
    every: tuple[Span | Gate | Contact, ...] = (*layout.spans, *layout.gates, *layout.contacts, *through)
    for one in every:
        steps.setdefault(one.a, []).append((one.b, one))
        steps.setdefault(one.b, []).append((one.a, one))
    came: dict[str, tuple[str, Span | Gate | Contact | None]] = {start: (start, None)}
    stands: dict[str, str] = {}
    queue = deque([start])
    while queue:
        point = queue.popleft()
        for to, step in steps.get(point, ()):
            if to in came:
                continue
            if isinstance(step, Contact) and not _may_stand(step, stands):
                continue
            came[to] = (point, step)
            queue.append(to)
    return Reach(start, came)


def _may_stand(contact: Contact, stands: dict[str, str]) -> bool:
    """Return whether a contact may be closed, and keep its device in that position."""
    return not contact.position or stands.setdefault(contact.part, contact.position) == contact.position


@dataclass(slots=True)
class _Draft:
    """Links and devices of a net under way."""

    temp_c: float
    lives: tuple[str, ...]
    links: list[Link] = field(default_factory=list)
    devices: list[Device] = field(default_factory=list)

    @property
    def cores(self) -> tuple[str, ...]:
        return (*self.lives, "neutral")

    def join(self, id: str, a: str, b: str, ohm: float, cores: tuple[str, ...]) -> None:
        """Lead cores from one point to another."""
        self.links += [Link(f"{id}.{core}", (a, core), (b, core), ohm) for core in cores]

    def gate(
        self, id: str, a: str, b: str, breaker: Breaker | None, residual: Residual | None, poles: int
    ) -> None:
        """Put a device into the live cores; the earth goes past it."""
        self.join(id, a, b, 0.0, (*self.cores, "earth"))
        passing = tuple(f"{id}.{core}" for core in self.cores)
        opens = passing if poles > len(self.lives) else passing[:-1]
        self.devices.append(Device(id, passing, opens, breaker, residual))

    def reached(self, layout: Layout, reach: Reach) -> None:
        """Add all that a source reaches."""
        for point, (before, step) in reach.came.items():
            if step is None:
                continue
            if isinstance(step, Span):
                cores = self.cores if step.cores < 3 else (*self.cores, "earth")
                self.join(step.id, before, point, step.ohm(self.temp_c), cores)
            elif isinstance(step, Gate) and (step.breaker or step.residual):
                poles = step.poles if step.poles is not None else 1
                self.gate(step.id, before, point, step.breaker, step.residual, poles)
            else:
                id = step.id if isinstance(step, Gate) else f"{step.part}.{step.a}.{step.b}"
                self.join(id, before, point, 0.0, (*self.cores, "earth"))
        self.links.append(Link("tyres", BODY, GROUND, TYRES_OHM))
        if layout.loose_pipes:
            self.links.append(Link("pipes", PIPE, GROUND, TYRES_OHM))
        for bond in layout.bonds:
            self._bond(bond, reach)

    def _bond(self, bond: Bond, reach: Reach) -> None:
        part, _, terminal = bond.a.rpartition(".")
        inner = f"{part}.in" if terminal == "earth" else f"{part}.out"
        if inner in reach.came:
            ohm = (
                conductor_resistance(bond.area_mm2, bond.length_m, self.temp_c)
                if bond.area_mm2 and bond.length_m
                else 0.0
            )
            self.links.append(Link(f"{bond.piece}.bond", (inner, "earth"), BODY, ohm))


def pitch_net(layout: Layout, reach: Reach, pitch: Pitch, temp_c: float, share: float = 1.0) -> Net:
    """Return the network of a van on a pitch.

    Parameters
    ----------
    layout : Layout
        The mains side of the van.
    reach : Reach
        From an inlet.
    pitch : Pitch
        The supply and its lead.
    temp_c : float
        Of the copper. [°C]
    share : float
        Of the nominal volts: less for the smallest fault current.
    """
    lives = ("line", "line_2")[: pitch.legs]
    draft = _Draft(temp_c, lives)
    star: Node = ("star", "neutral")
    if not pitch.floats:
        draft.links.append(Link("star", star, GROUND, 0.0))
    feeds = []
    grounded = "line" if pitch.reversed and pitch.legs == 1 else "neutral"
    for core in draft.cores:
        if core == grounded:
            if pitch.open_core != "neutral":
                draft.links.append(Link("pitch.back", star, (POST, core), pitch.back_ohm))
        else:
            volts = (-1.0 if core == "line_2" else 1.0) * pitch.volts * share
            feeds.append(Feed(f"pitch.{core}", (POST, core), star, volts, pitch.live_ohm))
    if pitch.open_core != "earth" and pitch.earthing in ("tn", "tt"):
        ohm = pitch.back_ohm if pitch.earthing == "tn" else pitch.electrode_ohm
        draft.links.append(
            Link("pitch.earth", (POST, "earth"), star if pitch.earthing == "tn" else GROUND, ohm)
        )
    draft.gate(POST, POST, LEAD, Breaker(pitch.rated_a), pitch.residual, len(lives) + 1)
    lead = conductor_resistance(pitch.lead_mm2, pitch.lead_m, temp_c)
    draft.join("lead", LEAD, reach.start, lead, (*draft.cores, "earth"))
    draft.reached(layout, reach)
    return Net(tuple(draft.links), tuple(feeds), tuple(draft.devices))


def maker_net(layout: Layout, reach: Reach, part: Part, volts: float, temp_c: float, *, bonded: bool) -> Net:
    """Return the network of a van fed by its own inverter or generator, hook-up pulled."""
    draft = _Draft(temp_c, ("line",))
    start = reach.start
    most = None
    if part.kind != "generator" and isinstance(part.power, Quantity):
        most = SHORT_MULTIPLE * part.power.high / volts
    feed = Feed(f"{start}.feed", (start, "line"), (start, "neutral"), volts, MADE_OHM, most)
    draft.links.append(Link("case", (start, "earth"), (start, "frame"), 0.0))
    if bonded:
        draft.links.append(Link("neutral_bond", (start, "neutral"), (start, "earth"), 0.0))
    draft.reached(layout, reach)
    return Net(tuple(draft.links), (feed,), tuple(draft.devices))


def is_bonded(part: Part) -> bool:
    """Return whether neutral and earth are bonded while this part makes mains, by what the plan says."""
    return part.neutral_bond in BONDED


def sources_of(wiring: Wiring, layout: Layout) -> Iterator[tuple[str, Reach]]:
    """Give each inlet and each maker with what it reaches."""
    passing = tuple(id for id in layout.makers if wiring.parts[id].kind == "inverter_charger")
    for id in layout.inlets:
        yield id, reach_of(layout, f"{id}.out", passing=passing)
    for id in layout.makers:
        yield id, reach_of(layout, f"{id}|makes")


__all__ = ["LEAD", "PIPE", "POST", "Reach", "is_bonded", "maker_net", "pitch_net", "reach_of", "sources_of"]
