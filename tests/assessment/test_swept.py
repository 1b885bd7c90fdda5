"""A state that no mode names: what a switch does in its other position is found, and the state is named."""

from __future__ import annotations

from tests.rules.base import plan
from tests.rules.test_vehicle import found


def joined_from_the_panel(feed: str) -> str:
    """Return a van whose panel closes a relay between the batteries, its coil fed from somewhere."""
    return plan(
        """starter: {kind: vehicle_battery, place: seat_base, chemistry: agm, capacity: 80 Ah}
        link: {kind: relay, place: seat_base, rating: 100 A, coil: 0.2 A}
        engine: {kind: vehicle_feed, place: seat_base, live: engine}
        S1: {kind: two_way, place: kitchen, rating: 10 A}""",
        f"""W1: {{from: starter, fuse: 80 A high_breaking at both, through: link, to: leisure, area: 35 mm²}}
        coil: {{from: {feed}, fuse: 3 A, to: S1.com, area: 1 mm², length: 1 m}}
        held: {{from: S1.b, to: link.86, area: 1 mm², length: 1 m, return: {{to: E1}}}}""",
    )


def test_batteries_that_a_switch_of_no_mode_joins_are_found():
    assert found(joined_from_the_panel("engine"), "batteries_joined_at_rest") == []
    (one,) = found(joined_from_the_panel("P1.1"), "batteries_joined_at_rest")
    assert (one.where, one.also) == ("leisure", ("starter",))
    assert "(S1 b)" in one.says
