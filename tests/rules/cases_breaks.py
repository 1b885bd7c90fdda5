"""Cases of the rule on what comes loose; see `base`."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan


def _strapped(amps: float, fuse: str = "") -> str:
    """A heater with its own thick return, and a strap of 1 mm² from its minus to another stud.

    DIN VDE 0298-4, one core of 1 mm² PVC in free air: 19 A.
    """
    return plan(
        f"heater: {{kind: load, place: kitchen, running: {amps} A}}",
        f"""C1: {{from: P1.1, fuse: 30 A, to: heater, area: 6 mm², length: 2 m, resistance: 0 mΩ, return: E2}}
        strap: {{from: heater.minus{fuse}, to: E1, area: 1 mm², length: 0.1 m}}""",
    )


def _aged(mohm: float) -> str:
    """A heater of 10 A on 32 mΩ; after years its studs have so many milliohms, its fuse's clips 10."""
    aged = f"  aged: {{crimp: 0 mΩ, lug: 0 mΩ, body: 0 mΩ, stud: {mohm} mΩ}}\n  contacts:"
    wire = f"C1: {{from: P1.1, fuse: 15 A blade, to: heater, {WIRE}}}".replace("0 mΩ", "32 mΩ")
    return plan("heater: {kind: load, place: kitchen, running: 10 A}", wire).replace("  contacts:", aged, 1)


BREAKS: dict[str, Case] = {
    "broken_return_overloads": Case(
        _strapped(23.0),
        _strapped(18.5),
        "watch",
        "If the return of a heater comes loose, all of its 23 A go through a strap good for 19 A.",
        (Flip(_strapped, 19.0, "watch"),),
    ),
    "worn_joints_decide": Case(
        _aged(10.5),
        _aged(9.5),
        "note",
        "A heater loses 0.32 V of the 0.6 V that are a fault. Its fuse's clips may come to 8 mΩ more and its "
        "two studs to 10.5 mΩ each: with all of them worn it loses 0.61 V.",
        (Flip(_aged, 10.0, "note"),),
    ),
}
