"""Which wire is this? Found by what is seen of it: colour, size, where it is, what is printed on it.

A measured size is taken for a nominal one within 15 %: a worn gauge, AWG beside square millimetres. A wire is
at a spot if it ends there or its way leads past. Left and right are the vehicle's, as seen facing forward.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from loomwright.loom.lines import Point
from loomwright.plan.values import Quantity
from loomwright.tables.iec_60757 import COLOURS

from .ends import label_of, listed_wires
from .record import Assessment, WireFigure
from .sizes import place_of, stops_of, where_of

#: A size measured is the nominal one within this share.
SIZE_WITHIN = 0.15
#: Further from the middle it is left or right; lower and higher it is at the floor or the roof. [m]
ASIDE_M, LOW_M, HIGH_M = 0.15, 0.25, 1.2
#: Other words for the same.
_SAME = {
    "gray": "grey", "purple": "violet", "back": "rear", "behind": "rear", "ahead": "front", "ceiling": "roof",
    "top": "roof", "bottom": "floor", "below": "floor", "centre": "middle", "center": "middle",
}  # fmt: skip
_SIDES = frozenset({"left", "right", "middle", "front", "rear", "floor", "roof", "cab"})
_IDLE = frozenset({"the", "a", "an", "at", "in", "on", "of", "mm²", "mm2", "mm", "wire", "and", "from", "to"})
_BREAK = re.compile(r"[\s,;:>()/_.]+")
_NUMBER = re.compile(r"\d+(?:\.\d+)?(?:mm²|mm2)?")
_COMMA = re.compile(r"(?<=\d),(?=\d)")
_HYPHEN = re.compile(r"(?<=[a-z])-(?=[a-z])")


@dataclass(frozen=True, slots=True)
class Seen:
    """A wire as it may be asked for.

    Attributes
    ----------
    wire, label : str
    colours : tuple of str
        Names, the base first.
    area_mm2 : float or None
    ends : tuple of str
        Where from and where to, as typed.
    names : frozenset of str
        Words of its ids, ends and places.
    spots : tuple of frozenset of str
        For each spot that it passes where that is: "left", "rear", "roof" ...
    """

    wire: str
    label: str
    colours: tuple[str, ...]
    area_mm2: float | None
    ends: tuple[str, str]
    names: frozenset[str]
    spots: tuple[frozenset[str], ...]

    @property
    def words(self) -> str:
        """In one line, for a list and to search in."""
        label = "" if self.label == self.wire else f"{self.label}: "
        area = "size not known" if self.area_mm2 is None else f"{self.area_mm2:g} mm²"
        return (
            f"{label}{'-'.join(self.colours) or 'colour not known'} {area}, {self.ends[0]} > {self.ends[1]}"
        )

    @property
    def where(self) -> str:
        """Where its ends are, in words: "front left, rear left"."""
        order = ("cab", "front", "middle", "rear", "left", "right", "floor", "roof")
        said = (" ".join(sorted(spot, key=order.index)) for spot in self.spots[:2])
        return ", ".join(dict.fromkeys(said))


def seen(job: Assessment) -> dict[str, Seen]:
    """Return every listed wire as it may be asked for, by its id."""
    pieces = {piece.id: (piece.a, piece.b) for piece in job.wiring.pieces()}
    middle = _middle_m(job)
    return {wire.id: _seen(job, wire, pieces[wire.id], middle) for wire in listed_wires(job)}


def which(job: Assessment, asked: str) -> tuple[Seen, ...]:
    """Return the wires that fit all that is asked: of exactly the colours first, then in the plan's order.

    Parameters
    ----------
    job : Assessment
    asked : str
        Colours, a size, a printed number, names of places and parts, and left, right, front, rear, floor,
        roof, in any order: "blue, 1.5, right rear".

    Returns
    -------
    tuple of Seen
        Empty if none fits.
    """
    colours, numbers, sides, names = _taken_apart(asked)
    found = []
    for one in seen(job).values():
        fits = (
            colours <= set(one.colours)
            and all(_is_number(one, number) for number in numbers)
            and (not sides or any(sides <= spot for spot in one.spots))
            and all(any(known.startswith(name) for known in one.names) for name in names)
        )
        if fits:
            found.append(one)
    return tuple(sorted(found, key=lambda one: bool(colours) and set(one.colours) != colours))


def _taken_apart(asked: str) -> tuple[set[str], list[float], set[str], list[str]]:
    known = {colour.name for colour in COLOURS.values()}
    letters = {colour.letters.lower(): colour.name for colour in COLOURS.values()}
    colours, numbers, sides, names = set[str](), list[float](), set[str](), list[str]()
    plain = _HYPHEN.sub(" ", _COMMA.sub(".", asked.casefold()))
    for found in re.split(r"[\s,;:>()/]+", plain):
        word = _SAME.get(found, found)
        if word in known or word in letters:
            colours.add(letters.get(word, word))
        elif _NUMBER.fullmatch(word):
            numbers.append(float(re.sub("mm.*", "", word)))
        elif word in _SIDES:
            sides.add(word)
        elif word and word not in _IDLE:
            names += [part for part in _BREAK.split(word) if part]
    return colours, numbers, sides, names


def _is_number(one: Seen, number: float) -> bool:
    """Say whether a number is a wire's size, or printed on it."""
    if one.label == f"{number:g}":
        return True
    return one.area_mm2 is not None and abs(number - one.area_mm2) <= SIZE_WITHIN * one.area_mm2


def _seen(job: Assessment, wire: WireFigure, points: tuple[str, str], middle_m: float) -> Seen:
    places = {place for point in points if (place := place_of(job.wiring, point))} | set(wire.places)
    words = " ".join((wire.id, wire.from_, wire.to, *places, *_notes(job, places)))
    colours = tuple(COLOURS[wire.colour[k : k + 2]].name for k in _letters(wire.colour))
    return Seen(
        wire.id,
        label_of(job, wire.id),
        colours,
        wire.area_mm2,
        (wire.from_, wire.to),
        frozenset(word for word in _BREAK.split(words.casefold()) if word),
        tuple(dict.fromkeys(_spots(job, wire, points, places, middle_m))),
    )


def _letters(colour: str) -> Iterator[int]:
    return (k for k in range(0, len(colour), 2) if colour[k : k + 2] in COLOURS)


def _notes(job: Assessment, places: Iterable[str]) -> Iterator[str]:
    for id in places:
        place = job.plan.places.get(id)
        if place is not None and place.note:
            yield place.note


def _spots(
    job: Assessment, wire: WireFigure, points: tuple[str, str], places: Iterable[str], middle_m: float
) -> Iterator[frozenset[str]]:
    """Give where a wire is, for each of its ends and each corner of its way; of places also what they say."""
    for point in points:
        at = where_of(job.wiring, point)
        if at is not None:
            yield _sides(at, middle_m)
    laid = job.loom.laid.get(wire.id)
    for stretch in laid.route.stretches if laid is not None and laid.route is not None else ():
        yield _sides(stretch.b, middle_m)
    for id in places:
        place = job.plan.places.get(id)
        said = _BREAK.split(f"{id} {place.note if place is not None and place.note else ''}".casefold())
        words = frozenset(_SAME.get(word, word) for word in said) & _SIDES
        if words:
            yield words


def _sides(at: Point, middle_m: float) -> frozenset[str]:
    x, y, z = at
    words = {"left" if y < -ASIDE_M else "right" if y > ASIDE_M else "middle"}
    words |= {"cab", "front"} if x < 0.0 else {"front"} if x < middle_m else {"rear"}
    words |= {"floor"} if z < LOW_M else {"roof"} if z > HIGH_M else set()
    return frozenset(words)


def _middle_m(job: Assessment) -> float:
    """Return the middle of the load space, rearward; without its length that of the places in it. [m]"""
    space = job.plan.vehicle.load_space
    if space and isinstance(space[0], Quantity):
        return space[0].mid / 2.0
    rearward = [stops[0][0] for id in job.plan.places if (stops := stops_of(job.plan, id))]
    return max(rearward, default=0.0) / 2.0


__all__ = ["SIZE_WITHIN", "Seen", "seen", "which"]
