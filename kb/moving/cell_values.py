"""Dates and durations as people write them in tables; what can be read in two ways is not read."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Sequence

from kb.quantities import QuantityError, parse_quantity

_NUMBER = re.compile(r"[0-9]{1,4}(?:\.[0-9]+)?")
_PARTS = re.compile(r"([0-9]{1,4})[./-]([0-9]{1,2})[./-]([0-9]{1,4})")

Order = Sequence[str]


class Doubtful(Exception):  # noqa: N818 - it says what it is
    """A cell that somebody has to decide; its text says why."""


def order_of_dates(cells: Iterable[str]) -> str | None:
    """Which of day and month comes first in a column: "day", "month", or None where no cell tells."""
    pairs = [tuple(map(int, found.groups()[:2])) for cell in cells if (found := _PARTS.fullmatch(cell))]
    pairs = [pair for pair in pairs if pair[0] <= 31]
    day_first = any(first > 12 for first, _ in pairs)
    month_first = any(second > 12 for _, second in pairs)
    if day_first == month_first:
        return None
    return "day" if day_first else "month"


def date_of(cell: str, order: str | None) -> datetime.date:
    """The day that a cell names; raises Doubtful."""
    found = _PARTS.fullmatch(cell)
    if found is None:
        raise Doubtful(f'"{cell[:40]}" is no date; write year-month-day')
    first, second, third = map(int, found.groups())
    if len(found[1]) == 4:
        year, month, day = first, second, third
    elif len(found[3]) != 4:
        raise Doubtful(f'the year of "{cell}" is not written out; write year-month-day')
    elif order is None and first != second:
        raise Doubtful(f'"{cell}" may be two days; write year-month-day')
    else:
        year, month, day = (third, first, second) if order == "month" else (third, second, first)
    try:
        return datetime.date(year, month, day)
    except ValueError:
        raise Doubtful(f'"{cell}" is no day of the calendar; write year-month-day') from None


def minutes_of(cell: str, unit: str | None) -> int:
    """The minutes a cell tells; `unit` is what its column counts in, if its name says so; raises Doubtful."""
    text = f"{cell} {unit}" if unit and _NUMBER.fullmatch(cell) else cell
    try:
        seconds = parse_quantity(text, "time").value
    except QuantityError:
        raise Doubtful(f'"{cell[:40]}" is no time; write it with its unit, such as 25 min') from None
    if not 30 <= seconds <= 1_000_000:
        raise Doubtful(f'"{cell[:40]}" is no time that work takes; write it in minutes')
    return round(seconds / 60)
