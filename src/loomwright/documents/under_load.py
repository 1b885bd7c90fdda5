"""Batteries under load as they stand in JSON."""

from __future__ import annotations

from loomwright.assessment.record import Assessment
from loomwright.assessment.sag import Sag, SagState


def batteries_dict(job: Assessment) -> dict[str, object]:
    """Return what batteries do under load: `sag` has each inverter and large load in every state."""
    return {"sag": [_sag(one) for one in job.under_load.sags.values()]}


def _sag(sag: Sag) -> dict[str, object]:
    return {
        "load": sag.part,
        "batteries": list(sag.batteries),
        "rated_w": sag.rated_w,
        "limit_v": sag.limit_v,
        "states": [_state(sag, one) for one in sag.states],
    }


def _state(sag: Sag, one: SagState) -> dict[str, object]:
    """Return one state; `power_w` is what may be counted on, no more than the load is made for."""
    return {
        "charge_pct": one.charge_pct,
        "temperature_c": one.temperature_c,
        "volts_v": one.volts_v,
        "current_a": one.amps,
        "power_w": min(one.most_w, sag.rated_w),
        "held_by": one.held_by if one.most_w < sag.rated_w else None,
    }


__all__ = ["batteries_dict"]
