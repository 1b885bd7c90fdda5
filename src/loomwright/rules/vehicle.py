"""Rules on the vehicle's side: its lamp circuits, D+, its alternator, and what feeds the trailer's socket."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.load_dump import alternators_left_alone
from loomwright.assessment.vehicle_side import (
    alternator_loads,
    fed_while_parked,
    loaded_lamp_feeds,
    loads_on_d_plus,
    trailer_feeds,
)
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
    place="contacts 9 and 10: plus of the towing vehicle, lasting and with its ignition",
    checked="published, second hand",
)
#: D+ of an alternator works coils and signals; more than this it is not made for. [A]
D_PLUS_A = 2.0
D_PLUS = Source(
    work="common practice",
    place="D+ gives the lamp and some coils their current, 2 A at the most",
    checked="from memory",
)

ALTERNATOR = Source(
    work="common practice",
    place="what is taken while driving stays below what the alternator gives, the vehicle's own needs aside",
    checked="common practice",
)

LOAD_DUMP = Source(
    work="ISO 16750-2",
    place="load dump: the battery parts from a running alternator, and its volts jump",
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


@rule(
    worst="watch",
    asks="Is contact 10 of the trailer's socket dead while the van is parked?",
    why="A trailer left on the hook overnight empties the battery by its fridge, or takes charge from it.",
    source=TRAILER,
)
def trailer_drains_parked(job: Job) -> Iterator[Finding]:
    for one in fed_while_parked(job.assessment):
        names = " and ".join(job.name(id) for id in sorted(one.sources))
        yield Finding(
            rule="trailer_drains_parked",
            severity="watch",
            where=one.run,
            also=(one.pin.rpartition(".")[0], *sorted(one.sources)),
            place=job.place(one.run),
            mode="parked",
            says=f"{names} feed{'s' if len(one.sources) == 1 else ''} {one.pin} with the ignition off",
            do="lead it through a relay that the engine or terminal 15 works",
            source=TRAILER,
        )


@rule(
    worst="fault",
    asks="Does D+ work coils and signals only?",
    why="D+ hangs on small diodes inside the alternator; a load burns them, and it charges no more.",
    source=D_PLUS,
)
def d_plus_overloaded(job: Job) -> Iterator[Finding]:
    for one in loads_on_d_plus(job.assessment):
        if one.amps > D_PLUS_A:
            names = ", ".join(job.name(load) for load in one.loads)
            yield Finding(
                rule="d_plus_overloaded",
                severity="fault",
                where=one.alternator,
                also=one.loads,
                place=job.place(one.alternator, *one.loads),
                value=one.amps,
                limit=D_PLUS_A,
                unit="A",
                says=f"{names} take{'s' if len(one.loads) == 1 else ''} {one.amps:.3g} A from D+ of "
                f"{job.name(one.alternator)}, which gives {D_PLUS_A:g} A at the most",
                do="let D+ work a relay, and feed the load through its contact from the vehicle's battery",
                source=D_PLUS,
            )


@rule(
    worst="fault",
    asks="Does the alternator give what the camper takes while driving?",
    why="What it lacks comes from the vehicle's battery; the DC-DC of an electric vehicle shuts down.",
    source=ALTERNATOR,
)
def alternator_overloaded(job: Job) -> Iterator[Finding]:
    for one in alternator_loads(job.assessment):
        if one.amps > one.rated_a:
            names = " + ".join(f"{job.name(id)} {amps:.3g} A" for id, amps in one.takes_a.items())
            whole = f", {one.amps:.3g} A together" if len(one.takes_a) > 1 else ""
            yield Finding(
                rule="alternator_overloaded",
                severity="fault",
                where=one.alternator,
                also=tuple(one.takes_a),
                place=job.place(one.alternator),
                value=one.amps,
                limit=one.rated_a,
                unit="A",
                says=f"{names}{whole} are taken from {job.name(one.alternator)}; it gives "
                f"{one.rated_a:.3g} A, and the vehicle needs its share",
                do="set the charger lower, or use one that holds back when the vehicle needs the current",
                source=ALTERNATOR,
            )


@rule(
    worst="watch",
    asks="Does the alternator keep a battery when a battery's management opens?",
    why="An alternator that loses its battery in full charge lets the volts jump: electronics die of it.",
    source=LOAD_DUMP,
)
def load_dump(job: Job) -> Iterator[Finding]:
    for one in alternators_left_alone(job.assessment):
        names = " and ".join(job.name(id) for id in one.batteries)
        opens = "opens its" if len(one.batteries) == 1 else "open their"
        yield Finding(
            rule="load_dump",
            severity="watch",
            where=one.alternator,
            also=one.batteries,
            place=job.place(*one.batteries),
            mode=one.mode,
            says=f"{job.name(one.alternator)} charges {names} and no other battery ({one.mode}): when the "
            f"management {opens} posts, nothing holds its volts",
            do="keep a lead battery on the same bar, or charge through a charger between batteries",
            source=LOAD_DUMP,
        )
