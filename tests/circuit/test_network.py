"""What a network refuses to hold."""

from __future__ import annotations

import pytest

from loomwright.circuit.network import Converter, Diode, Limited, Load, Network, Resistor, Source


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Resistor("W1", "a", "b", -0.1), "W1: ohm is -0.1; it can't be below zero"),
        (lambda: Resistor("W1", "a", "b", float("nan")), "W1: ohm is nan, not a number"),
        (lambda: Source("B", "a", "b", float("inf")), "B: volts is inf, not a number"),
        (lambda: Source("B", "a", "b", 12.0, -1.0), "B: ohm is -1.0"),
        (lambda: Load("L", "a", "b", watts=-5.0), "L: watts is -5.0"),
        (lambda: Load("L", "a", "b", siemens=-5.0), "L: siemens is -5.0"),
        (lambda: Diode("D", "a", "b", -0.7), "D: drop_v is -0.7"),
        (lambda: Limited("C", "a", "b", 14.4, -1.0), "C: max_a is -1.0"),
        (lambda: Converter("K", "a", "b", "c", "b", 5.0, 2.0, 0.0), "K: efficiency is 0.0; it lies above 0"),
        (lambda: Converter("K", "a", "b", "c", "b", 5.0, 2.0, 1.1), "K: efficiency is 1.1; it lies above 0"),
        (lambda: Network([Load("L", "a", "b"), Resistor("L", "a", "b", 1.0)]), "an id of its own: 'L'"),
        (lambda: Network([Load("", "a", "b")]), "an id of its own: ''"),
    ],
)
def test_impossible_figures_are_refused(make, said):
    with pytest.raises(ValueError, match=said.replace("(", r"\(")):
        make()


def test_nodes_come_in_order_of_first_mention():
    converter = Converter("K", "p", "n", "o", "n", 5.0, 2.0, 0.9)
    assert Network([Diode("D", "s", "p"), converter]).nodes == ("s", "p", "n", "o")
