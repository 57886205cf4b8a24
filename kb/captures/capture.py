"""A capture in memory: channels of samples, when they were taken, and how the file was understood.

Values are SI. A gap is NaN, a sample beyond the range of the instrument is plus or minus infinity.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Samples: TypeAlias = NDArray[np.float64]

SEPARATOR_WORDS = {",": "comma", ";": "semicolon", "\t": "tab", " ": "space", "": "none, one column"}
DECIMAL_WORDS = {".": "point", ",": "comma"}


@dataclass(frozen=True)
class Channel:
    """One trace. `dimension` is voltage, current or number; `is_unit_written` is False where V was taken."""

    number: int
    name: str
    unit: str
    dimension: str
    is_unit_written: bool
    values: Samples

    @property
    def gaps(self) -> int:
        """How many samples are missing: empty cells and words for nothing."""
        return int(np.isnan(self.values).sum())

    @property
    def over_range(self) -> int:
        """How many samples the file itself says were beyond the range."""
        return int(np.isinf(self.values).sum())


@dataclass(frozen=True)
class TimeBase:
    """When the samples were taken: evenly from `start_s`, or at `times_s` where rows are missing or uneven.

    `said_by` tells where that is from. `missing` counts the rows that an even sampling would have had beside.
    """

    start_s: float
    interval_s: float
    said_by: str
    count: int
    times_s: Samples | None = None
    missing: int = 0
    is_even: bool = True

    def at(self, positions: NDArray[np.intp]) -> Samples:
        """The times of samples by their positions."""
        if self.times_s is None:
            return np.asarray(self.start_s + positions * self.interval_s, dtype=np.float64)
        return self.times_s[positions]

    @property
    def end_s(self) -> float:
        """When the last sample was taken."""
        if self.times_s is None:
            return self.start_s + (self.count - 1) * self.interval_s
        return float(self.times_s[-1])


@dataclass(frozen=True)
class Understood:
    """How the text of a file was taken. `decimal` is a point where no number has a fraction."""

    encoding: str
    separator: str
    decimal: str
    header_lines: int
    columns: tuple[str, ...]
    rows: int
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Capture:
    """A file that was understood."""

    file: str
    time: TimeBase
    channels: tuple[Channel, ...]
    understood: Understood

    def channel(self, number: int) -> Channel:
        """The channel by its number, counted from 1; IndexError when there is none."""
        if not 1 <= number <= len(self.channels):
            raise IndexError(number)
        return self.channels[number - 1]
