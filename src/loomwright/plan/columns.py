"""The field table of the plan: what a field is made of, what stands when it is left out, what it means.

Each attribute of a model class is declared with `column(...)`. That one declaration drives the reader,
its error texts, the JSON Schema and the manual page.
"""

from __future__ import annotations

import keyword
from collections.abc import Callable
from dataclasses import MISSING, dataclass, field, fields
from functools import cache, lru_cache, partial
from typing import Any

from loomwright.plan import calendar, forms, quantities, scalars, spellings
from loomwright.plan.values import UNKNOWN


@dataclass(frozen=True, slots=True)
class Typed:
    """A field typed as one text: `read` makes its value.

    `words` are all it may be, if only words fit. A quantity has its `unit` and, in `also`, the words that may
    stand in its place.
    """

    says: str
    read: Callable[[str], Any]
    example: str
    words: tuple[str, ...] = ()
    unit: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ref:
    """The id of an entry of another section, or one of some `words`."""

    says: str
    space: str
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class EndKind:
    """An end of a wire; `stands` is where: "from", "to", "return", "probe" or "plain"."""

    says: str
    stands: str


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list; a single item may stand without brackets. `unknown` may stand for the whole if `doubt`."""

    says: str
    item: Kind
    doubt: bool = False


@dataclass(frozen=True, slots=True)
class MapOf:
    """A map from texts (read by `key`) to values."""

    says: str
    key: Typed | Ref
    value: Kind


@dataclass(frozen=True, slots=True)
class By:
    """One value, or a map of values by temperature, charge, month ... (a `Curve`)."""

    says: str
    axis: str
    key: Typed
    value: Typed


@dataclass(frozen=True, slots=True)
class Nested:
    """A map with fields of its own; `record` is the name of its class in the model.

    `short` is the field that a bare value stands for. `none` may stand for "there is none of it" if `absent`.
    """

    says: str
    record: str
    short: str = ""
    absent: bool = False


@dataclass(frozen=True, slots=True)
class Entries:
    """A map from ids to entries."""

    says: str
    of: Nested | Typed
    space: str = ""


@dataclass(frozen=True, slots=True)
class Special:
    """What the reader has a function of its own for: the `name` says which."""

    says: str
    name: str


Kind = Typed | Ref | EndKind | ListOf | MapOf | By | Nested | Entries | Special


@dataclass(frozen=True, slots=True)
class Column:
    """One row of the field table."""

    name: str
    kind: Kind
    default: str
    needed: bool
    says: str
    literal: bool


def column(
    kind: Kind,
    default: str | None = None,
    *,
    otherwise: str = "–",
    needed: bool = False,
    make: Callable[[], Any] | None = None,
    says: str,
) -> Any:
    """Declare a field of the plan.

    Parameters
    ----------
    kind : Kind
        What is typed.
    default : str or None
        What stands when nothing is typed, as it would be typed; the attribute then has this very value.
    otherwise : str
        In words, what holds if that is no literal ("by kind"); the attribute is then None, or empty if
        it is a list or map of which there is none ("–").
    needed : bool
        True if it is an error to leave the field out.
    make : callable or None
        Makes the value of a field that is left out, where neither None nor a literal fits.
    says : str
        Its meaning, for the manual and the schema.
    """
    row = {"column": (kind, default or otherwise, needed, says, default is not None)}
    if make is not None:
        return field(default_factory=make, metadata=row)
    if default is not None:
        return field(default=_literal(kind, default), metadata=row)
    if needed:
        return field(metadata=row)
    if isinstance(kind, MapOf | Entries) and otherwise == "–":
        return field(default_factory=dict, metadata=row)
    if isinstance(kind, ListOf) and otherwise in ("–", "none"):
        return field(default=(), metadata=row)
    return field(default=None, metadata=row)


def _literal(kind: Kind, text: str) -> Any:
    if isinstance(kind, Typed):
        return UNKNOWN if text == "unknown" and kind.words else kind.read(text)
    if isinstance(kind, ListOf):
        return (_literal(kind.item, text),)
    if isinstance(kind, By):
        raise AssertionError("a curve has no literal default")
    if isinstance(kind, Special):
        return SPECIAL_LITERALS[kind.name](text)
    assert isinstance(kind, Ref)
    return text


SPECIAL_LITERALS: dict[str, Callable[[str], Any]] = {"fuse": forms.fuse}


@cache
def columns(record: type) -> dict[str, Column]:
    """Return the columns of a model class by the name a user types (`return`, not `return_`)."""
    found = {}
    for entry in fields(record):
        row = entry.metadata.get("column")
        if row is not None:
            kind, default, needed, says, literal = row
            name = entry.name.rstrip("_")
            found[name] = Column(name, kind, default, needed, says, literal)
    return found


def attribute(name: str) -> str:
    """Return the attribute for a field name; only words that Python keeps for itself differ."""
    return f"{name}_" if keyword.iskeyword(name) else name


def default_of(record: type, name: str) -> Any:
    """Return the value that a field has when it is not typed."""
    entry = next(one for one in fields(record) if one.name == attribute(name))
    return entry.default_factory() if entry.default_factory is not MISSING else entry.default


# --- the kinds ---------------------------------------------------------------------------------------


def _typed(says: str, read: Callable[[str], Any], example: str) -> Typed:
    """Return a kind that remembers what it read: the same few texts stand in a plan again and again."""
    return Typed(says, lru_cache(maxsize=2048)(read), example)


def amount(
    unit: str, *, auto: bool = False, none: bool = False, signed: bool = False, zero: bool = True
) -> Typed:
    """Return the kind of a quantity in `unit`; negative if `signed`, above zero if not `zero`."""
    read = partial(quantities.quantity, unit=unit, auto=auto, none=none, signed=signed, zero=zero)
    says = ("%" if unit == "fraction" else unit) + (" or auto" if auto else "") + (" or none" if none else "")
    also = ("unknown", *(["auto"] if auto else []), *(["none"] if none else []))
    return Typed(says, lru_cache(maxsize=2048)(read), spellings.UNITS[unit].example, (), unit, also)


def words(text: str) -> Typed:
    """Return the kind of a field that takes one of some words."""
    known = tuple(text.split())
    return Typed(f"one of {text}", partial(scalars.one_of, words=known), known[0], known)


def by(value: Typed, axis: str) -> By:
    """Return the kind of a value that may go by °C, %, month, level or A."""
    return By(f"{value.says} by {axis}", axis, _AXES[axis], value)


TEXT = Typed("text", str, "...")
COUNT = _typed("count", scalars.count, "6")
AT_LEAST_ONE = _typed("count", scalars.at_least_one, "6")
NUMBER = _typed("number", scalars.number, "1.2")
NIGHTS = _typed("number", scalars.nights, "5")
DAYS_LONG = _typed("number", scalars.days, "3")
MONEY = _typed("money", scalars.money, "48.50")
COORDINATE = _typed("coordinate", scalars.coordinate, "0.60")
DEGREES = _typed("degrees", scalars.degrees, "43.5 N")
YES_NO = _typed("yes/no", scalars.yes_no, "yes")
INSULATION = _typed("insulation", scalars.insulation, "PVC 70 °C")
DATE = _typed("date", scalars.date, "2026-11-25")
COLOUR = _typed("colour", scalars.colour, "RD")
MONTH = words(" ".join(calendar.MONTHS))
ZONE_WORDS = "cab living engine_bay underfloor outside roof_void gas_locker wet moving airbag hot flue"
ZONE = words(ZONE_WORDS)
FUSE_TYPE = words(" ".join(forms.FUSE_TYPES))
REGION = words("uk eu na au nz")

AMPS, VOLTS, OHMS, WATTS = amount("A"), amount("V"), amount("Ω"), amount("W")
AMP_HOURS, METRES, TIME = amount("Ah", zero=False), amount("m"), amount("s")
AREA, AUTO_AREA = amount("mm²", zero=False), amount("mm²", auto=True, zero=False)
CELSIUS, MASS, LITRES, SHARE = amount("°C"), amount("kg"), amount("l"), amount("fraction")
AUTO_METRES = amount("m", auto=True)

RUNNING = _typed("running", forms.running, "4.2 A")
START = _typed("start", forms.start, "14 A for 80 ms")
LIMIT = _typed("limit", forms.limit, "10.5 V for 20 s")
YIELD = _typed("yield", forms.yield_, "75 % at 13.3 V")
BREAKER = _typed("breaker", forms.breaker, "16 A B 2-pole")
RCD = _typed("rcd", forms.rcd, "30 mA 2-pole")
JOINTS = _typed("joints", forms.joints, "6 at 0.1 mΩ")
USE = _typed("use", forms.use, "24 h at 30 %")
DRIVE = _typed("drive", forms.drive, "daily 08:30 for 45 min")
HOOK_UP = _typed("hook_up", forms.hook_up, "2 nights per week")
CRITERION = _typed("criterion", forms.criterion, "d_plus")
PASSAGE = _typed("passage", forms.passage, "S1")
CONTACTS = _typed("passage", forms.contacts, "com-leisure")

PLACE, PATH, STUD, PART = Ref("place", "place"), Ref("path", "path"), Ref("stud", "stud"), Ref("part", "part")
SEASON, SUPPLY = Ref("season", "season"), Ref("supply or any", "supply", ("any", "none"))
MODE = Ref("mode", "mode")
PATH_OR_PLACE = Ref("path-or-place", "path or place")
PART_OR_ANY = Ref("part or any", "part", ("any",))
STATE_KEY = Ref("part", "state")  # `S1`, `S0.pump`, `U1/KS`
INNER_PART = Ref("part", "inner part")  # `fridge`, `U1/KS`

FUSE = Special("fuse", "fuse")
ENDS = Special("ends", "ends")
RETURN = Special("return", "return")
POINT = Special("point", "point")
STOP = Special("stop", "stop")
LABELS = Special("labels", "labels")
OUTPUT_VOLTS = Special("limit by state", "limit by state")
POSITION = Special("list of passage", "position")

_AXES = {
    "°C": CELSIUS,
    "%": SHARE,
    "month": MONTH,
    "level": words("watch fault"),
    "A": AMPS,
}


def list_of(item: Kind, *, doubt: bool = False) -> ListOf:
    """Return the kind of a list."""
    return ListOf(f"list of {item.says}", item, doubt)


def map_of(key: Typed | Ref, value: Kind) -> MapOf:
    """Return the kind of a map."""
    return MapOf(f"map of {key.says} to {value.says}", key, value)
