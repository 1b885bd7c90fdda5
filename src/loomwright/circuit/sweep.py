"""Every state that matters: what decides is multiplied, what only leads on to loads moves all at once.

Devices that count (`parting`) take each position with each of the others. The rest fall into groups that
share nothing: every group goes through its own combinations while the others go through theirs. Plain
switches that lead to no relay stand closed: open, they only feed less.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations as chosen_of
from itertools import product
from math import prod

from .parting import Parting
from .states import Contacts

#: So many states are visited; beyond, only those with one or two devices moved from where they stand.
MOST_STATES = 4096
#: A group of devices that do not count has so many combinations; beyond, its last devices stand.
MOST_OF_GROUP = 64
Sets = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Settings:
    """What to set, state by state; `moved` are the devices that count; `whole`: nothing is left out."""

    sets: tuple[dict[str, str], ...]
    moved: tuple[str, ...]
    whole: bool


def settings(
    net: Contacts,
    hands: Iterable[str],
    tied: Iterable[tuple[str, str]] = (),
    conditions: Sequence[Sets] = ({},),
) -> Settings:
    """Return the settings to visit.

    Parameters
    ----------
    net : Contacts
    hands : iterable of str
        The devices that may be moved.
    tied : iterable of pairs of points
        What is looked at together: plus and minus of each load.
    conditions : sequence of mapping of str to str
        What is set beside them, multiplied with all else.
    """
    free = dict(_positions(net, set(hands)))
    parting = Parting(net)
    counting = tuple(id for id in free if id in parting.counting)
    groups = parting.groups([id for id in free if id not in parting.counting], tuple(tied))
    lines, cut = _lines(net, groups, free, parting.steering)
    steps = max(map(len, lines), default=1)
    whole = steps * len(conditions) * prod(len(free[id]) for id in counting) <= MOST_STATES
    moved = list(_all(counting, free) if whole else _near(counting, free))
    sets = (
        {**one, **hand, **{id: at for line in lines for id, at in line[step % len(line)].items()}}
        for step in range(steps)
        for one in conditions
        for hand in moved
    )
    return Settings(tuple(sets)[:MOST_STATES], counting, whole and not cut)


def _positions(net: Contacts, hands: set[str]) -> Iterator[tuple[str, list[str]]]:
    """Give the devices that may be moved with their positions, the one they stand in first."""
    for one in net.devices:
        if one.id in hands and one.turns is None and len(one.positions) > 1:
            yield one.id, [one.stands, *(at for at in one.positions if at != one.stands)]


def _lines(
    net: Contacts, groups: Sequence[list[str]], free: Mapping[str, Sequence[str]], steering: set[str]
) -> tuple[list[list[dict[str, str]]], bool]:
    """Return the combinations of each group, and whether some had to be left out."""
    closes = {one.id: [at for at, pairs in one.positions.items() if pairs] for one in net.devices}
    found, cut = [], False
    for group in groups:
        plain = {id: closes[id][0] for id in group if len(closes[id]) == 1 and id not in steering}
        moved = [id for id in group if id not in plain]
        while prod(len(free[id]) for id in moved) > MOST_OF_GROUP:
            moved.pop()
            cut = True
        found.append([plain | one for one in _all(moved, free)])
    return found, cut


def _all(ids: Sequence[str], free: Mapping[str, Sequence[str]]) -> Iterator[dict[str, str]]:
    """Give every combination, those with few moved first."""
    every = (dict(zip(ids, at, strict=True)) for at in product(*(free[id] for id in ids)))
    yield from sorted(every, key=lambda one: sum(at != free[id][0] for id, at in one.items()))


def _near(ids: Sequence[str], free: Mapping[str, Sequence[str]]) -> Iterator[dict[str, str]]:
    """Give the settings with none, one or two devices away from where they stand."""
    moved = [(id, at) for id in ids for at in free[id][1:]]
    yield {}
    yield from ({id: at} for id, at in moved)
    yield from (dict(pair) for pair in chosen_of(moved, 2) if pair[0][0] != pair[1][0])


__all__ = ["MOST_STATES", "Settings", "settings"]
