"""The preferred value nearest to a computed one: which part to take out of the drawer."""

from __future__ import annotations

from typing import cast

from kb.calculators.base import (
    Calculator,
    Column,
    Input,
    Note,
    ResultSpec,
    Source,
    Table,
    Worked,
)
from kb.calculators.reading import Given
from kb.calculators.series import NAMES, Rule, neighbours, read_series
from kb.calculators.working import cell, formula, result, shown
from kb.formulas import Expression

ERROR = Expression("(N - W) / W")

SOURCES = (
    Source(
        "IEC 60063:2015 (as tabulated by public E-series tables)", "computed from the rule, seen in source"
    ),
)


def work(given: Given) -> Worked:
    """Find the neighbours in the asked series, and in every other for comparison."""
    wanted = given.quantities["value"]
    rule = cast("Rule", given.word("rule"))
    series = given.word("series")
    found = neighbours(wanted.value, series, rule)
    error = ERROR.evaluate({"N": found.nearest, "W": wanted.value})
    numbers = {"N": shown(found.nearest, wanted.dimension), "W": wanted.shown}
    return Worked(
        results=(
            result(CALCULATOR, "nearest", found.nearest, dimension=wanted.dimension),
            result(CALCULATOR, "below", found.below, dimension=wanted.dimension),
            result(CALCULATOR, "above", found.above, dimension=wanted.dimension),
            result(CALCULATOR, "error", error),
        ),
        formulas=(formula("Error", "e", ERROR, symbols={}, numbers=numbers, answer=shown(error, "ratio")),),
        limits=("The series repeats in every decade.",),
        notes=_notes(wanted.value, series, rule),
        sources=SOURCES,
        tables=(_table(wanted.value, wanted.dimension, rule),),
    )


def _table(wanted: float, dimension: str, rule: Rule) -> Table:
    columns = (
        Column("series", "Series", "text"),
        Column("nearest", "Nearest", dimension),
        Column("error", "Error", "ratio"),
    )
    rows = []
    for name in NAMES:
        member = neighbours(wanted, name, rule).nearest
        error = ERROR.evaluate({"N": member, "W": wanted})
        rows.append((cell(name, "text"), cell(member, dimension), cell(error, "ratio")))
    return Table("Nearest value in each series", columns, tuple(rows))


def _notes(wanted: float, series: str, rule: Rule) -> tuple[Note, ...]:
    other: Rule = "ratio" if rule == "arithmetic" else "arithmetic"
    notes = []
    if neighbours(wanted, series, other).nearest != neighbours(wanted, series, rule).nearest:
        notes.append(
            Note("note", f"close to the middle of a gap: the {other} rule picks the other neighbour")
        )
    if series in ("E48", "E96", "E192"):
        text = "most E24 values are not in this series; write E24+E96 when the drawer holds both"
        notes.append(Note("note", text))
    return tuple(notes)


CALCULATOR = Calculator(
    name="preferred_value",
    title="Preferred value",
    summary="The nearest value that parts are made in.",
    inputs=(
        Input(
            "value", "Wanted value", "W", "resistance|capacitance|inductance|number",
            "a resistance, capacitance, inductance or plain number", "33.7 kohm", required=True,
        ),
        Input(
            "series", "Series", "", "choice", "the series in the drawer, or several joined by +", "E24",
            default="E24", choices=NAMES, resolve=read_series,
        ),
        Input(
            "rule", "Nearest by", "", "choice",
            "difference (the smallest error in percent of the wanted value) or ratio", "arithmetic",
            default="arithmetic", choices=("arithmetic", "ratio"),
        ),
    ),
    results=(
        ResultSpec("nearest", "Nearest", "number", "has the dimension of the wanted value"),
        ResultSpec("below", "At or below", "number", "has the dimension of the wanted value"),
        ResultSpec("above", "At or above", "number", "has the dimension of the wanted value"),
        ResultSpec("error", "Error of the nearest", "ratio"),
    ),
    example={"value": "33.7 kohm", "series": "E24"},
    function=work,
)  # fmt: skip
