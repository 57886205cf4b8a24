"""Calculators that a shop writes in YAML: the same declarations and plans as our own, from text.

A formula is read by `kb.formulas` and nothing else, so it can neither name nor call anything beyond
arithmetic, and it cannot run long. Its units are checked when the record is read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.base import Calculator, Input, Note, ResultSpec, Source, Worked
from kb.calculators.plan import Band, Comparison, Condition, Plan, Step, Variable
from kb.calculators.planned import carry_out
from kb.calculators.reading import Given
from kb.formulas import Expression, FormulaError
from kb.problems import Problem, did_you_mean
from kb.quantities import QuantityError, parse_quantity
from kb.reading import Located
from kb.records import OwnCalculator

STATUS = "written down by the shop"


@dataclass(frozen=True)
class _Parsed:
    """The formulas and comparisons of one record, each by its place in the list."""

    formulas: tuple[Expression, ...]
    comparisons: tuple[Comparison, ...]


def own_calculators(
    records: Mapping[str, Located[OwnCalculator]], known: Mapping[str, Calculator]
) -> tuple[dict[str, Calculator], tuple[Problem, ...]]:
    """`known` and the calculators that can be made of `records`, with the problems of those that can't."""
    found, problems = dict(known), []
    for name, located in records.items():
        if name in known:
            problems.append(
                located.problem((), f'"{name}" is a calculator already', "give the file another name")
            )
            continue
        parsed, amiss = _parse(located)
        problems.extend(amiss)
        if not amiss:
            found[name] = _calculator(name, located.record, parsed)
    return found, tuple(problems)


def _parse(located: Located[OwnCalculator]) -> tuple[_Parsed, list[Problem]]:
    record, problems = located.record, _repeated(located)
    dimensions: dict[str, str] = {}
    for number, given in enumerate(record.inputs):
        dimensions[given.symbol] = given.dimension
        for key in ("example", "default"):
            text = getattr(given, key)
            try:
                if text is not None:
                    parse_quantity(text, given.dimension)
            except QuantityError as error:
                problems.append(located.problem(("inputs", number, key), error.what, error.advice))
    formulas = []
    for number, wanted in enumerate(record.results):
        formula = _formula(located, number, dimensions, problems)
        if formula is not None:
            formulas.append(formula)
        dimensions[wanted.symbol] = wanted.dimension
    comparisons = [
        comparison
        for number in range(len(record.warnings))
        if (comparison := _comparison(located, number, dimensions, problems)) is not None
    ]
    return _Parsed(tuple(formulas), tuple(comparisons)), problems


def _repeated(located: Located[OwnCalculator]) -> list[Problem]:
    """An id or a symbol that stands for two things."""
    problems = []
    seen: dict[tuple[str, str], str] = {}
    for key, items in (("inputs", located.record.inputs), ("results", located.record.results)):
        for number, item in enumerate(items):
            for field in ("id", "symbol"):
                name = getattr(item, field)
                if (field, name) in seen:
                    what = f'the {field} "{name}" stands for two things'
                    problems.append(located.problem((key, number, field), what, "give one another name"))
                seen[field, name] = key
    return problems


def _formula(
    located: Located[OwnCalculator], number: int, dimensions: Mapping[str, str], problems: list[Problem]
) -> Expression | None:
    wanted = located.record.results[number]
    path = ("results", number, "formula")
    expression = _expression(located, path, wanted.formula, dimensions, problems)
    if expression is None:
        return None
    try:
        fits = expression.has_dimension(wanted.dimension, dimensions)
        found = str(expression.dimension(dimensions))
    except FormulaError as error:
        problems.append(located.problem(path, str(error), "check the units of each name"))
        return None
    if not fits:
        what = f"the formula gives {found}, not a {wanted.dimension}"
        problems.append(located.problem(path, what, "check the formula, or the dimension of the result"))
        return None
    return expression


def _expression(
    located: Located[OwnCalculator],
    path: tuple[str | int, ...],
    text: str,
    dimensions: Mapping[str, str],
    problems: list[Problem],
) -> Expression | None:
    try:
        expression = Expression(text)
    except FormulaError as error:
        problems.append(located.problem(path, str(error), "write arithmetic, such as R * C * ln(2)"))
        return None
    for name in expression.names:
        if name not in dimensions:
            what = f'"{name}" is no input and no earlier result'
            problems.append(located.problem(path, what, did_you_mean(name, dimensions)))
            return None
    return expression


def _comparison(
    located: Located[OwnCalculator], number: int, dimensions: Mapping[str, str], problems: list[Problem]
) -> Comparison | None:
    path, text = ("warnings", number, "when"), located.record.warnings[number].when
    try:
        comparison = Comparison.read(text)
    except (ValueError, FormulaError):
        problems.append(
            located.problem(path, f'"{text[:40]}" is no comparison', "write one such as P > 0.25")
        )
        return None
    for side in (comparison.left, comparison.right):
        if _expression(located, path, side.text, dimensions, problems) is None:
            return None
    return comparison


def _calculator(name: str, record: OwnCalculator, parsed: _Parsed) -> Calculator:
    calculator = Calculator(
        name=name,
        title=record.title,
        summary=record.summary,
        inputs=tuple(
            Input(each.id, each.label, each.symbol, each.dimension, each.help or each.label, each.example,
                  required=each.default is None, default=each.default, positive=False)
            for each in record.inputs
        ),
        results=tuple(ResultSpec(each.id, each.label, each.dimension) for each in record.results),
        example={each.id: each.example for each in record.inputs},
        function=lambda given: _work(calculator, record, parsed, given),
    )  # fmt: skip
    return calculator


def _work(calculator: Calculator, record: OwnCalculator, parsed: _Parsed, given: Given) -> Worked:
    outcome = carry_out(_plan(record, parsed, given))
    names = [*(each.symbol for each in record.inputs), *(each.symbol for each in record.results)]
    symbols = {name: name for name in names}
    return Worked(
        results=outcome.results(calculator),
        formulas=tuple(
            outcome.formula(each.label, each.symbol, each.symbol, symbols) for each in record.results
        ),
        limits=record.limits,
        notes=outcome.notes(),
        sources=tuple(Source(text, STATUS) for text in record.sources),
        plan=outcome.plan,
    )


def _plan(record: OwnCalculator, parsed: _Parsed, given: Given) -> Plan:
    over = {each.symbol: given.tolerance(each.id) for each in record.inputs}
    spread = {name: fractions for name, fractions in over.items() if any(fractions)}
    return Plan(
        variables=tuple(
            Variable(
                each.id, each.symbol, each.dimension, given.value(each.id), *over[each.symbol], positive=False
            )
            for each in record.inputs
        ),
        steps=tuple(_steps(record, parsed, spread)),
        conditions=tuple(
            Condition(each.left, each.relation, each.right, Note("warning", warning.say))
            for each, warning in zip(parsed.comparisons, record.warnings, strict=True)
        ),
    )


def _steps(
    record: OwnCalculator, parsed: _Parsed, spread: Mapping[str, tuple[float | str, float | str]]
) -> list[Step]:
    """A step for each result. A band is worked out where the formula rests on inputs alone."""
    inputs = {each.symbol for each in record.inputs}
    steps = []
    for wanted, expression in zip(record.results, parsed.formulas, strict=True):
        names = set(expression.names)
        has_band = names <= inputs and names & set(spread) and wanted.series is None
        band = Band(expression, {name: spread[name] for name in names & set(spread)}) if has_band else None
        steps.append(Step(wanted.symbol, expression, wanted.dimension, wanted.id, band, series=wanted.series))
    return steps
