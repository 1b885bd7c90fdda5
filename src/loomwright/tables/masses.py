"""What parts weigh where a plan does not say: a band by kind, wide enough to hold what is on sale.

Sources: data sheets of the trade as they are remembered. Weigh what matters.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source
from loomwright.units import Band

MASS_SOURCE = Source(work="common practice", place="masses of parts on sale, by kind", checked="from memory")
#: A battery of 12 V by its chemistry. [kg/Ah]
BATTERY_KG_PER_AH: Mapping[str, Band] = MappingProxyType(
    dict.fromkeys(("flooded", "efb"), Band(0.18, 0.30))
    | dict.fromkeys(("agm", "gel"), Band(0.24, 0.36))
    | {"lifepo4": Band(0.08, 0.16), "unknown": Band(0.08, 0.36)}
)
#: A solar panel, flexible to framed. [kg/W]
PANEL_KG_PER_W = Band(0.02, 0.08)
#: An inverter. [kg/W]
INVERTER_KG_PER_W = Band(0.0015, 0.012)
#: Others. [kg]
MASS_KG: Mapping[str, Band] = MappingProxyType(
    {
        "b2b": Band(0.5, 3.0),
        "solar_regulator": Band(0.2, 1.5),
        "mains_charger": Band(0.8, 5.0),
        "converter": Band(0.2, 1.5),
        "inverter_charger": Band(6.0, 30.0),
        "fuse_box": Band(0.2, 1.5),
        "busbar": Band(0.1, 0.8),
        "splice": Band(0.0, 0.05),
        "plug": Band(0.01, 0.2),
        "shunt": Band(0.1, 0.4),
        "diode": Band(0.01, 0.1),
        "diode_splitter": Band(0.5, 2.5),
        "switch": Band(0.02, 0.15),
        "two_way": Band(0.02, 0.15),
        "intermediate": Band(0.02, 0.15),
        "selector": Band(0.1, 0.6),
        "master_switch": Band(0.1, 0.8),
        "change_over": Band(0.1, 2.0),
        "relay": Band(0.03, 0.3),
        "sensing_relay": Band(0.2, 0.8),
        "low_voltage_cut": Band(0.05, 0.6),
        "dimmer": Band(0.03, 0.2),
        "control_panel": Band(0.2, 1.0),
        "fridge": Band(9.0, 40.0),
        "absorption_fridge": Band(20.0, 45.0),
        "air_heater": Band(2.5, 8.0),
        "combi_heater": Band(12.0, 20.0),
        "lamp": Band(0.03, 0.4),
        "strip": Band(0.03, 0.3),
        "fan": Band(0.1, 6.0),
        "water_pump": Band(0.4, 3.0),
        "usb": Band(0.03, 0.2),
        "socket_12v": Band(0.03, 0.2),
        "tv": Band(2.0, 7.0),
        "router": Band(0.2, 1.0),
        "radio": Band(0.5, 2.0),
        "alarm": Band(0.1, 0.4),
        "tracker": Band(0.05, 0.2),
        "camera": Band(0.1, 0.5),
        "amplifier": Band(0.3, 3.0),
        "gauge": Band(0.05, 0.3),
        "sender": Band(0.05, 0.5),
        "inlet": Band(0.2, 0.8),
        "breaker_box": Band(0.3, 2.0),
        "mains_socket": Band(0.05, 0.3),
        "heat_mat": Band(0.2, 1.5),
        "valve": Band(0.1, 0.6),
        "unit": Band(1.0, 12.0),
        "air_con": Band(20.0, 45.0),
    }
)
