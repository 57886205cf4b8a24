"""How the cells of a capture are parted and what its decimal sign is, decided by the whole file.

Where the file allows two readings and nothing in it tells which, it is refused: a factor of a thousand
is not guessed.
"""

from __future__ import annotations

import csv
import itertools
import re
from collections import Counter
from dataclasses import dataclass

from kb.captures.plain_text import readable
from kb.captures.refusal import NotUnderstoodError, quoted, refuse

LOOKED_AT = 400
_LONGEST_LINE = 20_000
_FIGURES = re.compile(
    r"(?:[\s0-9.,;+\-\"eE]|\bnan\b|\binf\b)*[0-9](?:[\s0-9.,;+\-\"eE]|\bnan\b|\binf\b)*\Z", re.IGNORECASE
)
_GROUPED = rb"[-+]?[1-9][0-9]{0,2}(?:,[0-9]{3})+"
_NO_GROUP = re.compile(
    rb"(?<![0-9,.])[-+]?0[0-9]*,[0-9]|,[0-9]{1,2}(?![0-9])|,[0-9]{4}|(?<![0-9])[0-9]{4,},[0-9]|,[0-9]+[eE]"
)
# A whole number in a column of its own is never written with a nought before it.
_NOUGHT = re.compile(rb",0[0-9]")
_PARTED = re.compile(rb",[ ]*[-+]|, |,,|^,|,$|,[ ]*nan|nan[ ]*,", re.MULTILINE | re.IGNORECASE)
_SPACED = re.compile(r"[0-9] +[-+]?[0-9.]")


@dataclass(frozen=True)
class Dialect:
    """How cells are written. `run` is the stretch of sample lines, counted from 0, that shows it."""

    separator: str
    decimal: str
    run: range

    def cells(self, line: str) -> list[str]:
        """The cells of one line."""
        return split_cells(line, self.separator)


def split_cells(line: str, separator: str) -> list[str]:
    """The cells of a line, quotes taken off."""
    if separator == "":
        return [line.strip().strip('"')]
    if separator == " ":
        return line.split()
    if '"' not in line:
        return [cell.strip() for cell in line.split(separator)]
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=separator, skipinitialspace=True))]
    except (csv.Error, StopIteration):
        return [cell.strip().strip('"') for cell in line.split(separator)]


def first_lines(data: bytes) -> list[str]:
    """The lines by which a file is judged."""
    found: list[str] = []
    at = 0
    while len(found) < LOOKED_AT and at < len(data):
        end = data.find(b"\n", at)
        end = len(data) if end < 0 else end
        found.append(readable(data[at : min(end, at + _LONGEST_LINE)]))
        at = end + 1
    return found


def dialect_of(lines: list[str], data: bytes, file: str) -> Dialect:
    """How the cells of `data` are written; `lines` are its first ones."""
    run = _figures_in(lines, file)
    shown = [lines[number] for number in run]
    body = _from_line(data, run.start)
    for separator in ("\t", ";"):
        if all(separator in line for line in shown):
            return Dialect(separator, _decimal(body, file, run.start, lines), run)
    if any('"' in line for line in shown):
        return Dialect(",", _decimal_in_quotes(shown), run)
    if all("," not in line for line in shown):
        spaced = all(_SPACED.search(line) for line in shown)
        return Dialect(" " if spaced else "", _decimal(body, file, run.start, lines), run)
    if all(_SPACED.search(line) and not re.search(r", ", line) for line in shown):
        return Dialect(" ", _decimal(body, file, run.start, lines), run)
    separator, decimal = _Commas(lines, run, body, file).decide()
    return Dialect(separator, decimal, run)


def _figures_in(lines: list[str], file: str) -> range:
    """The longest stretch of lines that hold nothing but figures; blank lines do not end it."""
    best, start, last = range(0), None, -1
    for number, line in enumerate((*lines, "end")):
        if _FIGURES.match(line):
            start, last = (number if start is None else start), number
        elif line.strip() and start is not None:
            best = max(best, range(start, last + 1), key=len)
            start = None
    if not best:
        raise refuse(
            file, 1, 1, "there is no line of figures", "a capture has a line of numbers for each sample"
        )
    return range(best.start, best.stop) if all(lines[each].strip() for each in best) else _solid(best, lines)


def _solid(run: range, lines: list[str]) -> range:
    """The stretch up to its first blank line, where that is most of it; blank lines carry no cells."""
    stop = next(number for number in run if not lines[number].strip())
    rest = range(stop + 1, run.stop)
    head = range(run.start, stop)
    if len(head) >= len(rest):
        return head
    while not lines[rest.start].strip():
        rest = range(rest.start + 1, rest.stop)
    return rest if all(lines[each].strip() for each in rest) else _solid(rest, lines)


def _from_line(data: bytes, number: int) -> bytes:
    at = 0
    for _ in range(number):
        at = data.find(b"\n", at) + 1
    return data[at:]


def _decimal(body: bytes, file: str, line: int, lines: list[str]) -> str:
    """The decimal sign where commas part no cells."""
    if b"," not in body:
        return "."
    # a file of decimal commas alone is not searched through: a number with two of them is told by its line
    both = re.search(rb"[0-9][.,][0-9]+[.,][0-9]", body) if b"." in body else None
    if both:
        at = line + body[: both.start()].count(b"\n")
        what = "a number holds two signs between its figures"
        raise refuse(
            file, at + 1, 1, f"{what}: {quoted(readable(both[0]))}", "write it without grouping thousands"
        )
    if re.search(rb"[0-9]\.[0-9]|[0-9]\.(?![0-9])|(?<![0-9])\.[0-9]", body):
        at = line + body[: body.index(b",")].count(b"\n")
        shown = quoted(lines[at]) if at < len(lines) else "this line"
        what = f"{shown} has a decimal comma where other lines have a point"
        raise refuse(file, at + 1, 1, what, "use one decimal sign in the whole file")
    if _NO_GROUP.search(body):
        return ","
    grouped = re.search(_GROUPED, body)
    at = line + body[: body.index(b",")].count(b"\n")
    sample = readable(grouped[0]) if grouped else ","
    what = f"{quoted(sample)} may be {sample.replace(',', '.')} or {sample.replace(',', '')}"
    raise refuse(file, at + 1, 1, what, "write numbers with a decimal point and without grouping thousands")


def _decimal_in_quotes(shown: list[str]) -> str:
    cells = [cell for line in shown for cell in split_cells(line, ",")]
    return "," if any("," in cell for cell in cells) else "."


class _Commas:
    """Lines with commas and no other separator: whether they part cells or are decimal signs."""

    def __init__(self, lines: list[str], run: range, body: bytes, file: str) -> None:
        self.run, self.body, self.file, self.lines = run, body, file, lines
        self.shown = [lines[number] for number in run]
        self.above = next((lines[at] for at in range(run.start - 1, -1, -1) if lines[at].strip()), "")
        self.counts = Counter(line.count(",") for line in self.shown)

    def decide(self) -> tuple[str, str]:
        """The separator and the decimal sign."""
        if b"." in self.body:
            return self._beside_points()
        if set(self.counts) <= {0, 1} and self.counts[0] and not self._is_headed():
            return "", self._single()
        if len(self.counts) > 1 and not self._is_headed():
            raise self._refused(
                "commas part the cells and stand in the numbers too", "separate by semicolons"
            )
        return self._without_points()

    def _beside_points(self) -> tuple[str, str]:
        grouped = re.compile(_GROUPED.decode() + r"\.[0-9]+\Z")
        is_grouped = all(grouped.match(line.strip()) or "," not in line for line in self.shown)
        if is_grouped and not self._is_headed():
            what = f"{quoted(self.shown[0])} may be one number or several"
            raise self._refused(
                what, "write numbers without grouping thousands, or name the columns in a line above"
            )
        return ",", "."

    def _without_points(self) -> tuple[str, str]:
        is_parted = self._is_headed() or bool(_PARTED.search(self.body)) or self._counts_up()
        has_nought = bool(_NOUGHT.search(self.body))
        columns = min(self.counts)
        if has_nought and (is_parted or columns > 1):
            raise self._refused(
                "commas part the cells and stand in the numbers too", "separate by semicolons"
            )
        if has_nought or (columns == 1 and self._is_single_headed()):
            return "", self._single()
        if is_parted or columns > 1:
            return ",", "."
        what = f"{quoted(self.shown[0])} may be two columns or one number with a decimal comma"
        raise self._refused(what, "separate columns by semicolons, or name the columns in a line above")

    def _single(self) -> str:
        """The decimal sign of a single column with commas in it, unless they may group thousands."""
        return _decimal(self.body, self.file, self.run.start, self.lines)

    def _is_headed(self) -> bool:
        """Whether the line above names as many columns as the commas make."""
        cells = split_cells(self.above, ",")
        return len(cells) == self.counts.most_common(1)[0][0] + 1 > 1 and any(
            re.search("[A-Za-z]", cell) for cell in cells
        )

    def _is_single_headed(self) -> bool:
        is_name = bool(re.search("[A-Za-z]", self.above)) and not re.search("[;,:=\t]", self.above)
        return is_name and max(self.counts) == 1

    def _counts_up(self) -> bool:
        """Whether the first cells count the samples."""
        firsts = [line.partition(",")[0].strip() for line in self.shown]
        if len(firsts) < 3 or not all(each.isdigit() for each in firsts):
            return False
        return len({int(after) - int(before) for before, after in itertools.pairwise(firsts)}) == 1 and (
            firsts[0] != firsts[1]
        )

    def _refused(self, what: str, advice: str) -> NotUnderstoodError:
        return refuse(self.file, self.run.start + 1, 1, what, advice)
