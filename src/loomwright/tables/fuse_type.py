"""What is known of one type of fuse: ratings, opening times, cold resistance, volts, what it can break."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from loomwright.source import Source
from loomwright.units import Band

#: Of a fuse whose own bolts are in its figures. [Ω]
NO_HOLDER = Band(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Gate:
    """Shortest and longest opening time at one multiple of the rating; None where no figure is known.

    Attributes
    ----------
    multiple : float
        Current by rating.
    at_least_s, at_most_s : float or None
        A fuse within its standard opens between these. [s]
    """

    multiple: float
    at_least_s: float | None
    at_most_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gates:
    """The gates of the ratings up to `up_to_a`, in rising order of current."""

    up_to_a: float
    gates: tuple[Gate, ...]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Breaking:
    """The largest current that a fuse can open, at up to so many volts, for ratings up to `up_to_a`."""

    up_to_a: float
    up_to_v: float
    amps: float
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseType:
    """One type of fuse, in plain words.

    Attributes
    ----------
    name : str
        As in a plan.
    says : str
        What to ask for at the counter.
    standard : str
        Standard and type: "ISO 8820-3 type C".
    ratings_a : tuple of float
        Standard ratings. [A]
    ratings_source : Source
        Of these.
    gates : tuple of Gates
        By rating; empty where no opening times are known.
    cold_ohm : Mapping
        Cold resistance of the element by rating, where figures are known. [A -> Ω]
    cold_ohm_source : Source or None
        Of `cold_ohm`.
    cold_drop_v : Band
        Cold resistance times rating, for every other rating. [V]
    cold_drop_source : Source
        Of `cold_drop_v`.
    holder_ohm : Band
        The clips or threads of its holder, both together. [Ω]
    breaking : tuple of Breaking
        Empty if unknown.
    rated_v : Band
        Largest DC volts that it may stand in: what each fuse of the type is made for, and the best of its
        series. [V]
    rated_v_source : Source
        Of `rated_v`.
    """

    name: str
    says: str
    standard: str
    ratings_a: tuple[float, ...]
    ratings_source: Source
    gates: tuple[Gates, ...] = ()
    cold_ohm: Mapping[float, Band] = field(default_factory=dict)
    cold_ohm_source: Source | None = None
    cold_drop_v: Band
    cold_drop_source: Source
    holder_ohm: Band = NO_HOLDER
    breaking: tuple[Breaking, ...] = ()
    rated_v: Band
    rated_v_source: Source
