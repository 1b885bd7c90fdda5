"""A direct-current network as plain records: what joins which points, and how it behaves.

A network is a list of elements between named nodes. It needs no earth and no battery; it may fall into
several parts that share no metal. Currents in the records and in the results count from the first terminal
to the second (`a` to `b`, `plus` to `minus`), except for what delivers: a source counts the current that
leaves its plus.

Left out: capacitance, inductance and time. Every element is the steady characteristic seen at its terminals.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import TypeAlias


def _check(record: Element, *never_negative: str) -> None:
    """Refuse figures that no network can hold."""
    for field in fields(record):
        value = getattr(record, field.name)
        if isinstance(value, float | int) and not math.isfinite(value):
            raise ValueError(f"{record.id}: {field.name} is {value}, not a number")
    for name in never_negative:
        if getattr(record, name) < 0:
            raise ValueError(f"{record.id}: {name} is {getattr(record, name)}; it can't be below zero")


@dataclass(frozen=True, slots=True)
class Resistor:
    """A wire, joint, fuse, closed contact or sheet of steel; 0 Ω joins the two nodes exactly."""

    id: str
    a: str
    b: str
    ohm: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.ohm < math.inf:  # the check of all fields is slow, and a van has many of these
            _check(self, "ohm")


@dataclass(frozen=True, slots=True)
class Source:
    """A battery (open-circuit volts behind its internal resistance) or, with 0 Ω, an ideal source."""

    id: str
    plus: str
    minus: str
    volts: float
    ohm: float = 0.0

    def __post_init__(self) -> None:
        _check(self, "ohm")


@dataclass(frozen=True, slots=True)
class Load:
    """A consumer: a constant current, a constant power and a conductance, all three side by side.

    Constant current and constant power are drawn only with the right polarity, and not at all where no
    source reaches the load.
    """

    id: str
    plus: str
    minus: str
    amps: float = 0.0
    watts: float = 0.0
    siemens: float = 0.0

    def __post_init__(self) -> None:
        _check(self, "amps", "watts", "siemens")


@dataclass(frozen=True, slots=True)
class Diode:
    """Conducts from `a` to `k` once `drop_v` is exceeded, then rises by `ohm`; blocks otherwise."""

    id: str
    a: str
    k: str
    drop_v: float = 0.7
    ohm: float = 1e-3

    def __post_init__(self) -> None:
        _check(self, "drop_v", "ohm")


@dataclass(frozen=True, slots=True)
class Limited:
    """A charger, regulator or panel as seen at its output.

    It holds its voltage, behind `ohm`, up to `max_a`; from there on it delivers that current. It never
    takes current back: above its own volts it delivers nothing.
    """

    id: str
    plus: str
    minus: str
    volts: float
    max_a: float
    ohm: float = 0.0

    def __post_init__(self) -> None:
        _check(self, "max_a", "ohm")


@dataclass(frozen=True, slots=True)
class Converter:
    """A one-way converter: constant output voltage up to `max_a`, then constant current (it folds back).

    Its input draws output power / `efficiency`, and `idle_a` on top as long as a source reaches the input.
    The two sides share no metal unless the network joins them.
    """

    id: str
    in_plus: str
    in_minus: str
    out_plus: str
    out_minus: str
    volts: float
    max_a: float
    efficiency: float
    idle_a: float = 0.0

    def __post_init__(self) -> None:
        _check(self, "volts", "max_a", "idle_a")
        if not 0 < self.efficiency <= 1:
            raise ValueError(f"{self.id}: efficiency is {self.efficiency}; it lies above 0 and up to 1")


Element: TypeAlias = Resistor | Source | Load | Diode | Limited | Converter


def terminals(element: Element) -> tuple[str, ...]:
    """Return the nodes of an element in the order in which its record names them."""
    match element:
        case Resistor(a=a, b=b):
            return a, b
        case Diode(a=a, k=k):
            return a, k
        case Converter(in_plus=ip, in_minus=im, out_plus=op, out_minus=om):
            return ip, im, op, om
        case _:
            return element.plus, element.minus


@dataclass(frozen=True, slots=True)
class Network:
    """The elements of one network.

    Parameters
    ----------
    elements : Sequence[Element]
        In any order; the order settles only which node is the reference where none is named.

    Raises
    ------
    ValueError
        Two elements share an id, or an id is empty.
    """

    elements: Sequence[Element]

    def __post_init__(self) -> None:
        seen: set[str] = set()
        for element in self.elements:
            if not element.id or element.id in seen:
                raise ValueError(f"each element needs an id of its own: {element.id!r}")
            seen.add(element.id)

    @property
    def nodes(self) -> tuple[str, ...]:
        """Every node that an element names, in order of first mention."""
        return tuple(dict.fromkeys(node for element in self.elements for node in terminals(element)))
