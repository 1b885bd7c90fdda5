"""A case of the mains side in plain words."""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.mains.clearing import CARRIES_A, Opening
from loomwright.mains.touch import dangerous
from loomwright.units import Band

from .case import Case
from .cases import POST
from .tried import Touch, Tried

_EARTHS = {"tn": "TN earth", "tt": "TT earth", "none": "no earth"}
_LOST = {"post_earth": "earth lost", "post_neutral": "neutral lost", "rcd": "RCDs stuck", "bond": "bond off"}


def place_words(case: Case) -> str:
    """Return how the van is fed, and what is out of order."""
    words = [_EARTHS[case.earthing]] if case.source else []
    words += ["reversed"] if case.polarity == "reversed" else []
    words += [_LOST[case.missing]] if case.missing else []
    return (case.source or case.mode) + (f" ({', '.join(words)})" if words else "")


def device_words(id: str, by: str) -> str:
    """Return what a device is called that opens by one of its releases, "breaker" or "residual"."""
    what = "RCD" if by == "residual" else "breaker"
    if id == POST:
        return f"the post's {what}"
    part, _, terminal = id.rpartition(".")
    if terminal in ("rcd", "main"):
        return f"the {'main ' if terminal == 'main' else ''}{what} of {part}"
    return f"the {what} {id}"


def time_words(seconds: float) -> str:
    """Return a time for people."""
    if math.isinf(seconds):
        return "never"
    if seconds < 1.0:
        return f"{seconds:.2g} s"
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    if seconds < 5400.0:
        return f"{seconds / 60.0:.0f} min"
    return f"{seconds / 3600.0:.1f} h"


def band_words(band: Band) -> str:
    """Return between which times something happens."""
    if math.isinf(band.high):
        return f"perhaps after {time_words(band.low)}, perhaps never"
    if band.low < 0.05 * band.high:
        return f"within {time_words(band.high)}"
    return f"after {time_words(band.low)} to {time_words(band.high)}"


def opening_words(opening: Opening) -> str:
    """Return that a device opens, and when; others may be quicker."""
    names = [device_words(opening.device, opening.by)]
    for id in opening.others:
        by = "residual" if id.endswith(".rcd") or (id == POST and opening.by == "residual") else "breaker"
        names.append(device_words(id, by))
    return f"{' or '.join(dict.fromkeys(names))} opens {band_words(opening.after)}"


def touched_words(case: Case, touch: Touch) -> str:
    """Return what is touched."""
    return {"case": f"the case at {case.outlet}", "body": "the body of the van", "pipe": "the pipe"}.get(
        touch.thing, f"the line at {case.outlet}"
    )


def said(one: Tried) -> str:
    """Return what comes of a case, in one sentence.

    Parameters
    ----------
    one : Tried
        The case worked out.
    """
    told = f"On {place_words(one.case)} {_happens(one)}; {_opens(one)}"
    after = [*_stays(one), *_live(one)]
    return f"{told}; {'; '.join(after)}." if after else f"{told}."


def _happens(one: Tried) -> str:
    case, outlet = one.case, one.case.outlet
    if case.fault == "none":
        return _running(one)
    amps = one.before.amps.get("fault", 0.0)
    draws = f"draws {abs(amps):.3g} A" if abs(amps) > CARRIES_A else "draws nothing"
    if case.fault == "hand":
        first = one.touches[0]
        return f"a hand on the line at {outlet} meets {first.before_v:.0f} V and {first.before_ma:.0f} mA"
    if case.fault == "short":
        return f"a short of line and neutral at {outlet} {draws}"
    name = {
        "case": "a live case",
        "chafed": "a chafed line on the body",
        "pipe": "a chafed line on a pipe",
        "neutral_case": "neutral on the case",
    }
    first = max(one.touches, key=lambda touch: touch.before_v)
    own = {"chafed": "body", "pipe": "pipe"}.get(case.fault, "case")
    where = "" if first.thing == own else f" puts {first.thing}"
    stands = (
        f"{where} stands at {first.before_v:.0f} V" if not where else f"{where} at {first.before_v:.0f} V"
    )
    return f"{name[case.fault]} at {outlet}{stands} and {draws}"


def _running(one: Tried) -> str:
    if not one.running:
        return "nothing is wrong and nothing runs"
    runs, is_one = ", ".join(one.running), len(one.running) == 1
    if one.case.missing == "post_neutral":
        return f"{runs} {'has' if is_one else 'have'} no neutral: {_without_neutral(one)}"
    amps = sum(abs(one.before.amps[f"runs {id}"]) for id in one.running)
    return f"{runs} {'draws' if is_one else 'draw'} {amps:.3g} A"


def _without_neutral(one: Tried) -> str:
    if one.stand.legs == 2:
        volts = leg_volts(one)
        return "there are " + ", ".join(f"{v:.0f} V across {id}" for id, v in volts.items())
    volt = max(abs(v) for (_, core), v in one.before.volts.items() if core == one.stand.cold)
    return f"nothing runs, and the neutral behind it stands at {volt:.0f} V"


def leg_volts(one: Tried) -> dict[str, float]:
    """Return what each thing that runs has across it. [V]"""
    links = one.stand.running
    return {id: abs(one.before.amps[links[id].id]) * links[id].ohm for id in one.running}


def _opens(one: Tried) -> str:
    openings = one.clearing.openings
    if openings:
        return ", then ".join(opening_words(opening) for opening in openings)
    return "nothing opens" if one.clearing.sure else "nothing has to open"


def _stays(one: Tried) -> Iterator[str]:
    worst = one.worst
    if not dangerous(worst.after_v) or one.case.fault == "hand":
        return
    if one.clearing.openings:
        yield f"{touched_words(one.case, worst)} still stands at {worst.after_v:.0f} V"
    if one.held is not None:
        then = one.held.openings
        yield f"who touches it gets {worst.after_ma:.0f} mA, " + (
            f"till {opening_words(then[0])}" if then else "and nothing opens"
        )


def _live(one: Tried) -> Iterator[str]:
    names = dict.fromkeys(point_words(point) for point, _ in one.clearing.still_live)
    if names:
        yield f"still live behind what opened: {', '.join(names)}"


def dangerous_words(one: Tried) -> str:
    """Return for how long somebody who touches the worst of it is in danger."""
    if one.lasts_s == 0.0:
        live = ", but what is still live behind what opened is" if one.clearing.still_live else ""
        return f"None of these is over 50 V{live}."
    if math.isinf(one.lasts_s):
        return "As long as they hold on: nothing has to open."
    start = "From the moment they touch it: " if one.held is not None else ""
    return f"{start}{time_words(one.lasts_s)} at most."


def point_words(point: str) -> str:
    """Return what a point of the mains side is called."""
    names = {POST: "the post", "post|out": "the lead"}
    return names.get(point, point.replace("|", " ").removesuffix(".load").removesuffix(".in"))


__all__ = [
    "band_words",
    "dangerous_words",
    "device_words",
    "leg_volts",
    "opening_words",
    "place_words",
    "point_words",
    "said",
    "time_words",
    "touched_words",
]
