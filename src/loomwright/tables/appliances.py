"""Usual currents of things in a van, counted with where the plan gives no figure.

Planning bands at 12 V, from small to large appliances of the kind; halve them on 24 V. They are here so that
an unknown figure gives a band and not a silent guess.
"""

from __future__ import annotations

from types import MappingProxyType

from loomwright.source import Source

APPLIANCE_SOURCE = Source(
    work="common practice", place="usual currents of camper appliances", checked="common practice"
)

#: Running current at 12 V by kind of part, small to large. [A]
USUAL_RUNNING_A = MappingProxyType(
    {
        "fridge": (3.0, 6.0),
        "absorption_fridge": (8.0, 15.0),
        "air_heater": (0.5, 3.5),
        "combi_heater": (1.0, 6.0),
        "strip": (0.3, 2.0),
        "lamp": (0.1, 2.0),
        "gauge": (0.01, 0.1),
        "amplifier": (0.2, 10.0),
        "camera": (0.1, 0.5),
        "alarm": (0.005, 0.1),
        "tracker": (0.005, 0.1),
        "water_pump": (3.0, 8.0),
        "cool_box": (3.0, 6.0),
        "fan": (0.2, 4.0),
        "usb": (1.0, 4.5),
        "socket_12v": (1.0, 10.0),
        "tv": (1.0, 4.0),
        "router": (0.5, 2.0),
        "radio": (0.5, 5.0),
        "step": (2.0, 10.0),
        "lift": (5.0, 20.0),
        "heat_mat": (2.0, 8.0),
        "air_con": (20.0, 60.0),
        "compressor": (10.0, 30.0),
        "valve": (0.3, 1.0),
        "electronics": (0.01, 1.0),
        "load": (0.1, 10.0),
    }
)

#: Coil of a vehicle relay at 12 V. [A]
USUAL_COIL_A = (0.10, 0.20)

#: What a signal input, a panel or a level display draws. [A]
USUAL_SIGNAL_A = (0.005, 0.05)

#: Efficiency of battery-to-battery chargers and converters, and of inverters near full load.
USUAL_CHARGER_EFFICIENCY = (0.85, 0.95)
USUAL_INVERTER_EFFICIENCY = (0.82, 0.92)

#: What an inverter takes at 12 V while it is on and nothing hangs on it. [A]
USUAL_INVERTER_IDLE_A = (0.2, 2.5)

#: Volts of a panel for 12 V batteries at its best point (36 cells). [V]
USUAL_PANEL_V = (17.0, 19.0)

#: Volts that a charger for lead batteries gives while it charges hard. [V]
USUAL_CHARGING_V = 14.4

#: Words in the name of a mains appliance that runs for minutes at a time, not on and on. Common practice.
SHORT_RUNS = (
    "kettle",
    "toaster",
    "hair dryer",
    "hairdryer",
    "microwave",
    "coffee",
    "espresso",
    "blender",
    "mixer",
    "shaver",
    "iron",
    "saw",
    "grinder",
    "drill",
    "vacuum",
)
