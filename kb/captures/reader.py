"""Reads a capture: any bytes become a capture, or one problem at its place, and never an exception.

There is no switch for a format. How the text was taken is kept with the capture, so that somebody can
see whether it was taken rightly.
"""

from __future__ import annotations

import numpy as np

from kb.captures.body import Body
from kb.captures.capture import Capture, Channel, Samples, TimeBase, Understood
from kb.captures.dialect import dialect_of, first_lines
from kb.captures.header import Head, head_of
from kb.captures.layout import Layout, layout_of
from kb.captures.plain_text import plain
from kb.captures.refusal import NotUnderstoodError, refuse
from kb.captures.timebase import from_times, given_interval, is_counting, is_rising_evenly
from kb.problems import Problem

_TIME_NAMES = frozenset((
    "time", "times", "t", "seconds", "second", "sec", "s", "zeit", "temps", "tiempo", "tempo", "timestamp",
))  # fmt: skip
_COUNT_NAMES = frozenset((
    "sample", "samples", "sample number", "sample no", "index", "point", "points", "number", "no", "nr", "n",
    "#", "sequence", "i", "row",
))  # fmt: skip
_UNEVEN = "the samples are not evenly spaced: each is taken at its own time"
_NO_TIME = (
    "neither a column of times nor a sample interval is to be found",
    'write a line such as "sample interval,1e-6 s" above the figures, or a first column of times',
)
_EITHER = (
    "the first column may count the samples or the seconds",
    'write "time (s)" above it, or a line such as "sample interval,1e-6 s"',
)


def read_capture(data: bytes, file: str) -> Capture | Problem:
    """The capture in `data`; `file` is its name for messages. Values are SI."""
    try:
        return _read(data, file)
    except NotUnderstoodError as error:
        return error.problem


def _read(data: bytes, file: str) -> Capture:
    text, encoding = plain(data, file)
    lines = first_lines(text)
    dialect = dialect_of(lines, text, file)
    layout = layout_of(lines, dialect, file)
    head = head_of(lines, layout.first_line, layout.columns, dialect.separator)
    figures = Body(file, dialect, layout).read(text)
    with np.errstate(all="ignore"):
        made = _Making(file, text, layout, head, figures)
        time, time_column, skipped = made.time()
        channels = made.channels((*skipped, *(() if time_column is None else (time_column,))))
    understood = Understood(
        encoding, dialect.separator, dialect.decimal, layout.first_line,
        made.told(time_column, skipped, channels), len(figures), tuple(made.assumed),
    )  # fmt: skip
    return Capture(file, time, channels, understood)


class _Making:
    """Puts figures and head together; columns are named by their place among those with figures."""

    def __init__(self, file: str, text: bytes, layout: Layout, head: Head, figures: Samples) -> None:
        self.file, self.text, self.layout, self.head = file, text, layout, head
        self.figures = figures
        self.assumed: list[str] = []
        if len(figures) < 2:
            raise refuse(
                file, layout.first_line + 1, 1, "there are fewer than two samples", "save a longer record"
            )

    # What a column is called

    def name(self, column: int) -> str:
        """What the head calls a column."""
        return self.head.names.get(self.layout.columns[column], "")

    def _words(self, column: int) -> str:
        return self.name(column).lower().strip(" .:_-")

    def _is_time(self, column: int) -> bool:
        unit = self.head.units.get(self.layout.columns[column])
        return self._words(column) in _TIME_NAMES or (unit is not None and unit.dimension == "time")

    def _line_of(self, row: int) -> int:
        """The line of a row of figures, from 1; blank lines hold none."""
        found = -1
        lines = self.text.split(b"\n")
        for number in range(self.layout.first_line, len(lines)):
            found += bool(lines[number].strip())
            if found == row:
                return number + 1
        return len(lines)

    # Time

    def time(self) -> tuple[TimeBase, int | None, tuple[int, ...]]:
        """The time base, its column if it has one, and the columns that are neither time nor signal."""
        count = range(self.figures.shape[1])
        timed = [column for column in count if self._is_time(column)]
        counts = tuple(column for column in count if self._words(column) in _COUNT_NAMES)
        if len(timed) + len(counts) >= len(count):
            if len(timed) == len(count) == 1:
                timed = []
            else:
                what = "there is no column beside those of time and of sample numbers"
                raise self._refused(what, "a capture needs a column for each channel")
        if timed:
            return self._by_column(timed[0]), timed[0], (*counts, *timed[1:])
        if counts:
            return self._by_head(), None, counts
        return self._by_figures()

    def _by_figures(self) -> tuple[TimeBase, int | None, tuple[int, ...]]:
        """No name says which column holds the time."""
        first = self.figures[:, 0]
        if self.figures.shape[1] == 1 or not is_rising_evenly(first[np.isfinite(first)]):
            return self._by_head(), None, ()
        if not is_counting(first[np.isfinite(first)]):
            return self._by_column(0), 0, ()
        if self.head.interval is None:
            raise self._refused(*_EITHER)
        return self._by_head(), None, (0,)

    def _by_head(self) -> TimeBase:
        head = self.head
        if head.wrong_interval:
            line, key = head.wrong_interval
            what = f'"{key[:40]}" is not above zero'
            raise refuse(self.file, line, 1, what, "write the time from one sample to the next")
        if head.interval is None:
            raise self._refused(*_NO_TIME)
        if not head.interval.has_unit:
            self.assumed.append(
                "no unit is written for the sample interval: taken as seconds, or hertz for a rate"
            )
        start_s = head.start.value if head.start else 0.0
        said_by = f"the head, line {head.interval.line}"
        return given_interval(head.interval.value, start_s, len(self.figures), said_by)

    def _by_column(self, column: int) -> TimeBase:
        unit = self.head.units.get(self.layout.columns[column]) or self.head.time_unit
        if unit is None or unit.dimension != "time":
            self.assumed.append("no unit is written for the time: taken as seconds")
            unit = None
        values = self.figures[:, column]
        kept = np.isfinite(values)
        rows = np.flatnonzero(kept)
        if len(rows) < 2:
            raise self._refused(
                "the column of times holds fewer than two numbers", "write a time for each sample"
            )
        if len(rows) < len(values):
            left_out = len(values) - len(rows)
            self.assumed.append(
                f"{left_out} {'row has' if left_out == 1 else 'rows have'} no time and are left out"
            )
            self.figures = self.figures[kept]
        times_s = self.figures[:, column] * (unit.factor if unit else 1.0)
        said_by = f"column {self.layout.columns[column] + 1}"
        found = from_times(times_s, self.file, lambda row: self._line_of(int(rows[row])), said_by)
        if not found.is_even:
            self.assumed.append(_UNEVEN)
        return found

    def _refused(self, what: str, advice: str) -> NotUnderstoodError:
        return refuse(self.file, self.layout.first_line + 1, 1, what, advice)

    # Channels

    def channels(self, others: tuple[int, ...]) -> tuple[Channel, ...]:
        """Every column that holds a signal, in SI."""
        columns = [column for column in range(self.figures.shape[1]) if column not in others]
        return tuple(self._channel(number, column) for number, column in enumerate(columns, start=1))

    def _channel(self, number: int, column: int) -> Channel:
        unit = self.head.units.get(self.layout.columns[column])
        levels = self.head.level_units
        if unit is None and levels:
            unit = levels[min(number, len(levels)) - 1]
        if unit is not None and unit.dimension not in ("voltage", "current", "number"):
            unit = None
        if unit is None:
            self.assumed.append(f"no unit is written for channel {number}: taken as volts")
        values = np.ascontiguousarray(self.figures[:, column])
        if unit is not None and unit.factor != 1:
            values = values * unit.factor
        dimension = unit.dimension if unit else "voltage"
        name = self.name(column) or f"channel {number}"
        return Channel(number, name[:60], unit.text if unit else "V", dimension, unit is not None, values)

    def told(
        self, time_column: int | None, skipped: tuple[int, ...], channels: tuple[Channel, ...]
    ) -> tuple[str, ...]:
        """What each column was taken for, in the order of the file."""
        waiting = list(channels)
        found = []
        for column, place in enumerate(self.layout.columns):
            if column == time_column:
                unit = self.head.units.get(place) or self.head.time_unit
                found.append(
                    f"column {place + 1}: time in {unit.text if unit and unit.dimension == 'time' else 's'}"
                )
            elif column in skipped:
                found.append(f"column {place + 1}: not used ({self.name(column) or 'sample numbers'})")
            else:
                channel = waiting.pop(0)
                found.append(
                    f"column {place + 1}: channel {channel.number}, {channel.name}, in {channel.unit}"
                )
        return tuple(found)
