"""What may run on each pitch of the plan and on those usual in its region, and what trips if all of it runs.

What charges a battery takes mains whenever it is there, so it is in every set. On a supply of two legs all is
counted on one of them, since a plan does not say what hangs on which.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.mains.load import Row, dropped_until_it_fits, dropping, fullest, run_together, what_may_run
from loomwright.tables.mains_supplies import SUPPLIES


@dataclass(frozen=True, slots=True)
class OnPitch:
    """What runs on one rating.

    Attributes
    ----------
    supply : str
        Of the plan; "" for a usual rating of the region.
    volts, rated_a : float
        Of it. [V, A]
    all_on : Row
        Everything at once.
    full : tuple of Row
        Sets that fit and that nothing more fits beside, the most amperes first; empty if not even what runs
        by itself fits.
    kept, dropped : Row or None, tuple of str
        What a priority relay leaves on when everything is on, and what it drops for that; None without one.
    """

    supply: str
    volts: float
    rated_a: float
    all_on: Row
    full: tuple[Row, ...]
    kept: Row | None
    dropped: tuple[str, ...]


def on_pitches(job: Assessment) -> Iterator[OnPitch]:
    """Give the supplies of the plan, then the usual ratings of its region; none if nothing takes mains."""
    if not job.mains.takers:
        return
    told = {pitch.id: (pitch.volts, pitch.rated_a) for pitch in job.mains.pitches if pitch.rated_a > 0.0}
    for id, (volts, rated_a) in told.items():
        yield _on_pitch(job, id, volts, rated_a)
    there = SUPPLIES[job.plan.region]
    for rated_a in there.ratings_a:
        if (there.volts, rated_a) not in told.values():
            yield _on_pitch(job, "", there.volts, rated_a)


def _on_pitch(job: Assessment, supply: str, volts: float, rated_a: float) -> OnPitch:
    takers = job.mains.takers
    watts = {id: one.watts for id, one in takers.items()}
    always = tuple(id for id, one in takers.items() if one.always)
    others = {id: each for id, each in watts.items() if id not in always}
    relay = next((part for part in job.wiring.parts.values() if part.kind == "priority_relay"), None)
    base = run_together(always, watts, rated_a, volts)
    beside = [()] if not others else [(), *(row.running for row in what_may_run(others, rated_a, volts))]
    sets = [run_together((*more, *always), watts, rated_a, volts) for more in beside if (*more, *always)]
    kept: Row | None = None
    dropped: tuple[str, ...] = ()
    if relay is not None:
        order = (*dropping(others, relay.priority), *always)
        kept, dropped = dropped_until_it_fits(watts, rated_a, volts, drop_order=order)
    return OnPitch(
        supply=supply,
        volts=volts,
        rated_a=rated_a,
        all_on=run_together(tuple(watts), watts, rated_a, volts),
        full=fullest(sets) if base.fits else (),
        kept=kept,
        dropped=dropped,
    )


__all__ = ["OnPitch", "on_pitches"]
