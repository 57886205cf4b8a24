"""The strict grammar of a number, and the tidying of look-alike characters before anything is read.

A number is digits with a decimal point and perhaps an exponent; whatever could be read in two ways
(decimal comma, thousands separator, leading zeros) is an error that says so.
"""

from __future__ import annotations

import re
from decimal import Decimal

from kb.quantities.errors import QuantityError, quoted

LONGEST_TEXT = 120
LONGEST_NUMBER = 40
LARGEST_EXPONENT = 30

DIGITS = r"(?:(?:0|[1-9][0-9]*)(?:\.[0-9]+)?|\.[0-9]+)"
UNSIGNED = DIGITS + r"(?:[eE][+-]?[0-9]+)?"
_NUMBER = re.compile(rf"[+-]?{UNSIGNED}")
_REST_OF_NUMBER = re.compile(r"\s*[.,_'’]?\s*[0-9]|\.")

# Two micro signs and two ohm signs, of which one each is kept, the typographic minus, and the blanks that
# word processors insert.
LOOKALIKES = str.maketrans(
    {
        "\u03bc": "\u00b5",
        "\u2126": "\u03a9",
        "\u2103": "°C",
        "\u2212": "-",
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
        "\t": " ",
    }
)


def tidied(text: str, example: str) -> str:
    """Return `text` with look-alike characters replaced and blanks trimmed; refuse what is none at sight."""
    if len(text) > LONGEST_TEXT:
        raise QuantityError(f"{quoted(text)} is too long for a quantity", f'write for example "{example}"')
    clean = text.translate(LOOKALIKES).strip(" \r\n")
    if not clean:
        raise QuantityError("the text is empty", f'write for example "{example}"')
    if not clean.isprintable():
        raise QuantityError(f"{quoted(text)} contains a control character", "write it again on one line")
    if any(character.isdigit() and not character.isascii() and character not in "²³¹" for character in clean):
        raise QuantityError(f"{quoted(text)} has digits of another script", "write it with the digits 0 to 9")
    return clean


def split_number(text: str) -> tuple[str, str] | None:
    """Split tidied `text` into its leading number and the trimmed rest; None when no number leads it."""
    found = _NUMBER.match(text)
    if found is None or _REST_OF_NUMBER.match(text, found.end()):
        return None
    return found.group(), text[found.end() :].strip()


def number_of(text: str) -> Decimal:
    """Return the value of a number that `split_number` found, within the caps on length and exponent."""
    if len(text) > LONGEST_NUMBER:
        raise QuantityError(
            f"the number {quoted(text)} is too long", f"write it with at most {LONGEST_NUMBER} characters"
        )
    exponent = re.split("[eE]", text)[1:]
    if exponent and abs(int(exponent[0])) > LARGEST_EXPONENT:
        raise QuantityError(
            f"the exponent in {quoted(text)} is out of range",
            f"write an exponent from -{LARGEST_EXPONENT} to {LARGEST_EXPONENT}",
        )
    return Decimal(text)


def is_number(text: str) -> bool:
    """Whether tidied `text` is a number and nothing else."""
    return _NUMBER.fullmatch(text) is not None


def refuse_broken_number(text: str, example: str) -> None:
    """Raise the QuantityError that explains why tidied `text` does not start with a number, if that is so."""
    if split_number(text) is not None:
        return
    grouped = _COMMA_AND_THREE.match(text)
    if grouped:
        rest = text[grouped.end() :]
        thousands, decimals = (quoted(grouped[1] + mark + grouped[2] + rest) for mark in ("", "."))
        what = f"{quoted(text)} has a comma that may part thousands or decimals"
        raise QuantityError(what, f"write {thousands} or {decimals}")
    for pattern, what, right in _BROKEN:
        found = pattern.match(text)
        if found:
            fixed = found.expand(right) + text[found.end() :]
            raise QuantityError(f"{quoted(text)} has {what}", f"write {quoted(fixed)}")
    if re.match(r"[+-]?[0-9.]", text):
        raise QuantityError(
            f"{quoted(text)} does not start with a plain number", f'write for example "{example}"'
        )
    raise QuantityError(f"{quoted(text)} has no number", f'write for example "{example}"')


_COMMA_AND_THREE = re.compile(r"([+-]?[1-9][0-9]{0,2}),([0-9]{3})(?![0-9.,])")
_BROKEN = tuple(
    (re.compile(pattern), what, right)
    for pattern, what, right in (
        (r"([+-]?[0-9]+)_([0-9_]+)", "an underscore in the number", r"\1\2"),
        (r"([+-]?[0-9]+),([0-9]+)(?![0-9.,])", "a decimal comma", r"\1.\2"),
        (r"([+-]?[0-9]{1,3})[,'’_ ]([0-9]{3})[,'’_ ]([0-9]{3})(?![0-9])", "thousands separators", r"\1\2\3"),
        (r"([+-]?[0-9]{1,3})[,'’_ ]([0-9]{3})(?![0-9])", "a thousands separator", r"\1\2"),
        (r"([+-]?)0+(?=[0-9])", "leading zeros", r"\1"),
        (r"([+-]?[0-9]+)\.(?![0-9])", "a decimal point without digits after it", r"\1"),
        (r"([+-])\s+(?=[0-9.])", "a blank after the sign", r"\1"),
    )
)
