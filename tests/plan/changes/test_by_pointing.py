"""A whole van by answers, forms and pointing, nothing typed as text: it is sound at once."""

from __future__ import annotations

from loomwright import api
from loomwright.plan.changes.connect import connect
from loomwright.plan.changes.parts import new_part
from loomwright.plan.changes.starter import bare_van
from loomwright.plan.edit import apply_edits
from loomwright.plan.read import read_plan

ANSWERS = {
    "title": "By pointing",
    "load_space": "3.1 x 1.8 x 1.9 m",
    "vehicle_battery": "80 Ah",
    "vehicle_battery_place": "engine_bay",
    "alternator": "150 A",
    "leisure_chemistry": "agm",
    "leisure_capacity": "100 Ah",
    "leisure_place": "seat_base",
}
PARTS = (
    ("b2b", {"place": "seat_base", "current": "25 A", "start_on": "engine"}),
    ("fuse_box", {"name": "P1", "place": "seat_base", "ways": "6"}),
    ("vehicle_feed", {"name": "Engine signal", "place": "dash", "live": "engine"}),
)
LOADS = (
    ("fridge", "kitchen", "4 A"),
    ("water_pump", "kitchen", "5 A"),
    ("lamp", "bed", "1.2 A"),
    ("fan", "bed", "1 A"),
    ("usb", "bed", "2 A"),
    ("strip", "door", "0.3 A"),
)
FEEDS = (
    ("starter", "b2b"),
    ("leisure", "b2b"),
    ("engine_signal", "b2b.signal"),
    ("P1", "leisure"),
    ("leisure", "E1"),
)


def test_a_van_made_by_pointing_has_nothing_to_mend():
    text = bare_van(ANSWERS)
    for kind, fields in PARTS:
        text = apply_edits(text, new_part(read_plan(text), kind, fields).edits)
    for start, end in FEEDS:
        text = apply_edits(text, connect(read_plan(text), start, end).edits)
    for kind, place, running in LOADS:
        load = new_part(read_plan(text), kind, {"place": place, "running": running})
        text = apply_edits(text, load.edits)
        switch = new_part(read_plan(text), "switch", {"place": place}, f"S_{load.id}")
        text = apply_edits(text, switch.edits)
        text = apply_edits(text, connect(read_plan(text), load.id, "P1", through=[switch.id]).edits)
    plan = read_plan(text)
    assert [str(run.from_) for run in plan.wiring.values()][-6:] == [f"P1.{way}" for way in range(1, 7)]
    report = api.check(plan)
    assert not report.dangers
    assert not report.faults
