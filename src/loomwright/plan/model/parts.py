"""The parts: one class for every kind. Which fields a kind has stands in `kinds`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loomwright.plan.columns import (
    AMP_HOURS,
    AMPS,
    AREA,
    AT_LEAST_ONE,
    BREAKER,
    CELSIUS,
    CRITERION,
    DEGREES,
    FUSE,
    FUSE_TYPE,
    INNER_PART,
    LIMIT,
    LITRES,
    MASS,
    METRES,
    MONEY,
    NUMBER,
    OHMS,
    OUTPUT_VOLTS,
    PART,
    PART_OR_ANY,
    PLACE,
    POINT,
    POSITION,
    RCD,
    RUNNING,
    SHARE,
    START,
    TEXT,
    TIME,
    VOLTS,
    WATTS,
    YES_NO,
    YIELD,
    EndKind,
    Entries,
    Nested,
    Typed,
    amount,
    by,
    column,
    list_of,
    map_of,
    words,
)
from loomwright.plan.model.entry import Entry
from loomwright.plan.model.van import Point, YesNo
from loomwright.plan.model.wiring import Fuses, Run
from loomwright.plan.values import (
    Amount,
    Breaker,
    Curve,
    End,
    Limit,
    Rcd,
    Running,
    Start,
    Word,
    Yield,
)

_COLD = amount("°C", none=True)
_ROLES = words("plus minus in out signal case")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOff(Entry):
    """What a battery's own management does; NONE: it does not do it."""

    discharge_below: Amount = column(_COLD, "unknown", says="stops discharge below")
    charge_below: Amount = column(_COLD, "unknown", says="stops charge below")
    above: Amount = column(_COLD, "unknown", says="stops all above")


@dataclass(frozen=True, slots=True, kw_only=True)
class Second(Entry):
    """The second output of a charger or regulator."""

    current: Amount = column(AMPS, needed=True, says="most it gives")
    at_float: YesNo = column(YES_NO, "no", says="only when the first output is at float")
    above: Amount | None = column(VOLTS, says="only with the first battery above this")
    below: Amount | None = column(VOLTS, says="only with the first battery below this")


@dataclass(frozen=True, slots=True, kw_only=True)
class Output(Entry):
    """One output of a control panel."""

    switches: str = column(words("plus minus"), needed=True, says="which side it switches")
    rating: Amount = column(AMPS, "unknown", says="most it carries")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part(Entry):
    """A part of any kind. A field name has one meaning in every kind."""

    id: str
    kind: str = column(Typed("kind", str, "lamp"), otherwise="needed, or like", says="what it is, see Kinds")
    like: str | None = column(
        PART, says="as another part (but its name and serial), with the changes given here"
    )
    # common
    name: str | None = column(TEXT, otherwise="id", says="words on the sheets")
    type: str | None = column(TEXT, says="type, for recalls")
    order: str | None = column(TEXT, says="text of the order")
    serial: str | None = column(TEXT, says="serial number")
    source: str | None = column(TEXT, says="where its figures come from")
    place: str | None = column(PLACE, otherwise="unknown", says="where it is")
    at: Point | None = column(POINT, otherwise="of the place", says="its own coordinates")
    voltage: Amount | None = column(
        VOLTS, otherwise="system or mains", says="voltage class; a range is permitted"
    )
    count: int | Word = column(AT_LEAST_ONE, "1", says="how many alike, wired as one")
    mass: Amount = column(MASS, "unknown", says="of each")
    price: Amount = column(MONEY, "unknown", says="of each")
    heat: Amount = column(WATTS, "unknown", says="heat given off, each")
    status: str = column(words("new existing to_remove"), "new", says="to be fitted, there, or to go")
    ip: str | None = column(TEXT, otherwise="unknown", says="protection, IP44")
    ambient: Amount = column(CELSIUS, "unknown", says="permitted air")
    takes: Amount = column(AREA, "unknown", says="wire range of its terminals")
    posts: Mapping[str, str] = column(
        map_of(TEXT, TEXT),
        says="what goes on its terminals: `{plus: M8, all: 6.3 mm}`: thread, tab, ferrule, splice, bare",
    )
    lead: Amount | None = column(AREA, otherwise="none", says="of the thinnest lead that it comes with")
    rating: Amount = column(AMPS, "unknown", says="of contacts, bars, pins, sockets")
    resistance: Curve | None = column(
        by(OHMS, "°C"), otherwise="by kind", says="internal, of the contact or of the coil path"
    )
    terminals: Mapping[str, str] = column(map_of(TEXT, _ROLES), says="further terminals and their roles")
    settings: Mapping[str, str] = column(map_of(TEXT, TEXT), says="what is dialled in")
    wired: YesNo = column(YES_NO, "yes", says="no: counted in energy and mass only")
    # consumer
    running: Running = column(
        RUNNING, "unknown", says="A constant current, W constant power, Ω or `behaves` resistive"
    )
    start: Start = column(START, "none", says="in its start")
    standby: Amount = column(AMPS, "0 A", says="off, still connected")
    average: Running | None = column(RUNNING, says="mean, if it varies")
    down_to: Running | None = column(RUNNING, says="lowest setting")
    behaves: str | None = column(
        words("current power resistance"),
        otherwise="by unit and kind",
        says="how its current goes with volts",
    )
    cut_out: Limit | None = column(
        LIMIT, otherwise="by kind, else none", says="stops below, at its own terminals"
    )
    cut_in: Amount | None = column(
        amount("V", none=True), otherwise="by kind, else none", says="starts again at"
    )
    factory_cut_out: Amount | None = column(
        amount("V", none=True), otherwise="by kind, else none", says="as delivered, if it can be set"
    )
    duty: Curve | None = column(
        by(SHARE, "°C"), otherwise="by kind", says="share of the time a thermostat runs it"
    )
    keep_on: YesNo = column(
        YES_NO,
        otherwise="no; air_heater, combi_heater, alarm, tracker: yes",
        make=bool,
        says="must keep its supply with the master off",
    )
    own_switch: YesNo = column(YES_NO, "no", says="has a switch of its own")
    pressure_switch: YesNo = column(YES_NO, "no", says="runs by pressure, inside the appliance")
    case: str = column(
        words("isolated minus"), "isolated", says="minus: metal case joined to minus and screwed to the body"
    )
    works: str = column(TEXT, "always", says="`below 0 °C`, `engine running`")
    # batteries
    chemistry: str | Word | None = column(words("flooded efb agm gel lifepo4 unknown"), says="of a battery")
    capacity: Amount | None = column(AMP_HOURS, otherwise="by chemistry", says="at 20 h")
    capacity_at: Curve | None = column(
        by(SHARE, "°C"), otherwise="by chemistry", says="share of it when cold"
    )
    usable: Amount | None = column(SHARE, otherwise="by chemistry", says="share of it that may be used")
    open_circuit: Curve | None = column(by(VOLTS, "%"), otherwise="by chemistry", says="resting volts")
    peukert: Amount | None = column(NUMBER, otherwise="by chemistry", says="exponent")
    charge_limit: Amount | None = column(AMPS, otherwise="by chemistry", says="most it may be charged with")
    discharge_limit: Amount | None = column(AMPS, otherwise="by chemistry", says="most it may give")
    charge_temperature: Amount | None = column(
        CELSIUS, otherwise="by chemistry", says="cells may be charged in this range"
    )
    cut_off: CutOff | None = column(
        Nested("map cut_off", "CutOff"), otherwise="unknown", says="what its own management does"
    )
    charge_efficiency: Amount | None = column(SHARE, otherwise="by chemistry", says="Ah out per Ah in")
    self_discharge: Amount | None = column(SHARE, otherwise="by chemistry", says="per month")
    age: Amount = column(TIME, "0 years", says="of the battery")
    vent: str | Word = column(words("none box hose unknown"), "unknown", says="to the outside by box or hose")
    clamp: YesNo = column(YES_NO, "yes", says="held down")
    heat_pad: Amount | None = column(amount("W", none=True), otherwise="none", says="warms it for charging")
    joined: str | None = column(
        words("diagonal same_end bars series parallel"), says="how `count` batteries or panels are joined"
    )
    # sources and chargers
    current: Amount = column(AMPS, "unknown", says="rated output; mains parts: draw")
    power: Amount = column(WATTS, "unknown", says="rated output; mains parts: draw")
    controlled: YesNo = column(YES_NO, "unknown", says="alternator under engine management")
    charges: str | None = column(PART, says="the battery of the alternator")
    form: str = column(words("alternator dc_dc"), "alternator", says="dc_dc: hybrid or electric base vehicle")
    output: Mapping[str, Limit] | None = column(
        OUTPUT_VOLTS,
        otherwise="by kind",
        says='volts; one value (key ""), alternator: by start cruise overrun tow',
    )
    tilt: Amount = column(DEGREES, "0", says="0 is flat")
    azimuth: Amount = column(DEGREES, "180", says="180 is south")
    shade: Amount = column(SHARE, "0 %", says="of the sun, lost")
    portable: YesNo = column(YES_NO, "no", says="a folding panel")
    working_volts: Amount | None = column(VOLTS, otherwise="by power", says="panel at its best point")
    working_current: Amount | None = column(
        AMPS, otherwise="by power", says="panel at its best point; of all `count` together as joined"
    )
    short_current: Amount | None = column(
        AMPS, otherwise="by power", says="panel shorted; of all `count` together as joined"
    )
    efficiency: Amount | None = column(SHARE, otherwise="by kind", says="out per in")
    idle: Amount | None = column(AMPS, otherwise="by kind", says="drawn for itself")
    profile: str | None = column(TEXT, otherwise="by kind", says="charging curve set")
    probe: str = column(
        words("none input fitted"), "none", says="input: could take a temperature probe, none is fitted"
    )
    start_on: tuple[str, ...] | None = column(
        list_of(CRITERION, doubt=True), says="what it starts on; several: all must hold"
    )
    input_min: Amount = column(VOLTS, "unknown", says="least input")
    regulation: str | None = column(words("pwm mppt"), says="of a solar regulator")
    yield_: Yield | None = column(
        YIELD, otherwise="by regulation", says="panel to battery, and the battery volts counted with"
    )
    second: Second | None = column(
        Nested("map second", "Second", absent=True), otherwise="none", says="second output"
    )
    fold_back: Amount | None = column(
        AMPS, otherwise="by current", says="a converter gives no more, even shorted"
    )
    derate: Curve | None = column(
        by(SHARE, "°C"), otherwise="100 %", says="share of its rating that it still gives, by its sheet"
    )
    isolated: YesNo = column(YES_NO, "no", says="output minus apart from input minus")
    peak: Start = column(START, "unknown", says="of an inverter")
    alarm: Amount = column(VOLTS, "unknown", says="inverter warns below")
    neutral_bond: str | Word = column(
        words("none fixed relay disabled external unknown"),
        "unknown",
        says="neutral to earth, in the inverter",
    )
    transfer: Amount = column(AMPS, "unknown", says="inverter_charger: passes through")
    charge_current: Amount = column(
        AMPS, "unknown", says="inverter_charger: charges with; 0 A: a transfer relay only"
    )
    # boxes, contacts
    ways: int | Word | None = column(AT_LEAST_ONE, says="ways of a box")
    pins: int | Word | None = column(AT_LEAST_ONE, says="pins of a plug or socket")
    poles: int | Word = column(AT_LEAST_ONE, "1", says="poles of a switch")
    fuse_type: str | Word = column(FUSE_TYPE, "blade", says="what the box takes")
    main_fuse: Fuses = column(FUSE, "none", says="before all ways")
    minus_rail: YesNo = column(YES_NO, "no", says="the box carries a minus bar, `P1.minus`")
    drop: Amount = column(VOLTS, "0.7 V", says="of a diode")
    by: str = column(
        words("switch plug contactor relay"), "switch", says="what moves a change-over or master"
    )
    rests: str | None = column(
        TEXT, otherwise="off (by kind)", says="state when untouched or unpowered; see `kinds.rest_state`"
    )
    positions: Mapping[str, tuple[tuple[str, str], ...]] = column(
        map_of(TEXT, POSITION), says="`{vehicle: com-vehicle, off: none, leisure: com-leisure}`"
    )
    contact: str = column(words("on_off change_over"), "on_off", says="change_over has 87a")
    coil: Amount = column(AMPS, "unknown", says="current of the coil")
    coil_voltage: Amount | None = column(VOLTS, otherwise="voltage", says="of the coil")
    latching: YesNo = column(YES_NO, "no", says="keeps its state without current")
    diode: YesNo = column(YES_NO, "no", says="diode across the coil")
    coil_plus: str = column(words("85 86"), "86", says="which side its + mark is on")
    off_while: End | None = column(EndKind("end", "plain"), says="held off while that end is live")
    delay: Amount = column(TIME, "0 s", says="before it acts")
    sense: str = column(words("one_way two_way"), "one_way", says="senses `a` only, or both sides")
    switches: str = column(words("plus minus"), "plus", says="which side a dimmer switches")
    frequency: Amount = column(amount("Hz"), "unknown", says="of a dimmer")
    outputs: Mapping[str, Output] = column(
        map_of(TEXT, Nested("output", "Output")), says="`{pump: {switches: minus, rating: 0.10 A}}`"
    )
    ports: Mapping[str, End] = column(
        map_of(TEXT, EndKind("end", "inner")), says="of a composite: port to inner end"
    )
    inside: Inside | None = column(Nested("map inside", "Inside"), says="its own parts and wiring")
    # signals, tanks, appliances, mains
    live: str | None = column(
        words("always ignition engine lights reversing brake d_plus"), says="when a vehicle feed is live"
    )
    monitored: YesNo = column(YES_NO, "unknown", says="the vehicle watches that lamp circuit")
    draws: Mapping[str, Amount] | None = column(
        map_of(TEXT, AMPS), otherwise="unknown", says="of a tow socket, by pin"
    )
    tank: Amount = column(LITRES, "unknown", says="of a sender")
    empty: Amount = column(OHMS, "unknown", says="sender, tank empty")
    full: Amount = column(OHMS, "unknown", says="sender, tank full")
    sender_current: Amount = column(AMPS, "unknown", says="measuring current of a gauge")
    purge: Amount | None = column(TIME, otherwise="by kind", says="must run on after stopping")
    igniter: Running | None = column(RUNNING, otherwise="none", says="of an absorption fridge")
    per_metre: Amount = column(amount("W/m"), "unknown", says="of a strip")
    length: Amount = column(METRES, "unknown", says="strip or lead")
    area: Amount = column(AREA, "unknown", says="of a lead")
    includes: tuple[str, ...] = column(list_of(INNER_PART), says="parts whose standby is in this sum")
    factory_drain: Amount = column(AMPS, "unknown", says="drain on the vehicle battery")
    wound: YesNo = column(YES_NO, "no", says="a lead that stays on its reel in use")
    lid: YesNo = column(YES_NO, "unknown", says="of an inlet")
    notice: YesNo = column(YES_NO, "unknown", says="at an inlet")
    flap: YesNo = column(YES_NO, "unknown", says="of a socket")
    rcd: Rcd = column(RCD, "unknown", says="its RCD")
    main_breaker: Breaker = column(BREAKER, "none", says="of a breaker box")
    plugged: str = column(PART_OR_ANY, "any", says="the socket of an appliance")
    lasting: YesNo | None = column(
        YES_NO, otherwise="by its name", says="appliance: runs on for hours (heater), not minutes (kettle)"
    )
    priority: tuple[str, ...] = column(list_of(PART), says="dropped first to last")


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside(Entry):
    """The inner network of a composite part."""

    parts: Mapping[str, Part] = column(Entries("parts", Nested("part", "Part"), "part"), says="its own parts")
    wiring: Mapping[str, Run] = column(Entries("wiring", Nested("run", "Run"), "run"), says="its own wiring")


__all__ = ["CutOff", "Inside", "Output", "Part", "Second"]
