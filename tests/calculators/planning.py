"""What every plan is held to: it evaluates to the results on the page, and its bands are their bands."""

from __future__ import annotations

import json
import math

import pytest

from kb.calculators import Calculation


def agrees_with_its_plan(calculation: Calculation) -> bool:
    """Whether every result with a step of its key has that step's value and band, and JSON can hold it."""
    plan = calculation.plan
    assert plan is not None
    json.dumps(plan.as_json(), allow_nan=False)
    values = plan.evaluate()
    found = {item.key: item for item in calculation.results}
    for step in plan.steps:
        if step.key is None:
            continue
        result = found.pop(step.key)
        assert result.value == pytest.approx(values[step.name], rel=1e-12, abs=0)
        band = plan.band(step, values)
        if band and band[0] != band[1]:
            assert (result.low, result.high) == pytest.approx(band, rel=1e-12)
            assert result.low is not None
            assert result.high is not None
            assert result.low <= float(result.value) * (1 + 1e-12)
            assert result.high >= float(result.value) * (1 - 1e-12)
    shown = {str(note) for note in calculation.notes}
    assert {str(note) for note in plan.notes(values)} <= shown
    return not found and all(math.isfinite(value) for value in values.values())
