"""What may be chosen in a field of a form: the words of its kind, or the ids of this plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from loomwright.plan.checks import BUILT_IN_MODES
from loomwright.plan.columns import PASSAGE, EndKind, Kind, ListOf, MapOf, Ref, Special, Typed
from loomwright.plan.kinds import KINDS, is_consumer, passages, states, terminals, usual, usual_passage
from loomwright.plan.model import Part, Plan


def options_of(kind: Kind, plan: Plan, parts: Mapping[str, Part], inside: bool) -> tuple[str, ...]:
    """Return what may stand in a field, as far as that can be listed.

    Parameters
    ----------
    kind : Kind
        Of the field, or of the items of its list.
    plan : Plan
        Its ids may stand there.
    parts : mapping
        The parts in scope: the van's own, or those inside a composite.
    inside : bool
        True inside a composite, where no stud and no body may be named.
    """
    if isinstance(kind, ListOf):
        return options_of(kind.item, plan, parts, inside)
    if isinstance(kind, MapOf) and isinstance(kind.value, Typed) and kind.value.says == "use":
        return tuple(id for id, part in parts.items() if is_consumer(part.kind) or part.kind in _ALSO_USED)
    if kind is PASSAGE:
        return tuple(text for part in parts.values() for text in _passages(part))
    if isinstance(kind, Typed):
        return tuple(KINDS) if kind.says == "kind" else kind.words or kind.also or _YES_NO.get(kind.says, ())
    studs = () if inside else (*plan.studs, "body")
    if isinstance(kind, EndKind):
        return _ends(parts, studs, kind.stands)
    if isinstance(kind, Special):
        if kind.name in ("ends", "return"):
            return _ends(parts, studs, "to" if kind.name == "ends" else "return")
        return {"fuse": ("auto", "none", "unknown"), "stop": tuple(plan.places)}.get(kind.name, ())
    if isinstance(kind, Ref):
        return (*_REFS[kind.space](plan, parts), *kind.words) if kind.space in _REFS else kind.words
    return ()


#: What takes something in a day beside the loads.
_ALSO_USED = ("appliance", "standby", "inverter", "inverter_charger", "converter")
_YES_NO = {"yes/no": ("yes", "no")}


def _passages(part: Part) -> tuple[str, ...]:
    found = passages(part)
    if part.kind == "plug":
        return tuple(f"{part.id}.{pin}" for pin, _ in found)
    named = tuple(f"{part.id}.{a}-{b}" for a, b in found if a)
    if usual_passage(part) is None:
        return named
    return (part.id, *(named if len(named) > 1 else ()))


def _ends(parts: Mapping[str, Part], studs: tuple[str, ...], stands: str) -> tuple[str, ...]:
    """Return the ends that may stand somewhere: bare names where they mean something, else terminals."""
    found = []
    for id, part in parts.items():
        if part.kind in ("busbar", "splice"):
            found.append(id)
        elif stands == "return":
            found += [f"{id}.{name}" for name in terminals(part) if "minus" in name]
        elif part.kind not in ("standby", "hook_up_lead"):
            bare = usual(part, stands)
            found += [id] if bare is not None else []
            found += [f"{id}.{name}" for name in terminals(part) if name != bare]
    wire = ("wire",) if stands == "return" else ()
    return (*wire, *studs, *found) if stands == "return" else (*found, *studs)


def _states(plan: Plan, parts: Mapping[str, Part]) -> tuple[str, ...]:
    named = [id for id, part in parts.items() if states(part)]
    outputs = [f"{id}.{name}" for id, part in parts.items() for name in part.outputs]
    return (*named, *outputs)


_REFS: Mapping[str, Callable[[Plan, Mapping[str, Part]], tuple[str, ...]]] = {
    "place": lambda plan, parts: tuple(plan.places),
    "path": lambda plan, parts: tuple(plan.paths),
    "path or place": lambda plan, parts: (*plan.paths, *plan.places),
    "stud": lambda plan, parts: tuple(plan.studs),
    "part": lambda plan, parts: tuple(parts),
    "inner part": lambda plan, parts: tuple(parts),
    "season": lambda plan, parts: tuple(plan.use),
    "supply": lambda plan, parts: tuple(plan.supplies),
    "mode": lambda plan, parts: (*plan.modes, *BUILT_IN_MODES),
    "anything": lambda plan, parts: (
        *(*plan.wiring, *plan.parts, *plan.studs, *plan.places, *plan.supplies),
    ),
    "state": _states,
}
