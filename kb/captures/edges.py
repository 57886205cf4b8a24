"""Transitions of a waveform: found with hysteresis, timed by linear interpolation, all at once by numpy.

An edge counts when the signal goes from one side of a band around the middle to the other, so noise at
the middle makes no edge. An edge that falls into a gap is known to be there, and its time is not.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kb.captures.capture import Samples, TimeBase
from kb.captures.states import States

Positions: TypeAlias = NDArray[np.intp]

BAND = 0.1
_WIDEST_BAND = 0.4
_BAND_IN_NOISE = 4.0
LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9


@dataclass(frozen=True)
class Trace:
    """The samples there are, without gaps. `kept` gives their places in the record, None for all of them.

    `holes` counts, for each sample, the gaps before it.
    """

    samples: Samples
    time: TimeBase
    kept: Positions | None
    holes: NDArray[np.intp] | None

    def times(self, positions: Positions) -> Samples:
        """When samples were taken, by their places in this trace."""
        return self.time.at(positions if self.kept is None else self.kept[positions])

    def is_whole(self, first: Positions, last: Positions) -> NDArray[np.bool_]:
        """Whether no gap lies between two places."""
        if self.holes is None:
            return np.ones(len(first), dtype=bool)
        return np.asarray(self.holes[first] == self.holes[last])


@dataclass(frozen=True)
class Edges:
    """All transitions in order: up or down, when they cross the middle, and how long they take (10 to 90 %).

    A time is NaN where it cannot be told. `steepness` is the slope at the middle, in units a second, always
    above zero; `samples` is how many sampling intervals lie between the 10 % and the 90 % crossing.
    """

    is_up: NDArray[np.bool_]
    at_s: Samples
    took_s: Samples
    steepness: Samples
    first: Positions
    last: Positions

    def __len__(self) -> int:
        return len(self.is_up)


def trace_of(values: Samples, time: TimeBase) -> Trace:
    """The trace without its gaps; infinities have been replaced before."""
    is_gap = np.isnan(values)
    kept: Positions | None = None
    samples = values
    if is_gap.any():
        kept = np.flatnonzero(~is_gap)
        samples = values[kept]
    return Trace(samples, time, kept, _holes(kept, time, len(samples)))


def _holes(kept: Positions | None, time: TimeBase, count: int) -> NDArray[np.intp] | None:
    """For each sample the number of gaps before it; None where there is none."""
    is_hole = np.zeros(count, dtype=bool)
    if kept is not None and count:
        is_hole[1:] = np.diff(kept) > 1
    if time.missing and time.times_s is not None:
        times_s = time.times_s if kept is None else time.times_s[kept]
        is_hole[1:] |= np.diff(times_s) > 1.5 * time.interval_s
    return np.cumsum(is_hole) if is_hole.any() else None


def edges_of(trace: Trace, states: States) -> Edges:
    """Every transition of a trace between its two states."""
    before, after, is_up = _changes(trace.samples, states)
    if not len(is_up):
        none, nowhere = np.empty(0), np.empty(0, dtype=np.intp)
        return Edges(is_up, none, none, none, nowhere, nowhere)
    middle = _crossings(trace.samples, states.level(MIDDLE))
    first = middle[np.searchsorted(middle, before)]
    last = middle[np.searchsorted(middle, after) - 1]
    whole = trace.is_whole(before, after)
    level = states.level(MIDDLE)
    # where noise crosses the middle several times, the first and the last crossing are equally right
    at_s = (_instants(trace, first, level) + _instants(trace, last, level)) / 2
    low = _around(_crossings(trace.samples, states.level(LOW)), first, last, is_up)
    high = _around(_crossings(trace.samples, states.level(HIGH)), first, last, ~is_up)
    took_s = np.abs(_timed(trace, high, states.level(HIGH)) - _timed(trace, low, states.level(LOW)))
    took_s[~_between_neighbours(np.minimum(low, high), np.maximum(low, high), first, last)] = np.nan
    took_s[~_is_whole_from(trace, low, high)] = np.nan
    steepness = _steepness(trace, first, states)
    at_s[~whole] = np.nan
    took_s[~whole] = np.nan
    return Edges(is_up, at_s, took_s, steepness, first, last)


def _changes(samples: Samples, states: States) -> tuple[Positions, Positions, NDArray[np.bool_]]:
    """The last sample of the old state, the first of the new one, and the direction."""
    band = min(max(BAND * states.amplitude, _BAND_IN_NOISE * states.noise), _WIDEST_BAND * states.amplitude)
    is_high = samples >= states.level(MIDDLE) + band
    decided = np.flatnonzero(is_high | (samples <= states.level(MIDDLE) - band))
    state = is_high[decided]
    turns = np.flatnonzero(state[1:] != state[:-1])
    return decided[turns], decided[turns + 1], state[turns + 1]


def _crossings(samples: Samples, level: float) -> Positions:
    """The places after which the trace crosses a level."""
    is_above = samples >= level
    return np.flatnonzero(is_above[1:] != is_above[:-1])


def _instants(trace: Trace, places: Positions, level: float) -> Samples:
    """When the straight line from each place to the next one crosses the level."""
    before, after = trace.samples[places], trace.samples[places + 1]
    times, next_times = trace.times(places), trace.times(places + 1)
    return np.asarray(times + (level - before) / (after - before) * (next_times - times))


def _around(
    crossings: Positions, first: Positions, last: Positions, is_before: NDArray[np.bool_]
) -> Positions:
    """For each edge the crossing nearest to the middle on one side of it, or -1."""
    at_or_before = np.searchsorted(crossings, first, side="right") - 1
    at_or_after = np.searchsorted(crossings, last, side="left")
    chosen = np.where(is_before, at_or_before, at_or_after)
    is_there = (chosen >= 0) & (chosen < len(crossings))
    found = np.full(len(first), -1, dtype=np.intp)
    found[is_there] = crossings[chosen[is_there]]
    return found


def _timed(trace: Trace, places: Positions, level: float) -> Samples:
    found = np.full(len(places), np.nan)
    is_there = places >= 0
    found[is_there] = _instants(trace, places[is_there], level)
    return found


def _between_neighbours(
    starts: Positions, ends: Positions, first: Positions, last: Positions
) -> NDArray[np.bool_]:
    """Whether an edge's crossings lie between the edges beside it; a pulse that only peaks has none there."""
    after_previous = np.concatenate([[True], starts[1:] >= last[:-1]])
    before_next = np.concatenate([ends[:-1] <= first[1:], [True]])
    return np.asarray((starts >= 0) & after_previous & before_next)


def _is_whole_from(trace: Trace, low: Positions, high: Positions) -> NDArray[np.bool_]:
    """Whether no gap lies between the 10 % and the 90 % crossing."""
    start, end = np.minimum(low, high), np.maximum(low, high)
    is_there = start >= 0
    found = np.zeros(len(low), dtype=bool)
    found[is_there] = trace.is_whole(start[is_there], end[is_there] + 1)
    return found


def _steepness(trace: Trace, places: Positions, states: States) -> Samples:
    """The slope at the middle over one interval, no less than noise and rounding leave."""
    rise = np.abs(trace.samples[places + 1] - trace.samples[places])
    taken = trace.times(places + 1) - trace.times(places)
    least = max(states.noise, 1e-6 * states.amplitude)
    return np.asarray(np.maximum(rise, least) / taken)
