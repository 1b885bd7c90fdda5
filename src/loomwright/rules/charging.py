"""Rules on charging while driving: promised charge, what an alternator has to spare, contacts that weld."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.charging_inrush import Inrush, inrushes
from loomwright.assessment.charging_spare import spares
from loomwright.assessment.charging_taken import ChargePromise, charge_promises
from loomwright.tables.alternators import ALTERNATOR_SOURCE, CONTACT_SOURCE
from loomwright.tables.limits import DUST

from .finding import Finding, Severity
from .registry import Job, rule
from .under_load import PROMISE


@rule(
    worst="fault",
    asks="Does an hour's drive bring the charge that was promised?",
    why="A controlled alternator soon cruises at volts that charge nothing, and a relay opens then.",
    source=PROMISE,
)
def promised_charge_missed(job: Job) -> Iterator[Finding]:
    for one in charge_promises(job.assessment):
        severity: Severity | None = None
        if one.asked_ah > one.ah_per_h.mid:
            severity = "fault" if one.asked_ah > one.ah_per_h.high else "watch"
        if severity is None:
            continue
        by = tuple(dict.fromkeys(id for charge in one.by for id in (charge.part, charge.house)))
        yield Finding(
            rule="promised_charge_missed",
            severity=severity,
            where=one.id,
            also=by,
            place=job.place(*by),
            value=one.ah_per_h.mid,
            limit=one.asked_ah,
            unit="Ah",
            says=f"{one.asked_ah:.3g} Ah are promised of an hour's drive, {_brought(job, one)}",
            do="put a charger between the batteries in place of a relay, a larger one, or promise less",
            source=PROMISE,
            unknown=tuple(dict.fromkeys(field for charge in one.by for field in charge.unknown)),
        )


def _brought(job: Job, one: ChargePromise) -> str:
    if not one.by:
        return "and nothing charges the house battery then"
    low, high = one.ah_per_h.low, one.ah_per_h.high
    amount = f"{low:.2g}" if high - low < 0.05 * max(high, 1.0) else f"{low:.2g} to {high:.2g}"
    closed = [charge for charge in one.by if charge.closed_h.high < 1.0]
    names = " and ".join(job.name(charge.part) for charge in one.by)
    if not closed:
        return f"{names} bring{'s' if len(one.by) == 1 else ''} {amount} Ah"
    minutes = max(60.0 * charge.closed_h.high for charge in closed)
    is_closed, bring = ("is closed", "brings") if len(one.by) == 1 else ("are closed", "bring")
    return f"{names} {is_closed} {minutes:.0f} min of it and {bring} {amount} Ah"


@rule(
    worst="watch",
    asks="Does the alternator, when hot, give what is taken beside what the vehicle needs?",
    why="A hot alternator gives seven tenths of its rating; what the camper takes beyond, the battery gives.",
    source=ALTERNATOR_SOURCE,
)
def alternator_has_no_spare(job: Job) -> Iterator[Finding]:
    for one in spares(job.assessment):
        if one.amps <= one.hot_a.high * (1.0 + DUST) or one.amps > one.rated_a:
            continue  # above its rating is another rule's
        names = " + ".join(f"{job.name(id)} {amps:.3g} A" for id, amps in one.takes_a.items())
        yield Finding(
            rule="alternator_has_no_spare",
            severity="watch",
            where=one.alternator,
            also=tuple(one.takes_a),
            place=job.place(one.alternator),
            value=one.amps,
            limit=one.hot_a.high,
            unit="A",
            says=f"{names} are taken from {job.name(one.alternator)}; of {one.rated_a:.3g} A it has when hot "
            f"{one.hot_a.low:.3g} to {one.hot_a.high:.3g} A to spare",
            do="set the charger lower, or measure what the vehicle itself takes",
            source=ALTERNATOR_SOURCE,
        )


@rule(
    worst="watch",
    asks="Does each contact make the first current that flows when it closes?",
    why="Batteries of different charge, and motors, take many times as much for seconds: contacts weld shut.",
    source=CONTACT_SOURCE,
)
def contact_may_weld(job: Job) -> Iterator[Finding]:
    worst: dict[str, Inrush] = {}
    for one in inrushes(job.assessment):
        if one.makes_a is not None and one.amps > one.makes_a:
            held = worst.get(one.part)
            worst[one.part] = one if held is None or held.amps < one.amps else held
    for one in worst.values():
        what = " and ".join(map(job.name, one.by))
        first = "" if one.volts is None else f" ({one.volts[0]:.1f} V against {one.volts[1]:.1f} V)"
        yield Finding(
            rule="contact_may_weld",
            severity="watch",
            where=one.part,
            also=one.by,
            place=job.place(one.part),
            value=one.amps,
            limit=one.makes_a,
            unit="A",
            says=f"{job.name(one.part)} closes on {one.amps:.3g} A of {what}{first}; made for "
            f"{one.rating_a:.3g} A for good, it makes about {one.makes_a:.3g} A",
            do="use a relay or switch for more current, or a charger between the batteries",
            source=CONTACT_SOURCE,
        )
