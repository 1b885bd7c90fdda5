"""The limits that a plan is judged by: the set it names, single limits changed by its own `limits`."""

from __future__ import annotations

from dataclasses import replace

from loomwright.plan.model import Plan
from loomwright.plan.values import Curve, Quantity
from loomwright.source import Source
from loomwright.tables.limits import ABYC_E11, LIMIT_SETS, Limit, LimitSet

from .sizes import REGIONS_WITH_AWG

OWN_LIMIT = Source(work="the plan", place="basis.limits", checked="read in the work")


def limits_of(plan: Plan) -> LimitSet:
    """Return the limits of a plan: its set, with its own `basis.limits` laid over.

    Where the plan names no set, how far a fuse may sit from its source goes by the region.
    """
    base, own = LIMIT_SETS[plan.basis.limit_set], plan.basis.limits
    if plan.region in REGIONS_WITH_AWG and "limit_set" not in plan.basis.typed:
        base = replace(base, fuse_distance=ABYC_E11.fuse_distance)
    if own is None:
        return base
    return replace(
        base,
        drop=_own(base.drop, own.drop, 100.0, "%"),
        charging_drop=_own(base.charging_drop, own.charging_drop, 100.0, "%"),
        start_drop=_own(base.start_drop, own.start_drop, 100.0, "%"),
        dip=_own(base.dip, own.dip, 1.0, "V"),
        fuse_distance=_own_fault(base.fuse_distance, own.fuse_distance),
    )


def _own(limit: Limit, typed: Curve | None, scale: float, unit: str) -> Limit:
    """Return a limit as the plan sets it; one value alone is the limit of a fault."""
    if typed is None:
        return limit
    only = typed.only()
    if isinstance(only, Quantity):
        return Limit(watch=None, fault=only.high * scale, unit=unit, source=OWN_LIMIT)
    levels = {name: typed.points.get(name) for name in ("watch", "fault")}
    found = {name: v.high * scale if isinstance(v, Quantity) else None for name, v in levels.items()}
    return Limit(watch=found["watch"], fault=found["fault"], unit=unit, source=OWN_LIMIT)


def _own_fault(limit: Limit, typed: object) -> Limit:
    """Return a limit with the level of a fault as the plan sets it."""
    return replace(limit, fault=typed.high, source=OWN_LIMIT) if isinstance(typed, Quantity) else limit


def first_level(limit: Limit, nominal_v: float) -> float:
    """Return where the first grade of a limit begins, in per cent for a drop; infinity if it has none."""
    scaled = limit.as_pct(nominal_v)
    levels = [level for level in (scaled.watch, scaled.fault) if level is not None]
    return min(levels, default=float("inf"))
