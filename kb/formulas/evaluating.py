"""Puts numbers into a formula. Floats only, so it can't hang; a value that is not finite is an error.

The calculators and the pages share these trees: what is computed here is what is shown there.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping

from kb.formulas.errors import FormulaError
from kb.formulas.tree import CONSTANTS, Name, Negative, Node, Number, Operation

_OPERATIONS: dict[str, Callable[[float, float], float]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
    "**": math.pow,
}
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "ln": math.log,
    "exp": math.exp,
    "sqrt": math.sqrt,
    "log2": math.log2,
    "log10": math.log10,
    "abs": abs,
    "floor": math.floor,
    "ceil": math.ceil,
    "arccos": math.acos,
    "min": min,
    "max": max,
}


def evaluate(node: Node, values: Mapping[str, float]) -> float:
    """The value of `node`; FormulaError when a name is missing or there is no finite real value."""
    try:
        return _value(node, values)
    except ZeroDivisionError as error:
        raise FormulaError("the formula divides by zero with these numbers") from error
    except OverflowError as error:
        raise FormulaError("the result is too large with these numbers") from error


def _value(node: Node, values: Mapping[str, float]) -> float:
    if isinstance(node, Number):
        return node.value
    if isinstance(node, Name):
        return _finite(_look_up(node.name, values))
    if isinstance(node, Negative):
        return -_value(node.of, values)
    if isinstance(node, Operation):
        return _apply(_OPERATIONS[node.sign], _value(node.left, values), _value(node.right, values))
    return _apply(_FUNCTIONS[node.function], *(_value(item, values) for item in node.arguments))


def _look_up(name: str, values: Mapping[str, float]) -> float:
    if name in CONSTANTS:
        return CONSTANTS[name]
    if name not in values:
        raise FormulaError(f"no value was given for {name}")
    return float(values[name])


def _apply(function: Callable[..., float], *operands: float) -> float:
    try:
        return _finite(float(function(*operands)))
    except ValueError as error:
        raise FormulaError("the formula has no real value with these numbers") from error


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise FormulaError("the result is too large or undefined with these numbers")
    return value
