"""Results straight from a plan, so that a page that computes the plan again finds the same numbers.

Nothing is computed here but what the plan says, and no result gets a number from anywhere else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators.base import Calculator, Note, Result, ShownFormula
from kb.calculators.plan import Band, Comparison, Plan, Refusal, Step
from kb.calculators.reading import Given
from kb.calculators.tolerances import PartTolerance
from kb.calculators.working import Band as Ends
from kb.calculators.working import formula, result, shown
from kb.formulas import Expression


@dataclass(frozen=True)
class Outcome:
    """A plan with everything it evaluates to; `values` are in SI by name."""

    plan: Plan
    values: Mapping[str, float]

    def step(self, name: str) -> Step:
        """The step called `name`; KeyError when there is none."""
        return {step.name: step for step in self.plan.steps}[name]

    def band(self, name: str) -> Ends:
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


UNITY = {"unity": 1.0}
"""The constant that `tolerance_input` needs in its plan."""


def tolerance_input(given: Given, key: str, letter: str) -> tuple[Step, ...]:
    """The fractions `{letter}_m` and `{letter}_p` of a tolerance input; refuses one that leaves nothing."""
    whole = Expression("unity")
    band = Band(whole, {"unity": given.tolerance(key)})
    nothing_left = Comparison(Expression(f"{letter}_l"), "<=", Expression("0"))
    refusal = Refusal((nothing_left,), key, "the tolerance must stay below 100 %", "for example 5 %")
    return (
        Step(f"{letter}_l", whole, "number", band=band, corner="least", refusals=(refusal,)),
        Step(f"{letter}_h", whole, "number", band=band, corner="greatest"),
        Step(f"{letter}_m", Expression(f"1 - {letter}_l"), "ratio"),
        Step(f"{letter}_p", Expression(f"{letter}_h - 1"), "ratio"),
    )


def part_tolerance(
    own: PartTolerance, name: str, letter: str, dimension: str, common: str = ""
) -> tuple[Step, ...]:
    """The fractions `{letter}_m` and `{letter}_p` of the part `name`, found by moving it to its ends.

    With `common` they are those of the tolerance input of that letter as long as the part states none.
    """
    part = Expression(name)
    low, high, states = f"{name}l", f"{name}h", f"{letter}_o"
    ends = Band(part, {name: own})
    found = [
        Step(low, part, dimension, band=ends, corner="least"),
        Step(high, part, dimension, band=ends, corner="greatest"),
    ]
    below, above = f"1 - {low} / {name}", f"{high} / {name} - 1"
    if common:
        # 1 as soon as the part states a tolerance, however small, and else 0
        found.append(Step(states, Expression(f"min(1, 1e12 * ({high} - {low}) / {name})"), "number"))
        below = f"{states} * ({below}) + (1 - {states}) * {common}_m"
        above = f"{states} * ({above}) + (1 - {states}) * {common}_p"
    found += [
        Step(f"{letter}_m", Expression(below), "ratio"), Step(f"{letter}_p", Expression(above), "ratio")
    ]  # fmt: skip
    return tuple(found)
