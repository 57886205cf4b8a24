"""What stands above and beside the figures of a capture: sample interval, names and units of the columns.

The words are those any instrument may use; no maker's format is known here by name.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from kb.captures.cells import is_finite_number
from kb.captures.units import Unit, split_name, unit_named

_INTERVAL = re.compile(
    r"(?:(?:sampl\w*|time|x|horizontal|hor|h|t)[ _]?)+"
    r"(?:interval|increment|incr|inc|period|step|resolution)\Z|"
    r"(?:interval|increment|delta ?t|dt|(?:time|seconds?) per (?:sample|point)|abtastintervall)\Z"
)
_RATE = re.compile(r"sampl\w*[ _]?(?:rate|frequency|freq)\Z|samples? per second\Z|abtastrate\Z")
_START = re.compile(
    r"(?:start(?: time)?|(?:x|time|horizontal)[ _]?(?:origin|start|zero)|time of first sample)\Z"
)
_TIME_UNIT = re.compile(r"(?:horizontal|hor|x|time)[ _]?units?\Z")
_LEVEL_UNIT = re.compile(r"(?:(?:vertical|vert|y|voltage|amplitude|level|ch\w*)[ _]?)?units?\Z")
_NAMES = re.compile(r"(?:source|channels?|traces?|signals?|ch)\Z")
_BRACKETED = re.compile(r"\s*[(\[]([^()\[\]]{1,12})[)\]]\s*\Z")
_VALUE = re.compile(r"([-+]?[0-9.,]+(?:[eE][-+]?[0-9]+)?)\s*([A-Za-zµμ/]{0,8})\Z")


@dataclass(frozen=True)
class Said:
    """A value of the head: SI, the line it stands in from 1, and whether its unit was written there."""

    value: float
    line: int
    has_unit: bool


@dataclass
class Head:
    """What the head says; `names` and `units` are by the place of the column in the line, from 0."""

    interval: Said | None = None
    start: Said | None = None
    time_unit: Unit | None = None
    level_units: tuple[Unit, ...] = ()
    names: dict[int, str] = field(default_factory=dict)
    units: dict[int, Unit] = field(default_factory=dict)
    wrong_interval: tuple[int, str] | None = None


@dataclass(frozen=True)
class _Row:
    line: int
    cells: tuple[str, ...]
    is_above: bool


def head_of(lines: list[str], first: int, columns: tuple[int, ...], separator: str) -> Head:
    """The head: the lines before `first`, and the words beside the figures in the others."""
    rows = list(_rows(lines, first, columns, separator))
    head = Head()
    for number, row in enumerate(rows):
        below = rows[number + 1].cells if number + 1 < len(rows) else ()
        for at in range(len(row.cells)):
            _take(head, row, at, below)
    _name_columns(head, [row for row in rows if row.is_above], columns)
    return head


def _rows(lines: list[str], first: int, columns: tuple[int, ...], separator: str) -> Iterator[_Row]:
    for number, line in enumerate(lines):
        if not line.strip():
            continue
        if number < first:
            yield _Row(number + 1, tuple(_head_cells(line, separator)), True)
        elif separator and columns[0] > 0:
            beside = [cell.strip().strip('"') for cell in line.split(separator)[: columns[0]]]
            if any(beside):
                yield _Row(number + 1, tuple(beside), False)


def _head_cells(line: str, separator: str) -> list[str]:
    """A line of the head, which may be parted in another way than the figures."""
    line = line.lstrip("#%/ ")
    marks = [mark for mark in (separator.strip(" "), "\t", ";", ",") if mark and mark in line]
    cells = line.split(marks[0]) if marks else [line]
    parted: list[str] = []
    for cell in cells:
        key, sign, value = re.sub(r"\s*[:=]\s*", "=", cell.strip().strip('"'), count=1).partition("=")
        parted += [key, value] if sign and key else [cell.strip().strip('"')]
    if len(parted) == 1 and separator in (" ", ""):
        return _by_spaces(line, separator)
    return [cell.strip() for cell in parted]


def _by_spaces(line: str, separator: str) -> list[str]:
    """`sample interval 1e-6 s` as key and value; other words one by one, or together over a single column."""
    match = re.match(r"(\D+?)\s+([-+]?[0-9][0-9.,]*(?:[eE][-+]?[0-9]+)?\s*[A-Za-zµμ/]{0,8})\s*\Z", line)
    words = line.split() if separator else [line.strip()]
    return [match[1], match[2]] if match else words


def _take(head: Head, row: _Row, at: int, below: tuple[str, ...]) -> None:
    key, unit = _key(row.cells[at])
    if not key:
        return
    after = row.cells[at + 1] if at + 1 < len(row.cells) else ""
    if _INTERVAL.match(key) or _RATE.match(key):
        _take_interval(head, row, at, below, unit)
    elif _START.match(key):
        found = _value(row, at, below, unit, "time")
        head.start = head.start or found
    elif _TIME_UNIT.match(key):
        head.time_unit = head.time_unit or unit_named(after)
    elif _LEVEL_UNIT.match(key) and not head.level_units:
        units = [unit_named(cell) for cell in row.cells[at + 1 :] if cell]
        if units and None not in units:
            head.level_units = tuple(each for each in units if each is not None)


def _key(cell: str) -> tuple[str, Unit | None]:
    """The words of a cell in small letters, and the unit in brackets behind them."""
    match = _BRACKETED.search(cell)
    unit = unit_named(match[1]) if match else None
    words = cell[: match.start()] if match else cell
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", words)
    return re.sub(r"[^a-z0-9]+", " ", words.lower()).strip(), unit


def _take_interval(head: Head, row: _Row, at: int, below: tuple[str, ...], unit: Unit | None) -> None:
    is_rate = bool(_RATE.match(_key(row.cells[at])[0]))
    found = _value(row, at, below, unit, "frequency" if is_rate else "time")
    if found is None:
        return
    if found.value <= 0 or found.value == float("inf"):
        head.wrong_interval = head.wrong_interval or (row.line, row.cells[at])
        return
    seconds = 1 / found.value if is_rate else found.value
    if not 0 < seconds < float("inf"):
        head.wrong_interval = head.wrong_interval or (row.line, row.cells[at])
        return
    head.interval = head.interval or Said(seconds, found.line, found.has_unit)


def _value(row: _Row, at: int, below: tuple[str, ...], unit: Unit | None, dimension: str) -> Said | None:
    """The value that belongs to a key: in the next cell, or in the cell below."""
    beside = row.cells[at + 1 : at + 3]
    cells = [(cell, row.line, beside[1:]) for cell in beside[:1]]
    cells += [(cell, row.line + 1, ()) for cell in below[at : at + 1]]
    for cell, line, more in cells:
        match = _VALUE.match(cell)
        number = _number(match[1]) if match else None
        if match is None or number is None:
            continue
        own = unit_named(match[2]) if match[2] else None
        near = unit_named(more[0]) if more and more[0] else None
        taken = next((each for each in (own, unit, near) if each and each.dimension == dimension), None)
        return Said(number * (taken.factor if taken else 1.0), line, taken is not None)
    return None


def _number(text: str) -> float | None:
    text = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
    return float(text) if is_finite_number(text) else None


def _name_columns(head: Head, rows: list[_Row], columns: tuple[int, ...]) -> None:
    """Names and units from the nearest lines above the figures that have a word for each column."""
    for row in reversed(rows):
        words = {at: row.cells[at] for at in columns if at < len(row.cells) and row.cells[at]}
        if not words or any(is_finite_number(word) for word in words.values()):
            continue
        if len(words) < len(columns) and not (len(row.cells) > max(columns) and len(words) > 1):
            continue
        if _is_fact(row, columns):
            continue
        if not head.units and all(_is_unit(word) for word in words.values()):
            head.units = {at: unit for at, word in words.items() if (unit := _unit_in_row(word))}
        elif not head.names:
            _take_names(head, words)
        if head.names:
            return


def _is_unit(word: str) -> bool:
    return _unit_in_row(word) is not None or word.lower() in ("sequence", "point", "points", "#")


def _unit_in_row(word: str) -> Unit | None:
    return unit_named(word)


def _take_names(head: Head, words: dict[int, str]) -> None:
    for at, word in words.items():
        name, unit = split_name(word)
        head.names[at] = name
        if unit is not None and at not in head.units:
            head.units[at] = unit


def _is_fact(row: _Row, columns: tuple[int, ...]) -> bool:
    """Whether a line is one key and its value, and not a name for each column."""
    key, _ = _key(row.cells[0])
    is_key = any(each.match(key) for each in (_INTERVAL, _RATE, _START, _TIME_UNIT, _LEVEL_UNIT))
    return is_key and (len(columns) > 1 or len(row.cells) > 1)
