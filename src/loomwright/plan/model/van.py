"""The van itself: vehicle, site, what is counted with, places, paths and studs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loomwright.plan.columns import (
    AMPS,
    AT_LEAST_ONE,
    CELSIUS,
    COLOUR,
    COORDINATE,
    COUNT,
    DEGREES,
    FUSE_TYPE,
    INSULATION,
    MASS,
    METRES,
    OHMS,
    PLACE,
    POINT,
    SHARE,
    STOP,
    STUD,
    TEXT,
    TIME,
    VOLTS,
    YES_NO,
    ZONE,
    Nested,
    amount,
    by,
    column,
    list_of,
    map_of,
    words,
)
from loomwright.plan.model.entry import Entry
from loomwright.plan.values import Amount, Curve, Quantity, Word

#: Three coordinates in metres: rearward, right, up. A range is an extent; None is not known.
Point = tuple[Quantity | None, Quantity | None, Quantity | None]
YesNo = bool | Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Vehicle(Entry):
    """The base vehicle."""

    load_space: tuple[Amount, ...] | None = column(
        list_of(METRES, doubt=True), otherwise="unknown", says="length, width and height of the load space"
    )
    steering: str | None = column(words("left right"), otherwise="by region", says="the side of the wheel")
    pop_top: YesNo = column(YES_NO, "no", says="has a rising roof")
    body: str = column(
        words("steel aluminium grp wood mixed"),
        "steel",
        says="what the shell is made of; grp and wood carry no return current",
    )
    pipes: str | Word = column(
        words("bonded loose plastic unknown"),
        "unknown",
        says="metal gas and water pipes and taps: bonded to the body, loose, or plastic",
    )
    use: str = column(words("leisure work both"), "leisure", says="which mains rule set fits")
    ready_mass: Amount = column(
        MASS, "unknown", says="ready to drive before these electrics, driver and fuel in"
    )
    permitted_mass: Amount = column(MASS, "unknown", says="permitted total mass")
    front_axle: Amount = column(MASS, "unknown", says="permitted on the front axle")
    rear_axle: Amount = column(MASS, "unknown", says="permitted on the rear axle")
    wheelbase: Amount = column(METRES, "unknown", says="front axle to rear axle")
    rear_axle_at: Amount = column(COORDINATE, "unknown", says="x of the rear axle")
    floor_height: Amount | None = column(METRES, otherwise="0.5 to 0.75 m", says="load floor above the road")
    seats: int | Word = column(COUNT, "unknown", says="seats with belts")
    standby: Amount = column(AMPS, "unknown", says="drain of the vehicle's own electronics when parked")


@dataclass(frozen=True, slots=True, kw_only=True)
class Site(Entry):
    """Where the van is used: sun and air."""

    lat: Quantity | Word | None = column(
        DEGREES, says="latitude, north positive; the year needs it, or `weather`"
    )
    lon: Quantity | Word = column(DEGREES, "0", says="longitude, east positive")
    altitude: Amount = column(amount("m", signed=True), "0 m", says="above the sea")
    mean: Curve | None = column(by(CELSIUS, "month"), otherwise="set", says="air, daily mean")
    night: Curve | None = column(by(CELSIUS, "month"), otherwise="set", says="air, daily low")
    day: Curve | None = column(by(CELSIUS, "month"), otherwise="set", says="air, daily high")
    sun_hours: Curve | None = column(
        by(TIME, "month"), otherwise="set", says="mean peak sun hours per day on the panel's plane"
    )
    rainy_sun_hours: Curve | None = column(
        by(TIME, "month"), otherwise="0.25 of sun_hours", says="the same on a rainy day"
    )
    weather: str | None = column(
        TEXT,
        says="an hourly weather file in this folder (EPW, TMY2, TMY3, PVGIS): its sun and air go before the "
        "climate of lat and lon",
    )
    snow_days: Amount = column(SHARE, "0 %", says="share of days with snow on the panel")
    snow_leaves: Amount = column(SHARE, "10 %", says="what is left of the sun on such a day")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits(Entry):
    """Limits changed by this plan. One value is that of a fault; `{watch: ..., fault: ...}` sets both."""

    drop: Curve | None = column(by(SHARE, "level"), otherwise="set", says="ordinary drop, of 12 or 24 V")
    charging_drop: Curve | None = column(by(SHARE, "level"), otherwise="set", says="on a charging path")
    start_drop: Curve | None = column(by(SHARE, "level"), otherwise="set", says="in a start under 10 s")
    dip: Curve | None = column(
        by(VOLTS, "level"), otherwise="set", says="what another load's start may do to a load"
    )
    fuse_distance: Amount | None = column(METRES, otherwise="set", says="unfused length at a source")


@dataclass(frozen=True, slots=True, kw_only=True)
class Contacts(Entry):
    """Resistance per joint."""

    crimp: Amount | None = column(OHMS, otherwise="set", says="a crimp")
    lug: Amount | None = column(OHMS, otherwise="set", says="a pressed lug under a screw")
    stud: Amount | None = column(OHMS, otherwise="set", says="a ring on a stud, to the body")
    body: Amount | None = column(OHMS, otherwise="set", says="the steel between two good studs")
    switch: Amount | None = column(OHMS, otherwise="set", says="a closed switch")
    pin: Amount | None = column(OHMS, otherwise="set", says="a plug pin")
    splice: Amount | None = column(OHMS, otherwise="set", says="a splice")


CONTACTS = Nested("map contacts", "Contacts")


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis(Entry):
    """The tables, limits and figures counted with."""

    cable_rating: str | None = column(
        words("vde_0298_4 iso_10133 abyc_e11 bs_7671 maker"),
        otherwise="by region",
        says="the table of cable currents",
    )
    conductors: str | None = column(
        words("iec_60228_class_5 iec_60228_class_2 awg"),
        otherwise="by region",
        says="the table of conductor resistances",
    )
    insulation: str = column(INSULATION, "PVC 70 °C", says="where neither wire, path nor place says")
    temperature: Amount = column(CELSIUS, "30 °C", says="of the air, where nothing else says")
    bundle: int | Word = column(AT_LEAST_ONE, "1", says="loaded cores together, where nothing else says")
    copper: Amount | None = column(
        CELSIUS, otherwise="worked out", says="pins the copper temperature for drops"
    )
    limit_set: str = column(
        words("workshop en_1648_2 abyc_e11 iso_10133"), "workshop", says="the program's limits that hold"
    )
    limits: Limits = column(
        Nested("map limits", "Limits"), otherwise="set", make=Limits, says="single limits changed"
    )
    contacts: Contacts = column(CONTACTS, otherwise="set", make=Contacts, says="contact resistances, fresh")
    aged: Contacts = column(CONTACTS, otherwise="set", make=Contacts, says="contact resistances after years")
    fuses: Mapping[str, Curve] | None = column(
        map_of(FUSE_TYPE, by(OHMS, "A")), otherwise="set", says="cold resistance of fuses by rating"
    )
    colours: Mapping[str, str] | None = column(
        map_of(TEXT, COLOUR), otherwise="by region", says="colour by function"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Place(Entry):
    """A place in the van; known by name only if it has no coordinates."""

    at: Point | None = column(POINT, otherwise="unknown", says="three coordinates")
    zones: tuple[str, ...] = column(list_of(ZONE), "living", says="what sort of place it is")
    temperature: Curve | None = column(by(CELSIUS, "month"), otherwise="by zone", says="states it outright")
    thermal_lag: Amount | None = column(TIME, otherwise="by zone", says="time constant against outside air")
    heat_loss: Amount | None = column(amount("W/K"), otherwise="by zone", says="of a closed box")


@dataclass(frozen=True, slots=True, kw_only=True)
class Path(Entry):
    """A path: where a loom may run."""

    along: tuple[str | Point, ...] | None = column(
        list_of(STOP, doubt=True),
        otherwise="unknown",
        says="places and points [x, y, z] that it runs past, in order; it takes their zones too",
    )
    length: Amount | None = column(METRES, otherwise="from along", says="measured by string")
    hole: Amount | None = column(METRES, says="smallest hole or grommet; of a closed pipe its bore")
    zones: tuple[str, ...] | None = column(
        list_of(ZONE), otherwise="those of along", says="what sort of place it runs in"
    )
    temperature: Curve | None = column(by(CELSIUS, "month"), otherwise="by zone", says="states it outright")
    conduit: YesNo = column(YES_NO, "no", says="a closed pipe: all in it lies together")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stud(Entry):
    """An earth stud on the body."""

    place: str = column(PLACE, needed=True, says="where it is")
    thread: str = column(TEXT, "M8", says="M6, M8 ...")
    surface: str | Word = column(
        words("bare painted zinc welded unknown"), "bare", says="what is under the ring"
    )
    sealed: YesNo = column(YES_NO, "yes", says="sealed after tightening")
    bolt: str | Word = column(
        words("own seat seat_belt airbag fuel brake door unknown"),
        "own",
        says="own: a stud for earths; else what this bolt of the vehicle holds",
    )
    factory: YesNo = column(YES_NO, "no", says="the vehicle maker's own")
    resistance: Amount | None = column(OHMS, otherwise="contacts.stud", says="ring to body")
    body_to: Mapping[str, Amount] | None = column(
        map_of(STUD, OHMS), otherwise="contacts.body", says="body between this stud and others, if measured"
    )


__all__ = ["Basis", "Contacts", "Limits", "Path", "Place", "Point", "Site", "Stud", "Vehicle", "YesNo"]
