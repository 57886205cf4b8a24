"""Results straight from a plan, so that a page that computes the plan again finds the same numbers.

Nothing is computed here but what the plan says, and no result gets a number from anywhere else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.base import (
    CalculationError,
    Calculator,
    InputProblem,
    Note,
    Result,
    ShownFormula,
)
from kb.calculators.plan import Plan, Step
from kb.calculators.reading import Given
from kb.calculators.tolerances import PartTolerance
from kb.calculators.working import Band, formula, result, shown


@dataclass(frozen=True)
class Outcome:
    """A plan with everything it evaluates to; `values` are in SI by name."""

    plan: Plan
    values: Mapping[str, float]

    def step(self, name: str) -> Step:
        """The step called `name`; KeyError when there is none."""
        return {step.name: step for step in self.plan.steps}[name]

    def band(self, name: str) -> Band:
        """The least and greatest value of a step; twice its value when it has no band."""
        value = self.values[name]
        return self.plan.band(self.step(name), self.values) or (value, value)

    def results(self, calculator: Calculator) -> tuple[Result, ...]:
        """Every step that has a key, in the order the calculator declares its results."""
        order = [spec.key for spec in calculator.results]
        found = [self._result(calculator, step, step.key) for step in self.plan.steps if step.key]
        return tuple(sorted(found, key=lambda item: order.index(item.key)))

    def _result(self, calculator: Calculator, step: Step, key: str) -> Result:
        band = self.plan.band(step, self.values)
        return result(calculator, key, self.values[step.name], band, step.dimension)

    def notes(self) -> tuple[Note, ...]:
        """The notes that hold for these numbers."""
        return self.plan.notes(self.values)

    def formula(self, label: str, name: str, left: str, symbols: Mapping[str, str]) -> ShownFormula:
        """How the step called `name` was computed, in symbols and with the numbers put in."""
        step = self.step(name)
        return formula(
            label, left, step.expression, symbols=symbols,
            numbers=self.numbers(), answer=shown(self.values[name], step.dimension),
        )  # fmt: skip

    def numbers(self) -> dict[str, str]:
        """Every value as a formula shows it; a constant has no unit of its own."""
        dimensions = {each.name: each.dimension for each in self.plan.variables}
        dimensions |= {step.name: step.dimension for step in self.plan.steps}
        return {
            name: shown(value, dimensions[name], 4) if name in dimensions else f"{value:.4g}"
            for name, value in self.values.items()
        }


def carry_out(plan: Plan) -> Outcome:
    """Evaluate `plan`; raises FormulaError where it has no finite value."""
    return Outcome(plan, plan.evaluate())


def tolerance_or_common(given: Given, key: str, common: str) -> PartTolerance:
    """A part's own tolerance, else that of the input `common`, which several parts share."""
    own = given.quantities.get(key)
    return given.tolerance(key if own is not None and own.has_tolerance else common)


def leave_something(given: Given, *keys: str) -> None:
    """Refuse a tolerance under which nothing is left of a part; raises CalculationError naming the input."""
    found = [key for key in keys if key in given.quantities and given.quantities[key].minus >= 1]
    if found:
        raise CalculationError(
            *(InputProblem(key, "the tolerance must stay below 100 %", "for example 5 %") for key in found)
        )
