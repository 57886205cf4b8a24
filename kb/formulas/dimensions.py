"""The dimension of a formula, in exponents of kilogram, metre, second, ampere and kelvin.

Exists so that a test can prove that every formula we show yields the dimension it claims. It must not
convert units: values are SI everywhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from kb.formulas.errors import FormulaError
from kb.formulas.evaluating import evaluate
from kb.formulas.tree import CONSTANTS, Call, Name, Negative, Node, Number, Operation


@dataclass(frozen=True)
class Dimension:
    """Exponents of kg, m, s, A and K."""

    kg: Fraction = Fraction(0)
    m: Fraction = Fraction(0)
    s: Fraction = Fraction(0)
    ampere: Fraction = Fraction(0)
    kelvin: Fraction = Fraction(0)

    def _parts(self) -> tuple[Fraction, ...]:
        return (self.kg, self.m, self.s, self.ampere, self.kelvin)

    def times(self, other: Dimension, sign: int = 1) -> Dimension:
        """The dimension of a product, or with `sign` -1 of a quotient."""
        return Dimension(*(a + sign * b for a, b in zip(self._parts(), other._parts(), strict=True)))

    def power(self, exponent: Fraction) -> Dimension:
        """The dimension of a power."""
        return Dimension(*(part * exponent for part in self._parts()))

    def __str__(self) -> str:
        # "interval" and the like are plain numbers too; a plain number has no name of its own here.
        named = next((name for name, known in DIMENSION_OF.items() if known == self and self != PLAIN), None)
        if named:
            return f"{'an' if named[0] in 'aeiou' else 'a'} {named}"
        names = ("kg", "m", "s", "A", "K")
        found = [f"{n}^{e}" for n, e in zip(names, self._parts(), strict=True) if e]
        return " ".join(found) or "a plain number"


def _of(kg: int = 0, m: int = 0, s: int = 0, ampere: int = 0, kelvin: int = 0) -> Dimension:
    return Dimension(Fraction(kg), Fraction(m), Fraction(s), Fraction(ampere), Fraction(kelvin))


PLAIN = Dimension()

DIMENSION_OF: Mapping[str, Dimension] = {
    "resistance": _of(1, 2, -3, -2),
    "capacitance": _of(-1, -2, 4, 2),
    "inductance": _of(1, 2, -2, -2),
    "voltage": _of(1, 2, -3, -1),
    "current": _of(ampere=1),
    "power": _of(1, 2, -3),
    "energy": _of(1, 2, -2),
    "time": _of(s=1),
    "frequency": _of(s=-1),
    "charge": _of(s=1, ampere=1),
    "temperature": _of(kelvin=1),
    "length": _of(m=1),
    "mass": _of(kg=1),
    "tempo": _of(s=-1),
    "ratio": PLAIN,
    "interval": PLAIN,
    "number": PLAIN,
    "integer": PLAIN,
}
"""The vector behind each dimension name. A tempo counts beats a minute, so it is a frequency times 60."""


def dimension_of(node: Node, names: Mapping[str, Dimension]) -> Dimension:
    """The dimension of `node`; FormulaError when it adds or compares unlike things."""
    if isinstance(node, Number):
        return PLAIN
    if isinstance(node, Name):
        return _of_name(node.name, names)
    if isinstance(node, Negative):
        return dimension_of(node.of, names)
    if isinstance(node, Call):
        return _of_call(node, names)
    return _of_operation(node, names)


def _of_name(name: str, names: Mapping[str, Dimension]) -> Dimension:
    if name in CONSTANTS:
        return PLAIN
    if name not in names:
        raise FormulaError(f"no dimension was given for {name}")
    return names[name]


def _of_operation(node: Operation, names: Mapping[str, Dimension]) -> Dimension:
    left = dimension_of(node.left, names)
    if node.sign == "**":
        return _of_power(left, node.right, names)
    right = dimension_of(node.right, names)
    if node.sign in "*/":
        return left.times(right, 1 if node.sign == "*" else -1)
    return _same((left, right))


def _of_power(base: Dimension, exponent: Node, names: Mapping[str, Dimension]) -> Dimension:
    if dimension_of(exponent, names) != PLAIN:
        raise FormulaError("an exponent must be a plain number")
    return base if base == PLAIN else base.power(Fraction(evaluate(exponent, {})))


def _of_call(node: Call, names: Mapping[str, Dimension]) -> Dimension:
    inside = tuple(dimension_of(item, names) for item in node.arguments)
    if node.function in ("min", "max", "abs"):
        return _same(inside)
    if node.function == "sqrt":
        return inside[0].power(Fraction(1, 2))
    if inside[0] != PLAIN:
        raise FormulaError(f"{node.function} of {inside[0]} has no meaning")
    return PLAIN


def _same(found: tuple[Dimension, ...]) -> Dimension:
    if len(set(found)) != 1:
        raise FormulaError(f"can't add or compare {' and '.join(str(item) for item in found)}")
    return found[0]
