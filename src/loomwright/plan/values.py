"""Values that stand in a plan: quantities with units, ranges, `auto`, `unknown`, and the short text forms.

Every quantity is held in one unit per kind: A, V, Ω, W, Wh, Ah, m, mm², s, °C, kg, l, W/m, W/K, Hz,
and % as a fraction (30 % is 0.30). `typed` keeps the text as its author wrote it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum


class Word(Enum):
    """A word that stands in place of a value."""

    UNKNOWN = "unknown"
    AUTO = "auto"
    NONE = "none"


UNKNOWN, AUTO, NONE = Word.UNKNOWN, Word.AUTO, Word.NONE


@dataclass(frozen=True, slots=True)
class Quantity:
    """A figure with its unit; a range where `low` and `high` differ.

    Attributes
    ----------
    low, high : float
        The ends, in the unit of the kind (see the module).
    unit : str
        That unit: "A", "V", "Ω", "W", "mm²", "fraction" ...
    typed : str
        The text as written.
    """

    low: float
    high: float
    unit: str
    typed: str

    @property
    def known(self) -> bool:
        """True if this is one figure, not a range."""
        return self.low == self.high

    @property
    def mid(self) -> float:
        """The middle of the range; the figure itself if there is one."""
        return (self.low + self.high) / 2.0


Amount = Quantity | Word


@dataclass(frozen=True, slots=True)
class Curve:
    """A value by temperature, charge, month or state: `{25 °C: 4.5 mΩ, -5 °C: 6.75 mΩ}`.

    `axis` is "°C", "%" (as a fraction), "month" or "state"; the keys are floats (°C, fraction) or texts.
    A single value typed without a map has no axis (`axis` is "") and one point with the key "".
    """

    axis: str
    points: Mapping[float | str, Amount]

    def only(self) -> Amount | None:
        """Return the single value if one was typed without a map, else None."""
        return self.points[""] if self.axis == "" else None


@dataclass(frozen=True, slots=True)
class Running:
    """`4.2 A`, `170 W at 12 V`, `1.8 A together`; `amount.unit` is A, W or Ω, or the amount is unknown."""

    amount: Amount
    at_v: float | None = None
    together: bool = False


@dataclass(frozen=True, slots=True)
class Start:
    """`14 A for 80 ms`; `amount.unit` is A or W; `NONE` if there is no start to speak of."""

    amount: Amount
    for_s: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Limit:
    """`10.4 V`, `10.5 V for 20 s`, `15.0 V for 6 %`."""

    volts: Amount
    for_s: Quantity | None = None
    share: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Yield:
    """`75 % at 13.3 V`: panel to battery, and the battery voltage counted with."""

    share: Quantity
    volts: Quantity


@dataclass(frozen=True, slots=True)
class Fuse:
    """One fuse. `rating` may be unknown or auto. `at` is "from", "to" or the id of a part in `through`.

    A typed `none` is an empty tuple of fuses; `at both` has become two fuses.
    """

    rating: Amount
    type: str | None = None
    at: str = "from"
    breaks: Amount | None = None
    voltage: Amount | None = None
    distance: Amount | None = None
    resistance: Amount | None = None
    plus_mark: str | Word = "none"


@dataclass(frozen=True, slots=True)
class Breaker:
    """`16 A B 2-pole`, `15 A 1-pole 5 mA`; what is not typed is unknown."""

    rating: Amount
    curve: str | None = None
    poles: int | None = None
    rcd_a: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Rcd:
    """`30 mA 2-pole type A`; `NONE` as the amount if there is none."""

    trips: Amount
    poles: int | None = None
    type: str | None = None


@dataclass(frozen=True, slots=True)
class Joints:
    """`6` or `6 at 0.1 mΩ`: lugs and crimps counted by hand, feed and return together."""

    count: int
    each: Quantity | None = None


@dataclass(frozen=True, slots=True)
class End:
    """An end of a wire as typed. `id` is a part, a stud, `body` or `wire`; `terminal` may be left out.

    Inside a composite part the ids are those of its own parts. `EB1/box` (allowed in modes, use, accepted
    and readings) has `id` "EB1/box".
    """

    id: str
    terminal: str | None = None

    def __str__(self) -> str:
        return self.id if self.terminal is None else f"{self.id}.{self.terminal}"


@dataclass(frozen=True, slots=True)
class Passage:
    """A part the current passes: `S1` (usual passage), `X5.1` (a pin), `K1.30-87a` (one named passage)."""

    part: str
    pin: str | None = None
    ends: tuple[str, str] | None = None

    def __str__(self) -> str:
        if self.ends is not None:
            return f"{self.part}.{self.ends[0]}-{self.ends[1]}"
        return self.part if self.pin is None else f"{self.part}.{self.pin}"


@dataclass(frozen=True, slots=True)
class Use:
    """`24 h at 30 %`, `14 h at 1.5 A and 2 starts`, `18:00..22:00`, `1.2 kWh`."""

    hours: Amount | None = None
    span: tuple[str, str] | None = None
    at: Quantity | None = None
    starts: int | None = None
    energy: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Drive:
    """`daily 08:30 for 45 min`, `fri for 1.0 h towing`."""

    day: str
    for_s: Quantity
    clock: str | None = None
    towing: bool = False


@dataclass(frozen=True, slots=True)
class HookUp:
    """`none`, `always`, `mostly`, `2 nights per week`, `every 3 days`; `nights_per_week` where definite."""

    word: str
    nights_per_week: float | None = None
