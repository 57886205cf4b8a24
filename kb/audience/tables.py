"""Tables of figures made anew: numbers are read and written again, and words stay outside.

A capture's file may name its scope, its owner and its day in lines of its own; only columns of numbers
and short plain headings above them go on.
"""

from __future__ import annotations

import csv
import io
import math
import re

from kb.audience.refusals import NotPublishable

MOST_ROWS = 200_000
MOST_COLUMNS = 16
_HEADING = re.compile(r"[A-Za-z][A-Za-z0-9 ()/_.%-]{0,23}\Z")


def remade_csv(data: bytes) -> tuple[str, bytes]:
    """The ending and the bytes of the same figures; raises NotPublishable."""
    rows = _rows(data)
    heading = None if _is_of_numbers(rows[0]) else rows.pop(0)
    if heading is not None and not all(_HEADING.match(cell) for cell in heading):
        raise NotPublishable(
            f'begins with "{" ".join(heading)[:40]}", which is no short heading',
            "leave only columns and figures",
        )
    width = len(heading or rows[0]) if rows else 0
    if not 0 < width <= MOST_COLUMNS or len(rows) > MOST_ROWS:
        raise NotPublishable("is no table of figures", f"up to {MOST_COLUMNS} columns and {MOST_ROWS:,} rows")
    lines = [",".join(heading)] if heading else []
    lines += [",".join(_numbers(row, number, width)) for number, row in enumerate(rows, start=1)]
    return ".csv", ("\n".join(lines) + "\n").encode("ascii")


def _rows(data: bytes) -> list[list[str]]:
    try:
        text = data.decode("utf-8-sig")
        read = csv.reader(io.StringIO(text, newline=""), strict=True)
        rows = [[cell.strip() for cell in row] for row in read if any(cell.strip() for cell in row)]
    except (UnicodeDecodeError, csv.Error):
        rows = []
    if not rows:
        raise NotPublishable("cannot be read as a table", "separate its columns by commas")
    return rows


def _is_of_numbers(row: list[str]) -> bool:
    return all(_number(cell) is not None for cell in row)


def _numbers(row: list[str], number: int, width: int) -> list[str]:
    values = [_number(cell) for cell in row]
    if len(row) != width or any(value is None for value in values):
        what = f"holds something else than {width} figures in row {number}"
        raise NotPublishable(what, "leave only columns and figures")
    return [repr(value) for value in values]


def _number(cell: str) -> float | None:
    if not re.fullmatch(r"[-+]?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]{1,3})?|[-+]?[0-9]+\.", cell):
        return None
    value = float(cell)
    return value if math.isfinite(value) else None
