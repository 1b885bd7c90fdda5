"""Play: the van in a state that a person sets by hand, contact by contact; nothing is written to the plan."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from loomwright.assessment.conditions import (
    SIGNALS,
    TOWING,
    condition,
    is_beside,
    is_condition,
    is_delay,
    is_management,
)
from loomwright.assessment.modes import ModeFigure
from loomwright.assessment.ways import Way
from loomwright.assessment.why_fed import WhyFed
from loomwright.circuit.states import Contacts
from loomwright.diagrams.modes.words import stop_words
from loomwright.diagrams.wiring.in_state import InState, flowing
from loomwright.plan.changes.ids import check_new_id
from loomwright.plan.changes.trial import check_new
from loomwright.plan.edit import Edit, apply_edits
from loomwright.plan.pieces import Piece

from .changes import Act, AskedWronglyError, Done, by_of, rev_of, text_of
from .entries import thing_of
from .markup import fill
from .reading import Reading
from .thing import Thing
from .work import Work

#: Longest text of a state that is taken. [letters]
LONGEST = 20_000
#: Begun from where a person has named none.
AT_REST = "parked"
_ENGINE, _IGNITION = condition("engine"), condition("ignition")
_WORDS = {_ENGINE: "engine", _IGNITION: "ignition", condition("hook_up"): "hook-up"}
_WORDS |= {condition(name): name for name in (*SIGNALS, "towing")}


@dataclass(frozen=True, slots=True)
class Played:
    """What a person has set.

    Attributes
    ----------
    mode : str
        The mode that it began from; parked if the van has no such mode.
    sets : mapping of str to str
        Moved by hand since, device to position.
    sun : bool
        Solar panels give what they may.
    stood : mapping of str to str
        How what turns by itself stood before the last press: a latching relay stays so, a delay begins there.
    """

    mode: str = AT_REST
    sets: Mapping[str, str] | None = None
    sun: bool = False
    stood: Mapping[str, str] | None = None


class Knob(NamedTuple):
    """Something that a hand moves: its device, what it is called, its positions, the one it has."""

    device: str
    name: str
    positions: tuple[str, ...]
    now: str

    @property
    def next(self) -> str:
        """The position after this one."""
        at = self.positions.index(self.now) if self.now in self.positions else -1
        return self.positions[(at + 1) % len(self.positions)]


def played_of(text: str) -> Played | None:
    """Return what a page sends as its state; None for an empty text.

    Raises
    ------
    AskedWronglyError
        It is no state.
    """
    if not text:
        return None
    wrong = AskedWronglyError("play: a map of mode, sets and stood (device to position), and sun.")
    if len(text) > LONGEST:
        raise wrong
    try:
        data = json.loads(text)
    except ValueError as unreadable:
        raise wrong from unreadable
    if not isinstance(data, dict):
        raise wrong
    mode, sun = data.get("mode", AT_REST), data.get("sun", False)
    sets, stood = data.get("sets", {}), data.get("stood", {})
    if not (isinstance(mode, str) and _are_texts(sets) and _are_texts(stood) and isinstance(sun, bool)):
        raise wrong
    return Played(mode, sets, sun, stood)


def _are_texts(given: object) -> bool:
    return isinstance(given, dict) and all(isinstance(one, str) for pair in given.items() for one in pair)


class Play:
    """A plan in the state that a person has set.

    Parameters
    ----------
    reading : Reading
    played : Played
        What no longer names a device or position of the plan is left out.
    """

    def __init__(self, reading: Reading, played: Played) -> None:
        self.reading, self.played = reading, played
        job = reading.checked.assessment
        self.modes = job.modes.figures
        self.mode = played.mode if played.mode in self.modes else AT_REST
        self.sets = self._known(job.modes.net, played.sets or {})
        self.stood = self._turning(job.modes.net, played.stood or {})
        begun = self.modes[self.mode]
        moved = {**self.stood, **begun.sets, **self.sets}
        figure = job.modes.figure(self.title, moved) if self.sets or self.stood else begun
        self.figure: ModeFigure = figure
        self.flow = job.flows.of(figure, sun=played.sun)
        self.state = InState(job, figure, self.flow)

    @staticmethod
    def _known(net: Contacts, sets: Mapping[str, str]) -> dict[str, str]:
        """Return what was set of this plan's devices; an engine that runs has its ignition on."""
        positions = {one.id: one.positions for one in net.devices}
        known = {id: at for id, at in sets.items() if at in positions.get(id, ())}
        return known | ({_IGNITION: "on"} if known.get(_ENGINE) == "running" else {})

    @staticmethod
    def _turning(net: Contacts, stood: Mapping[str, str]) -> dict[str, str]:
        """Return how what turns by itself stood, of this plan's devices."""
        positions = {one.id: one.positions for one in net.devices if one.turns is not None}
        return {id: at for id, at in stood.items() if at in positions.get(id, ())}

    @property
    def title(self) -> str:
        """The state in words: the mode that it began from, and whether anything was moved since."""
        return f"{self.mode}, changed" if self.sets else self.mode

    def knobs(self) -> Iterator[Knob]:
        """Give what a hand moves: conditions, switches, fuses, delays, managements."""
        for device in self.reading.checked.assessment.modes.net.devices:
            if device.turns is None and len(device.positions) > 1:
                now = self.figure.positions[device.id]
                yield Knob(device.id, self.name(device.id), tuple(device.positions), now)

    def name(self, device: str) -> str:
        """Return what a device is called on the page."""
        if device in _WORDS:
            return _WORDS[device]
        if is_management(device) or is_delay(device):
            what, _, id = device.partition(" ")
            return f"{what} of {id}"
        part = self.reading.plan.parts.get(device)
        return f"{device}, {part.name}" if part is not None and part.name else device

    def told(self) -> dict[str, Any]:
        """Return the state as JSON: what can be moved and how all stands, for what the page says and does."""
        knobs = list(self.knobs())
        return {
            "mode": self.mode,
            "sets": self.sets,
            "sun": self.played.sun,
            "turning": [one.id for one in self.reading.checked.assessment.modes.net.devices if one.turns],
            "hand": {knob.device: list(knob.positions) for knob in knobs},
            "positions": dict(self.figure.positions),
            "names": {id: self.name(id) for id in self.figure.positions},
            "on": sorted(self.flow.loads.keys() & self.figure.feeds.keys()),
        }

    def strip(self) -> str:
        """Return the strip of the page with everything that can be moved."""
        knobs = list(self.knobs())
        return fill(
            "play.html",
            modes=list(self.modes),
            mode=self.mode,
            changed=bool(self.sets),
            van=[knob for knob in knobs if is_condition(knob.device)],
            switches=[knob for knob in knobs if not is_beside(knob.device)],
            beside=[knob for knob in knobs if is_beside(knob.device) and not is_condition(knob.device)],
            sun=self.played.sun,
            chatters=self.figure.chatters,
            collapsed=self.flow.collapsed,
        )

    # --- who feeds this now ------------------------------------------------------------------------

    def fed_now(self, thing: Thing) -> str:
        """Return, for the slip of a wire or part, what feeds it now, or what stands in the way."""
        job = self.reading.checked.assessment
        if thing.kind == "wire" and thing.id in job.wires:
            pieces = [piece for run in job.wiring.runs.values() for piece in run.pieces]
            piece = next(piece for piece in pieces if piece.id == thing.id)
            amperes = flowing(self.flow.branch_a.get(piece.id, 0.0))
            if piece.is_return:
                return self._leads_back(piece, amperes)
            return self._fed(piece.a, self.state.sources(piece), amperes)
        plus = f"{thing.id}.plus"
        if thing.kind == "part" and thing.id in self.figure.feeds and plus in job.wiring.by_point:
            return self._fed(plus, self.figure.feeds[thing.id], self.state.load_words(thing.id))
        return ""

    def _fed(self, point: str, sources: frozenset[str], amount: str) -> str:
        job = self.reading.checked.assessment
        why = WhyFed(job.wiring, job.modes.net, self.figure)
        plus = {one.id: one.plus for one in job.modes.net.origins if one.id in sources}
        each = [(id, why.ways.to(point, {id: plus[id]})) for id in sorted(plus)]
        fed = [(self.name(id), self._passed(found[1])) for id, found in each if found and not found[1].open]
        missing = None if fed else why.of_point(point)
        stops = [stop_words(stop, self.name) for stop in missing.stops] if missing else []
        nearest = self.name(missing.source) if missing else ""
        return fill("fed_now.html", fed=fed, amount=amount, stops=stops, nearest=nearest)

    def _leads_back(self, piece: Piece, amount: str) -> str:
        """Return, for a return, which sources its current goes back to, and what that passes."""
        job = self.reading.checked.assessment
        loads = [part for point in job.wiring.runs[piece.run].loads if (part := job.wiring.part_of(point))]
        feeding = frozenset[str]().union(*(self.figure.feeds.get(load, frozenset()) for load in loads))
        back = feeding & self.figure.live.back_at(piece.b)
        ways = WhyFed(job.wiring, job.modes.net, self.figure).ways
        minus = {one.id: one.minus for one in job.modes.net.origins if one.id in back}
        each = [(id, ways.to(piece.b, {id: minus[id]})) for id in sorted(minus)]
        led = [(self.name(id), self._passed(found[1])) for id, found in each if found]
        return fill("led_back.html", led=led, amount=amount)

    def _passed(self, way: Way) -> list[str]:
        return [self.name(device) for device in way.passes]


def keep(work: Work, asked: Mapping[str, Any]) -> Done:
    """Write the state that is played into the plan, as a mode of its own."""
    id = text_of(asked, "id").strip()
    played = played_of(text_of(asked, "play"))
    if played is None:
        raise AskedWronglyError("play: the state to keep.")

    def change(text: str, reading: Reading) -> str:
        data = _as_mode(Play(reading, played))
        check_new_id(reading.plan, "modes", id)
        check_new(reading.plan, "modes", id, data)
        return apply_edits(text, (Edit(f"modes.{id}", data),))

    moment = work.change(change, f"keeping the state {id}", rev_of(asked), by_of(asked))
    lost = played.sun or any(is_beside(one) and not is_condition(one) for one in played.sets or {})
    says = f"{id} is a state of the plan now."
    not_kept = "The sun, pulled fuses, delays and managements are not kept."
    return Done(moment, thing_of("modes", id), f"{says} {not_kept}" if lost else says)


def _latched(play: Play) -> dict[str, str]:
    """Return how latching relays stand that stand otherwise than at rest."""
    job = play.reading.checked.assessment
    parts, net = job.wiring.parts, job.modes.net
    latching = [one for one in net.devices if one.id in parts and parts[one.id].latching is True]
    now = play.figure.positions
    return {one.id: now[one.id] for one in latching if now[one.id] != one.stands}


def _as_mode(play: Play) -> dict[str, Any]:
    """Return the fields of a mode; a pulled fuse and the sun are none."""
    sets = {**play.modes[play.mode].sets, **_latched(play), **play.sets}
    data: dict[str, Any] = {"engine": sets.get(_ENGINE, "stopped")}
    if data["engine"] == "stopped" and sets.get(_IGNITION) == "on":
        data["ignition"] = "yes"
    if sets.get(condition("hook_up")) == "there":
        data["hook_up"] = "any"
    for name in SIGNALS:
        usual = sets.get(_IGNITION, "off") if name == "lights" else "off"
        if (now := sets.get(condition(name), "off")) != usual and condition(name) in play.figure.positions:
            data[name] = "yes" if now == "on" else "no"
    if sets.get(condition("towing"), TOWING[0]) != TOWING[0]:
        data["towing"] = "yes"
    switches = {id: at for id, at in sets.items() if not is_beside(id)}
    return data | ({"switches": switches} if switches else {})


ACTS: dict[str, Act] = {"keep_state": keep}

__all__ = ["Knob", "Play", "Played", "keep", "played_of"]
