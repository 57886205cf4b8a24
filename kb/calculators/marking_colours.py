"""Colour bands of resistors: IEC 60062 colours under their IEC 60757 letters and English names.

A tolerance colour on which tables differ is kept as a dispute. The direction of reading is not decided here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kb.calculators.marking_reading import NOT_AGREED, Reading, Tolerance, rarity

SEEN = "seen in source"


@dataclass(frozen=True)
class Colour:
    """One colour: its digit, its power of ten, its tolerance in percent and its coefficient in ppm/K."""

    letters: str
    name: str
    digit: int | None
    power: int | None
    percent: float | None = None
    ppm: int | None = None
    dispute: str = ""
    other_names: tuple[str, ...] = ()


COLOURS = (
    Colour("PK", "pink", None, -3),
    Colour("SR", "silver", None, -2, 10.0),
    Colour("GD", "gold", None, -1, 5.0),
    Colour("BK", "black", 0, 0, ppm=250),
    Colour("BN", "brown", 1, 1, 1.0, 100),
    Colour("RD", "red", 2, 2, 2.0, 50),
    Colour("OG", "orange", 3, 3, None, 15, "0.05 % in one table after the 2016 edition, 3 % in older tables"),
    Colour("YE", "yellow", 4, 4, None, 25, "0.02 % in one table after the 2016 edition, 4 % in older tables"),
    Colour("GN", "green", 5, 5, 0.5, 20),
    Colour("BU", "blue", 6, 6, 0.25, 10),
    Colour("VT", "violet", 7, 7, 0.1, 5, other_names=("purple",)),
    Colour("GY", "grey", 8, 8, None, 1, "0.05 % in most tables, 0.01 % in the 2016 edition (from memory)",
           ("gray",)),
    Colour("WH", "white", 9, 9),
)  # fmt: skip
_BY_WORD = {
    word: colour
    for colour in COLOURS
    for word in (colour.letters, colour.name.upper(), *(name.upper() for name in colour.other_names))
}
WORDS = tuple(word.lower() for word in _BY_WORD if len(word) > 2)
_BETWEEN = re.compile(r"[\s,;/|+-]+")
_NO_TOLERANCE = Tolerance("marked", 0.2, 0.2)
_ZERO = Tolerance("marked")
RELIABILITY = (
    "some makers of the 1970s and 1980s put a fifth band for reliability behind the tolerance (from memory)"
)


def split_bands(text: str) -> tuple[str, ...]:
    """The words of `text`, each meant as one band; GNRDGDSR is four of them."""
    words = tuple(word.upper() for word in _BETWEEN.split(text.strip()) if word)
    if len(words) == 1 and len(words[0]) % 2 == 0 and words[0] not in _BY_WORD:
        pairs = re.findall("..", words[0])
        if all(pair in _BY_WORD for pair in pairs):
            return tuple(pairs)
    return words


def is_colour(word: str) -> bool:
    """Whether `word` names a colour."""
    return word.upper() in _BY_WORD


def read_bands(words: tuple[str, ...]) -> list[Reading]:
    """Every reading of the bands in this order, the usual one first; none when they make no value."""
    bands = tuple(_BY_WORD[word.upper()] for word in words if is_colour(word))
    if len(bands) != len(words):
        return []
    if bands == (_BY_WORD["BK"],):
        how = "one black band: a link"
        return [Reading("bands", "resistance", 0, 0, _ZERO, how, "seen in secondary source")]
    count = {3: 2, 4: 2, 5: 3, 6: 3}.get(len(bands))
    usual = _read(bands, count) if count else None
    found = [usual] if usual else []
    if len(bands) == 5 and bands[3].letters in ("GD", "SR"):
        older = _read(bands[:4], 2, "four bands and a fifth for reliability", RELIABILITY)
        found += [older] if older and rarity(older.digits) == 0 else []
    return found


def _read(bands: tuple[Colour, ...], count: int, how: str = "", remark: str = "") -> Reading | None:
    digits = [band.digit for band in bands[:count] if band.digit is not None]
    multiplier, rest = bands[count], bands[count + 1 :]
    tolerance = _tolerance(rest[0]) if rest else _NO_TOLERANCE
    per_kelvin = rest[1].ppm if len(rest) > 1 else None
    if len(digits) != count or digits[0] == 0 or multiplier.power is None or tolerance is None:
        return None
    if len(rest) > 1 and per_kelvin is None:
        return None
    remarks = [remark] if remark else []
    if rest and rest[0].dispute:
        remarks.append(f"tables differ on a {rest[0].name} tolerance band: {rest[0].dispute}")
    number = int("".join(str(digit) for digit in digits))
    return Reading(
        "bands", "resistance", number, multiplier.power, tolerance,
        how or f"{len(bands)} bands: {count} digits and a multiplier", "from memory" if remark else SEEN,
        None if per_kelvin is None else per_kelvin / 1e6, tuple(remarks),
    )  # fmt: skip


def _tolerance(band: Colour) -> Tolerance | None:
    if band.dispute:
        return NOT_AGREED
    return None if band.percent is None else Tolerance("marked", band.percent / 100, band.percent / 100)
