"""The tables behind the grammar as plain data, for the reader that stands in the pages.

`quantities.js` follows the grammar of this package; its units, letters and bounds are these and no others.
Nothing is decided here.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from kb.quantities import grammar, marking, tolerance
from kb.quantities.conversion import to_si
from kb.quantities.dimensions import DIMENSIONS, dimension_named
from kb.quantities.errors import LONGEST_QUOTE
from kb.quantities.parsing import WITHOUT_RELATIVE_TOLERANCE
from kb.quantities.showing import ENGINEERING
from kb.quantities.spellings import BARE_LETTERS, CODE_LETTERS, MISSPELLINGS, UNITS, Unit


def tables() -> dict[str, Any]:
    """All of them by name; numbers that must stay exact are texts."""
    return {
        "units": {spelling: _unit(unit) for spelling, unit in UNITS.items()},
        "dimensions": {name: _dimension(name) for name in DIMENSIONS},
        "bareLetters": BARE_LETTERS,
        "codeLetters": CODE_LETTERS,
        "misspellings": MISSPELLINGS,
        "percentLetters": marking.PERCENT,
        "picofaradLetters": marking.PICOFARAD,
        "lookalikes": {chr(code): meant for code, meant in grammar.LOOKALIKES.items()},
        "engineering": ENGINEERING,
        "withoutRelativeTolerance": WITHOUT_RELATIVE_TOLERANCE,
        "longestText": grammar.LONGEST_TEXT,
        "longestNumber": grammar.LONGEST_NUMBER,
        "largestExponent": grammar.LARGEST_EXPONENT,
        "longestQuote": LONGEST_QUOTE,
        "largestMinus": tolerance.LARGEST_MINUS,
        "largestPlus": tolerance.LARGEST_PLUS,
    }


def _unit(unit: Unit) -> list[str]:
    """Its dimension, what one of it is in SI, and where its zero lies unless that is nought."""
    zero, one = (to_si(Decimal(number), unit) for number in (0, 1))
    found = [unit.dimension, str((one - zero).normalize())]
    return [*found, str(zero)] if zero else found


def _dimension(name: str) -> list[str]:
    known = dimension_named(name)
    return [known.phrase, known.unit, known.example_unit, known.example]
