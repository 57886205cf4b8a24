"""The worst corner of a converter: every resistor at an end of its tolerance, the worst way round.

Binary weights and strings have it in closed form; for R-2R it is searched, because the signs of the
resistors between the legs don't follow a simple rule.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators.ladder_formulas import (
    BINARY,
    BINARY_LIMIT,
    BINARY_STEP,
    MATCHING_RULE,
    MSB_LEG_LIMIT,
    R2R,
    STRING_INL,
    STRING_STEP,
)
from kb.calculators.ladder_solution import Spread, worst_corner

_HALVINGS = 40


@dataclass(frozen=True)
class Corner:
    """The smallest step as DNL, and the tolerances below which nothing steps backwards, where there are."""

    dnl: float
    inl: float | None
    tolerance_limit: float | None
    matching_rule: float | None
    msb_leg_limit: float | None
    by_carry: tuple[float, ...]


def corner_of(kind: str, bits: int, spread: Spread) -> Corner:
    """The corner of a converter whose resistors spread so far."""
    values = {"N": float(bits), "t": max(spread.minus, spread.plus), "t_m": spread.minus, "t_p": spread.plus}
    rule = MATCHING_RULE.evaluate(values)
    if kind == BINARY:
        steps = tuple(BINARY_STEP.evaluate({**values, "N": bit + 1.0}) - 1.0 for bit in range(bits))
        return Corner(steps[-1], None, BINARY_LIMIT.evaluate(values), rule, None, steps)
    if kind == R2R:
        dnl, by_carry = worst_corner(bits, spread)
        leg = MSB_LEG_LIMIT.evaluate(values)
        return Corner(dnl, None, _ladder_limit(bits), rule, leg, tuple(float(each) for each in by_carry))
    step = STRING_STEP.evaluate(values)
    return Corner(step - 1.0, STRING_INL.evaluate(values), None, None, None, ())


def _ladder_limit(bits: int) -> float:
    """The tolerance at which the worst corner's middle step vanishes, by halving."""
    low, high = 0.0, 0.9
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if worst_corner(bits, Spread(middle, middle))[0] > -1.0:
            low = middle
        else:
            high = middle
    return low
