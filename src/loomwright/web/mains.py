"""The sheet Mains: the same van on every pitch, tried case by case; nothing is written to the plan."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from loomwright.assessment.mains.case import HOOK_UP, Case
from loomwright.assessment.mains.choices import choices_of, modes_of, settled
from loomwright.assessment.mains.side import MainsSide
from loomwright.assessment.mains.tried import Tried, tried
from loomwright.assessment.mains.words import dangerous_words, opening_words, said, touched_words
from loomwright.diagrams.tried import Picture, Stop, chain_of, picture_of

from .changes import AskedWronglyError
from .markup import fill
from .reading import Reading

#: Its key in addresses.
MAINS = "mains"
#: Longest text of a case that is taken. [letters]
LONGEST = 2_000
#: The two moments of a case, in words.
MOMENTS = {"first": "at first", "after": "when all has opened that has to"}
#: What is chosen once for both pitches, and what each has for itself, with its head.
SHARED = {"mode": "Fed by", "fault": "What goes wrong", "outlet": "Where", "missing": "Out of order before"}
OF_PITCH = {"source": "Pitch", "earthing": "Its earth", "polarity": "Polarity"}
BESIDE = "beside_"


@dataclass(frozen=True, slots=True)
class Choice:
    """A row of buttons: the key of what is chosen, its head, what may be chosen, what is."""

    key: str
    head: str
    options: Mapping[str, str]
    now: str


@dataclass(frozen=True, slots=True)
class Column:
    """One pitch: its choices, its case in words and as a picture, and the same as rows."""

    name: str
    choices: tuple[Choice, ...]
    says: str
    stays: bool
    picture: Picture
    opens: tuple[str, ...]
    lasts: str
    touched: tuple[tuple[str, str, str], ...]
    rows: tuple[tuple[str, str, str, str], ...]


def case_of(text: str) -> dict[str, str]:
    """Return what a page sends as chosen: a map of names to names.

    Raises
    ------
    AskedWronglyError
        It is none.
    """
    if not text:
        return {}
    wrong = AskedWronglyError("mains: a map of what is chosen, each a text.")
    if len(text) > LONGEST:
        raise wrong
    try:
        data = json.loads(text)
    except ValueError as unreadable:
        raise wrong from unreadable
    if not isinstance(data, dict) or not all(isinstance(one, str) for one in data.values()):
        raise wrong
    return data


def told(reading: Reading, asked: Mapping[str, str]) -> dict[str, str]:
    """Return what is chosen of what a page asks for, what the van lacks left out."""
    side = reading.checked.assessment.mains
    if not modes_of(side):
        return {}
    case = _case(side, asked)
    chosen = {key: getattr(case, key) for key in (*SHARED, *OF_PITCH)}
    chosen["when"] = asked.get("when", "") if asked.get("when") in MOMENTS else "first"
    if case.mode == HOOK_UP and BESIDE + "source" in asked:
        beside = _beside(side, case, asked)
        chosen |= {BESIDE + key: getattr(beside, key) for key in OF_PITCH}
    return chosen


def _case(side: MainsSide, asked: Mapping[str, str]) -> Case:
    return settled(side, Case(**{key: asked[key] for key in (*SHARED, *OF_PITCH) if key in asked}))


def _beside(side: MainsSide, case: Case, asked: Mapping[str, str]) -> Case:
    own = {key: asked.get(BESIDE + key, "") for key in OF_PITCH}
    return settled(side, replace(case, **own))


def sheet(reading: Reading, asked: Mapping[str, str]) -> str:
    """Return the sheet.

    Parameters
    ----------
    reading : Reading
    asked : Mapping
        As `case_of` gives it.
    """
    side = reading.checked.assessment.mains
    if not modes_of(side):
        inlets, outlets = side.layout.inlets, side.layout.outlets
        return fill("mains_none.html", inlets=inlets, outlets=outlets, makers=side.layout.makers)
    chosen = told(reading, asked)
    case, after = _case(side, chosen), chosen["when"] == "after"
    offered = choices_of(side, case)
    shared = tuple(
        Choice(key, head, options, getattr(case, key))
        for key, head in SHARED.items()
        if len(options := getattr(offered, _PLURAL[key])) > 1
    )
    columns = [_column(side, case, after=after)]
    if BESIDE + "source" in chosen:
        columns.append(_column(side, _beside(side, case, chosen), after=after, prefix=BESIDE))
    return fill(
        "mains.html",
        shared=shared,
        when=Choice("when", "Shown", MOMENTS, chosen["when"]),
        columns=columns,
        can_compare=case.mode == HOOK_UP and len(columns) == 1,
        other=_other(side, case),
        made_up=case.source and not side.wiring.plan.supplies,
    )


_PLURAL = {
    "mode": "modes",
    "source": "sources",
    "earthing": "earthings",
    "polarity": "polarities",
    "fault": "faults",
    "outlet": "outlets",
    "missing": "missing",
}


def _other(side: MainsSide, case: Case) -> str:
    """Return what to lay beside a pitch: the next of another earth, else the next."""
    sources = list(choices_of(side, case).sources)
    if case.source not in sources:
        return ""
    at = sources.index(case.source) + 1
    following = [*sources[at:], *sources[: at - 1]] or sources
    earths = {id: settled(side, Case(mode=HOOK_UP, source=id)).earthing for id in following}
    return next((id for id in following if earths[id] != case.earthing), following[0])


def _column(side: MainsSide, case: Case, *, after: bool, prefix: str = "") -> Column:
    one = tried(side.case_nets, case)
    chain = chain_of(side, one, after=after)
    offered = choices_of(side, case)
    choices = tuple(
        Choice(prefix + key, head, options, getattr(case, key))
        for key, head in OF_PITCH.items()
        if (options := getattr(offered, _PLURAL[key]))
    )
    openings = one.clearing.openings
    return Column(
        name=case.source or case.mode,
        choices=choices,
        says=said(one),
        stays=one.stays,
        picture=picture_of(one, chain, side.wiring.plan.region, after=after),
        opens=tuple(opening_words(opening) for opening in openings),
        lasts=dangerous_words(one),
        touched=tuple(_touched(one)),
        rows=tuple(_rows(chain)),
    )


def _touched(one: Tried) -> Iterator[tuple[str, str, str]]:
    for touch in one.touches:
        yield (
            touched_words(one.case, touch),
            f"{touch.before_v:.0f} V, {touch.before_ma:.0f} mA",
            f"{touch.after_v:.0f} V, {touch.after_ma:.0f} mA",
        )


_NAMES = {"line": "L", "line_2": "L2", "neutral": "N", "earth": "E"}


def _rows(chain: tuple[Stop, ...]) -> Iterator[tuple[str, str, str, str]]:
    for stop in chain:
        volts = ", ".join(f"{_NAMES[core]} {volts:.0f} V" for core, volts in (stop.volts or {}).items())
        amps = ", ".join(f"{_NAMES[core]} {amps:.3g} A" for core, amps in (stop.amps or {}).items())
        opened = ", ".join(f"{_NAMES[core]} open" for core in stop.cores if core in stop.open)
        yield stop.name, stop.about, volts or amps or "no current", opened


__all__ = ["MAINS", "case_of", "sheet", "told"]
