"""Wires off reels: every piece once, none over the end of its reel, few reels.

First-fit decreasing needs at most 11/9 of the least number of reels and 6/9 of one (Dósa, ESCAPE 2007).
"""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.loom.cutting import REELS_M, nested, to_buy_m

LENGTHS = st.lists(st.floats(0.05, 12.0), min_size=1, max_size=60)


@settings(derandomize=True, max_examples=150, deadline=None)
@given(LENGTHS, st.lists(st.floats(0.1, 30.0), max_size=4), st.sampled_from([REELS_M, (12.0,), ()]))
def test_each_piece_lies_on_one_reel_and_within_it(lengths, opened, sold):
    pieces = {f"W{k}": metres for k, metres in enumerate(lengths)}
    reels = nested(pieces, sold, opened)
    assert sorted(piece for reel in reels for piece in reel.cuts) == sorted(pieces.items())
    for reel in reels:
        assert reel.left_m >= -1e-6
        assert reel.opened or not sold or reel.long_m in sold or len(reel.cuts) == 1
    buy = to_buy_m(reels, 0.12, sold)
    whole = math.fsum(buy) + math.fsum(reel.long_m for reel in reels if reel.opened)
    assert whole >= 1.12 * math.fsum(lengths) - 1e-5
    assert math.fsum(buy) >= math.fsum(reel.long_m for reel in reels if not reel.opened) - 1e-6 or not sold


def least_reels(lengths: list[float], long_m: float) -> int:
    """Return the least number of reels, by trying every way to part the pieces."""
    best = len(lengths)

    def put(k: int, left: list[float]) -> None:
        nonlocal best
        if len(left) >= best:
            return
        if k == len(lengths):
            best = len(left)
            return
        for n, metres in enumerate(left):
            if metres >= lengths[k]:
                put(k + 1, [*left[:n], metres - lengths[k], *left[n + 1 :]])
        put(k + 1, [*left, long_m - lengths[k]])

    put(0, [])
    return best


@settings(derandomize=True, max_examples=60, deadline=None)
@given(st.lists(st.integers(1, 100), min_size=1, max_size=8))
def test_no_more_reels_than_the_bound_of_the_proof(decimetres):
    lengths = [one / 10.0 for one in decimetres]
    reels = nested({f"W{k}": metres for k, metres in enumerate(lengths)}, (10.0,))
    assert len(reels) <= 11.0 / 9.0 * least_reels(lengths, 10.0) + 6.0 / 9.0


def test_by_hand():
    """6, 5, 4, 3, 2 m: on reels of 10 m they are 6 + 4 and 5 + 3 + 2, nothing is left."""
    reels = nested({"a": 6, "b": 5, "c": 4, "d": 3, "e": 2}, (10.0,))
    assert [[name for name, _ in reel.cuts] for reel in reels] == [["a", "c"], ["b", "d", "e"]]
    assert [reel.left_m for reel in reels] == [0.0, 0.0]
    assert to_buy_m(reels, 0.0, (10.0,)) == (10.0, 10.0)
    assert to_buy_m(reels, 0.12, (10.0,)) == (10.0, 10.0, 10.0)
    assert to_buy_m(nested({"a": 2.2}, ()), 0.12, ()) == (3.0,)


def test_a_piece_that_no_reel_holds_is_bought_by_the_metre():
    (reel,) = nested({"a": 120.5})
    assert reel.long_m == 121.0
    assert nested({}) == ()
