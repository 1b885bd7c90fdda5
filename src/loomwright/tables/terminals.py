"""What is put on the ends of wires: terminals that parts usually take, strip lengths, barrels, sleeves.

A plan may say what a terminal takes (`posts`); the rest is what such parts usually have, and the part on the
bench goes before it. Threads of posts and bars are not guessed: a lug with the wrong hole costs an afternoon.

Sources: common practice; lengths to strip from memory of DIN 46228-4 (ferrules), DIN 46235 (pressed lugs) and
crimped barrels, with 2 mm on top of the barrel. The barrel of the terminal at hand goes before them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

USUAL_SOURCE = Source(work="common practice", place="terminals of such parts", checked="common practice")
STRIP_SOURCE = Source(work="DIN 46228-4, DIN 46235", place="lengths of barrels", checked="from memory")
CRIMP_SOURCE = Source(
    work="common practice",
    place="barrels by area: red, blue, yellow; lugs from 10 mm² up",
    checked="from memory",
)
SEAL_SOURCE = Source(
    work="common practice",
    place="seals and adhesive-lined sleeves where it is wet",
    checked="common practice",
)
RING, RECEPTACLE, FERRULE, PIN, SPLICE, OWN, BARE, UNKNOWN = (
    "ring", "receptacle", "ferrule", "pin", "splice", "own connector", "bare", "unknown",
)  # fmt: skip
#: Kinds of terminal, in words.
KINDS: Mapping[str, str] = MappingProxyType(
    {
        RING: "ring",
        RECEPTACLE: "receptacle",
        FERRULE: "ferrule",
        PIN: "plug pin",
        SPLICE: "splice",
        OWN: "connector of the part",
        BARE: "bare end",
        UNKNOWN: "not known",
    }
)
#: The flat receptacle of relays, switches and fuse boxes. [mm]
TAB = "6.3 mm"
#: Largest cable on such a receptacle; above it a ring is put on. [mm²]
LARGEST_ON_TAB_MM2 = 6.0
#: From so much on a cable gets a pressed lug. [mm²]
LUG_FROM_MM2 = 8.0

_TABS = "switch two_way intermediate selector relay change_over dimmer usb socket_12v gauge step"
_CLAMPS = (
    "b2b solar_regulator mains_charger converter low_voltage_cut breaker_box inlet mains_socket tow_socket"
    " equaliser transformer diode"
)
_RINGS = (
    "battery vehicle_battery busbar shunt master_switch sensing_relay diode_splitter inverter"
    " inverter_charger"
)
_TAILS = (
    "lamp strip fan water_pump cool_box tv router radio heat_mat compressor valve alarm tracker camera sender"
)
#: By kind of part what most of its terminals take; others are not known.
USUAL: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(_TABS.split(), RECEPTACLE)
    | dict.fromkeys(_CLAMPS.split(), FERRULE)
    | dict.fromkeys(_RINGS.split(), RING)
    | dict.fromkeys(_TAILS.split(), SPLICE)
    | {"splice": SPLICE, "plug": PIN, "solar_panel": OWN, "vehicle_feed": SPLICE}
)
#: Terminals that take something else than the rest of their part.
APART: Mapping[tuple[str, str], str] = MappingProxyType(
    {
        ("alternator", "plus"): RING,
        ("fuse_box", "in"): RING,
        ("fuse_box", "minus"): RING,
        ("sensing_relay", "minus"): RECEPTACLE,
        ("inverter", "remote"): UNKNOWN,
        ("inverter", "out"): UNKNOWN,
        ("inverter_charger", "remote"): UNKNOWN,
        ("inverter_charger", "in"): FERRULE,
        ("inverter_charger", "out"): FERRULE,
        ("b2b", "signal"): UNKNOWN,
        ("b2b", "probe"): UNKNOWN,
        ("b2b", "panel"): UNKNOWN,
        ("master_switch", "coil_plus"): RECEPTACLE,
        ("master_switch", "coil_minus"): RECEPTACLE,
    }
)
#: What a way of a box takes, by the type of its fuses.
WAYS: Mapping[str, str] = MappingProxyType(
    {"blade": RECEPTACLE, "mini_blade": RECEPTACLE, "glass": RECEPTACLE, "breaker": FERRULE}
    | {"bolted": RING, "high_breaking": RING, "post": RING}
)
#: How far to strip, by kind and largest area. [mm² -> mm]
STRIP_MM: Mapping[str, Mapping[float, float]] = MappingProxyType(
    {
        RING: {1.5: 6, 2.7: 7, 6.7: 9, 10: 12, 35: 22, 70: 30, 120: 37},
        RECEPTACLE: {1.5: 5, 2.7: 6, 6.7: 7},
        PIN: {1.5: 5, 2.7: 6, 6.7: 7},
        FERRULE: {2.7: 10, 4: 12, 16: 14, 35: 18, 50: 22},
        SPLICE: {1.5: 7, 2.7: 8, 6.7: 9, 16: 14, 35: 22},
    }
)  # fmt: skip
#: Barrels of crimped terminals by the largest area they take. [mm² -> words]
INSULATED: Mapping[float, str] = MappingProxyType(
    {1.5: "0.5–1.5 mm², red", 2.7: "1.5–2.5 mm², blue", 6.7: "4–6 mm², yellow"}
)
OPEN: Mapping[float, str] = MappingProxyType({1.05: "0.5–1 mm²", 2.7: "1–2.5 mm²", 6.7: "4–6 mm²"})
#: Heat-shrink tube as it is sold, before it shrinks. [mm]
SHRINK_MM = (3.0, 4.8, 6.4, 9.5, 12.7, 19.0, 25.4, 38.0)
#: It has to slip over the barrel: so much wider than the insulation.
SHRINK_OVER = 1.6
#: Zones where water comes to a wire's end.
WET_ZONES = frozenset({"wet", "outside", "engine_bay", "underfloor"})


def strip_mm(kind: str, area_mm2: float) -> float | None:
    """Return how far to strip for a kind of terminal; None if it is not known. [mm]

    Examples
    --------
    >>> strip_mm("ring", 16.0), strip_mm("ferrule", 2.5), strip_mm("own connector", 4.0)
    (22, 10, None)
    """
    rows = STRIP_MM.get(kind, {})
    return next((mm for largest, mm in rows.items() if area_mm2 <= largest), None)


def barrel(kind: str, area_mm2: float, gauge: str = "") -> str:
    """Return which barrel takes a cable: a range for small ones, its own size for lugs and ferrules.

    Examples
    --------
    >>> barrel("ring", 1.0), barrel("receptacle", 2.5), barrel("ring", 35.0)
    ('0.5–1.5 mm², red', '1–2.5 mm²', '35 mm²')
    """
    rows = {RING: INSULATED, SPLICE: INSULATED, RECEPTACLE: OPEN, PIN: OPEN}.get(kind, {})
    own = gauge or f"{area_mm2:g} mm²"
    return next((words for largest, words in rows.items() if area_mm2 <= largest), own)


def shrink_mm(diameter_mm: float) -> float | None:
    """Return the heat-shrink tube that slips over a terminal of a wire; None if none is so wide. [mm]

    Parameters
    ----------
    diameter_mm : float
        Of the wire, over its insulation. [mm]

    Examples
    --------
    >>> shrink_mm(3.6), shrink_mm(8.3)
    (6.4, 19.0)
    """
    return next((mm for mm in SHRINK_MM if mm >= SHRINK_OVER * diameter_mm), None)
