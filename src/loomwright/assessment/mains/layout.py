"""The mains side of a plan taken apart: cables, what opens, where sockets and appliances hang.

A *point* is a point of the plan; two more stand inside a breaker box, `U1|bus` behind its RCD and main
breaker, and one inside whatever makes mains, `inverter|makes`. Every cable has line, neutral and earth in
it unless the plan says it has two cores.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from loomwright.assessment.record import WireFigure
from loomwright.assessment.states import contacts_of
from loomwright.mains.records import Breaker, Residual
from loomwright.plan.kinds import rest_state, side, states
from loomwright.plan.model import Part
from loomwright.plan.pieces import BODY, FlatRun, Piece, Wiring
from loomwright.plan.values import NONE, Quantity, Rcd, Word
from loomwright.plan.values import Breaker as TypedBreaker
from loomwright.protection.resistance import conductor_resistance
from loomwright.tables.iec_61008 import CLASS_A_TRIPS_A

#: Cores of a mains cable where the plan does not say; with fewer there is no protective conductor.
USUAL_CORES = 3
#: Kinds whose contacts stand in a mains cable.
_CONTACTS = ("switch", "two_way", "intermediate", "change_over", "selector", "relay", "master_switch")
_CURVES: dict[str, Literal["B", "C", "D"]] = {"B": "B", "C": "C", "D": "D"}
_TYPES: dict[str, Literal["AC", "A", "F", "B"]] = {"AC": "AC", "A": "A", "F": "F", "B": "B"}
_COIL = ("85", "86", "coil_plus", "coil_minus")
#: Kinds that make mains, and kinds that take it by a terminal of their own.
MAKERS = ("inverter", "inverter_charger", "generator")
_TAKERS = {
    "mains_charger": "mains",
    "fridge": "mains",
    "absorption_fridge": "mains",
    "air_heater": "mains",
    "combi_heater": "mains",
    "appliance": "in",
    "inverter_charger": "in",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """One mains cable between two points; size or length None if nobody knows it. [mm², m]"""

    id: str
    run: str
    a: str
    b: str
    area_mm2: float | None
    length_m: float | None
    cores: int = USUAL_CORES
    conductors: str = "iec_60228_class_5"

    def ohm(self, temp_c: float) -> float:
        """Return the resistance of one core at a temperature of its copper. [Ω]"""
        if not self.area_mm2 or not self.length_m:
            return 0.0
        return conductor_resistance(self.area_mm2, self.length_m, temp_c, self.conductors)


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """What may open between two points: a breaker, an RCD, or both in one; a plain contact has neither.

    `poles` None is not known. `unknown` names the fields of the plan that leave open whether there is one.
    """

    id: str
    part: str
    a: str
    b: str
    breaker: Breaker | None = None
    residual: Residual | None = None
    poles: int | None = None
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Contact:
    """Two points of a device that are joined in one of its positions; "" if they always are."""

    part: str
    a: str
    b: str
    position: str = ""


@dataclass(frozen=True, slots=True)
class Bond:
    """A conductor from an earth to the shell, at the point `a`. [mm², m]"""

    run: str
    piece: str
    a: str
    area_mm2: float | None
    length_m: float | None


@dataclass(frozen=True, slots=True)
class Layout:
    """The mains side of one van.

    Attributes
    ----------
    spans : tuple of Span
        Cables.
    gates : tuple of Gate
        Breakers and RCDs, from the side of the source.
    contacts : tuple of Contact
        What else joins two points.
    inlets, makers : tuple of str
        Parts that bring mains in, and parts that make it.
    outlets : Mapping
        By socket or wired thing that takes mains, the point where it takes it.
    bonds : tuple of Bond
        To the shell.
    loose_pipes : bool
        Metal pipes and taps are there, and nothing bonds them.
    """

    spans: tuple[Span, ...]
    gates: tuple[Gate, ...]
    contacts: tuple[Contact, ...]
    inlets: tuple[str, ...]
    makers: tuple[str, ...]
    outlets: dict[str, str]
    bonds: tuple[Bond, ...]
    loose_pipes: bool = False

    def __bool__(self) -> bool:
        """Return whether there is a mains side at all."""
        return bool(self.inlets or self.makers or self.outlets)


def layout_of(wiring: Wiring, wires: Mapping[str, WireFigure]) -> Layout:
    """Return the mains side of a plan, with the sizes and lengths of its cables."""
    return Layout(
        spans=tuple(_spans(wiring, wires)),
        gates=tuple(_gates(wiring)),
        contacts=tuple(_contacts(wiring)),
        inlets=tuple(id for id, part in wiring.parts.items() if part.kind == "inlet"),
        makers=tuple(id for id, part in wiring.parts.items() if part.kind in MAKERS),
        outlets=dict(_outlets(wiring)),
        bonds=tuple(_bonds(wiring, wires)),
        loose_pipes=wiring.plan.vehicle.pipes == "loose",
    )


def _spans(wiring: Wiring, wires: Mapping[str, WireFigure]) -> Iterator[Span]:
    for flat in wiring.runs.values():
        if not flat.mains:
            continue
        for piece in flat.pieces:
            wire = wires.get(piece.id)
            yield Span(
                id=piece.id,
                run=flat.id,
                a=piece.a,
                b=piece.b,
                area_mm2=wire.area_mm2 if wire is not None else None,
                length_m=wire.length_m if wire is not None else None,
                cores=flat.run.cores if isinstance(flat.run.cores, int) else USUAL_CORES,
                conductors="iec_60228_class_5" if flat.run.conductor == "flexible" else "iec_60228_class_2",
            )


def _gates(wiring: Wiring) -> Iterator[Gate]:
    for id, part in wiring.parts.items():
        if part.kind == "breaker_box":
            yield from _box_gates(wiring, id, part)
        elif part.kind == "mains_socket":
            yield _rcd_gate(
                wiring, f"{id}.rcd", id, f"{id}.in", f"{id}.load", part.rcd, f"parts.{id}.rcd", certain=True
            )
        elif part.kind in MAKERS:
            yield _rcd_gate(wiring, f"{id}.rcd", id, f"{id}|makes", f"{id}.out", part.rcd, f"parts.{id}.rcd")


def _box_gates(wiring: Wiring, id: str, part: Part) -> Iterator[Gate]:
    yield _rcd_gate(wiring, f"{id}.rcd", id, f"{id}.in", f"{id}|main", part.rcd, f"parts.{id}.rcd")
    yield _breaker_gate(wiring, f"{id}.main", id, f"{id}|main", f"{id}|bus", part.main_breaker)
    for point, pieces in wiring.by_point.items():
        if wiring.part_of(point) == id and wiring.terminal_of(point).isdigit():
            typed = (wiring.runs[piece.run].run.breaker for piece in pieces if piece.a == point)
            found = next((one for one in typed if isinstance(one, TypedBreaker)), NONE)
            yield _breaker_gate(wiring, point, id, f"{id}|bus", point, found)


def _rcd_gate(
    wiring: Wiring,
    id: str,
    part: str,
    a: str,
    b: str,
    typed: Rcd | Word,
    field: str,
    *,
    certain: bool = False,
) -> Gate:
    """Return an RCD between two points; one that nobody names counts as none, unless one has to be there."""
    if not isinstance(typed, Rcd):
        open_ = () if typed is NONE or certain else (field,)
        return Gate(id=id, part=part, a=a, b=b, unknown=open_)
    trips = typed.trips.high if isinstance(typed.trips, Quantity) else None
    residual = (
        Residual(trips, _kind(wiring, trips), _TYPES.get(typed.type or "", "unknown")) if trips else None
    )
    return Gate(id=id, part=part, a=a, b=b, residual=residual, poles=typed.poles)


def _kind(wiring: Wiring, trips_a: float) -> Literal["general", "class_a"]:
    """Return the kind of an RCD: those of a few milliamperes in North America are of their own class."""
    return "class_a" if wiring.plan.region == "na" and trips_a <= CLASS_A_TRIPS_A * 1.001 else "general"


def _breaker_gate(wiring: Wiring, id: str, part: str, a: str, b: str, typed: TypedBreaker | Word) -> Gate:
    if not isinstance(typed, TypedBreaker):
        return Gate(id=id, part=part, a=a, b=b)
    rating = typed.rating.high if isinstance(typed.rating, Quantity) else None
    trips = typed.rcd_a.high if typed.rcd_a is not None else None
    return Gate(
        id=id,
        part=part,
        a=a,
        b=b,
        breaker=Breaker(rating, _CURVES.get(typed.curve or "", "unknown")) if rating else None,
        residual=Residual(trips, _kind(wiring, trips)) if trips is not None else None,
        poles=typed.poles,
    )


def _contacts(wiring: Wiring) -> Iterator[Contact]:
    for id, part in wiring.parts.items():
        if part.kind == "priority_relay":
            yield Contact(id, f"{id}.in", f"{id}.out")
        elif part.kind == "plug":
            yield from (Contact(id, one.a, one.b) for one in contacts_of(id, part, None))
        elif part.kind in _CONTACTS and any(wiring.runs[piece.run].mains for piece in _at(wiring, id)):
            coiled = sum(f"{id}.{end}" in wiring.by_point for end in _COIL) == 2
            rest = rest_state(part)
            for state in (rest,) if coiled and rest is not None else tuple(states(part)):
                yield from (Contact(id, one.a, one.b, state) for one in contacts_of(id, part, state))


def _at(wiring: Wiring, id: str) -> Iterator[Piece]:
    for point, pieces in wiring.by_point.items():
        if wiring.part_of(point) == id:
            yield from pieces


def _outlets(wiring: Wiring) -> Iterator[tuple[str, str]]:
    for id, part in wiring.parts.items():
        if part.kind == "mains_socket" and f"{id}.in" in wiring.by_point:
            yield id, f"{id}.load"
        elif (terminal := _TAKERS.get(part.kind)) is not None and f"{id}.{terminal}" in wiring.by_point:
            yield id, f"{id}.{terminal}"


def _bonds(wiring: Wiring, wires: Mapping[str, WireFigure]) -> Iterator[Bond]:
    for flat in wiring.runs.values():
        if flat.mains:
            continue
        for piece in flat.pieces:
            for one, other in ((piece.a, piece.b), (piece.b, piece.a)):
                if _is_earth(wiring, one) and _is_shell(wiring, flat, other):
                    wire = wires.get(piece.id)
                    yield Bond(
                        flat.id,
                        piece.id,
                        one,
                        wire.area_mm2 if wire is not None else None,
                        wire.length_m if wire is not None else None,
                    )


def _is_earth(wiring: Wiring, point: str) -> bool:
    id = wiring.part_of(point)
    return id is not None and side(wiring.parts[id], wiring.terminal_of(point)) == "earth"


def _is_shell(wiring: Wiring, flat: FlatRun, point: str) -> bool:
    return point in wiring.plan.studs or point.endswith(f"@{BODY}") or point == BODY


__all__ = ["MAKERS", "Bond", "Contact", "Gate", "Layout", "Span", "layout_of"]
