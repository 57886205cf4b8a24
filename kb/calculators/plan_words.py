"""What a plan says in words: comparisons, the sentences that hang on them, and the numbers put into these.

Every number in a sentence is named, never written out, so that the page can say the same with other
numbers. Nothing here computes a result.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, TypeAlias

from kb.calculators.pitch import note_name
from kb.formulas import Expression
from kb.quantities import show

if TYPE_CHECKING:
    from kb.calculators.plan_tables import PlanTable

Relation: TypeAlias = Literal["<", "<=", ">", ">="]
_RELATIONS: dict[str, Callable[[float, float], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}


@dataclass(frozen=True)
class Comparison:
    """Whether `left` stands in `relation` to `right`."""

    left: Expression
    relation: Relation
    right: Expression

    @classmethod
    def read(cls, text: str) -> Comparison:
        """`V_0 <= V_S` as a comparison; ValueError when it isn't one."""
        relations: tuple[Relation, ...] = ("<=", ">=", "<", ">")
        for relation in relations:
            left, sign, right = text.partition(f" {relation} ")
            if sign:
                return cls(Expression(left), relation, Expression(right))
        raise ValueError(f"not a comparison: {text!r}")

    def holds(self, values: Mapping[str, float]) -> bool:
        """Whether it is so with these numbers."""
        return _RELATIONS[self.relation](self.left.evaluate(values), self.right.evaluate(values))


ALWAYS = Comparison(Expression("1"), ">", Expression("0"))


@dataclass(frozen=True)
class Shown:
    """A value as a sentence or a table shows it.

    `rounds_up` gives two digits that are never less than the value: for a wait that must not be
    printed too short.
    """

    name: str
    dimension: str
    digits: int = 3
    rounds_up: bool = False

    def text(self, values: Mapping[str, float]) -> str:
        """The value in words, with its unit."""
        value = values[self.name]
        return shown_as(rounded_up(value) if self.rounds_up else value, self.dimension, self.digits)


@dataclass(frozen=True)
class Listed:
    """The labels of those rows of the table called `table` for which all of `where` hold."""

    table: str
    where: tuple[Comparison, ...]


Fill: TypeAlias = Shown | Listed
"""What can stand in a sentence in place of `{name}`."""


@dataclass(frozen=True)
class Refusal:
    """While all of `when` hold nothing can be computed, and the reason is a problem of `input`."""

    when: tuple[Comparison, ...]
    input: str | None
    what: str
    advice: str
    fills: Mapping[str, Shown] = field(default_factory=dict)


def shown_as(value: float, dimension: str, digits: int = 3) -> str:
    """A value of a plan as a page prints it; "note" and "yes" are numbers that stand for words."""
    if dimension == "note":
        return note_name(int(value))
    if dimension == "yes":
        return "yes" if value else "no"
    return f"{int(value):d}" if dimension == "integer" else show(value, dimension, digits)


def rounded_up(value: float) -> float:
    """Two digits, never rounded down: a shorter wait than computed must not be printed in a caution."""
    if value <= 0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return math.ceil(value / step) * step


def filled(
    text: str, fills: Mapping[str, Fill], values: Mapping[str, float], tables: Mapping[str, PlanTable]
) -> str:
    """`text` with every `{name}` of `fills` replaced."""
    for name, fill in fills.items():
        if isinstance(fill, Shown):
            words = fill.text(values)
        else:
            words = ", ".join(tables[fill.table].labels(fill.where, values))
        text = text.replace(f"{{{name}}}", words)
    return text
