"""Why a text is not the quantity asked for, and an example made from what was written that would be."""

from __future__ import annotations

import difflib
import re

from kb.quantities.dimensions import Dimension, dimension_named
from kb.quantities.errors import QuantityError, quoted
from kb.quantities.grammar import is_number, refuse_broken_number, split_number
from kb.quantities.readings import Reading
from kb.quantities.spellings import BARE_LETTERS, MISSPELLINGS, UNITS

_CODE_START = re.compile(r"[0-9]*[RrkKMGLpnumF][0-9]+")
_CODE = re.compile(r"([0-9]*)([kKMGpnum])([0-9]+)")
_MULTIPLIERS = {letter for letters in BARE_LETTERS.values() for letter in letters} - {"R"}


def wrong_dimension(text: str, reading: Reading, dimension: str) -> QuantityError:
    """Return the error for a text that can be read, but not as `dimension`."""
    wanted = dimension_named(dimension)
    if is_number(text):
        return QuantityError(f"{quoted(text)} has no unit", _example(wanted, text))
    number, letter = _number_and_letter(text)
    if letter and dimension != "number":
        return QuantityError(
            f"{quoted(text)} has a multiplier but no unit, expected {wanted.phrase}",
            _multiplied(wanted, number, letter),
        )
    if dimension == "temperature" and text.endswith("C"):
        return QuantityError(f"{quoted(text)} is in coulomb", f"write {quoted(text[:-1].strip() + ' °C')}")
    found = dimension_named(reading.dimension).phrase
    return QuantityError(f"{quoted(text)} is {found}, expected {wanted.phrase}", f'write for example "{wanted.example}"')


def ambiguous(text: str) -> QuantityError:
    """Return the error for a text that names two dimensions at once."""
    number = re.split(r"\s*[A-Za-z]", text)[0]
    if text.endswith("C"):
        return QuantityError(f"{quoted(text)} may be a temperature or a charge", f'write "{number} °C" or "{number} coulomb"')
    return QuantityError(f"{quoted(text)} may be a temperature or a resistance", f'write "{number} °C" or "{number} kohm"')


def missing_or_unknown(text: str, dimension: str | None) -> QuantityError:
    """Return the error for a text that has no reading at all."""
    wanted = None if dimension is None else dimension_named(dimension)
    if _CODE_START.match(text):
        return _broken_code(text, wanted)
    refuse_broken_number(text)
    number, unit = split_number(text) or (text, "")
    nearest = _nearest_units(unit, dimension)
    what = f"{quoted(text)} has an unknown unit {quoted(unit)}"
    if nearest:
        return QuantityError(what, "did you mean " + " or ".join(quoted(f"{number} {near}") for near in nearest) + "?")
    return QuantityError(what, f'write for example "{wanted.example if wanted else "10 ms"}"')


def _example(wanted: Dimension, number: str) -> str:
    return f'write for example "{number} {wanted.example_unit}"'


def _number_and_letter(text: str) -> tuple[str, str]:
    """Return the number and multiplier of "10k" or "4k7", else blanks."""
    code = _CODE.fullmatch(text)
    if code:
        return f"{code[1] or '0'}.{code[3]}", code[2]
    number, letter = split_number(text) or ("", "")
    return (number, letter) if letter in _MULTIPLIERS else ("", "")


def _multiplied(wanted: Dimension, number: str, letter: str) -> str:
    """Return the advice that puts the unit after the multiplier, where such a unit exists."""
    unit = letter.replace("K", "k") + wanted.unit
    known = UNITS.get(unit)
    if known is not None and known.dimension == wanted.name:
        return f'write "{number} {unit}"'
    return f'write for example "{wanted.example}"'


def _broken_code(text: str, wanted: Dimension | None) -> QuantityError:
    found = _CODE_START.match(text)
    code = found.group().replace("r", "R") if found else text
    if found and found.end() == len(text):
        return QuantityError(f"{quoted(text)} is no value of that kind", f"write {quoted(code)}")
    example = f', or for example "{wanted.example}"' if wanted else ""
    return QuantityError(f"{quoted(text)} goes on after the code {quoted(code)}", f"write {quoted(code)}{example}")


def _nearest_units(unit: str, dimension: str | None) -> list[str]:
    """Return the spellings that `unit` most likely meant: by a known slip, by letter case, or by likeness."""
    slip = MISSPELLINGS.get(unit.lower())
    if slip is not None:
        return [slip]
    known = [spelling for spelling, entry in UNITS.items() if dimension in (None, entry.dimension)]
    same = [spelling for spelling in known if spelling.lower() == unit.lower()]
    same = same or [spelling for spelling in UNITS if spelling.lower() == unit.lower()]
    return same[:2] or difflib.get_close_matches(unit, known, n=1, cutoff=0.6)
