"""What follows when one thing of a van is open: the records, by part and wire."""

from __future__ import annotations

from dataclasses import asdict, dataclass


@dataclass(frozen=True, slots=True)
class InSeries:
    """A load that is left with part of its volts because its current has to go through another load.

    Attributes
    ----------
    load : str
        A part.
    volts_v, usual_v : float
        What it gets, below zero the wrong way round; what it is made for. [V]
    when : str
        What has to be off for it; "" if everything is on.
    """

    load: str
    volts_v: float
    usual_v: float
    when: str = ""


@dataclass(frozen=True, slots=True)
class OtherWay:
    """A wire that takes current over: before, then, and what it is good for. [A]"""

    wire: str
    before_a: float
    amps_a: float
    rating_a: float | None

    @property
    def filled(self) -> float:
        """Its current by what it is good for; 0 where nobody knows that. [-]"""
        return self.amps_a / self.rating_a if self.rating_a else 0.0

    @property
    def holds(self) -> bool:
        """True if the wire is good for it; also where nobody knows what it is good for."""
        return self.filled <= 1.0


@dataclass(frozen=True, slots=True)
class Overload:
    """A wire that carries more than it is good for once something else is open.

    `broken` names what has to come loose for it: one of these. [A]
    """

    wire: str
    broken: tuple[str, ...]
    amps_a: float
    rating_a: float


@dataclass(frozen=True, slots=True)
class Break:
    """What follows when one thing is open.

    Attributes
    ----------
    of, kind : str
        A wire, a stud, a contact ("S1", "X1.2"), a plug or a fuse (its way, wire or box); which of these.
    amps_a : float
        The most that it carries for good while it is whole, charging or with everything on. [A]
    stops : tuple of str
        The parts that lose their feed or return.
    charges_no_more : tuple of str
        Chargers and panels that lose their battery or regulator.
    goes_on : tuple of str
        The parts whose current came this way and now comes another.
    in_series : tuple of InSeries
    other_ways : tuple of OtherWay
        The wires that take current over, the fullest first.
    live : tuple of str
        Studs, bars and parts that stand at plus and should be at minus; the body among them.
    live_v : float
        By how much. [V]
    """

    of: str
    kind: str
    amps_a: float
    stops: tuple[str, ...] = ()
    charges_no_more: tuple[str, ...] = ()
    goes_on: tuple[str, ...] = ()
    in_series: tuple[InSeries, ...] = ()
    other_ways: tuple[OtherWay, ...] = ()
    live: tuple[str, ...] = ()
    live_v: float = 0.0

    @property
    def matters(self) -> bool:
        """True if anything changes."""
        return bool(self.stops or self.charges_no_more or self.in_series or self.other_ways or self.goes_on)

    def as_dict(self) -> dict[str, object]:
        """Return the break as it stands in JSON."""
        others = [asdict(one) | {"holds": one.holds} for one in self.other_ways]
        return asdict(self) | {"other_ways": others}


__all__ = ["Break", "InSeries", "OtherWay", "Overload"]
