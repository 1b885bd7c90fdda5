"""Figures and sums as they are printed: the digits that matter, × and ÷, a true minus sign."""

from __future__ import annotations

import ast
import math
from collections.abc import Mapping

from loomwright.source import Source
from loomwright.steps import Given, Step, evaluate

from .record import Row

#: Below this many volts a third digit behind the point is printed.
FINE_V = 0.1
#: Resistances of a loop up to this are printed to a hundredth of a milliohm. [mΩ]
FINE_MOHM = 10.0
#: What sums of volts leave over counts as nothing.
DUST = 1e-9


def figure(value: float, unit: str, fine: bool = False) -> tuple[str, str]:
    """Return a figure and its unit as printed.

    Parameters
    ----------
    value : float
        [`unit`]
    unit : str
        "Ω" and "Ω/m" are printed in thousandths.
    fine : bool
        One more digit for small resistances.

    Examples
    --------
    >>> figure(0.08488, "Ω"), figure(1.358, "V"), figure(0.0123, "V"), figure(-14.34, "A")
    (('84.9', 'mΩ'), ('1.36', 'V'), ('0.012', 'V'), ('−14.3', 'A'))
    """
    match unit:
        case "Ω":
            text, unit = _mohm(1e3 * value, fine), "mΩ"
        case "Ω/m":
            text, unit = f"{1e3 * value:.3g}", "mΩ/m"
        case "V":
            text = f"{value:.{2 if abs(value) >= FINE_V else 3}f}" if value % 1.0 else f"{value:.0f}"
        case "%":
            text = f"{value:.1f}"
        case "°C":
            text = f"{value:.0f}"
        case "":
            text = f"{value:g}" if value == round(value) and value > 1 else f"{value:.2f}"
        case "A" | "W":
            text = _digits(value, 3)
        case _:
            text = _digits(value, 4)
    return signed(text), unit


def quantity(value: float | None, unit: str) -> str:
    """Return a figure with its unit, a dash if there is none.

    Examples
    --------
    >>> quantity(0.0785, "Ω"), quantity(4.5, "A"), quantity(None, "V")
    ('78.5 mΩ', '4.5 A', '–')
    """
    return "–" if value is None else " ".join(figure(value, unit)).strip()


def signed(text: str) -> str:
    """Return a figure with a true minus sign, and none before nothing."""
    if not text.strip("-0."):
        text = text.lstrip("-")
    return text.replace("-", "\N{MINUS SIGN}")


def _mohm(value: float, fine: bool) -> str:
    """Return milliohms: one digit behind the point in a large loop, two in a small one or below 1 mΩ."""
    if fine or abs(value) < 1.0:
        return f"{value:.2f}".removesuffix("0")
    return f"{value:.1f}"


def _digits(value: float, count: int) -> str:
    """Return a value to so many digits, whole ones always, without an exponent."""
    if value == 0.0 or not math.isfinite(value):
        return "0" if value == 0.0 else "–"
    after = max(count - 1 - math.floor(math.log10(abs(value))), 0)
    text = f"{value:.{after}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def summed(step: Step, fine: bool = False) -> str:
    """Return the sum of a step with its figures in place of names; "" for one read from a table.

    Examples
    --------
    >>> given = (Given("I", 6.0, "A"), Given("R", 0.141, "Ω"), Given("U_d", 0.0, "V"))
    >>> summed(Step("U", "I * R + U_d", given, 0.846, "V"))
    '6 A × 141.0 mΩ'
    """
    if step.formula in ("table", "0"):
        return ""
    formula = step.formula.removeprefix("100 * ") if step.unit == "%" else step.formula
    givens = {given.name: given for given in step.inputs}
    return _Printer(givens, fine).text(ast.parse(formula, mode="eval").body)[0]


#: How tightly the signs bind: + and − least, powers most.
_LOOSE, _TIMES, _POWER, _WHOLE = range(4)
_SIGNS: Mapping[type[ast.operator], tuple[str, int]] = {
    ast.Add: ("+", _LOOSE),
    ast.Sub: ("\N{MINUS SIGN}", _LOOSE),
    ast.Mult: ("×", _TIMES),
    ast.Div: ("÷", _TIMES),
}
_NAMED: Mapping[str, str] = {
    "max": "the larger of",
    "min": "the smaller of",
    "log": "ln",
    "ceil": "rounded up",
}


class _Printer:
    """Prints a formula; terms of nothing are left out."""

    def __init__(self, givens: Mapping[str, Given], fine: bool) -> None:
        self.givens, self.fine = givens, fine

    def text(self, node: ast.expr) -> tuple[str, int]:
        """Return the text of a part of a formula, and how tightly it binds."""
        match node:
            case ast.Name(id=name):
                given = self.givens[name]
                return " ".join(figure(given.value, given.unit, self.fine)).strip(), _WHOLE
            case ast.Constant(value=value):
                return f"{value:g}" if isinstance(value, int | float) else str(value), _WHOLE
            case ast.UnaryOp(operand=operand):
                return f"\N{MINUS SIGN}{self._inside(operand, _POWER)}", _TIMES
            case ast.BinOp(left=left, op=ast.Pow(), right=right):
                return f"{self._inside(left, _WHOLE)}{self._raised(right)}", _POWER
            case ast.BinOp():
                return self._joined(node)
            case ast.Call(func=ast.Name(id=name), args=args):
                return self._call(name, args)
        raise ValueError(f"not a formula: {ast.unparse(node)!r}")

    def _joined(self, node: ast.BinOp) -> tuple[str, int]:
        sign, binds = _SIGNS[type(node.op)]
        if binds == _LOOSE and abs(self._value(node.right)) < DUST:
            return self.text(node.left)
        if isinstance(node.op, ast.Add) and abs(self._value(node.left)) < DUST:
            return self.text(node.right)
        tighter = binds + 1 if isinstance(node.op, ast.Sub | ast.Div) else binds
        return f"{self._inside(node.left, binds)} {sign} {self._inside(node.right, tighter)}", binds

    def _inside(self, node: ast.expr, least: int) -> str:
        text, binds = self.text(node)
        return text if binds >= least else f"({text})"

    def _raised(self, node: ast.expr) -> str:
        return "²" if self._value(node) == 2.0 else f"^{self._inside(node, _WHOLE)}"

    def _call(self, name: str, args: list[ast.expr]) -> tuple[str, int]:
        if name == "sqrt":
            return f"√({self.text(args[0])[0]})", _WHOLE
        if name == "max" and len(args) == 2 and self._value(args[1]) == 0.0 <= self._value(args[0]):
            return self.text(args[0])
        return f"{_NAMED[name]} ({'; '.join(self.text(arg)[0] for arg in args)})", _WHOLE

    def _value(self, node: ast.expr) -> float:
        return evaluate(Step("", ast.unparse(node), tuple(self.givens.values()), 0.0, ""))


def row(step: Step, what: str = "", *, fine: bool = False, is_total: bool = False) -> Row:
    """Return a row that shows a step."""
    value, unit = figure(step.value, step.unit, fine)
    return Row(
        what=what or step.says,
        sum=summed(step, fine),
        value=value,
        unit=unit,
        source=step.source,
        is_total=is_total,
        step=step,
    )


def plain(what: str, value: float, unit: str, source: Source | None, fine: bool = False) -> Row:
    """Return a row with a figure that is taken as it stands."""
    text, unit = figure(value, unit, fine)
    return Row(what=what, value=text, unit=unit, source=source)


def added(symbol: str, parts: list[float], unit: str, says: str = "") -> Step:
    """Return the step that adds up what is shown."""
    given = tuple(Given(f"{symbol}{n}", value, unit) for n, value in enumerate(parts))
    return Step(symbol, " + ".join(one.name for one in given) or "0", given, sum(parts), unit, None, says)


def fine_for(total_ohm: float) -> bool:
    """Return whether resistances that sum up to this are printed to a hundredth of a milliohm."""
    return 1e3 * total_ohm < FINE_MOHM
