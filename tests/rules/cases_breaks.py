"""Cases of the rule on what comes loose; see `base`."""

from __future__ import annotations

from tests.rules.base import Case, Flip, plan


def _strapped(amps: float, fuse: str = "") -> str:
    """A heater with its own thick return, and a strap of 1 mm² from its minus to another stud.

    DIN VDE 0298-4, one core of 1 mm² PVC in free air: 19 A.
    """
    return plan(
        f"heater: {{kind: load, place: kitchen, running: {amps} A}}",
        f"""C1: {{from: P1.1, fuse: 30 A, to: heater, area: 6 mm², length: 2 m, resistance: 0 mΩ, return: E2}}
        strap: {{from: heater.minus{fuse}, to: E1, area: 1 mm², length: 0.1 m}}""",
    )


BREAKS: dict[str, Case] = {
    "broken_return_overloads": Case(
        _strapped(23.0),
        _strapped(18.5),
        "watch",
        "If the return of a heater comes loose, all of its 23 A go through a strap good for 19 A.",
        (Flip(_strapped, 19.0, "watch"),),
    ),
}
