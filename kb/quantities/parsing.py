"""Reading one quantity as a technician writes it. A text either means one thing or is refused with advice."""

from __future__ import annotations

from dataclasses import dataclass

from kb.quantities.complaints import ambiguous, example_for, missing_or_unknown, wrong_dimension
from kb.quantities.dimensions import dimension_named
from kb.quantities.errors import QuantityError, quoted
from kb.quantities.grammar import is_number, tidied
from kb.quantities.quantity import Quantity
from kb.quantities.readings import Reading, read_all
from kb.quantities.showing import format_tolerance
from kb.quantities.tolerance import Split, Tolerance, split_tolerance

# A percentage of these would depend on where the scale has its zero, or be taken for percentage points.
WITHOUT_RELATIVE_TOLERANCE = {"temperature": "20 °C to 30 °C", "ratio": "45 % to 55 %"}


def parse_quantity(text: str, dimension: str) -> Quantity:
    """Read `text` as a quantity of `dimension`: "10 ms", "4k7", "0.1 uF", "4.7 kohm +/-5 %".

    Raises QuantityError for anything else, ValueError for a dimension that does not exist.
    """
    dimension_named(dimension)
    return _parse(text, Expected(dimension))


def parse_any_quantity(text: str) -> Quantity:
    """Read `text` as a quantity whose unit tells the dimension; QuantityError when it tells none, or two."""
    return _parse(text, Expected(None))


@dataclass(frozen=True)
class Expected:
    """The dimension a text must have; None for any, so long as the text tells which."""

    dimension: str | None

    @property
    def example(self) -> str:
        """A text that would do."""
        return example_for(self.dimension)

    def read(self, text: str) -> Reading:
        """Return the one reading of tidied `text` that is meant, or raise QuantityError."""
        readings = read_all(text)
        if not readings:
            raise missing_or_unknown(text, self.dimension)
        if self.dimension is None:
            return _only_one(text, readings)
        for reading in readings:
            if reading.dimension == self.dimension:
                return reading
        raise wrong_dimension(text, readings[-1], self.dimension)


def tolerance_of(clean: str, split: Split, reading: Reading) -> Tolerance | None:
    """Return the one relative tolerance of a value, written out or by its code's letter."""
    if split.relative is None:
        return reading.tolerance
    if reading.tolerance is not None:
        raise QuantityError(
            f"{quoted(clean)} gives the tolerance twice", "leave out the letter or the percentage"
        )
    if reading.dimension in WITHOUT_RELATIVE_TOLERANCE:
        what = f"{quoted(clean)} puts a relative tolerance on {dimension_named(reading.dimension).phrase}"
        raise QuantityError(what, _both_limits(reading.dimension))
    return split.relative


def refuse_unitless_tolerance(clean: str, split: Split, dimension: str) -> None:
    """Raise QuantityError for "5 V ±5", which may mean 5 % or 5 V; plain numbers need no unit."""
    if is_number(split.absolute) and dimension not in {"number", "ratio"}:
        raise QuantityError(
            f"the tolerance in {quoted(clean)} has no unit",
            f"write {quoted(f'{split.head} ±{split.absolute} %')}",
        )


def _parse(text: str, expected: Expected) -> Quantity:
    clean = tidied(text, expected.example)
    split = split_tolerance(clean)
    reading = expected.read(split.head)
    if split.absolute:
        raise _absolute_tolerance(clean, split, reading)
    tolerance = tolerance_of(clean, split, reading)
    minus, plus = (float(tolerance.minus), float(tolerance.plus)) if tolerance else (0.0, 0.0)
    return Quantity(float(reading.value) + 0.0, reading.dimension, minus, plus, text.strip())


def _only_one(text: str, readings: list[Reading]) -> Reading:
    """Pick the reading of a text of any dimension: a plain number is a count, "1 m" a metre, "47K" a code.

    "25 C" is refused: it says coulomb and is far more often meant as a temperature.
    """
    by_dimension = {reading.dimension: reading for reading in readings}
    for both, meant in (({"number", "ratio"}, "number"), ({"length", "capacitance"}, "length")):
        if both == by_dimension.keys():
            return by_dimension[meant]
    if {"temperature", "resistance"} == by_dimension.keys() and " " not in text:
        return by_dimension["resistance"]
    unit = readings[0].unit
    if len(by_dimension) > 1 or (unit is not None and unit.spelling == "C"):
        raise ambiguous(text)
    return readings[0]


def _absolute_tolerance(clean: str, split: Split, reading: Reading) -> QuantityError:
    """Return the error for "5 V ±0.25 V", which a span takes and a quantity does not."""
    refuse_unitless_tolerance(clean, split, reading.dimension)
    what = f"the tolerance in {quoted(clean)} is not in %"
    if reading.dimension in WITHOUT_RELATIVE_TOLERANCE:
        return QuantityError(what, _both_limits(reading.dimension))
    amount = Expected(reading.dimension).read(split.absolute)
    if not 0 < amount.value <= abs(reading.value):
        return QuantityError(what, f"write {quoted(f'{split.head} ±5 %')} or the like")
    fraction = float(amount.value / abs(reading.value))
    return QuantityError(what, f"write {quoted(f'{split.head} {format_tolerance(fraction, fraction)}')}")


def _both_limits(dimension: str) -> str:
    return (
        f'give both limits where a range is asked for, for example "{WITHOUT_RELATIVE_TOLERANCE[dimension]}"'
    )
