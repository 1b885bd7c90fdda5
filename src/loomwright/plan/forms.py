"""The short text forms: `170 W at 12 V`, `60 A at both`, `14 h at 1.5 A and 2 starts` ...

Each function takes the text of one field and returns a record of `values`. A text that does not fit
raises `Misread`, with the form and examples of it.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from loomwright.plan.calendar import DAYS
from loomwright.plan.misread import Misread
from loomwright.plan.near import nearest
from loomwright.plan.quantities import quantity, unit_of
from loomwright.plan.scalars import clock, is_number, one_of
from loomwright.plan.spellings import UNITS
from loomwright.plan.values import (
    AUTO,
    NONE,
    UNKNOWN,
    Amount,
    Breaker,
    Drive,
    Fuse,
    HookUp,
    Joints,
    Limit,
    Passage,
    Quantity,
    Rcd,
    Running,
    Start,
    Use,
    Word,
    Yield,
)

FUSE_TYPES = (
    "blade",
    "mini_blade",
    "large_blade",
    "bolted",
    "high_breaking",
    "glass",
    "post",
    "breaker",
    "unknown",
)


def _figure(text: str, unit: str) -> Quantity:
    value = quantity(text, unit)
    if isinstance(value, Word):
        raise Misread(f"{value.value} can't stand here. Write the figure.")
    return value


def _any_of(text: str, units: tuple[str, ...], form: str) -> Amount:
    """Read a quantity in the unit that it is typed in."""
    if text == "unknown":
        return UNKNOWN
    unit = unit_of(text)
    if unit in units:
        return quantity(text, unit)
    called = " or ".join(UNITS[one].called for one in units)
    if unit is not None:
        raise Misread(f'"{text}" is {UNITS[unit].called}; {called} is asked. Write it like {form}.')
    what = "has no unit" if is_number(text) else f"is not {called}"
    raise Misread(f'"{text}" {what}. Write it like {form}.')


def running(text: str) -> Running:
    """Read `4.2 A`, `2.5 W`, `170 W at 12 V`, `1.8 A together`, `unknown`."""
    form = "4.2 A, 40 W, 170 W at 12 V or 1.8 A together"
    rest = text.removesuffix(" together")
    amount, _, at = rest.partition(" at ")
    return Running(
        _any_of(amount.strip(), ("A", "W", "Ω"), form),
        at_v=_figure(at.strip(), "V").mid if at else None,
        together=rest != text,
    )


def start(text: str) -> Start:
    """Read `14 A`, `14 A for 80 ms`, `4000 W for 2 s`, `none`, `unknown`."""
    if text == "none":
        return Start(NONE)
    amount, _, lasting = text.partition(" for ")
    return Start(
        _any_of(amount.strip(), ("A", "W"), "14 A or 14 A for 80 ms"),
        for_s=_figure(lasting.strip(), "s") if lasting else None,
    )


def limit(text: str) -> Limit:
    """Read `10.4 V`, `10.5 V for 20 s`, `15.0 V for 6 %`, `none`, `unknown`."""
    volts, _, lasting = text.partition(" for ")
    amount = quantity(volts.strip(), "V", none=True)
    if not lasting:
        return Limit(amount)
    if lasting.rstrip().endswith("%"):
        return Limit(amount, share=_figure(lasting.strip(), "fraction"))
    return Limit(amount, for_s=_figure(lasting.strip(), "s"))


def yield_(text: str) -> Yield:
    """Read `75 % at 13.3 V`."""
    share, at, volts = text.partition(" at ")
    if not at:
        raise Misread(f'"{text}" lacks the battery voltage. Write it like 75 % at 13.3 V.')
    return Yield(_figure(share.strip(), "fraction"), _figure(volts.strip(), "V"))


def joints(text: str) -> Joints | Word:
    """Read `6`, `6 at 0.1 mΩ`, or `unknown`."""
    if text == "unknown":
        return UNKNOWN
    number, _, each = text.partition(" at ")
    if not re.fullmatch(r"\d{1,3}", number.strip()):
        raise Misread(f'"{text}" is not a number of joints. Write it like 6 or 6 at 0.1 mΩ.')
    return Joints(int(number), _figure(each.strip(), "Ω") if each else None)


_FUSE = re.compile(
    r"(?P<rating>unknown|auto|none|[+\-]?[\d.,]+ ?[^\W\d]*)(?: (?P<type>(?!at\b)\S+))?(?: at (?P<at>\S+))?"
)


@lru_cache(maxsize=1024)
def fuse(text: str) -> tuple[Fuse, ...] | Word:
    """Read `15 A`, `100 A bolted`, `60 A at both`, `none`, `unknown`, `auto`; `at both` gives two fuses.

    `none` is the empty tuple.
    """
    if text == "none":
        return ()
    if text in ("unknown", "auto"):
        return UNKNOWN if text == "unknown" else AUTO
    match = _FUSE.fullmatch(text)
    if match is None or match["rating"] == "none":
        raise Misread(f'"{text}" is not a fuse. Write it like 15 A, 100 A bolted or 60 A bolted at both.')
    return at_both(Fuse(fuse_rating(match["rating"]), fuse_type(match["type"]), match["at"] or "from"))


def fuse_rating(text: str) -> Amount:
    """Read the rating of a fuse."""
    return quantity(text, "A", auto=True, zero=False)


def fuse_type(text: str | None) -> str | None:
    """Read the type of a fuse; one that is not known comes as None, like one that is not typed."""
    if text is None:
        return None
    if text not in FUSE_TYPES:
        raise Misread(f'no fuse type "{text}". Write {", ".join(FUSE_TYPES)}.{nearest(text, FUSE_TYPES)}')
    return None if text == "unknown" else text


def at_both(one: Fuse) -> tuple[Fuse, ...]:
    """Return the fuse, or the two of it where it sits `at both`."""
    if one.at != "both":
        return (one,)
    ends = ("from", "to")
    return tuple(replace(one, at=end) for end in ends)


def _poles(word: str) -> int | None:
    match = re.fullmatch(r"([1-4])-pole", word)
    return int(match[1]) if match else None


def breaker(text: str) -> Breaker:
    """Read `16 A B 2-pole`, `15 A 1-pole 5 mA`, `none`, `unknown`."""
    if text in ("none", "unknown"):
        return Breaker(NONE if text == "none" else UNKNOWN)
    form = "16 A B 2-pole or 15 A 1-pole 5 mA"
    match = re.fullmatch(r"([\d.,]+ ?\w+)((?: \S+)*)", text)
    if match is None:
        raise Misread(f'"{text}" is not a breaker. Write it like {form}.')
    curve, poles, rcd_a = None, None, None
    rest = re.sub(r"(\d) (mA|A)\b", r"\1\2", match[2])
    for word in rest.split():
        if word in ("B", "C", "D"):
            curve = word
        elif (number := _poles(word)) is not None:
            poles = number
        elif re.fullmatch(r"[\d.,]+m?A", word):
            rcd_a = _figure(word, "A")
        else:
            raise Misread(f'"{text}": "{word}" is no part of a breaker. Write it like {form}.')
    return Breaker(quantity(match[1], "A"), curve, poles, rcd_a)


def rcd(text: str) -> Rcd:
    """Read `30 mA 2-pole type A`, `none`, `unknown`."""
    if text in ("none", "unknown"):
        return Rcd(NONE if text == "none" else UNKNOWN)
    match = re.fullmatch(r"([\d.,]+ ?\w+)(?: (\d)-pole)?(?: type (AC|A|F|B))?", text)
    if match is None:
        raise Misread(f'"{text}" is not an RCD. Write it like 30 mA 2-pole, 30 mA 2-pole type A or none.')
    trips = _figure(match[1], "A")
    if trips.high > 1.0:
        raise Misread(f'"{text}": an RCD trips at milliamperes. Write it like 30 mA 2-pole.')
    return Rcd(trips, int(match[2]) if match[2] else None, match[3])


_USE_FORM = "24 h at 30 %, 3.5 h at 0.85 A, 18:00..22:00 or 1.2 kWh"


def use(text: str) -> Use:
    """Read `24 h at 30 %`, `14 h at 1.5 A and 2 starts`, `18:00..22:00`, `1.2 kWh`, `unknown`."""
    if text == "unknown":
        return Use(hours=UNKNOWN)
    if re.search(r"\dk?Wh$|\d k?Wh$", text):
        return Use(energy=_figure(text, "Wh"))
    rest, starts = text, None
    match = re.fullmatch(r"(.*) and (\d+) starts?", text)
    if match:
        rest, starts = match[1], int(match[2])
    time, _, level = rest.partition(" at ")
    at = _level(level.strip()) if level else None
    if ":" in time:
        first, _, last = time.partition("..")
        return Use(span=(clock(first.strip()), clock(last.strip())), at=at, starts=starts)
    time = time.strip()
    if re.fullmatch(r"\d+(?:[.,]\d+)?", time):
        raise Misread(f'"{time}" has no unit. Write {time} h, if hours are meant, or {time} min.')
    try:
        hours = quantity(time, "s")
    except Misread:
        raise Misread(f'"{text}" is not a use. Write it like {_USE_FORM}.') from None
    if isinstance(hours, Quantity):
        hours = Quantity(hours.low / 3600.0, hours.high / 3600.0, "h", hours.typed)
    return Use(hours=hours, at=at, starts=starts)


def _level(text: str) -> Quantity:
    value = _any_of(text, ("fraction", "A", "W"), "30 %, 0.85 A or 40 W")
    if isinstance(value, Word):
        raise Misread(f"{value.value} can't stand here. Write it like 30 %, 0.85 A or 40 W.")
    return value


_DRIVE = re.compile(r"(?P<day>\S+)(?: (?P<clock>\d\d?:\d\d))? for (?P<time>.+?)(?P<tow> towing)?")


def drive(text: str) -> Drive:
    """Read `daily 08:30 for 45 min`, `fri for 1.0 h`, `sat 09:00 for 3 h towing`."""
    match = _DRIVE.fullmatch(text)
    if match is None:
        raise Misread(f'"{text}" is not a drive. Write it like daily 08:30 for 45 min or fri for 1.0 h.')
    day = one_of(match["day"], DAYS)
    assert isinstance(day, str)
    at = clock(match["clock"]) if match["clock"] else None
    return Drive(day, _figure(match["time"], "s"), at, towing=match["tow"] is not None)


def hook_up(text: str) -> HookUp:
    """Read `none`, `always`, `mostly`, `2 nights per week`, `every 3 days`."""
    if text in ("none", "always"):
        return HookUp(text, 0.0 if text == "none" else 7.0)
    if text == "mostly":
        return HookUp(text)
    if match := re.fullmatch(r"(\d+(?:[.,]\d+)?) nights? (?:per|a) week", text):
        nights = float(match[1].replace(",", "."))
        if nights <= 7.0:
            return HookUp(text, nights)
        raise Misread(f'"{text}": a week has 7 nights.')
    if (match := re.fullmatch(r"every (\d+) days?", text)) and int(match[1]) > 0:
        return HookUp(text, 7.0 / int(match[1]))
    raise Misread(
        f'"{text}" is not a hook-up. Write none, always, mostly, 2 nights per week or every 3 days.'
        + nearest(text, ("none", "always", "mostly"))
    )


def criterion(text: str) -> str:
    """Read what a charger starts on: `d_plus`, `ignition`, `engine`, `manual`, `above 13.2 V`."""
    words = ("d_plus", "ignition", "engine", "manual")
    if text in words:
        return text
    if text.startswith("above "):
        _figure(text.removeprefix("above ").strip(), "V")
        return text
    raise Misread(
        f'"{text}" is not known here. Write {", ".join(words)} or above 13.2 V.{nearest(text, words)}'
    )


_ID = re.compile(r"[^\W\d_]\w*")
_TERMINAL = re.compile(r"\w+")


def is_id(text: str) -> bool:
    """Return whether the text has the shape of an id: a letter, then letters, digits and _."""
    return _ID.fullmatch(text) is not None


def passage(text: str) -> Passage:
    """Read what stands in `through`: `S1`, `X5.1`, `K1.30-87a`."""
    part, dot, tail = text.partition(".")
    first, dash, second = tail.partition("-")
    if is_id(part) and (not dot or _TERMINAL.fullmatch(first)) and (not dash or _TERMINAL.fullmatch(second)):
        if dash:
            return Passage(part, ends=(first, second))
        return Passage(part, pin=first if dot else None)
    raise Misread(f'"{text}" is no passage. Write a part, a pin or two terminals: S1, X5.1, K1.30-87a.')


def contacts(text: str) -> tuple[str, str]:
    """Read the two terminals that a position joins, `com-vehicle`."""
    first, dash, second = text.partition("-")
    if dash and _TERMINAL.fullmatch(first) and _TERMINAL.fullmatch(second):
        return first, second
    raise Misread(f'"{text}" joins no two terminals. Write it like com-vehicle, or none.')
