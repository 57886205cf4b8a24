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
    are_alike = usual > 0 and bool((np.abs(steps - usual) <= _EVEN * usual).mean() > 0.5)
    return are_alike or _is_coarse(values, steps)


def _is_coarse(values: Samples, steps: Samples) -> bool:
    """Whether times were printed with so few figures that neighbours are often alike."""
    interval = float(values[-1] - values[0]) / len(steps)
    if interval <= 0:
        return False
    off = np.abs(values - (values[0] + np.arange(len(values)) * interval)).max()
    smallest = float(steps[steps > 0].min())
    return bool(off <= 1.01 * smallest) and bool((steps == 0).any() or smallest < interval)


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
    if _is_coarse(times_s, steps) or _is_even(times_s, span_s / len(steps)):
        return TimeBase(float(times_s[0]), span_s / len(steps), said_by, len(times_s))
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
