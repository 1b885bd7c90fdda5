"""The tables of batteries under load: volts and power of a large load, an hour's drive, first currents."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from loomwright.assessment.charging_inrush import inrushes
from loomwright.assessment.charging_least import HALF_PCT
from loomwright.assessment.charging_spare import spares
from loomwright.assessment.charging_taken import LinkCharge, charge_promises, driven_charges
from loomwright.assessment.record import Assessment
from loomwright.assessment.sag import Sag, SagState
from loomwright.assessment.sag_hours import lasts_at_full_power
from loomwright.assessment.sag_promises import power_promises
from loomwright.tables.alternators import CONTACT_SOURCE

from .figures import plain, quantity, row
from .record import Row, Table
from .words import part_words


def under_load_tables(job: Assessment, id: str) -> Iterator[Table]:
    """Give the tables of a part: a large load, a link or charger, an alternator."""
    if id in job.under_load.sags:
        yield _sag(job, job.under_load.sags[id])
    for charge in driven_charges(job):
        if charge.part == id:
            yield _driven(job, charge)
    for spare in spares(job):
        if spare.alternator == id:
            rows = [row(step) for step in spare.steps]
            rows += [
                plain(f"{part_words(job, by)} takes", amps, "A", None) for by, amps in spare.takes_a.items()
            ]
            yield Table(key="spare", title="What it has to spare", rows=tuple(rows))
    for one in inrushes(job):
        if one.part == id and one.steps:
            rows = [row(step) for step in one.steps]
            if one.makes_a is not None:
                rows.append(plain("its contact makes about", one.makes_a, "A", CONTACT_SOURCE))
            yield Table(key="inrush", title="The first seconds after it closes", rows=tuple(rows))


def promise_tables(job: Assessment, id: str) -> Iterator[Table]:
    """Give the tables of a promise of power, or of charge while driving."""
    for power in power_promises(job):
        if power.id == id:
            rows = [_state(one, power=True) for one in power.states]
            name = part_words(job, power.part)
            yield Table(
                key="promise",
                title=f"What {name} can give",
                rows=tuple(rows),
                result=f"asked {quantity(power.asked_w, 'W')}, at worst {quantity(power.worst.most_w, 'W')}",
            )
    for charge in charge_promises(job):
        if charge.id == id:
            yield from (_driven(job, one) for one in charge.by)


def _sag(job: Assessment, sag: Sag) -> Table:
    rows = [_state(one, power=False) for one in sag.states]
    lasts = lasts_at_full_power(job, sag)
    if lasts is not None:
        rows += [row(step, "Full batteries last at full power") for step in lasts.steps]
    limit = "" if sag.limit_v is None else f", {sag.limit_is} {quantity(sag.limit_v, 'V')}"
    return Table(
        key="sag",
        title="Its volts at full power, by charge and temperature",
        rows=tuple(rows),
        result=f"{quantity(sag.rated_w, 'W')}{limit}",
    )


def _state(one: SagState, *, power: bool) -> Row:
    """Return a state as a row, its volts or its power first, the sums as details."""
    what = f"{one.charge_pct:g} % charge, {quantity(one.temperature_c, '°C')}"
    steps = {step.symbol: step for step in one.steps}
    details = tuple(row(step) for step in one.steps)
    first = steps.get("P_most" if power else "U")
    if first is not None:
        return replace(row(first, what), details=details)
    if power:
        return replace(plain(what, one.most_w, "W", None), details=details)
    if one.volts_v is None:
        return Row(what=what, value="collapses", details=details)
    return replace(plain(what, one.volts_v, "V", None), details=details)


def _driven(job: Assessment, charge: LinkCharge) -> Table:
    rows = []
    for taken in charge.taken:
        steps = tuple(row(step) for step in taken.steps)
        what = f"takes at {taken.charge_pct:g} % charge"
        held = plain(what, taken.amps, "A", None) if not taken.steps else row(taken.steps[-1], what)
        rows.append(replace(held, details=steps[:-1]))
    half = next((one.amps for one in charge.taken if one.charge_pct == HALF_PCT), None)
    closed = charge.closed_h
    minutes = f"{60.0 * closed.low:.0f}" + (
        f" to {60.0 * closed.high:.0f}" if closed.high > closed.low else ""
    )
    ah = charge.ah_per_h
    brings = quantity(ah.low, "Ah") if ah.high == ah.low else f"{ah.low:.2g} to {quantity(ah.high, 'Ah')}"
    return Table(
        key="driven",
        title=f"What {part_words(job, charge.part)} brings driving, at {quantity(charge.charge_v, 'V')}",
        rows=tuple(rows),
        result=f"{minutes} min of an hour, half empty {quantity(half, 'A')}: {brings}",
    )


__all__ = ["promise_tables", "under_load_tables"]
