"""The resistors of an oscillator as they were written: one, two, or a list, and which one is solved for.

Only reading happens here; every mistake becomes a problem that names its input.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.astable_devices import OPAMP, SCHMITT, TIMER, Oscillator
from kb.calculators.base import CalculationError, InputProblem
from kb.calculators.reading import Given
from kb.quantities import Quantity, QuantityError, parse_quantity

KEYS = {TIMER: ("resistor_a", "resistor_b"), SCHMITT: ("resistor",), OPAMP: ("resistor",)}
NAME = {"resistor_a": "R_A", "resistor_b": "R_B", "resistor": "R"}
_BETWEEN = re.compile(r"\s*[,;/&]\s*|\s+and\s+")


@dataclass(frozen=True)
class Parts:
    """The resistors by input key; `solved` is the key of the one that the frequency decides, if any."""

    resistors: Mapping[str, Quantity]
    solved: str | None


def read_parts(given: Given, device: Oscillator) -> Parts:
    """The resistors of `device`; raises CalculationError for those that it has not, or that are missing."""
    keys = KEYS[device.kind]
    found = _listed(given, keys, device) if given.has("resistors") else _single(given, keys, device)
    solved = keys[-1] if given.has("frequency") else None
    missing = [key for key in keys if key not in found and key != solved]
    if missing:
        raise CalculationError(*(_missing(key, device) for key in missing))
    if solved in found:
        what = f"{solved} and frequency are both given, so there is nothing to solve for"
        raise CalculationError(InputProblem(None, what, f"give either {solved} or frequency"))
    return Parts(found, solved)


def _single(given: Given, keys: tuple[str, ...], device: Oscillator) -> dict[str, Quantity]:
    found = {key: given.quantities[key] for key in NAME if key in given.quantities}
    wrong = [key for key in found if key not in keys]
    if wrong:
        raise CalculationError(*(InputProblem(key, _has(device), f"give {_words(keys)}") for key in wrong))
    return found


def _listed(given: Given, keys: tuple[str, ...], device: Oscillator) -> dict[str, Quantity]:
    """Those of the list; one that is written by its own key as well counts as that says."""
    alone = _single(given, keys, device)
    texts = _BETWEEN.split(given.word("resistors"))
    if len(texts) > len(keys):
        raise CalculationError(InputProblem("resistors", _has(device), f"give {_words(keys)}"))
    return {key: _resistance(text) for key, text in zip(keys, texts, strict=False)} | alone


def _resistance(text: str) -> Quantity:
    try:
        found = parse_quantity(text, "resistance")
    except QuantityError as error:
        raise CalculationError(InputProblem("resistors", error.what, error.advice)) from error
    if found.low <= 0:
        raise CalculationError(InputProblem("resistors", f'"{text}" must be above zero', "for example 10k"))
    return found


def _has(device: Oscillator) -> str:
    count = "two resistors" if device.kind == TIMER else "one resistor"
    return f"the {device.name} oscillator has {count}"


def _missing(key: str, device: Oscillator) -> InputProblem:
    or_solve = "; or give the frequency to solve for it" if key != "resistor_a" else ""
    return InputProblem(key, "is missing", f"{_has(device)}, for example 10k{or_solve}")


def _words(keys: tuple[str, ...] | list[str]) -> str:
    return " and ".join(keys)
