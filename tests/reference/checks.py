"""One published check value; `inputs` is what a calculator is given, `key` the result that is compared."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import pytest


@dataclass(frozen=True)
class Check:
    """`rel_tol` 0 means exact; `source` names the document or the way the value was confirmed."""

    id: str
    inputs: Mapping[str, str]
    key: str
    expected: float | str
    rel_tol: float
    source: str


def parameters(checks: Iterable[Check]) -> list[object]:
    """The checks as pytest parameters, each under its own id."""
    return [pytest.param(check, id=check.id) for check in checks]


def holds(check: Check, found: object) -> bool:
    """Whether `found` is the expected value within the tolerance; zero is compared to 1e-9."""
    if isinstance(check.expected, str) or check.rel_tol == 0:
        return found == check.expected
    return bool(
        found == pytest.approx(check.expected, rel=check.rel_tol, abs=1e-9 if not check.expected else 0)
    )
