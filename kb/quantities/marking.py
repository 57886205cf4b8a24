"""Values as IEC 60062 codes them, a letter in place of the decimal point: 4K7, R47, 2n2, 4M7J.

Only codes that read one way are taken. A last letter is a tolerance only after a complete value (R33M is
0.33 ohm ±20 %, 33M is 33 Mohm) and never where number and letters spell a unit (100nJ stays nanojoules).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from kb.quantities.errors import QuantityError, quoted
from kb.quantities.grammar import number_of
from kb.quantities.spellings import BARE_LETTERS, CODE_LETTERS, UNITS
from kb.quantities.tolerance import Tolerance

# Tolerance letters on which several published tables agree (IEC 60062); the disputed ones are left out.
PERCENT = {"B": "0.1", "C": "0.25", "D": "0.5", "F": "1", "G": "2", "J": "5", "K": "10", "M": "20"}
# Below 10 pF these letters mean picofarads, not per cent (same tables).
PICOFARAD = {"B": "0.1", "C": "0.25", "D": "0.5"}
_TEN_PICOFARAD = Decimal("10e-12")

_LETTER = "[RkKMGLpnuµmFV]"
_WHOLE = "(?:0|[1-9][0-9]*)"
_CODE = re.compile(rf"({_WHOLE}?)({_LETTER})([0-9]+)([A-Z]?)")
_BARE = re.compile(rf"({_WHOLE})({_LETTER})([A-Z])")


@dataclass(frozen=True)
class Marking:
    """One reading of a code: the value in SI and the tolerance its last letter gives, if it has one."""

    value: Decimal
    dimension: str
    tolerance: Tolerance | None


def read_marking(text: str) -> list[Marking]:
    """Return every reading of tidied `text` as a code; none when it is no code.

    A last letter on which tables differ makes it no code; QuantityError where that letter may be a unit.
    """
    found = _CODE.fullmatch(text)
    if found and (not found[4] or found[4] in PERCENT):
        whole, letter, fraction, last = found.groups()
        return _readings(text, f"{whole or '0'}.{fraction}", letter, last, CODE_LETTERS)
    found = _BARE.fullmatch(text)
    if found and found[3] in PERCENT and found[2] + found[3] not in UNITS:
        return _readings(text, found[1], found[2], found[3], BARE_LETTERS)
    return []


def _readings(
    text: str, number: str, letter: str, last: str, letters: dict[str, dict[str, int]]
) -> list[Marking]:
    return [
        Marking(value, dimension, _tolerance(text, last, value, dimension))
        for dimension, powers in letters.items()
        if letter in powers
        for value in [number_of(number).scaleb(powers[letter])]
    ]


def _tolerance(text: str, letter: str, value: Decimal, dimension: str) -> Tolerance | None:
    if not letter:
        return None
    bare = quoted(text[:-1])
    advice = f'write {bare} with the tolerance in %, for example "{text[:-1]} ±5 %"'
    if dimension == "voltage":
        raise QuantityError(f"{quoted(text)} ends in {letter}, which is no tolerance of a voltage", advice)
    if letter == "F" and dimension == "capacitance":
        raise QuantityError(f"the F at the end of {quoted(text)} may mean farad or ±1 %", advice)
    if letter in PICOFARAD and dimension == "capacitance" and 0 < value < _TEN_PICOFARAD:
        fraction = Decimal(PICOFARAD[letter]).scaleb(-12) / value
    else:
        fraction = Decimal(PERCENT[letter]) / 100
    return Tolerance(fraction, fraction).checked(text)
