"""The worked rows for the diagnosis, by kind, and how an answer is held against one."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest

FILE = Path(__file__).with_name("diagnosis_checks.json")


@dataclass(frozen=True)
class Row:
    """One worked row; `source` names the document or the way the answer was found."""

    id: str
    kind: str
    given: Mapping[str, Any]
    expected: Any
    tolerance: float
    source: str


@cache
def rows() -> tuple[Row, ...]:
    """All rows that are tested."""
    data = json.loads(FILE.read_text("utf-8"))
    return tuple(
        Row(row["id"], row["kind"], row["input"], row["expected"], row["tol_abs"], row["source"])
        for row in data["rows"]
    )


def left_out() -> dict[str, str]:
    """The kinds that have rows but are not tested, with the reason."""
    found: dict[str, str] = json.loads(FILE.read_text("utf-8"))["left_out"]
    return found


ASKED_FOR: set[str] = set()
"""The kinds that a test has asked for while it was collected."""


def of_kind(*kinds: str) -> pytest.MarkDecorator:
    """A test is run once for each row of `kinds`."""
    ASKED_FOR.update(kinds)
    found = [pytest.param(row, id=row.id) for row in rows() if row.kind in kinds]
    return pytest.mark.parametrize("row", found)


def number(value: float | str) -> float:
    """A number of a row, which may be written as a fraction."""
    return float(Fraction(value)) if isinstance(value, str) else float(value)


def numbers(values: Mapping[str, float | str]) -> dict[str, float]:
    """The same for a mapping."""
    return {key: number(value) for key, value in values.items()}


def agrees(found: Any, expected: Any, tolerance: float) -> bool:
    """Whether numbers agree within the tolerance and everything else is equal, all the way down."""
    if isinstance(expected, dict):
        return set(found) == set(expected) and all(
            agrees(found[key], expected[key], tolerance) for key in expected
        )
    if isinstance(expected, (list, tuple)):
        return len(found) == len(expected) and all(
            agrees(one, other, tolerance) for one, other in zip(found, expected, strict=True)
        )
    if isinstance(expected, (int, float)) and not isinstance(expected, bool):
        return bool(abs(found - expected) <= tolerance)
    return bool(found == expected)
