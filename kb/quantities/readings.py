"""All the ways in which a tolerance-free text can be read, before anybody says which dimension is meant.

Keeping every reading apart until the field's dimension decides is what lets "1M" be a resistance and "10k"
be no frequency.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from kb.quantities.conversion import to_si
from kb.quantities.grammar import UNSIGNED, is_number, number_of, split_number
from kb.quantities.marking import read_marking
from kb.quantities.spellings import BARE_LETTERS, UNITS, Unit
from kb.quantities.tolerance import Tolerance

_PART = rf"({UNSIGNED})\s*(days?|years?|min|h|s)(?![A-Za-z])"
_PARTS = re.compile(_PART)
_LONG_TIME = re.compile(rf"([+-]?)({_PART}(?:\s*{_PART})+)")


@dataclass(frozen=True)
class Reading:
    """One meaning of a text: value in SI, dimension, a code's tolerance, the unit if one was written."""

    value: Decimal
    dimension: str
    tolerance: Tolerance | None = None
    unit: Unit | None = None


def read_all(text: str) -> list[Reading]:
    """Return the readings of tidied `text`, which carries no tolerance sign; none when it makes no sense."""
    markings = [Reading(code.value, code.dimension, code.tolerance) for code in read_marking(text)]
    return [*markings, *_plain(text), *_with_unit(text), *_long_time(text)]


def unit_text(text: str) -> str | None:
    """Return the unit's spelling when tidied `text` is a number with a known unit, else None."""
    parts = split_number(text)
    return parts[1] if parts and parts[1] in UNITS else None


def has_time_parts(text: str) -> bool:
    """Whether tidied `text` is a row of times such as "4 min 10 s", in whatever order."""
    return _LONG_TIME.fullmatch(text) is not None


def _plain(text: str) -> list[Reading]:
    if not is_number(text):
        return []
    value = number_of(text)
    return [Reading(value, "number"), Reading(value, "ratio")]


def _with_unit(text: str) -> list[Reading]:
    parts = split_number(text)
    if parts is None or not parts[1]:
        return []
    number, spelling = number_of(parts[0]), parts[1]
    readings = [
        Reading(number.scaleb(letters[spelling]), dimension)
        for dimension, letters in BARE_LETTERS.items()
        if spelling in letters
    ]
    unit = UNITS.get(spelling)
    if unit is not None:
        readings.append(Reading(to_si(number, unit), unit.dimension, unit=unit))
    return readings


def _long_time(text: str) -> list[Reading]:
    """Read "4 min 10 s": units that grow smaller, each amount below one of the unit before it."""
    found = _LONG_TIME.fullmatch(text)
    if found is None:
        return []
    parts = [(number_of(part[1]), UNITS[part[2]]) for part in _PARTS.finditer(found[2])]
    for (_, larger), (amount, smaller) in pairwise(parts):
        whole = to_si(Decimal(1), larger)
        if to_si(Decimal(1), smaller) >= whole or to_si(amount, smaller) >= whole:
            return []
    seconds = sum((to_si(*part) for part in parts), Decimal(0))
    return [Reading(-seconds if found[1] == "-" else seconds, "time")]
