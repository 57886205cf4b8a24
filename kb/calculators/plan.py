"""A calculation as data: what is computed from what, so that a page can compute it again.

The formulas stand in one place. Python evaluates a plan for the page and the command line, the script
`calculation.js` evaluates the same plan when somebody changes an input; neither knows a formula of its
own. A plan holds no words that a result could contradict: notes that depend on numbers are conditions.
"""

from __future__ import annotations

import itertools
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from kb.calculators.base import Note
from kb.calculators.series import members, neighbours
from kb.formulas import Expression

Relation = Literal["<", "<=", ">", ">="]
_RELATIONS: dict[str, Callable[[float, float], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}


@dataclass(frozen=True)
class Variable:
    """An input that may be changed: the name formulas use, its SI value and relative tolerance."""

    key: str
    name: str
    dimension: str
    value: float
    minus: float = 0.0
    plus: float = 0.0
    positive: bool = True


@dataclass(frozen=True)
class Band:
    """How a step spreads: `expression` at every corner of the names in `over`.

    `over` gives for each name how far below and above its value it may lie, as fractions.
    """

    expression: Expression
    over: Mapping[str, tuple[float, float]]


@dataclass(frozen=True)
class Step:
    """One value worked out from those before it; with a `key` it is a result of the calculation.

    With `series` the expression's value is replaced by the nearest preferred value of that series.
    """

    name: str
    expression: Expression
    dimension: str
    key: str | None = None
    band: Band | None = None
    series: str | None = None
    rule: Literal["arithmetic", "ratio"] = "arithmetic"


@dataclass(frozen=True)
class Condition:
    """A note that holds while `left` stands in `relation` to `right`."""

    left: Expression
    relation: Relation
    right: Expression
    note: Note


@dataclass(frozen=True)
class Plan:
    """Variables and constants, the steps in order, and the notes that depend on the numbers."""

    variables: tuple[Variable, ...]
    steps: tuple[Step, ...]
    constants: Mapping[str, float] = field(default_factory=dict)
    conditions: tuple[Condition, ...] = ()

    def evaluate(self) -> dict[str, float]:
        """Every name's value in SI; raises FormulaError where there is none."""
        values = {**self.constants, **{each.name: each.value for each in self.variables}}
        for step in self.steps:
            value = step.expression.evaluate(values)
            values[step.name] = neighbours(value, step.series, step.rule).nearest if step.series else value
        return values

    def band(self, step: Step, values: Mapping[str, float]) -> tuple[float, float] | None:
        """The least and greatest value of a step, given the values `evaluate` found."""
        return corners_of(step.band, values) if step.band else None

    def notes(self, values: Mapping[str, float]) -> tuple[Note, ...]:
        """The notes whose condition holds."""
        return tuple(
            each.note
            for each in self.conditions
            if _RELATIONS[each.relation](each.left.evaluate(values), each.right.evaluate(values))
        )

    def as_json(self) -> dict[str, Any]:
        """The plan for the browser: plain lists, mappings, numbers and texts."""
        return {
            "variables": [
                {"key": each.key, "name": each.name, "dimension": each.dimension, "value": each.value,
                 "minus": each.minus, "plus": each.plus, "positive": each.positive}
                for each in self.variables
            ],
            "constants": dict(self.constants),
            "steps": [_step_json(step) for step in self.steps],
            "conditions": [
                {"left": each.left.to_json(), "relation": each.relation, "right": each.right.to_json(),
                 "level": each.note.level, "text": each.note.text}
                for each in self.conditions
            ],
        }  # fmt: skip


def corners_of(band: Band, values: Mapping[str, float]) -> tuple[float, float]:
    """The least and greatest value of `band.expression` over its corners.

    Exact for formulas that rise or fall steadily in each name, as those of this package do.
    """
    names = [name for name in band.expression.names if name in band.over]
    ranges = [
        (values[name] * (1 - band.over[name][0]), values[name] * (1 + band.over[name][1])) for name in names
    ]
    found = [
        band.expression.evaluate({**values, **dict(zip(names, corner, strict=True))})
        for corner in itertools.product(*ranges)
    ]
    return min(found), max(found)


def _step_json(step: Step) -> dict[str, Any]:
    made: dict[str, Any] = {
        "name": step.name, "expression": step.expression.to_json(), "dimension": step.dimension, "key": step.key
    }  # fmt: skip
    if step.band:
        over = {name: list(spread) for name, spread in step.band.over.items()}
        made["band"] = {"expression": step.band.expression.to_json(), "over": over}
    if step.series:
        made["rule"] = step.rule
        made["decades"] = [list(members(int(each[1:]))) for each in step.series.split("+")]
    return made
