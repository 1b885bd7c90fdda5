"""What may run on a pitch as a list: the fullest sets by rating, and what trips when all of it runs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from loomwright.assessment.mains.usual import OnPitch
from loomwright.documents.reasons.figures import quantity
from loomwright.mains.load import Row as Running
from loomwright.units import Band

from .record import Column, List, Row

#: So many of the fullest sets are told of a pitch.
MOST_SETS = 4
TITLE = "What may run on a pitch"
_NOTES = (
    "Watts over nominal volts; what charges runs by itself and is in every set. Times: those between which a "
    "cold breaker to IEC 60898-1 opens, its curve not known; a warm one opens sooner.",
    "Unwind the lead wholly. If the post trips: switch off the largest, then close its breaker once.",
)


def pitch_table(pitches: Iterable[OnPitch]) -> List:
    """Return the sets that fit each pitch, those of the plan first."""
    pitches = tuple(pitches)
    more = sum(max(0, len(one.full) - MOST_SETS) for one in pitches)
    told = (f"{more} smaller sets that fit as well are not told.",) if more else ()
    return List(
        "pitch",
        TITLE,
        "On each supply of the plan and on those usual in its region: what runs at once, what is then off.",
        (
            Column("pitch", "Pitch"),
            Column("rated_a", "Pitch", "A", wide=0.6),
            Column("runs", "These run at once", of="part", wide=3.0),
            Column("amps_a", "They take", "A", wide=0.7),
            Column("spare_w", "Left", "W", wide=0.7),
            Column("off", "Off meanwhile", of="part", wide=2.0),
            Column("then", "Then the breaker of the post", wide=2.4),
        ),
        tuple(row for one in pitches for row in _rows(one)),
        (*told, *_NOTES),
        heads=1,
    )


def pitch_name(one: OnPitch) -> str:
    """Return a pitch in words: "tn_10, 10 A, 230 V", "6 A, 230 V"."""
    words = f"{one.rated_a:g} A, {one.volts:g} V"
    return f"{one.supply}: {words}" if one.supply else words


def _rows(one: OnPitch) -> Iterator[Row]:
    for row in one.full[:MOST_SETS]:
        yield _row(one, row, "holds")
    if not one.all_on.fits:
        yield _row(one, one.all_on, trip_words(one.all_on.trips_after))
    if one.kept is not None and one.dropped:
        yield _row(one, one.kept, f"holds: the priority relay drops {', then '.join(one.dropped)}")


def _row(one: OnPitch, row: Running, then: str) -> Row:
    off = tuple(id for id in one.all_on.running if id not in row.running)
    spare = max(0.0, one.rated_a - row.amps) * one.volts if row.fits else None
    return (pitch_name(one), one.rated_a, row.running, row.amps, spare, off, then)


def trip_words(after: Band) -> str:
    """Return in words when a breaker opens.

    Examples
    --------
    >>> trip_words(Band(4.2, 130.0)), trip_words(Band(math.inf, math.inf)), trip_words(Band(3600.0, math.inf))
    ('opens after 4 s to 2 min', 'holds', 'holds for 60 min, may open later')
    """
    if math.isinf(after.low):
        return "holds"
    if math.isinf(after.high):
        return f"holds for {_time(after.low)}, may open later"
    return f"opens after {_time(after.low)} to {_time(after.high)}" if after.low >= 0.5 else (
        f"opens at once, or within {_time(after.high)}"
    )  # fmt: skip


def _time(seconds: float) -> str:
    if seconds < 1.0:
        return f"{seconds:.1g} s"
    return f"{seconds:.0f} s" if seconds < 90.0 else f"{seconds / 60.0:.0f} min"


def pitch_lines(pitches: Iterable[OnPitch]) -> Iterator[str]:
    """Give what may run on each pitch in plain words, one line a set, for the report."""
    for one in pitches:
        yield pitch_name(one)
        for row in one.full[:2]:
            off = [id for id in one.all_on.running if id not in row.running]
            without = f"; off: {', '.join(off)}" if off else "; that is all there is"
            yield f"  run {', '.join(row.running)}: {quantity(row.amps, 'A')}{without}"
        if not one.full:
            yield "  nothing of it fits"
        if not one.all_on.fits:
            when = trip_words(one.all_on.trips_after)
            yield f"  all of it takes {quantity(one.all_on.amps, 'A')}: the breaker of the post {when}"


__all__ = ["MOST_SETS", "pitch_lines", "pitch_name", "pitch_table", "trip_words"]
