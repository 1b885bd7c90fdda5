"""The choice of a fuse, how soon it opens, and what it adds to its circuit.

Two tests make a fuse too small: the lasting current fills it to more than 80 %, or it may open during the
start. The second reads the cold end of its opening times: the shortest time that a fuse within its standard
may take at that current. Heat left from running is not counted.

Sources: the gates of the tables (`protection.opening`); 80 % is common practice (1.25 × the load).
"""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.errors import OutOfTableError
from loomwright.protection.opening import opening_step, opening_time
from loomwright.source import Source
from loomwright.steps import Given, Step
from loomwright.tables.fuses import fuse_type
from loomwright.units import Band

FILL_SOURCE = Source(
    work="common practice", place="a lasting load fills its fuse to 80 % at most", checked="common practice"
)
TYPE_SOURCE = Source(
    work="common practice", place="blade fuses up to 30 A, bolted ones above", checked="common practice"
)
#: Lasting current by rating, at most.
FILL = 0.80
#: A blade stands alone, outside a fuse box, up to this rating. [A]
LARGEST_LOOSE_BLADE_A = 30.0
#: Sums leave dust behind: a share that much over its limit is still within it.
_DUST = 1e-6


def standard_ratings(type: str) -> tuple[float, ...]:
    """Return the ratings that a type of fuse is made in, smallest first.

    Parameters
    ----------
    type : str
        blade, mini_blade, large_blade, bolted, high_breaking, glass, post or breaker.

    Returns
    -------
    tuple of float
        [A]

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> standard_ratings("mini_blade")[-2:]
    (25, 30)
    """
    return fuse_type(type).ratings_a


def usual_type(rating_a: float) -> str:
    """Return the type of a fuse that stands alone, outside a fuse box.

    Parameters
    ----------
    rating_a : float
        Its rating. [A]

    Returns
    -------
    str
        "blade" up to 30 A, "bolted" above.

    Examples
    --------
    >>> usual_type(30.0), usual_type(40.0)
    ('blade', 'bolted')
    """
    return "blade" if rating_a <= LARGEST_LOOSE_BLADE_A else "bolted"


def smallest_fuse(
    lasting_a: float, *, type: str, start_a: float = 0.0, start_s: float = 0.0, fill: float = FILL
) -> float:
    """Return the smallest standard rating that carries a load for good and outlasts its start.

    Parameters
    ----------
    lasting_a : float
        Largest lasting current. [A]
    type : str
        Type of fuse.
    start_a, start_s : float
        Whole current of the start and how long it lasts. [A, s]
    fill : float
        Largest share of the rating that the lasting current may take.

    Returns
    -------
    float
        Rating. [A]

    Raises
    ------
    OutOfTableError
        No such type, or the load is too large for every rating of it.

    Examples
    --------
    >>> smallest_fuse(4.5, type="blade"), smallest_fuse(4.5, type="blade", start_a=16.0, start_s=0.08)
    (7.5, 7.5)
    >>> smallest_fuse(4.5, type="blade", start_a=16.0, start_s=0.15)
    10

    References
    ----------
    Common practice, fuse = 1.25 × lasting load; ISO 8820 opening times.
    """
    for rating_a in standard_ratings(type):
        if (
            fuse_shortfall(rating_a, lasting_a, type=type, start_a=start_a, start_s=start_s, fill=fill)
            is None
        ):
            return rating_a
    largest = standard_ratings(type)[-1]
    start = f" with a start of {start_a:g} A for {start_s:g} s" if start_a > lasting_a else ""
    raise OutOfTableError(f"no {type} fuse carries {lasting_a:.3g} A{start}; the largest is {largest:g} A")


def fuse_shortfall(
    rating_a: float,
    lasting_a: float,
    *,
    type: str,
    start_a: float = 0.0,
    start_s: float = 0.0,
    fill: float = FILL,
) -> str | None:
    """Return why a fuse is too small for its load.

    Parameters
    ----------
    rating_a, lasting_a : float
        The fuse, and its largest lasting current. [A]
    type : str
        Type of fuse.
    start_a, start_s, fill : float
        As for `smallest_fuse`. [A, s, ratio]

    Returns
    -------
    str or None
        "fill" (the lasting current fills it too far), "start" (it may open in the start), or None.

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> fuse_shortfall(5.0, 4.5, type="blade")
    'fill'
    """
    if lasting_a > fill * rating_a * (1.0 + _DUST):
        return "fill"
    opens = opening_time(type, rating_a, start_a)
    return "start" if start_s > 0.0 and opens.low <= start_s else None


def fuse_steps(
    rating_a: float, lasting_a: float, *, type: str, start_a: float = 0.0, start_s: float = 0.0
) -> tuple[Step, ...]:
    """Return the sums behind a fuse: how far it is filled, and how long it outlasts the start.

    Parameters
    ----------
    rating_a, lasting_a : float
        The fuse, and its largest lasting current. [A]
    type : str
        Type of fuse.
    start_a, start_s : float
        As for `smallest_fuse`. [A, s]

    Returns
    -------
    tuple of Step
        Fill; with a start beyond the rating also its multiple and the shortest opening time.

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> [step.symbol for step in fuse_steps(7.5, 4.5, type="blade", start_a=16.0, start_s=0.08)]
    ['fill', 'm', 't_open']
    """
    kind = fuse_type(type)
    rating = Given("I_n", rating_a, "A")
    fill = Step(
        "fill",
        "I / I_n",
        (Given("I", lasting_a, "A"), rating),
        lasting_a / rating_a,
        "",
        FILL_SOURCE,
        f"of a {rating_a:g} A {kind.says}",
    )
    if start_s <= 0.0 or start_a <= rating_a:
        return (fill,)
    multiple = Step(
        "m",
        "I_start / I_n",
        (Given("I_start", start_a, "A"), rating),
        start_a / rating_a,
        "",
        None,
        f"start of {start_s:g} s",
    )
    return fill, multiple, opening_step(type, rating_a, start_a)


def fuse_resistance(type: str, rating_a: float, overrides: Mapping[float, Band] | None = None) -> Band:
    """Return the cold resistance of a fuse in its holder.

    Warm at its rating a fuse has 1.3 to 1.7 times as much.

    Parameters
    ----------
    type : str
        Type of fuse; "unknown" counts as the usual one of its rating.
    rating_a : float
        The fuse. [A]
    overrides : Mapping, optional
        Measured or stated resistances of this type by rating, holder and all. [A -> Ω]

    Returns
    -------
    Band
        [Ω]

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> band = fuse_resistance("blade", 10.0)
    >>> round(band.low, 5), round(band.high, 5)
    (0.0073, 0.0097)
    >>> fuse_resistance("blade", 10.0, {10.0: Band(0.0075, 0.0075)})
    Band(low=0.0075, high=0.0075)

    References
    ----------
    Those of `fuse_resistance_source`.
    """
    if overrides and rating_a in overrides:
        return overrides[rating_a]
    kind = fuse_type(usual_type(rating_a) if type == "unknown" else type)
    element = kind.cold_ohm.get(rating_a) or kind.cold_drop_v.times(1.0 / rating_a)
    return element.plus(kind.holder_ohm)


def fuse_resistance_source(type: str, rating_a: float) -> Source:
    """Return where `fuse_resistance` has its figure from.

    Parameters
    ----------
    type : str
        Type of fuse; "unknown" counts as the usual one of its rating.
    rating_a : float
        The fuse. [A]

    Returns
    -------
    Source
        Of the element; a holder adds 0.5 to 2 mΩ, from memory.

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> fuse_resistance_source("blade", 10.0).checked
    'published, second hand'
    """
    kind = fuse_type(usual_type(rating_a) if type == "unknown" else type)
    if rating_a in kind.cold_ohm and kind.cold_ohm_source is not None:
        return kind.cold_ohm_source
    return kind.cold_drop_source


def breaking_capacity(type: str, rating_a: float, volts: float) -> tuple[float, Source] | None:
    """Return the largest current that a fuse can open.

    Parameters
    ----------
    type : str
        Type of fuse.
    rating_a : float
        The fuse. [A]
    volts : float
        Highest volts of its source. [V]

    Returns
    -------
    (float, Source) or None
        Current [A] and whose figure it is; None if none is known at these volts, or the type is not.

    Examples
    --------
    >>> breaking_capacity("post", 100.0, 13.4)[0], breaking_capacity("blade", 10.0, 48.0)
    (10000.0, None)
    """
    if type == "unknown":
        return None
    for row in fuse_type(type).breaking:
        if rating_a <= row.up_to_a and volts <= row.up_to_v:
            return row.amps, row.source
    return None


def volts_of(type: str) -> tuple[Band, Source] | None:
    """Return the largest DC volts that a fuse may stand in.

    Parameters
    ----------
    type : str
        Type of fuse.

    Returns
    -------
    (Band, Source) or None
        What each fuse of the type is made for, and what the best of its series are, where the fuse itself
        does not say; None if the type is not known. [V]

    Raises
    ------
    OutOfTableError
        No such type.

    Examples
    --------
    >>> volts_of("bolted")[0], volts_of("unknown")
    (Band(low=32.0, high=70.0), None)
    """
    if type == "unknown":
        return None
    kind = fuse_type(type)
    return kind.rated_v, kind.rated_v_source
