"""Whether a reading is good: held against what the check says is good, never guessed.

Words are good only if they are the very words of the check; a quantity is good if all of it lies within.
"""

from __future__ import annotations

import re

from kb.diagnosis.likelihoods import EXPECTED_TO_FAIL, EXPECTED_TO_PASS
from kb.quantities import Span
from kb.records import Reading

_PLAIN_GOOD = frozenset({"good", "in order", "all good", "as it should be"})


def is_good(reading: Reading, good: Reading) -> bool | None:
    """Whether `reading` is `good`; None where the two cannot be compared."""
    if same_words(reading.text, good.text) or _words(reading.text) in _PLAIN_GOOD:
        return True
    if reading.span is None or good.span is None or reading.span.dimension != good.span.dimension:
        return None
    return share_outside(reading.span, good.span) == 0


def expected_rate(reads: Reading, good: Reading) -> float | None:
    """P(the check fails) where a fault is recorded to make it read `reads`; None if units differ.

    A range that lies partly within what is good fails in proportion. Other words than those of a good
    unit were written down because they differ, so they are taken as failing.
    """
    if is_good(reads, good):
        return EXPECTED_TO_PASS
    if reads.span is None or (good.span is None and reads.text):
        return EXPECTED_TO_FAIL
    if good.span is None or reads.span.dimension != good.span.dimension:
        return None
    outside = share_outside(reads.span, good.span)
    return EXPECTED_TO_PASS + (EXPECTED_TO_FAIL - EXPECTED_TO_PASS) * outside


def share_outside(reading: Span, good: Span) -> float:
    """The share of `reading` that lies outside `good`: 0 within, 1 outside, 1/2 where an end is open."""
    below = good.low is not None and (reading.low is None or reading.low < good.low)
    above = good.high is not None and (reading.high is None or reading.high > good.high)
    if not below and not above:
        return 0.0
    if _apart(reading, good):
        return 1.0
    if reading.low is None or reading.high is None:
        return 0.5
    low = reading.low if good.low is None else max(reading.low, good.low)
    high = reading.high if good.high is None else min(reading.high, good.high)
    return 1 - (high - low) / (reading.high - reading.low)


def same_words(one: str, other: str) -> bool:
    """Whether two texts are the same but for capitals, spaces and the stop at the end."""
    return _words(one) == _words(other)


def _words(text: str) -> str:
    return re.sub(r"\s+", " ", text.strip().rstrip(".")).casefold()


def _apart(one: Span, other: Span) -> bool:
    return _ends_below(one, other) or _ends_below(other, one)


def _ends_below(one: Span, other: Span) -> bool:
    return one.high is not None and other.low is not None and one.high < other.low
