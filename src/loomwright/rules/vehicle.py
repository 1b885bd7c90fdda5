"""Rules on the vehicle's side: its monitored lamp circuits, and what feeds the socket of its trailer."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.vehicle_side import loaded_lamp_feeds, trailer_feeds
from loomwright.source import Source

from .finding import Finding
from .registry import Job, rule

LAMPS = Source(
    work="common practice",
    place="nothing is fed from a lamp circuit that the vehicle watches; a relay takes its signal there",
    checked="common practice",
)
TRAILER = Source(
    work="ISO 11446",
    place="pins 9 and 10 of the trailer's socket are supplies of the towing vehicle",
    checked="from memory",
)


@rule(
    worst="fault",
    asks="Are the vehicle's monitored lamp circuits left to their lamps?",
    why="The vehicle sees a current it does not know and reports a dead lamp; it may pulse the feed as well.",
    source=LAMPS,
)
def monitored_lamp_feed_loaded(job: Job) -> Iterator[Finding]:
    for one in loaded_lamp_feeds(job.assessment):
        names = ", ".join(job.name(load) for load in one.loads)
        hang = "hangs" if len(one.loads) == 1 else "hang"
        told = "that the vehicle watches"
        if not one.monitored:
            told = "of the vehicle, and nobody says whether it is watched"
        yield Finding(
            rule="monitored_lamp_feed_loaded",
            severity="fault" if one.monitored else "watch",
            where=one.feed,
            also=one.loads,
            place=job.place(one.feed, *one.loads),
            says=f"{names} {hang} on {job.name(one.feed)}, a lamp circuit {told}",
            do="let the lamp circuit work a relay only, and feed the load through its contact from elsewhere"
            if one.monitored
            else f"look whether the vehicle watches it, and write yes or no at parts.{one.feed}.monitored",
            source=LAMPS,
        )


@rule(
    worst="fault",
    asks="Is the trailer fed by the vehicle, not by the house?",
    why="The trailer's fridge and battery empty the house, or charge it past everything that limits.",
    source=TRAILER,
)
def trailer_fed_from_house(job: Job) -> Iterator[Finding]:
    for one in trailer_feeds(job.assessment):
        pins = " and ".join(pin.rpartition(".")[2] for pin in one.pins)
        batteries = " and ".join(job.name(id) for id in one.batteries)
        yield Finding(
            rule="trailer_fed_from_house",
            severity="fault",
            where=one.socket,
            also=(*one.runs, *one.batteries),
            place=job.place(one.socket),
            says=f"pin{'s' if len(one.pins) > 1 else ''} {pins} of {job.name(one.socket)} "
            f"hang{'' if len(one.pins) > 1 else 's'} on {batteries}",
            do="feed the trailer's supplies from the vehicle's battery, pin 10 through a relay of the engine",
            source=TRAILER,
        )
