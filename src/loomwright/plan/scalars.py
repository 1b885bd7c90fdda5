"""Counts, dates, words and other bare texts as people type them: text in, value out.

A text that can't be read raises `Misread`, whose message says what was read, what is expected and how to
write it; the reader adds the place. Figures with a unit are in `quantities`.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from types import MappingProxyType

from loomwright.plan.misread import Misread
from loomwright.plan.near import nearest
from loomwright.plan.quantities import THOUSANDS, quantity
from loomwright.plan.values import UNKNOWN, Amount, Quantity, Word

_COUNT = re.compile(r"\d{1,6}")
_DECIMAL = re.compile(r"[+\-−]?(?:\d{1,9}(?:[.,]\d{1,9})?|[.,]\d{1,9})")
_DEGREES = re.compile(r"([+\-−]?\d{1,3}(?:[.,]\d+)?) ?(°|deg)? ?([NSEW])?")


def is_number(text: str) -> bool:
    """Return whether the text is a bare number."""
    return _DECIMAL.fullmatch(text) is not None


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


def nights(text: str) -> Amount:
    """Read nights of a week: 0 to 7."""
    found = plain(text, "", "a number of nights", "5")
    if isinstance(found, Quantity) and not 0.0 <= found.low <= found.high <= 7.0:
        raise Misread(f'"{text}": a week has 7 nights. Write it like 5.')
    return found


def days(text: str) -> Amount:
    """Read so many days: a bare number, or `3 days`."""
    return plain(re.sub(r" days?$", "", text), "", "a number of days", "3")


def money(text: str) -> Amount:
    """Read an amount in the plan's currency."""
    if THOUSANDS.match(text):
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
