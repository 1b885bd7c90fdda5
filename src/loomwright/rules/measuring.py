"""How a figure that is not known is found out in the van, in the trade's words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.assessment.sources import is_battery
from loomwright.plan.pieces import BODY

#: With so much a sound joint shows tenths of a millivolt, which a workshop's meter reads. No more than flows
#: there anyway, nor than half of what a fuse is made for. [A]
TEST_A = 10.0
#: What each kind of joint is called where it is measured; `{}` is what it belongs to.
_ACROSS = {
    "crimp": "across the crimps of {}",
    "lug": "across the lugs of {}",
    "stud": "across {}, from the ring to bare metal",
    "body": "along the body, from beside {} to beside the battery's stud",
    "switch": "across the closed contact of {}",
    "isolator": "across the closed contact of {}",
    "pin": "across the mated pins of {}",
    "splice": "across the splices of {}",
    "fuse": "across the fuse of {}",
}
#: How what parts state is found out, by field; `{}` is the part.
_OF_PART = {
    "running": "measure the current of {} while it runs",
    "start": "measure the current of {} as it starts, with a clamp that holds its peak",
    "idle": "measure the current that {} takes at rest",
    "coil": "measure the current of the coil of {}",
    "current": "look up the rated current of {}",
    "charge_limit": "look up the largest charging current of {}",
    "efficiency": "measure volts and current before and behind {}, or look up its efficiency",
    "working_volts": "read the volts at the best point on the plate of {}",
    "working_current": "read the current at the best point on the plate of {}",
}
_OF_WIRE = {
    "length": "measure the way of {} with a string",
    "area": "read the size printed on {}, or measure its bare copper",
    "fuse": "read the fuse of {}",
}


@dataclass(frozen=True, slots=True)
class Probe:
    """A figure to find out, and for ohms where: what they belong to, what they are, their ends. [Ω]

    `enough_ohm` is what they may be at the most for the verdict to be good; `most_m` is what a length was
    counted with. [m]
    """

    field: str
    owner: str = ""
    what: str = ""
    good_ohm: float = 0.0
    bad_ohm: float = 0.0
    enough_ohm: float | None = None
    most_m: float = 0.0


def to_measure(job: Assessment, probes: Sequence[Probe], *, alone: bool) -> str:
    """Return what to measure and where to write it.

    Parameters
    ----------
    job : Assessment
        Of the plan.
    probes : sequence of Probe
        What decides, most first.
    alone : bool
        True if the first one may settle it alone.

    Returns
    -------
    str
        One sentence without a full stop.
    """
    steps = [f"{_how(job, probe)} and fill in {probe.field}" for probe in probes]
    if alone or len(steps) == 1:
        return steps[0]
    return "; ".join(steps) + "; only together do they settle it"


def _how(job: Assessment, probe: Probe) -> str:
    head, _, rest = probe.field.partition(".")
    thing, _, name = rest.rpartition(".")
    if head == "wiring":
        return _OF_WIRE.get(name, "measure or look up {}").format(thing) + _length(probe)
    if head == "parts" and name == "resistance" and is_battery(job.wiring, thing):
        return f"measure the volts of {thing} at rest and with {TEST_A:g} A taken" + _millivolts(
            probe, TEST_A
        )
    if head == "parts" and name == "resistance":
        return _volts(job, probe, _ACROSS["switch"].format(thing))
    if head == "parts":
        return _OF_PART.get(name, "measure or look up {}").format(thing)
    if not probe.owner:
        return "measure or look up"
    own = f"stud {probe.owner}" if name in ("stud", "body") else probe.owner
    if probe.owner.endswith(f"@{BODY}"):
        own = f"the ring of {probe.owner.removesuffix(f'@{BODY}')}"
    return _volts(job, probe, _ACROSS["fuse" if thing == "fuses" else name].format(own))


def _volts(job: Assessment, probe: Probe, across: str) -> str:
    amps = _test_a(job, probe)
    return f"measure the volts {across} at {amps:g} A" + _millivolts(probe, amps)


def _test_a(job: Assessment, probe: Probe) -> float:
    """Return the current to measure with. [A]"""
    flows = [one.current_a for one in job.passages if one.part == probe.owner]
    if probe.owner in job.wires:
        flows.append(job.wires[probe.owner].current_a or 0.0)
    most = min([TEST_A, *(float(max(math.floor(amps), 1)) for amps in flows)])
    rating = probe.what.removeprefix("fuse ").removesuffix(" A")
    return min(most, float(rating) / 2.0) if rating.replace(".", "").isdigit() else most


def _millivolts(probe: Probe, amps: float) -> str:
    """Say what the meter may show at the most."""
    if probe.enough_ohm is None:
        return ""
    return f" (good up to {_figure(1e3 * amps * probe.enough_ohm)} mV)"


def _length(probe: Probe) -> str:
    """Say how long a wire may be at the most: its ohms go with its length."""
    if not probe.field.endswith(".length") or probe.enough_ohm is None or not probe.most_m:
        return ""
    return f" (good up to {_figure(probe.most_m * probe.enough_ohm / probe.bad_ohm)} m)"


def _figure(value: float) -> str:
    """Return a figure with two digits that count, cut off: what is told to be good has to be so."""
    step = 10.0 ** (math.floor(math.log10(value)) - 1) if value > 0 else 1.0
    return f"{math.floor(value / step) * step:.12g}"
