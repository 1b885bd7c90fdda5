"""What things and lines ask for: the room of a box, the distance of two lines, of two boxes. All in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from loomwright.drawing.ink import WIRE_OUTLINE_MM, core_width_mm

from .levels import Level
from .order import Columns, Net, Port, Slot
from .things import USED, Line, Thing

#: One ratio for all wires of the sheet.
RATIO = 0.7
#: Clear paper between outlines of wires, and what two lines at least keep. [mm]
_CLEAR, LEAST = 2.05, 3.0
#: The size whose width all wires are taken to have where there is room, so that another moves nothing. [mm²]
_THICKEST = 50.0


@dataclass(frozen=True, slots=True)
class Measures:
    """The room a thing asks for: box height, room above for a bar's name, may it grow, first way."""

    height: float
    head: float
    grows: bool
    lead: float


def width_of(thing: Thing, level: Level) -> float:
    """Return how wide a thing's box is; a combined unit and its panel have more to tell."""
    return level.widths[thing.field] + (12.0 if thing.kind in ("unit", "control_panel") else 0.0)


class Rooms:
    """The distances that one network keeps at one density."""

    def __init__(
        self, columns: Columns, level: Level, measures: Mapping[str, Measures], areas: Mapping[str, float]
    ) -> None:
        self.level, self.measures, self.areas = level, measures, areas
        self.net_of: dict[int, Net] = {id(port): net for net in columns.nets for port in net.ports}
        self.linked = {(id(u.above), id(u.below)) for u in columns.uprights}
        self.halves: dict[int, float] = {}

    def half(self, line: Line) -> float:
        """Return half of a line's outline, or of the thickest one's."""
        if id(line) not in self.halves:
            roomy = self.level.row >= 2
            area = (
                _THICKEST if roomy else max((self.areas.get(wire, 1.0) for wire in line.wires), default=1.0)
            )
            half = core_width_mm(area, RATIO) / 2 + WIRE_OUTLINE_MM
            self.halves[id(line)] = 0.2 if line.control else half
        return self.halves[id(line)]

    def apart(self, one: Line, other: Line) -> float:
        """Return the least distance of two parallel lines."""
        return max(LEAST, self.half(one) + self.half(other) + _CLEAR)

    def wish(self, port: Port) -> float | None:
        """Return the height at which a port at the right of a slot would run straight."""
        net = self.net_of[id(port)]
        return net.rights[0].y if net.rights and port in net.lefts else None

    def grows(self, slot: Slot) -> bool:
        """Say whether a thing is as long as its ways ask."""
        return slot.thing is not None and self.measures[slot.key].grows and bool(slot.rights)

    def head(self, slot: Slot) -> float:
        """Return the room above a slot for a bar's name."""
        return self.measures[slot.key].head if slot.thing else 0.0

    def port_room(self, ports: Sequence[Port]) -> float:
        """Return how high a box has to be for its ports at one side."""
        if len(ports) < 2:
            return 0.0
        return (len(ports) - 1) * max(LEAST, *(self.apart(p.line, p.line) for p in ports)) + 3.4

    def pitch(self, one: Port, other: Port) -> float:
        """Return the distance of two ports at the right of a thing."""
        labels = self._labelled(one) and self._labelled(other)
        return max(self.level.pitch if labels else 0.0, self.apart(one.line, other.line))

    def _labelled(self, port: Port) -> bool:
        """Say whether a label stands at a port's line: not where it leads to what is used."""
        return not any(p.slot.thing and p.slot.thing.field == USED for p in self.net_of[id(port)].rights)

    def offsets(self, slot: Slot) -> list[float]:
        """Return how far each port at the right lies from their middle."""
        steps = self._steps(slot)
        total, offset, found = sum(steps), 0.0, []
        for step in (*steps, 0.0):
            found.append(offset - total / 2)
            offset += step
        return found[: len(slot.rights)]

    def margins(self, slot: Slot, per_port: bool) -> tuple[float, float]:
        """Return how far a slot reaches above its first item and below its last."""
        if slot.thing is None:
            return 0.0, 0.0
        asked = self.measures[slot.key]
        height = max(asked.height, self.port_room(slot.lefts))
        if not per_port:
            room = max(height, 2 * 1.8 + sum(self._steps(slot)))
            return room / 2 + asked.head, room / 2
        spare = max(height - sum(self._steps(slot)), 2 * self.level.edge)
        above = max(spare / 2, asked.lead)
        return above + asked.head, max(spare - above, self.level.edge)

    def _steps(self, slot: Slot) -> list[float]:
        return [self.pitch(a, b) for a, b in pairwise(slot.rights)]

    def space(self, above: Slot, below: Slot) -> float:
        """Return the room between two slots of a column, without what a bar's name takes."""
        if (id(above), id(below)) in self.linked:
            return self.level.link
        if above.thing is None and below.thing is None:
            return self.apart(line_of(above), line_of(below))
        if above.thing is None or below.thing is None:
            passing = above if above.thing is None else below
            return self.half(line_of(passing)) + 1.9
        # The words above a bar fill the gap before it.
        air = 0.0 if self.head(above) or self.head(below) else self.level.air
        return max(0.8, self.level.gap + air - self.head(below) / 2)

    def row_step(self, above: Slot, below: Slot) -> float:
        """Return the least distance of two rows: wires apart, room between two bars that feed them."""
        one, other = above.lefts[0].line, below.lefts[0].line
        step = self.apart(above.lefts[-1].line, other)
        asked = self.measures.get(other.start)
        if one.start == other.start or asked is None or not asked.head:
            return step
        between = max(0.8, self.level.gap - asked.head / 2)
        return max(step, self.level.edge + between + asked.head + asked.lead + 0.02)


def line_of(slot: Slot) -> Line:
    """Return the line that passes a column at a slot."""
    return (slot.lefts or slot.rights)[0].line
