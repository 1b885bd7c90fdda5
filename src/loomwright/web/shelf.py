"""The shelf: every kind of thing that can be added to a van, sorted as one would look for it."""

from __future__ import annotations

from types import MappingProxyType

#: Heading -> kinds, the common ones first.
SHELF = MappingProxyType(
    {
        heading: tuple(kinds.split())
        for heading, kinds in (
            (
                "What uses current",
                "lamp strip water_pump fridge fan usb socket_12v air_heater combi_heater absorption_fridge"
                " cool_box alarm tracker tv router radio amplifier camera gauge valve step lift heat_mat"
                " air_con compressor load standby",
            ),
            (
                "Batteries, and what charges them",
                "battery vehicle_battery alternator b2b solar_panel solar_regulator mains_charger"
                " sensing_relay diode_splitter fuel_cell equaliser vehicle_feed",
            ),
            ("Fuse boxes, bars and joints", "fuse_box busbar splice plug tow_socket shunt diode"),
            (
                "Switches and relays",
                "switch two_way intermediate dimmer relay master_switch selector change_over"
                " low_voltage_cut control_panel sender",
            ),
            ("From one voltage to another", "converter inverter inverter_charger transformer"),
            (
                "Mains (leave the work to a licensed person)",
                "inlet hook_up_lead breaker_box mains_socket appliance generator priority_relay"
                " polarity_lamp",
            ),
        )
    }
)
#: What stands in the form of a new part beforehand. Common practice.
PREFILLED = MappingProxyType(
    {
        "b2b": {"start_on": "d_plus"},
        "fuse_box": {"ways": "6"},
        "solar_regulator": {"regulation": "mppt"},
        "battery": {"chemistry": "agm"},
        "breaker_box": {"ways": "2"},
    }
)
#: What usually has a switch of its own in the feed.
SWITCHED = ("lamp", "strip", "water_pump", "fan", "step", "lift", "heat_mat")
#: Asks for a new switch beside a new part.
NEW_SWITCH = "+switch"
#: Kinds that have a form of their own.
APART = ("unit", "electronics")


def words_of(kind: str) -> str:
    """Return the name of a kind in words.

    Examples
    --------
    >>> words_of("water_pump"), words_of("b2b"), words_of("socket_12v")
    ('water pump', 'battery-to-battery charger', '12 V socket')
    """
    return _WORDS.get(kind, kind.replace("_", " "))


_WORDS = MappingProxyType(
    {
        "b2b": "battery-to-battery charger",
        "battery": "leisure battery",
        "strip": "LED strip",
        "usb": "USB socket",
        "socket_12v": "12 V socket",
        "tv": "television",
        "load": "anything else that uses current",
        "standby": "small standing currents",
        "step": "electric step",
        "lift": "bed or roof lift",
        "two_way": "two-way switch",
        "intermediate": "intermediate switch",
        "low_voltage_cut": "low-voltage cut",
        "sensing_relay": "voltage-sensing split relay",
        "vehicle_feed": "feed or signal of the vehicle",
        "splice": "joint of cables",
        "diode_splitter": "splitter with diodes",
        "sender": "tank sender",
        "unit": "combined unit",
        "electronics": "box of unknown insides",
        "change_over": "change-over switch",
    }
)
