"""The table of kinds of parts: terminals, usual ends, states, fields. `kinds` answers for one part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

Pair = tuple[str, str]


def _names(text: str) -> tuple[str, ...]:
    return tuple(text.split())


_CONSUMER = _names(
    "running start standby average down_to behaves cut_out cut_in factory_cut_out duty keep_on own_switch"
    " pressure_switch case works"
)
#: Fields that every part may have.
COMMON = _names(
    "kind like name type order serial source place at voltage count mass price heat status ip ambient takes"
    " posts lead rating resistance terminals settings wired note photo"
)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the table of kinds.

    Attributes
    ----------
    terminals : tuple of str
        Those that every part of the kind has.
    to, from_ : str or None
        The terminal that the bare name means as the end or the start of a wire; "" where the part is one
        node, None where a terminal has to be named.
    states : mapping
        State to the passages closed in it.
    always : tuple of pairs
        Passages that are always closed and may stand in `through`.
    own, needed : tuple of str
        Fields besides the common ones; those of them that can't be left out.
    mains : tuple of str
        Terminals of the mains side; "*" for all but the earth.
    rests : str or None
        The state when untouched.
    defaults : mapping
        Values of fields that this kind has where others differ.
    says : str
        What it is, for the manual.
    """

    terminals: tuple[str, ...]
    to: str | None
    from_: str | None
    states: Mapping[str, tuple[Pair, ...]]
    always: tuple[Pair, ...]
    own: tuple[str, ...]
    needed: tuple[str, ...]
    consumer: bool
    mains: tuple[str, ...]
    rests: str | None
    defaults: Mapping[str, object]
    says: str


def _pairs(text: str) -> tuple[Pair, ...]:
    found = []
    for word in text.split():
        first, _, second = word.partition("-")
        found.append((first, second))
    return tuple(found)


def _row(
    terminals: str = "",
    usual: str = "– / –",
    own: str = "",
    *,
    states: Mapping[str, str] | None = None,
    always: str = "",
    mains: str = "",
    rests: str | None = None,
    consumer: bool = False,
    defaults: Mapping[str, object] | None = None,
    says: str,
) -> Row:
    """Make a row; a `*` after a field in `own` marks it as needed."""
    to, from_ = (None if end == "–" else "" if end == "itself" else end for end in usual.split(" / "))
    names = _names(own)
    return Row(
        _names(terminals),
        to,
        from_,
        {state: _pairs(closed) for state, closed in (states or {}).items()},
        _pairs(always),
        tuple(name.rstrip("*") for name in names) + (_CONSUMER if consumer else ()),
        tuple(name.rstrip("*") for name in names if name.endswith("*")),
        consumer,
        _names(mains),
        rests,
        defaults or {},
        says,
    )


_BATTERY = (
    "capacity_at usable open_circuit peukert charge_limit discharge_limit charge_temperature"
    " charge_efficiency self_discharge cut_off age vent clamp joined heat_pad"
)
_INVERTER = "power* peak efficiency alarm cut_out cut_in idle neutral_bond rcd derate"
_ON_OFF = {"off": "", "on": "in-out in_2-out_2"}
_STAYS = {"keep_on": True}


def _load(says: str) -> Row:
    return _row("plus minus", "plus / –", consumer=True, says=says)


KINDS: Mapping[str, Row] = MappingProxyType(
    {
        # sources, storage, chargers
        "battery": _row(
            "plus minus", "plus / plus", f"chemistry* capacity* {_BATTERY}", says="house battery"
        ),
        "vehicle_battery": _row(
            "plus minus",
            "plus / plus",
            f"chemistry capacity {_BATTERY} factory_drain",
            says="starter battery; its minus is on the body",
        ),
        "alternator": _row(
            "plus d_plus",
            "– / plus",
            "current output controlled charges form",
            says="on the vehicle's engine",
        ),
        "vehicle_feed": _row("plus", "– / plus", "live* monitored", says="a feed or signal of the vehicle"),
        "solar_panel": _row(
            "plus minus",
            "– / plus",
            "power* tilt azimuth working_volts working_current short_current shade portable joined",
            says="one or several solar panels",
        ),
        "fuel_cell": _row("plus minus", "– / plus", "current power", says="charges by itself"),
        "generator": _row("out", "– / out", "power rcd neutral_bond", mains="*", says="mains from an engine"),
        "b2b": _row(
            "in out minus signal probe panel",
            "in / out",
            "current* output efficiency idle profile probe start_on* input_min derate",
            says="charges one battery from another",
        ),
        "solar_regulator": _row(
            "panel panel_minus battery battery_minus second",
            "panel / battery",
            "regulation* current yield profile probe second idle derate",
            says="between panel and battery",
        ),
        "mains_charger": _row(
            "mains plus minus second",
            "mains / plus",
            "current output power profile probe second derate",
            mains="mains",
            says="charges from the mains",
        ),
        "converter": _row(
            "in out minus out_minus",
            "in / out",
            "output* current efficiency fold_back idle isolated derate",
            says="from one DC voltage to another",
        ),
        "inverter": _row(
            "plus minus case out remote", "plus / out", _INVERTER, mains="out", says="DC to mains"
        ),
        "inverter_charger": _row(
            "plus minus case in out remote",
            "plus / out",
            f"{_INVERTER} transfer charge_current output profile probe",
            mains="in out",
            says="inverter that passes hook-up through and charges",
        ),
        "transformer": _row("in out", "in / out", "power", mains="*", says="isolates or changes the mains"),
        "equaliser": _row(
            "plus mid minus", "plus / plus", "current", says="balances two batteries in series"
        ),
        # boxes, bars, contacts
        "fuse_box": _row("in", "in / –", "ways* fuse_type minus_rail main_fuse", says="fuses side by side"),
        "busbar": _row("", "itself / itself", says="a bar; one node, no terminal names"),
        "splice": _row("", "itself / itself", says="a joint of cables; one node"),
        "plug": _row(
            "",
            "– / –",
            "pins*",
            says="plug and socket; a pin as `to` is its fixed half, as `from` its loose half",
        ),
        "shunt": _row(
            "load battery",
            "load / battery",
            "idle",
            always="load-battery",
            says="measures; current both ways",
        ),
        "diode": _row("a k", "a / k", "drop", always="a-k", says="lets current from a to k only"),
        "diode_splitter": _row(
            "in out_1 out_2", "in / –", "drop", always="in-out_1 in-out_2", says="charges two batteries apart"
        ),
        "switch": _row(
            "in out", "in / out", "poles rests by coil", states=_ON_OFF, rests="off", says="an on-off switch"
        ),
        "master_switch": _row(
            "in out",
            "in / out",
            "poles rests by coil",
            states=_ON_OFF,
            rests="on",
            says="cuts the battery off",
        ),
        "two_way": _row(
            "com a b",
            "com / com",
            "rests",
            states={"a": "com-a", "b": "com-b"},
            rests="a",
            says="one of a pair",
        ),
        "intermediate": _row(
            "a1 b1 a2 b2",
            "– / –",
            "rests",
            states={"straight": "a1-a2 b1-b2", "crossed": "a1-b2 b1-a2"},
            rests="straight",
            says="between two two-way switches",
        ),
        "selector": _row("com", "– / com", "positions* rests", says="one of several; by `positions`"),
        "change_over": _row(
            "in_1 in_2 out",
            "– / out",
            "by poles rests",
            states={"1": "in_1-out", "0": "", "2": "in_2-out"},
            rests="0",
            says="from one of two sources",
        ),
        "relay": _row(
            "30 87 85 86",
            "30 / 87",
            "contact coil coil_voltage latching diode coil_plus off_while cut_out cut_in delay rests",
            states={"off": "30-87a", "on": "30-87"},
            rests="off",
            says="closed while its coil 85, 86 is fed; cut_out: lets go below, at 87",
        ),
        "sensing_relay": _row(
            "a b minus",
            "a / b",
            "cut_in cut_out delay sense idle",
            states={"open": "", "closed": "a-b"},
            rests="open",
            says="joins two batteries above cut_in after the delay, until cut_out",
        ),
        "low_voltage_cut": _row(
            "in out minus",
            "in / out",
            "cut_in cut_out delay idle",
            states={"open": "", "closed": "in-out"},
            rests="closed",
            says="opens below cut_out for the delay",
        ),
        "dimmer": _row(
            "in out minus",
            "in / out",
            "switches frequency",
            states={"off": "", "on": "in-out"},
            rests="off",
            says="any percent; one that switches the minus stands in the return",
        ),
        "control_panel": _row("plus minus", "plus / –", "outputs* idle", says="each output is on or off"),
        "unit": _row("", "– / –", "ports* inside*", says="a composite: a box with an inner network"),
        # consumers
        "fridge": _row(
            "plus minus mains", "plus / –", "power", consumer=True, mains="mains", says="with a compressor"
        ),
        "absorption_fridge": _row(
            "plus minus igniter mains",
            "plus / –",
            "igniter power",
            consumer=True,
            mains="mains",
            says="its 12 V element is a resistance",
        ),
        "air_heater": _row(
            "plus minus signal mains",
            "plus / –",
            "purge power",
            consumer=True,
            mains="mains",
            defaults=_STAYS,
            says="burns fuel or gas, blows air",
        ),
        "combi_heater": _row(
            "plus minus signal mains",
            "plus / –",
            "purge power",
            consumer=True,
            mains="mains",
            defaults=_STAYS,
            says="warms air and water",
        ),
        "strip": _row("plus minus", "plus / –", "per_metre length", consumer=True, says="LED strip"),
        "gauge": _row("plus minus sender", "plus / –", "sender_current", consumer=True, says="shows a level"),
        "sender": _row("signal minus", "signal / –", "tank empty full", says="in a tank"),
        "amplifier": _row("plus minus signal", "plus / –", consumer=True, says="for sound"),
        "camera": _row("plus minus signal", "plus / –", consumer=True, says="for reversing"),
        "tow_socket": _row("", "– / –", "pins* draws", says="for a trailer"),
        "alarm": _row(
            "plus minus", "plus / –", consumer=True, defaults=_STAYS, says="CO, gas, smoke, intruder"
        ),
        "tracker": _row("plus minus", "plus / –", consumer=True, defaults=_STAYS, says="reports where it is"),
        "water_pump": _load("fresh, grey or shower pump"),
        "cool_box": _load("thermoelectric or compressor box"),
        "fan": _load("roof, fridge or room fan"),
        "lamp": _load("any lamp but a strip"),
        "usb": _load("USB supply"),
        "socket_12v": _load("12 V socket"),
        "tv": _load("television"),
        "router": _load("data by radio"),
        "radio": _load("radio, CB"),
        "step": _load("electric step"),
        "lift": _load("electric bed or roof lift"),
        "heat_mat": _load("heating mat or pad"),
        "air_con": _load("air conditioner fed from the battery; one on the mains is an appliance"),
        "compressor": _load("air compressor"),
        "valve": _load("electric valve"),
        "electronics": _load("a box of unknown insides; may need `terminals`"),
        "load": _load("what only takes current and is none of the others"),
        "standby": _row(
            "", "– / –", "running* includes", says="small standing currents as one sum, never wired"
        ),
        # mains
        "hook_up_lead": _row("", "– / –", "length area wound", says="outside the van"),
        "inlet": _row("out", "– / out", "lid notice", mains="*", says="where hook-up comes in"),
        "breaker_box": _row(
            "in earth", "in / –", "ways* rcd main_breaker", mains="*", says="RCD and breakers side by side"
        ),
        "mains_socket": _row(
            "in load",
            "in / in",
            "flap rcd",
            mains="*",
            says="an RCD in the socket protects what hangs on `load`, not what hangs on `in`",
        ),
        "appliance": _row(
            "in", "in / –", "power start plugged lasting", mains="*", says="on the mains, plugged in or wired"
        ),
        "priority_relay": _row(
            "in out", "in / out", "priority* power", always="in-out", mains="*", says="drops loads in order"
        ),
        "polarity_lamp": _row("in", "in / –", mains="*", says="shows crossed line and neutral"),
    }
)
