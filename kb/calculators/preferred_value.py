"""The preferred value nearest to a computed one: which part to take out of the drawer."""

from __future__ import annotations

from typing import cast

from kb.calculators.base import Calculator, Column, Input, ResultSpec, Source, Worked
from kb.calculators.plan import Comparison, Condition, Plan, PlanTable, Shown, Step, Variable
from kb.calculators.plan_tables import Row
from kb.calculators.reading import Given
from kb.calculators.series import NAMES, Rule, read_series
from kb.calculators.working import formula, planned, shown, shown_table
from kb.formulas import Expression

WANTED = Expression("W")
ERROR = Expression("(N - W) / W")
COARSE = "most E24 values are not in this series; write E24+E96 when the drawer holds both"

SOURCES = (
    Source(
        "IEC 60063:2015 (as tabulated by public E-series tables)", "computed from the rule, seen in source"
    ),
)


def work(given: Given) -> Worked:
    """Find the neighbours in the asked series, and in every other for comparison."""
    wanted = given.quantities["value"]
    plan = plan_of(given)
    values = plan.evaluate()
    numbers = {"N": shown(values["N"], wanted.dimension), "W": wanted.shown}
    answer = shown(values["e"], "ratio")
    return Worked(
        results=planned(CALCULATOR, plan, values),
        formulas=(formula("Error", "e", ERROR, symbols={}, numbers=numbers, answer=answer),),
        limits=("The series repeats in every decade.",),
        notes=plan.notes(values),
        sources=SOURCES,
        tables=(shown_table(plan.tables[0], _columns(wanted.dimension), values),),
        plan=plan,
    )


def plan_of(given: Given) -> Plan:
    """The calculation as data: the same expression in the asked series and in every other."""
    wanted = given.quantities["value"]
    rule = cast("Rule", given.word("rule"))
    series = given.word("series")
    other: Rule = "ratio" if rule == "arithmetic" else "arithmetic"
    kind = wanted.dimension
    return Plan(
        variables=(Variable("value", "W", kind, wanted.value, wanted.minus, wanted.plus),),
        steps=(
            Step("N", WANTED, kind, "nearest", series=series, rule=rule),
            Step("below", WANTED, kind, "below", series=series, pick="below"),
            Step("above", WANTED, kind, "above", series=series, pick="above"),
            Step("e", ERROR, "ratio", "error"),
            Step("N_other", WANTED, kind, series=series, rule=other),
        ),
        tables=(_table(kind, rule),),
        conditions=(
            Condition.whenever(
                "note", f"close to the middle of a gap: the {other} rule picks the other neighbour",
                Comparison.read("abs(N_other - N) > 0"),
            ),
            Condition.whenever("note", COARSE, words={"series": ("E48", "E96", "E192")}),
        ),
        words={"series": series},
    )  # fmt: skip


def _table(kind: str, rule: Rule) -> PlanTable:
    return PlanTable(
        title="Nearest value in each series",
        steps=(Step("e", ERROR, "ratio"),),
        cells={"nearest": Shown("N", kind), "error": Shown("e", "ratio")},
        rows=tuple(Row(name, {}, (Step("N", WANTED, kind, series=name, rule=rule),)) for name in NAMES),
    )


def _columns(kind: str) -> tuple[Column, ...]:
    return (
        Column("series", "Series", "text"), Column("nearest", "Nearest", kind),
        Column("error", "Error", "ratio"),
    )  # fmt: skip


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
