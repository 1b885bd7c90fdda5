"""What is written beside things: names, ratings, terminal numbers of rails; figures as assessed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from loomwright.assessment.record import Assessment, WireFigure
from loomwright.diagrams.common import length, name_of, size, typed
from loomwright.drawing.lettering import text_width_mm, wrap
from loomwright.plan.model import Part
from loomwright.plan.pieces import Piece
from loomwright.plan.values import Fuse, Quantity, Running, Start

from .labels import Form, Line
from .strands import FuseStep

#: Terminal numbers of rails (DIN 72552, from memory), by what makes a feed of the vehicle live.
_FEEDS = {"always": "30", "ignition": "15", "engine": "D+", "d_plus": "D+", "lights": "58", "brake": "54"}
_LIVE = {
    "always": "always live", "ignition": "live with the ignition", "engine": "live while the engine runs",
    "d_plus": "live while it charges", "lights": "live with the lights",
    "reversing": "live in reverse", "brake": "live while braking",
}  # fmt: skip

#: Kinds with a mains side, and what is written there: this version draws no mains sheet.
MAINS_KINDS = ("mains_charger", "inverter", "inverter_charger")
NO_MAINS = "mains side: not on this sheet"
NO_MAINS_LINES = ("mains side: not", "on this sheet")
#: What heads the foot of a source without a name; words that are written in capitals.
_TITLES = {
    "alternator": "Alternator", "vehicle_battery": "Vehicle battery", "battery": "Leisure battery",
    "b2b": "Charging from the engine", "sensing_relay": "Charging from the engine",
    "solar_regulator": "Solar", "mains_charger": "Mains charger",
}  # fmt: skip
_LETTERS = {"usb": "USB", "tv": "TV", "co": "CO"}
#: How several alike are joined, where they are not simply side by side.
_JOINED = {"series": "series"}


class Words:
    """Words of one plan's wiring diagram."""

    def __init__(self, job: Assessment, first_sheet: int = 1) -> None:
        self.job = job
        self.first_sheet = first_sheet
        self.parts = job.wiring.parts
        self.house = [id for id, part in self.parts.items() if part.kind == "battery"]
        self.taps: frozenset[str] = frozenset()
        self.fed: Mapping[str, str] = {}  # bar of the feed side: what it is fed through
        self.levels: dict[tuple[int, str], float] = {}  # (sheet, bar): its height
        self.spots: dict[tuple[str, str], tuple[int, str]] = {}  # (relay, coil or contact): sheet, column.row

    def name(self, id: str) -> str:
        """Return the words for a part."""
        return name_of(self.parts.get(id), id)

    def id(self, id: str) -> str:
        """Return the id of a part as typed, without the unit it lies in."""
        return id.rpartition("/")[2]

    def spot_sheet(self, number: int) -> str:
        """Return the printed number of a sheet of this set, counted from 0."""
        return str(self.first_sheet + number)

    # rails and bars -----------------------------------------------------------------------------

    def rail(self, bar: str) -> tuple[str, str]:
        """Return the terminal number of a rail and the words behind it."""
        part_id = self.job.wiring.part_of(bar) or bar
        part = self.parts[part_id]
        if bar.endswith(".d_plus"):
            return "D+", f"{self.name(part_id)}, {_LIVE['d_plus']}"
        if part.kind == "vehicle_battery":
            return "30", "vehicle battery plus, always live"
        if part.kind == "vehicle_feed":
            live = part.live or ""
            return _FEEDS.get(live, "–"), f"{self.name(part_id)}, {_LIVE.get(live, live)}"
        if part.kind == "alternator":
            return "30", f"{self.name(part_id)} plus"
        if bar in self.taps:
            return "tap", f"between the batteries, above {self.id(part_id)}"
        rails = [id for id in self.house if f"{id}.plus" not in self.taps]
        place = rails.index(part_id) if part_id in rails else 0
        letter = "abcdefgh"[min(place, 7)]
        name = "leisure battery" if len(rails) == 1 else self.id(part_id)
        return f"30{letter}", f"{name} plus, always live"

    def live(self, rail: str) -> str:
        """Return when a rail is live: "always live"."""
        return self.rail(rail)[1].rpartition(", ")[2]

    def bus(self, bar: str) -> tuple[str, str]:
        """Return the id of a bar of the feed side and the words behind it: what it is fed through."""
        part = self.parts[bar]
        return self.id(bar), ", ".join(text for text in (part.name, self.fed.get(bar, "")) if text)

    # wires ----------------------------------------------------------------------------------------

    def wire_forms(self, piece: Piece) -> Iterator[Form]:
        """Yield the label of a wire in ever shorter forms: three lines, two, one."""
        figure = self.job.wires.get(piece.id)
        number = self.job.plan.labels.numbers.get(piece.id)
        id = Line(str(number) if number is not None else piece.id.rpartition("/")[2], 3.6, 600)
        if figure is None or figure.factory:
            factory = Line("factory", 2.9, ink="grey")
            yield (id, factory)
            yield (*(Line(part, 3.6, 600) for part in at_marks(id.text, 13.0)), factory)
            yield (*(Line(part, 2.6, 600) for part in at_marks(id.text, 8.0)), factory)
            return
        letters, metres = colour_and_size(figure), length(figure)
        if not metres and figure.length_m == 0.0 and self._on_post(piece):
            metres = "on the post"
        second = Line(letters, 3.6, 500)
        third = [Line(metres, 3.3, ink="grey")] if metres else []
        yield (id, second, *third)
        broken = tuple(Line(part, 3.6, 600) for part in at_marks(id.text, 15.0))
        if len(broken) > 1:
            yield (*broken, second, *third)
        if metres:
            yield (id, Line(f"{letters}, {metres}", 3.3, 500))
            yield (Line(f"{id.text} {letters}, {metres}", 3.0, 500),)
        for room, height in ((24.0, 3.0), (15.0, 3.0), (11.0, 2.6)):
            ids = tuple(Line(part, height, 600).cut(room) for part in at_marks(id.text, room)[:3])
            figures = f"{letters} {metres}".strip()
            if text_width_mm(figures, 2.6, 500) <= room:  # a figure is never cut
                yield (*ids, Line(figures, 2.6, 500))
            yield (*ids, *(Line(text, 2.6, 500) for text in (letters, metres) if text))
            yield (*ids, Line(letters, 2.6, 500))

    def wire_id(self, piece: Piece) -> Form:
        """Return the id of a wire alone, for where there is no room for more."""
        id = piece.id.rpartition("/")[2]
        return tuple(Line(part, 2.6, 600).cut(12.0) for part in at_marks(id, 12.0)[:3])

    def _on_post(self, piece: Piece) -> bool:
        """True for a piece without length that sits on the post of a battery itself."""
        ends = (self.parts.get(self.job.wiring.part_of(point) or "") for point in (piece.a, piece.b))
        return any(part is not None and part.kind in ("battery", "vehicle_battery") for part in ends)

    def port(self, point: str) -> str:
        """Return the name under which a point within a unit is known outside, else its own."""
        unit = self.parts.get(point.partition("/")[0]) if "/" in point else None
        name = point.rpartition("/")[2].rstrip("<>")
        ports = [port for port, end in unit.ports.items() if str(end) == name] if unit else []
        return ports[0] if ports else name

    def open_forms(self, point: str) -> list[Form]:
        """Return the words for an end that nothing is wired to: the port it leads to, or its own name."""
        words = [Line(text, 2.9, ink="grey") for text in (self.port(point), "not wired")]
        return [tuple(words), (Line(f"{words[0].text}, not wired", 2.9, ink="grey"),), (words[0],)]

    def core_forms(self, piece: Piece) -> list[Form]:
        """Return the label of a core of a cable: its id and its colour."""
        figure = self.job.wires[piece.id]
        id = piece.id.rpartition("/")[2]
        last = f"{at_marks(id, 15.0)[-1]} {figure.colour}"
        return [
            (Line(f"{id} {figure.colour}", 2.9, 600),),
            tuple(Line(part, 2.6, 600) for part in (*at_marks(id, 15.0)[:-1], last)),
        ]

    def cable_forms(self, panel: str, wires: Sequence[str]) -> list[Form]:
        """Return the words for a panel's cable: cores and their size, its length."""
        figure = self.job.wires[wires[0]]
        name = Line(f"cable of {self.id(panel)}", 3.6, 600)
        cores = f"{len(wires)} × {size(figure)}"
        return [
            (name, Line(cores, 3.6, 500), Line(length(figure), 3.3, ink="grey")),
            (name, Line(f"{cores}, {length(figure)}", 3.3, 500)),
            (Line(f"{name.text}: {cores}, {length(figure)}", 3.0, 500),),
            (Line(f"{cores}, {length(figure)}", 2.6, 500),),
        ]

    def other_half(self, relay: str, half: str, sheet: int) -> str:
        """Return where the other half of a relay stands: at a contact "coil 3/4.C", at a coil "3/4.C"."""
        other = "contact" if half == "coil" else "coil"
        spot = self.spots.get((relay, other))
        if spot is None:
            return half if half == "coil" else ""
        where = spot[1] if spot[0] == sheet else f"{self.spot_sheet(spot[0])}/{spot[1]}"
        return where if half == "coil" else f"{other} {where}"

    # parts ----------------------------------------------------------------------------------------

    def fuse(self, step: FuseStep) -> tuple[str, str]:
        """Return rating and type of a fuse."""
        if step.spot is None:
            return "? A", ""
        fuse = step.spot.fuse
        return self._fuse_rating(step, fuse), fuse.type or ""

    def _fuse_rating(self, step: FuseStep, fuse: Fuse) -> str:
        figure = self.job.wires.get(step.piece.id) if step.piece else None
        if figure is not None and step.piece is not None and step.spot in step.piece.spots:
            place = step.piece.spots.index(step.spot)
            if place < len(figure.fuses):
                found = figure.fuses[place]
                star = "*" if found.auto else ""
                return "? A" if found.rating_a is None else f"{found.rating_a:g} A{star}"
        return typed(fuse.rating) or "? A"

    def part_forms(self, id: str, *, with_place: bool = True) -> Iterator[Form]:
        """Yield what stands beside a part: how many and its id, what it is made for and set to, its place."""
        part = self.parts[id]
        many = self.many(part)
        name = Line(f"{many}{self.id(id)}", 3.6, 600)
        joined = [Line(f"in {_JOINED.get(part.joined or '', 'parallel')}", 2.9)] if many else []
        rating = [Line(text, 2.9) for text in [*self.ratings(part), *self.settings(id)][:3]]
        mains = [Line(text, 2.9, ink="grey") for text in NO_MAINS_LINES] if part.kind in MAINS_KINDS else []
        place = [Line(part.place, 2.9, ink="grey")] if part.place and with_place else []
        yield (name, *joined, *rating, *mains, *place)
        yield (name, *joined, *rating[:2], *mains, *place)
        narrow = [Line(line, 2.6) for text in self.settings(id) for line in wrap(text, 11.0, 2.6)]
        if narrow:
            yield (name, *narrow)
        yield (name, *rating[:1], *mains, *place)
        yield (name, *rating[:1], *mains)
        yield (name, *place)
        for height in (3.6, 3.0, 2.6):
            yield (Line(name.text, height, 600),)
        words = [many.strip(), *at_marks(self.id(id), 13.0)]
        broken = tuple(Line(word, 2.9, 600) for word in words if word)
        if len(broken) > 1:
            yield broken
        for room in (20.0, 14.0, 9.0):
            yield (name.cut(room),)

    def title(self, id: str) -> str:
        """Return what the foot of a part's column is headed with: its name, else what it is there for."""
        part = self.parts[id]
        if part.name:
            words = part.name
        elif part.kind in _TITLES and not (part.kind == "battery" and len(self.house) > 1):
            words = _TITLES[part.kind]
        else:
            words = " ".join(_LETTERS.get(word, word) for word in name_of(part, id).split(" "))
            words = words[:1].upper() + words[1:]
        return f"{words}, {self.many(part).strip()}" if self.many(part) else words

    def many(self, part: Part) -> str:
        """Return how many are drawn as one sign, "6 × ", empty for one."""
        return f"{part.count} × " if isinstance(part.count, int) and part.count > 1 else ""

    def settings(self, id: str) -> list[str]:
        """Return at what a contact opens and shuts by itself, in a few words each."""
        part = self.parts[id]
        found: list[str] = []
        limit = part.cut_out if part.kind in ("low_voltage_cut", "relay") else None
        if limit is not None and _volts(limit):
            waits = f" for {limit.for_s.typed}" if limit.for_s is not None else ""
            found.append(f"{'opens' if part.kind == 'low_voltage_cut' else 'drops'} < {_volts(limit)}{waits}")
        if part.kind == "low_voltage_cut" and typed(part.cut_in):
            found.append(f"shuts > {typed(part.cut_in)}")
        if part.off_while is not None:
            end = f"{id.rpartition('/')[0]}/{part.off_while}".removeprefix("/")
            found.append(f"off while {self.port(end)} is live")
        return found

    def ratings(self, part: Part) -> list[str]:
        """Return the ratings of a part in a few words each."""
        found: list[str] = []
        if part.kind in ("battery", "vehicle_battery"):
            chemistry = part.chemistry if isinstance(part.chemistry, str) else ""
            found.append(f"{_chemistry(chemistry)} {typed(part.capacity)}".strip())
        if part.kind == "solar_panel":
            found.append(typed(part.power))
        if part.kind == "solar_regulator":
            found.append(f"{(part.regulation or '').upper()} {typed(part.current)}".strip())
        if part.kind in ("alternator", "b2b", "mains_charger", "converter", "fuel_cell"):
            found.append(typed(part.current))
        if part.kind in ("inverter", "inverter_charger"):
            found.append(typed(part.power))
        running = _running(part.running)
        if running and self.many(part) and "together" not in running:
            running = f"{running} each"
        if running:
            found.append(running)
        start = _start(part.start)
        if start:
            found.append(f"start {start}")
        if not running and part.kind in ("switch", "master_switch", "relay", "sensing_relay"):
            found.append(typed(part.rating))
        return [text for text in found if text]

    def box_lines(self, id: str) -> tuple[str, ...]:
        """Return what is written in a box below its name."""
        part = self.parts.get(id)
        if part is None:
            return ()
        if part.kind == "sensing_relay":
            on, off = typed(part.cut_in), _volts(part.cut_out)
            delay = typed(part.delay)
            return (
                f"on ≥ {on}" if on else "",
                f"off ≤ {off}" if off else "",
                f"after {delay}" if delay and delay != "0 s" else "",
            )
        if part.kind == "relay":
            return (self.name(id), typed(part.rating))
        lines = [", ".join(self.ratings(part)[:3])]
        output = self._output(part)
        if output and part.kind not in ("b2b", "converter"):
            lines[0] = ", ".join(text for text in (lines[0], output) if text)
        if part.kind in MAINS_KINDS:
            lines.append(NO_MAINS)
        return tuple(lines)

    def box_volts(self, id: str) -> tuple[str, str]:
        """Return the volts before and behind a converter, "" where they are not known."""
        part = self.parts.get(id)
        if part is None or part.kind not in ("b2b", "converter"):
            return "", ""
        before = typed(self.job.plan.system) or "12 V"
        return before.removesuffix(" V"), self._output(part)

    def _output(self, part: Part) -> str:
        output = (part.output or {}).get("") if part.output else None
        return typed(output.volts) if output is not None else ""


def at_marks(id: str, room: float) -> list[str]:
    """Return an id broken before its dots and after its low lines, in parts no wider than a room. [mm]"""
    parts: list[str] = []
    for word in re.findall(r"\.?[^._]*_?", id):
        if parts and text_width_mm(parts[-1] + word, 3.6, 600) <= room:
            parts[-1] += word
        else:
            parts.append(word)
    return [part for part in parts if part]


def colour_and_size(figure: WireFigure) -> str:
    """Return the colour letters and the size of a wire: "RDYE 1.0" is printed as "RDYE 1"."""
    return f"{figure.colour} {size(figure)}".strip()


def _chemistry(word: str) -> str:
    return {"agm": "AGM", "efb": "EFB", "lifepo4": "LiFePO4"}.get(word, word)


def _running(running: Running | None) -> str:
    if running is None or not isinstance(running.amount, Quantity):
        return ""
    return running.amount.typed + (" together" if running.together else "")


def _start(start: Start) -> str:
    return start.amount.typed if isinstance(start.amount, Quantity) else ""


def _volts(value: object) -> str:
    volts = getattr(value, "volts", None)
    return volts.typed if isinstance(volts, Quantity) else ""
