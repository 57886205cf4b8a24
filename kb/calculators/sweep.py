"""One calculation over a range of one input: a table of what each value gives, and the curve.

`10k, 22k, 47k` are the values themselves; `10k to 100k` takes eleven of them, `10k to 100k in 5 steps`
six. A range that spans more than a factor of twenty is stepped by ratio, as parts are made.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from kb.calculators.base import (
    Calculation,
    CalculationError,
    Calculator,
    Cell,
    Column,
    Input,
    InputProblem,
    Result,
    Table,
)
from kb.calculators.run import run
from kb.figures.spec import Axis, FigureSpec, Series
from kb.problems import did_you_mean
from kb.quantities import Quantity, QuantityError, parse_any_quantity, parse_quantity, unit_of

USUAL_STEPS = 10
MOST_STEPS = 100
BY_RATIO = 20.0

_RANGE = re.compile(r"(?P<low>.+?)\s+to\s+(?P<high>.+?)(?:\s+in\s+(?P<steps>[0-9]{1,4})\s+steps?)?\Z")


@dataclass(frozen=True)
class _Point:
    text: str
    shown: str
    value: float


def sweep(calculator: Calculator, inputs: Mapping[str, str], over: Mapping[str, str]) -> Calculation:
    """The table and the figure of the calculation over every value of the sweep, in place of one result.

    `over` names one input with its values or range. Raises CalculationError for a bad range, and where not
    one of the values can be calculated with; a value that cannot is shown as a dash.
    """
    if len(over) != 1:
        raise CalculationError(
            InputProblem(None, "a sweep goes over one input", "name one, such as resistor")
        )
    ((key, text),) = over.items()
    points = _points(_input(calculator, inputs, key), text)
    outcomes = [_try(calculator, {**inputs, key: point.text}) for point in points]
    pairs = zip(points, outcomes, strict=True)
    done = [(point, each) for point, each in pairs if isinstance(each, Calculation)]
    if not done:
        raise next(each for each in outcomes if isinstance(each, CalculationError))
    first = done[0][1]
    return replace(
        first,
        inputs=tuple(
            replace(each, text=text, shown=text) if each.key == key else each for each in first.inputs
        ),
        results=(),
        formulas=tuple(replace(each, with_numbers="") for each in first.formulas),
        # What is said of one value and not of another would mislead beside a table of all.
        notes=tuple(note for note in first.notes if all(note in each.notes for _, each in done)),
        tables=(),
        sweep=_table(calculator, key, points, outcomes),
        figure=_figure(calculator, key, done),
        plan=None,
    )


def _input(calculator: Calculator, inputs: Mapping[str, str], key: str) -> Input:
    known = {each.key: each for each in calculator.inputs}
    if key not in known:
        raise CalculationError(
            InputProblem(None, f'there is no input "{key}" to sweep', did_you_mean(key, known))
        )
    if key in inputs:
        raise CalculationError(InputProblem(key, "is given and swept", "leave one of the two out"))
    if known[key].dimension in ("choice", "text", "tolerance"):
        raise CalculationError(InputProblem(key, "is a word, not a quantity", "sweep a quantity"))
    return known[key]


def _points(wanted: Input, text: str) -> list[_Point]:
    match = _RANGE.match(text.strip())
    if match is None:
        return [_point(wanted, each.strip()) for each in text.split(",")][: MOST_STEPS + 1]
    low, high = _point(wanted, match["low"]), _point(wanted, match["high"])
    steps = int(match["steps"] or USUAL_STEPS)
    if not 1 <= steps <= MOST_STEPS:
        raise CalculationError(InputProblem(wanted.key, f"{steps} steps", f"take 1 to {MOST_STEPS}"))
    if low.value >= high.value:
        raise CalculationError(
            InputProblem(wanted.key, f'"{text[:40]}" goes down', "write the smaller end first")
        )
    if wanted.dimension == "integer":
        return _whole_points(wanted, low, high, steps)
    return [_at(wanted, low, high, step / steps) for step in range(steps + 1)]


def _whole_points(wanted: Input, low: _Point, high: _Point, steps: int) -> list[_Point]:
    span = int(high.value - low.value)
    stride = max(1, -(-span // steps))
    return [_point(wanted, str(value)) for value in range(int(low.value), int(high.value) + 1, stride)]


def _at(wanted: Input, low: _Point, high: _Point, part: float) -> _Point:
    if part in (0.0, 1.0):
        return high if part else low
    if low.value > 0 and high.value / low.value > BY_RATIO:
        value = low.value * (high.value / low.value) ** part
    else:
        value = low.value + (high.value - low.value) * part
    dimension = _read(wanted, low.text).dimension
    # Four digits are what a person would set; more would only fill the table.
    value = float(f"{value:.4g}")
    unit = unit_of(dimension)
    return _point(wanted, f"{value:.12g}" + ("" if unit == "1" else f" {unit}"))


def _point(wanted: Input, text: str) -> _Point:
    if wanted.dimension == "integer":
        if not re.fullmatch(r"[0-9]{1,9}", text):
            raise CalculationError(
                InputProblem(wanted.key, f'"{text[:40]}" is not a whole number', "write digits")
            )
        return _Point(text, text, float(text))
    quantity = _read(wanted, text)
    return _Point(text, quantity.shown, quantity.value)


def _read(wanted: Input, text: str) -> Quantity:
    try:
        if "|" not in wanted.dimension:
            return parse_quantity(text, wanted.dimension)
        return parse_any_quantity(text)
    except QuantityError as error:
        raise CalculationError(InputProblem(wanted.key, error.what, error.advice)) from None


def _try(calculator: Calculator, inputs: Mapping[str, str]) -> Calculation | CalculationError:
    try:
        return run(calculator, inputs)
    except CalculationError as error:
        return error


def _table(
    calculator: Calculator, key: str, points: list[_Point], outcomes: list[Calculation | CalculationError]
) -> Table:
    first = next(each for each in outcomes if isinstance(each, Calculation))
    results = [each for each in first.results if each.key != key]
    columns = (
        Column(key, calculator.input(key).label, calculator.input(key).dimension),
        *(Column(each.key, each.label, each.dimension) for each in results),
    )
    rows = []
    for point, outcome in zip(points, outcomes, strict=True):
        found = {each.key: each for each in outcome.results} if isinstance(outcome, Calculation) else {}
        cells = (_cell(found.get(column.key)) for column in columns[1:])
        rows.append((Cell(point.value, point.shown), *cells))
    return Table(f"Over the {calculator.input(key).label.lower()}", columns, tuple(rows))


def _cell(result: Result | None) -> Cell:
    return Cell(None, "–") if result is None else Cell(result.value, result.shown)


def _figure(calculator: Calculator, key: str, done: list[tuple[_Point, Calculation]]) -> FigureSpec | None:
    """The curve of what the calculation is for: what was solved for, or else its first other result."""
    first = done[0][1]
    candidates = [each for each in first.results if each.key != key and isinstance(each.value, int | float)]
    if len(done) < 2 or not candidates:
        return None
    main = next((each for each in candidates if each.key == first.solved_for), candidates[0])
    xs = tuple(point.value for point, _ in done)
    series = [Series(main.label, xs, tuple(float(each.result(main.key).value) for _, each in done))]
    bands = [each.result(main.key) for _, each in done]
    if all(each.low is not None and each.high is not None for each in bands):
        series.append(Series("least", xs, tuple(float(each.low or 0) for each in bands)))
        series.append(Series("greatest", xs, tuple(float(each.high or 0) for each in bands)))
    label = calculator.input(key).label
    is_log = min(xs) > 0 and max(xs) / min(xs) > BY_RATIO
    dimension = calculator.input(key).dimension
    return FigureSpec(
        title=f"{main.label} over the {label.lower()}",
        description=f"{main.label} from {done[0][1].result(main.key).shown} at {done[0][0].shown} to "
        f"{done[-1][1].result(main.key).shown} at {done[-1][0].shown}.",
        x=Axis(label, "number" if dimension == "integer" or "|" in dimension else dimension, is_log=is_log),
        y=Axis(main.label, "number" if main.dimension == "integer" else main.dimension),
        series=tuple(series),
    )
