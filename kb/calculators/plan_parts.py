"""Small pieces for building plans: an input as a variable, tolerances by name, the likely spread of a step.

How a plan is carried out is the business of `planned`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from kb.calculators.plan import Band, Step, Variable, corners_of
from kb.calculators.reading import Given

Tolerance = tuple[float, float]
"""How far below and above its value a part may lie, as positive fractions."""


def variable(given: Given, key: str, name: str, usual: Tolerance = (0.0, 0.0)) -> Variable:
    """The input `key` as the variable `name`; `usual` is its tolerance when it states none."""
    quantity, declared = given.quantities[key], given.calculator.input(key)
    minus, plus = (quantity.minus, quantity.plus) if quantity.has_tolerance else usual
    return Variable(key, name, quantity.dimension, quantity.value, minus, plus, declared.positive)


def spreads(variables: Iterable[Variable]) -> dict[str, Tolerance]:
    """The tolerances of those variables that have one, by name."""
    return {each.name: (each.minus, each.plus) for each in variables if each.minus or each.plus}


def root_sum_square(step: Step, values: Mapping[str, float]) -> tuple[float, float]:
    """The likely band of a step: the spread that each part causes alone, added as squares.

    Parts are taken as independent; the worst case lies outside it.
    """
    middle, below, above = values[step.name], 0.0, 0.0
    if step.band is None:
        return middle, middle
    for name, tolerance in step.band.over.items():
        low, high = corners_of(Band(step.band.expression, {name: tolerance}), values)
        below, above = below + (middle - low) ** 2, above + (high - middle) ** 2
    return middle - math.sqrt(below), middle + math.sqrt(above)
