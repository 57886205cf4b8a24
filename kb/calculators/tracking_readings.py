"""Readings of a tracking test: pairs of voltage and frequency out of one line of text.

The line may come from a list in a record, whose items arrive joined by commas. Nothing is fitted here.
"""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators.base import CalculationError, InputProblem
from kb.quantities import Quantity, QuantityError, parse_quantity

MOST_READINGS = 100
LONGEST_TEXT = 40 * MOST_READINGS
EXAMPLE = "0 V=65.41 Hz, 1 V=130.90 Hz, 2 V=262.30 Hz"


@dataclass(frozen=True, order=True)
class Reading:
    """A voltage put in and the frequency that came out."""

    voltage_v: float
    frequency_hz: float


def read_readings(text: str, lowest_v: float | None = None) -> tuple[Reading, ...]:
    """The readings in `text`, by rising voltage; CalculationError naming each pair that can't be read.

    Voltages must lie above `lowest_v` where one is given, and at least two of them must differ.
    """
    pairs = [pair.strip() for pair in text.replace(";", ",").split(",") if pair.strip()]
    if len(pairs) > MOST_READINGS:
        raise _problem(f"holds {len(pairs)} readings", f"give at most {MOST_READINGS}")
    found: list[Reading] = []
    problems: list[InputProblem] = []
    for pair in pairs:
        try:
            found.append(_read(pair, lowest_v))
        except QuantityError as error:
            problems.append(InputProblem("readings", error.what, error.advice))
    if problems:
        raise CalculationError(*problems)
    if len({reading.voltage_v for reading in found}) < 2:
        raise _problem("needs readings at two different voltages or more", f"for example {EXAMPLE}")
    return tuple(sorted(found))


def _read(pair: str, lowest_v: float | None) -> Reading:
    voltage_text, sign, frequency_text = pair.partition("=")
    if not sign:
        voltage_text, sign, frequency_text = pair.partition(":")
    if not sign:
        raise QuantityError(f'"{pair[:40]}" is no pair of voltage and frequency', f"for example {EXAMPLE}")
    voltage = _exact(voltage_text, "voltage")
    frequency = _exact(frequency_text, "frequency")
    if frequency.value <= 0:
        raise QuantityError(f'"{frequency.text}" must be above zero', "leave out notes that do not sound")
    if lowest_v is not None and voltage.value <= lowest_v:
        raise QuantityError(
            f'"{voltage.text}" must be above {lowest_v:g} V', "with hertz per volt no note lies at zero"
        )
    return Reading(voltage.value, frequency.value)


def _exact(text: str, dimension: str) -> Quantity:
    quantity = parse_quantity(text.strip(), dimension)
    if quantity.has_tolerance:
        raise QuantityError(f'"{quantity.text}" is a reading with a tolerance', "write what the meter showed")
    return quantity


def _problem(what: str, advice: str) -> CalculationError:
    return CalculationError(InputProblem("readings", what, advice))
