"""The plan: header fields and all sections."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from loomwright.plan.columns import (
    COUNT,
    DATE,
    LABELS,
    MONEY,
    REGION,
    TEXT,
    VOLTS,
    Entries,
    Nested,
    Typed,
    column,
    list_of,
    words,
)
from loomwright.plan.model.entry import Entry
from loomwright.plan.model.life import (
    Accepted,
    Cargo,
    Labels,
    Mode,
    Prices,
    Promise,
    Reading,
    Revision,
    Season,
    Supply,
)
from loomwright.plan.model.parts import Part
from loomwright.plan.model.van import Basis, Path, Place, Site, Stud, Vehicle
from loomwright.plan.model.wiring import Run
from loomwright.plan.tree import Map
from loomwright.plan.values import Amount

#: The version of the format that this program reads.
VERSION = 1
EMPTY = Map((), 0, 0, 0, 0, flow=False)


def _entries(entry: str, record: str, short: str = "", space: str = "") -> Entries:
    return Entries(f"id to {entry}", Nested(entry, record, short), space)


def _no_labels() -> Labels:
    return Labels(numbers={})


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan(Entry):
    """One van. The header's fields are attributes; mappings keep the order of the file.

    `tree` is the document that it was read from, for edits on trial: of a variant, laid over its parents.
    `weather_data` is what stands in the file that `site.weather` names, None if nobody has read it.
    """

    loomwright: int = column(COUNT, needed=True, says="version of this format, now 1")
    title: str = column(TEXT, needed=True, says="name of the van")
    document: str = column(
        words("plan variant as_built readings"),
        "plan",
        says="whether it stands alone or builds on another file",
    )
    of: str | None = column(
        TEXT, says="the file it builds on, a bare name in the same folder; needed unless a plan"
    )
    customer: str | None = column(TEXT, says="who, and how it is used")
    drawn_by: str | None = column(TEXT, says="who drew it")
    checked_by: str | None = column(TEXT, says="who checked it")
    revision: str | None = column(TEXT, says="letter or number on every sheet")
    date: datetime.date | None = column(DATE, says="of this revision")
    serial: str | None = column(TEXT, says="as_built: which van")
    serials: tuple[str, ...] = column(list_of(TEXT), says="vans built from this plan, a sheet set each")
    removed: tuple[str, ...] = column(list_of(TEXT), says="variant: dotted names taken away, `wiring.L5`")
    region: str = column(REGION, needed=True, says="mains voltage, rule set, colours")
    system: Amount = column(VOLTS, "12 V", says="12 V or 24 V: voltage class of a part that states none")
    currency: str | None = column(TEXT, otherwise="money units", says="for all money")
    budget: Amount | None = column(MONEY, says="of the electrics")

    vehicle: Vehicle = column(Nested("vehicle", "Vehicle"), make=Vehicle, says="the base vehicle")
    site: Site = column(Nested("site", "Site"), make=Site, says="climate")
    basis: Basis = column(
        Nested("basis", "Basis"), make=Basis, says="tables, limits and figures counted with"
    )
    places: Mapping[str, Place] = column(
        _entries("place", "Place", "at", "place"),
        says="`kitchen: [0.6, 0.7, 0.5]` is short for `{at: [...]}`",
    )
    paths: Mapping[str, Path] = column(_entries("path", "Path", space="path"), says="where a loom may run")
    studs: Mapping[str, Stud] = column(_entries("stud", "Stud", space="stud"), says="earth studs on the body")
    parts: Mapping[str, Part] = column(_entries("part", "Part", space="part"), says="what is fitted")
    wiring: Mapping[str, Run] = column(
        _entries("run", "Run", space="run"), says="runs of cable, with what hangs in them"
    )
    supplies: Mapping[str, Supply] = column(
        _entries("supply", "Supply", space="supply"), says="pitch, site post, house"
    )
    modes: Mapping[str, Mode] = column(_entries("mode", "Mode", space="mode"), says="states of the van")
    use: Mapping[str, Season] = column(
        _entries("season", "Season", space="season"), says="how it is used, by season"
    )
    promises: Mapping[str, Promise] = column(
        _entries("promise", "Promise"), says="what the customer was told"
    )
    questions: Mapping[str, str] = column(
        Entries("id to text", Typed("text", str, "...")), says="the customer's own words"
    )
    cargo: Mapping[str, Cargo] = column(
        _entries("cargo", "Cargo", "mass"), says="`water: 120 kg` is short for `{mass: 120 kg}`"
    )
    prices: Prices = column(Nested("prices", "Prices"), make=Prices, says="of work and cable")
    labels: Labels = column(LABELS, make=_no_labels, says="wire id to printed number")
    revisions: Mapping[str, Revision] = column(_entries("revision", "Revision"), says="what changed and why")
    accepted: Mapping[str, Accepted] = column(
        _entries("accepted", "Accepted"), says="watches accepted, with the reason"
    )
    readings: Mapping[str, Reading] = column(
        _entries("reading", "Reading"), says="what a meter showed; only in a document readings"
    )
    tree: Map = field(default=EMPTY, compare=False, repr=False)
    weather_data: bytes | None = field(default=None, compare=False, repr=False)


__all__ = ["VERSION", "Plan"]
