"""The calculation that stands in a fence of prose: its YAML read, checked and worked out."""

from __future__ import annotations

from dataclasses import dataclass

from kb.calculators import CALCULATORS, Calculation
from kb.pages.prose import Passage
from kb.problems import Problem
from kb.reading import Located, Place
from kb.reading.tree import Entry, Mapping, Scalar, read_tree
from kb.reading.validate import validate
from kb.recompute import Calculators, compute
from kb.records import CalculationText, Written
from kb.records.fields import Calculation as WrittenCalculation


class _Fence(Written):
    """What a calc fence holds."""

    calculation: WrittenCalculation


@dataclass(frozen=True)
class Fenced:
    """A fence's calculation as written and worked out; both None where there are problems."""

    written: CalculationText | None = None
    calculation: Calculation | None = None
    problems: tuple[Problem, ...] = ()


def fenced(source: str, passage: Passage, line: int, calculators: Calculators = CALCULATORS) -> Fenced:
    """The calculation of a fence whose opening stands in `line` of a passage."""
    place = place_of_fence(source, passage, line)
    file = passage.record.file
    tree, problems = read_tree(source, file, place)
    record = None
    if tree is not None:
        wrapped = Mapping((Entry(Scalar("calculation", place), tree),), place)
        record, more = validate(wrapped, _Fence, file)
        problems = (*problems, *more)
    if tree is None or record is None or problems:
        return Fenced(problems=passage.placed(problems))
    located = Located(passage.record.id, file, record, wrapped)
    computed = compute(located, ("calculation",), record.calculation, calculators)
    if computed.calculation is None:
        return Fenced(problems=passage.placed(computed.problems))
    return Fenced(record.calculation, computed.calculation)


def place_of_fence(source: str, passage: Passage, line: int) -> Place:
    """Where the first character of a fence's content stands; inside a list it is indented further."""
    lines = passage.text.split("\n")
    for offset, text in enumerate(source.split("\n"), start=line + 1):
        if text.strip() and offset < len(lines):
            return passage.place(line + 1, max(lines[offset].find(text), 0))
    return passage.place(line + 1)
