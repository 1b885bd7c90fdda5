"""What must hold of any solution, checked element by element without the solver's own sums."""

from __future__ import annotations

from collections import defaultdict

import pytest

from loomwright.circuit.answer import Solution
from loomwright.circuit.network import Converter, Diode, Element, Limited, Load, Network, Resistor, Source

#: Node sums and characteristics hold to this. [A, V]
CLOSE = 2e-7


def node_sums(network: Network, solution: Solution) -> dict[str, float]:
    """Return what leaves each node; zero if no current is lost. [A]"""
    sums: defaultdict[str, float] = defaultdict(float)
    for element in network.elements:
        amps = solution.amps[element.id]
        match element:
            case Resistor():
                start, end = element.a, element.b
            case Diode():
                start, end = element.a, element.k
            case Load():
                start, end = element.plus, element.minus
            case Converter():
                start, end = element.out_minus, element.out_plus
                sums[element.in_plus] += solution.input_amps[element.id]
                sums[element.in_minus] -= solution.input_amps[element.id]
            case _:
                start, end = element.minus, element.plus
        sums[start] += amps
        sums[end] -= amps
    return dict(sums)


def assert_laws(network: Network, solution: Solution) -> None:
    """Assert the node sums and every element's own characteristic."""
    assert solution.works
    assert all(abs(amps) < CLOSE for amps in node_sums(network, solution).values())
    for element in network.elements:
        _assert_law(element, solution)


def _assert_law(element: Element, solution: Solution) -> None:
    amps = solution.amps[element.id]
    match element:
        case Resistor():
            assert solution.across(element.a, element.b) == pytest.approx(element.ohm * amps, abs=CLOSE)
        case Source():
            across = solution.across(element.plus, element.minus)
            assert across == pytest.approx(element.volts - element.ohm * amps, abs=CLOSE)
        case Load():
            volts = solution.across(element.plus, element.minus)
            if element.id in solution.unfed_loads:
                assert amps == pytest.approx(element.siemens * volts, abs=CLOSE)
            else:
                draws = element.amps + element.watts / volts + element.siemens * volts
                assert amps == pytest.approx(draws, abs=CLOSE)
        case Diode():
            drive = solution.across(element.a, element.k) - element.drop_v
            _assert_valve(drive, element.ohm, amps, float("inf"), solution.state[element.id] == "blocks")
        case Limited():
            drive = element.volts - solution.across(element.plus, element.minus)
            _assert_valve(drive, element.ohm, amps, element.max_a, solution.state[element.id] == "off")
        case Converter():
            _assert_converter(element, solution)


def _assert_converter(element: Converter, solution: Solution) -> None:
    amps, into = solution.amps[element.id], solution.input_amps[element.id]
    if solution.state[element.id] == "off" and into == 0.0 and element.idle_a > 0.0:
        assert amps == 0.0  # not fed: neither idles nor delivers
        return
    across = solution.across(element.out_plus, element.out_minus)
    fed = solution.across(element.in_plus, element.in_minus)
    if amps > 0.0:
        drawn = element.idle_a + across * amps / element.efficiency / fed
        assert into == pytest.approx(drawn, abs=CLOSE)
    if solution.state[element.id] != "off":
        _assert_valve(element.volts - across, 0.0, amps, element.max_a, False)


def _assert_valve(drive_v: float, ohm: float, amps: float, most_a: float, off: bool) -> None:
    """Assert what holds volts behind a resistance, one way and up to a limit."""
    assert -CLOSE <= amps <= most_a + CLOSE
    if off:
        assert amps == pytest.approx(0.0, abs=CLOSE)
        assert drive_v <= CLOSE or most_a == 0.0
    elif amps < most_a - CLOSE:
        assert drive_v == pytest.approx(ohm * amps, abs=CLOSE)
    else:
        assert drive_v >= ohm * amps - CLOSE


def power_balance(network: Network, solution: Solution) -> tuple[float, float]:
    """Return what the sources and limited sources deliver and what loads and losses take. [W]"""
    gives = takes = 0.0
    for element in network.elements:
        amps = solution.amps[element.id]
        match element:
            case Resistor():
                takes += element.ohm * amps**2
            case Diode():
                takes += solution.across(element.a, element.k) * amps
            case Load():
                takes += solution.across(element.plus, element.minus) * amps
            case Source():
                gives += element.volts * amps
                takes += element.ohm * amps**2
            case Limited():
                gives += solution.across(element.plus, element.minus) * amps
            case Converter():
                into = solution.across(element.in_plus, element.in_minus) * solution.input_amps[element.id]
                takes += into - solution.across(element.out_plus, element.out_minus) * amps
    return gives, takes
