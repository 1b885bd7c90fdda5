"""What stands on the way from a post, an inverter or a generator to one outlet, with volts and amperes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from loomwright.assessment.mains.case import HOOK_UP
from loomwright.assessment.mains.cases import LEAD, POST
from loomwright.assessment.mains.layout import Contact, Gate, Span
from loomwright.assessment.mains.side import MainsSide
from loomwright.assessment.mains.tried import Tried
from loomwright.mains.clearing import CARRIES_A
from loomwright.mains.records import Breaker, Residual, State

Kind = Literal["source", "device", "cable", "point"]
CORES = ("line", "line_2", "neutral", "earth")


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing on the way.

    Attributes
    ----------
    kind : str
        "source", "device", "cable" or "point".
    id : str
        What its links are called by: "post", "lead", a cable, a gate; of a point its name.
    name, about : str
        What it is called, and its figures.
    volts : Mapping
        Of a point, by core, to the ground. [V]
    amps : Mapping
        What each core of it carries; nothing under a milliampere. [A]
    cores : tuple of str
        What leads through it, or ends there.
    switched : tuple of str
        Of a device, those that it can open.
    open : frozenset of str
        Cores that are open in it.
    opens : int
        It opens as the so-manieth, counted from 1; 0 if it stays closed.
    end : str
        Of a device or a cable, the point behind it.
    """

    kind: Kind
    id: str
    name: str
    about: str = ""
    volts: Mapping[str, float] | None = None
    amps: Mapping[str, float] | None = None
    cores: tuple[str, ...] = ()
    switched: tuple[str, ...] = ()
    open: frozenset[str] = frozenset()
    opens: int = 0
    end: str = ""


@dataclass(frozen=True, slots=True)
class _Told:
    """A case at one of its two moments."""

    one: Tried
    state: State
    opened: frozenset[str]

    def cores(self, id: str) -> tuple[str, ...]:
        """Return the cores that have a link of this name, open or closed."""
        return tuple(
            core for core in CORES if f"{id}.{core}" in self.state.amps or f"{id}.{core}" in self.opened
        )

    def amps(self, id: str) -> dict[str, float]:
        """Return what the cores of a link carry. [A]"""
        found = {core: abs(self.state.amps.get(f"{id}.{core}", 0.0)) for core in self.cores(id)}
        return {core: amps for core, amps in found.items() if amps > CARRIES_A}

    def stop(self, kind: Kind, id: str, name: str, about: str, end: str, poles: int = 9) -> Stop:
        """Return something that cores lead through; one of few poles leaves the neutral alone."""
        cores = self.cores(id)
        lives = tuple(core for core in cores if core != "earth")
        opening = [one.device for one in self.one.clearing.openings]
        return Stop(
            kind=kind,
            id=id,
            name=name,
            about=about,
            amps=self.amps(id),
            cores=cores,
            switched=(lives if poles >= len(lives) else lives[:-1]) if kind == "device" else (),
            open=frozenset(core for core in cores if f"{id}.{core}" in self.opened),
            opens=opening.index(id) + 1 if kind == "device" and id in opening else 0,
            end=end,
        )

    def point(self, point: str, name: str, about: str = "") -> Stop:
        """Return a point with its volts."""
        volts = {
            core: abs(self.state.volts[point, core]) for core in CORES if (point, core) in self.state.volts
        }
        return Stop(kind="point", id=point, name=name, about=about, volts=volts, cores=tuple(volts))


def chain_of(side: MainsSide, one: Tried, *, after: bool = False) -> tuple[Stop, ...]:
    """Return what stands on the way to the outlet of a case.

    Parameters
    ----------
    side : MainsSide
        Of the van.
    one : Tried
        The case worked out.
    after : bool
        When all has opened that has to; else before anything opens.
    """
    opened = one.clearing.opened
    told = _Told(one, one.after if after else one.before, opened if after else one.opened_before)
    return tuple(_stops(side, told))


def _stops(side: MainsSide, told: _Told) -> Iterator[Stop]:
    case, stand = told.one.case, told.one.stand
    point = side.layout.outlets[case.outlet]
    if case.mode == HOOK_UP:
        pitch = stand.pitch
        assert pitch is not None
        yield _source(told, POST, pitch.id, f"{pitch.rated_a:g} A, {_earth(pitch.earthing)}")
        about = _rated(Breaker(pitch.rated_a), pitch.residual)
        yield told.stop("device", POST, "post", about, LEAD)
        lead = f"{pitch.lead_m:g} m, {pitch.lead_mm2:g} mm²"
        yield told.stop("cable", "lead", "lead", lead, stand.reach.start)
        yield told.point(stand.reach.start, side.inlet or "", "volts")
    else:
        yield _source(told, stand.reach.start, case.mode, f"{stand.volts:g} V")
    for step in stand.reach.way(point):
        yield from _step(told, step)
    yield told.point(point, case.outlet, "volts")


def _source(told: _Told, point: str, name: str, about: str) -> Stop:
    """Return what feeds; a core that hangs on nothing is open there."""
    there = told.point(point, name)
    upstream = {"earth": "pitch.earth", told.one.stand.cold: "pitch.back"} if point == POST else {}
    missing = frozenset(core for core, id in upstream.items() if id not in told.state.amps)
    return Stop("source", point, name, about, cores=there.cores, open=missing)


def _step(told: _Told, step: Span | Gate | Contact) -> Iterator[Stop]:
    if isinstance(step, Span):
        size = f"{step.area_mm2:g} mm²" if step.area_mm2 else "? mm²"
        about = f"{step.length_m:g} m, {size}" if step.length_m else size
        yield told.stop("cable", step.id, step.id, about, _far(told, step))
    elif isinstance(step, Contact):
        if step.position:
            id = f"{step.part}.{step.a}.{step.b}"
            yield told.stop("device", id, step.part, step.position, _far(told, step))
    elif step.breaker or step.residual:
        poles = f", {step.poles}-pole" if step.poles is not None else ""
        about = _rated(step.breaker, step.residual)
        counted = step.poles if step.poles is not None else 1
        name = step.id if step.id[-1].isdigit() else f"{'RCD' if step.residual else 'breaker'} of {step.part}"
        yield told.stop("device", step.id, name, about + poles, _far(told, step), counted)


def _far(told: _Told, step: Span | Gate | Contact) -> str:
    """Return the end of a step that lies away from the source."""
    came = told.one.stand.reach.came
    return step.b if came.get(step.b, ("", None))[1] == step else step.a


def _rated(breaker: Breaker | None, residual: Residual | None) -> str:
    words = []
    if residual is not None:
        words.append(f"{residual.trips_a * 1e3:g} mA")
    if breaker is not None:
        curve = "" if breaker.curve == "unknown" else f" {breaker.curve}"
        words.append(f"{breaker.rating_a:g} A{curve}")
    return ", ".join(words)


def _earth(earthing: str) -> str:
    return {"tn": "TN", "tt": "TT"}.get(earthing, "no earth")


__all__ = ["CORES", "Stop", "chain_of"]
