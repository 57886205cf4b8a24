"""Where the samples of a capture begin, and which of its columns hold them.

Some files carry their head in columns to the left of the samples; these columns are left out here and
read as part of the head.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from kb.captures.cells import cell_value, is_finite_number
from kb.captures.dialect import Dialect
from kb.captures.refusal import refuse

MOST_COLUMNS = 64


@dataclass(frozen=True)
class Layout:
    """Lines and columns counted from 0: the first line of samples, the columns with figures, the width."""

    first_line: int
    columns: tuple[int, ...]
    width: int


def layout_of(lines: list[str], dialect: Dialect, file: str) -> Layout:
    """Where the figures stand, told by the stretch of lines that holds nothing else."""
    rows = [dialect.cells(lines[number]) for number in dialect.run]
    width = Counter(len(row) for row in rows).most_common(1)[0][0]
    if width > MOST_COLUMNS:
        what, advice = (
            f"a line holds {width} cells",
            f"a capture has a line for each sample and up to {MOST_COLUMNS} columns",
        )
        raise refuse(file, dialect.run.start + 1, 1, what, advice)
    columns = tuple(at for at in range(width) if _is_filled(rows, at, dialect.decimal))
    if not columns:
        raise refuse(
            file, dialect.run.start + 1, 1, "no column holds numbers", "write a number for each sample"
        )
    first = dialect.run.start
    while first and _is_sample(dialect.cells(lines[first - 1]), columns, dialect.decimal):
        first -= 1
    return Layout(first, columns, width)


def _is_filled(rows: list[list[str]], at: int, decimal: str) -> bool:
    return any(at < len(row) and is_finite_number(row[at], decimal) for row in rows)


def _is_sample(cells: list[str], columns: tuple[int, ...], decimal: str) -> bool:
    values = [cell_value(cells[at], decimal) if at < len(cells) else None for at in columns]
    return None not in values and any(is_finite_number(cells[at], decimal) for at in columns)
