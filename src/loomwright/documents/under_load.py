"""Batteries under load as they stand in JSON."""

from __future__ import annotations

from loomwright.assessment.charging_inrush import Inrush, inrushes
from loomwright.assessment.charging_spare import Spare, spares
from loomwright.assessment.charging_taken import LinkCharge, driven_charges
from loomwright.assessment.record import Assessment
from loomwright.assessment.sag import Sag, SagState
from loomwright.assessment.sag_hours import lasts_at_full_power


def batteries_dict(job: Assessment) -> dict[str, object]:
    """Return what batteries do under load: by load, charger, alternator and link."""
    return {
        "sag": [_sag(job, one) for one in job.under_load.sags.values()],
        "charging": [_charge(one) for one in driven_charges(job)],
        "alternators": [_spare(one) for one in spares(job)],
        "inrush": [_inrush(one) for one in inrushes(job) if one.volts is not None],
    }


def _charge(one: LinkCharge) -> dict[str, object]:
    """Return what fills a house battery while the vehicle is driven."""
    return {
        "by": one.part,
        "battery": one.house,
        "volts_v": one.charge_v,
        "closed_h": [one.closed_h.low, one.closed_h.high],
        "ah_per_h": [one.ah_per_h.low, one.ah_per_h.high],
        "states": [
            {"charge_pct": taken.charge_pct, "current_a": taken.amps, "held_by": taken.held_by}
            for taken in one.taken
        ],
    }


def _spare(one: Spare) -> dict[str, object]:
    """Return what an alternator has to spare, hot and at idle, and what is taken of it."""
    return {
        "alternator": one.alternator,
        "rated_a": one.rated_a,
        "taken_a": one.amps,
        "spare_hot_a": [one.hot_a.low, one.hot_a.high],
        "spare_idle_a": [one.idle_a.low, one.idle_a.high],
    }


def _inrush(one: Inrush) -> dict[str, object]:
    """Return the first current when two batteries are joined."""
    return {
        "at": one.part,
        "batteries": list(one.by),
        "current_a": one.amps,
        "contact_a": one.rating_a,
        "makes_a": one.makes_a,
    }


def _sag(job: Assessment, sag: Sag) -> dict[str, object]:
    lasts = lasts_at_full_power(job, sag)
    return {
        "load": sag.part,
        "batteries": list(sag.batteries),
        "rated_w": sag.rated_w,
        "limit_v": sag.limit_v,
        "lasts_h": None if lasts is None else lasts.hours,
        "lasts_at_most": None if lasts is None else lasts.at_most,
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
