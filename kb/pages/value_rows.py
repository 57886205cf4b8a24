"""Values that a cure changed, each with what it computes to; of a fault, or of one unit in a job."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from kb.pages.sheet import Desk
from kb.reading import Located
from kb.reading.located import Step
from kb.recompute import Comparison, compare, disagreement
from kb.records import ChangedValue


@dataclass(frozen=True)
class ValueRow:
    """One changed value, with its comparison where it has a calculation."""

    value: ChangedValue
    comparison: Comparison | None


def value_rows(
    desk: Desk, located: Located[Any], path: tuple[Step, ...], values: Iterable[ChangedValue]
) -> list[ValueRow]:
    """The rows of the values listed at `path` of a record; what disagrees is kept for `halfsplit check`."""
    rows = []
    for number, value in enumerate(values):
        comparison, problems = compare(located, (*path, number), value, desk.calculators)
        desk.problems.extend(problems)
        if comparison and (found := disagreement(located, (*path, number), comparison)):
            desk.disagreements.add(found)
        rows.append(ValueRow(value, comparison))
    return rows


def words_of_value(value: ChangedValue) -> tuple[str | None, ...]:
    """All that a row says, for the cautions above it."""
    about = value.calculation.about if value.calculation else None
    return value.what, value.was, value.now, value.accepted_because, about
