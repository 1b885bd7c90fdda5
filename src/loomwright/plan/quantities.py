"""Quantities as people type them: a figure with its unit, a range, a word in its place.

A quantity is turned into the one unit of its kind (see `values`; the ways to write it are in `spellings`).
A comma or a point may mark the decimals; nothing else may stand inside a number, so that `1,000 W` is never
read as one watt. A text that can't be read raises `Misread`, whose message says what was read, what is
expected and how to write it. Nothing is rounded.

Source: ASTM B258 (wire gauge).
"""

from __future__ import annotations

import math
import re

from loomwright.plan.misread import Misread
from loomwright.plan.spellings import MEANT, UNITS, Unit
from loomwright.plan.values import AUTO, NONE, UNKNOWN, Amount, Quantity, Word
from loomwright.source import Source

AWG_SOURCE = Source(work="ASTM B258", place="definition of the gauge", checked="from memory")

_NUMBER = re.compile(r"([+\-−]?)(\d+(?:[.,]\d+)?|[.,]\d+)\s*(.*)", re.DOTALL)
#: A figure that somebody wrote with a sign between its thousands.
THOUSANDS = re.compile(r"[+\-−]?[1-9]\d{0,2}(?:,\d{3}|[ '\u00a0\u202f]\d{3}(?!\d)|\.\d{3}[.,])")
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
    if THOUSANDS.match(text):
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
    meant = MEANT.get(spelling, "")
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
