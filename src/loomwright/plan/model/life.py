"""How the van lives (supplies, modes, seasons, promises) and its papers (prices, labels, readings ...)."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from loomwright.plan.columns import (
    AMPS,
    AREA,
    CELSIUS,
    DATE,
    DAYS_LONG,
    DRIVE,
    HOOK_UP,
    INNER_PART,
    MASS,
    MODE,
    MONEY,
    MONTH,
    NIGHTS,
    OHMS,
    PLACE,
    RCD,
    REGION,
    SEASON,
    SHARE,
    STATE_KEY,
    SUPPLY,
    TEXT,
    TIME,
    USE,
    VOLTS,
    WATTS,
    YES_NO,
    EndKind,
    Ref,
    amount,
    column,
    list_of,
    map_of,
    words,
)
from loomwright.plan.model.entry import Entry
from loomwright.plan.model.van import YesNo
from loomwright.plan.values import Amount, Drive, End, HookUp, Rcd, Use, Word

_WHERE = Ref("text", "anything")


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply(Entry):
    """A supply from outside: pitch, site post, house."""

    current: Amount = column(
        AMPS,
        needed=True,
        says="uk, eu 6 10 16 A at 230 V; na 15 20 30 A at 120 V, 50 A at 120/240 V; au, nz 10 15 A at 230 V",
    )
    outlet: str = column(words("pitch house generator"), "pitch", says="where the lead is plugged in")
    earthing: str | Word = column(
        words("tn tn_c_s tt none unknown"),
        "unknown",
        says="of the supply; tn_c_s: the distributor's combined neutral and earth",
    )
    polarity: str | Word = column(words("right reversed unknown"), "unknown", says="of the post")
    loop: Amount = column(OHMS, "unknown", says="earth loop impedance at the post")
    electrode: Amount = column(OHMS, "unknown", says="tt electrode")
    rcd: Rcd = column(RCD, "unknown", says="in the post")
    region: str | None = column(REGION, otherwise="the plan's", says="where that post stands")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode(Entry):
    """A state of the van that is judged."""

    engine: str = column(words("running stopped"), "stopped", says="of the vehicle")
    ignition: YesNo | None = column(YES_NO, otherwise="with engine", says="terminal 15")
    towing: YesNo = column(YES_NO, "no", says="trailer on")
    lights: YesNo | None = column(YES_NO, otherwise="with ignition", says="lights of the vehicle")
    reversing: YesNo = column(YES_NO, "no", says="reverse gear")
    brake: YesNo = column(YES_NO, "no", says="brake pedal pressed")
    hook_up: str = column(SUPPLY, "none", says="a supply of this plan, `any` or `none`")
    switches: Mapping[str, str] = column(
        map_of(STATE_KEY, TEXT), says="`{master: off, S0.pump: on, U1/KS: off}`; else they are as they rest"
    )
    running: tuple[str, ...] | None = column(list_of(INNER_PART), otherwise="all", says="consumers on")
    starting: tuple[str, ...] = column(list_of(INNER_PART), otherwise="none", says="consumers in their start")
    plugged: Mapping[str, str] | None = column(
        map_of(INNER_PART, INNER_PART), otherwise="by plugged", says="appliance: socket"
    )
    charge: Amount = column(SHARE, "20..100 %", says="of the house battery")
    volts: Amount | None = column(VOLTS, otherwise="from charge", says="stated at its posts")
    temperature: Amount | None = column(CELSIUS, otherwise="site", says="of the air")


@dataclass(frozen=True, slots=True, kw_only=True)
class Season(Entry):
    """A season of use."""

    months: tuple[str, ...] = column(list_of(MONTH), needed=True, says="jan ... dec")
    drives: tuple[Drive, ...] = column(
        list_of(DRIVE), says="day of the week, start and time: `daily 08:30 for 45 min`, `fri for 1 h`"
    )
    hook_up: HookUp = column(
        HOOK_UP, "none", says="none, always, mostly, `2 nights per week` or `every 3 days`"
    )
    nights: Amount = column(NIGHTS, "7", says="nights per week in the van, up to 7")
    loads: Mapping[str, Use] = column(
        map_of(INNER_PART, USE),
        says="per day of use: `5 h`, `24 h at 30 %` of the time, `18:00..22:00`, `300 Wh`",
    )
    total: Amount | None = column(
        amount("Ah"), otherwise="sum", says="states the day's sum instead, at the battery"
    )
    rooms: Amount | None = column(CELSIUS, says="inside temperature kept")
    like: str | None = column(SEASON, says="as another season, with the changes given here")


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise(Entry):
    """What the customer was told; exactly one of days, charges, power, switch."""

    says: str = column(TEXT, needed=True, says="what the customer was told")
    season: str | None = column(SEASON, otherwise="all", says="when it holds")
    months: tuple[str, ...] | None = column(
        list_of(MONTH), otherwise="those of the season", says="of the season, when"
    )
    days: Amount | None = column(DAYS_LONG, says="lasts so many days")
    sun: str | None = column(words("none rainy average good"), says="in those days")
    drive: YesNo | None = column(YES_NO, says="with the season's drives")
    charges: Amount | None = column(amount("Ah/h"), says="`25 Ah/h` of driving")
    part: str | None = column(INNER_PART, says="gives `power` at any time inside these bands")
    power: Amount | None = column(WATTS, says="of that part")
    charge: Amount | None = column(SHARE, says="band of charge")
    temperature: Amount | None = column(CELSIUS, says="band of air temperature")
    switch: str | None = column(STATE_KEY, says="with it off, what `leaves` names stays live")
    leaves: tuple[str, ...] = column(list_of(INNER_PART), says="what must stay live")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cargo(Entry):
    """What is carried or belongs to the electrics without being a part."""

    mass: Amount = column(MASS, needed=True, says="of all of it")
    price: Amount | None = column(MONEY, says="of all of it")
    place: str | None = column(PLACE, otherwise="unknown", says="where it is")
    share: str = column(
        words("electrics load"), "load", says="belongs to these electrics (cables, mountings), or is carried"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices(Entry):
    """What work and material cost."""

    hour: Amount | None = column(MONEY, says="workshop hour")
    cable: Mapping[float, Amount] = column(map_of(AREA, MONEY), says="per metre")
    small: Amount = column(SHARE, "10 %", says="terminals and fixings, on top")
    waste: Amount = column(SHARE, "12 %", says="cable reserve")
    tax: Amount = column(SHARE, "0 %", says="on all")
    margin: Amount = column(SHARE, "0 %", says="on all")
    times: Mapping[str, Amount] | None = column(
        map_of(words("wire_end stud gland inlet lamp commissioning"), TIME),
        otherwise="set",
        says="of one such piece of work",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels(Entry):
    """Printed wire numbers: given once and kept."""

    numbers: Mapping[str, int]
    retired: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision(Entry):
    """What changed and why."""

    date: datetime.date | None = column(DATE, says="of the change")
    by: str | None = column(TEXT, says="who")
    says: str = column(TEXT, needed=True, says="what changed and why")


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted(Entry):
    """A watch that somebody accepted; it is then printed as accepted, with the reason."""

    rule: str = column(TEXT, needed=True, says="rule id of the finding")
    where: str = column(_WHERE, needed=True, says="wire, part, stud, place or supply")
    because: str = column(TEXT, needed=True, says="the reason")
    by: str = column(TEXT, needed=True, says="who")
    date: datetime.date | None = column(DATE, says="since")
    until: datetime.date | None = column(DATE, says="to be looked at again")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading(Entry):
    """One reading of a meter; exactly one of volts, amps, ohms, temperature."""

    mode: str = column(MODE, needed=True, says="state of the van")
    red: End | None = column(EndKind("end", "probe"), otherwise="for volts, ohms", says="probe")
    black: End | None = column(EndKind("end", "probe"), otherwise="for volts, ohms", says="probe")
    volts: Amount | None = column(amount("V", signed=True), says="read between red and black")
    amps: Amount | None = column(amount("A", signed=True), says="read at `at`")
    ohms: Amount | None = column(OHMS, says="read between red and black")
    temperature: Amount | None = column(CELSIUS, says="read at `at`")
    at: End | None = column(
        EndKind("end", "probe"), otherwise="for amps, temperature", says="where clamped or felt"
    )
    instrument: str | None = column(TEXT, says="which meter")
    by: str | None = column(TEXT, says="who")
    date: datetime.date | None = column(DATE, says="when")


__all__ = [
    "Accepted",
    "Cargo",
    "Labels",
    "Mode",
    "Prices",
    "Promise",
    "Reading",
    "Revision",
    "Season",
    "Supply",
]
