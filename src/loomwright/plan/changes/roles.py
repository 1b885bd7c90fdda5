"""What a pointed end may mean, and which way round two ends make a wire.

A *tip* is one terminal, stud or the body. It gives, takes or does both; of two that do both, the one of lower
rank feeds the other: source, charger, way of a box, vehicle battery, house battery, bar, contact, load. The
bare name of a part may mean several terminals; the other end tells which.
"""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.plan.changes.facts import BARS, BATTERIES, CONTACTS, Facts, own_side
from loomwright.plan.kinds import KINDS, inner_end, side, terminals, usual, way_of
from loomwright.plan.model import Part
from loomwright.plan.values import End

#: How early things come in the chain of feeding.
_GIVES = {
    "source": 0.0,
    "charger": 1.0,
    "way": 1.5,
    "vehicle_battery": 2.0,
    "battery": 3.0,
    "bar": 4.0,
    "contact": 5.0,
    "load": 9.0,
}
CHARGER_RANK = _GIVES["charger"]
_SOURCES = {
    ("alternator", "plus"),
    ("alternator", "d_plus"),
    ("vehicle_feed", "plus"),
    ("solar_panel", "plus"),
    ("fuel_cell", "plus"),
    ("generator", "out"),
    ("inlet", "out"),
    ("gauge", "sender"),
    ("camera", "signal"),
}
#: Terminals that only give.
_CHARGERS = {
    ("b2b", "out"),
    ("solar_regulator", "battery"),
    ("solar_regulator", "second"),
    ("mains_charger", "plus"),
    ("mains_charger", "second"),
    ("converter", "out"),
    ("inverter", "out"),
    ("inverter_charger", "out"),
    ("transformer", "out"),
    ("priority_relay", "out"),
    ("mains_socket", "load"),
    ("diode", "k"),
    ("diode_splitter", "out_1"),
    ("diode_splitter", "out_2"),
}
#: Where a contact is left; current may also come the other way.
_OUT = ("87", "87a", "out", "out_2", "com", "b", "battery")
#: Minus terminals by how late they come on the way back to the battery.
_MINUS_RANKS = {"shunt": 5.0, "battery": 9.0, "vehicle_battery": 9.0}


@dataclass(frozen=True, slots=True)
class Tip:
    """One terminal, stud or the body, as an end of a wire to be.

    `part` is None for a stud or the body; `kind` is that of the part that is met in the end, inside a unit;
    `point` its name in the wiring; `cost` how unlikely it is that a bare name means this one.
    """

    end: End
    part: Part | None
    kind: str
    terminal: str
    point: str
    side: str
    gives: bool
    takes: bool
    rank: float
    cost: float = 0.0
    way: bool = False

    @property
    def earth(self) -> bool:
        """True for a stud or the body."""
        return self.part is None

    @property
    def load(self) -> bool:
        """True for a terminal of a consumer."""
        return self.kind in KINDS and KINDS[self.kind].consumer


def tips_meant(facts: Facts, end: End) -> list[Tip]:
    """Return what an end may mean, the likeliest first; empty if its bare name has to be told apart."""
    part = facts.plan.parts.get(end.id)
    if part is None:
        return [Tip(end, None, "stud", "", end.id, "stud", True, True, 0.0)]
    if end.terminal is not None or part.kind in BARS:
        tip = _tip(facts, end, part)
        return [tip] if tip else []
    names = [name for stands in ("to", "from") if (name := usual(part, stands))]
    ways = facts.free_ways(end.id)[:1]
    sides = [name for name in terminals(part) if name in _SIDE_TERMINALS]
    if part.kind == "unit":
        sides = [name for name in part.ports if _is_minus(facts, end.id, name)][:1]
    found = (_tip(facts, End(end.id, name), part) for name in dict.fromkeys((*names, *ways, *sides)))
    return [_costing(facts, tip, number) for number, tip in enumerate(tip for tip in found if tip)]


#: Terminals that a bare name means where the other end asks for a minus or an earth.
_SIDE_TERMINALS = ("minus", "battery_minus", "earth", "case")


def _is_minus(facts: Facts, id: str, port: str) -> bool:
    return facts.side(facts.point(End(id, port), "to")) == "minus"


def _costing(facts: Facts, tip: Tip, number: int) -> Tip:
    """Return a tip that costs more the later it stands, and the more if its terminal holds a wire already."""
    shared = tip.kind in (*BATTERIES, *BARS) or tip.side in ("minus", "earth") or tip.load
    used = 10.0 if not shared and facts.is_linked(tip.point) else 0.0
    return Tip(
        *(tip.end, tip.part, tip.kind, tip.terminal, tip.point, tip.side, tip.gives, tip.takes, tip.rank),
        cost=number + used,
        way=tip.way,
    )


def _tip(facts: Facts, end: End, part: Part) -> Tip | None:
    found = inner_end(part, end.terminal)
    if found is None:
        return None
    inner, terminal = found
    point = facts.point(end, "to").rstrip("<>")
    if inner.kind == "unit" or (not terminal and inner.kind not in BARS):
        return None
    own = own_side(inner, terminal)
    if own == "any":
        own = facts.side(point)
    way = way_of(part, end.terminal or "") is not None
    gives, takes, rank = _flow(inner, terminal, own, way)
    return Tip(end, part, inner.kind, terminal, point, own, gives, takes, rank, way=way)


def _flow(part: Part, terminal: str, side: str, way: bool) -> tuple[bool, bool, float]:
    """Return whether a terminal gives, whether it takes, and its rank."""
    kind = part.kind
    if side == "minus":
        return True, True, 4.0 if kind in BARS else _MINUS_RANKS.get(kind, 3.0 if kind == "fuse_box" else 0.0)
    if side == "earth":
        return True, True, 1.0 if kind == "breaker_box" else 0.0
    if (kind, terminal) in _SOURCES or part.terminals.get(terminal) == "out":
        return True, False, _GIVES["source"]
    if (kind, terminal) in _CHARGERS:
        return True, False, _GIVES["charger"]
    if kind == "control_panel" and terminal in part.outputs:
        return True, False, _GIVES["charger"]
    if way:
        return True, side != "mains", _GIVES["way"]
    if kind in BATTERIES:
        return True, True, _GIVES[kind]
    if kind in BARS or kind in ("plug", "equaliser") or (kind == "mains_socket" and terminal == "in"):
        return True, True, _GIVES["bar"]
    if kind == "relay" and terminal in ("85", "86"):
        return False, True, _GIVES["load"]
    if kind in _PASSING:
        return True, True, _GIVES["charger"] if terminal in _OUT else _GIVES["contact"]
    return False, True, _GIVES["load"]


_PASSING = frozenset(CONTACTS) - {"plug", "diode", "diode_splitter"}


@dataclass(frozen=True, slots=True)
class Pair:
    """Two tips the right way round; `swapped` if they were pointed at the other way."""

    start: Tip
    end: Tip
    swapped: bool
    cost: float


def pair_of(facts: Facts, first: Tip, second: Tip) -> Pair | str:
    """Return two tips the way round in which a current feeds them, or why no wire can join them."""
    says = _impossible(facts, first, second)
    if not says and {first.side, second.side} == {"minus"} and first.cost and second.cost:
        says = _no_flow(facts, first, second)  # two bare names: nobody means the minus of both
    if says:
        return says
    fixed = _order(facts, first, second)
    if fixed is not None:
        swapped = fixed
    else:
        onward, back = first.gives and second.takes, second.gives and first.takes
        if not onward and not back:
            return _no_flow(facts, first, second)
        swapped = not onward if onward != back else _fed_first(facts, first, second)
    start, end = (second, first) if swapped else (first, second)
    return Pair(start, end, swapped, first.cost + second.cost + _unlikely(facts, start, end) + 0.5 * swapped)


def _order(facts: Facts, first: Tip, second: Tip) -> bool | None:
    """Return whether to swap where studs and minuses tell; None where the flow has to."""
    if first.earth or second.earth:
        return first.earth
    if "minus" in (first.side, second.side) or "earth" in (first.side, second.side):
        if first.side == second.side or {first.side, second.side} == {"minus", "earth"}:
            return first.rank > second.rank
        return first.side == "minus" and first.rank > second.rank
    return None


def _fed_first(facts: Facts, first: Tip, second: Tip) -> bool:
    """Return whether the second feeds the first, where both could."""
    if first.rank != second.rank:
        return first.rank > second.rank
    passed_on = first.kind in (*BARS, "mains_socket")
    return passed_on and facts.is_linked(second.point) and not facts.is_linked(first.point)


def _unlikely(facts: Facts, start: Tip, end: Tip) -> float:
    """Return what it costs that a wire this way round is possible but seldom meant."""
    if end.kind == "solar_regulator" and end.terminal == "panel" and start.kind != "solar_panel":
        return 20.0
    if end.kind == "solar_panel" or (start.kind == "solar_panel" and end.kind != "solar_regulator"):
        return 20.0
    if end.kind == "sender" and start.kind not in ("gauge", "electronics", "control_panel"):
        return 20.0
    if start.kind == "mains_socket" and start.terminal == "in":
        return 5.0 if end.kind == "mains_socket" else 20.0
    if start.kind in _PASSING and start.terminal not in _OUT:
        return 5.0
    if end.kind in _PASSING and end.terminal in _OUT:
        return 5.0
    if "b2b" in (start.kind, end.kind) and {start.terminal, end.terminal} & {"in", "out"}:
        other = end if start.kind == "b2b" else start
        ground = facts.grounds.get(other.point) or _ground_by_kind(other)
        charged = "house" if start.kind == "b2b" else "vehicle"
        return 0.0 if ground in (charged, "") else 20.0
    return 0.0


def _ground_by_kind(tip: Tip) -> str:
    return {"vehicle_battery": "vehicle", "alternator": "vehicle", "battery": "house"}.get(tip.kind, "")


# --- what can't be joined


def _impossible(facts: Facts, first: Tip, second: Tip) -> str | None:
    a, b = str(first.end), str(second.end)
    sides = {first.side, second.side}
    if first.point == second.point:
        return f"a wire has two ends; both are {a}. Point at another terminal for its end."
    if first.earth and second.earth:
        return (
            f"{a} and {b} are both earth, joined by the body itself. "
            "Point from the minus of a part or battery to one of them."
        )
    if "mains" in sides and (not sides <= {"mains", "any"} or _is_low(first) or _is_low(second)):
        mains, low = (first, second) if first.side == "mains" else (second, first)
        if low.side == "earth" or low.earth:
            return (
                f"{mains.end} is line and neutral of the mains, {low.end} is earth. Protective earth is in "
                "the mains cable; a bond starts at the earth bar of the breaker box."
            )
        return (
            f"{mains.end} is mains, {low.end} is 12 or 24 V; no cable joins them. "
            "Between the two stands a charger, an inverter or a transformer."
        )
    if first.earth or second.earth:
        live = second if first.earth else first
        if live.side == "plus":
            return (
                f"{live.end} is plus, and {a if first.earth else b} is the body: that is a short circuit. "
                f"{_minus_hint(live)}"
            )
        return None
    if sides == {"plus", "minus"} and not _in_series(facts, first, second):
        plus, minus = (first, second) if first.side == "plus" else (second, first)
        return (
            f"{plus.end} is plus and {minus.end} is minus: a wire between them is a short circuit. "
            f"Point from {plus.end} to what it feeds, and from {minus.end} to a minus bar or stud."
        )
    if first.kind == second.kind == "fuse_box" and first.end.id == second.end.id and sides == {"plus"}:
        return f"{a} and {b} are both of {first.end.id}. Point from {a} to what it feeds."
    if first.way and second.way and "mains" not in sides:
        return (
            f"{a} and {b} are both ways. A box is fed at its other side: "
            f"point from {a} to {second.end.id}.in, or from a way to a load."
        )
    if sides == {"plus", "earth"}:
        plus, earth = (first, second) if first.side == "plus" else (second, first)
        return f"{earth.end} is protective earth, {plus.end} is plus. Point from {earth.end} to a stud."
    return None


def _is_low(tip: Tip) -> bool:
    """Return whether a contact is made for 12 or 24 V only."""
    return tip.part is not None and side(tip.part, tip.end.terminal or "") == "low"


def _minus_hint(live: Tip) -> str:
    names = terminals(live.part) if live.part is not None else ()
    minus = next((name for name in names if name in _SIDE_TERMINALS), None)
    if minus:
        return f"To earth {live.end.id}, point from {live.end.id}.{minus}."
    return f"Point from {live.end} to what it feeds."


def _in_series(facts: Facts, first: Tip, second: Tip) -> bool:
    """Return whether two 12 V batteries are joined to a bank of 24 V."""
    batteries = [tip.part for tip in (first, second) if tip.part is not None and tip.kind == "battery"]
    if len(batteries) != 2 or batteries[0].id == batteries[1].id:
        return False
    system = getattr(facts.plan.system, "low", 12.0)
    return system > 20.0 and all(getattr(part.voltage, "high", system) < 20.0 for part in batteries)


def _no_flow(facts: Facts, first: Tip, second: Tip) -> str:
    a, b = str(first.end), str(second.end)
    if first.gives or second.gives:
        return (
            f"{a} and {b} both only give current. "
            "Point from each to what takes it: a battery, a bar, a regulator or a load."
        )
    return (
        f"{a} and {b} both only take current; neither feeds the other. "
        "Point from a way of a fuse box, a battery or a bar to each."
    )
