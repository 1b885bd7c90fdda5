"""A plan's wiring taken apart: every run as its pieces, every end as one named point, composites opened.

A *point* is a text: `leisure.plus`, `P1.3`, `minus_bar`, `E1`; a point inside a composite part carries its
path, `U1/KS.30`. A plug pin has two points, one on either half: `X5.1<` (fixed) and `X5.1>` (loose). Where
several loads share a run, their joint is `W4~` and the joint of their minuses `W4~minus`. An end typed as
`body` lands on an assumed stud of its own, `W4.return@body`.

Ids of pieces come from keys and part names only (plan format, section 3), so inserting a run renames nothing.
No sums here: lengths, sizes and resistances are worked out in `assessment`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from .kinds import is_mains_terminal, minus_of, usual, usual_passage
from .model import Leg, Part, Plan, Return, Run
from .values import AUTO, UNKNOWN, End, Fuse, Passage

#: The shell of the vehicle, all studs meet here.
BODY = "body"
#: Ends the name of the point at which the loads of a run are joined.
JOINT = "~"

_BARE = ("busbar", "splice")


@dataclass(frozen=True, slots=True)
class Spot:
    """Where one fuse sits: at the `a` or the `b` end of its piece, in the way `way` of a box if any."""

    fuse: Fuse
    side: str
    way: str | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of wire between two points; current of its load flows from `a` to `b`.

    `share` is its part of the run's length (or of the return's); `load` the load it serves alone, if any.
    """

    id: str
    run: str
    role: str  # feed, leg or return
    a: str
    b: str
    share: float = 1.0
    spots: tuple[Spot, ...] = ()
    load: str | None = None
    a_text: str = ""
    b_text: str = ""

    @property
    def is_return(self) -> bool:
        """True for a piece that brings the minus back."""
        return self.role == "return"


@dataclass(frozen=True, slots=True)
class FlatRun:
    """A run with the path of the composite part it lies in ("" for the van's own) and its pieces."""

    id: str
    run: Run
    scope: str
    mains: bool
    pieces: tuple[Piece, ...]
    loads: tuple[str, ...]  # points it ends on, in order

    @property
    def inner(self) -> bool:
        """True for a wire inside a composite part that states neither area nor length: part of the box."""
        return bool(self.scope) and not ({"area", "length"} & self.run.typed)


@dataclass(frozen=True, slots=True)
class Wiring:
    """All parts (composites opened, ids with their path) and all runs of a plan."""

    plan: Plan
    parts: Mapping[str, Part]
    runs: Mapping[str, FlatRun]
    by_point: Mapping[str, tuple[Piece, ...]] = field(repr=False)
    run_to: Mapping[str, FlatRun] = field(repr=False)  # the first run that ends on a point

    def pieces(self) -> Iterator[Piece]:
        """Give every piece, in the plan's order."""
        for flat in self.runs.values():
            yield from flat.pieces

    def part_of(self, point: str) -> str | None:
        """Return the id of the part that a point belongs to, None for studs, joints and the body."""
        if point in self.parts:
            return point
        name = point.rstrip("<>").rpartition(".")[0]
        return name if name in self.parts else None

    def owner(self, load: str) -> Part:
        """Return the part that a load is, or the socket of a trailer's contact."""
        return self.parts[self.part_of(load) or load]

    def terminal_of(self, point: str) -> str:
        """Return the terminal's name of a point, "" for bars, splices, studs and joints."""
        part = self.part_of(point)
        return "" if part is None or part == point else point.rstrip("<>")[len(part) + 1 :]

    def minus_of(self, point: str) -> str | None:
        """Return the point where the minus of the thing at `point` is, None if it has none of its own."""
        part_id = self.part_of(point)
        if part_id is None:
            return None
        part, terminal = self.parts[part_id], self.terminal_of(point)
        if part.kind == "fuse_box":
            terminal = "in"
            if part.minus_rail is not True:
                return None
        name = minus_of(part, terminal)
        return None if name is None else f"{part_id}.{name}"

    def minus_of_feed(self, point: str) -> str | None:
        """Return the minus that belongs to a feed: its own, else that of the part that feeds it."""
        seen: set[str] = set()
        while point not in seen:
            seen.add(point)
            minus = self.minus_of(point)
            if minus is not None:
                return minus
            feeder = self._feeder(point)
            if feeder is None:
                return None
            point = feeder
        return None

    def _feeder(self, point: str) -> str | None:
        """Return the start of the run that ends on the part of `point`, None if nothing does."""
        part = self.part_of(point)
        for flat in self.runs.values():
            for load in flat.loads:
                if load == point or (part is not None and self.part_of(load) == part):
                    start = flat.pieces[0].a if flat.pieces else None
                    if start is not None and self.part_of(start) != part:
                        return start
        return None


def take_apart(plan: Plan) -> Wiring:
    """Open the composites of a plan and take all its runs apart.

    Parameters
    ----------
    plan : Plan
        A plan as `read_plan` gives it; its references are sound.

    Returns
    -------
    Wiring
        Parts, runs and pieces in the plan's order.
    """
    parts: dict[str, Part] = {}
    _open_parts(plan.parts, "", parts)
    wiring = Wiring(plan, parts, {}, {}, {})
    runs: dict[str, FlatRun] = {}
    for key, run in plan.wiring.items():
        runs[key] = _Cutter(wiring, key, run, "").cut()
    for part_id, part in parts.items():
        if part.kind == "unit" and part.inside is not None:
            for key, run in part.inside.wiring.items():
                full = f"{part_id}/{key}"
                runs[full] = _Cutter(wiring, full, run, f"{part_id}/").cut()
    runs = _close_returns(Wiring(plan, parts, runs, {}, {}), runs)
    by_point: dict[str, list[Piece]] = {}
    for flat in runs.values():
        for piece in flat.pieces:
            by_point.setdefault(piece.a, []).append(piece)
            by_point.setdefault(piece.b, []).append(piece)
    run_to: dict[str, FlatRun] = {}
    for flat in runs.values():
        for load in flat.loads:
            run_to.setdefault(load, flat)
    pieces_at = {point: tuple(pieces) for point, pieces in by_point.items()}
    return Wiring(plan, parts, runs, pieces_at, run_to)


def _open_parts(parts: Mapping[str, Part], scope: str, into: dict[str, Part]) -> None:
    for key, part in parts.items():
        into[scope + key] = part
        if part.kind == "unit" and part.inside is not None:
            _open_parts(part.inside.parts, f"{scope}{key}/", into)


def point_of(wiring: Wiring, end: End, scope: str, side: str) -> str:
    """Return the point that an end names.

    Parameters
    ----------
    wiring : Wiring
        Its parts are looked up.
    end : End
        As typed; its usual terminal is filled in.
    scope : str
        "" outside, "U1/" inside the composite U1.
    side : str
        "from" or "to": which usual terminal, which half of a plug.

    Returns
    -------
    str
        The point's name (see the module).
    """
    part_id = scope + end.id
    part = wiring.parts.get(part_id)
    if part is None:
        return end.id
    if part.kind in _BARE:
        return part_id
    terminal = end.terminal if end.terminal is not None else usual(part, "from" if side == "from" else "to")
    if part.kind == "unit" and terminal is not None and terminal in part.ports:
        return point_of(wiring, part.ports[terminal], f"{part_id}/", side)
    if part.kind == "plug":
        return f"{part_id}.{terminal}{'>' if side == 'from' else '<'}"
    return part_id if not terminal else f"{part_id}.{terminal}"


#: Marks a return whose end is only known once all runs are there: the minus that belongs to `from`.
_OPEN = "?"


class _Cutter:
    """Takes one run apart."""

    def __init__(self, wiring: Wiring, key: str, run: Run, scope: str) -> None:
        self.wiring, self.key, self.run, self.scope = wiring, key, run, scope
        self.pieces: list[Piece] = []

    def cut(self) -> FlatRun:
        run = self.run
        start = self._point(run.from_, "from")
        several = len(run.to) > 1 or bool(run.legs)
        loads = [self._point(end, "to") for end in run.to]
        feed_end = self.key + JOINT if several else loads[0]
        feed = self._chain(start, run.through, feed_end, self.key, "feed")
        feed = _text_ends(feed, str(run.from_), "joint" if several else str(run.to[0]))
        self.pieces += self._fused(feed, run.fuse, run.from_, start, feed_end)
        if several:
            self._legs(loads)
        minuses = [self.wiring.minus_of(load) for load in loads]
        if run.return_ is not None or any(leg.return_ is not None for leg in run.legs.values()):
            self._return(minuses, several)
        mains = any(self._is_mains(point) for point in (start, *loads))
        return FlatRun(self.key, run, self.scope, mains, tuple(self.pieces), tuple(loads))

    def _point(self, end: End, side: str) -> str:
        if end.id == BODY:
            return f"{self.key}@{BODY}"
        return point_of(self.wiring, end, self.scope, side)

    def _is_mains(self, point: str) -> bool:
        part = self.wiring.part_of(point)
        return part is not None and is_mains_terminal(self.wiring.parts[part], self.wiring.terminal_of(point))

    def _chain(
        self, start: str, through: Sequence[Passage], end: str, name: str, role: str, load: str | None = None
    ) -> list[Piece]:
        """Cut a chain of passages into pieces; two-way pairs give two travellers side by side."""
        backward = role == "return"
        pieces: list[tuple[str, str, str, int]] = []
        stage = 0
        here: tuple[str, ...] = (start,)
        for passage in through:
            entries, exits, tags = self._passage(passage, travellers=len(here) == 2, backward=backward)
            for k, (a, b) in enumerate(zip(here, entries, strict=True) if len(here) == len(entries) else ()):
                tag = f"{passage.part}.{tags[k]}" if tags[k] else passage.part
                pieces.append((f"{name}.{tag}", a, b, stage))
            stage += 1
            here = exits
        pieces += [(name, point, end, stage) for point in here[:1]]
        stages = stage + 1
        return [Piece(id, self.key, role, a, b, share=1.0 / stages, load=load) for id, a, b, _ in pieces]

    def _passage(
        self, passage: Passage, *, travellers: bool, backward: bool
    ) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
        """Return the points where the current enters and leaves a passage, and the tags of those pieces."""
        part_id = self.scope + passage.part
        part = self.wiring.parts[part_id]

        def at(terminal: str) -> str:
            return f"{part_id}.{terminal}"

        if part.kind in _BARE:
            return (part_id,), (part_id,), ("",)
        if part.kind == "plug":
            halves = (at(f"{passage.pin}<"), at(f"{passage.pin}>"))
            entry, exit_ = halves[::-1] if backward else halves
            return (entry,), (exit_,), (passage.pin or "",)
        if passage.ends is not None:
            return (at(passage.ends[0]),), (at(passage.ends[1]),), (passage.ends[0],)
        if part.kind == "two_way":
            pair = (at("a"), at("b"))
            return (pair, (at("com"),), ("a", "b")) if travellers else ((at("com"),), pair, ("",))
        if part.kind == "intermediate":
            return (at("a1"), at("b1")), (at("a2"), at("b2")), ("a", "b")
        usual_ends = usual_passage(part)
        assert usual_ends is not None, "the reader lets only parts with a passage stand in `through`"
        return (at(usual_ends[0]),), (at(usual_ends[1]),), ("",)

    def _fused(
        self,
        pieces: list[Piece],
        fuses: tuple[Fuse, ...] | object,
        from_: End | None,
        start: str,
        end: str,
    ) -> list[Piece]:
        """Put each fuse of a run at its place; a run that starts in a way of a box has one even untyped."""
        way = self._way(start)
        if fuses is None:
            listed: tuple[Fuse, ...] = (Fuse(AUTO),) if way is not None and from_ is not None else ()
        elif fuses is UNKNOWN or fuses is AUTO:
            listed = (Fuse(UNKNOWN if fuses is UNKNOWN else AUTO),)
        else:
            assert isinstance(fuses, tuple)
            listed = fuses
        for fuse in listed:
            pieces = _with_spot(pieces, *self._spot(pieces, fuse, start, end))
        return pieces

    def _spot(self, pieces: list[Piece], fuse: Fuse, start: str, end: str) -> tuple[int, Spot]:
        if fuse.at == "from":
            return 0, Spot(fuse, "a", self._way(start))
        if fuse.at == "to":
            return len(pieces) - 1, Spot(fuse, "b", self._way(end))
        for k, piece in enumerate(pieces):
            if self.wiring.part_of(piece.a) == self.scope + fuse.at:
                return k, Spot(fuse, "a")
        return 0, Spot(fuse, "a", self._way(start))

    def _way(self, point: str) -> str | None:
        part = self.wiring.part_of(point)
        if part is None or self.wiring.parts[part].kind != "fuse_box":
            return None
        return point if self.wiring.terminal_of(point).isdigit() else None

    def _legs(self, loads: list[str]) -> None:
        run, before = self.run, self.key + JOINT
        for end, load in zip(run.to, loads, strict=True):
            leg = run.legs.get(end.id, Leg())
            name = f"{self.key}.{end.id}"
            chain = self._chain(before, leg.through or (), load, name, "leg", load=end.id)
            chain = _text_ends(chain, "joint", str(end))
            self.pieces += self._fused(chain, leg.fuse if leg.fuse is not None else (), None, before, load)
            if run.joined == "chain":
                before = load

    def _return(self, minuses: list[str | None], several: bool) -> None:
        run = self.run
        if not several:
            if minuses[0] is not None and run.return_ is not None:
                self._return_chain(minuses[0], run.return_, f"{self.key}.return", None, minuses[0])
            return
        joint = f"{self.key}{JOINT}minus"
        joined = False
        for end, minus in zip(run.to, minuses, strict=True):
            if minus is None:
                continue
            leg, name = run.legs.get(end.id, Leg()), f"{self.key}.{end.id}.return"
            if leg.return_ is not None:
                self._return_chain(minus, leg.return_, name, end.id, str(end))
            elif run.return_ is not None:
                piece = Piece(name, self.key, "return", minus, joint, load=end.id)
                self.pieces.append(_text_ends([piece], str(end), "joint")[0])
                joined = True
        if joined and run.return_ is not None:
            self._return_chain(joint, run.return_, f"{self.key}.return", None, "joint")

    def _return_chain(self, start: str, back: Return, name: str, load: str | None, text: str) -> None:
        assert back.to is not None
        if back.to.id == "wire":
            end = _OPEN
        elif back.to.id == BODY:
            end = f"{name}@{BODY}"
        else:
            end = self._point(back.to, "to")
        chain = self._chain(start, back.through or (), end, name, "return", load=load)
        self.pieces += _text_ends(chain, text, str(back.to))


def _with_spot(pieces: list[Piece], index: int, spot: Spot) -> list[Piece]:
    piece = pieces[index]
    fused = replace(piece, spots=(*piece.spots, spot))
    return [*pieces[:index], fused, *pieces[index + 1 :]]


def _text_ends(pieces: list[Piece], first: str, last: str) -> list[Piece]:
    """Give each piece the words for its two ends: as typed at the outside, the point's name within."""
    named = []
    for k, piece in enumerate(pieces):
        a = first if k == 0 else piece.a.rstrip("<>")
        b = last if k == len(pieces) - 1 else piece.b.rstrip("<>")
        named.append(replace(piece, a_text=a, b_text=b))
    return named


def _close_returns(wiring: Wiring, runs: dict[str, FlatRun]) -> dict[str, FlatRun]:
    """Let each `return: wire` end on the minus that belongs to `from`."""
    closed = {}
    for key, flat in runs.items():
        if any(piece.b == _OPEN for piece in flat.pieces):
            minus = wiring.minus_of_feed(flat.pieces[0].a) or f"{key}.return@nowhere"
            pieces = tuple(
                replace(piece, b=minus, b_text=minus) if piece.b == _OPEN else piece for piece in flat.pieces
            )
            flat = FlatRun(key, flat.run, flat.scope, flat.mains, pieces, flat.loads)
        closed[key] = flat
    return closed
