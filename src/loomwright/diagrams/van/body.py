"""The van around its places: load space, cab with its wheel, rising roof, rulers. A plain box of its size."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from loomwright.drawing.ink import Pen
from loomwright.drawing.scene import Circle, Drawn, Polyline, Text, rectangle
from loomwright.plan.model import Plan
from loomwright.plan.values import Quantity

from .view import View

_BODY, _INNER = Pen("ink", 0.5), Pen("rule", 0.25)
_RISEN = Pen("rule", 0.25, (1.6, 1.2))
_TICK = Pen("ink", 0.18)
#: Regions whose vehicles have the wheel at the right, where the plan does not say.
_RIGHT_STEERING = ("uk", "au", "nz")
#: The wheel: its middle from the back of the cab seats and beside the middle, its size. A roof rises. [m]
_WHEEL_X, _WHEEL_Y, _WHEEL_R, _RISES = -0.75, 0.42, 0.19, 0.4
#: Room of the words at both ends of a ruler. [mm]
_WAY_MM = 15.0
#: From figure to figure on a ruler at the least. [mm]
_FIGURE_MM = 8.0
Space = tuple[float, float, float]


def load_space_of(plan: Plan) -> Space | None:
    """Return length, width and height of the load space, None if the plan does not say all three. [m]"""
    size = [one.mid for one in plan.vehicle.load_space or () if isinstance(one, Quantity)]
    return (size[0], size[1], size[2]) if len(size) == 3 else None


def outline(plan: Plan, view: View, space: Space | None) -> Iterator[Drawn]:
    """Yield the box of the load space, what is ahead of it, and a roof that rises."""
    one = view.extent
    long, wide, tall = space or (one.rear, one.right - one.left, one.top)
    yield from _box(view, (0.0, -wide / 2, 0.0), (long, wide / 2, tall), _BODY)
    if one.front < -0.5 and view.look in ("plan", "left", "right"):
        low = 0.0 if view.look == "plan" else max(one.bottom, 0.0)
        yield from _box(view, (one.front, -wide / 2, low), (0.0, wide / 2, 0.6 * tall), _INNER)
    if view.look == "plan" and one.front < _WHEEL_X - _WHEEL_R:
        side = 1.0 if steering_of(plan) == "right" else -1.0
        middle = view.of((_WHEEL_X, side * _WHEEL_Y, 0.9))
        yield Circle(middle, _WHEEL_R * view.mm, None, _INNER, layer="frame")
        yield Circle(middle, 0.03 * view.mm, "rule", None, layer="frame")
    if plan.vehicle.pop_top is True:
        yield from _risen(view, (long, wide, tall))


def steering_of(plan: Plan) -> str:
    """Return the side of the wheel: as the plan says, else by its region."""
    return plan.vehicle.steering or ("right" if plan.region in _RIGHT_STEERING else "left")


def _risen(view: View, space: Space) -> Iterator[Drawn]:
    """Yield the outline of a roof that rises, dashed: from above its opening, from a side how it stands."""
    long, wide, tall = space
    if view.look in ("plan", "roof"):
        yield from _box(view, (0.1 * long, -0.3 * wide, tall), (0.8 * long, 0.3 * wide, tall), _RISEN)
    elif view.look != "rear":
        hinge, edge = view.of((0.8 * long, 0.0, tall)), view.of((0.1 * long, 0.0, tall))
        risen = (edge[0], max(edge[1] - _RISES * view.mm, view.box.top - 3.0))
        yield Polyline((hinge, risen, edge), _RISEN, layer="frame")


def _box(view: View, low: Space, high: Space, pen: Pen) -> Iterator[Drawn]:
    (x, y), (x_2, y_2) = view.of(low), view.of(high)
    yield rectangle(min(x, x_2), min(y, y_2), abs(x_2 - x), abs(y_2 - y), pen=pen, layer="frame")


def rulers(view: View) -> Iterator[Drawn]:
    """Yield a ruler below a plan and one at its left; they say the way in words, never by a sign."""
    one, box = view.extent, view.box
    base = box.bottom + 2.2
    yield Polyline(((box.left, base), (box.right, base)), _TICK, layer="frame")
    whole = next((step for step in (1, 2, 5) if step * view.mm >= _FIGURE_MM), 10)
    for half in range(ceil(2 * one.front), floor(2 * one.rear) + 1):
        x = view.of((half / 2, 0.0, 0.0))[0]
        yield Polyline(((x, base), (x, base + (1.4 if half % 2 else 2.0))), _TICK, layer="frame")
        if half % (2 * whole) == 0 and box.left + _WAY_MM < x < box.right - _WAY_MM:
            yield Text((x, base + 4.8), f"{abs(half) / 2:g}", 2.6, 400, "middle", backed=True)
    if one.front < -0.5:
        yield Text((box.left, base + 4.8), "m ahead", 2.6, ink="grey", backed=True)
    yield Text((box.right, base + 4.8), "m rearward", 2.6, anchor="end", ink="grey", backed=True)
    x = box.left - 1.4
    yield Polyline(((x, box.top), (x, box.bottom)), _TICK, layer="frame")
    for half in range(ceil(2 * one.left), floor(2 * one.right) + 1):
        y = view.of((0.0, half / 2, 0.0))[1]
        yield Polyline(((x, y), (x - 1.4, y)), _TICK, layer="frame")
    middle = view.of((0.0, 0.0, 0.0))[1]
    yield Text((x - 2.2, (box.top + middle) / 2), "right", 2.6, 400, "middle", "grey", upright=False)
    yield Text((x - 2.2, (box.bottom + middle) / 2), "left", 2.6, 400, "middle", "grey", upright=False)


__all__ = ["Space", "load_space_of", "outline", "rulers", "steering_of"]
