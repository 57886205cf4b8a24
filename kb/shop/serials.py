"""Serial numbers: ranges as a shop writes them, and which of them a unit's number falls into.

The same rule is written once more for the browser (`serial.js`); the browser tests hold the two
against each other.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


class UnreadableSerials(ValueError):  # noqa: N818 - it says what it is
    """A text that is no serial range; `what` is wrong and, as `advice`, what would be right."""

    def __init__(self, what: str, advice: str) -> None:
        super().__init__(f"{what}; {advice}")
        self.what = what
        self.advice = advice


LONGEST_NUMBER = 12
EXAMPLE = "write SX-0001 to SX-0412, SX-0900 and up, up to SX-0100, or one number"


@dataclass(frozen=True)
class SerialRange:
    """Numbers `low` to `high` (both included, None is open) behind a prefix of capitals and digits."""

    prefix: str
    low: int | None
    high: int | None
    text: str

    def number_of(self, serial: str) -> int | None:
        """The number of a serial as typed, or None when its prefix is another one."""
        typed = plain(serial)
        rest = typed.removeprefix(self.prefix) if self.prefix else typed
        if rest != typed and rest.isdigit():
            return int(rest)
        return int(typed) if typed.isdigit() else None

    def holds(self, serial: str) -> bool:
        """Whether the serial as typed lies in this range; a bare number fits any prefix."""
        number = self.number_of(serial)
        return number is not None and (self.low or 0) <= number and (self.high is None or number <= self.high)

    def overlaps(self, other: SerialRange) -> bool:
        """Whether some serial, written with its prefix, lies in both ranges.

        `SW160001 to SW160412` has the prefix SW and `SW16-0001 to SW16-0412` the prefix SW16, yet both
        hold the same units.
        """
        short, long = sorted((self, other), key=lambda each: len(each.prefix))
        rest = long.prefix.removeprefix(short.prefix) if long.prefix.startswith(short.prefix) else "-"
        if not rest:
            return _meet(short, long.low or 0, long.high)
        if not rest.isdigit() or not short.prefix:
            return False
        return any(_meet(short, *_behind(rest, long, digits)) for digits in range(1, LONGEST_NUMBER + 1))


def _meet(one: SerialRange, low: int, high: int | None) -> bool:
    starts_in_time = high is None or (one.low or 0) <= high
    return starts_in_time and (one.high is None or low <= one.high) and (high is None or low <= high)


def _behind(rest: str, numbers: SerialRange, digits: int) -> tuple[int, int]:
    """The numbers of a range that fit into so many digits, as they read with `rest` before them."""
    most = 10**digits - 1
    first = int(rest) * 10**digits
    high = most if numbers.high is None else min(numbers.high, most)
    return first + (numbers.low or 0), first + high


def plain(serial: str) -> str:
    """A serial without anything but capitals and digits: `sx16 - 0123` is `SX160123`."""
    return re.sub(r"[^A-Z0-9]", "", serial.upper()[:60])


_TO = re.compile(r"(?:from\s+)?(.+?)\s+(?:to|through|-|–|—|…|\.\.\.?)\s+(.+)", re.IGNORECASE)
_AND_UP = re.compile(r"(?:from\s+)?(.+?)\s+(?:and\s+)?(?:up|on|onwards|later)", re.IGNORECASE)
_UP_TO = re.compile(r"(?:up to|until)\s+(.+)", re.IGNORECASE)
_WORD = re.compile(
    r"\b(?:to|and|or|from|until|till|through|after|before|above|below|since|up|on)\b", re.IGNORECASE
)
_TWO_IN_ONE = re.compile(r"([A-Za-z]*)[ ./_#-]*[0-9]+[ ./_#-]+\1[ ./_#-]*[0-9]+", re.IGNORECASE)


def parse_serials(text: str) -> SerialRange:
    """The range `text` says; raises `UnreadableSerials`."""
    written = text.strip()
    if match := _UP_TO.fullmatch(written):
        prefix, number = _one(match[1], text)
        return SerialRange(prefix, None, number, text)
    if match := _TO.fullmatch(written):
        return _between(text, match[1], match[2])
    if match := _AND_UP.fullmatch(written):
        prefix, number = _one(match[1], text)
        return SerialRange(prefix, number, None, text)
    if _TWO_IN_ONE.fullmatch(written):
        raise UnreadableSerials(f'"{text[:60]}" may be one serial number or two', _both_ways(written))
    prefix, number = _one(written, text)
    return SerialRange(prefix, number, number, text)


def _both_ways(written: str) -> str:
    """How to write two numbers that a hyphen holds together: as the ends of a range, or as one serial."""
    first, last = re.split(r"[ ./_#-]+(?=[A-Za-z]*[ ./_#-]*[0-9]+\Z)", written, maxsplit=1)
    return f'write "{first} to {last}" for a range, "{written} to {written}" for the one'


def _between(text: str, first: str, last: str) -> SerialRange:
    prefix, low = _one(first, text)
    other, high = _one(last, text)
    if other and other != prefix:
        raise UnreadableSerials(f'"{text[:60]}" goes from one prefix to another', "write a range for each")
    if high < low:
        raise UnreadableSerials(f'"{text[:60]}" runs backwards', "write the smaller number first")
    return SerialRange(prefix, low, high, text)


def _one(serial: str, text: str) -> tuple[str, int]:
    """Prefix and number of a single serial: the number is the digits it ends in."""
    match = re.fullmatch(r"(.*?)([0-9]+)", serial.strip())
    if (
        not match
        or len(match[2]) > LONGEST_NUMBER
        or not re.fullmatch(r"[A-Za-z0-9 ./_#-]*", match[1])
        or _WORD.search(match[1])
        or re.search(r"[0-9].*\s[A-Za-z]+\s", match[1])
    ):
        raise UnreadableSerials(f'"{text[:60]}" cannot be read as serial numbers', EXAMPLE)
    return plain(match[1]), int(match[2])
