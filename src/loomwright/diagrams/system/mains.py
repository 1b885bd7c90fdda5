"""The mains side on the system sheet: a band of its own, boxes and plain lines, not judged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import typed
from loomwright.plan.model import Part

from .levels import Level
from .sides import MAINS_KINDS
from .things import USED, Graph, Line, Thing, Tip

_BAND = Level(
    widths=(40, 40, 44, 40, 60), bar=6, bar_words=20, title=2.9, text=2.7, lines=0, row=1, row_height=5.0,
    row_gap=2.6,
    gap=2.6, pitch=3.4, link=7.0,
)  # fmt: skip
_DENSE = replace(_BAND, widths=(30, 30, 30, 30, 40), title=2.6, text=2.5, row=0, row_height=3.2, row_gap=0.0)
#: With ever less room: for a long chain or many sockets, for a band that ends left of what is used.
MAINS_LEVELS = (
    _BAND,
    _DENSE,
    replace(_DENSE, widths=(26, 24, 26, 26, 38)),
    replace(_DENSE, widths=(20, 20, 22, 22, 34)),
)


def mains_graph(job: Assessment, spots: Mapping[str, str]) -> Graph:
    """Return the mains side; parts that stand in the field above are told with their spot."""
    wiring = job.wiring
    lines: list[Line] = []
    for order, (_, flat) in enumerate(wiring.runs.items()):
        if not flat.mains or flat.scope:
            continue
        for piece in flat.pieces:
            a, b = wiring.part_of(piece.a), wiring.part_of(piece.b)
            if piece.is_return or a is None or b is None:
                continue
            start, end = a.partition("/")[0], b.partition("/")[0]
            if start != end:
                lines.append(Line(start, (Tip(end, piece.id),), (piece.id,), order=order))
    lines += _plugged(job, len(wiring.runs))
    ids = {id for id, part in wiring.plan.parts.items() if part.kind in MAINS_KINDS}
    ids |= {end for line in lines for end in (line.start, line.tips[0].thing)}
    depths = _depths(lines, [id for id in wiring.plan.parts if id in ids])
    deepest = max(depths.values(), default=0)
    loose = {id for id in ids if wiring.parts[id].kind == "appliance" and not _joined(id, lines)}
    depths |= dict.fromkeys(loose, deepest)
    things = {}
    for order, id in enumerate(wiring.plan.parts):
        if id in ids:
            field = max(0, USED - (deepest - depths[id]))
            things[id] = Thing(
                id, field, wiring.parts[id], order, True, _words(wiring.parts[id], spots.get(id, ""))
            )
    return Graph(things, tuple(lines))


def _plugged(job: Assessment, order: int) -> Iterator[Line]:
    """Yield what is plugged without being typed: the lead in the inlet, an appliance in its socket."""
    parts = job.wiring.plan.parts
    inlets = [id for id, part in parts.items() if part.kind == "inlet"]
    for id, part in parts.items():
        if part.kind == "hook_up_lead" and inlets:
            yield Line(id, (Tip(inlets[0], ""),), (), order=order)
        if part.kind == "appliance" and part.plugged in parts:
            yield Line(part.plugged, (Tip(id, ""),), (), order=order)


def _joined(id: str, lines: list[Line]) -> bool:
    return any(id in (line.start, line.tips[0].thing) for line in lines)


def _words(part: Part, spot: str) -> tuple[str, ...]:
    """Return what is told of a mains part; of one that stands above, where that is."""
    if spot:
        return (f"see {spot}",)
    plugged = "plugged anywhere" if part.kind == "appliance" and part.plugged == "any" else ""
    ways = f"{part.ways} ways" if isinstance(part.ways, int) else ""
    told = (typed(part.power), ways, typed(part.rating), typed(part.length), plugged)
    return tuple(word for word in told if word)


def _depths(lines: list[Line], ids: list[str]) -> dict[str, int]:
    """Return how many lines lead to each part, the longest way; rings are cut."""
    before: dict[str, list[str]] = {id: [] for id in ids}
    for line in lines:
        before[line.tips[0].thing].append(line.start)
    depths: dict[str, int] = {}

    def depth(id: str, open_: tuple[str, ...]) -> int:
        if id not in depths and id not in open_:
            found = max(
                (depth(other, (*open_, id)) + 1 for other in before[id] if other not in open_), default=0
            )
            depths[id] = min(found, USED)
        return depths.get(id, 0)

    for id in ids:
        depth(id, ())
    return depths
