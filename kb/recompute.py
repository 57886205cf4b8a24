"""Recomputed values: what a record's calculations give, and whether the values beside them agree.

A value in a record was right on the day it was written. Here it is computed again from the inputs
written next to it, and a difference beyond its tolerance becomes a disagreement that pages show and
`halfsplit check` reports.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from kb.calculators import CALCULATORS, Calculation, CalculationError, Calculator, Result, calculate
from kb.calculators.run import run
from kb.calculators.sweep import sweep
from kb.problems import Problem, did_you_mean
from kb.quantities import Quantity, QuantityError, parse_quantity
from kb.reading import Located
from kb.reading.located import Step
from kb.records import CalculationText, ChangedValue, Written

USUAL_TOLERANCE = 0.05

Calculators = Mapping[str, Calculator]
"""The calculators by name: those of halfsplit, and the shop's own."""


@dataclass(frozen=True)
class Computed:
    """One calculation of a record: its outcome, or None with the problems of its inputs."""

    calculation: Calculation | None
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class Comparison:
    """A recorded value held against its calculation.

    `expected` is what the calculation asks for (None where it only shows what the value gives),
    `was_gives` and `now_gives` are the main result with the value before and after.
    `difference` and `allowed` are fractions of the expected value.
    """

    value: ChangedValue
    calculation: Calculation
    stands_for: str
    expected: Result | None
    was_gives: Result | None
    now_gives: Result | None
    difference: float | None = None
    allowed: float = USUAL_TOLERANCE

    @property
    def agrees(self) -> bool:
        """Whether the value lies within its tolerance of what is computed."""
        return self.difference is None or abs(self.difference) <= self.allowed * (1 + 1e-9)

    @property
    def is_disagreement(self) -> bool:
        """Whether somebody must look at it: it disagrees and nobody wrote why that is right."""
        return not self.agrees and self.value.accepted_because is None


def compute(
    record: Located[Written],
    path: tuple[Step, ...],
    written: CalculationText,
    calculators: Calculators = CALCULATORS,
) -> Computed:
    """The calculation written at `path` of a record, its problems placed at the inputs they are about."""
    try:
        return Computed(work_out(written, calculators))
    except CalculationError as error:
        return Computed(None, tuple(
            record.problem(_place_of(each.input, path, written), each.what, each.advice)
            for each in error.problems
        ))  # fmt: skip


def _place_of(key: str | None, path: tuple[Step, ...], written: CalculationText) -> tuple[Step, ...]:
    if key is None:
        return path
    return (*path, "sweep" if written.sweep and key in written.sweep else "inputs", key)


def work_out(written: CalculationText, calculators: Calculators = CALCULATORS) -> Calculation:
    """The calculation as written, swept where it asks for that; raises CalculationError."""
    if written.sweep and written.name in calculators:
        return sweep(calculators[written.name], written.inputs, written.sweep)
    return calculate(written.name, written.inputs, calculators)


def compare(
    record: Located[Written],
    path: tuple[Step, ...],
    value: ChangedValue,
    calculators: Calculators = CALCULATORS,
) -> tuple[Comparison | None, tuple[Problem, ...]]:
    """The comparison of one changed value that has a calculation, or the problems that prevent it."""
    written = value.calculation
    if written is None:
        return None, ()
    calculator = calculators.get(written.name)
    if calculator and value.stands_for and _is_filled_in(calculator, written.inputs, value.stands_for):
        return _show_what_it_gives(record, path, value, written, value.stands_for, calculators)
    computed = compute(record, (*path, "calculation"), written, calculators)
    if computed.calculation is None or calculator is None:
        return None, computed.problems
    key = value.stands_for or computed.calculation.solved_for
    expected = _result(computed.calculation, key)
    if key is None or expected is None or not isinstance(expected.value, int | float):
        return None, (_what_it_stands_for(record, path, value, computed.calculation),)
    try:
        now = parse_quantity(value.now, expected.dimension)
    except QuantityError as error:
        return None, (record.problem((*path, "now"), error.what, error.advice),)
    comparison = Comparison(
        value,
        computed.calculation,
        key,
        expected,
        _main_result(calculator, written.inputs, key, value.was),
        _main_result(calculator, written.inputs, key, value.now),
        _difference(now.value, expected.value),
        _allowed(value, now),
    )
    return comparison, ()


def disagreement(record: Located[Written], path: tuple[Step, ...], comparison: Comparison) -> Problem | None:
    """The line for `halfsplit check` about a value that disagrees with its calculation."""
    if not comparison.is_disagreement or comparison.expected is None or comparison.difference is None:
        return None
    far = "" if math.isinf(comparison.difference) else f"{abs(comparison.difference):.0%} "
    what = (
        f'"{comparison.value.now}" is {far}'
        f"{'above' if comparison.difference > 0 else 'below'} the computed {comparison.expected.shown}"
    )
    advice = f"allowed is {comparison.allowed:.0%}; correct it, or write within: or accepted_because:"
    return record.problem((*path, "now"), what, advice)


def _is_filled_in(calculator: Calculator, inputs: Mapping[str, str], key: str) -> bool:
    """Whether the value is an input that the calculation leaves open and cannot solve for."""
    if key in inputs or key not in {each.key for each in calculator.inputs}:
        return False
    others = [each for each in calculator.solve_group if each != key]
    return key not in calculator.solve_group or not all(each in inputs for each in others)


def _show_what_it_gives(
    record: Located[Written],
    path: tuple[Step, ...],
    value: ChangedValue,
    written: CalculationText,
    key: str,
    calculators: Calculators,
) -> tuple[Comparison | None, tuple[Problem, ...]]:
    filled = CalculationText(name=written.name, inputs={**written.inputs, key: value.now})
    computed = compute(record, (*path, "calculation"), filled, calculators)
    if computed.calculation is None:
        return None, computed.problems
    main = computed.calculation.results[0] if computed.calculation.results else None
    solved = _result(computed.calculation, computed.calculation.solved_for) or main
    was = None
    if value.was and solved:
        was = _try(calculators[written.name], {**written.inputs, key: value.was}, solved.key)
    return Comparison(value, computed.calculation, key, None, was, solved), ()


def _main_result(
    calculator: Calculator, inputs: Mapping[str, str], key: str, text: str | None
) -> Result | None:
    """What the circuit gives with `text` in the place that was solved for.

    The last given member of the solved group is what the circuit is for: the pulse of a one-shot.
    """
    group = calculator.solve_group
    given = [each for each in group if each in inputs]
    if text is None or key not in group or key in inputs or not given:
        return None
    wanted = given[-1]
    rest = {name: written for name, written in inputs.items() if name != wanted}
    return _try(calculator, {**rest, key: text}, wanted)


def _try(calculator: Calculator, inputs: Mapping[str, str], key: str) -> Result | None:
    """One result, or None where the recorded text is words, such as "not fitted"."""
    try:
        return _result(run(calculator, inputs), key)
    except CalculationError:
        return None


def _result(calculation: Calculation, key: str | None) -> Result | None:
    return next((result for result in calculation.results if result.key == key), None)


def _difference(now: float, expected: float) -> float:
    """How far `now` is from what is computed, as a fraction of it; of nothing, anything is endlessly far."""
    if expected:
        return now / expected - 1
    return math.copysign(math.inf, now) if now else 0.0


def _allowed(value: ChangedValue, now: Quantity) -> float:
    if value.within is not None:
        return float(value.within.value)
    return max(now.minus, now.plus) if now.has_tolerance else USUAL_TOLERANCE


def _what_it_stands_for(
    record: Located[Written], path: tuple[Step, ...], value: ChangedValue, calculation: Calculation
) -> Problem:
    known = [result.key for result in calculation.results if isinstance(result.value, int | float)]
    if value.stands_for is None:
        what = f'it is not said which result of {calculation.calculator} "{value.now[:40]}" is'
        return record.problem(path, what, f"write stands_for: one of {', '.join(known)}")
    what = f'{calculation.calculator} gives no "{value.stands_for}"'
    return record.problem((*path, "stands_for"), what, did_you_mean(value.stands_for, known))
