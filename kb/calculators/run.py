"""Runs one calculator on what a person wrote.

The only place where a formula without a finite answer becomes advice; it must not swallow anything else.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from kb.calculators.base import Calculation, CalculationError, Calculator, InputProblem
from kb.calculators.reading import read
from kb.calculators.registry import CALCULATORS
from kb.formulas import FormulaError
from kb.problems import did_you_mean


def calculate(
    name: str, inputs: Mapping[str, str], calculators: Mapping[str, Calculator] = CALCULATORS
) -> Calculation:
    """The calculation `name` for `inputs`, each written as at the bench: `33k`, `10 ms`.

    Raises CalculationError with all the problems found; never returns a result that isn't finite.
    """
    if name not in calculators:
        raise CalculationError(
            InputProblem(None, f'there is no calculator "{name}"', did_you_mean(name, calculators))
        )
    return run(calculators[name], inputs)


def run(calculator: Calculator, inputs: Mapping[str, str]) -> Calculation:
    """As `calculate`, for a calculator in hand; the same question is worked out once in a process."""
    return _answered(_Question(calculator, inputs))


class _Question:
    """A calculator and what it is asked, to be looked up by.

    The calculator counts as itself, so that two of one name are never taken for each other.
    """

    def __init__(self, calculator: Calculator, inputs: Mapping[str, str]) -> None:
        self.calculator = calculator
        self.inputs = dict(inputs)
        self._key = (id(calculator), tuple(self.inputs.items()))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Question) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)


@lru_cache(maxsize=2048)
def _answered(question: _Question) -> Calculation:
    calculator, inputs = question.calculator, question.inputs
    given = read(calculator, inputs)
    try:
        worked = calculator.function(given)
    except FormulaError as error:
        advice = "check the values for a slipped prefix"
        raise CalculationError(InputProblem(None, str(error), advice)) from error
    return Calculation(
        calculator=calculator.name,
        title=calculator.title,
        inputs=given.shown() + worked.also_used,
        solved_for=given.solved_for,
        results=worked.results,
        formulas=worked.formulas,
        limits=worked.limits,
        notes=worked.notes,
        sources=worked.sources,
        tables=worked.tables,
        figure=worked.figure,
        plan=worked.plan,
    )
