"""How warm the copper of a wire gets where it lies, at what it carries for good.

The air is that of its places and zones, the rating that of its bundle; both are in what the cable is good
for. A wire that carries all of that has the temperature of its insulation; beyond, it is a finding, and the
figure goes on growing. Heat of joints is in `weak_joints`. Chargers and converters that give less where it is
warm are counted at their full current: no plan says by how much.
"""

from __future__ import annotations

from loomwright.protection.resistance import copper_temperature_step
from loomwright.steps import Step
from loomwright.tables.insulation import insulation_class

from .record import Assessment, WireFigure


def conductor_step(job: Assessment, wire: WireFigure) -> Step | None:
    """Return the temperature of a wire's copper and how it comes about; None where no rating is known.

    Parameters
    ----------
    job : Assessment
        Of the van.
    wire : WireFigure
        One of its wires.

    Returns
    -------
    Step or None
        [°C]
    """
    if wire.rating_a is None or wire.mains or wire.inner or wire.current_a is None:
        return None
    amps = max(abs(wire.current_a), abs(job.branch_a.get(wire.id, 0.0)))
    hottest_c = insulation_class(wire.insulation).max_c
    return copper_temperature_step(wire.ambient_c, hottest_c, amps, wire.rating_a)


def conductor_c(job: Assessment, wire: WireFigure) -> float | None:
    """Return the temperature of a wire's copper at what it carries for good, None if not known. [°C]"""
    step = conductor_step(job, wire)
    return None if step is None else step.value


__all__ = ["conductor_c", "conductor_step"]
