"""Full sheets: every consumer of sixty circuits is named, mains or not; random vans keep their distances."""

import pytest

from loomwright.diagrams.system import draw_field, system_sheets
from loomwright.diagrams.system.graph import build_graph
from loomwright.drawing.spacing_wires import score
from loomwright.plan.kinds import is_consumer
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from tests.diagrams.system_plans import (
    RANDOM,
    VANS,
    broken,
    most_bends,
    random_sheet,
    texts,
    van_sheet,
    with_consumers,
)
from tests.plans import big_plan

#: Right angles only; a wire that passes several columns may turn twice before each of them.
MOST_BENDS = 6
#: One for two of the eight columns.
MOST_CROSSINGS = 4
MAINS_PARTS = """
  lead: {kind: hook_up_lead, length: 25 m, area: 2.5 mm²}
  inlet: {kind: inlet, place: bench, rating: 16 A}
  breakers: {kind: breaker_box, place: bench, ways: 2}
  socket_a: {kind: mains_socket, place: kitchen}
  socket_b: {kind: mains_socket, place: bed}
  kettle: {kind: appliance, power: 1000 W, plugged: any}
  heater_mains: {kind: appliance, power: 1500 W, plugged: any}
  dryer: {kind: appliance, power: 1800 W, plugged: any}"""
MAINS_RUNS = """
  M1: {from: inlet, to: breakers, area: 2.5 mm², length: 1.2 m}
  M2: {from: breakers.1, breaker: 16 A B 1-pole, to: socket_a, area: 1.5 mm², length: 3.4 m}
  M3: {from: socket_a, to: socket_b, area: 1.5 mm², length: 3.6 m}
"""


def with_mains(text: str) -> str:
    """Return a plan with a lead, a breaker box, two sockets and three appliances more."""
    head, wiring = text.split("\nwiring:\n")
    return f"{head}{MAINS_PARTS}\nwiring:{MAINS_RUNS}{wiring}"


@pytest.mark.parametrize("mains", [False, True])
def test_every_consumer_of_sixty_circuits_is_named(mains):
    checked = check_plan(read_plan(with_mains(big_plan()) if mains else big_plan()))
    drawing, sheet = draw_field(checked.assessment), system_sheets(checked)[0]
    parts = checked.assessment.plan.parts
    used = {id for id, part in parts.items() if is_consumer(part.kind) and part.kind != "appliance"}
    shown = [text.text for text in texts(sheet)]
    assert len(used) >= 60
    assert used <= set(shown)
    assert drawing.left_out == 0
    assert not any("see the wiring sheet" in text for text in shown)
    assert broken(sheet) == []
    assert most_bends(sheet) <= 2
    assert (drawing.mains is not None) == mains
    if drawing.mains:
        assert {"lead", "inlet", "breakers", "socket_a", "kettle", "dryer"} <= set(shown)
        fed = min(box.left for id, box in drawing.main.boxes.items() if id in used)
        assert max(box.right for box in drawing.mains.boxes.values()) < drawing.band_right < fed


def test_a_way_called_85_is_no_coil():
    """Coils have 85 and 86 (DIN 72552, from memory); a fuse box of 99 ways has these numbers too."""
    assert not any(line.control for line in build_graph(check_plan(read_plan(big_plan(64))).assessment).lines)


@pytest.mark.parametrize(("seed", "wires"), RANDOM)
def test_random_vans_are_kept_apart(seed, wires):
    sheet = random_sheet(seed, wires)
    assert broken(sheet) == []
    assert most_bends(sheet) <= MOST_BENDS
    assert not any("see the wiring sheet" in text.text for text in texts(sheet))


def test_crossings_are_few():
    """Counted on the scene: no more than one for two columns, none on most sheets."""
    counted = {name: score(van_sheet(name).items).crossings for name in VANS}
    counted |= {f"{seed} {wires}": score(random_sheet(seed, wires).items).crossings for seed, wires in RANDOM}
    print("crossings:", counted)
    assert max(counted.values()) <= MOST_CROSSINGS
    assert sum(counted.values()) <= len(counted) / 2


@pytest.mark.parametrize("count", [3, 8, 20, 40, 60])
def test_up_to_sixty_consumers_stand_on_the_sheet(count):
    checked = with_consumers(count)
    drawing = draw_field(checked.assessment)
    sheet = system_sheets(checked)[0]
    assert drawing.left_out == 0
    assert {f"load_{k}" for k in range(count)} <= set(drawing.main.boxes)
    assert broken(sheet) == []
    shown = {text.text for text in texts(sheet)}
    assert {f"load_{k}" for k in range(count)} <= shown
    assert min(text.size for text in texts(sheet)) >= 2.5


@pytest.mark.parametrize("count", [72, 90])
def test_what_has_no_room_is_counted(count):
    drawing, sheet = draw_field(with_consumers(count).assessment), system_sheets(with_consumers(count))[0]
    assert drawing.left_out > 0
    assert f"and {drawing.left_out} more, see the wiring sheet" in [text.text for text in texts(sheet)]
    assert broken(sheet) == []
