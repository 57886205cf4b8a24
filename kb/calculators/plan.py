"""A calculation as data: what is computed from what, so that a page can compute it again.

The formulas stand in one place. Python evaluates a plan for the page and the command line, the script
`plans.js` evaluates the same plan when somebody changes an input; neither knows a formula of its
own. A plan holds no words that a result could contradict: notes that depend on numbers are conditions.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from kb.calculators.base import CalculationError, InputProblem, Note
from kb.calculators.plan_tables import PlanTable, Values
from kb.calculators.plan_words import ALWAYS, Comparison, Fill, Listed, Refusal, Relation, Shown, filled
from kb.calculators.series import neighbours
from kb.formulas import Expression, FormulaError

__all__ = [
    "ALWAYS",
    "Band",
    "Comparison",
    "Condition",
    "Fill",
    "Listed",
    "Lookup",
    "Plan",
    "PlanTable",
    "Refusal",
    "Relation",
    "Shown",
    "Step",
    "Variable",
    "corners_of",
]

Spread = tuple[float | str, float | str]
"""How far below and above its value something may lie, as fractions; a text names a value of the plan."""


@dataclass(frozen=True)
class Variable:
    """An input that may be changed: the name formulas use, its SI value and relative tolerance.

    `also` are other dimensions that the same formulas take, such as a plain number for a tempo.
    """

    key: str
    name: str
    dimension: str
    value: float
    minus: float = 0.0
    plus: float = 0.0
    positive: bool = True
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Band:
    """How a step spreads: `expression` at every corner of the names in `over`.

    `over` gives for each name how far below and above its value it may lie, as fractions; what
    `Given.tolerance` hands out keeps the input it belongs to, so that a page can put in another one.
    """

    expression: Expression
    over: Mapping[str, Spread]


@dataclass(frozen=True)
class Lookup:
    """Published values: `entries` are (at, value); "below" takes the last one that is not above."""

    entries: tuple[tuple[float, float], ...]
    rule: Literal["nearest", "below"] = "nearest"

    def of(self, at: float) -> float:
        """The value published for what is nearest to `at`, or next below it."""
        if self.rule == "nearest":
            return min(self.entries, key=lambda entry: abs(entry[0] - at))[1]
        return next((value for known, value in reversed(self.entries) if known <= at), self.entries[0][1])


@dataclass(frozen=True)
class Step:
    """One value worked out from those before it; with a `key` it is a result of the calculation.

    With `series` the expression's value is replaced by the preferred value of that series that `pick`
    says, with `lookup` by a published value. With `corner` it is the least or the greatest value that its
    band allows. The dimension "note" shows a note's number by its name. `refusals` are looked at as soon
    as the value is known.
    """

    name: str
    expression: Expression
    dimension: str
    key: str | None = None
    band: Band | None = None
    series: str | None = None
    rule: Literal["arithmetic", "ratio"] = "arithmetic"
    pick: Literal["nearest", "below", "above"] = "nearest"
    lookup: Lookup | None = None
    refusals: tuple[Refusal, ...] = ()
    corner: Literal["least", "greatest"] | None = None

    def evaluate(self, values: Values) -> float:
        """The value, given those before it."""
        if self.corner and self.band:
            value = corners_of(self.band, values)[self.corner == "greatest"]
        else:
            value = self.expression.evaluate(values)
        if self.series:
            if value <= 0:
                raise FormulaError("these numbers ask for a part of zero or less")
            found = neighbours(value, self.series, self.rule)
            return {"nearest": found.nearest, "below": found.below, "above": found.above}[self.pick]
        return self.lookup.of(value) if self.lookup else value


@dataclass(frozen=True)
class Condition:
    """A note that holds while `left` stands in `relation` to `right`, and all of `also` hold.

    `assumed` names an input: the note holds only while its default is used. `words` says which words
    of which choices it belongs to. The note's text has `{name}` where something of `fills` is put in.
    """

    left: Expression
    relation: Relation
    right: Expression
    note: Note
    also: tuple[Comparison, ...] = ()
    fills: Mapping[str, Fill] = field(default_factory=dict)
    assumed: str | None = None
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def comparisons(self) -> tuple[Comparison, ...]:
        """All that must hold."""
        return (Comparison(self.left, self.relation, self.right), *self.also)

    @classmethod
    def whenever(
        cls, level: Literal["note", "warning"], text: str, *also: Comparison,
        fills: Mapping[str, Fill] | None = None, assumed: str | None = None,
        words: Mapping[str, tuple[str, ...]] | None = None,
    ) -> Condition:  # fmt: skip
        """The note `text` as long as all of `also` hold."""
        return cls(ALWAYS.left, ALWAYS.relation, ALWAYS.right, Note(level, text), also,
                   fills or {}, assumed, words or {})  # fmt: skip


@dataclass(frozen=True)
class Plan:
    """Variables and constants, the steps in order, and the notes that depend on the numbers.

    `refusals` are looked at before anything is computed. `tables` come after `steps`, and `after` holds
    the steps that need what the tables found. `assumed` are the inputs whose default is used, `words` the
    choices made; conditions ask for both.
    """

    variables: tuple[Variable, ...]
    steps: tuple[Step, ...]
    constants: Mapping[str, float] = field(default_factory=dict)
    conditions: tuple[Condition, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    tables: tuple[PlanTable, ...] = ()
    after: tuple[Step, ...] = ()
    assumed: frozenset[str] = frozenset()
    words: Mapping[str, str] = field(default_factory=dict)

    @property
    def every_step(self) -> tuple[Step, ...]:
        """The steps before and after the tables."""
        return self.steps + self.after

    def evaluate(self) -> dict[str, float]:
        """Every name's value in SI.

        Raises FormulaError where there is none, and CalculationError where a refusal holds.
        """
        values = {**self.constants, **{each.name: each.value for each in self.variables}}
        _refuse(self.refusals, values)
        for step in self.steps:
            _take(step, values)
        for table in self.tables:
            values |= table.reduced(values)
        for step in self.after:
            _take(step, values)
        return values

    def band(self, step: Step, values: Mapping[str, float]) -> tuple[float, float] | None:
        """The least and greatest value of a step, given the values `evaluate` found."""
        return corners_of(step.band, values) if step.band and not step.corner else None

    def notes(self, values: Mapping[str, float]) -> tuple[Note, ...]:
        """The notes whose condition holds, each of them once."""
        return tuple(dict.fromkeys(self.notes_by_condition(values).values()))

    def notes_by_condition(self, values: Mapping[str, float]) -> dict[int, Note]:
        """The same by the place of their condition."""
        tables = {table.title: table for table in self.tables}
        return {
            number: Note(each.note.level, filled(each.note.text, each.fills, values, tables))
            for number, each in enumerate(self.conditions)
            if self._holds(each, values)
        }

    def _holds(self, condition: Condition, values: Values) -> bool:
        if condition.assumed is not None and condition.assumed not in self.assumed:
            return False
        if any(self.words.get(key) not in words for key, words in condition.words.items()):
            return False
        return all(each.holds(values) for each in condition.comparisons)

    def as_json(self) -> dict[str, Any]:
        """The plan for the browser: plain lists, mappings, numbers and texts."""
        from kb.calculators.plan_json import plan_json  # noqa: PLC0415 - it needs the classes above

        return plan_json(self)


def corners_of(band: Band, values: Mapping[str, float]) -> tuple[float, float]:
    """The least and greatest value of `band.expression` over its corners.

    Exact for formulas that rise or fall steadily in each name, as those of this package do.
    """
    names = [name for name in band.expression.names if name in band.over]
    ranges = []
    for name in names:
        minus, plus = (values[part] if isinstance(part, str) else part for part in band.over[name])
        ranges.append((values[name] * (1 - minus), values[name] * (1 + plus)))
    found = [
        band.expression.evaluate({**values, **dict(zip(names, corner, strict=True))})
        for corner in itertools.product(*ranges)
    ]
    return min(found), max(found)


def _take(step: Step, values: dict[str, float]) -> None:
    values[step.name] = step.evaluate(values)
    _refuse(step.refusals, values)


def _refuse(refusals: tuple[Refusal, ...], values: Values) -> None:
    for each in refusals:
        if all(comparison.holds(values) for comparison in each.when):
            what, advice = (filled(text, each.fills, values, {}) for text in (each.what, each.advice))
            raise CalculationError(InputProblem(each.input, what, advice))
