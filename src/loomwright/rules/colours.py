"""Rules on the colours of wires: protective earth's own, one colour at both poles, at two voltages, order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator
from dataclasses import dataclass

from loomwright.assessment.record import Assessment, WireFigure
from loomwright.plan.model import Leg
from loomwright.plan.pieces import BODY, FlatRun, Piece, Wiring
from loomwright.tables.iec_60445 import NEAR_PROTECTIVE, RESERVED_SOURCE, SINGLE_SOURCE
from loomwright.tables.iec_60757 import COLOUR_SOURCE, PROTECTIVE_EARTH, in_order

from .finding import Finding
from .registry import SOUND_WIRING, Job, rule

_BARE = ("busbar", "splice")
_EARTHS = ("earth", "case")


@dataclass(frozen=True, slots=True)
class _Marked:
    """A wire of the low voltage with its colour, whether the plan states that, and its pole."""

    flat: FlatRun
    piece: Piece
    colour: str
    stated: bool
    pole: str


def _typed_colour(flat: FlatRun, piece: Piece) -> str | None:
    """Return the colour that a run states for one of its pieces."""
    leg = flat.run.legs.get(piece.load or "", Leg()) if piece.load else Leg()
    if piece.is_return:
        back = leg.return_ if leg.return_ is not None else flat.run.return_
        return back.colour if back is not None else None
    return leg.colour or flat.run.colour


def _coloured(flat: FlatRun) -> bool:
    """Return whether a run states the colour of any of its pieces."""
    run = flat.run
    if run.colour or (run.return_ is not None and run.return_.colour):
        return True
    legs = run.legs.values()
    return any(leg.colour or (leg.return_ is not None and leg.return_.colour) for leg in legs)


def _states_colours(job: Assessment) -> bool:
    """Return whether the plan says any colour itself; what the program chooses is sound in itself."""
    return bool(job.plan.basis.colours) or any(_coloured(flat) for flat in job.wiring.runs.values())


def _marked(job: Assessment) -> Iterator[_Marked]:
    """Give the wires whose colours are judged: not the mains, not inside a box, not the vehicle maker's."""
    of_plan = set((job.plan.basis.colours or {}).values())
    for flat in job.wiring.runs.values():
        if flat.mains or flat.inner or flat.run.factory is True:
            continue
        own = _coloured(flat)
        for piece in flat.pieces:
            colour = job.wires[piece.id].colour
            stated = colour in of_plan or (own and bool(_typed_colour(flat, piece)))
            yield _Marked(flat, piece, colour, stated, job.poles.of(piece))


def _looms(wiring: Wiring, one: _Marked) -> frozenset[str]:
    """Return where a wire lies beside others: its own run, the paths and plugs that it goes through."""
    flat, piece = one.flat, one.piece
    leg = flat.run.legs.get(piece.load or "", Leg()) if piece.load else Leg()
    back = leg.return_ or flat.run.return_ if piece.is_return else None
    own = back.via if back is not None else leg.via
    via = own if own is not None else flat.run.via
    plugs = (wiring.part_of(point) or "" for point in (piece.a, piece.b) if point[-1] in "<>")
    return frozenset((flat.id, *plugs, *(stop for stop in via if stop in wiring.plan.paths)))


@rule(
    worst="fault",
    asks="Is green-yellow kept for protective earth?",
    why="Whoever works on the mains side later takes a green-yellow wire for earth and holds on to it.",
    source=RESERVED_SOURCE,
)
def green_yellow_not_earth(job: Job) -> Iterator[Finding]:
    job_a = job.assessment
    low = (wire for wire in job_a.wires.values() if not wire.mains and not wire.inner and not wire.factory)
    wires = [wire for wire in low if {wire.colour[:2], wire.colour[2:]} == {"GN", "YE"}]
    bonds = _bonds(job_a.wiring) if wires else frozenset()
    by_run: dict[str, list[WireFigure]] = defaultdict(list)
    for wire in wires:
        if wire.id not in bonds:
            by_run[wire.run].append(wire)
    for run, found in by_run.items():
        ids = [wire.id for wire in found]
        yield Finding(
            rule="green_yellow_not_earth",
            severity="fault",
            where=run,
            also=tuple(ids),
            place=job.place(*ids),
            says=f"{' and '.join(ids)}: green-yellow, and no protective earth",
            do="use another colour: red for a feed, black for a return",
            source=RESERVED_SOURCE,
        )


def _bonds(wiring: Wiring) -> frozenset[str]:
    """Return the wires that bond: from an earth or a case, on over bars, or from body to body."""
    found: set[str] = set()
    points = [point for point in wiring.by_point if _is_earth(wiring, point)]
    while points:
        for piece in wiring.by_point[points.pop()]:
            if piece.id not in found:
                found.add(piece.id)
                ends = (piece.a, piece.b)
                points += [p for p in ends if p in wiring.parts and wiring.parts[p].kind in _BARE]
    on_body = (p for p in wiring.pieces() if _on_body(wiring, p.a) and _on_body(wiring, p.b))
    return frozenset(found | {piece.id for piece in on_body})


def _is_earth(wiring: Wiring, point: str) -> bool:
    part, terminal = wiring.part_of(point), wiring.terminal_of(point)
    return terminal in _EARTHS or (part is not None and wiring.parts[part].terminals.get(terminal) == "case")


def _on_body(wiring: Wiring, point: str) -> bool:
    return point in wiring.plan.studs or point.endswith(f"@{BODY}")


@rule(
    worst="watch",
    asks="Has each colour of a loom one pole?",
    why="Red is taken for plus and black for minus; one of them at both in a loom gets swapped one day.",
    source=SOUND_WIRING,
)
def colour_at_both_poles(job: Job) -> Iterator[Finding]:
    if not _states_colours(job.assessment):
        return
    by_colour: dict[str, list[_Marked]] = defaultdict(list)
    for one in _marked(job.assessment):
        if one.pole and one.colour != PROTECTIVE_EARTH:
            by_colour[one.colour].append(one)
    for colour, wires in by_colour.items():
        odd, other = _odd_ones(job.assessment.wiring, colour, wires)
        if not odd:
            continue
        ids = tuple(one.piece.id for one in odd)
        shared = _shared(job.assessment.wiring, odd[0], other)
        usual = "red is usual for plus" if odd[0].pole == "plus" else "black is usual for minus"
        yield Finding(
            rule="colour_at_both_poles",
            severity="watch",
            where=odd[0].piece.run,
            also=(*ids, other.piece.id),
            place=job.place(ids[0], other.piece.id),
            says=f"{colour} is {odd[0].pole} in {' and '.join(ids)} and {other.pole} in {other.piece.id}, "
            f"{shared}",
            do=f"use another colour for {' and '.join(ids)}, {usual}",
            source=SOUND_WIRING,
            cause=colour,
        )


def _odd_ones(wiring: Wiring, colour: str, wires: Collection[_Marked]) -> tuple[list[_Marked], _Marked]:
    """Return the wires of the pole that is the unusual one of a colour, and one that they meet."""
    met: dict[str, dict[str, _Marked]] = {"plus": {}, "minus": {}}
    by_id = {one.piece.id: one for one in wires}
    both = {one.pole for one in wires} == {"plus", "minus"}
    looms = {one.piece.id: _looms(wiring, one) for one in wires} if both else {}
    minuses = [one for one in wires if one.pole == "minus"]
    for plus in (one for one in wires if one.pole == "plus") if both else ():
        for minus in minuses:
            if (plus.stated or minus.stated) and looms[plus.piece.id] & looms[minus.piece.id]:
                met["plus"].setdefault(plus.piece.id, minus)
                met["minus"].setdefault(minus.piece.id, plus)
    usual = {"BK": "minus", "RD": "plus"}.get(colour)
    if usual is None:
        usual = "plus" if len(met["plus"]) > len(met["minus"]) else "minus"
    pairs = met["minus" if usual == "plus" else "plus"]
    odd = [by_id[id] for id in pairs]
    return odd, next(iter(pairs.values()), next(iter(wires)))


def _shared(wiring: Wiring, one: _Marked, other: _Marked) -> str:
    """Return in words where two wires lie together."""
    looms = _looms(wiring, one) & _looms(wiring, other)
    for kind in ("plug", "path"):
        for loom in sorted(looms):
            if (kind == "plug") == (loom in wiring.parts) and loom not in wiring.runs:
                return f"both in {loom}"
    return "both at the same load"


@rule(
    worst="watch",
    asks="Has each colour of a loom one voltage?",
    why="A 12 V lamp that is tapped off a 24 V wire of the same colour burns out, or burns.",
    source=SOUND_WIRING,
)
def colour_at_two_voltages(job: Job) -> Iterator[Finding]:
    volts = {circuit.wire: circuit.system_v for circuit in job.assessment.circuits.values()}
    if len(set(volts.values())) < 2 or not _states_colours(job.assessment):
        return
    by_colour: dict[str, list[_Marked]] = defaultdict(list)
    for one in _marked(job.assessment):
        if one.pole == "plus" and one.piece.run in volts:
            by_colour[one.colour].append(one)
    for colour, wires in by_colour.items():
        low = [one for one in wires if volts[one.piece.run] < 18]
        high = [one for one in wires if volts[one.piece.run] > 18]
        wiring = job.assessment.wiring
        looms = {one.piece.id: _looms(wiring, one) for one in (*low, *high)} if low and high else {}
        pair = next(
            (
                (b, a)
                for a in low
                for b in high
                if (a.stated or b.stated) and looms[a.piece.id] & looms[b.piece.id]
            ),
            None,
        )
        if pair is None:
            continue
        one, other = pair
        yield Finding(
            rule="colour_at_two_voltages",
            severity="watch",
            where=one.piece.run,
            also=(one.piece.id, other.piece.id, other.piece.run),
            place=job.place(one.piece.id, other.piece.id),
            says=f"{colour} is at {volts[one.piece.run]:g} V in {one.piece.id} and at "
            f"{volts[other.piece.run]:g} V in {other.piece.id}, "
            f"{_shared(wiring, one, other)}",
            do=f"use a colour for the {volts[one.piece.run]:g} V wires that no other wire of this loom has",
            source=SOUND_WIRING,
            cause=colour,
        )


@rule(
    worst="note",
    asks="Do green or yellow wires lie beside the mains?",
    why="Green alone or yellow alone may be taken for protective earth where a mains cable lies.",
    source=SINGLE_SOURCE,
)
def green_or_yellow_beside_mains(job: Job) -> Iterator[Finding]:
    wiring = job.assessment.wiring
    paths = {stop for flat in wiring.runs.values() if flat.mains for stop in flat.run.via}
    paths &= set(wiring.plan.paths)
    for one in _marked(job.assessment) if paths else ():
        beside = sorted(_looms(wiring, one) & paths) if one.colour in NEAR_PROTECTIVE else ()
        if beside:
            yield Finding(
                rule="green_or_yellow_beside_mains",
                severity="note",
                where=one.piece.id,
                also=(one.piece.run,),
                place=job.place(one.piece.id),
                says=f"{one.piece.id} is {one.colour}, and a mains cable lies in {beside[0]} too",
                do="use another colour, or a striped one",
                source=SINGLE_SOURCE,
            )


@rule(
    worst="note",
    asks="Are two colours written in the usual order?",
    why="One wire under two names is looked for twice on lists and reels.",
    source=COLOUR_SOURCE,
)
def colours_in_other_order(job: Job) -> Iterator[Finding]:
    seen: dict[str, list[Piece]] = defaultdict(list)
    for flat in job.assessment.wiring.runs.values():
        for piece in flat.pieces if _coloured(flat) else ():
            colour = _typed_colour(flat, piece) or ""
            if len(colour) == 4 and in_order(colour) != colour:
                seen[colour].append(piece)
    for colour, pieces in seen.items():
        ids = tuple(piece.id for piece in pieces)
        yield Finding(
            rule="colours_in_other_order",
            severity="note",
            where=pieces[0].run,
            also=ids,
            place=job.place(*ids),
            says=f"{colour} in {', '.join(ids)}: the letters' own order is {in_order(colour)}",
            do=f"write {in_order(colour)}",
            source=COLOUR_SOURCE,
            cause=colour,
        )
