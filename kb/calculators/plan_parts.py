"""Small pieces for building plans: an input as a variable, its tolerance, the likely spread of a step.

How a plan is carried out is the business of `planned`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from kb.calculators.plan import Band, Step, Variable, corners_of
from kb.calculators.reading import Given
from kb.calculators.tolerances import PartTolerance


def tolerance(given: Given, key: str, shared: str = "") -> PartTolerance:
    """The tolerance an input states, else that of the input `{shared}_tolerance`, which several share."""
    own = given.quantities.get(key)
    if not shared or (own is not None and own.has_tolerance):
        minus, plus = given.tolerance(key)
    else:
        minus, plus = given.tolerance(shared)
    return PartTolerance(minus, plus, key, shared)


def variable(given: Given, key: str, name: str, shared: str = "") -> Variable:
    """The input `key` as the variable `name`, with its own tolerance or the shared one."""
    quantity, declared = given.quantities[key], given.calculator.input(key)
    minus, plus = tolerance(given, key, shared)
    return Variable(key, name, quantity.dimension, quantity.value, minus, plus, declared.positive)


def root_sum_square(step: Step, values: Mapping[str, float]) -> tuple[float, float]:
    """The likely band of a step: the spread that each part causes alone, added as squares.

    Parts are taken as independent; the worst case lies outside it.
    """
    middle, below, above = values[step.name], 0.0, 0.0
    if step.band is None:
        return middle, middle
    for name, spread in step.band.over.items():
        low, high = corners_of(Band(step.band.expression, {name: spread}), values)
        below, above = below + (middle - low) ** 2, above + (high - middle) ** 2
    return middle - math.sqrt(below), middle + math.sqrt(above)
