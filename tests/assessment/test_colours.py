"""Colours where none is typed: black for what ends on the body, by the project's own scheme for the rest."""

from __future__ import annotations

import pytest

from loomwright import assess, read_text
from tests.rules.base import plan


@pytest.mark.parametrize(
    ("run", "colour"),
    [
        ("{from: tow.13, to: E2}", "BK"),
        ("{from: tow.13, to: body}", "BK"),
        ("{from: P1.1, fuse: 10 A, to: tow.9}", "RD"),
        ("{from: K1.85, to: E2}", "GY"),
        ("{from: P1.1, fuse: 10 A, to: fan, return: {to: E2}}", "VT"),
    ],
)
def test_a_wire_that_ends_on_the_body_is_a_return(run, colour):
    text = plan(
        """tow: {kind: tow_socket, place: kitchen, pins: 13}
        fan: {kind: fan, place: kitchen, running: 1 A}
        K1: {kind: relay, place: kitchen}""",
        f"C1: {run}",
    )
    assert assess(read_text(text)).wires["C1"].colour == colour
