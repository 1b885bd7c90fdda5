"""Colour of a wire where none is typed: by what it does (the project's own scheme, plan format, section 7).

Only red for plus feeds and black for returns are common practice; green and yellow alone are never chosen.
"""

from __future__ import annotations

from types import MappingProxyType

from loomwright.plan.model import Leg
from loomwright.plan.pieces import BODY, FlatRun, Piece, Wiring

_BY_KIND = MappingProxyType(
    {
        "lamp": "WH",
        "strip": "WH",
        "water_pump": "BU",
        "valve": "BU",
        "gauge": "BU",
        "fridge": "RDBU",
        "cool_box": "RDBU",
        "absorption_fridge": "RDBU",
        "air_heater": "RDBU",
        "combi_heater": "RDBU",
        "fan": "VT",
        "usb": "PK",
        "socket_12v": "PK",
        "sender": "GY",
        "control_panel": "GY",
    }
)
_BY_FUNCTION = MappingProxyType(
    {
        "feed": "RD",
        "permanent": "RDWH",
        "vehicle": "RDGY",
        "solar": "OG",
        "signal": "GY",
        "return": "BK",
        "earth": "GNYE",
    }
)
_MAINS = MappingProxyType({"na": "BK, WH, GN"})
_SOLAR = ("solar_panel", "solar_regulator")
_SIGNAL_TERMINALS = ("85", "86", "signal", "sender", "d_plus", "coil_plus", "remote", "probe")


def colour_of(wiring: Wiring, flat: FlatRun, piece: Piece) -> str:
    """Return a wire's colour letters: typed, else by function."""
    run, plan = flat.run, wiring.plan
    leg = run.legs.get(piece.load or "", Leg()) if piece.load else Leg()
    if piece.is_return:
        back = leg.return_ if leg.return_ is not None else run.return_
        if back is not None and back.colour:
            return back.colour
    elif leg.colour or run.colour:
        return leg.colour or run.colour or ""
    if flat.mains:
        return _MAINS.get(plan.region, "BN, BU, GNYE")
    function = "return" if piece.is_return else _function(wiring, flat, piece)
    own = plan.basis.colours or {}
    return own.get(function) or _BY_KIND.get(function) or _BY_FUNCTION[function]


def _function(wiring: Wiring, flat: FlatRun, piece: Piece) -> str:
    start, ends = flat.pieces[0].a, flat.loads
    if piece.load:
        ends = tuple(end for end in ends if (wiring.part_of(end) or "").rpartition("/")[2] == piece.load)
    parts = [wiring.parts[part] for point in (start, *ends) if (part := wiring.part_of(point)) is not None]
    kinds = [part.kind for part in parts]
    if any(wiring.terminal_of(point) in _SIGNAL_TERMINALS for point in (start, *ends)) or {
        "vehicle_feed",
        "control_panel",
    } & set(kinds):
        return "signal"
    if any(wiring.terminal_of(point) in ("earth", "case") for point in (start, *ends)):
        return "earth"
    if any(end in wiring.plan.studs or end.endswith(f"@{BODY}") for end in ends):
        return "return"
    if wiring.terminal_of(start) in ("minus", "out_minus", "battery_minus", "panel_minus") or _is_minus_bar(
        wiring, start
    ):
        return "return"
    if any(kind in _SOLAR for kind in kinds):
        return "solar"
    if kinds and kinds[-1] in _BY_KIND:
        return kinds[-1]
    return "vehicle" if "vehicle_battery" in kinds else "feed"


def _is_minus_bar(wiring: Wiring, point: str) -> bool:
    """True for a bar that a minus terminal is wired to."""
    if wiring.parts.get(point) is None:
        return False
    ends = [piece.b if piece.a == point else piece.a for piece in wiring.by_point.get(point, ())]
    return any(wiring.terminal_of(end).endswith("minus") for end in ends)
