"""The other things of the mains sheet: post, inlet, what makes mains, change-over, RCD, socket, arrows."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import LINKAGE, PLANNED, UNIT, Pen
from loomwright.drawing.scene import Circle, Link, Polyline, Text, rectangle
from loomwright.drawing.symbols_mains import (
    BREAKER_POLE,
    CONTACT_POLE,
    GRIP,
    PIN,
    POLE_HALF,
    SOCKET_CONTACT,
    WIRED_END,
    summing_ring,
)  # fmt: skip
from loomwright.drawing.symbols_parts import GOES_ON, PROTECTIVE_EARTH

from .graph import rating_of
from .paint import LINE, Painter
from .place import INPUT_STEP, OVER, PITCH, RIGHT
from .tree import Node
from .words import maker_words, outlet_words, pitch_words, poles_word, rcd_words, title_words

_BOND = Pen("ink", 0.5)
#: Where a maker's own box ends and its lines begin, and its bond. [mm]
_MADE, _JOINED = 12.0, 16.5
#: Room for the words over an arrow that comes from elsewhere. [mm]
_FROM = 23.0


def paint_thing(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    """Draw one thing that is no breaker box."""
    sort = node.unit.sort
    draw = {
        "post": _post, "inlet": _inlet, "maker": _maker, "change": _change, "rcd": _rcd, "joint": _joint,
        "outlet": _outlet, "plain": _plain, "goes": _goes, "comes": _comes,
    }[sort]  # fmt: skip
    draw(painter, node, cores)


def _frame(
    painter: Painter, node: Node, right: float | None = None, under: float = 0.0
) -> tuple[float, float, float]:
    """Draw the frame of a thing; return its left and right edge and the height of its first line."""
    placed, id = painter.placed, node.unit.id
    left, y = placed.left[id], placed.rows[id][0]
    right = left + placed.width[id] if right is None else right
    height = placed.last_line + 2 * OVER + under
    of = Link("part", node.unit.part)
    painter.items.append(rectangle(left, y - OVER, right - left, height, pen=UNIT, layer="places", of=of))
    return left, right, y


def _titled(painter: Painter, node: Node, width: float) -> None:
    placed, id = painter.placed, node.unit.id
    at = (placed.left[id], placed.rows[id][0] - OVER - 1.6)
    painter.title(*title_words(painter.job, node.unit.part), at, width, Link("part", node.unit.part))


def _post(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    """The pitch: its breaker, its RCD if a supply of the plan has one, its earth, the supplies in words."""
    of = Link("part", node.unit.part)
    left, right, y = _frame(painter, node)
    painter.title("Pitch", "", (left, y - OVER - 1.6), right - left, of)
    for core in cores:
        at = painter.y(y, core)
        painter.items.append(Text((left + 1.2, at + 1.0), core, 2.6, 600, of=of))
        painter.line(core, ((left + 7.0, at), (left + 10.0, at)), of)
    pitches = painter.job.mains.pitches
    x = left + 10.0
    painter.poles(BREAKER_POLE, painter.opened(None, cores), cores, y, (x, right), of)
    if any(pitch.residual is not None for pitch in pitches):
        heights = [painter.y(y, core) for core in cores if core != "PE"]
        ring = summing_ring(max(heights) - min(heights))
        painter.sign(ring, (x + 2 * POLE_HALF + 4.0, (heights[0] + heights[-1]) / 2), of)
    earth = painter.y(y, "PE")
    under = earth + OVER + 4.0
    if any(pitch.earthing != "none" for pitch in pitches) or not pitches:
        at = left + 8.0
        painter.line("PE", ((at, earth), (at, earth + OVER + 2.0)), of)
        painter.dot((at, earth), of)
        painter.sign(PROTECTIVE_EARTH, (at, earth + OVER + 2.0 + 3.75), of)
        under += 10.5
    painter.words((left, under), pitch_words(painter.job) or ("no supply in the plan",), 66.0, of=of)


def _inlet(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    of = Link("part", node.unit.part)
    left, right, y = _frame(painter, node)
    _titled(painter, node, 30.0)
    for core in cores:
        at = painter.y(y, core)
        painter.line(core, ((left, at), (left + 2.4, at)), of)
        painter.sign(PIN, (left + 5.0, at), of)
        painter.line(core, ((left + 8.0, at), (right, at)), of)
    part = painter.job.wiring.parts[node.unit.part]
    told = [rating_of(part), "; ".join(word for word in (part.ip or "",) if word)]
    painter.words((left, y + painter.placed.last_line + OVER + 4.0), told, 22.0, of=of)


def _maker(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    """What makes mains: its own box, whether its neutral is joined to earth, its own RCD."""
    placed, job, of = painter.placed, painter.job, Link("part", node.unit.part)
    left, right, y = _frame(painter, node)
    _titled(painter, node, right - left + 12.0)
    part, last = job.wiring.parts[node.unit.part], placed.last_line
    middle = y + last / 2
    if part.kind == "generator":
        painter.items += [Circle((left + _MADE / 2, middle), 4.5, of=of)]
        painter.items.append(Text((left + _MADE / 2, middle + 1.2), "G", 3.6, 500, "middle", of=of))
    else:
        corner = ((left, y + last + OVER), (left + _MADE, y - OVER))
        painter.items.append(Polyline(corner, of=of))
        painter.items.append(Polyline(((left + _MADE, y - OVER), (left + _MADE, y + last + OVER)), of=of))
        painter.items.append(Text((left + 3.0, y + 0.6), "=", 3.6, 500, "middle", of=of))
        painter.items.append(Text((left + 9.0, y + last + 1.6), "~", 3.6, 500, "middle", of=of))
    gate = next(one for one in job.mains.layout.gates if one.id == f"{node.unit.part}.rcd")
    x = left + _MADE
    painter.level(cores, y, (x, x + 8.0), of)
    end = painter.gate(gate, cores, y, x + 8.0, of)
    painter.level(cores, y, (end, right), of)
    if "N" in cores and "PE" in cores:
        _neutral_bond(
            painter, str(part.neutral_bond), left + _JOINED, (painter.y(y, "N"), painter.y(y, "PE")), of
        )
    told = (rating_of(part), *maker_words(part), " ".join(rcd_words(gate)))
    painter.words((left + 6.0, y + last + OVER + 4.0), told, 44.0, of=of)


def _neutral_bond(painter: Painter, bond: str, x: float, y: tuple[float, float], of: Link) -> None:
    top, bottom = y
    if bond not in ("fixed", "relay", "external"):
        return
    for end in y:
        painter.dot((x, end), of)
    if bond == "relay":
        painter.items.append(Polyline(((x, bottom), (x - 1.5, top + 1.1)), _BOND, of=of))
    else:
        pen = PLANNED if bond == "external" else _BOND
        painter.items.append(Polyline(((x, top), (x, bottom)), pen, of=of))


def _change(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    """A change-over: a set of poles for each input, never both shut."""
    of, placed = Link("part", node.unit.part), painter.placed
    left, right, y = _frame(painter, node, under=INPUT_STEP)
    _titled(painter, node, right - left + 12.0)
    part = painter.job.wiring.parts[node.unit.part]
    poles = part.poles if isinstance(part.poles, int) else 1
    opened = painter.opened(poles, cores)
    for n, row in enumerate((y, y + INPUT_STEP)):
        painter.level(cores, row, (left, left + 2.0), of)
        end = right if n == 0 else left + 2.0 + 2 * POLE_HALF
        painter.poles(CONTACT_POLE, opened, cores, row, (left + 2.0, end), of)
    joins = left + 2.0 + 2 * POLE_HALF + 1.5
    for k, core in enumerate(cores):
        x, low, high = joins + PITCH * k, painter.y(y + INPUT_STEP, core), painter.y(y, core)
        painter.line(core, ((left + 2.0 + 2 * POLE_HALF, low), (x, low), (x, high)), of)
        painter.dot((x, high), of)
    grip = left + 2.0 + POLE_HALF
    link = ((grip, painter.y(y, opened[-1]) + GRIP[1]), (grip, y + INPUT_STEP + GRIP[1]))
    painter.items.append(Polyline(link, LINKAGE, of=of))
    under = y + placed.last_line + OVER + INPUT_STEP + 3.6
    told = (f"change-over, {poles_word(poles)}", "one input at a time")
    painter.words((left, under), told, 34.0, of=of)


def _rcd(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    of = Link("part", node.unit.part)
    left, right, y = _frame(painter, node)
    painter.title("RCD", f"of {node.unit.part}", (left, y - OVER - 4.2), right - left + 10.0, of)
    gate = next(one for one in painter.job.mains.layout.gates if one.id == f"{node.unit.part}.rcd")
    painter.level(cores, y, (left, left + 2.0), of)
    end = painter.gate(gate, cores, y, left + 2.0, of)
    painter.level(cores, y, (end, right), of)
    painter.words(
        (left, y + painter.placed.last_line + OVER + 4.0), rcd_words(gate), right - left + 6.0, of=of
    )


def _joint(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    left, y = painter.placed.left[node.unit.id], painter.placed.rows[node.unit.id][0]
    right = left + painter.placed.width[node.unit.id]
    painter.level(cores, y, (left, right), Link("part", node.unit.part))


def _outlet(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    """A socket's contacts or an appliance's terminals, and what is expected there."""
    job, id, of = painter.job, node.unit.part, Link("part", node.unit.part)
    socket = job.wiring.parts[id].kind == "mains_socket"
    left, right, y = _frame(painter, node)
    for core in cores:
        at = painter.y(y, core)
        painter.line(core, ((left, at), (left + 1.5, at)), of)
        painter.sign(SOCKET_CONTACT if socket else WIRED_END, (left + (4.5 if socket else 2.4), at), of)
        painter.items.append(Text((left + 7.0, at + 0.9), core, 2.5, 500, of=of))
    x, width = right + 2.0, RIGHT - right - 2.0
    painter.title(*title_words(job, id), (x, y - 0.6), width, of)
    painter.words((x, y - 0.6 + LINE), outlet_words(job, id), width, of=of)
    if "PE" not in cores:
        painter.words(
            (left, y + painter.placed.last_line + OVER + 3.0), ["no earth"], 20.0, of=of, grey=False
        )


def _plain(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    """A switch with its poles; anything else as a box that the lines end at."""
    of, part = Link("part", node.unit.part), painter.job.wiring.parts[node.unit.part]
    left, right, y = _frame(painter, node)
    _titled(painter, node, right - left + 12.0)
    kind = part.kind.replace("_", " ")
    if part.kind in ("switch", "master_switch", "relay", "selector"):
        poles = part.poles if isinstance(part.poles, int) else 1
        painter.level(cores, y, (left, left + 5.0), of)
        painter.poles(CONTACT_POLE, painter.opened(poles, cores), cores, y, (left + 5.0, right), of)
        kind = f"{kind}, {poles_word(poles)}"
    painter.words((left, y + painter.placed.last_line + OVER + 4.0), [kind, rating_of(part)], 34.0, of=of)


def _goes(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    says = f"to {node.unit.part}{painter.page_of(node.unit.part)}"
    _arrows(painter, node, cores, says, (6.0, 0.0))


def _comes(painter: Painter, node: Node, cores: Sequence[str]) -> None:
    says = f"from {node.unit.part}{painter.page_of(node.unit.part)}"
    _arrows(painter, node, cores, says, (0.0, -6.5))


def _arrows(painter: Painter, node: Node, cores: Sequence[str], says: str, off: Point) -> None:
    placed, id = painter.placed, node.unit.id
    left, y = placed.left[id], placed.rows[id][0]
    of = Link("part", node.unit.part)
    for core in cores:
        at = painter.y(y, core)
        painter.sign(GOES_ON, (left, at), of)
        if node.unit.sort == "comes":
            painter.line(core, ((left + 3.75, at), (left + placed.width[id], at)), of)
    width = 60.0 if node.unit.sort == "goes" else _FROM
    painter.words((left + off[0], y + off[1] + (1.0 if off[0] else 0.0)), [says], width, of=of, grey=False)


__all__ = ["LINE", "paint_thing"]
