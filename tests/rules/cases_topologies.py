"""Cases of the rules on cuts and starts, lamp circuits of the vehicle, and what a trailer is fed from."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan


def _cut(amps: float, waits: str = "0 s") -> str:
    """A pump's start behind a cut that opens below 11.6 V: the battery's 20 mΩ lose 0.4 V at 20 A."""
    return plan(
        f"""cut: {{kind: low_voltage_cut, place: seat_base, cut_out: 11.6 V, delay: {waits}, idle: 0 A,
        resistance: 0 mΩ}}
        pump: {{kind: water_pump, place: kitchen, running: 2 A, start: {amps} A for 80 ms}}""".replace(
            ",\n", ","
        ),
        f"""C1: {{from: P1.1, fuse: 15 A, through: cut, to: pump, {WIRE}}}
        C2: {{from: cut.minus, to: E1, area: 1 mm², length: 0.4 m, resistance: 0 mΩ}}""",
    )


TOPOLOGIES: dict[str, Case] = {
    "cut_opens_at_start": Case(
        _cut(21.0),
        _cut(21.0, "1 s"),
        "fault",
        "A pump starts with 21 A, the cut behind the battery's 20 mΩ opens below 11.6 V and does not wait.",
        (Flip(_cut, 20.0, "fault"),),
    ),
}
