"""Puts numbers into a formula. Floats only, so it can't hang; a value that is not finite is an error.

The calculators and the pages share these trees: what is computed here is what is shown there.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping
from math import isfinite

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


Worked = Callable[[Mapping[str, float]], float]
"""A formula as a function of its values."""


def evaluate(node: Node, values: Mapping[str, float]) -> float:
    """The value of `node`; FormulaError when a name is missing or there is no finite real value."""
    return finished(worked(node), values)


def finished(formula: Worked, values: Mapping[str, float]) -> float:
    """The value of a formula that was prepared by `worked`; FormulaError as `evaluate`."""
    try:
        return formula(values)
    except ZeroDivisionError as error:
        raise FormulaError("the formula divides by zero with these numbers") from error
    except OverflowError as error:
        raise FormulaError("the result is too large with these numbers") from error


def worked(node: Node) -> Worked:
    """A function for `node`, which is walked once: the same few formulas are computed again and again."""
    if isinstance(node, Number):
        return _always(node.value)
    if isinstance(node, Name):
        return _name(node.name)
    if isinstance(node, Negative):
        of = worked(node.of)
        return lambda values: -of(values)
    if isinstance(node, Operation):
        return _operation(_OPERATIONS[node.sign], worked(node.left), worked(node.right))
    return _call(_FUNCTIONS[node.function], tuple(worked(each) for each in node.arguments))


def _always(value: float) -> Worked:
    def constant(values: Mapping[str, float]) -> float:
        del values
        return value

    return constant


def _name(name: str) -> Worked:
    if name in CONSTANTS:
        return _always(CONSTANTS[name])

    def look_up(values: Mapping[str, float]) -> float:
        if name not in values:
            raise FormulaError(f"no value was given for {name}")
        return _finite(float(values[name]))

    return look_up


def _operation(function: Callable[[float, float], float], left: Worked, right: Worked) -> Worked:
    def operation(values: Mapping[str, float]) -> float:
        one, other = left(values), right(values)
        try:
            found = function(one, other)
        except ValueError as error:
            raise _no_real_value() from error
        if not isfinite(found):
            raise _no_real_value()
        return found

    return operation


def _call(function: Callable[..., float], arguments: tuple[Worked, ...]) -> Worked:
    def call(values: Mapping[str, float]) -> float:
        operands = [each(values) for each in arguments]
        try:
            return _finite(float(function(*operands)))
        except ValueError as error:
            raise _no_real_value() from error

    return call


def _no_real_value() -> FormulaError:
    return FormulaError("the formula has no real value with these numbers")


def _finite(value: float) -> float:
    if not isfinite(value):
        raise FormulaError("the result is too large or undefined with these numbers")
    return value
