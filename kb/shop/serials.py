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
        """Whether some serial lies in both ranges."""
        if self.prefix != other.prefix:
            return False
        first_end = self.high is None or (other.low or 0) <= self.high
        return first_end and (other.high is None or (self.low or 0) <= other.high)


def plain(serial: str) -> str:
    """A serial without anything but capitals and digits: `sx16 - 0123` is `SX160123`."""
    return re.sub(r"[^A-Z0-9]", "", serial.upper()[:60])


def parse_serials(text: str) -> SerialRange:
    """The range `text` says; raises `UnreadableSerials`."""
    lowered = text.strip()
    if match := re.fullmatch(r"(.+?)\s+(?:to|-|–|…|\.\.)\s+(.+)", lowered):
        return _between(text, match[1], match[2])
    if match := re.fullmatch(r"(?:from\s+)?(.+?)\s+(?:and\s+)?(?:up|on|onwards|later)", lowered, re.I):
        prefix, number = _one(match[1], text)
        return SerialRange(prefix, number, None, text)
    if match := re.fullmatch(r"(?:up to|until)\s+(.+)", lowered, re.I):
        prefix, number = _one(match[1], text)
        return SerialRange(prefix, None, number, text)
    prefix, number = _one(lowered, text)
    return SerialRange(prefix, number, number, text)


def _between(text: str, first: str, last: str) -> SerialRange:
    if first.lower() == "up":
        prefix, number = _one(last, text)
        return SerialRange(prefix, None, number, text)
    prefix, low = _one(first, text)
    other, high = _one(last, text)
    if other and other != prefix:
        raise UnreadableSerials(f'"{text[:60]}" goes from one prefix to another', "write a range for each")
    if high < low:
        raise UnreadableSerials(f'"{text[:60]}" runs backwards', "write the smaller number first")
    return SerialRange(prefix, low, high, text)


def _one(serial: str, text: str) -> tuple[str, int]:
    """Prefix and number of a single serial: the number is the digits it ends in."""
    match = re.fullmatch(r"(.*?)([0-9]{1,12})", serial.strip())
    if not match or not re.fullmatch(r"[A-Za-z0-9 ./_#-]*", match[1]):
        raise UnreadableSerials(f'"{text[:60]}" cannot be read as serial numbers', EXAMPLE)
    return plain(match[1]), int(match[2])
