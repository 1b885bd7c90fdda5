"""What may run together on a supply of few amperes, and what trips, and when.

Watts are taken at the volts of the supply with the current in phase, so a motor or a charger of poor
power factor takes more than is counted. A set fits if its current is at most the rating: a breaker
carries that lastingly.

Source: IEC 60898-1 for when the breaker opens.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import NamedTuple

from loomwright.mains.breakers import breaker_time
from loomwright.units import Band

#: Up to so many appliances every set is tried.
MOST_TRIED = 10
#: Sums of watts leave dust behind.
_DUST = 1e-9


class Row(NamedTuple):
    """One set that runs together: amperes, whether they fit, and when the breaker opens if not. [A, s]"""

    running: tuple[str, ...]
    amps: float
    fits: bool
    trips_after: Band


def run_together(
    running: Sequence[str], watts: Mapping[str, float], rating_a: float, volts: float, curve: str = "unknown"
) -> Row:
    """Return what becomes of one set.

    Parameters
    ----------
    running : sequence of str
        What is on.
    watts : Mapping
        By appliance. [W]
    rating_a : float
        The breaker of the pitch. [A]
    volts : float
        The supply. [V]
    curve : str
        Of that breaker.

    Returns
    -------
    Row
        Amperes and times.

    Raises
    ------
    OutOfTableError
        No such curve.

    Examples
    --------
    >>> run_together(["kettle"], {"kettle": 1150.0}, 6.0, 230.0)
    Row(running=('kettle',), amps=5.0, fits=True, trips_after=Band(low=inf, high=inf))
    """
    amps = sum(watts[name] for name in running) / volts
    fit = fits(amps, rating_a)
    return Row(tuple(running), amps, fit, breaker_time(curve, rating_a, min(amps, rating_a) if fit else amps))


def fits(amps: float, rating_a: float) -> bool:
    """Return whether a breaker carries a current lastingly.

    Parameters
    ----------
    amps : float
        All that runs. [A]
    rating_a : float
        The breaker. [A]

    Returns
    -------
    bool
        True up to its rating.
    """
    return amps <= rating_a * (1.0 + _DUST)


def what_may_run(
    watts: Mapping[str, float],
    rating_a: float,
    volts: float,
    curve: str = "unknown",
    drop_order: Sequence[str] = (),
) -> tuple[Row, ...]:
    """Return the sets of appliances on one supply, each with its verdict.

    Parameters
    ----------
    watts : Mapping
        By appliance. [W]
    rating_a : float
        The breaker of the pitch. [A]
    volts : float
        The supply. [V]
    curve : str
        Of that breaker.
    drop_order : sequence of str
        What is switched off first; the rest follows by falling watts.

    Returns
    -------
    tuple of Row
        Every set of up to `MOST_TRIED` appliances, the fewest first. With more of them: all together, and
        then one less at a time in the order of dropping.

    Raises
    ------
    OutOfTableError
        No such curve.
    """
    names = tuple(watts)
    if len(names) <= MOST_TRIED:
        sets = [chosen for size in range(1, len(names) + 1) for chosen in combinations(names, size)]
    else:
        order = dropping(watts, drop_order)
        sets = [tuple(n for n in names if n not in order[:k]) for k in range(len(order))]
    return tuple(run_together(chosen, watts, rating_a, volts, curve) for chosen in sets)


def fullest(rows: Sequence[Row]) -> tuple[Row, ...]:
    """Return the sets that fit and that nothing more fits beside.

    Parameters
    ----------
    rows : sequence of Row
        As `what_may_run` gives them.

    Returns
    -------
    tuple of Row
        The most amperes first.
    """
    fitting = [row for row in rows if row.fits]
    held = [frozenset(row.running) for row in fitting]
    full = [row for row, set_ in zip(fitting, held, strict=True) if not any(set_ < other for other in held)]
    return tuple(sorted(full, key=lambda row: -row.amps))


def dropped_until_it_fits(
    watts: Mapping[str, float],
    rating_a: float,
    volts: float,
    curve: str = "unknown",
    drop_order: Sequence[str] = (),
) -> tuple[Row, tuple[str, ...]]:
    """Return what is left on once enough has been switched off, and what was.

    Parameters
    ----------
    watts, rating_a, volts, curve, drop_order
        As for `what_may_run`. [W, A, V]

    Returns
    -------
    Row, tuple of str
        The set that fits, maybe empty, and what was dropped, in order.

    Raises
    ------
    OutOfTableError
        No such curve.
    """
    order = dropping(watts, drop_order)
    for k in range(len(order) + 1):
        row = run_together([n for n in watts if n not in order[:k]], watts, rating_a, volts, curve)
        if row.fits:
            break
    return row, order[:k]


def dropping(watts: Mapping[str, float], drop_order: Sequence[str]) -> tuple[str, ...]:
    """Return in which order appliances are switched off.

    Parameters
    ----------
    watts : Mapping
        By appliance. [W]
    drop_order : sequence of str
        What goes first.

    Returns
    -------
    tuple of str
        Each appliance once.
    """
    named = [name for name in dict.fromkeys(drop_order) if name in watts]
    return (*named, *sorted((n for n in watts if n not in named), key=lambda n: -watts[n]))
