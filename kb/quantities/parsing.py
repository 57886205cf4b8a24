"""Reading one quantity as a technician writes it. A text either means one thing or is refused with advice."""

from __future__ import annotations

from collections.abc import Callable

from kb.quantities.complaints import ambiguous, missing_or_unknown, wrong_dimension
from kb.quantities.dimensions import dimension_named
from kb.quantities.errors import QuantityError, quoted
from kb.quantities.grammar import tidied
from kb.quantities.quantity import Quantity
from kb.quantities.readings import Reading, read_all
from kb.quantities.showing import format_tolerance
from kb.quantities.tolerance import Split, Tolerance, split_tolerance

Choice = Callable[[str], Reading]

# A percentage of these would depend on where the scale has its zero, or be mistaken for a difference in points.
_WITHOUT_RELATIVE_TOLERANCE = {"temperature": "20 °C to 30 °C", "ratio": "45 % to 55 %"}


def parse_quantity(text: str, dimension: str) -> Quantity:
    """Read `text` as a quantity of `dimension`: "10 ms", "4k7", "0.1 uF", "4.7 kohm +/-5 %".

    Raises QuantityError for anything else, ValueError for a dimension that does not exist.
    """
    dimension_named(dimension)
    return _parse(text, choice_of(dimension))


def parse_any_quantity(text: str) -> Quantity:
    """Read `text` as a quantity whose unit tells the dimension; QuantityError when it tells none, or two."""
    return _parse(text, choose_any)


def choice_of(dimension: str) -> Choice:
    """Return how to pick the reading of a text that must be of `dimension`."""

    def choose(text: str) -> Reading:
        readings = read_all(text)
        for reading in readings:
            if reading.dimension == dimension:
                return reading
        if readings:
            raise wrong_dimension(text, readings[-1], dimension)
        raise missing_or_unknown(text, dimension)

    return choose


def choose_any(text: str) -> Reading:
    """Pick the one reading of a text of any dimension: a plain number is a count, and "1 m" is a metre."""
    readings = {reading.dimension: reading for reading in read_all(text)}
    if {"number", "ratio"} <= readings.keys():
        return readings["number"]
    if {"length", "capacitance"} == readings.keys():
        return readings["length"]
    if len(readings) > 1 or (readings and text.endswith(" C")):
        raise ambiguous(text)
    if readings:
        return next(iter(readings.values()))
    raise missing_or_unknown(text, None)


def _parse(text: str, choose: Choice) -> Quantity:
    clean = tidied(text)
    split = split_tolerance(clean)
    reading = choose(split.head)
    if split.absolute:
        raise _absolute_tolerance(clean, split, reading, choose)
    tolerance = tolerance_of(clean, split, reading)
    minus, plus = (float(tolerance.minus), float(tolerance.plus)) if tolerance else (0.0, 0.0)
    return Quantity(float(reading.value) + 0.0, reading.dimension, minus, plus, text.strip())


def tolerance_of(clean: str, split: Split, reading: Reading) -> Tolerance | None:
    """Return the one relative tolerance of a value, written out or by its code's letter."""
    if split.relative is None:
        return reading.tolerance
    if reading.tolerance is not None:
        raise QuantityError(f"{quoted(clean)} gives the tolerance twice", "leave out the letter or the percentage")
    if reading.dimension in _WITHOUT_RELATIVE_TOLERANCE:
        raise QuantityError(
            f"{quoted(clean)} puts a relative tolerance on {dimension_named(reading.dimension).phrase}",
            f'write both limits, for example "{_WITHOUT_RELATIVE_TOLERANCE[reading.dimension]}"',
        )
    return split.relative


def _absolute_tolerance(clean: str, split: Split, reading: Reading, choose: Choice) -> QuantityError:
    amount = choose(split.absolute)
    what = f"the tolerance in {quoted(clean)} is not in %"
    if reading.dimension in _WITHOUT_RELATIVE_TOLERANCE or not 0 < amount.value <= abs(reading.value):
        return QuantityError(what, 'write it in %, for example "±5 %"')
    fraction = float(amount.value / abs(reading.value))
    return QuantityError(what, f"write {quoted(f'{split.head} {format_tolerance(fraction, fraction)}')}")
