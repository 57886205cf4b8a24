"""Shares of few cases, said honestly: the number of cases stands beside every share.

Source of the interval: Wilson's score interval, NIST/SEMATECH e-Handbook of Statistical Methods 7.2.4.1.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

Z_95 = 1.959963984540054
"""The standard normal quantile for 95 %, both sides."""

FEW = 5
FEWEST_FOR_PERCENT = 10


def wilson(held: int, cases: int, z: float = Z_95) -> tuple[float, float]:
    """The interval for a share of `held` in `cases`; raises ValueError without a case."""
    if not 0 <= held <= cases or cases == 0:
        raise ValueError(f"{held} of {cases} is no share")
    share, square = held / cases, z * z
    centre = (share + square / (2 * cases)) / (1 + square / cases)
    half = z * math.sqrt(share * (1 - share) / cases + square / (4 * cases * cases)) / (1 + square / cases)
    return (0.0 if held == 0 else centre - half), (1.0 if held == cases else centre + half)


def rate_text(held: int, cases: int) -> str:
    """`held` of `cases` in words: no per cent by itself below ten cases, the interval rounded outwards.

    >>> rate_text(3, 3), rate_text(3, 5), rate_text(8, 10)
    ('3 of 3 so far', '3 of 5 (23 % to 89 %)', '80 % (49 % to 95 %, 8 of 10)')
    """
    if cases == 0:
        return "no case yet"
    if cases < FEW:
        return f"{held} of {cases} so far"
    low, high = wilson(held, cases)
    # A hair is taken off first, so that 49.0000000001 % is not rounded up to 50.
    between = f"{math.floor(low * 100 + 1e-9)} % to {math.ceil(high * 100 - 1e-9)} %"
    if cases < FEWEST_FOR_PERCENT:
        return f"{held} of {cases} ({between})"
    return f"{math.floor(100 * held / cases + 0.5)} % ({between}, {held} of {cases})"


def held_text(told: Iterable[bool | None]) -> str:
    """In how many of the jobs that were followed up a cure held; empty where none was, None is still open."""
    judged = [held for held in told if held is not None]
    return rate_text(sum(judged), len(judged)) if judged else ""
