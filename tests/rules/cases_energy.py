"""Cases of the rules on energy by the day.

By hand: of 100 Ah half may be used, the cold takes nothing from it; 10 Ah a day leave 50 / 10 = 5 days, and
24 h at 50 / 24 A are one day.
"""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

LAMP = f"C1: {{from: P1.1, fuse: 5 A, to: lamp, {WIRE}}}"


def _used(amps: float, hours: float) -> str:
    text = plan(f"lamp: {{kind: lamp, place: kitchen, running: {amps} A}}", LAMP)
    text = text.replace("capacity: 100 Ah", "capacity: 100 Ah, usable: 50 %, capacity_at: 100 %")
    return text + f"use:\n  stay: {{months: [jul], loads: {{lamp: {hours} h}}}}\n"


def _promised(days: float) -> str:
    return (
        _used(1.0, 10.0) + f"promises:\n  stay: {{says: So many days, days: {days}, sun: none, drive: no}}\n"
    )


def _day(amps: float) -> str:
    return _used(amps, 24.0)


ENERGY: dict[str, Case] = {
    "promised_days_missed": Case(
        _promised(6.0),
        _promised(5.0),
        "fault",
        "Six days are promised of a battery that 10 Ah a day empty in five.",
        (Flip(_promised, 5.0, "fault"),),
    ),
    "empty_within_a_day": Case(
        _day(3.0),
        _day(2.0),
        "fault",
        "3 A all day and night take 72 Ah of a battery of which 50 may be used.",
        (Flip(_day, 50.0 / 24.0, "fault"),),
    ),
}
