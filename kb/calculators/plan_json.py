"""A plan as plain data with short keys, because it stands in the page of every calculation.

The script `plans.js` reads exactly what is written here. What is usual is left out:

    plan        v variables, k constants, q refusals, s steps, t tables, a steps after them, c conditions
    variable    [input, name, [dimensions]]
    step        n name, x expression, d dimension, k result, b band, s series, r rule, p pick, l lookup,
                q refusals, g "least" or "greatest" corner of the band
    band        x expression where it isn't the step's, o {name: "=input", "=input/shared" or [below, above]}
    comparison  [left, relation, right]
    condition   w comparisons, l "w" for a warning, t text, f fills, a input assumed, o words of choices
    refusal     w comparisons, i input, t what, h advice, f fills
    fill        [name, dimension, digits, rounds up] or {t title of the table, w comparisons}
    table       t title, s steps, c {column: fill}, r rows [label, values, steps], i index, e last,
                f reductions
    reduction   n name, k kind, o of, b by, w comparisons
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from kb.calculators.plan_tables import PlanTable, Reduction, Row
from kb.calculators.plan_words import ALWAYS, Comparison, Fill, Refusal, Shown
from kb.calculators.tolerances import PartTolerance
from kb.formulas import Expression

if TYPE_CHECKING:
    from kb.calculators.plan import Band, Condition, Plan, Step, Variable

Data = dict[str, Any]


def plan_json(plan: Plan) -> Data:
    """`plan` as described above."""
    own = {each.name: each for each in plan.variables}
    return _without_usual({
        "v": [[each.key, each.name, [each.dimension, *each.also]] for each in plan.variables],
        "k": {name: _short(value) for name, value in plan.constants.items()},
        "q": [_refusal(each) for each in plan.refusals],
        "s": [_step(each, own) for each in plan.steps],
        "t": [_table(each, own) for each in plan.tables],
        "a": [_step(each, own) for each in plan.after],
        "c": [_condition(each) for each in plan.conditions],
    })  # fmt: skip


def _without_usual(data: Data) -> Data:
    """Without what is empty; a reader takes it as empty."""
    return {key: value for key, value in data.items() if value not in (None, "", [], {}, ())}


def _short(value: Any) -> Any:
    """A whole number without its point; lists throughout."""
    if isinstance(value, list):
        return [_short(each) for each in value]
    return int(value) if isinstance(value, float) and value.is_integer() and abs(value) < 1e15 else value


def _expression(expression: Expression) -> Any:
    return _short(expression.to_json())


def _comparisons(comparisons: Iterable[Comparison]) -> list[Any]:
    return [
        [_expression(each.left), each.relation, _expression(each.right)]
        for each in comparisons
        if each != ALWAYS
    ]


def _step(step: Step, own: Mapping[str, Variable]) -> Data:
    lookup = step.lookup
    return _without_usual({
        "n": step.name,
        "x": _expression(step.expression),
        "d": step.dimension,
        "k": step.key,
        "b": _band(step.band, step.expression, own) if step.band else None,
        "s": step.series,
        "r": step.rule if step.series and step.rule != "arithmetic" else None,
        "p": step.pick if step.series and step.pick != "nearest" else None,
        "l": [lookup.rule, [[_short(at), _short(value)] for at, value in lookup.entries]] if lookup else None,
        "q": [_refusal(each) for each in step.refusals],
        "g": step.corner,
    })  # fmt: skip


def _band(band: Band, expression: Expression, own: Mapping[str, Variable]) -> Data:
    over = {name: _spread(name, spread, own) for name, spread in band.over.items()}
    written = None if band.expression == expression else _expression(band.expression)
    return _without_usual({"x": written, "o": over})


def _spread(name: str, spread: tuple[float | str, float | str], own: Mapping[str, Variable]) -> Any:
    """The input whose tolerance it is, where that is known; else the two amounts."""
    if isinstance(spread, PartTolerance):
        return spread.source
    variable = own.get(name)
    if variable is not None and tuple(spread) == (variable.minus, variable.plus):
        return f"={variable.key}"
    return [_short(part) for part in spread]


def _condition(condition: Condition) -> Data:
    return _without_usual({
        "w": _comparisons(condition.comparisons),
        "l": "w" if condition.note.level == "warning" else None,
        "t": condition.note.text,
        "f": _fills(condition.fills),
        "a": condition.assumed,
        "o": {key: list(words) for key, words in condition.words.items()},
    })  # fmt: skip


def _refusal(refusal: Refusal) -> Data:
    return _without_usual({
        "w": _comparisons(refusal.when), "i": refusal.input, "t": refusal.what, "h": refusal.advice,
        "f": _fills(refusal.fills),
    })  # fmt: skip


def _fills(fills: Mapping[str, Fill]) -> Data:
    return {name: _fill(fill) for name, fill in fills.items()}


def _fill(fill: Fill) -> Any:
    if isinstance(fill, Shown):
        return [fill.name, fill.dimension, fill.digits, *([1] if fill.rounds_up else [])]
    return {"t": fill.table, "w": _comparisons(fill.where)}


def _table(table: PlanTable, own: Mapping[str, Variable]) -> Data:
    return _without_usual({
        "t": table.title,
        "s": [_step(each, own) for each in table.steps],
        "c": {key: _fill(shown) for key, shown in table.cells.items()},
        "r": [_row(row, own) for row in table.rows],
        "i": table.index,
        "e": _expression(table.last) if table.last else None,
        "f": [_reduction(each) for each in table.reductions],
    })  # fmt: skip


def _row(row: Row, own: Mapping[str, Variable]) -> list[Any]:
    values = {name: _short(value) for name, value in row.values.items()}
    return [row.label, values, *([[_step(each, own) for each in row.steps]] if row.steps else [])]


def _reduction(reduction: Reduction) -> Data:
    return _without_usual({
        "n": reduction.name, "k": reduction.kind, "o": reduction.of, "b": reduction.by,
        "w": _comparisons(reduction.where),
    })  # fmt: skip
