"""The straight line through a tracking test, and the droop of an oscillator that resets too slowly.

A perfect oscillator plays one octave for each octave asked for; slope, level and what is left over are
what the trimmers have to take away. Sums are formed here, every formula is an Expression.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from kb.calculators.pitch import HERTZ_PER_VOLT, OCTAVE_V, VOLT_PER_OCTAVE
from kb.calculators.tracking_readings import Reading
from kb.formulas import Expression, FormulaError

ASKED = {
    VOLT_PER_OCTAVE: Expression("(V - V_0) / V_1"),
    HERTZ_PER_VOLT: Expression("log2(V / V_0)"),
}
"""Octaves asked for above the base voltage."""

PLAYED = Expression("log2(f / f_0)")
SLOPE = Expression("S_xy / S_xx")
LEVEL = Expression("y_m - b * x_m")
SCALE_ERROR = Expression("1200 * (b - 1)")
OFFSET = Expression("1200 * a")
RESIDUAL = Expression("1200 * (y - a - b * x)")
TWO_POINT = Expression("1200 * ((y_2 - y_1) / (x_2 - x_1) - 1)")
SCALE_DOUBT = Expression("1200 * sqrt(S_rr / ((n - 2) * S_xx))")
DROOP = Expression("-1200 * log2(1 + f * t_d)")
"""What a reset of `t_d` costs a note of `f` that would be right without it, in cents."""

WITHOUT_DROOP = Expression("f / (1 - f * t_d)")
"""The frequency a note of `f` would have if the reset took no time: periods add."""

ZERO_ERROR = Expression("S_uf / S_uu / g")
"""Hertz per volt: the voltage by which the input seems shifted, from f / V = g + g V_z / V."""

# The reset may take up to this part of the shortest period; beyond it nothing sounds like an oscillator.
_WIDEST = 0.2
_GOLDEN = (math.sqrt(5) - 1) / 2
_NARROWINGS = 60


@dataclass(frozen=True)
class Line:
    """A fitted line: `slope` in octaves per octave, `level` in octaves at the base voltage."""

    slope: float
    level: float
    residuals: tuple[float, ...]
    sums: dict[str, float]

    @property
    def worst(self) -> float:
        """The largest residual in cents, without its sign."""
        return max(abs(residual) for residual in self.residuals)

    @property
    def squares(self) -> float:
        """The sum of the squared residuals, in cents squared."""
        return math.fsum(residual**2 for residual in self.residuals)


@dataclass(frozen=True)
class Test:
    """Readings with what they are held against."""

    standard: str
    readings: tuple[Reading, ...]
    base_v: float
    base_hz: float

    def asked(self, reading: Reading) -> float:
        """Octaves asked for above the base."""
        values = {"V": reading.voltage_v, "V_0": self.base_v, "V_1": OCTAVE_V}
        return ASKED[self.standard].evaluate(values)

    def line(self, reset_s: float = 0.0) -> Line:
        """The least-squares line, after taking a reset of `reset_s` out of every reading."""
        x = [self.asked(reading) for reading in self.readings]
        y = [self._played(reading, reset_s) for reading in self.readings]
        return fit(x, y)

    def _played(self, reading: Reading, reset_s: float) -> float:
        frequency = reading.frequency_hz
        if reset_s:
            frequency = WITHOUT_DROOP.evaluate({"f": frequency, "t_d": reset_s})
        return PLAYED.evaluate({"f": frequency, "f_0": self.base_hz})

    def two_point(self) -> float:
        """The scale error that the lowest and the highest reading alone would tell, in cents per octave."""
        first, last = self.readings[0], self.readings[-1]
        ends = {"x_1": self.asked(first), "y_1": self._played(first, 0.0)}
        ends |= {"x_2": self.asked(last), "y_2": self._played(last, 0.0)}
        return TWO_POINT.evaluate(ends)

    def reset_s(self) -> float:
        """The reset time with which the readings lie straightest; below zero when the top runs sharp."""
        widest = _WIDEST / max(reading.frequency_hz for reading in self.readings)
        return _least(lambda reset_s: self.line(reset_s).squares, -widest, widest)

    def zero_error_v(self) -> float:
        """How far the input seems shifted, from hertz per volt against one over the voltage."""
        u = [1 / reading.voltage_v for reading in self.readings]
        slopes = [reading.frequency_hz / reading.voltage_v for reading in self.readings]
        u_m, slope_m = math.fsum(u) / len(u), math.fsum(slopes) / len(u)
        across = math.fsum((a - u_m) * (b - slope_m) for a, b in zip(u, slopes, strict=True))
        along = math.fsum((a - u_m) ** 2 for a in u)
        gain = slope_m - across / along * u_m
        return ZERO_ERROR.evaluate({"S_uf": across, "S_uu": along, "g": gain})


def fit(x: list[float], y: list[float]) -> Line:
    """The line through `y` over `x` with the least squares; FormulaError when all x are the same."""
    count = len(x)
    x_m, y_m = math.fsum(x) / count, math.fsum(y) / count
    sums = {
        "S_xy": math.fsum((a - x_m) * (b - y_m) for a, b in zip(x, y, strict=True)),
        "S_xx": math.fsum((a - x_m) ** 2 for a in x),
        "x_m": x_m,
        "y_m": y_m,
        "n": float(count),
    }
    if not math.isfinite(sums["S_xx"]):
        raise FormulaError("the voltages are too large with these numbers")
    slope = SLOPE.evaluate(sums)
    level = LEVEL.evaluate({**sums, "b": slope})
    at = {"a": level, "b": slope}
    residuals = tuple(
        RESIDUAL.evaluate({**at, "x": a, "y": b}) for a, b in zip(x, y, strict=True)
    )  # fmt: skip
    return Line(slope, level, residuals, sums)


def _least(of: Callable[[float], float], low: float, high: float) -> float:
    """Where `of` is least between `low` and `high`, by golden sections; a fixed number of them."""
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = of(left), of(right)
    for _ in range(_NARROWINGS):
        if at_left < at_right:
            high, right, at_right = right, left, at_left
            left = high - _GOLDEN * (high - low)
            at_left = of(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + _GOLDEN * (high - low)
            at_right = of(right)
    return (low + high) / 2
