"""How long until a relay that watches a battery falls back: from full, with what is on drawn all the time."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from loomwright.plan.kinds import rest_state, states
from loomwright.plan.values import Limit, Quantity
from loomwright.tables.batteries import OPEN_CIRCUIT_V, charge_at

from .modes import ModeFigure
from .record import Assessment
from .sources import battery_class, is_battery


@dataclass(frozen=True, slots=True)
class FallBack:
    """A relay away from its rest that a battery holds there, until its volts are too low. [A, h]"""

    relay: str
    mode: str
    battery: str
    amps: float
    hours: float


def fall_backs(job: Assessment) -> Iterator[FallBack]:
    """Give each relay with a lower limit of volts that a mode moves, in the first that does, all loads on.

    A sensing relay is looked at after driving: a battery may hold it closed.
    """
    for id, part in job.wiring.parts.items():
        if part.kind != "relay" or not isinstance(part.cut_out, Limit):
            continue
        found = (fall_back(job, id, mode) for mode in job.modes.figures.values())
        first = next((one for one in found if one is not None), None)
        if first is not None:
            yield first
    yield from _held_after_driving(job)


def _held_after_driving(job: Assessment) -> Iterator[FallBack]:
    """Give the sensing relays that batteries hold closed once the engine has stopped.

    All that the relay joins drains together, each battery from full to the volts at which it lets go.
    """
    driving, parts = job.modes.figures.get("driving"), job.wiring.parts
    if driving is None:
        return
    for id, part in parts.items():
        if part.kind != "sensing_relay" or not isinstance(part.cut_out, Limit):
            continue
        parked = job.modes.after(driving, {})
        limit, point = part.cut_out.volts, f"{id}.a"
        joined = sorted(parked.live.at(point) & parts.keys())
        stores = [one for one in joined if is_battery(job.wiring, one)]
        if parked.positions.get(id) != "closed" or not isinstance(limit, Quantity):
            continue
        loaded, idle = job.flows.of(parked), job.flows.of(parked, ())
        amps = sum(loaded.gives_a.get(one, 0.0) for one in stores)
        rests = limit.high + idle.volts[point] - loaded.volts[point]
        gone = {one: _gone_ah(job, one, rests) for one in stores}
        if amps > 0.0 and all(ah is not None for ah in gone.values()):
            holds = max(stores, key=lambda one: gone[one] or 0.0)
            yield FallBack(id, parked.id, holds, amps, sum(ah or 0.0 for ah in gone.values()) / amps)


def fall_back(
    job: Assessment, relay: str, mode: ModeFigure, running: Collection[str] | None = None
) -> FallBack | None:
    """Return when a relay falls back in a mode; None if it is at rest, or something charges its battery.

    Parameters
    ----------
    job : Assessment
    relay : str
        One with `cut_out`: it watches the contact that it has moved to.
    mode : ModeFigure
    running : collection of str, optional
        The consumers that are on; all of them if it is left out.

    Notes
    -----
    The battery rests at the limit plus what is lost between it and the contact, inside it as well, at this
    current; what has been taken from full until then is its capacity times the charge that is gone.
    """
    part = job.wiring.parts[relay]
    position = mode.positions.get(relay, "")
    point = _moved_to(job, relay, position)
    lasting = {id for id in mode.live.at(point) if job.wiring.parts.get(id) is not None} if point else set()
    batteries = [id for id in lasting if job.wiring.parts[id].kind in ("battery", "vehicle_battery")]
    if not isinstance(part.cut_out, Limit) or position == rest_state(part) or len(batteries) != 1:
        return None
    (battery,) = batteries
    driven = (mode.charges.get(battery, frozenset()) & mode.live.charging) - _suns(job)
    if driven or not isinstance(part.cut_out.volts, Quantity):
        return None
    loaded, idle = job.flows.of(mode, running), job.flows.of(mode, ())
    amps = loaded.gives_a.get(battery, 0.0)
    sag = idle.volts[point] - loaded.volts[point]
    if amps <= 0.0:
        return None
    gone = _gone_ah(job, battery, part.cut_out.volts.high + sag)
    return None if gone is None else FallBack(relay, mode.id, battery, amps, gone / amps)


def _gone_ah(job: Assessment, battery: str, rests_v: float) -> float | None:
    """Return what is gone from full of a battery that rests at so many volts, None if nobody knows."""
    store = job.wiring.parts[battery]
    if not isinstance(store.capacity, Quantity):
        return None
    chemistry = str(store.chemistry) if store.chemistry in OPEN_CIRCUIT_V else "unknown"
    left_pct = charge_at(chemistry, rests_v, battery_class(job.wiring, battery))
    return (1.0 - left_pct / 100.0) * store.capacity.low


def _moved_to(job: Assessment, relay: str, position: str) -> str:
    """Return the point of the contact that a relay has moved to: the end that is not the common one."""
    pairs = states(job.wiring.parts[relay]).get(position, ())
    return next((f"{relay}.{end}" for pair in pairs for end in pair if end != "30"), "")


def _suns(job: Assessment) -> set[str]:
    """Return what gives in the sun only: it is not counted on."""
    return {
        one.id
        for one in job.modes.net.origins
        if (part := job.wiring.parts.get(one.id) or job.wiring.parts.get(one.id.rpartition(".")[0]))
        is not None
        and part.kind == "solar_regulator"
    }


__all__ = ["FallBack", "fall_back", "fall_backs"]
