"""The chain of sums behind a verdict: each step with its formula, its inputs, its result and its source.

A step is shown to the reader as it stands and can be worked out again from its own text: `evaluate`
reads the formula as plain arithmetic (+ - * / ** and sqrt, log, min, max, ceil), never as Python code.
"""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

from loomwright.source import Source


class Given(NamedTuple):
    """One input of a step: the name used in the formula, its value, its unit."""

    name: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Step:
    """One sum.

    Attributes
    ----------
    symbol : str
        Name of the result, as later formulas use it: "I_z".
    formula : str
        Arithmetic over the names of `inputs`: "I_0 * k_b * k_a".
    inputs : tuple of Given
        What goes in.
    value, unit : float, str
        What comes out.
    source : Source or None
        Where the figure or the formula comes from; None for plain arithmetic.
    says : str
        What this is, in the words of the trade: "3 loaded cores together".
    """

    symbol: str
    formula: str
    inputs: tuple[Given, ...]
    value: float
    unit: str
    source: Source | None = None
    says: str = ""


def looked_up(symbol: str, value: float, unit: str, source: Source, says: str) -> Step:
    """Return the step of a figure that was read from a table.

    Parameters
    ----------
    symbol : str
        Name that later formulas use.
    value : float
        The figure. [`unit`]
    unit : str
        Its unit; empty for a factor.
    source : Source
        The table.
    says : str
        Which row and column.

    Returns
    -------
    Step
        With the formula "table".
    """
    return Step(symbol, "table", (Given("table", value, unit),), value, unit, source, says)


def evaluate(step: Step) -> float:
    """Work a step out again from its formula and its inputs alone.

    Parameters
    ----------
    step : Step
        The step; its own `value` is not looked at.

    Returns
    -------
    float
        The result. [`step.unit`]

    Raises
    ------
    ValueError
        The formula is not plain arithmetic, or names something that is no input.

    Examples
    --------
    >>> evaluate(Step("U", "R * I", (Given("R", 0.05, "Ω"), Given("I", 6.0, "A")), 0.3, "V"))
    0.30000000000000004
    """
    return _value(_parsed(step.formula), {given.name: given.value for given in step.inputs})


_OPERATORS: Mapping[type[ast.operator], Callable[[float, float], float]] = MappingProxyType(
    {
        ast.Add: operator.add,
        ast.Sub: operator.sub,
        ast.Mult: operator.mul,
        ast.Div: operator.truediv,
        ast.Pow: operator.pow,
    }
)
_FUNCTIONS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {"sqrt": math.sqrt, "log": math.log, "min": min, "max": max, "ceil": math.ceil}
)


@lru_cache(maxsize=256)
def _parsed(formula: str) -> ast.expr:
    try:
        return ast.parse(formula, mode="eval").body
    except SyntaxError as unreadable:
        raise ValueError(f"not a formula: {formula!r}") from unreadable


def _value(node: ast.expr, names: Mapping[str, float]) -> float:
    match node:
        case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
            return float(number)
        case ast.Name(id=name) if name in names:
            return names[name]
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_value(operand, names)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _OPERATORS:
            return float(_OPERATORS[type(op)](_value(left, names), _value(right, names)))
        case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in _FUNCTIONS:
            return float(_FUNCTIONS[name](*(_value(arg, names) for arg in args)))
    raise ValueError(f"not plain arithmetic over the inputs: {ast.unparse(node)!r}")
