"""A new run of cable by pointing at its two ends.

The page, the keyboard list and the API ask for ends as they are typed in plans. Sizes are left to the
program: area and length `auto` by being left out, the fuse too where the run starts in a way of a box; where
it starts or ends at a battery or at the plus bar of one, `fuse: auto` is written, for a battery needs one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from loomwright.plan.changes.facts import BARS, BATTERIES, Facts, facts_of, refuse, title_of
from loomwright.plan.changes.ids import next_key
from loomwright.plan.changes.returns import return_for
from loomwright.plan.changes.roles import CHARGER_RANK, Pair, Tip, pair_of, tips_meant
from loomwright.plan.changes.trial import check_new
from loomwright.plan.checks import terminal_problem
from loomwright.plan.desk import unknown_id
from loomwright.plan.edit import Edit
from loomwright.plan.kinds import usual
from loomwright.plan.misread import Misread
from loomwright.plan.model import Plan
from loomwright.plan.specials import end_of
from loomwright.plan.values import End


@dataclass(frozen=True, slots=True)
class Connection:
    """A new run, or the return that a run lacked: its key, the edits that write it, and what they do."""

    key: str
    edits: tuple[Edit, ...]
    says: str


def connect(
    plan: Plan, start: str, end: str, *, through: Sequence[str] = (), return_to: str | None = None
) -> Connection:
    """Return the run that joins two ends, in whichever order they were pointed at.

    Parameters
    ----------
    plan : Plan
        As read from the text that the edits are for.
    start, end : str
        `P1.3`, `leisure`, `leisure.plus`, `E1`, `U1.way_3`, `b2b`. A fuse box or unit by its bare name is
        its first free way, or its feed if the other end feeds it.
    through : sequence of str
        Parts that the current passes, in the order from `start` to `end`: `S1`, `X5.1`, `K1.30-87a`.
    return_to : str, optional
        `wire`, `body`, a stud or an end, or `none`. By default the nearest stud, or what else fits.

    Returns
    -------
    Connection
        Its key, edits and a sentence for the page.

    Raises
    ------
    PlanError
        An end is not there, or no cable can join the two; with what to do instead.
    """
    return connect_with(facts_of(plan), start, end, through=through, return_to=return_to)


def connect_with(
    facts: Facts, start: str, end: str, *, through: Sequence[str] = (), return_to: str | None = None
) -> Connection:
    """Return the run that joins two ends; like `connect`, for who asks many times of one plan.

    Raises
    ------
    PlanError
        See `connect`.
    """
    pair = pair_meant(facts, start, end)
    if not through and return_to is None and (open_run := _open_run(facts, pair)):
        return _return_of(facts, open_run, pair)
    sort = _sort(pair)
    key = next_key(facts, sort)
    data = run_data(facts, pair, through, return_to)
    check_new(facts.plan, "wiring", key, data)
    return Connection(key, (Edit(f"wiring.{key}", data),), _says(facts, key, pair, data))


def pair_meant(facts: Facts, start: str, end: str) -> Pair:
    """Return the likeliest pair of terminals that two ends mean, the right way round.

    Raises
    ------
    PlanError
        An end is not there, or no cable can join the two.
    """
    first, second = _tips(facts, start), _tips(facts, end)
    if start == end:
        refuse(
            "wiring", f"a wire has two ends; both are {start}. Point at another part or terminal for its end."
        )
    joined = [pair_of(facts, a, b) for a in first for b in second]
    pairs = [pair for pair in joined if isinstance(pair, Pair)]
    if pairs:
        return min(pairs, key=lambda pair: pair.cost)
    return refuse("wiring", next(one for one in joined if isinstance(one, str)))


def run_data(facts: Facts, pair: Pair, through: Sequence[str], return_to: str | None) -> dict[str, Any]:
    """Return the fields of the run of a pair, as they are typed."""
    ends = [typed_end(pair.start, "from"), typed_end(pair.end, "to")]
    if ends[0] == ends[1]:  # two terminals of one part
        ends = [str(pair.start.end), str(pair.end.end)]
    data: dict[str, Any] = {"from": ends[0]}
    passed = list(reversed(through) if pair.swapped else through)
    if fuse := _fuse(facts, pair):
        data["fuse"] = fuse
    if passed:
        data["through"] = passed[0] if len(passed) == 1 else passed
    data["to"] = ends[1]
    back = return_to if return_to is not None else return_for(facts, pair)
    if back is not None and back != "none":
        data["return"] = back
    return data


def _tips(facts: Facts, text: str) -> list[Tip]:
    """Return what an end as typed may mean.

    Raises
    ------
    PlanError
        It is not there, or its bare name does not tell.
    """
    plan = facts.plan
    try:
        end = end_of(text.strip())
    except Misread as misread:
        refuse("wiring", str(misread))
    part = plan.parts.get(end.id)
    if part is None:
        if end.id != "body" and end.id not in plan.studs:
            refuse("wiring", unknown_id(end.id, "part or stud", (*plan.parts, *plan.studs)))
        if end.terminal is not None:
            refuse("wiring", f"{end.id} has no terminals. Point at {end.id}.")
    elif end.terminal is not None and (says := terminal_problem(part, end.id, end.terminal, "from")):
        refuse("wiring", says)
    tips = tips_meant(facts, end)
    if not tips:
        assert part is not None, "a stud means itself"
        refuse(
            "wiring",
            terminal_problem(part, end.id, None, "from") or f"{end.id} ({part.kind}) is never wired.",
        )
    if part is not None and part.kind in ("fuse_box", "breaker_box") and end.terminal is None:
        return tips if len(tips) > 1 or facts.free_ways(end.id) else _full(facts, end, tips)
    return tips


def _full(facts: Facts, end: End, tips: list[Tip]) -> list[Tip]:
    """Return the feed of a box that has no free way; refuse where even that is taken."""
    if facts.is_linked(f"{end.id}.in"):
        box = facts.plan.parts[end.id]
        refuse(
            f"parts.{end.id}.ways",
            f"{end.id} has {box.ways} ways and each holds a wire. Give it more ways, point at another box, "
            f"or at a way by its number ({end.id}.1) to share its fuse.",
        )
    return tips


def typed_end(tip: Tip, stands: str) -> str:
    """Return an end as it is typed in a plan: by its bare name where that means this terminal."""
    if tip.part is None or tip.end.terminal is None or tip.part.kind in BATTERIES:
        return str(tip.end)
    return tip.end.id if usual(tip.part, stands) == tip.end.terminal else str(tip.end)


def _fuse(facts: Facts, pair: Pair) -> str | list[str] | None:
    """Return the fuse to type: one at each end from which a battery or the vehicle could feed a short."""
    start, end = pair.start, pair.end
    if {start.side, end.side} & {"minus", "mains", "earth"} or end.earth or end.kind == "sender":
        return None
    if _stores(facts, end) or end.way or (_is_bar(end) and start.rank == CHARGER_RANK):
        if start.way:
            return ["auto", "auto at to"]
        return "auto at both" if _stores(facts, start) else "auto at to"
    return "auto" if _stores(facts, start) or _is_bar(start) or start.kind == "vehicle_feed" else None


def _stores(facts: Facts, tip: Tip) -> bool:
    """Return whether a battery stands behind a terminal: its plus, a plus bar, a box that is fed already."""
    if tip.kind in BATTERIES:
        return tip.terminal == "plus"
    return (_is_bar(tip) or (tip.kind == "fuse_box" and tip.terminal == "in")) and tip.point in facts.grounds


def _is_bar(tip: Tip) -> bool:
    """Return whether a bar of the van is meant; a terminal block inside a unit has the fuses of the unit."""
    return tip.part is not None and tip.part.kind in BARS


def _sort(pair: Pair) -> str:
    if "mains" in (pair.start.side, pair.end.side):
        return "mains"
    return "load" if pair.end.load and pair.end.terminal == "plus" else "other"


# --- the return that a run lacks


def _open_run(facts: Facts, pair: Pair) -> str | None:
    """Return the run that feeds this one part and has no return, where its minus was pointed at an earth."""
    tip = pair.start
    bare = tip.cost > 0.0 and tip.part is not None and tip.terminal == "minus" and tip.load
    if not bare or facts.plan.document != "plan" or facts.is_linked(tip.point):
        return None
    for key, run in facts.plan.wiring.items():
        if len(run.to) == 1 and run.to[0].id == tip.end.id and run.return_ is None:
            return key
    return None


def _return_of(facts: Facts, key: str, pair: Pair) -> Connection:
    to = typed_end(pair.end, "to")
    what = title_of(facts.plan, pair.start.end.id)
    says = f"{key}, which feeds {what}, gets its return: to {to}."
    return Connection(key, (Edit(f"wiring.{key}.return", to),), says)


# --- words


def _says(facts: Facts, key: str, pair: Pair, data: dict[str, Any]) -> str:
    plan, start, end = facts.plan, str(data["from"]), str(data["to"])
    if pair.end.earth:
        says = f"{key} earths {start} at {end}."
    elif pair.end.load:
        says = f"{key} feeds {title_of(plan, pair.end.end.id)} from {start}."
    else:
        says = f"{key} runs from {start} to {end}."
    if "through" in data:
        passed = data["through"]
        says = f"{says[:-1]}, through {passed if isinstance(passed, str) else ', '.join(passed)}."
    if "return" in data:
        back = data["return"]
        says += f" Its minus goes {'back by a wire' if back == 'wire' else f'to {back}'}."
    if pair.start.way and facts.is_linked(pair.start.point):
        says += f" {start} feeds something else too; both hang on its one fuse."
    if pair.start.side == "mains" and pair.start.way:
        says += " Give it its breaker."
    return says
