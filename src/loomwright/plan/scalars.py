"""Quantities, counts, dates and words as people type them: text in, value out.

A quantity carries its unit and is turned into the one unit of its kind (see `values`). A comma or a
point may mark the decimals; nothing else may stand inside a number, so that `1,000 W` is never read
as one watt. A text that can't be read raises `Misread`, whose message says what was read, what is
expected and how to write it; the reader adds the place.

`gal` is the US gallon and a year has 365.25 days. Nothing is rounded.

Sources: ASTM B258 (wire gauge). The inch, foot, pound and US gallon are exact by definition (NIST
Handbook 44, Appendix C; from memory).
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.plan.near import nearest
from loomwright.plan.values import AUTO, NONE, UNKNOWN, Amount, Quantity, Word
from loomwright.source import Source

AWG_SOURCE = Source(work="ASTM B258", place="definition of the gauge", checked="from memory")

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
#: The same written out, as people say them.
MONTH_NAMES = dict(
    zip(
        MONTHS,
        ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
         "November", "December"),
        strict=True,
    )
)  # fmt: skip
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun", "daily", "weekdays", "weekends")


class Misread(ValueError):  # noqa: N818 - not an error of the program: the reader makes it a Problem
    """A text that is not of the kind asked for; the message is meant for the author of the plan."""


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
_MEANT = MappingProxyType(
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

_NUMBER = re.compile(r"([+\-−]?)(\d+(?:[.,]\d+)?|[.,]\d+)\s*(.*)", re.DOTALL)
_THOUSANDS = re.compile(r"[+\-−]?[1-9]\d{0,2}(?:,\d{3}|[ '\u00a0\u202f]\d{3}(?!\d)|\.\d{3}[.,])")
_GAUGE = re.compile(r"(\d{1,2})(/0)? ?AWG")


def awg_area_mm2(gauge: int) -> float:
    """Return the cross-section of a solid round wire of an American gauge.

    Parameters
    ----------
    gauge : int
        10 for 10 AWG; 0 for 1/0, -1 for 2/0, -2 for 3/0, -3 for 4/0.

    Returns
    -------
    float
        π/4 · d², with d = 0.127 mm · 92^((36 - gauge) / 39). [mm²]

    Examples
    --------
    >>> round(awg_area_mm2(10), 3)
    5.261

    References
    ----------
    ASTM B258: 0.0050 in at 36, 0.4600 in at 4/0, a geometric series between.
    """
    diameter_mm = 0.127 * 92.0 ** ((36 - gauge) / 39)
    return float(math.pi / 4.0 * diameter_mm**2)


def quantity(
    text: str, unit: str, auto: bool = False, none: bool = False, signed: bool = False, zero: bool = True
) -> Amount:
    """Read a quantity, a range, `unknown`, and `auto` or `none` where the field takes them.

    Raises
    ------
    Misread
        Another unit, no unit, a negative figure where none can be, or no quantity at all.
    """
    word = _word(text, auto, none)
    if word is not None:
        return word
    entry = UNITS[unit]
    if ".." in text:
        read = _range(text, entry, signed)
    else:
        value = _one(text, entry, signed)
        read = Quantity(value, value, unit, text)
    if not zero and read.low <= 0.0:
        raise Misread(f'"{text}" has to be above zero. Write it like {entry.example}.')
    return read


def unit_of(text: str) -> str | None:
    """Return the unit of the kind that a quantity is typed in ("A" for `40 mA`), None if it has none."""
    match = _NUMBER.fullmatch(text.rpartition("..")[2].strip())
    spelling = match[3] if match else ""
    return next((unit for unit, entry in UNITS.items() if spelling in entry.spellings), None)


def is_number(text: str) -> bool:
    """Return whether the text is a bare number."""
    return _DECIMAL.fullmatch(text) is not None


def _word(text: str, auto: bool, none: bool) -> Word | None:
    if text == "unknown":
        return UNKNOWN
    if text == "auto":
        if auto:
            return AUTO
        raise Misread("this field has no auto. Write the figure or unknown.")
    if text == "none":
        if none:
            return NONE
        raise Misread("this field has no none. Write the figure or unknown.")
    return None


def _range(text: str, entry: Unit, signed: bool) -> Quantity:
    first, second = (part.strip() for part in text.split("..", 1))
    head, tail = _NUMBER.fullmatch(first), _NUMBER.fullmatch(second)
    if head is not None and not head[3]:  # the unit stands at the second figure alone
        first = f"{first} {tail[3]}" if tail else first
    low, high = _one(first, entry, signed), _one(second, entry, signed)
    if low > high and not first.endswith("AWG"):
        raise Misread(f'"{text}" runs from the larger to the smaller. Write the smaller first.')
    return Quantity(min(low, high), max(low, high), entry.unit, text)


def _one(text: str, entry: Unit, signed: bool) -> float:
    """Return the figure in the unit of `entry`."""
    if entry.unit == "mm²" and (gauge := _GAUGE.fullmatch(text)):
        return awg_area_mm2(1 - int(gauge[1]) if gauge[2] else int(gauge[1]))
    if not text:
        raise Misread(
            f"nothing stands here. Write it like {entry.example}, leave the line out or write unknown."
        )
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise Misread(f'"{text}" is not {entry.called}. Write it like {entry.example}.')
    if _THOUSANDS.match(text):
        raise Misread(f'"{text}" has a thousands separator. Write the figure without it, 1000 not 1,000.')
    sign, digits, spelling = match.groups()
    if not spelling:
        return _bare(text, digits, entry, sign)
    way = entry.spellings.get(spelling)
    if way is None:
        raise Misread(_wrong_unit(text, sign + digits, spelling, entry))
    value = _scaled(digits, way)
    if sign not in ("", "+"):
        value = -value
    if spelling == "°F":
        return (value - 32.0) * 5.0 / 9.0
    if value < 0.0 and not (signed or entry.signed):
        raise Misread(f'"{text}" is negative; {entry.called} is not. Write it like {entry.example}.')
    return value


def _scaled(digits: str, way: int | float) -> float:
    plain = digits.replace(",", ".")
    # by way of the text, so that 7.5 mΩ is the same float as 0.0075 Ω
    return float(f"{plain}e{way}") if isinstance(way, int) else float(plain) * way


def _bare(text: str, digits: str, entry: Unit, sign: str) -> float:
    value = float(digits.replace(",", "."))
    if entry.unit == "fraction":
        if sign in ("", "+") and (value < 1.0 or digits == "1.0"):
            return value
        raise Misread(f'"{text}" has no unit. Write {text} % (or a fraction like 0.30).')
    also = " (or AWG)" if entry.unit == "mm²" else ""
    raise Misread(f'"{text}" has no unit. Write {text} {entry.unit}{also}.')


def _wrong_unit(text: str, number: str, spelling: str, entry: Unit) -> str:
    meant = _MEANT.get(spelling, "")
    if meant in entry.spellings or (meant == "AWG" and entry.unit == "mm²"):
        return f'"{text}" has a unit unknown here. Write {number} {meant}.'
    for other in UNITS.values():
        if spelling in other.spellings:
            return f'"{text}" is {other.called}; this field is {entry.called}. Write it like {entry.example}.'
    for way in entry.spellings:
        if way.casefold() == spelling.casefold():
            return f'"{text}": capital and small letters count in a unit. Write {number} {way}.'
    if not _NUMBER.fullmatch(spelling) and len(spelling) < 12:
        return f'"{text}": "{spelling}" is no unit of {entry.called}. Write it like {entry.example}.'
    return f'"{text}" is not {entry.called}. Write it like {entry.example}.'


_COUNT = re.compile(r"\d{1,6}")
_DECIMAL = re.compile(r"[+\-−]?(?:\d{1,9}(?:[.,]\d{1,9})?|[.,]\d{1,9})")
_DEGREES = re.compile(r"([+\-−]?\d{1,3}(?:[.,]\d+)?) ?(°|deg)? ?([NSEW])?")


def count(text: str) -> int | Word:
    """Read a whole number, or `unknown`."""
    if text == "unknown":
        return UNKNOWN
    if not _COUNT.fullmatch(text):
        raise Misread(f'"{text}" is not a whole number. Write it like 6, without a unit.')
    return int(text)


def plain(text: str, unit: str, called: str, example: str, signed: bool = False) -> Amount:
    """Read a bare number, a range of bare numbers, or `unknown`."""
    if text == "unknown":
        return UNKNOWN
    values = []
    for piece in text.split("..", 1):
        stripped = piece.strip()
        if not _DECIMAL.fullmatch(stripped):
            raise Misread(f'"{text}" is not {called}. Write it like {example}.')
        value = float(stripped.replace(",", ".").replace("−", "-"))
        if value < 0 and not signed:
            raise Misread(f'"{text}" is negative. Write it like {example}.')
        values.append(value)
    if values[0] > values[-1]:
        raise Misread(f'"{text}" runs from the larger to the smaller. Write the smaller first.')
    return Quantity(values[0], values[-1], unit, text)


def number(text: str) -> Amount:
    """Read a ratio without a unit."""
    return plain(text, "", "a number", "1.2")


def money(text: str) -> Amount:
    """Read an amount in the plan's currency."""
    if _THOUSANDS.match(text):
        raise Misread(f'"{text}" has a thousands separator. Write the figure without it, 1000 not 1,000.')
    return plain(text, "money", "an amount of money in the plan's currency", "48 or 48.50, without a sign")


def coordinate(text: str) -> Amount:
    """Read a coordinate in metres: a bare number, a length, or a range of them (an extent)."""
    bare = text.replace("..", "").strip(" +-−.,0123456789") == ""
    if text == "unknown" or bare:
        return plain(text, "m", "a coordinate in metres", "0.60", signed=True)
    return quantity(text, "m", signed=True)


def degrees(text: str) -> Amount:
    """Read an angle: `180`, `-1.2`, `43.5 N`, `1.2 W`; north and east are positive."""
    if text == "unknown":
        return UNKNOWN
    match = _DEGREES.fullmatch(text)
    if match is None or (match[3] and match[1][0] in "+-−"):
        raise Misread(f'"{text}" is not an angle in degrees. Write it like 43.5, 43.5 N or 1.2 W.')
    value = float(match[1].replace(",", ".").replace("−", "-"))
    if match[3] in ("S", "W"):
        value = -value
    return Quantity(value, value, "°", text)


_YES_NO = MappingProxyType({"yes": True, "on": True, "true": True, "no": False, "off": False, "false": False})


def yes_no(text: str) -> bool | Word:
    """Read yes or no (also on, off, true, false), or `unknown`."""
    if text == "unknown":
        return UNKNOWN
    value = _YES_NO.get(text.lower())
    if value is None:
        raise Misread(f'"{text}" is neither yes nor no. Write yes, no or unknown.')
    return value


def at_least_one(text: str) -> int | Word:
    """Read a whole number from 1 to 500, or `unknown`."""
    value = count(text)
    if isinstance(value, int) and not 1 <= value <= 500:
        raise Misread(f'"{text}" has to be from 1 to 500.')
    return value


_CLOCK = re.compile(r"([01]?\d|2[0-3]):[0-5]\d")


def clock(text: str) -> str:
    """Read a time of day, 22:00."""
    if not _CLOCK.fullmatch(text):
        raise Misread(f'"{text}" is not a time of day. Write it like 08:30 or 22:00.')
    return text.zfill(5)


def date(text: str) -> datetime.date:
    """Read a day, 2026-11-25."""
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        try:
            return datetime.date.fromisoformat(text)
        except ValueError:
            raise Misread(f'"{text}" is not a day of the calendar. Write year-month-day.') from None
    raise Misread(f'"{text}" is not a date. Write year-month-day, like 2026-11-25.')


def one_of(text: str, words: Sequence[str]) -> str | Word:
    """Read one of the words; `unknown` where it is among them comes as the word UNKNOWN."""
    if text in words:
        return UNKNOWN if text == "unknown" else text
    listed = ", ".join(words[:-1]) + f" or {words[-1]}" if len(words) > 1 else words[0]
    raise Misread(f'"{text}" is not known here. Write {listed}.{nearest(text, words)}')


_COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "GD", "TQ", "SR")
_COLOUR_NAMES = MappingProxyType(
    {"black": "BK", "brown": "BN", "red": "RD", "orange": "OG", "yellow": "YE", "green": "GN", "blue": "BU"}
    | {"violet": "VT", "purple": "VT", "grey": "GY", "gray": "GY", "white": "WH", "pink": "PK", "gold": "GD"}
    | {"turquoise": "TQ", "silver": "SR"}
)


def colour(text: str) -> str:
    """Read a colour by its letters: RD, BK, RDBU, GNYE (IEC 60757)."""
    codes = [text[place : place + 2] for place in range(0, len(text), 2)]
    if 1 <= len(codes) <= 2 and all(code in _COLOURS for code in codes):
        return text
    named = [_COLOUR_NAMES.get(word, "") for word in re.split(r"[-/ ]+|(?<=[a-z])(?=[A-Z])", text.lower())]
    advice = (
        f"Write {''.join(named)}." if 0 < len(named) <= 2 and all(named) else "Write it like RD, BK or RDBU."
    )
    if text.upper() != text and all(
        code in _COLOURS for code in (text[:2].upper(), text[2:].upper() or "RD")
    ):
        advice = f"Write {text.upper()}."
    raise Misread(f'"{text}" is no colour by its letters (IEC 60757). {advice}')


#: The insulations of the format, as they are written.
INSULATIONS = ("PVC 70 °C", "XLPE 90 °C", "automotive 105 °C", "automotive 125 °C", "silicone 180 °C")


def insulation(text: str) -> str:
    """Read an insulation by its name and temperature; capitals, spaces and the degree sign do not matter."""

    def plain(name: str) -> str:
        return name.replace("°", "").replace(" ", "").casefold()

    for known in INSULATIONS:
        if plain(known) == plain(text):
            return known
    raise Misread(
        f'"{text}" is no insulation known here. Write {", ".join(INSULATIONS[:-1])} or {INSULATIONS[-1]}.'
    )
