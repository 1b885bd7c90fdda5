"""What a plan leaves to the program: the fuse in its window, the cable behind it, in random surroundings."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright import assess, read_text
from loomwright.protection.fusing import FILL, standard_ratings
from loomwright.protection.opening import opening_time
from loomwright.protection.rating import cable_rating
from loomwright.protection.sizing import sizes
from loomwright.rules.check import check_plan
from loomwright.tables.insulation import insulation_class

PLAN = """loomwright: 1
title: Window
region: eu
places: {{seat_base: [0, 0, 0], kitchen: [1, 0, 0]}}
parts:
  leisure: {{kind: battery, place: seat_base, chemistry: agm, capacity: 90 Ah}}
  load: {{kind: water_pump, place: kitchen, running: {running:.2f} A, start: {start:.2f} A for {ms:g} ms}}
wiring:
  C: {{from: leisure, fuse: auto {kind} at from, to: load, area: {area}, length: 2 m, return: wire,
      insulation: {insulation}, temperature: {ambient} °C, bundle: {bundle}}}
"""
#: Sums leave dust behind, and the plan is typed to two digits.
DUST = 1e-5
SURROUNDINGS = {
    "kind": st.sampled_from(("blade", "mini_blade", "large_blade", "bolted")),
    "running": st.floats(0.5, 22.0).map(lambda amps: round(amps, 2)),
    "share": st.floats(1.1, 5.0),
    "ms": st.sampled_from((50, 200, 800)),
    "insulation": st.sampled_from(("PVC 70 °C", "automotive 105 °C")),
    "ambient": st.integers(15, 55),
    "bundle": st.integers(1, 9),
}


@settings(derandomize=True, max_examples=60, deadline=None)
@given(area=st.sampled_from((1.0, 1.5, 2.5, 4.0, 6.0, 10.0, None)), **SURROUNDINGS)
def test_fuse_and_cable(area, kind, running, share, ms, insulation, ambient, bundle):
    start = round(running * share, 2)
    text = PLAN.format(
        running=running, start=start, ms=ms, kind=kind, insulation=insulation, ambient=ambient,
        bundle=bundle, area="auto" if area is None else f"{area:g} mm²",
    )  # fmt: skip
    checked = check_plan(read_text(text))
    wire = checked.assessment.wires["C"]
    (fuse,) = wire.fuses

    def carries(rating_a: float) -> bool:
        outlasts = opening_time(kind, rating_a, start).low > ms / 1000.0
        return running <= FILL * rating_a * (1 + DUST) and outlasts

    def rated(area_mm2: float) -> float:
        max_c = insulation_class(insulation).max_c
        return cable_rating(
            area_mm2, table="vde_0298_4", insulation_c=max_c, ambient_c=float(ambient), bundled=bundle
        ).amps

    fitting = [one for one in standard_ratings(kind) if carries(one)]
    assert fuse.rating_a == (fitting or standard_ratings(kind)[-1:])[0]
    above = any(one.rule == "fuse_above_cable_rating" for one in checked.findings)
    if area is None:
        assert wire.rating_a == rated(wire.area_mm2) >= fuse.rating_a
        assert wire.area_mm2 in sizes()
        assert not above
    else:
        assert above == (fuse.rating_a > rated(area) * (1 + DUST))


TWO_STARTS = """loomwright: 1
title: Two starts
region: eu
places: {seat_base: [0, 0, 0], kitchen: [1, 0, 0]}
parts:
  leisure: {kind: battery, place: seat_base, chemistry: agm, capacity: 90 Ah}
  short: {kind: water_pump, place: kitchen, running: 1 A, start: 13 A for 20 ms}
  long: {kind: water_pump, place: kitchen, running: 1 A, start: 12 A for 800 ms}
wiring:
  C: {from: leisure, fuse: auto blade at from, to: [short, long], area: 2.5 mm², length: 2 m, return: wire}
"""


def test_the_hardest_start_counts_not_the_largest():
    """One runs on while the other starts: 14 A for 20 ms asks for 4 A, 13 A for 0.8 s for 10 A."""
    (fuse,) = assess(read_text(TWO_STARTS)).wires["C"].fuses
    assert fuse.rating_a == 10
    assert opening_time("blade", 4.0, 14.0).low > 0.020
    assert opening_time("blade", 7.5, 13.0).low < 0.8 < opening_time("blade", 10.0, 13.0).low
