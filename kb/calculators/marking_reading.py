"""One way to read a marking: a whole number, a power of ten and a tolerance, each with how sure it is.

Where tables disagree the tolerance says so and holds no number: a guess would be read as a fact.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kb.calculators.series import members
from kb.formulas import Expression
from kb.quantities import format_tolerance, show

TIMES = Expression("N * 10 ** m")
OVER = Expression("N / 10 ** m")
"""The value; a negative power divides, because only that gives the very number a page prints."""

Certainty = Literal["marked", "not marked", "not agreed between tables"]
PICOFARAD = 1e-12


@dataclass(frozen=True)
class Tolerance:
    """How far below and above: fractions of the value, or farads when `in_farads`."""

    certainty: Certainty = "marked"
    minus: float = 0.0
    plus: float = 0.0
    in_farads: bool = False

    @property
    def shown(self) -> str:
        """As a page prints it."""
        if self.certainty != "marked":
            return self.certainty
        if self.in_farads:
            return f"±{show(self.plus, 'capacitance')}"
        return format_tolerance(self.minus, self.plus)

    def band(self, value: float) -> tuple[float, float]:
        """The least and greatest value that it allows."""
        if self.in_farads:
            return max(0.0, value - self.minus), value + self.plus
        return value * (1 - self.minus), value * (1 + self.plus)


UNMARKED = Tolerance("not marked")
NOT_AGREED = Tolerance("not agreed between tables")


@dataclass(frozen=True)
class Reading:
    """A value of `digits` times ten to the `power`, in SI; `how` says by which rule it was read.

    `per_kelvin` is a temperature coefficient, as a fraction. `remarks` are what to know about the reading.
    """

    kind: str
    dimension: str
    digits: int
    power: int
    tolerance: Tolerance
    how: str
    status: str
    per_kelvin: float | None = None
    remarks: tuple[str, ...] = ()

    @property
    def formula(self) -> Expression:
        """The formula that its value is computed by."""
        return TIMES if self.power >= 0 else OVER

    @property
    def value(self) -> float:
        """The value in SI."""
        return self.formula.evaluate({"N": self.digits, "m": abs(self.power)})

    @property
    def band(self) -> tuple[float, float]:
        """The least and greatest value, both the value itself where no tolerance is known."""
        return self.tolerance.band(self.value)

    @property
    def shown(self) -> str:
        """As a sentence has it: "4.7 kΩ ±5 %"."""
        known = self.tolerance.certainty == "marked" and self.digits
        return f"{show(self.value, self.dimension, 4)}{f' {self.tolerance.shown}' if known else ''}"


def rarity(digits: int) -> int:
    """0 for a number of E24, in which parts are commonly made, 1 for E96, 2 for E192, 3 for any other."""
    while digits >= 100 and digits % 10 == 0:
        digits //= 10
    two = digits * 10 if digits < 10 else digits
    if two in members(24) or digits == 0:
        return 0
    three = two * 10 if two < 100 else two
    return 1 if three in members(96) else 2 if three in members(192) else 3


# On which several published tables agree; in percent.
_PERCENT = {"B": 0.1, "C": 0.25, "D": 0.5, "F": 1.0, "G": 2.0, "J": 5.0, "K": 10.0, "M": 20.0}
# Of capacitors below 10 pF these letters mean picofarads; what F means there is disputed.
_PICOFARADS = {"B": 0.1, "C": 0.25, "D": 0.5}
_LOPSIDED = {"Z": (20.0, 80.0), "P": (0.0, 100.0)}
_DISPUTED = frozenset("AEHLNQSTWX")
_TEN_PICOFARADS = 10 * PICOFARAD


def letter_tolerance(letter: str, dimension: str, value: float) -> Tolerance | None:
    """What a tolerance letter means; None when it is no such letter, NOT_AGREED when tables differ."""
    if not letter:
        return UNMARKED
    is_small = dimension == "capacitance" and value < _TEN_PICOFARADS * (1 - 1e-9)
    if is_small and letter in _PICOFARADS:
        farads = _PICOFARADS[letter] / 1e12
        return Tolerance("marked", farads, farads, in_farads=True)
    if is_small and letter == "F":
        return NOT_AGREED
    if letter in _PERCENT:
        return Tolerance("marked", _PERCENT[letter] / 100, _PERCENT[letter] / 100)
    if letter in _LOPSIDED:
        minus, plus = _LOPSIDED[letter]
        return Tolerance("marked", minus / 100, plus / 100) if dimension == "capacitance" else NOT_AGREED
    return NOT_AGREED if letter in _DISPUTED else None
