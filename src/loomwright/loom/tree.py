"""A loom as a tree for the bench: which wires lie together from where to where, and where they part.

Ways of wires in, trees out; spots are names. Wires that share a stretch belong to one loom, wires that only
meet at a spot do not: a loom ends where no wire goes on. Where ways close a ring, the stretch with least in
it is cut open: it ends beside the spot that it would have met, and its wires go on there. The trunk is the
chain with most metres of wire in it.

Sources: the spanning tree is Kruskal's (Proc. AMS 7, 1956); the longest chain of a tree by two searches is
textbook knowledge; what counts as trunk is common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from .bundles import bundle_diameter_mm

#: Spots nearer than this are one peg. [m]
ONE_PEG_M = 0.1
#: A leg off all paths lies in the path that joins the same spots, if that is not longer than so many times.
_AS_WELL = 1.3


@dataclass(frozen=True, slots=True)
class Leg:
    """A step of a way: from spot to spot, in a path or off all (path ""). [m]

    `known` is False where the length is a guess.
    """

    a: str
    b: str
    metres: float
    path: str = ""
    known: bool = True

    @property
    def key(self) -> tuple[frozenset[str], str]:
        """The same for either direction."""
        return frozenset((self.a, self.b)), self.path


@dataclass(frozen=True, slots=True)
class Way:
    """How one wire lies: its legs, each beginning where the one before ends, and its thickness. [mm]"""

    wire: str
    thick_mm: float
    legs: tuple[Leg, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """What lies between two pegs: the same wires all along. [m, mm]"""

    a: str
    b: str
    metres: float
    path: str
    wires: tuple[str, ...]
    thick_mm: float
    known: bool = True

    def other(self, spot: str) -> str:
        """Return the spot at its other end."""
        return self.b if spot == self.a else self.a


@dataclass(frozen=True, slots=True)
class WireEnd:
    """Where a wire stops in a loom: at its beginning ("a") or its end ("b").

    `goes_on` names the spot where the same wire is found again, because the ring there was cut open.
    """

    wire: str
    side: str
    spot: str
    goes_on: str = ""


@dataclass(frozen=True, slots=True)
class LoomTree:
    """One loom.

    Attributes
    ----------
    sections : tuple of Section
    ends : tuple of WireEnd
        In the order of the wires.
    trunk : tuple of str
        The spots of the chain with most metres of wire, in order.
    cuts : tuple of (str, str)
        The loose spot made where a ring was cut open, and the spot that it lies beside.
    """

    sections: tuple[Section, ...]
    ends: tuple[WireEnd, ...]
    trunk: tuple[str, ...]
    cuts: tuple[tuple[str, str], ...] = ()

    @property
    def wires(self) -> tuple[str, ...]:
        """All wires in it."""
        return tuple(dict.fromkeys(one.wire for one in self.ends))

    @property
    def trunk_m(self) -> float:
        """How long the trunk is. [m]"""
        return sum(self.between(a, b).metres for a, b in pairwise(self.trunk))

    def at(self, spot: str) -> list[Section]:
        """Return the sections that meet at a spot."""
        return [one for one in self.sections if spot in (one.a, one.b)]

    def between(self, a: str, b: str) -> Section:
        """Return the section between two neighbouring spots.

        Raises
        ------
        StopIteration
            They are no neighbours.
        """
        return next(one for one in self.sections if {one.a, one.b} == {a, b})

    def parted(self, spot: str) -> tuple[LoomTree, LoomTree]:
        """Return what lies before a peg of the trunk, and what lies beyond and hangs on it.

        Wires that pass the peg end there in both parts and go on in the other.
        """
        at = self.trunk.index(spot)
        first = [self.between(self.trunk[at - 1], spot)]
        seen = {spot, self.trunk[at - 1]}
        queue = [self.trunk[at - 1]]
        for here in queue:
            for one in self.at(here):
                if one.other(here) not in seen:
                    first.append(one)
                    seen.add(one.other(here))
                    queue.append(one.other(here))
        second = tuple(one for one in self.sections if one not in first)
        held = first[0].wires
        before = [one for one in self.ends if one.spot in seen and (one.spot != spot or one.wire in held)]
        beyond = [one for one in self.ends if one not in before]
        stops = {one.wire for one in before if one.spot == spot}
        passing = [one for one in held if one not in stops]
        side = {one.wire: one.side for one in before}
        on = [WireEnd(one, "b" if side.get(one) == "a" else "a", spot, spot) for one in passing]
        back = [WireEnd(one, side.get(one, "a"), spot, spot) for one in passing]
        return (
            LoomTree(tuple(first), (*before, *on), self.trunk[: at + 1]),
            LoomTree(second, (*beyond, *back), self.trunk[at:]),
        )

    def turned(self) -> LoomTree:
        """Return it with its trunk the other way round."""
        return replace(self, trunk=self.trunk[::-1])


def trees_of(ways: Sequence[Way]) -> tuple[LoomTree, ...]:
    """Return the looms that some ways make, in the order of their first wires.

    Parameters
    ----------
    ways : sequence of Way
        One for each wire; what goes nowhere (no legs, or all of them shorter than a peg) is left out.

    Examples
    --------
    >>> both = Leg("box", "post", 1.0, "sill")
    >>> up, on = Leg("post", "lamp", 0.5, "post"), Leg("post", "pump", 2.0, "sill")
    >>> (tree,) = trees_of([Way("W1", 2.0, (both, up)), Way("W2", 3.0, (both, on))])
    >>> tree.trunk, [one.wires for one in tree.sections]
    (('pump', 'post', 'box'), [('W1', 'W2'), ('W1',), ('W2',)])
    """
    return tuple(tree for group in _groups(ways) for tree in _trees(group))


class _Sets:
    """Things that are one, by a name for each."""

    def __init__(self) -> None:
        self._up: dict[str, str] = {}

    def of(self, name: str) -> str:
        while (up := self._up.get(name, name)) != name:
            name = up
        return name

    def join(self, a: str, b: str) -> bool:
        """Make two one; say whether they were not."""
        a, b = self.of(a), self.of(b)
        if a != b:
            self._up[max(a, b)] = min(a, b)
        return a != b


def _groups(ways: Sequence[Way]) -> Iterator[list[Way]]:
    """Give the ways that share legs, group by group."""
    first: dict[tuple[frozenset[str], str], str] = {}
    sets = _Sets()
    for way in ways:
        for leg in way.legs:
            sets.join(first.setdefault(leg.key, way.wire), way.wire)
    groups: dict[str, list[Way]] = {}
    for way in ways:
        if way.legs:
            groups.setdefault(sets.of(way.wire), []).append(way)
    yield from groups.values()


def _trees(ways: Sequence[Way]) -> Iterator[LoomTree]:
    ways = _drawn_together(ways)
    thick = {way.wire: way.thick_mm for way in ways}
    legs: dict[tuple[frozenset[str], str], Leg] = {}
    load: dict[tuple[frozenset[str], str], list[str]] = {}
    for way in ways:
        for leg in way.legs:
            legs.setdefault(leg.key, leg)
            load.setdefault(leg.key, []).append(way.wire)
    cut = _cut_open(legs, load, thick)
    fragments = [piece for way in ways for piece in _cleared(_fragments(way, cut))]
    on: dict[tuple[frozenset[str], str], dict[str, None]] = {}
    for wire, walk, _, _ in fragments:
        for leg in walk:
            on.setdefault(leg.key, {})[wire] = None
    sections = [
        Section(leg.a, leg.b, leg.metres, leg.path, tuple(wires), _thick(wires, thick), leg.known)
        for key, wires in on.items()
        for leg in [_leg_of(key, legs, cut)]
    ]
    ends = [end for _, _, *pair in fragments for end in pair]
    cuts = tuple((loose, beside) for loose, beside in cut.values())
    for part in _parts(_merged(sections, {end.spot for end in ends})):
        spots = {spot for one in part for spot in (one.a, one.b)}
        yield LoomTree(
            tuple(part),
            tuple(end for end in ends if end.spot in spots),
            _trunk(part),
            tuple(pair for pair in cuts if pair[0] in spots),
        )


def _thick(wires: Iterable[str], thick: Mapping[str, float]) -> float:
    return bundle_diameter_mm(thick[wire] for wire in wires)


def _drawn_together(ways: Sequence[Way]) -> list[Way]:
    """Return the ways with spots made one that are nearer than a peg."""
    sets = _Sets()
    wide: dict[str, float] = {}
    for leg in sorted((leg for way in ways for leg in way.legs), key=lambda leg: (leg.metres, leg.a, leg.b)):
        a, b = sets.of(leg.a), sets.of(leg.b)
        metres = leg.metres + wide.get(a, 0.0) + wide.get(b, 0.0)
        if a != b and metres < ONE_PEG_M:
            sets.join(a, b)
            wide[sets.of(a)] = metres
    moved = []
    for way in ways:
        legs = [replace(leg, a=sets.of(leg.a), b=sets.of(leg.b)) for leg in way.legs]
        moved.append(replace(way, legs=tuple(leg for leg in legs if leg.a != leg.b)))
    beside = {leg.key[0]: leg for way in moved for leg in way.legs if leg.path}
    return [
        replace(way, legs=tuple(_in_path(leg, beside.get(leg.key[0])) for leg in way.legs))
        for way in moved
        if way.legs
    ]


def _in_path(leg: Leg, beside: Leg | None) -> Leg:
    """Return a leg off all paths as one of the path that joins the same spots."""
    if leg.path or beside is None or beside.metres > _AS_WELL * leg.metres:
        return leg
    return replace(leg, path=beside.path, metres=beside.metres, known=beside.known)


#: By leg that was cut open, its loose spot and the one beside it.
_Cut = dict[tuple[frozenset[str], str], tuple[str, str]]


def _cut_open(
    legs: Mapping[tuple[frozenset[str], str], Leg],
    load: Mapping[tuple[frozenset[str], str], Sequence[str]],
    thick: Mapping[str, float],
) -> _Cut:
    """Return the legs that close a ring: those with least in them."""
    sets = _Sets()
    cut: _Cut = {}
    heavy = {key: _thick(set(wires), thick) for key, wires in load.items()}
    for key in sorted(legs, key=lambda key: (-heavy[key], legs[key].metres)):
        if not sets.join(legs[key].a, legs[key].b):
            cut[key] = f"{legs[key].b}~{len(cut) + 1}", legs[key].b
    return cut


def _leg_of(
    key: tuple[frozenset[str], str], legs: Mapping[tuple[frozenset[str], str], Leg], cut: _Cut
) -> Leg:
    """Return the leg of a key, cut open or not."""
    if key in legs:
        return legs[key]
    was = next(old for old, (loose, beside) in cut.items() if key == _loose_key(old, loose, beside))
    loose, beside = cut[was]
    leg = legs[was]
    return replace(leg, a=loose if leg.a == beside else leg.a, b=loose if leg.b == beside else leg.b)


def _loose_key(old: tuple[frozenset[str], str], loose: str, beside: str) -> tuple[frozenset[str], str]:
    return (old[0] - {beside}) | {loose}, old[1]


_Fragment = tuple[str, list[Leg], WireEnd, WireEnd]


def _cleared(fragments: Iterable[_Fragment]) -> list[_Fragment]:
    """Return fragments without empty ones: a wire that ends where a ring was cut open ends there for good."""
    kept = [one for one in fragments if one[1]]
    if kept:
        wire, walk, begin, end = kept[0]
        kept[0] = wire, walk, replace(begin, goes_on=""), end
        wire, walk, begin, end = kept[-1]
        kept[-1] = wire, walk, begin, replace(end, goes_on="")
    return kept


def _fragments(way: Way, cut: _Cut) -> Iterator[_Fragment]:
    """Give the walks of a wire between where it begins, is cut open, and ends; ways back are taken out."""
    walk: list[Leg] = []
    begin = WireEnd(way.wire, "a", way.legs[0].a)
    for leg in way.legs:
        if leg.key not in cut:
            _walk(walk, leg)
            continue
        loose, beside = cut[leg.key]
        if leg.b == beside:
            _walk(walk, replace(leg, b=loose))
            yield way.wire, walk, begin, WireEnd(way.wire, "b", loose, beside)
            walk, begin = [], WireEnd(way.wire, "a", beside, loose)
        else:
            yield way.wire, walk, begin, WireEnd(way.wire, "b", beside, loose)
            walk, begin = [replace(leg, a=loose)], WireEnd(way.wire, "a", loose, beside)
    yield way.wire, walk, begin, WireEnd(way.wire, "b", way.legs[-1].b)


def _walk(walk: list[Leg], leg: Leg) -> None:
    if walk and walk[-1].key == leg.key and walk[-1].a == leg.b:
        walk.pop()
    else:
        walk.append(leg)


def _merged(sections: Sequence[Section], kept: set[str]) -> list[Section]:
    """Return sections without the spots that are no peg: the same wires go on in the same path."""
    found = list(sections)
    at: dict[str, list[Section]] = {}
    for one in found:
        at.setdefault(one.a, []).append(one)
        at.setdefault(one.b, []).append(one)
    for spot, pair in at.items():
        if spot in kept or len(pair) != 2:
            continue
        one, two = pair
        if set(one.wires) != set(two.wires) or (one.path and two.path and one.path != two.path):
            continue
        a, b = one.other(spot), two.other(spot)
        both = replace(
            one, a=a, b=b, metres=one.metres + two.metres,
            path=one.path or two.path, known=one.known and two.known,
        )  # fmt: skip
        place = found.index(one)
        found[place] = both
        found.remove(two)
        for end, old in ((a, one), (b, two)):
            at[end][at[end].index(old)] = both
    return found


def _parts(sections: Sequence[Section]) -> Iterator[list[Section]]:
    """Give sections that hang together."""
    sets = _Sets()
    for one in sections:
        sets.join(one.a, one.b)
    parts: dict[str, list[Section]] = {}
    for one in sections:
        parts.setdefault(sets.of(one.a), []).append(one)
    yield from parts.values()


def _trunk(sections: Sequence[Section]) -> tuple[str, ...]:
    """Return the chain with most metres of wire: from the farthest spot to the one farthest from it."""
    start = _farthest(sections, sections[0].a)[-1]
    return _farthest(sections, start)


def _farthest(sections: Sequence[Section], start: str) -> tuple[str, ...]:
    at: dict[str, list[Section]] = {}
    for one in sections:
        at.setdefault(one.a, []).append(one)
        at.setdefault(one.b, []).append(one)
    far = {start: 0.0}
    came: dict[str, str] = {}
    queue = [start]
    for spot in queue:
        for one in at[spot]:
            there = one.other(spot)
            if there not in far:
                far[there] = far[spot] + one.metres * len(one.wires)
                came[there] = spot
                queue.append(there)
    last = max(queue, key=lambda spot: far[spot])
    chain = [last]
    while chain[-1] != start:
        chain.append(came[chain[-1]])
    return tuple(chain[::-1])


__all__ = ["Leg", "LoomTree", "Section", "Way", "WireEnd", "trees_of"]
