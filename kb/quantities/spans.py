"""Reading the range a value may lie in: "4.75 V to 5.25 V", ">= 5 ms", "5 V ±0.25 V", or one value alone.

Limits always belong to the span: ">" is read as "at least" and "<" as "at most", since no reading on a bench
tells one from the other.
"""

from __future__ import annotations

import re
from decimal import Decimal

from kb.quantities.conversion import difference_to_si
from kb.quantities.dimensions import dimension_named
from kb.quantities.errors import QuantityError, quoted
from kb.quantities.grammar import is_number, number_of, split_number, tidied
from kb.quantities.parsing import Expected, refuse_unitless_tolerance, tolerance_of
from kb.quantities.quantity import Span
from kb.quantities.readings import Reading, unit_text
from kb.quantities.tolerance import Split, split_tolerance

_LIMIT = re.compile(r"(>=|<=|≥|≤|>(?!=)|<(?!=))\s*(.+)")
_TO = re.compile(r"\s+to\s+")
_DASH = re.compile(r"(?<=[0-9A-Za-z%])\s*(?:–|—|\.\.\.?|…|\s-\s)\s*(?=[-+0-9.])")


def parse_span(text: str, dimension: str) -> Span:
    """Read `text` as a span of `dimension`; the unit may stand once, at the end: "4.75 to 5.25 V".

    Raises QuantityError for anything else, ValueError for a dimension that does not exist.
    """
    dimension_named(dimension)
    return _parse(text, Expected(dimension))


def parse_any_span(text: str) -> Span:
    """Read `text` as a span whose unit tells the dimension; QuantityError when it tells none, or two."""
    return _parse(text, Expected(None))


def _parse(text: str, expected: Expected) -> Span:
    clean = tidied(text, expected.example)
    limit = _LIMIT.fullmatch(clean)
    if limit:
        return _limited(text, limit[1], _exact(limit[2], expected))
    ends = _TO.split(clean)
    if len(ends) > 2:
        raise QuantityError(f"{quoted(clean)} has more than two ends", 'write for example "4.75 V to 5.25 V"')
    if len(ends) == 2:
        return _between(text, clean, ends[0], ends[1], expected)
    dashed = _DASH.split(clean)
    if len(dashed) == 2:
        raise QuantityError(
            f"{quoted(clean)} has a dash between its ends", f"write {quoted(' to '.join(dashed))}"
        )
    return _around(text, clean, expected)


def _limited(text: str, sign: str, end: Reading) -> Span:
    value = float(end.value) + 0.0
    low, high = (value, None) if sign in (">=", "≥", ">") else (None, value)
    return Span(low, high, end.dimension, text.strip())


def _between(text: str, clean: str, low_text: str, high_text: str, expected: Expected) -> Span:
    high = _exact(high_text, expected)
    low_text = _with_unit_of(low_text, high_text)
    low = _low_end(low_text, high, expected)
    if low.dimension != high.dimension:
        phrases = [dimension_named(end.dimension).phrase for end in (low, high)]
        raise QuantityError(
            f"{quoted(clean)} goes from {phrases[0]} to {phrases[1]}", "write both ends in the same unit"
        )
    if low.value > high.value:
        raise QuantityError(
            f"the low end of {quoted(clean)} is above its high end",
            f"write {quoted(f'{high_text} to {low_text}')}",
        )
    return Span(float(low.value) + 0.0, float(high.value) + 0.0, low.dimension, text.strip())


def _around(text: str, clean: str, expected: Expected) -> Span:
    split = split_tolerance(clean)
    if split.absolute:
        return _within(text, clean, split, expected)
    reading = expected.read(split.head)
    tolerance = tolerance_of(clean, split, reading)
    ends = [reading.value]
    if tolerance:
        ends = [reading.value * (1 - tolerance.minus), reading.value * (1 + tolerance.plus)]
    return Span(float(min(ends)) + 0.0, float(max(ends)) + 0.0, reading.dimension, text.strip())


def _within(text: str, clean: str, split: Split, expected: Expected) -> Span:
    middle = expected.read(_with_unit_of(split.head, split.absolute))
    if middle.tolerance is not None:
        raise QuantityError(
            f"{quoted(clean)} gives the tolerance twice", "leave out the letter or the amount"
        )
    refuse_unitless_tolerance(clean, split, middle.dimension)
    amount = _difference(Expected(middle.dimension).read(split.absolute), split.absolute)
    return Span(
        float(middle.value - amount) + 0.0, float(middle.value + amount) + 0.0, middle.dimension, text.strip()
    )


def _difference(reading: Reading, text: str) -> Decimal:
    number = split_number(text)
    if reading.unit is None or number is None:
        return reading.value
    return difference_to_si(number_of(number[0]), reading.unit)


def _exact(text: str, expected: Expected) -> Reading:
    """Read an end of a span, which takes no tolerance of its own."""
    split = split_tolerance(text)
    reading = expected.read(split.head)
    if split.relative or split.absolute or reading.tolerance:
        bare = split.head[:-1] if reading.tolerance else split.head
        raise QuantityError(f"the limit {quoted(text)} has a tolerance", f"write {quoted(bare)}")
    return reading


def _with_unit_of(bare: str, other: str) -> str:
    """Return `bare` with the unit of `other`, where it has none and `other` has one."""
    unit = unit_text(other)
    return f"{bare} {unit}" if unit and is_number(bare) else bare


def _low_end(text: str, high: Reading, expected: Expected) -> Reading:
    """Read the low end; the 0 of "0 to 10k" needs no multiplier, since nought is nought of any of them."""
    if high.unit is None and is_number(text) and not number_of(text):
        return Reading(Decimal(0), high.dimension)
    return _exact(text, expected)
