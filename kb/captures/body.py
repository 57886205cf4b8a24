"""The figures of a capture, ten million lines of them if need be: numpy reads, the odd lines are looked at.

A block of lines that numpy refuses is halved until the odd lines stand alone; those are read cell by cell.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np

from kb.captures.capture import Samples
from kb.captures.cells import SCPI_FROM, SCPI_NAN, cell_value
from kb.captures.dialect import Dialect
from kb.captures.layout import Layout
from kb.captures.plain_text import readable
from kb.captures.refusal import NotUnderstoodError, quoted, refuse

MOST_ROWS = 60_000_000
_BLOCK = 8_000_000
_BY_HAND = 20_000


@dataclass(frozen=True)
class Body:
    """Reads the lines of samples of one file."""

    file: str
    dialect: Dialect
    layout: Layout

    def read(self, data: bytes) -> Samples:
        """The figures by row and column; `data` is the whole text of the file."""
        at = _start_of_line(data, self.layout.first_line)
        line = self.layout.first_line
        blocks: list[Samples] = []
        while at < len(data):
            end = data.find(b"\n", min(at + _BLOCK, len(data)))
            end = len(data) if end < 0 else end + 1
            block = data[at:end]
            blocks.append(self._block(block, line))
            line += block.count(b"\n")
            at = end
            if sum(len(each) for each in blocks) > MOST_ROWS:
                raise refuse(
                    self.file, line, 1, f"there are more than {MOST_ROWS:,} samples", "save a shorter part"
                )
        found = blocks[0] if len(blocks) == 1 else np.concatenate(blocks)
        return _without_stand_ins(found)

    def _block(self, block: bytes, line: int) -> Samples:
        if not block.strip():
            return np.empty((0, len(self.layout.columns)))
        found = self._at_once(block)
        if found is not None:
            return found
        if len(block) <= _BY_HAND:
            return self._by_hand(block, line)
        middle = block.find(b"\n", len(block) // 2) + 1
        if not 0 < middle < len(block):
            return self._by_hand(block, line)
        upper = self._block(block[:middle], line)
        return np.concatenate([upper, self._block(block[middle:], line + block[:middle].count(b"\n"))])

    def _at_once(self, block: bytes) -> Samples | None:
        """The whole block by numpy; None where a line is out of the ordinary."""
        if b'"' in block or not block.isascii() or b"_" in block:
            return None
        try:
            found = np.loadtxt(
                io.StringIO(self._ready(block).decode("ascii")), comments=None, ndmin=2,
                delimiter=None if self.dialect.separator in ("", " ") else self.dialect.separator,
            )  # fmt: skip
        except ValueError:
            return None
        if found.shape[1] != self.layout.width:
            return None
        return found[:, list(self.layout.columns)]

    def _ready(self, block: bytes) -> bytes:
        """The block with a decimal point and a word in each empty cell."""
        if self.dialect.decimal == ",":
            block = block.replace(b",", b".")
        mark = self.dialect.separator.encode()
        if mark in (b"", b" "):
            return block
        empty = mark + mark
        while empty in block:
            block = block.replace(empty, mark + b"nan" + mark)
        if block.startswith(mark) or b"\n" + mark in block:
            block = (b"\n" + block).replace(b"\n" + mark, b"\nnan" + mark)
        if block.endswith(mark) or mark + b"\n" in block:
            block = (block + b"\n").replace(mark + b"\n", mark + b"nan\n")
        return block

    def _by_hand(self, block: bytes, line: int) -> Samples:
        rows = [
            self._row(readable(text), number)
            for number, text in enumerate(block.split(b"\n"), start=line)
            if text.strip()
        ]
        return np.array(rows, dtype=np.float64).reshape(-1, len(self.layout.columns))

    def _row(self, text: str, line: int) -> list[float]:
        cells = self.dialect.cells(text)
        spare = [cell for cell in cells[self.layout.width :] if cell]
        if spare:
            what = f"the line has {len(cells)} cells where others have {self.layout.width}"
            raise refuse(
                self.file, line + 1, _column_of(text, spare[0]), what, "write one number for each column"
            )
        return [self._cell(cells[at] if at < len(cells) else "", text, line) for at in self.layout.columns]

    def _cell(self, cell: str, text: str, line: int) -> float:
        value = cell_value(cell, self.dialect.decimal)
        if value is None:
            raise self._no_number(cell, text, line)
        return value

    def _no_number(self, cell: str, text: str, line: int) -> NotUnderstoodError:
        advice = "write a number, leave the cell empty for a gap, or write OVER beyond the range"
        return refuse(self.file, line + 1, _column_of(text, cell), f"{quoted(cell)} is no number", advice)


def _column_of(text: str, cell: str) -> int:
    return max(text.find(cell), 0) + 1


def _start_of_line(data: bytes, number: int) -> int:
    at = 0
    for _ in range(number):
        at = data.find(b"\n", at) + 1
    return at


def _without_stand_ins(found: Samples) -> Samples:
    """Plain numbers that stand for nothing and for infinity become what they stand for."""
    # numpy compares with NaN without a word, and a file without such numbers is left as it is
    if not bool((np.abs(found) >= SCPI_FROM).any()):
        return found
    is_nan = np.abs(found - SCPI_NAN) < 1e-3 * SCPI_NAN / 10
    over = (np.abs(found) >= SCPI_FROM) & ~is_nan
    return np.where(is_nan, np.nan, np.where(over, np.copysign(np.inf, found), found))
