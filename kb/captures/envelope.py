"""A trace made small enough to draw: the least and the greatest sample of every column of pixels.

A glitch of one sample among a million stands out as far as it did, whatever lies beside it.
"""

from __future__ import annotations

import itertools

import numpy as np

from kb.captures.capture import Samples
from kb.captures.edges import Trace

COLUMNS = 480


def envelope(trace: Trace, columns: int = COLUMNS) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Times and values that draw like all of them: two for each column, in their true order."""
    count = len(trace.samples)
    if count <= 2 * columns:
        places = np.arange(count)
    else:
        places = _extremes(trace.samples, _columns_of(trace, columns))
    return tuple(trace.times(places).tolist()), tuple(trace.samples[places].tolist())


def _columns_of(trace: Trace, columns: int) -> list[int]:
    """Where each column begins, by time; the end of the trace closes the last."""
    count = len(trace.samples)
    if trace.time.times_s is None and trace.kept is None:
        bounds = np.linspace(0, count, columns + 1).astype(np.intp)
    else:
        times = trace.times(np.arange(count))
        bounds = np.searchsorted(times, np.linspace(times[0], times[-1], columns + 1))
        bounds[-1] = count
    return [int(each) for each in bounds]


def _extremes(samples: Samples, bounds: list[int]) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    found: list[int] = []
    for start, end in itertools.pairwise(bounds):
        if end > start:
            column = samples[start:end]
            found += sorted({start + int(column.argmin()), start + int(column.argmax())})
    return np.array(found, dtype=np.intp)
