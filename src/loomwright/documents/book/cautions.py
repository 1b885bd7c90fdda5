"""The cautions of a van: those whose part is in the plan, what can kill or burn first, one page at most.

They are the usual cautions of the trade in our words; `cautions.csv` holds them, each with its source. They
replace neither local codes nor a licensed person.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import cast, get_args

from loomwright.assessment.record import Assessment
from loomwright.documents.report import has_mains
from loomwright.plan.model import Plan
from loomwright.source import Checked as Confidence
from loomwright.source import Source

_LEAD = {"flooded", "efb", "agm", "gel", "unknown"}
_BATTERIES = {"battery", "vehicle_battery"}
#: Which kinds of parts call for a caution, by the key that it has in the table.
_KINDS = {
    "mains": {"inlet", "hook_up_lead", "breaker_box", "mains_socket", "mains_charger", "inverter_charger"},
    "hook_up": {"inlet", "hook_up_lead"},
    "inverter": {"inverter", "inverter_charger", "generator"},
    "battery": _BATTERIES,
    "solar": {"solar_panel"},
    "heater": {"air_heater", "combi_heater"},
    "alarm": {"alarm"},
    "vehicle_battery": {"vehicle_battery"},
    "airbag": {"vehicle_battery"},
}
_BY_ENGINE = {"b2b", "sensing_relay", "relay"}


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: of what, what to do, and who says so; `key` tells when it is called for."""

    key: str
    head: str
    says: str
    source: Source


def cautions_of(job: Assessment) -> tuple[Caution, ...]:
    """Return the cautions that a plan calls for, dangers first.

    Parameters
    ----------
    job : Assessment
        Of the whole plan.
    """
    called_for = set(_keys(job))
    return tuple(caution for caution in all_cautions() if caution.key in called_for)


@cache
def all_cautions() -> tuple[Caution, ...]:
    """Return the whole table, in its order."""
    text = files("loomwright.documents.book").joinpath("cautions.csv").read_text(encoding="utf-8")
    return tuple(_caution(row) for row in csv.DictReader(text.splitlines()))


def _caution(row: dict[str, str]) -> Caution:
    if row["checked"] not in get_args(Confidence):
        raise ValueError(f"not a word of confidence: {row['checked']!r}")
    source = Source(work=row["work"], place=row["place"], checked=cast(Confidence, row["checked"]))
    return Caution(row["if_in_plan"], row["head"], row["says"], source)


def _keys(job: Assessment) -> Iterator[str]:
    """Give the keys of the cautions that the parts, batteries and places of a plan call for."""
    parts = job.wiring.parts.values()
    kinds = {part.kind for part in parts}
    chemistries = {
        part.chemistry if isinstance(part.chemistry, str) else "unknown"
        for part in parts
        if part.kind in _BATTERIES
    }
    yield "always"
    yield from (key for key, called in _KINDS.items() if called & kinds)
    yield from _zones(job.plan) & {"gas_locker", "airbag"}
    if has_mains(job):
        yield "mains"
    if "inlet" in kinds and _KINDS["inverter"] & kinds:
        yield "back_feed"
    if chemistries & _LEAD:
        yield "lead"
    if "lifepo4" in chemistries:
        yield "lithium"
        if _BY_ENGINE & kinds:
            yield "lithium_by_engine"


def _zones(plan: Plan) -> set[str]:
    places = (zone for place in plan.places.values() for zone in place.zones)
    paths = (zone for path in plan.paths.values() for zone in path.zones or ())
    return {*places, *paths}
