"""Formulas of converters made of resistors: steps, limits, and how sure a count of trials is.

A step is V_F / 2^N here (National and TI define it so), and non-linearity is taken from the straight line
through the two end points.
"""

from __future__ import annotations

from kb.formulas import Expression

R2R, BINARY, STRING = "r2r", "binary_weighted", "string"
KINDS = (R2R, BINARY, STRING)

STEP = Expression("V_F / 2 ** N")
DNL = Expression("(V_k - V_j) / V_s - 1")
INL = Expression("(V_k - V_l) / V_s")

MSB_LEG_STEP = Expression("2 ** N * (1 - (1 + t) * (1 - 2 ** (1 - N))) / (2 + t)")
"""R-2R: the step at the middle in steps when the top leg is high by `t` and all else is exact."""

MSB_LEG_LIMIT = Expression("1 / (2 ** (N - 1) - 1)")
"""R-2R: the excess of the top leg alone at which the middle step vanishes."""

MATCHING_RULE = Expression("1 / 2 ** N")
"""R-2R with every resistor off: the tolerance that is safe (common rule; corners enumerated up to 8 bits)."""

BINARY_STEP = Expression("2 ** (N - 1) / (1 + t_p) - (2 ** (N - 1) - 1) / (1 - t_m)")
"""Binary weighted: the middle step with the top resistor high and all others low, in steps; exact."""

BINARY_LIMIT = Expression("1 / (2 ** N - 1)")
"""Binary weighted: the tolerance at which that step vanishes; exact."""

STRING_STEP = Expression("2 ** N * (1 - t_m) / (1 - t_m + (2 ** N - 1) * (1 + t_p))")
"""String: the smallest step, one resistor low and all others high."""

STRING_INL = Expression("2 ** N * t / 2")
"""String: the middle tap when one half is high by `t` and the other low (Baker, Eq. 29.10)."""

STRING_BITS = Expression("log2(1 / t)")
"""String: the bits that a matching of `t` holds to half a step."""

WILSON_MIDDLE = Expression("(p + z ** 2 / (2 * n)) / (1 + z ** 2 / n)")
WILSON_HALF = Expression("z * sqrt(p * (1 - p) / n + z ** 2 / (4 * n ** 2)) / (1 + z ** 2 / n)")
Z_95 = 1.959963984540054
"""95 % of a normal distribution lie within this many standard deviations."""


def wilson(part: float, count: int) -> tuple[float, float]:
    """Bounds of the true chance with 95 % certainty when `part` of `count` trials came true."""
    values = {"p": part, "n": float(count), "z": Z_95}
    middle, half = WILSON_MIDDLE.evaluate(values), WILSON_HALF.evaluate(values)
    # rounding must not leave the part itself outside
    return min(max(0.0, middle - half), part), max(min(1.0, middle + half), part)
