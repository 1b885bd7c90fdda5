"""The chain of sums: a step can be worked out again from its own text, and only as plain arithmetic."""

import math

import pytest

from loomwright.source import Source
from loomwright.steps import Given, Step, evaluate, looked_up
from loomwright.units import Band


def step(formula: str, **inputs: float) -> Step:
    return Step("x", formula, tuple(Given(name, value, "") for name, value in inputs.items()), 0.0, "")


@pytest.mark.parametrize(
    ("formula", "inputs", "result"),
    [
        ("a + b * c", {"a": 1.0, "b": 2.0, "c": 3.0}, 7.0),
        ("sqrt((T_max - T_a) / (T_max - 30))", {"T_max": 70.0, "T_a": 40.0}, math.sqrt(0.75)),
        ("-a ** 2", {"a": 3.0}, -9.0),
        ("min(a, b, 2) + max(a, b) + ceil(a / 2)", {"a": 5.0, "b": 4.0}, 10.0),
        ("log(a)", {"a": math.e}, 1.0),
    ],
)
def test_arithmetic_is_worked_out(formula, inputs, result):
    assert evaluate(step(formula, **inputs)) == pytest.approx(result)


@pytest.mark.parametrize(
    "formula",
    [
        "__import__('os').getcwd()",
        "a.real",
        "b",
        "a if a else a",
        "[a][0]",
        "sqrt(x=a)",
        "'a' * 3",
        "True",
        "a +",
        "print(a)",
        "a // 2",
        "(lambda: a)()",
    ],
)
def test_anything_else_is_refused(formula):
    with pytest.raises(ValueError, match=r"formula|plain arithmetic"):
        evaluate(step(formula, a=1.0))


def test_a_looked_up_figure_evaluates_to_itself():
    source = Source(work="a table", place="row 1", checked="from memory")
    assert evaluate(looked_up("I_0", 32.0, "A", source, "2.5 mm²")) == 32.0


def test_a_band_runs_from_low_to_high():
    assert Band(1.0, 3.0).plus(Band(0.5, 0.5)).mid == 2.5
    with pytest.raises(ValueError, match="from low to high"):
        Band(2.0, 1.0)
