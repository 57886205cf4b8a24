"""When the samples of a capture were taken: from a column of times, or from the interval the head gives.

Times are printed with few figures; what is no more than that rounding counts as even sampling.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from kb.captures.capture import Samples, TimeBase
from kb.captures.refusal import refuse

_EVEN = 0.25
_OFTEN = 0.2
_FEWEST_ODD = 3

LineOf: TypeAlias = Callable[[int], int]
"""From the number of a row, counted from 0, to its line in the file, counted from 1."""


def given_interval(interval_s: float, start_s: float, count: int, said_by: str) -> TimeBase:
    """Even sampling, as the head says."""
    return TimeBase(start_s, interval_s, said_by, count)


def is_counting(values: Samples) -> bool:
    """Whether a column is the numbers of the samples: whole and one apart."""
    steps = np.diff(values)
    return bool(len(steps)) and bool((steps == 1).all()) and float(values[0]).is_integer()


def is_rising_evenly(values: Samples) -> bool:
    """Whether a column may be times: it never falls, and its steps are much alike."""
    steps = np.diff(values)
    if len(steps) < 1 or not np.isfinite(steps).all() or (steps < 0).any():
        return False
    usual = float(np.median(steps))
    if usual > 0 and float((np.abs(steps - usual) <= _EVEN * usual).mean()) > 0.5:
        return True
    return float((steps > 0).mean()) > _OFTEN and _coarse(values, steps) is not None


def _coarse(values: Samples, steps: Samples) -> float | None:
    """The interval of times that were printed with too few figures to be evenly spaced; None for others.

    They lie within one printed step along a straight line. Rows that are missing here and there do not.
    """
    above = steps[steps > 0]
    if not len(above):
        return None
    smallest = float(above.min())
    odd = int((np.abs(steps - smallest) > _EVEN * smallest).sum())
    if odd < _FEWEST_ODD:
        return None
    places = np.arange(len(values)) - (len(values) - 1) / 2
    slope = float((places * (values - values.mean())).sum() / (places**2).sum())
    off = values - values.mean() - slope * places
    return slope if slope > 0 and float(np.ptp(off)) <= 1.05 * smallest else None


def from_times(times_s: Samples, file: str, line_of: LineOf, said_by: str) -> TimeBase:
    """The sampling that a column of times shows; a time that goes back is refused at its line."""
    steps = np.diff(times_s)
    back = np.flatnonzero(steps < 0)
    if len(back):
        what = f"time goes back here, from {times_s[back[0]]:g} s to {times_s[back[0] + 1]:g} s"
        raise refuse(file, line_of(int(back[0]) + 1), 1, what, "save one record, its samples in order")
    span_s = float(times_s[-1] - times_s[0])
    if not 0 < span_s < math.inf:
        raise refuse(file, line_of(0), 1, "the time does not advance", "save the times with more figures")
    coarse_s = _coarse(times_s, steps)
    if coarse_s is not None or _is_even(times_s, span_s / len(steps)):
        return TimeBase(float(times_s[0]), coarse_s or span_s / len(steps), said_by, len(times_s))
    return _with_holes(times_s, steps, said_by)


def _is_even(times_s: Samples, interval_s: float) -> bool:
    off = np.abs(times_s - (times_s[0] + np.arange(len(times_s)) * interval_s)).max()
    return bool(off <= _EVEN * interval_s)


def _with_holes(times_s: Samples, steps: Samples, said_by: str) -> TimeBase:
    usual = float(np.median(steps[steps > 0]))
    rows = np.round(steps / usual)
    is_even = bool((np.abs(steps - rows * usual) <= _EVEN * usual).all()) and bool((rows >= 1).all())
    if not is_even:
        return TimeBase(float(times_s[0]), usual, said_by, len(times_s), times_s, 0, False)
    interval_s = float(times_s[-1] - times_s[0]) / float(rows.sum())
    positions = np.concatenate([[0.0], np.cumsum(rows)])
    even = times_s[0] + positions * interval_s
    missing = int(min(float(rows.sum()) - len(rows), 1e15))
    return TimeBase(float(times_s[0]), interval_s, said_by, len(times_s), even, missing)
