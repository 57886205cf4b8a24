"""What one cell of a capture says: a number, nothing, or that the signal left the range.

Words are those of the trade; which instrument writes them makes no difference.
"""

from __future__ import annotations

import math
import re

NUMBER = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]{1,4})?\Z")
_GAP = frozenset((
    "", "nan", "-nan", "+nan", "n/a", "na", "#n/a", "null", "none", "-", "--", "---", "----", "?", "missing",
    "invalid", "no data", "1.#qnan", "-1.#ind", "1.#ind",
))  # fmt: skip
_OVER = frozenset((
    "inf", "+inf", "infinity", "+infinity", "over", "overrange", "over range", "over-range", "overload",
    "overflow", "ovr", "ovl", "ol", "o.l.", "o.l", "clip", "clipped", "+over", "+ol", "high", "> range",
    "****", "1.#inf", "#####", "∞", "+∞",
))  # fmt: skip
_UNDER = frozenset((
    "-inf", "-infinity", "under", "underrange", "under range", "under-range", "underflow", "-over", "-ol",
    "-overrange", "-overload", "-overflow", "-clip", "low", "< range", "-1.#inf", "-∞",
))  # fmt: skip

# SCPI-99 volume 1, section 7.2.1.4 and 7.2.1.5 (from memory): not a number, and infinity, as plain numbers.
SCPI_NAN, SCPI_INFINITY = 9.91e37, 9.9e37
SCPI_FROM = 9.8e37


def cell_value(cell: str, decimal: str = ".") -> float | None:
    """The value of a cell: NaN for a gap, an infinity beyond the range, None where it is none of these."""
    text = cell.strip()
    if decimal == ",":
        if "." in text and any(each.isdigit() for each in text) and "#" not in text:
            return None
        text = text.replace(",", ".")
    if NUMBER.match(text):
        return float(text)
    word = text.lower()
    if word in _GAP:
        return math.nan
    if word in _OVER:
        return math.inf
    return -math.inf if word in _UNDER else None


def is_finite_number(cell: str, decimal: str = ".") -> bool:
    """Whether a cell is a plain number."""
    value = cell_value(cell, decimal)
    return value is not None and math.isfinite(value)
