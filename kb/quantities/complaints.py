"""Why a text is not the quantity asked for, and an example made from it that would be right."""

from __future__ import annotations

import re
from decimal import Decimal

from kb.quantities.dimensions import Dimension, dimension_named
from kb.quantities.errors import QuantityError, quoted
from kb.quantities.grammar import is_number, refuse_broken_number, split_number
from kb.quantities.near_units import nearest_units
from kb.quantities.readings import Reading, has_time_parts
from kb.quantities.spellings import BARE_LETTERS, CODE_LETTERS, UNITS

ANY_EXAMPLE = "10 ms"

_NO_CODE = "{} is no code that is read here"

_POWERS = {
    letter: power for letters in BARE_LETTERS.values() for letter, power in letters.items() if letter != "R"
}
_CODE = re.compile(r"([0-9]*)([kKMGpnuµm])([0-9]+)")
_CODE_START = re.compile(r"0*([0-9]*)([RrkKMGLpnuµmF])([0-9]+)")
_MAYBE_MARKED = re.compile(r"([0-9]+)([pnuµmkM])([A-Z])")


def example_for(dimension: str | None) -> str:
    """Return a text that would be right for `dimension`, or for any when it is None."""
    return ANY_EXAMPLE if dimension is None else dimension_named(dimension).example


def wrong_dimension(text: str, reading: Reading, dimension: str) -> QuantityError:
    """Return the error for a text that can be read, but not as `dimension`."""
    wanted = dimension_named(dimension)
    if is_number(text):
        return QuantityError(
            f"{quoted(text)} has no unit", f'write for example "{text} {wanted.example_unit}"'
        )
    number, letter = _number_and_letter(text)
    if letter:
        lack = "is not" if dimension == "number" else "has a multiplier but no unit, expected"
        return QuantityError(f"{quoted(text)} {lack} {wanted.phrase}", _multiplied(wanted, number, letter))
    found = dimension_named(reading.dimension).phrase
    return QuantityError(
        f"{quoted(text)} is {found}, expected {wanted.phrase}", _right_for(text, reading, wanted)
    )


def ambiguous(text: str) -> QuantityError:
    """Return the error for a text that names two dimensions at once: "25 C" or "47 K"."""
    number = text[:-1].strip()
    if text.endswith("C"):
        what = f"{quoted(text)} may be a temperature or a charge"
        return QuantityError(what, f'write "{number} °C" or "{number} coulomb"')
    what = f"{quoted(text)} may be a temperature or a resistance"
    return QuantityError(what, f'write the temperature in °C, or "{number} kohm"')


def missing_or_unknown(text: str, dimension: str | None) -> QuantityError:
    """Return the error for a text that has no reading at all."""
    if has_time_parts(text):
        what = f"{quoted(text)} has its units out of order, or one amount too large"
        return QuantityError(what, 'write for example "4 min 10 s"')
    code = _CODE_START.match(text)
    if code:
        return _broken_code(text, code, dimension)
    refuse_broken_number(text, example_for(dimension))
    number, unit = split_number(text) or (text, "")
    what = f"{quoted(text)} has an unknown unit {quoted(unit)}"
    nearest = [quoted(f"{number} {near}") for near in nearest_units(unit, dimension)]
    if nearest:
        return QuantityError(what, f"did you mean {' or '.join(nearest)}?")
    return QuantityError(what, f'write for example "{example_for(dimension)}"')


def _right_for(text: str, reading: Reading, wanted: Dimension) -> str:
    """Return the advice for the slips behind a wrong dimension, or else an example."""
    marked = _MAYBE_MARKED.fullmatch(text)
    if marked and marked[2] in BARE_LETTERS.get(wanted.name, {}):
        return f'write the tolerance in %, for example "{marked[1]}{marked[2]} ±5 %"'
    if wanted.name == "temperature" and text.endswith("C"):
        return f'write "{text[:-1].strip()} °C"'
    if wanted.name == "number" and reading.dimension == "ratio":
        return f'write "{reading.value.normalize():f}"'
    return _like(wanted)


def _number_and_letter(text: str) -> tuple[str, str]:
    """Return the number and the multiplier of "10k" or "4k7", else blanks."""
    code = _CODE.fullmatch(text)
    if code:
        return f"{code[1] or '0'}.{code[3]}", code[2]
    number, letter = split_number(text) or ("", "")
    return (number, letter) if letter in _POWERS else ("", "")


def _multiplied(wanted: Dimension, number: str, letter: str) -> str:
    """Return the advice that puts the unit after the multiplier, where such a unit exists."""
    if wanted.name == "number":
        return f'write "{Decimal(number).scaleb(_POWERS[letter]):f}"'
    unit = letter.replace("K", "k") + wanted.unit
    if unit in UNITS and UNITS[unit].dimension == wanted.name:
        return f'write "{number} {unit}"'
    return _like(wanted)


def _like(wanted: Dimension) -> str:
    return f'write for example "{wanted.example}"'


def _broken_code(text: str, found: re.Match[str], dimension: str | None) -> QuantityError:
    """Return the error for a text that starts like 4K7 and is no such code as a whole."""
    letter = found[2].replace("r", "R")
    code = (found[1] or "0") + letter + found[3]
    rest = text[found.end() :]
    what = (
        f"{quoted(text)} goes on after the code {quoted(found.group())}"
        if rest
        else _NO_CODE.format(quoted(text))
    )
    if dimension is not None and letter not in CODE_LETTERS.get(dimension, {}):
        number, multiplier = _number_and_letter(code)
        wanted = dimension_named(dimension)
        return QuantityError(what, _multiplied(wanted, number, multiplier) if multiplier else _like(wanted))
    if rest.isalpha() and rest.isascii():
        return QuantityError(what, f"write {quoted(code)}, or a tolerance in %: {quoted(code + ' ±5 %')}")
    return QuantityError(what, f"write {quoted(code)}")
