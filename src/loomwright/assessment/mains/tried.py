"""One case worked out: what carries current, what opens when, what a person meets before and after.

Volts and amperes are those of a tester, cold copper and nominal volts; what opens is judged as for the rules,
hot and, where the region counts with it, with less than the nominal volts.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.mains.clearing import Clearing, clear
from loomwright.mains.net import solve
from loomwright.mains.records import BODY, GROUND, Fault, Net, Node, State
from loomwright.mains.touch import dangerous, touch
from loomwright.tables.iec_60364_4_41 import FINAL_S
from loomwright.tables.iec_60479_1 import PERSON_OHM

from .case import Case, opened_before
from .cases import COLD_C, HOT_C, PIPE
from .trying import CaseNets, Stand

#: Here what runs matters: without it a neutral carries nothing.
WITH_LOADS = ("none", "neutral_case")


@dataclass(frozen=True, slots=True)
class Touch:
    """What someone on the ground touches, "case", "body", "pipe" or "line"; volts across them. [V]"""

    thing: str
    node: Node
    before_v: float
    after_v: float

    @property
    def before_ma(self) -> float:
        """Through the person at first. [mA]"""
        return self.before_v / PERSON_OHM * 1e3

    @property
    def after_ma(self) -> float:
        """Through the person afterwards. [mA]"""
        return self.after_v / PERSON_OHM * 1e3


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of a case.

    Attributes
    ----------
    case : Case
        Settled.
    stand : Stand
        How the van is fed.
    before, after : State
        Volts and amperes at first, and when all that has to open has opened.
    clearing : Clearing
        What opens, in order.
    touches : tuple of Touch
        What people touch.
    held : Clearing or None
        What opens once somebody touches the worst of it, where it stays dangerous by itself.
    running : tuple of str
        What runs.
    allowed_s : float
        In so many seconds a live case has to be off. [s]
    opened_before : frozenset of str
        Links that are open before anything goes wrong.
    bonds : tuple
        Of the earth to the body: the point inside the part, and the link.
    """

    case: Case
    stand: Stand
    before: State
    after: State
    clearing: Clearing
    touches: tuple[Touch, ...]
    held: Clearing | None
    running: tuple[str, ...]
    allowed_s: float
    opened_before: frozenset[str] = frozenset()
    bonds: tuple[tuple[str, str], ...] = ()

    @property
    def stays(self) -> bool:
        """True if something that people touch is dangerous for longer than is allowed."""
        return self.clearing.dangerous_for.high > self.allowed_s

    @property
    def lasts_s(self) -> float:
        """How long somebody who touches the worst of it is in danger at most; 0 if never. [s]"""
        return (self.held or self.clearing).dangerous_for.high

    @property
    def worst(self) -> Touch:
        """The touch with the most volts, those that stay first."""
        return max(self.touches, key=lambda one: (round(one.after_v, 6), round(one.before_v, 6)))

    @property
    def verdict(self) -> tuple[object, ...]:
        """What a judge would say of it: how it ends, whatever the core is called."""
        devices = tuple(one.device for one in self.clearing.openings)
        return self.stays, devices, bool(self.clearing.still_live), self.clearing.never


def tried(nets: CaseNets, case: Case) -> Tried:
    """Work a case out.

    Parameters
    ----------
    nets : CaseNets
        Of the van.
    case : Case
        Settled.
    """
    stand, loaded = nets.stand(case), case.fault in WITH_LOADS
    cold = nets.net(case, loaded, COLD_C)
    hot = nets.net(case, loaded, HOT_C, least=True)
    point = nets.side.layout.outlets[case.outlet]
    fault, things = _goes_wrong(case, stand, point, cold)
    touched = tuple(things.values())
    person = (touched[0], GROUND) if case.fault == "hand" else None
    lost = opened_before(case, cold)
    clearing = clear(hot, fault, touched, person=person, opened=lost)
    touches = tuple(_touch(cold, thing, node, fault, lost, clearing.opened) for thing, node in things.items())
    worst = max(touches, key=lambda one: one.after_v)
    holds = person is None and dangerous(worst.after_v)
    before = solve(cold, fault, lost, person)
    return Tried(
        case=case,
        stand=stand,
        before=before,
        after=before if clearing.opened == lost else solve(cold, fault, clearing.opened, person),
        clearing=clearing,
        touches=touches,
        held=clear(hot, fault, touched, person=(worst.node, GROUND), opened=clearing.opened)
        if holds
        else None,
        running=tuple(stand.running) if loaded else (),
        allowed_s=FINAL_S["TT" if case.earthing == "tt" else "TN"],
        opened_before=lost,
        bonds=tuple((link.a[0], link.id) for link in cold.links if link.id.endswith(".bond")),
    )


def _touch(
    net: Net, thing: str, node: Node, fault: Fault | None, before: frozenset[str], after: frozenset[str]
) -> Touch:
    """Return what a touch meets with the one and the other links open."""
    first = touch(net, node, fault=fault, opened=before).volts
    return Touch(
        thing, node, first, first if after == before else touch(net, node, fault=fault, opened=after).volts
    )


def _goes_wrong(case: Case, stand: Stand, point: str, net: Net) -> tuple[Fault | None, dict[str, Node]]:
    """Return what touches what, and what people touch then; a case without an earth is what it touches."""
    live, cold, earth = ((point, core) for core in (stand.live, stand.cold, "earth"))
    cases = {"case": earth} if earth in net.nodes else {}
    if case.fault == "hand":
        return None, {"line": live, "body": BODY}
    if case.fault in ("case", "neutral_case"):
        core = live if case.fault == "case" else cold
        if not cases:
            return None, {"case": core, "body": BODY}
        return Fault("fault", core, earth), cases | {"body": BODY}
    if case.fault == "pipe":
        pipe = PIPE if PIPE in net.nodes else BODY
        return Fault("fault", live, pipe), {"pipe": pipe} | cases | {"body": BODY}
    ends = {"chafed": (live, BODY), "short": (live, cold)}.get(case.fault)
    return (Fault("fault", *ends) if ends is not None else None), cases | {"body": BODY}


__all__ = ["Touch", "Tried", "tried"]
