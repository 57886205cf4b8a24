"""A table as a spreadsheet saved it: encoding and separator found, rows with the number a spreadsheet shows.

What could be read in two ways is refused; nothing here knows what the columns mean.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from kb.reading.tree import UnreadableYaml, decode

SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
_NAMES = {"utf-8": "UTF-8", "utf-8-sig": "UTF-8", "utf-16": "UTF-16", "cp1252": "Windows-1252"}


class UnreadableTable(Exception):  # noqa: N818 - it says what it is
    """The file is no table; `what` is wrong and `advice` would help."""

    def __init__(self, what: str, advice: str) -> None:
        super().__init__(what)
        self.what, self.advice = what, advice


@dataclass(frozen=True)
class Row:
    """One row below the head; `number` counts from 1 for the head, as spreadsheets do."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """The rows of a file, and how it was understood."""

    encoding: str
    separator: str
    head: tuple[str, ...]
    rows: tuple[Row, ...]


def read_table(data: bytes) -> Table:
    """The table in the bytes of a file; raises UnreadableTable."""
    text, encoding = _text(data)
    found = {separator: _rows(text, separator) for separator in SEPARATORS}
    widths = {separator: _width(rows) for separator, rows in found.items()}
    best = max(widths.values())
    if best < 2:
        raise UnreadableTable(
            "no columns can be told apart",
            "save it as CSV with a comma, a semicolon or a tab between columns and a head in the first row",
        )
    winners = [separator for separator, width in widths.items() if width == best]
    if len(winners) > 1:
        names = " and ".join(SEPARATORS[each] for each in winners)
        raise UnreadableTable(
            f"the columns may be parted by {names}", "save it again with quotes round texts"
        )
    head, *rows = found[winners[0]]
    return Table(encoding, SEPARATORS[winners[0]], head.cells, tuple(row for row in rows if any(row.cells)))


def _text(data: bytes) -> tuple[str, str]:
    encoding = next((name for mark, name in _MARKS if data.startswith(mark)), "utf-8")
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError:
        encoding, text = "cp1252", data.decode("cp1252", errors="replace")
        if "\ufffd" in text:
            raise UnreadableTable("the encoding cannot be told", "save it again as CSV in UTF-8") from None
    try:
        return decode(b"." + text.encode(), "")[1:], _NAMES[encoding]
    except UnreadableYaml as stop:
        what, advice = stop.problem.what, stop.problem.advice
        if "bytes" in what:
            what, advice = "the table has more than a million bytes", "load it in several files"
        raise UnreadableTable(f"{what} (line {stop.problem.line})", advice) from None


def _rows(text: str, separator: str) -> list[Row]:
    """Every row; none where the quotes do not fit together."""
    try:
        read = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))
    except csv.Error:
        return []
    return [Row(number, tuple(cell.strip() for cell in cells)) for number, cells in enumerate(read, start=1)]


def _width(rows: list[Row]) -> int:
    """How many columns the head has, if rows that have as many are the rule."""
    if not rows or not all(rows[0].cells[:1]):
        return 0
    width = len(rows[0].cells)
    filled = [row for row in rows if any(row.cells)]
    return width if 2 * sum(len(row.cells) == width for row in filled) > len(filled) else 0
