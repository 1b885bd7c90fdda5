"""Limits that verdicts are measured against: the workshop's set, and those of three standards.

A set of a standard holds the workshop's limit wherever the standard names none. A limit that was typed as
one value, or that a standard gives, is that of a fault and has no watch below it.

Sources: the workshop's set is common practice; EN 1648-2 as quoted in public, ABYC E-11 by two public
tables, ISO 10133 clause 4 by a published preview and its 10 % from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

from loomwright.errors import OutOfTableError
from loomwright.source import Source

#: A figure counts as over its limit only if it is so by more than this share: sums leave dust behind.
DUST = 1e-6
#: A start that lasts longer is judged as a running current. [s]
LONGEST_START_S = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The two levels of one limit.

    Attributes
    ----------
    watch, fault : float or None
        Levels; None where this limit has no such level. [`unit`]
    unit : str
        "%" of the nominal volts, "V", "m", or "" for a ratio or a count.
    source : Source
        Who says so.
    below : bool
        True if a figure is poor when it lies below, not above.
    """

    watch: float | None = None
    fault: float | None = None
    unit: str
    source: Source
    below: bool = False

    def level(self, value: float) -> Literal["watch", "fault"] | None:
        """Return how poor `value` is, None if it is within the limit.

        Examples
        --------
        >>> WORKSHOP.drop.level(4.5), WORKSHOP.drop.level(4.0), WORKSHOP.cut_out_margin.level(-0.1)
        ('watch', None, 'fault')
        """
        if self._passed(value, self.fault):
            return "fault"
        return "watch" if self._passed(value, self.watch) else None

    def as_pct(self, nominal_v: float) -> Limit:
        """Return this limit in per cent of 12 V or 24 V, for one that is given in volts."""
        if self.unit != "V":
            return self
        watch, fault = (None if v is None else 100.0 * v / nominal_v for v in (self.watch, self.fault))
        return replace(self, watch=watch, fault=fault, unit="%")

    def _passed(self, value: float, level: float | None) -> bool:
        if level is None:
            return False
        excess = level - value if self.below else value - level
        return excess > DUST * max(abs(level), DUST)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitSet:
    """All limits of one name.

    Attributes
    ----------
    name : str
        As in a plan.
    drop, essential_drop, charging_drop, start_drop : Limit
        Running; running of what must not fail; from a feeding battery to a charger or from a charger to
        its battery; a start of up to `LONGEST_START_S`. [% or V]
    dip : Limit
        What a load's start takes from another load. [V]
    fuse_over_cable, load_over_fuse, load_over_rating : Limit
        Fuse by derated cable; lasting current by fuse; lasting current by what a cable, contact, pin,
        output or converter may carry. [ratio]
    joint : Limit
        In one stud, pin or crimp. [V]
    stud_lugs : Limit
        Rings on one stud. [count]
    share_over_fair : Limit
        Current of one of several batteries in parallel by its fair share. [ratio]
    cut_out_margin : Limit
        Volts at a load above its cut-out. [V]
    fuse_distance : Limit
        Unfused cable at a source. [m]
    """

    name: str
    drop: Limit
    essential_drop: Limit
    charging_drop: Limit
    start_drop: Limit
    dip: Limit
    fuse_over_cable: Limit
    load_over_fuse: Limit
    load_over_rating: Limit
    joint: Limit
    stud_lugs: Limit
    share_over_fair: Limit
    cut_out_margin: Limit
    fuse_distance: Limit


def _workshop(unit: str, watch: float | None, fault: float | None, *, below: bool = False) -> Limit:
    source = Source(work="common practice", place="the workshop's limits", checked="common practice")
    return Limit(watch=watch, fault=fault, unit=unit, source=source, below=below)


WORKSHOP = LimitSet(
    name="workshop",
    drop=_workshop("%", 4.0, 5.0),
    essential_drop=_workshop("%", 4.0, 5.0),
    charging_drop=_workshop("%", 3.0, 6.0),
    start_drop=_workshop("%", 8.0, 10.0),
    dip=_workshop("V", 0.3, 1.0),
    fuse_over_cable=_workshop("", 1.00, 1.02),
    load_over_fuse=_workshop("", 0.80, 1.00),
    load_over_rating=_workshop("", None, 1.00),
    joint=_workshop("V", 0.1, 0.2),
    stud_lugs=_workshop("", 4, None),
    share_over_fair=_workshop("", 1.05, None),
    cut_out_margin=_workshop("V", 0.3, 0.0, below=True),
    fuse_distance=_workshop("m", None, 0.3),
)

_EN_1648_2 = Source(work="EN 1648-2", place="conductor sizing", checked="one source")
_ABYC_DROP = Source(work="ABYC E-11", place="voltage drop tables", checked="published, second hand")
_ABYC_FUSE = Source(work="ABYC E-11", place="overcurrent protection, 7 in", checked="published, second hand")
_ISO_DROP = Source(work="ISO 10133:2012", place="clause 4, 10 % at the load", checked="from memory")
_ISO_ESSENTIAL = Source(
    work="ISO 10133:2012",
    place="clause 4, circuits that typically need 3 %",
    checked="published, second hand",
)
_ISO_FUSE = Source(work="ISO 10133:2012", place="clause 8, within 200 mm", checked="from memory")

EN_1648_2 = replace(
    WORKSHOP,
    name="en_1648_2",
    drop=Limit(fault=0.8, unit="V", source=_EN_1648_2),
    essential_drop=Limit(fault=0.8, unit="V", source=_EN_1648_2),
    charging_drop=Limit(fault=0.2, unit="V", source=_EN_1648_2),
)
ABYC_E11 = replace(
    WORKSHOP,
    name="abyc_e11",
    drop=Limit(fault=10.0, unit="%", source=_ABYC_DROP),
    essential_drop=Limit(fault=3.0, unit="%", source=_ABYC_DROP),
    fuse_distance=Limit(fault=0.178, unit="m", source=_ABYC_FUSE),
)
ISO_10133 = replace(
    WORKSHOP,
    name="iso_10133",
    drop=Limit(fault=10.0, unit="%", source=_ISO_DROP),
    essential_drop=Limit(fault=3.0, unit="%", source=_ISO_ESSENTIAL),
    fuse_distance=Limit(fault=0.2, unit="m", source=_ISO_FUSE),
)
LIMIT_SETS: Mapping[str, LimitSet] = MappingProxyType(
    {limits.name: limits for limits in (WORKSHOP, EN_1648_2, ABYC_E11, ISO_10133)}
)


def limit_set(name: str) -> LimitSet:
    """Return the set of this name.

    Parameters
    ----------
    name : str
        One of `LIMIT_SETS`.

    Returns
    -------
    LimitSet
        Complete; what the standard does not name is the workshop's.

    Raises
    ------
    OutOfTableError
        No such set.

    Examples
    --------
    >>> limit_set("en_1648_2").drop.as_pct(12.0).fault
    6.666666666666667
    """
    if name not in LIMIT_SETS:
        raise OutOfTableError(f'no limits "{name}"; held: {", ".join(LIMIT_SETS)}')
    return LIMIT_SETS[name]
