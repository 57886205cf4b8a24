"""Tolerances written after a value: "±5 %", "+/-5 %", "-20/+80 %", and "±0.25 V" for spans."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from kb.quantities.errors import QuantityError, quoted
from kb.quantities.grammar import UNSIGNED, number_of

# Nothing can be more than 100 % too small; the widest part on the market is -20/+80 %, so +200 % leaves room.
LARGEST_MINUS = 1
LARGEST_PLUS = 2

_SYMMETRIC = re.compile(r"(?:±|\+/-|\+-|-/\+)")
_TWO_SIDED = re.compile(
    rf"(?P<first>[-+])\s*(?P<one>{UNSIGNED})\s*(?P<mark>%|ppm)?\s*[/,]?\s*"
    rf"(?P<second>[-+])\s*(?P<two>{UNSIGNED})\s*(?P<unit>%|ppm)$"
)
_AMOUNT = re.compile(rf"({UNSIGNED})\s*(%|ppm)")
_UNMARKED = re.compile(rf"(.*\S)\s+({UNSIGNED}\s*(?:%|ppm))")
_SCALE = {"%": Decimal("0.01"), "ppm": Decimal("0.000001")}


@dataclass(frozen=True)
class Tolerance:
    """Positive fractions of the value, downwards and upwards."""

    minus: Decimal
    plus: Decimal

    def checked(self, text: str) -> Tolerance:
        """Return this tolerance, or raise QuantityError when it is wider than a tolerance can be."""
        if self.minus > LARGEST_MINUS:
            raise QuantityError(
                f"the tolerance in {quoted(text)} goes below -100 %",
                'write a smaller one, for example "±20 %"',
            )
        if self.plus > LARGEST_PLUS:
            raise QuantityError(
                f"the tolerance in {quoted(text)} goes above +200 %",
                'write a smaller one, for example "-20/+80 %"',
            )
        return self


@dataclass(frozen=True)
class Split:
    """A text cut before its tolerance: the value's text, and a relative tolerance or an amount's text."""

    head: str
    relative: Tolerance | None = None
    absolute: str = ""


def split_tolerance(text: str) -> Split:
    """Cut tidied `text` before its tolerance, if any; QuantityError when the tolerance is malformed."""
    found = _SYMMETRIC.search(text)
    if found:
        return _symmetric(text, text[: found.start()].strip(), text[found.end() :].strip())
    two = _TWO_SIDED.search(text)
    if two and two.start() > 0:
        return Split(text[: two.start()].strip(), _two_sided(text, two).checked(text))
    unmarked = _UNMARKED.fullmatch(text)
    if unmarked:
        raise QuantityError(
            f"{quoted(text)} has a tolerance without a sign",
            f"write {quoted(f'{unmarked[1]} ±{unmarked[2]}')}",
        )
    return Split(text)


def _symmetric(text: str, head: str, amount: str) -> Split:
    if not head:
        raise QuantityError(f"{quoted(text)} has a tolerance but no value", "write the value before it")
    if amount[:1] not in set("0123456789."):
        raise _malformed(text, head)
    found = _AMOUNT.fullmatch(amount)
    if found is None:
        if "%" in amount or _SYMMETRIC.search(amount):
            raise _malformed(text, head)
        return Split(head, absolute=amount)
    fraction = number_of(found[1]) * _SCALE[found[2]]
    return Split(head, Tolerance(fraction, fraction).checked(text))


def _two_sided(text: str, found: re.Match[str]) -> Tolerance:
    if found["first"] == found["second"]:
        raise _malformed(text, text[: found.start()].strip())
    one = number_of(found["one"]) * _SCALE[found["mark"] or found["unit"]]
    two = number_of(found["two"]) * _SCALE[found["unit"]]
    return Tolerance(one, two) if found["first"] == "-" else Tolerance(two, one)


def _malformed(text: str, head: str) -> QuantityError:
    return QuantityError(
        f"the tolerance in {quoted(text)} cannot be read", f"write {quoted(head + ' ±5 %')} or the like"
    )
