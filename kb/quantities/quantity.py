"""What has been read: a quantity with its tolerance, and a span between two limits, both in SI units."""

from __future__ import annotations

import math
from dataclasses import dataclass

from kb.quantities.dimensions import dimension_named
from kb.quantities.showing import COMPUTED_DIGITS, WRITTEN_DIGITS, format_tolerance, show

# A reading that is off by a rounding error only is inside its limits.
RELATIVE_GUARD = 1e-9


@dataclass(frozen=True)
class Quantity:
    """A value in the SI unit of its dimension, with the relative tolerance written beside it.

    `minus` and `plus` are positive fractions: (0.2, 0.8) for -20/+80 %. `text` is what the person wrote,
    empty for a computed quantity. Raises ValueError for an unknown dimension or a value that is not finite.
    """

    value: float
    dimension: str
    minus: float = 0.0
    plus: float = 0.0
    text: str = ""

    def __post_init__(self) -> None:
        dimension_named(self.dimension)
        if not all(math.isfinite(number) for number in (self.value, self.minus, self.plus)):
            raise ValueError(f"a quantity must be finite: {self.value!r} -{self.minus!r} +{self.plus!r}")
        if not (0 <= self.minus <= 1 and self.plus >= 0):
            raise ValueError(f"a tolerance runs from 0 to 1 downwards: -{self.minus!r} +{self.plus!r}")

    @property
    def has_tolerance(self) -> bool:
        """Whether the value may differ from the nominal one at all."""
        return self.minus > 0 or self.plus > 0

    @property
    def low(self) -> float:
        """The lowest value the tolerance allows, in SI."""
        return min(self.value * (1 - self.minus), self.value * (1 + self.plus))

    @property
    def high(self) -> float:
        """The highest value the tolerance allows, in SI."""
        return max(self.value * (1 - self.minus), self.value * (1 + self.plus))

    @property
    def shown(self) -> str:
        """The quantity as a page shows it, "4.7 kΩ ±5 %": to six digits if somebody wrote it, else three."""
        value = show(self.value, self.dimension, _digits_for(self.text))
        return f"{value} {format_tolerance(self.minus, self.plus)}" if self.has_tolerance else value


@dataclass(frozen=True)
class Span:
    """The values between two limits, both included, in SI; a limit that is None is open.

    Raises ValueError for an unknown dimension, for two open limits and for a low limit above the high one.
    """

    low: float | None
    high: float | None
    dimension: str
    text: str = ""

    def __post_init__(self) -> None:
        dimension_named(self.dimension)
        limits = [limit for limit in (self.low, self.high) if limit is not None]
        if not limits or not all(math.isfinite(limit) for limit in limits):
            raise ValueError(f"a span needs a finite limit: {self.low!r} to {self.high!r}")
        if limits != sorted(limits):
            raise ValueError(f"the low limit is above the high one: {self.low!r} to {self.high!r}")

    def holds(self, value: float) -> bool:
        """Whether `value` (SI) lies within the limits, give or take one part in 1e9 of the larger limit."""
        guard = RELATIVE_GUARD * max(abs(limit) for limit in (self.low, self.high) if limit is not None)
        above = self.low is None or value >= self.low - guard
        below = self.high is None or value <= self.high + guard
        return above and below and not math.isnan(value)

    @property
    def shown(self) -> str:
        """The span as a page shows it: "4.75 V to 5.25 V", "≥ 5 ms", "≤ 50 mV", "5 V" for a single value."""
        low, high = (
            None if limit is None else show(limit, self.dimension, _digits_for(self.text))
            for limit in (self.low, self.high)
        )
        if high is None:
            return f"≥ {low}"
        if low is None:
            return f"≤ {high}"
        return low if self.low == self.high else f"{low} to {high}"


def _digits_for(text: str) -> int:
    return WRITTEN_DIGITS if text else COMPUTED_DIGITS
