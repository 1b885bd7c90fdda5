"""What room is taken, against looking at every box."""

from random import Random

import pytest

from loomwright.diagrams.wiring.canvas import Canvas
from loomwright.drawing.geometry import Box
from loomwright.drawing.taken import Taken


def _boxes(chance: Random, count: int, largest: float) -> list[Box]:
    corners = [(chance.uniform(-5, 100), chance.uniform(-5, 100)) for _ in range(count)]
    return [Box(x, y, x + chance.uniform(0.2, largest), y + chance.uniform(0.2, largest)) for x, y in corners]


def _overlap(one: Box, other: Box) -> bool:
    return one.gap(other) < 0.0


@pytest.mark.parametrize("seed", range(5))
def test_a_box_in_the_way_is_found_if_there_is_one(seed: int) -> None:
    chance = Random(seed)
    boxes, taken = _boxes(chance, 40, 30.0 * (seed + 1) / 5), Taken()
    for box in boxes:
        taken.add(box)
    found = 0
    for room in _boxes(chance, 300, 12.0):
        met = taken.in_the_way(room)
        assert (met is not None) == any(_overlap(room, box) for box in boxes)
        if met is not None:
            assert met in boxes
            assert _overlap(room, met)
            found += 1
    assert 0 < found < 300


def test_a_box_that_is_added_later_is_found_too() -> None:
    taken = Taken()
    room = Box(1.0, 1.0, 2.0, 2.0)
    assert taken.in_the_way(room) is None
    taken.add(Box(0.0, 0.0, 1.0, 9.0))
    assert taken.in_the_way(room) is None  # edges may touch
    taken.add(Box(0.0, 0.0, 1.5, 9.0))
    assert taken.in_the_way(room) == Box(0.0, 0.0, 1.5, 9.0)


@pytest.mark.parametrize("seed", range(5))
def test_free_heights_are_those_that_are_free_one_by_one(seed: int) -> None:
    chance = Random(seed)
    canvas = Canvas(Box(0.0, 0.0, 90.0, 90.0))
    for box in _boxes(chance, 25, 20.0):
        canvas.block(box)
    tops = [chance.uniform(-5, 95) for _ in range(60)]
    for left in (-1.0, 0.0, 20.0, 50.5, 84.0, 88.0):
        free = [top for top in tops if canvas.is_free(Box(left, top, left + 5.0, top + 4.0))]
        assert list(canvas.free_heights(left, left + 5.0, 4.0, tops)) == free


@pytest.mark.parametrize("seed", range(5))
def test_a_lane_that_is_shut_has_no_free_height(seed: int) -> None:
    chance = Random(seed)
    canvas = Canvas(Box(0.0, 0.0, 90.0, 90.0))
    for box in _boxes(chance, 25, 40.0):
        canvas.block(box)
    shut = 0
    for room in _boxes(chance, 200, 30.0):
        tops = [room.top + room.height * k / 9 for k in range(10)]
        if canvas.is_shut(room.left, room.right, 4.0, (tops[0], tops[-1])):
            assert not list(canvas.free_heights(room.left, room.right, 4.0, tops))
            shut += 1
    assert 0 < shut < 200
