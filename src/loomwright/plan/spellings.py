"""The units of a plan, and every way in which people write them: one row for each kind of quantity.

`gal` is the US gallon and a year has 365.25 days.

Sources: the inch, foot, pound and US gallon are exact by definition (NIST Handbook 44, Appendix C; from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Unit:
    """One kind of quantity: its unit, what people call it, an example and the ways to write it.

    `spellings` leads from each way to the unit: an int is a power of ten (exact), a float a factor.
    """

    unit: str
    called: str
    example: str
    spellings: dict[str, int | float]
    signed: bool = False


_DAY, _YEAR = 86_400.0, 365.25 * 86_400.0

UNITS = MappingProxyType(
    {
        entry.unit: entry
        for entry in (
            Unit("A", "a current", "15 A", {"A": 0, "mA": -3, "kA": 3}),
            Unit("V", "a voltage", "12.8 V", {"V": 0, "mV": -3, "kV": 3}),
            Unit("Ω", "a resistance", "5 mΩ", {"Ω": 0, "mΩ": -3, "kΩ": 3, "ohm": 0, "mohm": -3, "kohm": 3}),
            Unit("W", "a power", "40 W", {"W": 0, "mW": -3, "kW": 3, "VA": 0, "kVA": 3, "Wp": 0, "kWp": 3}),
            Unit("Wh", "an energy", "600 Wh", {"Wh": 0, "kWh": 3}),
            Unit("Ah", "a charge", "95 Ah", {"Ah": 0, "mAh": -3}),
            Unit("m", "a length", "2.4 m", {"m": 0, "cm": -2, "mm": -3, "ft": 0.3048, "in": 0.0254}),
            Unit("mm²", "a cross-section", "2.5 mm²", {"mm²": 0, "mm2": 0, "mm^2": 0}),
            Unit(
                "s",
                "a time",
                "30 s",
                {"s": 0, "ms": -3, "min": 60.0, "h": 3600.0}
                | {"day": _DAY, "days": _DAY, "year": _YEAR, "years": _YEAR},
            ),
            Unit("°C", "a temperature", "25 °C", {"°C": 0, "C": 0, "°F": 0}, signed=True),
            Unit("kg", "a mass", "24 kg", {"kg": 0, "g": -3, "lb": 0.45359237}),
            Unit("l", "a volume", "80 l", {"l": 0, "L": 0, "gal": 3.785411784}),
            Unit("W/m", "a power per metre", "14.4 W/m", {"W/m": 0}),
            Unit("W/K", "a heat loss", "1.0 W/K", {"W/K": 0}),
            Unit("fraction", "a share", "30 %", {"%": -2}),
            Unit("Hz", "a frequency", "200 Hz", {"Hz": 0, "kHz": 3}),
            Unit("Ah/h", "a charge per hour", "25 Ah/h", {"Ah/h": 0}),
        )
    }
)

#: What people write when they mean a unit, where a likeness of letters would not find it.
MEANT = MappingProxyType(
    {
        "amp": "A",
        "amps": "A",
        "ampere": "A",
        "amperes": "A",
        "volt": "V",
        "volts": "V",
        "watt": "W",
        "watts": "W",
    }
    | {"ohms": "ohm", "Ohm": "ohm", "R": "ohm", "metre": "m", "metres": "m", "meter": "m", "meters": "m"}
    | {"M": "m", "mm": "mm²", "sqmm": "mm²", "qmm": "mm²", "mmq": "mm²", "mm 2": "mm²", "awg": "AWG"}
    | {
        "hour": "h",
        "hours": "h",
        "hrs": "h",
        "hr": "h",
        "mins": "min",
        "minutes": "min",
        "sec": "s",
        "secs": "s",
    }
    | {
        "seconds": "s",
        "feet": "ft",
        "foot": "ft",
        "inch": "in",
        "inches": "in",
        '"': "in",
        "'": "ft",
        "d": "days",
    }
    | {
        "litre": "l",
        "litres": "l",
        "liter": "l",
        "liters": "l",
        "kilo": "kg",
        "kgs": "kg",
        "lbs": "lb",
        "F": "°F",
    }
    | {
        "percent": "%",
        "per cent": "%",
        "°": "°C",
        "degC": "°C",
        "AH": "Ah",
        "ah": "Ah",
        "WH": "Wh",
        "wh": "Wh",
    }
)
