"""Which numbers an exercise may have: lists and ranges of preferred values, and the sets drawn from them.

The same exercise gives the same sets on every machine: a hash of its own words draws, no random generator.
"""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators import Calculator
from kb.calculators.base import Input
from kb.calculators.series import NAMES, members
from kb.problems import did_you_mean
from kb.quantities import Quantity, QuantityError, parse_any_quantity, parse_quantity, show

VARIANTS = 5
"""Sets of numbers an exercise gets, where its lists and ranges have as many."""

MOST_VALUES = 200
_TRIES = 200
_SAME = 1e-9
_RANGE = re.compile(r"(?P<low>.+?)\s+to\s+(?P<high>.+?)\s+in\s+(?P<series>[Ee][0-9]{1,3})\Z")


@dataclass(frozen=True)
class NothingToDrawError(Exception):
    """A list or range that nothing can be drawn from."""

    what: str
    advice: str


def values_of(calculator: Calculator, key: str, text: str) -> tuple[str, ...]:
    """What `text` lets one draw for the input `key`; raises NothingToDrawError."""
    known = {each.key: each for each in calculator.inputs}
    if key not in known:
        raise NothingToDrawError(f'{calculator.name} has no input "{key}" to draw', did_you_mean(key, known))
    match = _RANGE.match(text.strip())
    if match is None:
        return _listed(text)
    if match["series"].upper() not in NAMES:
        raise NothingToDrawError(
            f'there is no series "{match["series"]}"', did_you_mean(match["series"].upper(), NAMES)
        )
    low, high = (_quantity(known[key], match[end]) for end in ("low", "high"))
    if low.value > high.value:
        raise NothingToDrawError(f'"{text[:40]}" goes down', "write the smaller end first")
    found = _preferred(low, high, int(match["series"][1:]))
    if not found:
        what = f'no value of {match["series"]} lies in "{text[:40]}"'
        raise NothingToDrawError(what, "widen the range, or list values")
    if len(found) > MOST_VALUES:
        advice = f"keep it under {MOST_VALUES}: take fewer decades"
        raise NothingToDrawError(f"{len(found)} values lie in that range", advice)
    return found


def drawn(values: Mapping[str, tuple[str, ...]], words: str) -> tuple[Mapping[str, str], ...]:
    """Up to VARIANTS different sets, one value of each list; `words` decide which."""
    wanted = min(VARIANTS, math.prod(len(each) for each in values.values()))
    sets: list[Mapping[str, str]] = []
    for number in range(_TRIES):
        chosen = {key: each[_place(words, key, number, len(each))] for key, each in values.items()}
        if chosen not in sets:
            sets.append(chosen)
        if len(sets) == wanted:
            break
    return tuple(sets)


def _place(words: str, key: str, number: int, count: int) -> int:
    digest = hashlib.sha256(f"{words}\n{key}\n{number}".encode()).digest()
    return int.from_bytes(digest[:8], "big") % count


def _listed(text: str) -> tuple[str, ...]:
    found = tuple(dict.fromkeys(each.strip() for each in text.split(",") if each.strip()))
    if not found:
        advice = "list values, or write a range such as  10k to 100k in E12"
        raise NothingToDrawError("there is nothing to draw", advice)
    if len(found) == 1 and re.search(r"\sto\s", found[0]):
        advice = f'write  "{text[:40]} in E12", or list values'
        raise NothingToDrawError(f'"{text[:40]}" does not say in which steps', advice)
    return found


def _quantity(wanted: Input, text: str) -> Quantity:
    try:
        if wanted.dimension in ("choice", "text", "tolerance", "integer"):
            raise NothingToDrawError(
                f"{wanted.key} is no quantity with preferred values", "list what may be drawn"
            )
        if "|" in wanted.dimension:
            return parse_any_quantity(text)
        return parse_quantity(text, wanted.dimension)
    except QuantityError as error:
        raise NothingToDrawError(error.what, error.advice) from None


def _preferred(low: Quantity, high: Quantity, count: int) -> tuple[str, ...]:
    """The members of a series within a range, as text that reads back to the value."""
    if low.value <= 0:
        raise NothingToDrawError("preferred values lie above nought", "begin the range above it")
    digits = members(count)
    scale = len(str(digits[0])) - 1
    decades = range(math.floor(math.log10(low.value)) - 1, math.ceil(math.log10(high.value)) + 1)
    if len(decades) * count > MOST_VALUES * 10:
        raise NothingToDrawError("the range is too wide to draw from", "take fewer decades")
    found = (
        (float(f"{digit}e{decade - scale}"), f"{digit}e{decade - scale}")
        for decade in decades
        for digit in digits
    )
    return tuple(
        show(value, low.dimension).replace("\u00a0", " ")
        for value, _ in found
        if low.value * (1 - _SAME) <= value <= high.value * (1 + _SAME)
    )
