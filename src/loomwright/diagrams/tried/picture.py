"""A case drawn: cores from the top down, what carries current banded, and who touches what.

Lengths are pixels of a narrow screen; a wide one shows the picture larger. The order of what is laid on what
is the order in the picture.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf
from types import MappingProxyType

from loomwright.assessment.mains.tried import Touch, Tried
from loomwright.assessment.mains.words import time_words
from loomwright.mains.touch import dangerous
from loomwright.tables.iec_60757 import colours_of

from .chain import CORES, Stop
from .shapes import WIDTH, Picture, Shape

_NAME_X, _SIDE_X = 4.0, 266.0
#: Where the cores lie: of one leg, of two.
_ONE = MappingProxyType({"line": 142.0, "neutral": 178.0, "earth": 214.0})
_TWO = MappingProxyType({"line": 130.0, "line_2": 160.0, "neutral": 190.0, "earth": 220.0})
_BODY_X = 248.0
_HEIGHTS = MappingProxyType({"source": 46.0, "device": 44.0, "cable": 38.0, "point": 38.0})
_OUTLET, _GROUND = 66.0, 74.0
_LETTERS = MappingProxyType({"line": "L", "line_2": "L2", "neutral": "N", "earth": "E"})
_COLOURS = MappingProxyType({"line": "BN", "line_2": "BK", "neutral": "BU", "earth": "GNYE"})
_COLOURS_NA = MappingProxyType({"line": "BK", "line_2": "RD", "neutral": "WH", "earth": "GN"})
_PERSON_X = 326.0


def picture_of(one: Tried, chain: Sequence[Stop], region: str, *, after: bool = False) -> Picture:
    """Return the picture of a case.

    Parameters
    ----------
    one : Tried
        The case worked out.
    chain : sequence of Stop
        What stands on the way, at the same moment.
    region : str
        Of the plan; it says the colours of cores.
    after : bool
        When all has opened that has to.
    """
    drawn = _Drawing(one, region, after)
    y = 0.0
    for stop in chain[:-1]:
        drawn.stop(stop, y)
        y += _HEIGHTS[stop.kind]
    drawn.outlet(chain[-1], y)
    drawn.picture.height = y + _OUTLET + _GROUND
    drawn.body(chain, y)
    drawn.person(chain[-1], y)
    return drawn.picture


class _Drawing:
    def __init__(self, one: Tried, region: str, after: bool) -> None:
        self.one, self.after = one, after
        self.x = _TWO if one.stand.legs == 2 else _ONE
        self.letters = _COLOURS_NA if region == "na" else _COLOURS
        self.picture = Picture()
        self.rows: dict[str, float] = {}
        self._told: dict[str, float] = {}

    def stop(self, stop: Stop, y: float) -> None:
        """Draw a source, a device, a cable, a point."""
        height = _HEIGHTS[stop.kind]
        for core in stop.cores:
            self._core(stop, core, y, y + height)
        self.rows[stop.end or stop.id] = y + height / 2
        self.picture.say(stop.name, _NAME_X, y + (20 if stop.about else height / 2 + 5), "name")
        if stop.about:
            self.picture.say(stop.about, _NAME_X, y + 36, "about")
        if stop.kind == "point":
            self._volts(stop, y + height / 2)
        elif stop.kind != "source":
            self._amps(stop, y)

    def _core(self, stop: Stop, core: str, top: float, end: float) -> None:
        x, middle = self.x[core], (top + end) / 2
        if stop.kind == "source":
            letter = self._letter_above(core)
            self.picture.say(letter, x, top + 17, "core", "middle")
            self._wire(core, top + 24, end)
            if core in stop.open:
                self._gap(x, (top + 24 + end) / 2)
            return
        if stop.amps and core in stop.amps:
            self.picture.box("band", x - 8, top, 16, end - top)
        if core in stop.switched:
            self._contact(x, top, end, core, is_open=core in stop.open)
            return
        self._wire(core, top, end)
        if core in stop.open:
            self._gap(x, middle)

    def _letter_above(self, core: str) -> str:
        if self.one.case.polarity == "reversed" and self.one.stand.legs == 1:
            core = {"line": "neutral", "neutral": "line"}.get(core, core)
        return _LETTERS[core]

    def _wire(self, core: str, top: float, end: float) -> None:
        x = self.x[core]
        inks = [one.ink for one in colours_of(self.letters[core])]
        self.picture.line("outline", (x, top), (x, end))
        self.picture.line("wire", (x, top), (x, end), ink=inks[0])
        if len(inks) > 1:
            self.picture.line("wire second", (x, top), (x, end), ink=inks[1])

    def _contact(self, x: float, top: float, end: float, core: str, *, is_open: bool) -> None:
        self._wire(core, top, top + 10)
        self._wire(core, end - 10, end)
        tip = x - 13 if is_open else x
        self.picture.line("contact", (x, end - 10), (tip, top + (13 if is_open else 10)))
        for y in (top + 10, end - 10):
            self.picture.box("dot", x - 2, y - 2, 4, 4)

    def _gap(self, x: float, y: float) -> None:
        self.picture.box("gap", x - 6, y - 7, 12, 14)
        self.picture.line("cross", (x - 5, y - 5), (x + 5, y + 5))
        self.picture.line("cross", (x - 5, y + 5), (x + 5, y - 5))

    def _volts(self, stop: Stop, y: float) -> None:
        for core, volts in (stop.volts or {}).items():
            self.picture.box("plate", self.x[core] - 14, y - 9, 28, 18)
            self.picture.say(f"{volts:.0f}", self.x[core], y + 5, "volts", "middle")

    def _amps(self, stop: Stop, y: float) -> None:
        """Say what flows where it changes, and who opens first."""
        lines = []
        now = dict(stop.amps or {})
        if stop.opens:
            lines.append(
                ("name", f"opens {('1st', '2nd', '3rd')[stop.opens - 1]}" if stop.opens < 4 else "opens")
            )
        if not _alike(now, self._told):
            lines += [("about", text) for text in _grouped(now)] or [("about", "no current")]
            self._told = now
        for k, (of, text) in enumerate(lines[:3]):
            self.picture.say(text, _SIDE_X, y + 14 + 15 * k, of)

    def outlet(self, stop: Stop, y: float) -> None:
        """Draw what hangs at the end of the way, its case and what is wrong there."""
        self.picture.say(stop.name, _NAME_X, y + 28)
        self.picture.say("volts", _NAME_X, y + 44, "about")
        right = max(self.x.values()) + 15
        left = min(self.x.values()) - 18
        self.picture.box("case", left, y + 4, right - left, _OUTLET - 8)
        for core in stop.cores:
            self._wire(core, y, y + 24)
        if "earth" in stop.cores:
            self.picture.line("thin", (self.x["earth"], y + 24), (right, y + 24))
        self._fault(stop, y, right)
        self._volts(stop, y + 28)

    def _fault(self, stop: Stop, y: float, right: float) -> None:
        case, stand = self.one.case, self.one.stand
        live, cold = self.x[stand.live], self.x[stand.cold]
        bottom = y + _OUTLET - 4
        if case.fault == "case":
            self._spark((live, y + 37), (live, bottom))
        elif case.fault == "neutral_case":
            self._spark((cold, y + 37), (cold, bottom))
        elif case.fault == "short":
            first, second = sorted((live, cold))
            self.picture.line("spark", (first, y + 37), (first, y + 48), (second, y + 48), (second, y + 37))
        elif case.fault == "chafed":
            self.picture.line("spark", (live, y + 37), (live, y + 50), (_BODY_X, y + 50))
        elif case.fault == "pipe":
            end = right - 6
            self.picture.line("spark", (live, y + 37), (live, y + 50), (end, y + 50))
            self.picture.line("shell", (end, y + 42), (end, y + 60))
            self.picture.say("pipe", end, y + 74, "about", "end")
        amps = self.one.after if self.after else self.one.before
        drawn = abs(amps.amps.get("fault", 0.0))
        if drawn > 1e-3:
            self.picture.say(f"fault {_amps(drawn)}", live - 16, bottom + 18, "about")

    def _spark(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        (x, top), (_, low) = start, end
        step = (low - top) / 4
        zigzag = [(x + (5 if k % 2 else -5) * (0 < k < 4), top + k * step) for k in range(5)]
        self.picture.line("spark", *zigzag)

    def body(self, chain: Sequence[Stop], y: float) -> None:
        """Draw the metal of the van from the inlet on, its bond, and the ground."""
        top = next((at for id, at in self.rows.items() if id == self.one.stand.reach.start), 30.0)
        low, ground = y + _OUTLET + 12, self.picture.height - 18
        self.picture.line("shell", (_BODY_X, top), (_BODY_X, low))
        state = self.one.after if self.after else self.one.before
        volts = abs(state.volts["body", ""])
        self.picture.box("plate", _BODY_X - 14, low - 4, 28, 18)
        self.picture.say(f"{volts:.0f}", _BODY_X, low + 10, "volts", "middle")
        self.picture.say("body", _BODY_X, low + 28, "about", "middle")
        for at, is_off in self._bonds(chain):
            earth = self.x["earth"]
            self.picture.line("thin", (earth, at), (_BODY_X, at))
            if is_off:
                self._gap((earth + _BODY_X) / 2, at)
        self.picture.line("ground", (_NAME_X, ground), (WIDTH - 4, ground))
        for k in range(12):
            x = 16 + 29 * k
            self.picture.line("thin", (x, ground), (x - 7, ground + 8))
        self.picture.say("ground", _NAME_X, ground - 6, "about")

    def _bonds(self, chain: Sequence[Stop]) -> Iterator[tuple[float, bool]]:
        state = self.one.before
        ends = {stop.end or stop.id for stop in chain}
        for bond in self.one.bonds:
            inner, id = bond
            off = id in self.one.opened_before
            if off or id in state.amps:
                yield self.rows.get(inner if inner in ends else "", 0.0) or self.rows[self._first(chain)], off

    def _first(self, chain: Sequence[Stop]) -> str:
        return next(stop.end or stop.id for stop in chain if stop.kind != "source")

    def person(self, stop: Stop, y: float) -> None:
        """Draw who touches the worst of it, with volts and milliamperes."""
        touch = self._touched()
        if touch is None:
            return
        volts, amps = (touch.after_v, touch.after_ma) if self.after else (touch.before_v, touch.before_ma)
        ground = self.picture.height - 18
        right = max(self.x.values()) + 15
        hand = {
            "body": (_BODY_X, y + _OUTLET),
            "pipe": (right - 6, y + 50),
            "line": (self.x[self.one.stand.live], y + 42),
        }.get(touch.thing, (right, y + _OUTLET - 14))
        head, shoulder, hip = ground - 76, ground - 58, ground - 30
        x = _PERSON_X
        self.picture.shapes.append(Shape(f"M{x - 8:g} {head:g}a8 8 0 1 0 16 0a8 8 0 1 0 -16 0z", "person"))
        self.picture.line("person", (x, head + 8), (x, hip))
        self.picture.line("person", (x - 10, ground), (x, hip), (x + 10, ground))
        self.picture.line("person", (x + 12, hip - 4), (x, shoulder), hand)
        self.picture.box("dot", hand[0] - 3, hand[1] - 3, 6, 6)
        words = [f"{volts:.0f} V", f"{amps:.0f} mA"] if volts >= 0.5 else ["0 V"]
        if dangerous(volts):
            words.append("without end" if isinf(self.one.lasts_s) else f"for {time_words(self.one.lasts_s)}")
        for k, text in enumerate(reversed(words)):
            of = "touch danger" if dangerous(volts) else "touch"
            self.picture.say(text, WIDTH - 4, head - 12 - 17 * k, of, "end")

    def _touched(self) -> Touch | None:
        """Return what is touched: the worst of the moment; nothing where nothing is wrong."""
        if self.one.case.fault == "none" and not self.one.case.missing:
            return None
        return max(self.one.touches, key=lambda one: round(one.after_v if self.after else one.before_v, 6))


def _amps(amps: float) -> str:
    return f"{amps:.3g} A" if amps >= 1.0 else f"{amps * 1e3:.3g} mA"


def _grouped(amps: dict[str, float]) -> list[str]:
    """Return what flows, cores with the same current together."""
    by: dict[str, list[str]] = {}
    for core in CORES:
        if core in amps:
            by.setdefault(_amps(amps[core]), []).append(_LETTERS[core])
    return [f"{' '.join(names)} {text}" for text, names in by.items()]


def _alike(one: dict[str, float], other: dict[str, float]) -> bool:
    return one.keys() == other.keys() and all(abs(v - other[k]) <= 0.005 * v for k, v in one.items())


__all__ = ["picture_of"]
