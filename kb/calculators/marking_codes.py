"""Printed codes of resistors and capacitors: letters in place of the point, three and four digits, EIA-96.

Every function gives all the readings its rule allows and none when it allows none; which is meant is not
decided here. Letters are those of IEC 60062; a capital N, P or U on a capacitor is common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from kb.calculators.marking_reading import UNMARKED, Reading, Tolerance, letter_tolerance
from kb.calculators.series import members

SEEN, MEMORY = "seen in source", "from memory"
PRACTICE = "common practice, no source"

_WHOLE = "(0|[1-9][0-9]{0,3})"
_FRACTION = "([0-9]{1,4})"
_RESISTOR_LETTERS = {"R": 0, "K": 3, "k": 3, "M": 6, "G": 9, "L": -3}
_CAPACITOR_LETTERS = {
    "p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "F": 0, "P": -12, "N": -9, "U": -6,
}  # fmt: skip
_INSIDE = re.compile(rf"{_WHOLE}?([A-Za-zµμ]){_FRACTION}([A-Z]?)")
_BEHIND = re.compile(rf"{_WHOLE}([A-Za-zµμ])([A-Z]?)")
_THREE = re.compile(r"([1-9][0-9])([0-9])([A-Z]?)")
_FOUR = re.compile(r"([1-9][0-9]{2})([0-7])")
_PICOFARADS = re.compile(r"([1-9][0-9]?)([A-Z]?)")
_EIA96 = re.compile(r"([0-9]{2})([A-Z])")
_LINKS = {"0": SEEN, "000": SEEN, "0000": SEEN, "0R": PRACTICE, "0R0": PRACTICE, "R000": PRACTICE}

EIA96_POWERS = {
    "Z": -3, "Y": -2, "R": -2, "X": -1, "S": -1, "A": 0, "B": 1, "H": 1, "C": 2, "D": 3, "E": 4, "F": 5,
}  # fmt: skip
"""The multiplier of each letter as a power of ten."""

LAST_IS_TOLERANCE = "the value is complete before the last letter, so that letter is the tolerance"
LAST_MULTIPLIES = "no letter follows, so this one multiplies and no tolerance is marked"
MILLIOHM = "one public table of SMD codes reads M inside a code as milliohm; IEC 60062 reads megohm: measure"
UNIT_OR_PERCENT = "the last F may be the unit farad or ±1 %"
NO_VOLTAGE = "the rated voltage is not part of this code"
USUALLY = "three digits usually come with ±5 % and four with ±1 % (common practice, no source)"
POINT = (
    "a last R is taken as the decimal point; as EIA-96 it would multiply by 0.01: write kind eia96 for that"
)


def letter_resistors(code: str, kind: str = "resistor") -> Iterator[Reading]:
    """Resistors with a letter in place of the point: 4K7, R33M, 47K, 4M7J."""
    for digits, power, letter, last, is_inside in _lettered(code, _RESISTOR_LETTERS):
        if letter == "L" and not is_inside:
            continue
        multiplies = letter in "KM" and not is_inside
        remarks = [LAST_IS_TOLERANCE] if last else [LAST_MULTIPLIES] if multiplies else []
        if kind == "smd" and letter == "M" and is_inside:
            remarks.append(MILLIOHM)
        yield from _with_letter(
            kind, "resistance", digits, power, last, "letter for the point", SEEN, remarks
        )


def letter_capacitors(code: str) -> Iterator[Reading]:
    """Capacitors with a letter in place of the point: 2n2, 100n, p33, 4u7K."""
    for digits, power, letter, last, is_inside in _lettered(code, _CAPACITOR_LETTERS):
        if letter == "F" and not is_inside:
            continue
        status = PRACTICE if letter in "NPU" else MEMORY
        rule = ("capacitor", "capacitance", digits, power)
        if last == "F":
            how = "letter for the point, F as the unit"
            yield Reading(*rule, UNMARKED, how, status, None, (UNIT_OR_PERCENT,))
        remarks = [UNIT_OR_PERCENT] if last == "F" else [LAST_IS_TOLERANCE] if last else []
        yield from _with_letter(*rule, last, "letter for the point", status, remarks)


def digit_capacitors(code: str) -> Iterator[Reading]:
    """Capacitors with two digits and a power of ten in picofarads: 104, 473K, 479C."""
    found = _THREE.fullmatch(code)
    if found is None:
        return
    power = {"8": -2, "9": -1}.get(found[2], int(found[2]))
    status = MEMORY if found[2] in "89" else SEEN
    yield from _with_letter(
        "capacitor", "capacitance", int(found[1]), power - 12, found[3],
        "two digits and a power of ten, in pF", status, [NO_VOLTAGE],
    )  # fmt: skip


def small_capacitors(code: str) -> Iterator[Reading]:
    """Capacitors in plain picofarads: 47, 47J, 4R7C."""
    found = _PICOFARADS.fullmatch(code)
    if found:
        rule = ("capacitor", "capacitance", int(found[1]), -12)
        yield from _with_letter(*rule, found[2], "plain picofarads", PRACTICE, [NO_VOLTAGE])
    for digits, power, _, last, is_inside in _lettered(code, {"R": -12}):
        if is_inside:
            how = "R for the point, in picofarads"
            yield from _with_letter("capacitor", "capacitance", digits, power, last, how, PRACTICE, [])


def digit_resistors(code: str, kind: str = "smd") -> Iterator[Reading]:
    """Resistors with two or three digits and a power of ten, and links: 561, 8663, 000."""
    if code in _LINKS:
        yield Reading(kind, "resistance", 0, 0, Tolerance(), "noughts alone: a link", _LINKS[code])
    three, four = _THREE.fullmatch(code), _FOUR.fullmatch(code)
    if three and not three[3] and three[2] in "01234567":
        rule = (kind, "resistance", int(three[1]), int(three[2]), UNMARKED)
        yield Reading(*rule, "two digits and a power of ten, in ohms", SEEN, None, (USUALLY,))
    if four:
        rule = (kind, "resistance", int(four[1]), int(four[2]), UNMARKED)
        yield Reading(*rule, "three digits and a power of ten, in ohms", SEEN, None, (USUALLY,))


def eia96_resistors(code: str) -> Iterator[Reading]:
    """Resistors of 1 % by their place in E96 and a letter: 24C, 01Z."""
    found = _EIA96.fullmatch(code)
    if found is None or found[2] not in EIA96_POWERS or not 1 <= int(found[1]) <= 96:
        return
    number = members(96)[int(found[1]) - 1]
    how = f"EIA-96: place {int(found[1])} in E96"
    remarks = (POINT,) if found[2] == "R" else ()
    power = EIA96_POWERS[found[2]]
    one_percent = Tolerance("marked", 0.01, 0.01)
    yield Reading("eia96", "resistance", number, power, one_percent, how, SEEN, None, remarks)


def _lettered(code: str, letters: dict[str, int]) -> Iterator[tuple[int, int, str, str, bool]]:
    """Digits, power, letter, last letter and whether digits follow the letter."""
    inside, behind = _INSIDE.fullmatch(code), _BEHIND.fullmatch(code)
    if inside and inside[2] in letters:
        digits = int((inside[1] or "") + inside[3])
        yield digits, letters[inside[2]] - len(inside[3]), inside[2], inside[4], True
    if behind and behind[2] in letters and behind[1] != "0":
        yield int(behind[1]), letters[behind[2]], behind[2], behind[3], False


def _with_letter(
    kind: str, dimension: str, digits: int, power: int, last: str, how: str, status: str, remarks: list[str]
) -> Iterator[Reading]:
    bare = Reading(kind, dimension, digits, power, UNMARKED, how, status)
    tolerance = letter_tolerance(last, dimension, bare.value)
    if tolerance is None or not digits:
        return
    if tolerance.certainty == "not agreed between tables":
        remarks = [*remarks, f"tables differ on the letter {last} here: ask the maker's sheet, or measure"]
    yield Reading(kind, dimension, digits, power, tolerance, how, status, None, tuple(remarks))
