"""Batteries under load as they stand in JSON, and large loads as a table for people."""

from __future__ import annotations

from loomwright.assessment.banks import BankOpens, banks_under_load
from loomwright.assessment.charging_inrush import Inrush, inrushes
from loomwright.assessment.charging_spare import Spare, spares
from loomwright.assessment.charging_taken import LinkCharge, driven_charges
from loomwright.assessment.record import Assessment
from loomwright.assessment.sag import CHARGES_PCT, Sag, SagState
from loomwright.assessment.sag_hours import lasts_at_full_power

from .table import table


def batteries_dict(job: Assessment) -> dict[str, object]:
    """Return what batteries do under load: by load, charger, alternator and link."""
    return {
        "sag": [_sag(job, one) for one in job.under_load.sags.values()],
        "banks": [_bank(one) for one in banks_under_load(job)],
        "charging": [_charge(one) for one in driven_charges(job)],
        "alternators": [_spare(one) for one in spares(job)],
        "inrush": [_inrush(one) for one in inrushes(job) if one.volts is not None],
    }


def _bank(one: BankOpens) -> dict[str, object]:
    """Return what the batteries of a bank give with everything on, and what opens in which order."""
    return {
        "batteries": list(one.batteries),
        "gives_a": dict(one.cascade.first_a),
        "limits_a": one.limits_a,
        "opens": [
            {"battery": each.battery, "what": each.what, "current_a": each.amps} for each in one.cascade.opens
        ],
        "dark": one.cascade.dark,
    }


def _charge(one: LinkCharge) -> dict[str, object]:
    """Return what fills a house battery while the vehicle is driven."""
    return {
        "by": one.part,
        "battery": one.house,
        "volts_v": one.charge_v,
        "closed_h": [one.closed_h.low, one.closed_h.high],
        "ah_per_h": [one.ah_per_h.low, one.ah_per_h.high],
        "half_to_full_h": one.to_full_h,
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


def under_load_table(job: Assessment) -> str:
    """Return the volts at each large load and what it may be counted on for; "" if there is none."""
    rows = []
    for sag in job.under_load.sags.values():
        for celsius in dict.fromkeys(one.temperature_c for one in sag.states):
            said = {one.charge_pct: _said(sag, one) for one in sag.states if one.temperature_c == celsius}
            rows.append([sag.part, f"{celsius:g} °C", *(said.get(pct, "–") for pct in CHARGES_PCT)])
    if not rows:
        return ""
    heads = ["load", "air", *(f"{pct:.0f} % charge" for pct in CHARGES_PCT)]
    return table(heads, rows)


def _said(sag: Sag, one: SagState) -> str:
    volts = "collapses" if one.volts_v is None else f"{one.volts_v:.2f} V"
    return f"{volts}, {min(one.most_w, sag.rated_w):,.0f} W"


__all__ = ["batteries_dict", "under_load_table"]
