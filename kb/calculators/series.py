"""Preferred values (IEC 60063): generated from the rule and the published deviations, never typed in.

Public tables were seen with misprints; this module must not hold one for the three-digit series.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

Rule = Literal["arithmetic", "ratio"]

SERIES = (3, 6, 12, 24, 48, 96, 192)
NAMES = tuple(f"E{count}" for count in SERIES)

# Where the published member differs from the rounded power of ten: calculated -> published (IEC 60063).
E24_DEVIATIONS = {26: 27, 29: 30, 32: 33, 35: 36, 38: 39, 42: 43, 46: 47, 83: 82}
E192_DEVIATIONS = {919: 920}

# A value that differs from a member by less than this is that member: text to float costs up to 1e-16.
_SAME = 1e-9


@dataclass(frozen=True)
class Neighbours:
    """The preferred values round a wanted one; `below` and `above` may equal it."""

    nearest: float
    below: float
    above: float


@cache
def members(count: int) -> tuple[int, ...]:
    """One decade of E3 to E192: two-digit numbers up to E24, three-digit ones from E48."""
    if count not in SERIES:
        raise ValueError(f"there is no series E{count}")
    if count > 24:
        rounded = (round(100 * 10 ** (step / count)) for step in range(count))
        return tuple(E192_DEVIATIONS.get(value, value) if count == 192 else value for value in rounded)
    rounded = (round(10 * 10 ** (step / 24)) for step in range(24))
    e24 = tuple(E24_DEVIATIONS.get(value, value) for value in rounded)
    return e24[:: 24 // count]


def read_series(text: str) -> str | None:
    """`e24 + e96` as "E24+E96"; None when a part is no series."""
    parts = [part.strip().upper() for part in text.split("+")]
    if not parts or any(part not in NAMES for part in parts):
        return None
    return "+".join(sorted(set(parts), key=NAMES.index))


def neighbours(wanted: float, series: str, rule: Rule = "arithmetic") -> Neighbours:
    """The preferred values at or below, at or above and nearest to `wanted` (above zero).

    "arithmetic" takes the smaller difference, which is the smaller error in percent of the wanted value;
    "ratio" the smaller ratio. A tie of the one goes to the other.
    """
    candidates = _candidates(wanted, series)
    below = max(value for value in candidates if value <= wanted * (1 + _SAME))
    above = min(value for value in candidates if value >= wanted * (1 - _SAME))
    return Neighbours(_nearest(wanted, below, above, rule), below, above)


def _candidates(wanted: float, series: str) -> list[float]:
    decade = math.floor(math.log10(wanted))
    found = []
    for name in series.split("+"):
        for member in members(int(name[1:])):
            digits = len(str(member)) - 1
            # through decimal text, so that 47 in the decade of nano is the very float of 47e-9
            found += [float(f"{member}e{power - digits}") for power in range(decade - 1, decade + 2)]
    return found


def _nearest(wanted: float, below: float, above: float, rule: Rule) -> float:
    by_difference = (above - wanted) - (wanted - below)
    by_ratio = math.log(above / wanted) - math.log(wanted / below)
    first, second = (by_ratio, by_difference) if rule == "ratio" else (by_difference, by_ratio)
    scale = math.log(above / below) if rule == "ratio" else above - below
    deciding = second if abs(first) <= _SAME * scale else first
    return above if deciding < 0 else below
