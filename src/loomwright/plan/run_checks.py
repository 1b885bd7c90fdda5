"""Does a run of the wiring hang together: ends of one side, passages, fuses in their ways, a return?"""

from __future__ import annotations

from loomwright.plan.desk import Desk, Scope, unknown_id
from loomwright.plan.kinds import (
    TRAVELLERS,
    minus_of,
    passages,
    side,
    terminals,
    usual,
    usual_passage,
    way_of,
)
from loomwright.plan.model import Fuses, Leg, Part, Run
from loomwright.plan.reader import RunClaim
from loomwright.plan.tree import List, Map, Node
from loomwright.plan.values import End, Passage, Quantity

#: (box, way) to the first fuse or breaker said for it: its words, the path and line of the run.
Ways = dict[tuple[int, str], tuple[object, str, str, int]]


def check_run(desk: Desk, claim: RunClaim, ways: Ways) -> None:
    """Note what makes a run indefinite; `ways` is carried from run to run."""
    run, node, path, scope = claim.run, claim.node, claim.path, claim.scope
    if not run.from_ or not run.to:
        return  # said already
    for end in run.to:
        if end == run.from_:
            desk.note(node.get("to") or node, f"{path}.to", f"the run ends where it begins, at {end}.")
    _check_chain(desk, run.through, node, path, scope)
    _check_fuses_at(desk, run.fuse, run.through, node, path)
    back = node.get("return")
    if run.return_ is not None and isinstance(back, Map):
        _check_chain(desk, run.return_.through, back, f"{path}.return", scope)
    if run.legs:
        _check_legs(desk, run, node.get("to"), path, scope)
    _check_sides(desk, run, node, path, scope)
    _check_minus(desk, run, node, path, scope)
    _check_ways(desk, claim, ways)


def _check_legs(desk: Desk, run: Run, to: Node | None, path: str, scope: Scope) -> None:
    for id, leg in run.legs.items():
        child = to.get(id) if isinstance(to, Map) else None
        if not isinstance(child, Map):
            continue
        where = f"{path}.to.{id}"
        _check_chain(desk, leg.through, child, where, scope)
        _check_fuses_at(desk, leg.fuse, leg.through, child, where)
        back = child.get("return")
        if leg.return_ is not None and isinstance(back, Map):
            _check_chain(desk, leg.return_.through, back, f"{where}.return", scope)


def _resolved(end: End, stands: str, scope: Scope) -> tuple[Part, str] | None:
    """Return the part and terminal of an end; None for studs, the body and what is not there."""
    part = scope.parts.get(end.id)
    if part is None:
        return None
    terminal = end.terminal if end.terminal is not None else usual(part, stands)
    return None if terminal is None else (part, terminal)


def _check_chain(desk: Desk, through: tuple[Passage, ...], node: Map, path: str, scope: Scope) -> None:
    if not through:
        return
    typed = node.get("through")
    nodes: tuple[Node, ...] = typed.items if isinstance(typed, List) else (typed or node,)
    for number, passage in enumerate(through):
        says = _passage_problem(passage, scope)
        if says:
            desk.note(nodes[number] if len(nodes) == len(through) else nodes[0], f"{path}.through", says)
    says = _travellers_problem([scope.parts[one.part] for one in through if one.part in scope.parts], through)
    if says:
        desk.note(nodes[0], f"{path}.through", says)


def _passage_problem(passage: Passage, scope: Scope) -> str | None:
    id = passage.part
    if not scope.has(id, "part"):
        if scope.has(id, "stud"):
            return f"{id} is a stud; it can't stand in through."
        return unknown_id(id, "part", scope.known("part"))
    part = scope.parts.get(id)
    if part is None:
        return None
    ways = passages(part)
    if not ways:
        return f"{id} ({part.kind}) can't stand in through: current does not pass it. End the run there."
    if part.kind == "plug":
        if passage.pin in terminals(part):
            return None
        if passage.pin is None:
            return f"which pin of {id}? Write it like {id}.1."
        return f"{id} has {part.pins} pins, there is no {passage.pin}."
    listed = ", ".join(f"{id}.{a}-{b}" for a, b in ways if a)
    if passage.ends is not None:
        fits = passage.ends in ways or passage.ends[::-1] in ways
        return None if fits else f"{id} has no passage {'-'.join(passage.ends)}. It has {listed or id}."
    if passage.pin is not None:
        whole = f"{id} or {listed}" if listed else id
        return f"{passage} is one terminal; in through a passage is asked. Write {whole}."
    if usual_passage(part) is not None:
        return None
    return f"which passage of {id}? Write {listed.replace(', ', ' or ')}."


def _travellers_problem(parts: list[Part], through: tuple[Passage, ...]) -> str | None:
    """Between a pair of two-way switches only intermediate ones may stand, and nowhere else."""
    bare = [one.part for one in through if one.ends is None]
    kinds = [part.kind if part.id in bare else "" for part in parts]
    if "intermediate" not in kinds and kinds.count("two_way") < 2:
        return None
    first = kinds.index("two_way") if "two_way" in kinds else 0
    last = len(kinds) - 1 - kinds[::-1].index("two_way") if "two_way" in kinds else 0
    if kinds.count("two_way") != 2 or "intermediate" in kinds[:first] + kinds[last + 1 :]:
        return "intermediate switches stand between two two_way switches: [S1, X1, S2]."
    if any(kind not in TRAVELLERS for kind in kinds[first:last]):
        return "between two two_way switches only intermediate ones can stand. Put the rest before or after."
    return None


def _check_fuses_at(desk: Desk, fuses: Fuses, through: tuple[Passage, ...], node: Map, path: str) -> None:
    for fuse in fuses if isinstance(fuses, tuple) else ():
        if fuse.at in ("from", "to") or any(one.part == fuse.at for one in through):
            continue
        parts = ", ".join(one.part for one in through)
        has = f"through has {parts}" if parts else "nothing stands in through"
        desk.note(
            node.get("fuse") or node,
            f"{path}.fuse",
            f'"{fuse.at}" is not in through ({has}). Write at from, at to, at both or at a part in through.',
        )


def _check_sides(desk: Desk, run: Run, node: Map, path: str, scope: Scope) -> None:
    """Note a mains cable on a 12 V terminal."""
    start = _side(run.from_, "from", scope)
    for end in run.to:
        other = _side(end, "to", scope)
        pair = {start, other}
        if "mains" not in pair or not pair & {"low", "stud", "earth"}:
            continue
        mains, low = (run.from_, end) if start == "mains" else (end, run.from_)
        if "earth" in pair:
            says = f"{mains} is line and neutral, {low} is protective earth; one cable can't join them."
        elif "stud" in pair:
            says = f"{mains} is line and neutral; it can't end at {low}. A bond starts at an earth bar."
        else:
            says = f"a mains cable on a 12 V terminal: {mains} is mains, {low} is not."
        desk.note(node.get("to") or node, f"{path}.to", says)


def _side(end: End, stands: str, scope: Scope) -> str:
    if end.id == "body" or scope.has(end.id, "stud"):
        return "stud"
    found = _resolved(end, stands, scope)
    return "either" if found is None else side(*found)


def _check_minus(desk: Desk, run: Run, node: Map, path: str, scope: Scope) -> None:
    """Note a return that has no minus to start from."""
    for end in run.to:
        own = run.legs.get(end.id, Leg()).return_
        if own is None and run.return_ is None:
            continue
        found = _resolved(end, "to", scope)
        if end.id == "body" or scope.has(end.id, "stud"):
            says = f"a run that ends at {end} is a return already. Leave return out."
        elif found is None or minus_of(*found) is not None:
            continue
        else:
            says = _no_minus(end, *found)
        to = node.get("to")
        leg = to.get(end.id) if own is not None and isinstance(to, Map) else None
        at = (leg.get("return") if isinstance(leg, Map) else node.get("return")) or node
        desk.note(at, f"{path}.return" if own is None else f"{path}.to.{end.id}.return", says)


def _no_minus(end: End, part: Part, terminal: str) -> str:
    if side(part, terminal) in ("mains", "earth"):
        return "a mains cable has its neutral and earth in it. Leave return out."
    if part.kind == "fuse_box":
        return (
            f"{part.id} has no minus to start a return from. "
            "If it has a minus bar, write minus_rail: yes in its part; else leave return out."
        )
    says = "has no minus to start a return from. Leave return out, or write a run of its own."
    return f"{end} ({part.kind}) {says}"


def _check_ways(desk: Desk, claim: RunClaim, ways: Ways) -> None:
    """Note two different fuses or breakers said for one way."""
    run, node, path, scope = claim.run, claim.node, claim.path, claim.scope
    ends = [(run.from_, "from"), *((end, "to") for end in run.to)]
    for fuse in run.fuse if isinstance(run.fuse, tuple) else ():
        rating = fuse.rating
        for end, stands in ends:
            if fuse.at == stands and isinstance(rating, Quantity):
                key: object = (rating.low, rating.high)
                _say(desk, ways, _resolved(end, stands, scope), end, key, rating.typed, node, "fuse", path)
    rating, curve, poles = run.breaker.rating, run.breaker.curve, run.breaker.poles
    if isinstance(rating, Quantity):
        found = _resolved(run.from_, "from", scope)
        key = (rating.low, rating.high, curve, poles)
        _say(desk, ways, found, run.from_, key, rating.typed, node, "breaker", path)


def _say(
    desk: Desk,
    ways: Ways,
    found: tuple[Part, str] | None,
    end: End,
    key: object,
    said: str,
    node: Map,
    field: str,
    path: str,
) -> None:
    way = way_of(*found) if found else None
    if way is None:
        return
    at = node.get(field) or node
    first = ways.setdefault((id(way[0]), way[1]), (key, said, path, at.line))
    if first[0] != key:
        desk.note(
            at,
            f"{path}.{field}",
            f"{end} holds one {field}: {said} here, {first[1]} at {first[2]} (line {first[3]}). "
            "Write the same, or take another way.",
        )
