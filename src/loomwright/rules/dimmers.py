"""Rules on dimmers: on which side they switch, and whether the lamp's return goes past them."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.dimming import WrongSide, wrong_sides

from .finding import Finding
from .registry import SOUND_WIRING, Job, rule

_DO = {
    "feed": "put it into the return of the lamps, or use a dimmer that switches the plus",
    "return": "put it into the feed of the lamps, or use a dimmer that switches the minus",
    "past": "bring back the lamps by a wire that goes through it alone, their cases apart from the body; or "
    "use a dimmer that switches the plus",
}


@rule(
    worst="fault",
    asks="Does each dimmer stand on the side that it switches?",
    why="A dimmer of the minus does nothing for a lamp that returns by the body, or shorts the feed to it.",
    source=SOUND_WIRING,
)
def dimmer_on_wrong_side(job: Job) -> Iterator[Finding]:
    for one in wrong_sides(job.assessment.wiring):
        yield Finding(
            rule="dimmer_on_wrong_side",
            severity="fault",
            where=one.dimmer,
            also=one.loads,
            place=job.place(one.dimmer, *one.loads),
            says=_says(job, one),
            do=_DO[one.where],
            source=SOUND_WIRING,
        )


def _says(job: Job, one: WrongSide) -> str:
    name, loads = job.name(one.dimmer), " and ".join(job.name(load) for load in one.loads) or "its lamps"
    if one.where == "past":
        return f"{name} dims nothing: the current of {loads} goes past it, from its one side to its other"
    switches = "minus" if one.where == "feed" else "plus"
    return f"{name} switches the {switches} and stands in the {one.where} of {loads}"
