"""The kinds of parts: their terminals, what a bare name means, what may stand in `through`, their fields.

`KINDS` is the table; the functions answer for one part of a plan, whose ways, pins, outputs, positions,
ports and further terminals come on top of what its kind has.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.plan.kind_table import COMMON, KINDS, Pair
from loomwright.plan.model import Part

__all__ = [
    "COMMON",
    "KINDS",
    "TRAVELLERS",
    "Pair",
    "fields_of",
    "has_terminal",
    "inner_end",
    "is_consumer",
    "is_mains_terminal",
    "minus_of",
    "passages",
    "rest_state",
    "side",
    "states",
    "terminals",
    "usual",
    "usual_passage",
    "way_of",
]

#: Contacts whose two lines run side by side between a pair of them.
TRAVELLERS = ("two_way", "intermediate")
_ONE_NODE = ("busbar", "splice")
_BOXES = ("fuse_box", "breaker_box")
_PIN_KINDS = ("plug", "tow_socket")
_EARTHS = ("earth", "case")
_MINUS_OF = MappingProxyType(
    {
        ("solar_regulator", "panel"): "panel_minus",
        ("solar_regulator", "battery"): "battery_minus",
        ("solar_regulator", "second"): "battery_minus",
        ("converter", "out"): "out_minus",
        ("relay", "86"): "85",
        ("relay", "85"): "86",
        ("switch", "coil_plus"): "coil_minus",
        ("master_switch", "coil_plus"): "coil_minus",
    }
)


def is_consumer(kind: str) -> bool:
    """Return whether a kind has the consumer fields."""
    return KINDS[kind].consumer


def fields_of(kind: str) -> tuple[str, ...]:
    """Return the fields that a part of this kind may have."""
    return COMMON + KINDS[kind].own


def _numbered(count: object) -> tuple[str, ...]:
    return tuple(str(number) for number in range(1, count + 1)) if isinstance(count, int) else ()


def terminals(part: Part) -> tuple[str, ...]:
    """Return the terminals of a part, in the order of the table; none for a bar or splice.

    Ways or pins of an unknown number are left out; `has_terminal` takes any number of them.
    """
    kind, extra = part.kind, tuple(part.terminals)
    if kind == "unit":
        return tuple(part.ports) + extra
    base = KINDS[kind].terminals
    if kind in _BOXES:
        base += _numbered(part.ways)
        base += ("minus",) if kind == "fuse_box" and part.minus_rail is True else ()
    elif kind in _PIN_KINDS:
        base += _numbered(part.pins)
    elif kind in ("switch", "master_switch"):
        base += ("in_2", "out_2") if part.poles != 1 else ()
        base += ("coil_plus", "coil_minus") if part.by in ("relay", "contactor") else ()
    elif kind == "relay":
        base += ("87a",) if part.contact == "change_over" else ()
    elif kind == "selector":
        named = [end for closed in part.positions.values() for pair in closed for end in pair]
        base = tuple(dict.fromkeys(("com", *named)))
    elif kind == "control_panel":
        base += tuple(part.outputs)
    return base + extra


def has_terminal(part: Part, terminal: str) -> bool:
    """Return whether the part has this terminal; where the number of ways is unknown, any number fits."""
    if terminal in terminals(part):
        return True
    if part.kind in _BOXES or part.kind in _PIN_KINDS:
        counted = part.ways if part.kind in _BOXES else part.pins
        return not isinstance(counted, int) and terminal.isdecimal() and terminal[0] != "0"
    return False


def usual(part: Part, end: str) -> str | None:
    """Return the terminal that the bare part name means as "to" or "from".

    Returns
    -------
    str or None
        "" for a bar or splice (one node without a name); None if a terminal has to be named.
    """
    row = KINDS[part.kind]
    return row.to if end == "to" else row.from_


def states(part: Part) -> Mapping[str, tuple[Pair, ...]]:
    """Return the states of a part, each with the passages closed in it; empty for a part without states.

    Each output of a control panel is on or off by itself and is not among these.
    """
    if part.kind == "selector":
        return part.positions
    there = terminals(part)
    return {
        state: tuple(pair for pair in closed if pair[0] in there and pair[1] in there)
        for state, closed in KINDS[part.kind].states.items()
    }


def passages(part: Part) -> tuple[Pair, ...]:
    """Return all passages that may stand in `through`.

    A bar or splice passes within its one node, ("", ""); a pin of a plug from its fixed to its loose half,
    which both have the pin's name.
    """
    if part.kind in _ONE_NODE:
        return (("", ""),)
    if part.kind == "plug":
        return tuple((pin, pin) for pin in terminals(part))
    found = dict.fromkeys(pair for closed in states(part).values() for pair in closed)
    return KINDS[part.kind].always + tuple(found)


def usual_passage(part: Part) -> Pair | None:
    """Return the passage that the bare name means in `through`; None if one has to be named.

    For a two-way or intermediate switch it is the one of a switch that stands alone; between two two-way
    switches both lines are meant (see `TRAVELLERS`).
    """
    if part.kind == "relay":
        return "30", "87"
    if part.kind in TRAVELLERS or part.kind in ("switch", "master_switch"):
        return passages(part)[0]
    every = passages(part)
    return every[0] if len(every) == 1 and part.kind != "plug" else None


def rest_state(part: Part) -> str | None:
    """Return the state of a part when untouched or unpowered; None for a part without states."""
    known = states(part)
    if not known:
        return None
    if part.rests is not None:
        return part.rests
    if part.kind == "selector":
        return "off" if "off" in known else next(iter(known))
    return KINDS[part.kind].rests


def inner_end(part: Part, terminal: str | None) -> tuple[Part, str] | None:
    """Return the part and terminal behind an end; for the port of a composite those inside.

    None if the terminal is not there. A bare name has to be made a terminal by `usual` before.
    """
    if part.kind != "unit":
        return part, terminal or ""
    end = part.ports.get(terminal or "")
    inside = part.inside
    if end is None or inside is None or end.id not in inside.parts:
        return None
    inner = inside.parts[end.id]
    return inner_end(
        inner, end.terminal if end.terminal is not None else usual(inner, "to") or usual(inner, "from")
    )


def side(part: Part, terminal: str) -> str:
    """Return "mains", "earth", "low" (12 or 24 V), or "either" where the part fits both sides.

    "earth" is protective: the earth bar of a breaker box, the case of an inverter.
    """
    found = inner_end(part, terminal)
    if found is None:
        return "either"
    inner, name = found
    if name in _EARTHS or inner.terminals.get(name) == "case":
        return "earth"
    row = KINDS[inner.kind]
    if name in row.mains or "*" in row.mains:
        return "mains"
    if inner.kind in ("busbar", "splice", "plug", "switch", "change_over", "relay", "two_way", "selector"):
        return "either"
    return "low"


def is_mains_terminal(part: Part, terminal: str) -> bool:
    """Return whether the terminal is one of line and neutral of the mains (not of the earth)."""
    return side(part, terminal) == "mains"


def minus_of(part: Part, terminal: str) -> str | None:
    """Return the terminal where the return of a load fed at `terminal` starts.

    None if there is none: a bar, a box without a minus rail, a mains terminal, a vehicle feed. For the port
    of a composite the answer is a terminal of the part inside.
    """
    found = inner_end(part, terminal)
    if found is None:
        return None
    inner, name = found
    if side(inner, name) != "low" and inner.kind not in ("relay", "switch", "master_switch"):
        return None
    if (inner.kind, name) in _MINUS_OF:
        return _MINUS_OF[inner.kind, name]
    if inner.kind in ("relay", "switch", "master_switch", "fuse_box", "dimmer") and name != "in":
        return None
    there = terminals(inner)
    if "minus" in there and name != "minus":
        return "minus"
    by_role = [extra for extra, role in inner.terminals.items() if role == "minus" and extra != name]
    return by_role[0] if by_role else None


def way_of(part: Part, terminal: str) -> tuple[Part, str] | None:
    """Return the fuse box or breaker box and the way behind an end, None if it is no way."""
    found = inner_end(part, terminal)
    if found is None:
        return None
    box, name = found
    return found if box.kind in _BOXES and name.isdecimal() else None
