"""Do the ends, passages and states of a plan name something that is there?

An error is what names no definite van; what a workshop could build, however bad, is left to the rules.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from loomwright.plan.desk import Desk, Names, unknown_id
from loomwright.plan.kinds import KINDS, has_terminal, rest_state, states, terminals, usual
from loomwright.plan.model import Part, Plan
from loomwright.plan.near import nearest
from loomwright.plan.reader import EndClaim, RefClaim
from loomwright.plan.tree import Map, Node

#: Modes that exist untyped where their parts do, besides `selector_<position>`.
BUILT_IN_MODES = (
    "parked",
    "driving",
    "ignition",
    "hook_up",
    "on_inverter",
    "master_off",
    "storage",
    "heater_purge",
    "jump_start",
)
#: In `posts`: every terminal that is not named.
ALL_POSTS = "all"
_PROBED_STUD = ("ring", "body")


def check_end(desk: Desk, claim: EndClaim) -> None:
    """Note an end that is not there."""
    says = end_problem(claim)
    if says:
        desk.note(claim.node, claim.path, says)


def end_problem(claim: EndClaim) -> str | None:
    """Say what is wrong with an end, None if nothing is."""
    end, scope = claim.end, claim.scope
    if end.id == "wire":
        if claim.stands == "return" and end.terminal is None:
            return None
        return "wire is for a return: the minus that belongs to from. Name the part, stud or terminal."
    if end.id == "body" and not scope.inside:
        return None if end.terminal is None else "body has no terminals. Write body, or the stud."
    if scope.has(end.id, "stud"):
        if end.terminal is None or (claim.stands == "probe" and end.terminal in _PROBED_STUD):
            return None
        return f"{end.id} is a stud and has no terminals. Write {end.id}."
    if "/" in end.id:
        return _inner_problem(claim)
    if not scope.has(end.id, "part"):
        return _unknown_end(claim)
    part = scope.parts.get(end.id)
    return None if part is None else terminal_problem(part, end.id, end.terminal, claim.stands)


def _inner_problem(claim: EndClaim) -> str | None:
    if claim.stands != "probe":
        outer = claim.end.id.partition("/")[0]
        return f"{claim.end.id} is inside a composite part; wiring outside uses its ports, {outer}.PORT."
    part = find_part(claim.scope.parts, claim.end.id)
    if part is None:
        return f'no part "{claim.end.id}".'
    return terminal_problem(part, claim.end.id, claim.end.terminal, claim.stands)


def find_part(parts: Mapping[str, Part], path: str) -> Part | None:
    """Return the part of a path like `U1/KS`."""
    first, slash, rest = path.partition("/")
    part = parts.get(first)
    if not slash or part is None:
        return part
    return find_part(part.inside.parts, rest) if part.inside is not None else None


def _unknown_end(claim: EndClaim) -> str:
    text, scope = claim.end.id, claim.scope
    if scope.inside:
        unit = scope.inside.rstrip("/")
        if text == "body" or scope.has(text, "outer"):
            return (
                f"{text} is outside {unit}; wiring inside uses its own parts only. Give {unit} a port for it."
            )
        return unknown_id(text, "part", scope.known("part"), f"inside {unit}")
    if scope.has(text, "place", "path"):
        what = "place" if scope.has(text, "place") else "path"
        return f'"{text}" is a {what}. A cable ends at a part, a stud or body.'
    if (id := scope.home(text)) is not None:
        return f'"{text}" is inside {id}. Wiring outside uses the ports: {", ".join(scope.parts[id].ports)}.'
    return unknown_id(text, "part or stud", scope.known("part", "stud"))


def terminal_problem(part: Part, id: str, terminal: str | None, stands: str) -> str | None:
    """Say what is wrong with a terminal of a part, or with its bare name."""
    if part.kind in ("busbar", "splice"):
        return None if terminal is None else f"{id} has one node and no terminal names. Write {id}."
    if terminal is not None:
        return None if has_terminal(part, terminal) else _no_terminal(part, id, terminal)
    if part.kind in ("standby", "hook_up_lead"):
        return f"{id} is a {part.kind}, which is never wired."
    there = terminals(part)
    if stands == "return" and "minus" in there and usual(part, "to") != "minus":
        return f"a return ends at a minus; {id} alone would not. Write {id}.minus."
    if stands in ("inner", "plain", "probe"):
        ends = {usual(part, "to"), usual(part, "from")} - {None}
        if len(ends) == 1:
            return None
    elif usual(part, stands if stands == "from" else "to") is not None:
        return None
    fits = [name for name in there if stands != "from" or name != usual(part, "to")]
    return f"which terminal of {id}? It has {_listed(there)}. Write {id}.{(*fits, *there, 'TERMINAL')[0]}."


def _listed(names: tuple[str, ...]) -> str:
    return ", ".join(names[:16]) + (" ..." if len(names) > 16 else "")


def _no_terminal(part: Part, id: str, terminal: str) -> str:
    whole = f"{id}.{terminal}"
    if terminal.isdecimal() and isinstance(part.ways, int) and part.kind in ("fuse_box", "breaker_box"):
        return f"{id} has {part.ways} ways, there is no {whole}."
    if terminal.isdecimal() and isinstance(part.pins, int) and part.kind in ("plug", "tow_socket"):
        return f"{id} has {part.pins} pins, there is no {whole}."
    if part.kind == "fuse_box" and terminal == "minus":
        return f"{id} has no minus bar. If it has one, write minus_rail: yes in its part."
    if part.kind == "relay" and terminal == "87a":
        return f"{id} has no 87a. If it is a change-over, write contact: change_over in its part."
    if terminal in ("in_2", "out_2"):
        return f"{id} has one pole. If it has two, write poles: 2 in its part."
    if terminal in ("coil_plus", "coil_minus"):
        return f"{id} has no coil. If it has one, write by: relay in its part."
    there = terminals(part)
    if part.kind == "unit":
        return f'{id} has no port "{terminal}".{nearest(terminal, there) or f" It has {_listed(there)}."}'
    if not there:
        return f"{id} ({part.kind}) is never wired."
    return f'{id} has no terminal "{terminal}". It has {_listed(there)}.{nearest(terminal, there)}'


def check_ref(desk: Desk, claim: RefClaim, plan_names: Names) -> None:
    """Note a reference that could only be judged with all parts at hand."""
    says = _REFS[claim.space](claim, plan_names)
    if says:
        desk.note(claim.node, claim.path, says)


def _check_inner_part(claim: RefClaim, names: Names) -> str | None:
    first, slash, rest = claim.text.partition("/")
    if not claim.scope.has(first, "part"):
        return unknown_id(claim.text, "part", claim.scope.known("part"))
    unit = claim.scope.parts.get(first)
    if not slash or unit is None or find_part(claim.scope.parts, claim.text) is not None:
        return None
    inside = tuple(unit.inside.parts) if unit.inside is not None else ()
    return unknown_id(rest, "part", inside, f"inside {first}")


def _check_state(claim: RefClaim, names: Names) -> str | None:
    """Check `master: off`, `S0.pump: on`, `U1/KS: off`; the state is that of the part or output."""
    id, dot, output = claim.text.partition(".")
    unknown = _check_inner_part(RefClaim(id, "", claim.node, claim.path, claim.scope), names)
    part = find_part(claim.scope.parts, id)
    if unknown or part is None:
        return unknown
    if dot:
        if output not in part.outputs:
            return unknown_id(claim.text, "panel output", (f"{id}.{name}" for name in part.outputs))
        known: tuple[str, ...] = ("on", "off")
    else:
        known = tuple(states(part))
        if not known:
            if part.kind == "control_panel":
                return f"name an output of {id}: {', '.join(f'{id}.{name}' for name in part.outputs)}."
            return f"{id} ({part.kind}) is no switch: it has no states."
    value = claim.value
    if (
        value is None
        or value in known
        or (part.kind == "dimmer" and re.fullmatch(r"\d{1,2} ?%|100 ?%", value))
    ):
        return None
    return f'"{value}" is no state of {claim.text}. Write {" or ".join(known)}.{nearest(value, known)}'


def _check_mode(claim: RefClaim, names: Names) -> str | None:
    positions = [
        f"selector_{name}"
        for part in claim.scope.parts.values()
        if part.kind == "selector"
        for name in part.positions
    ]
    known = (*names["mode"], *BUILT_IN_MODES, *positions)
    return None if claim.text in known else unknown_id(claim.text, "mode", known)


def _check_wire(claim: RefClaim, names: Names) -> str | None:
    run = re.split(r"[./]", claim.text, maxsplit=1)[0]
    if run in names["run"] or ("/" in claim.text and run in names["part"]):
        return None
    hint = nearest(run, tuple(names["run"])) or " If it is gone, put its number under retired."
    return f'no run "{run}" in the wiring.{hint}'


def _check_anything(claim: RefClaim, names: Names) -> str | None:
    first = re.split(r"[./]", claim.text, maxsplit=1)[0]
    spaces = ("run", "part", "stud", "place", "path", "supply")
    known = tuple(name for space in spaces for name in names[space])
    return None if first in known else unknown_id(first, "wire, part, stud, place or supply", known)


_REFS = {
    "inner part": _check_inner_part,
    "state": _check_state,
    "mode": _check_mode,
    "wire": _check_wire,
    "anything": _check_anything,
}


def check_parts(desk: Desk, parts: Mapping[str, Part], node: Node | None, path: str) -> None:
    """Note parts that don't hold together: a state that is none, a socket that is none ..."""
    if not isinstance(node, Map):
        return
    for key, child in node.entries:
        part = parts.get(key.text)
        if part is None or not isinstance(child, Map):
            continue
        where = f"{path}.{key.text}"
        for name, says in _part_problems(part, parts):
            desk.note(child.get(name) or key, f"{where}.{name}", says)
        inside = child.get("inside")
        if part.inside is not None and isinstance(inside, Map):
            check_parts(desk, part.inside.parts, inside.get("parts"), f"{where}.inside.parts")


def _part_problems(part: Part, parts: Mapping[str, Part]) -> list[tuple[str, str]]:
    found = []
    if part.rests is not None and part.rests not in states(part):
        found.append(("rests", f'"{part.rests}" is no state of it. Write {" or ".join(states(part))}.'))
    elif rest_state(part) is None and part.kind == "selector":
        found.append(("positions", "a selector needs positions, {vehicle: com-vehicle, off: none}."))
    socket = parts.get(part.plugged)
    if socket is not None and socket.kind != "mains_socket":
        found.append(
            ("plugged", f"{part.plugged} is a {socket.kind}; an appliance is plugged into a mains_socket.")
        )
    battery = parts.get(part.charges or "")
    if battery is not None and "battery" not in battery.kind:
        found.append(("charges", f"{part.charges} is a {battery.kind}; write the battery that it charges."))
    for name in part.posts:
        if name != ALL_POSTS and not has_terminal(part, name):
            known = _listed((ALL_POSTS, *terminals(part)))
            found.append((f"posts.{name}", f'there is no terminal "{name}". Write one of {known}.'))
    for extra in part.terminals:
        if extra in KINDS[part.kind].terminals:
            found.append(("terminals", f'every {part.kind} has a terminal "{extra}". Leave it out here.'))
    return found


def check_plan(desk: Desk, plan: Plan, tree: Map) -> None:
    """Note what concerns the plan as a whole."""
    check_parts(desk, plan.parts, tree.get("parts"), "parts")
    functions = {*KINDS, "feed", "permanent", "vehicle", "solar", "signal", "return"}
    basis = tree.get("basis")
    colours = basis.get("colours") if isinstance(basis, Map) else None
    for key, _ in colours.entries if isinstance(colours, Map) else ():
        if key.text not in functions:
            desk.note(key, f"basis.colours.{key.text}", unknown_id(key.text, "function or kind", functions))


__all__ = ["BUILT_IN_MODES", "check_end", "check_plan", "check_ref"]
