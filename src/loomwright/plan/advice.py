"""What to say of a field or kind that is not known: where it belongs, or what was probably meant."""

from __future__ import annotations

from functools import cache

from loomwright.plan.columns import Entries, Nested, columns
from loomwright.plan.kinds import KINDS, fields_of
from loomwright.plan.model import RECORDS, Plan
from loomwright.plan.near import nearest
from loomwright.plan.tree import Map, Node, Scalar

#: What people call a thing that has another word here.
_KIND_WORDS = {
    "light": "lamp",
    "lights": "lamp",
    "led": "lamp",
    "pump": "water_pump",
    "socket": "socket_12v",
    "solar": "solar_panel",
    "panel": "solar_panel",
    "mppt": "solar_regulator",
    "pwm": "solar_regulator",
    "charge_controller": "solar_regulator",
    "dc_dc": "b2b",
    "dcdc": "b2b",
    "booster": "b2b",
    "charger": "mains_charger",
    "fusebox": "fuse_box",
    "bus_bar": "busbar",
    "heater": "air_heater",
    "starter_battery": "vehicle_battery",
    "leisure_battery": "battery",
    "isolator": "master_switch",
    "breaker": "breaker_box",
    "consumer_unit": "breaker_box",
    "fuse": "fuse_box",
    "connector": "plug",
    "earth": "busbar",
}


def unknown_kind(text: str) -> str:
    """Say that there is no such kind of part."""
    word = text.strip().casefold().replace(" ", "_").replace("-", "_")
    meant = _KIND_WORDS.get(word, word if word in KINDS else "")
    hint = f" Write {meant}." if meant else nearest(text, tuple(KINDS))
    return f'no kind of part "{text}".{hint or " If it only takes current, write load."}'


def unknown_field(text: str, record: str, kind: str = "") -> str:
    """Say that an entry has no such field: the likeliest spelling, or where such a field is at home."""
    table, known = columns(RECORDS[record]), _fields(record, kind)
    whose = f"a part of kind {kind}" if kind else _CALLED.get(record, record.lower())
    near = nearest(text, known)
    if near:
        return f"{whose} has no field {text}.{near}"
    if kind and text in table:
        having = [name for name in KINDS if text in fields_of(name)]
        listed = ", ".join(having[:5]) + (" ..." if len(having) > 5 else "")
        return f"{whose} has no field {text}; {listed} can have it. Leave it out or check the kind."
    homes = _homes().get(text)
    if homes:
        return f"{whose} has no field {text}; it belongs to {homes}. Check the indent."
    return f"{whose} has no field {text}. It can have: {', '.join(known)}."


@cache
def _fields(record: str, kind: str) -> tuple[str, ...]:
    """Return the fields that an entry may have."""
    return tuple(name for name in columns(RECORDS[record]) if not kind or name in fields_of(kind))


def unknown_section(text: str, value: Node) -> str:
    """Say that a plan has no such section or header field."""
    if isinstance(value, Map):
        kind, start = value.get("kind"), value.get("from")
        if isinstance(kind, Scalar):
            return f"no section {text}. It looks like a part: put it under parts:, indented by two spaces."
        if start is not None:
            return f"no section {text}. It looks like a run: put it under wiring:, indented by two spaces."
    near = nearest(text, tuple(columns(Plan)))
    if near:
        return f"no section or header field {text}.{near}"
    homes = _homes().get(text)
    if homes:
        return f"no section {text}; it is a field of {homes}. Check the indent."
    return f"no section {text}. There are: {', '.join(columns(Plan))}."


_CALLED = {
    "Plan": "the plan",
    "Run": "a run of the wiring",
    "Leg": "a leg",
    "Return": "a return",
    "FuseEntry": "a fuse",
    "Part": "a part",
    "Place": "a place",
    "Path": "a path",
    "Stud": "a stud",
    "Vehicle": "the vehicle",
    "Site": "the site",
    "Basis": "the basis",
}


@cache
def _homes() -> dict[str, str]:
    """Return for each field name the section it is at home in."""
    found: dict[str, str] = {}
    for section, row in columns(Plan).items():
        of = row.kind.of if isinstance(row.kind, Entries) else row.kind
        if isinstance(of, Nested):
            for name in columns(RECORDS[of.record]):
                found.setdefault(name, f"an entry of {section}" if isinstance(row.kind, Entries) else section)
    return found
