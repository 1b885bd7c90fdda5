"""The words of a slip: ends, parts and wires as a workshop calls them, and what stands at its head."""

from __future__ import annotations

import re
from collections.abc import Iterable

from loomwright.assessment.record import Assessment, CircuitFigure, WireFigure
from loomwright.plan.pieces import BODY, Piece
from loomwright.rules.registry import Job
from loomwright.tables.iec_60757 import PROTECTIVE_EARTH

from .record import Head

#: Terminals that are understood without being named.
_USUAL = ("", "plus", "in", "out", "a")
_BATTERIES = ("battery", "vehicle_battery")
#: An id that is a mark on the drawing, as "U1" or "FC2"; it is called by that, not by its name.
_MARK = re.compile(r"[A-Z]{1,3}\d+")
_TERMINALS = {
    "minus": "minus",
    "out_minus": "minus",
    "battery_minus": "battery minus",
    "panel_minus": "minus",
}


def part_words(job: Assessment, id: str) -> str:
    """Return a part, stud or bar in words: its own name, else its id; a plain word gets its article."""
    part, own = job.wiring.parts.get(id), id.rpartition("/")[2]
    if part is None or _MARK.fullmatch(own):
        return own.replace("_", " ")
    words = part.name or own.replace("_", " ")
    if part.kind in _BATTERIES and "battery" not in words:
        words += " battery"
    return f"the {words}" if re.fullmatch(r"[a-z][a-z ]*", words) else words


def end_words(job: Assessment, text: str) -> str:
    """Return the end of a wire in words: "U1.way_4" is "U1 way 4", "pump" is "the pump"."""
    if text.endswith(f"@{BODY}") or text == BODY:
        return "the body"
    if text == "joint" or text.endswith("~"):
        return "its joint"
    part_id = job.wiring.part_of(text.rstrip("<>")) or text.partition(".")[0]
    terminal = text.rstrip("<>")[len(part_id) :].removeprefix(".")
    words, part = part_words(job, part_id), job.wiring.parts.get(part_id)
    if terminal.isdigit():
        kind = part.kind if part is not None else ""
        name = "way" if kind in ("fuse_box", "breaker_box") else "pin" if kind == "plug" else "terminal"
        return f"{words} {name} {terminal}"
    if terminal in _USUAL and part is not None and part.kind not in _BATTERIES:
        return words
    return f"{words} {_TERMINALS.get(terminal, terminal.replace('_', ' '))}".strip()


def and_more(words: Iterable[str], most: int = 4) -> str:
    """Return a list in words, cut after so many.

    Examples
    --------
    >>> and_more(["H1", "H3", "E2"]), and_more(["a", "b", "c"], 2)
    ('H1, H3, E2', 'a, b and 1 more')
    """
    listed = list(dict.fromkeys(words))
    rest = len(listed) - most
    return ", ".join(listed) if rest <= 0 else f"{', '.join(listed[:most])} and {rest} more"


def size_words(wire: WireFigure) -> str:
    """Return colour letters and size: "RDYE 1 mm²", "BK 12 AWG"; a size that the program chose has a star."""
    star = "*" if "area" in wire.chosen else ""
    size = (
        f"{wire.gauge or f'{wire.area_mm2:g} mm²'}{star}" if wire.area_mm2 is not None else "size not known"
    )
    return f"{wire.colour} {size}".strip()


def colour_letters(colour: str) -> tuple[str, ...]:
    """Return the letters of a wire's colours, the main one first.

    Examples
    --------
    >>> colour_letters("RDYE"), colour_letters("GNYE"), colour_letters("BN, BU, GNYE")
    (('RD', 'YE'), ('GNYE',), ('BN',))
    """
    first = colour.partition(",")[0].strip().upper()
    if first == PROTECTIVE_EARTH:
        return (first,)
    return tuple(re.findall("[A-Z]{2}", first))


def wire_head(job: Assessment, wire: WireFigure, piece: Piece) -> Head:
    """Return the head of a wire's slip."""
    run = job.wiring.runs[wire.run]
    ends = [end_words(job, text) for text in (piece.a_text or piece.a, piece.b_text or piece.b)]
    words = [f"{ends[0]} to {ends[1]}"]
    if len(run.loads) > 1 and wire.id == wire.run:
        loads = (job.wiring.part_of(point) or point for point in run.loads)
        words = [f"{ends[0]} to {and_more(part_words(job, load) for load in loads)}"]
    if wire.role == "return":
        words[0] = f"return, {words[0]}"
    if wire.length_m:
        star = "*" if "length" in wire.chosen else ""
        words.append(f"{wire.length_m:.3g} m{star}")
    if run.run.via and wire.role == "feed":
        words.append(f"by {', '.join(run.run.via)}")
    return Head(
        id=wire.id,
        what=f"{wire.id} · {size_words(wire)}",
        runs=", ".join(words),
        colours=colour_letters(wire.colour),
        area_mm2=wire.area_mm2,
        place=Job(job).place(wire.id),
    )


def part_head(job: Assessment, id: str) -> Head:
    """Return the head of a part's slip: what it is, what feeds it and brings its current back."""
    part = job.wiring.parts[id]
    kind = part.kind.replace("_", " ")
    name = part.name or ""
    what = " · ".join(dict.fromkeys(word for word in (id, name, kind) if word))
    fed = next((circuit for circuit in job.circuits.values() if circuit.load == id), None)
    return Head(id=id, what=what, runs=fed_words(job, fed) if fed else "", place=Job(job).place(id))


def fed_words(job: Assessment, circuit: CircuitFigure) -> str:
    """Return where a load is fed from, by which wire, and where its current goes back."""
    run = job.wiring.runs[circuit.wire]
    backs = [piece for piece in run.pieces if piece.is_return and piece.b != f"{run.id}~minus"]
    back = backs[-1] if backs else None
    through = "".join(f", {passage}" for passage in run.run.through).replace(", ", " through ", 1)
    words = f"fed from {part_words(job, circuit.feeder)} by {circuit.wire}{through}"
    if circuit.path == "charging":
        words = f"charged from {part_words(job, circuit.feeder)} by {circuit.wire}"
    return words if back is None else f"{words}, back to {end_words(job, back.b_text or back.b)}"


def stud_head(job: Assessment, id: str) -> Head:
    """Return the head of a stud's slip."""
    return Head(id=id, what=f"{id} · stud on the body", place=job.plan.studs[id].place)
