"""What a calculator is and what a calculation holds: plain frozen data, no arithmetic.

A calculator declares its inputs, its results and a worked example; a page, the command line and the
tests read those declarations, so nothing about a calculator is written down twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, TypeAlias

from kb.figures.spec import FigureSpec
from kb.quantities import unit_of

if TYPE_CHECKING:
    from kb.calculators.plan import Plan
    from kb.calculators.reading import Given

Value: TypeAlias = float | int | str
"""A number in SI, a count, or a word such as a note name."""

WORDS = ("choice", "text")
"""The dimensions of inputs and results that are words, not numbers."""


@dataclass(frozen=True)
class Input:
    """One input.

    `dimension` is a dimension of `kb.quantities`, several joined by "|" where any of them will do, or one
    of "choice", "text", "integer", "tolerance". `default` is text as a person would write it. A `solvable`
    input may be left out and is solved for. `least` and `most` bound an integer; `most` is the length of a
    text that may be longer than usual. `resolve` turns other spellings of a choice into the one in
    `choices`. An input called `x_tolerance` is the tolerance of input `x` unless its own text carries one.
    """

    key: str
    label: str
    symbol: str
    dimension: str
    help: str
    example: str
    required: bool = False
    default: str | None = None
    choices: tuple[str, ...] = ()
    solvable: bool = False
    positive: bool = True
    least: int | None = None
    most: int | None = None
    resolve: Callable[[str], str | None] | None = None


@dataclass(frozen=True)
class ResultSpec:
    """One result a calculator promises, by the key it has in JSON."""

    key: str
    label: str
    dimension: str
    help: str = ""


@dataclass(frozen=True)
class Calculator:
    """A calculator; all but one of `solve_group` must be given, and the one left out is solved for."""

    name: str
    title: str
    summary: str
    inputs: tuple[Input, ...]
    results: tuple[ResultSpec, ...]
    example: Mapping[str, str]
    function: Callable[[Given], Worked]
    solve_group: tuple[str, ...] = ()

    def input(self, key: str) -> Input:
        """The declaration of one input; KeyError when there is none."""
        return {item.key: item for item in self.inputs}[key]

    def result(self, key: str) -> ResultSpec:
        """The declaration of one result; KeyError when there is none."""
        return {item.key: item for item in self.results}[key]


@dataclass(frozen=True)
class ShownInput:
    """An input as it was used; `given` is False for a default that nobody wrote.

    `text` is what was written, `shown` is how it was understood: "33k" and "33 kΩ".
    """

    key: str
    label: str
    symbol: str
    text: str
    shown: str
    value: Value
    dimension: str
    given: bool


@dataclass(frozen=True)
class Result:
    """A result; `low` and `high` bound it where a tolerance applies, `shown` is how a page prints it."""

    key: str
    label: str
    value: Value
    dimension: str
    shown: str
    low: float | None = None
    high: float | None = None
    shown_band: str = ""


@dataclass(frozen=True)
class ShownFormula:
    """A formula as text and MathML, and once more in MathML with this calculation's numbers put in."""

    name: str
    text: str
    mathml: str
    with_numbers: str


@dataclass(frozen=True)
class Note:
    """What a colleague would add; a warning is something that would spoil the repair or hurt."""

    level: Literal["note", "warning"]
    text: str

    def __str__(self) -> str:
        return f"warning: {self.text}" if self.level == "warning" else self.text


@dataclass(frozen=True)
class Source:
    """Where a fact comes from, and how far it was confirmed: "seen in source", "from memory" ..."""

    text: str
    status: str


@dataclass(frozen=True)
class Column:
    """One column of a table; `key` names it in JSON."""

    key: str
    label: str
    dimension: str


@dataclass(frozen=True)
class Cell:
    """One cell: the value for JSON, None where there is none, and how a page prints it."""

    value: Value | None
    shown: str


@dataclass(frozen=True)
class Table:
    """A table that belongs to the results."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def as_objects(self) -> list[dict[str, Value | None]]:
        """One mapping a row, by column key."""
        keys = [column.key for column in self.columns]
        return [dict(zip(keys, (cell.value for cell in row), strict=True)) for row in self.rows]


@dataclass(frozen=True)
class Worked:
    """What a calculator's function hands back; `calculate` adds the inputs to make a Calculation.

    `plan` is the same work as data, for a page that computes it again; None where only Python can do it.
    """

    results: tuple[Result, ...]
    formulas: tuple[ShownFormula, ...] = ()
    limits: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()
    sources: tuple[Source, ...] = ()
    tables: tuple[Table, ...] = ()
    figure: FigureSpec | None = None
    also_used: tuple[ShownInput, ...] = ()
    plan: Plan | None = None


@dataclass(frozen=True)
class Calculation:
    """One finished calculation with everything a page needs to show it."""

    calculator: str
    title: str
    inputs: tuple[ShownInput, ...]
    solved_for: str | None
    results: tuple[Result, ...]
    formulas: tuple[ShownFormula, ...]
    limits: tuple[str, ...]
    notes: tuple[Note, ...]
    sources: tuple[Source, ...]
    tables: tuple[Table, ...]
    figure: FigureSpec | None
    plan: Plan | None = None
    sweep: Table | None = None

    def result(self, key: str) -> Result:
        """The result called `key`; KeyError when there is none."""
        return {item.key: item for item in self.results}[key]

    def as_json(self) -> dict[str, object]:
        """Plain data for `--json`; the first table is the list under "table"."""
        made: dict[str, object] = {
            "calculator": self.calculator,
            "inputs": {item.key: item.text for item in self.inputs},
            "results": {item.key: _result_json(item) for item in self.results},
            "notes": [str(note) for note in self.notes],
            "sources": [f"{source.text} ({source.status})" for source in self.sources],
        }
        if self.solved_for:
            made["solved_for"] = self.solved_for
        if self.tables:
            made["table"] = self.tables[0].as_objects()
        if self.sweep:
            made["sweep"] = self.sweep.as_objects()
        return made


def _result_json(result: Result) -> dict[str, object]:
    made: dict[str, object] = {"value": result.value, "unit": unit_text(result.dimension)}
    if result.low is not None:
        made["low"] = result.low
    if result.high is not None:
        made["high"] = result.high
    return made


def unit_text(dimension: str) -> str:
    """The ASCII unit of a result; nothing for a word."""
    if dimension in WORDS:
        return ""
    return unit_of("number" if dimension == "integer" else dimension)


@dataclass(frozen=True)
class InputProblem:
    """One mistake in the inputs; `input` is None when it concerns several of them."""

    input: str | None
    what: str
    advice: str = ""

    def __str__(self) -> str:
        place = f"{self.input}: " if self.input else ""
        return f"{place}{self.what}" + (f"; {self.advice}" if self.advice else "")


class CalculationError(ValueError):
    """The inputs can't be worked with; holds every problem found, at least one."""

    def __init__(self, *problems: InputProblem) -> None:
        super().__init__(" | ".join(str(problem) for problem in problems))
        self.problems = problems
