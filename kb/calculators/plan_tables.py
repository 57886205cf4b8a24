"""The tables of a plan: the same steps for every row, and what is found by looking down a column.

The rows are either known (the notes of a bar, the data sheets of a device) or counted by an index. A
table is bounded in length, so that no input can make it endless.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, TypeAlias

from kb.calculators.plan_words import Comparison, Shown
from kb.formulas import Expression

if TYPE_CHECKING:
    from kb.calculators.plan import Step

Values: TypeAlias = Mapping[str, float]

MOST_ROWS = 500
# A value this little below the greatest is the greatest: the machine's rounding must not decide.
_SAME = 1e-9


@dataclass(frozen=True)
class Row:
    """One known row: its label, the numbers it brings, and steps of its own before those of the table.

    `words` are the texts of further columns, by their keys; a page has them and needs them no second time.
    """

    label: str
    values: Values = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    words: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Reduction:
    """One number found by looking down the rows for which all of `where` hold; 0 when there are none.

    "count" counts them, "least" and "greatest" look at `of`; "at_greatest" gives `of` of the first row
    in which the size of `by` is greatest.
    """

    name: str
    kind: Literal["count", "least", "greatest", "at_greatest"]
    of: str = ""
    by: str = ""
    where: tuple[Comparison, ...] = ()

    def find(self, rows: tuple[Values, ...]) -> float:
        """The number, given the values of every row."""
        found = [row for row in rows if all(each.holds(row) for each in self.where)]
        if self.kind == "count":
            return float(len(found))
        if not found:
            return 0.0
        if self.kind == "at_greatest":
            greatest = max(abs(row[self.by]) for row in found)
            return next(row[self.of] for row in found if abs(row[self.by]) >= greatest - _SAME)
        return (min if self.kind == "least" else max)(row[self.of] for row in found)


@dataclass(frozen=True)
class PlanTable:
    """One table: `cells` says for each column, by its key, which value stands there and how.

    `title` is that of the table on the page. With `index` the rows are numbered from 0 to `last`.
    """

    title: str
    steps: tuple[Step, ...]
    cells: Mapping[str, Shown]
    rows: tuple[Row, ...] = ()
    index: str = ""
    last: Expression | None = None
    reductions: tuple[Reduction, ...] = ()

    def work_out(self, values: Values) -> tuple[dict[str, float], ...]:
        """The values of every row, those of the whole plan included."""
        rows = self.rows
        if self.last is not None:
            count = min(int(self.last.evaluate(values)), MOST_ROWS - 1) + 1
            rows = tuple(Row("", {self.index: float(number)}) for number in range(count))
        return tuple(self._row(row, values) for row in rows)

    def _row(self, row: Row, values: Values) -> dict[str, float]:
        found = {**values, **row.values}
        for step in (*row.steps, *self.steps):
            found[step.name] = step.evaluate(found)
        return found

    def reduced(self, values: Values) -> dict[str, float]:
        """What the reductions find."""
        if not self.reductions:
            return {}
        rows = self.work_out(values)
        return {each.name: each.find(rows) for each in self.reductions}

    def labels(self, where: tuple[Comparison, ...], values: Values) -> tuple[str, ...]:
        """The labels of the known rows for which all of `where` hold."""
        worked = zip(self.rows, self.work_out(values), strict=True)
        return tuple(row.label for row, found in worked if all(each.holds(found) for each in where))
