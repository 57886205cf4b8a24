"""The small steps every calculator takes: a result, a table, a formula on the page.

What is computed and what is shown come from one Expression; no calculator formats MathML itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from kb.calculators.base import (
    WORDS,
    Calculator,
    Cell,
    Column,
    Result,
    ShownFormula,
    Table,
    Value,
)
from kb.calculators.pitch import note_name
from kb.calculators.plan_tables import Row
from kb.formulas import Expression
from kb.quantities import show

if TYPE_CHECKING:
    from kb.calculators.plan import Plan, PlanTable, Shown

Band = tuple[float, float]


def shown(value: Value, dimension: str, digits: int = 3) -> str:
    """A value as a page prints it."""
    if isinstance(value, str) or dimension in WORDS:
        return str(value)
    return f"{value:d}" if isinstance(value, int) else show(value, dimension, digits)


def result(
    calculator: Calculator, key: str, value: Value, band: Band | None = None, dimension: str = ""
) -> Result:
    """One of the results `calculator` declares, with a band unless it has no width."""
    spec = calculator.result(key)
    kind = dimension or spec.dimension
    if band is None or band[0] == band[1]:
        return Result(key, spec.label, value, kind, shown(value, kind))
    low, high = band
    between = f"{shown(low, kind)} to {shown(high, kind)}"
    return Result(key, spec.label, value, kind, shown(value, kind), low, high, between)


def planned(calculator: Calculator, plan: Plan, values: Mapping[str, float]) -> tuple[Result, ...]:
    """The results of a plan that was evaluated, in the order the calculator declares them."""
    found = {}
    for step in plan.every_step:
        value: Value = values[step.name]
        dimension = step.dimension
        if dimension in ("note", "integer"):
            value = note_name(int(value)) if dimension == "note" else int(value)
            dimension = "text" if dimension == "note" else dimension
        if step.key:
            found[step.key] = result(calculator, step.key, value, plan.band(step, values), dimension)
    return tuple(found[spec.key] for spec in calculator.results if spec.key in found)


def shown_table(table: PlanTable, columns: tuple[Column, ...], values: Mapping[str, float]) -> Table:
    """A plan's table for the page; a column that isn't computed holds a row's words, or else its label."""
    worked = table.work_out(values)
    known = table.rows or (Row(""),) * len(worked)
    return Table(
        table.title,
        columns,
        tuple(
            tuple(_planned_cell(table.cells.get(column.key), column.key, row, found) for column in columns)
            for row, found in zip(known, worked, strict=True)
        ),
    )


def _planned_cell(cell: Shown | None, key: str, row: Row, values: Mapping[str, float]) -> Cell:
    if cell is None:
        words = row.words.get(key, row.label)
        return Cell(words, words)
    text = cell.text(values)
    if cell.dimension in ("note", "yes"):
        return Cell(text, text)
    value = values[cell.name]
    return Cell(int(value) if cell.dimension == "integer" else value, text)


def formula(
    name: str,
    left: str,
    expression: Expression,
    *,
    symbols: Mapping[str, str],
    numbers: Mapping[str, str],
    answer: str,
) -> ShownFormula:
    """`left = expression`, once in symbols and once with `numbers` put in and the `answer` at the end."""
    return ShownFormula(
        name=name,
        text=f"{left} = {expression.to_text()}",
        mathml=expression.to_mathml(symbols, left),
        with_numbers=expression.to_mathml(symbols, left, numbers, answer),
    )


def cell(value: Value | None, dimension: str, digits: int = 3) -> Cell:
    """One cell of a table; an absent value is shown as a dash."""
    return Cell(value, "–" if value is None else shown(value, dimension, digits))
