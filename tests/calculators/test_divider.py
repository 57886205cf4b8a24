"""Dividers agree with published values, with every point inside the tolerances, and with a simulator."""

from __future__ import annotations

import itertools
import random
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, Result, calculate, divider, divider_formulas
from kb.calculators.plan import Band, corners_of
from kb.formulas import Expression
from tests.calculators.planning import agrees_with_its_plan
from tests.calculators.simulator import needs_simulator, simulated
from tests.reference.checks import Check, holds, parameters
from tests.reference.dividers import DIVIDERS, STACK

RESISTORS = st.floats(100, 1e6)


def divided(**inputs: str) -> Calculation:
    return calculate("divider", inputs)


def number(calculation: Calculation, key: str) -> float:
    found = calculation.result(key).value
    assert isinstance(found, float)
    return found


def span(found: Result) -> tuple[float, float]:
    assert found.low is not None
    assert found.high is not None
    return found.low, found.high


@pytest.mark.parametrize("check", parameters(DIVIDERS))
def test_published_value(check: Check) -> None:
    assert holds(check, divided(**check.inputs).result(check.key).value)


def test_a_stack_of_tolerances_multiplies() -> None:
    _, tolerances, expected, tol, _ = STACK
    over = dict(zip("abc", ((each, each) for each in tolerances), strict=True))
    _, high = corners_of(Band(Expression("a * b * c"), over), dict.fromkeys("abc", 1.0))
    assert high - 1 == pytest.approx(expected, rel=tol)


def test_example_and_promised_keys() -> None:
    found = calculate("divider", divider.CALCULATOR.example)
    keys = {item.key for item in found.results}
    assert {"output", "worst_low", "worst_high", "statistical", "current", "thevenin"} <= keys
    assert found.solved_for == "output"


CIRCUITS = [
    {"input": "10 V ±5 %", "upper": "10k", "lower": "10k", "tolerance": "5 %"},
    {"input": "12 V ±2 %", "upper": "100k ±1 %", "lower": "47k ±10 %", "load": "100k ±20 %"},
    {"input": "5 V", "upper": "1k", "lower": "2k2", "load": "1k ±50 %", "tolerance": "20 %"},
    {"input": "15 V ±10 %", "upper": "10.2k", "lower": "10k", "tolerance": "20 %"},
]


@pytest.mark.parametrize("inputs", CIRCUITS)
def test_no_combination_lies_outside_the_worst_case(inputs: dict[str, str]) -> None:
    found = divided(**inputs)
    asked = found.plan
    assert asked is not None
    bands = {
        each.key: (each.value * (1 - each.minus), each.value * (1 + each.plus)) for each in asked.variables
    }
    bands |= {key: span(found.result(key)) for key in ("upper", "lower")}
    axes = [np.linspace(*bands[key], 21) for key in ("input", "upper", "lower")]
    axes.append(np.linspace(*bands["load"], 21) if "load" in bands else np.array([1e15]))
    volts, upper, lower, load = (axis.ravel() for axis in np.meshgrid(*axes))
    below = lower * load / (lower + load)
    output = volts * below / (upper + below)
    hot_upper, hot_lower = (volts - output) ** 2 / upper, output**2 / lower
    assert number(found, "worst_low") == pytest.approx(output.min(), rel=1e-9)
    assert number(found, "worst_high") == pytest.approx(output.max(), rel=1e-9)
    assert span(found.result("output")) == pytest.approx((output.min(), output.max()), rel=1e-9)
    assert span(found.result("current")) == pytest.approx(
        ((volts / (upper + below)).min(), (volts / (upper + below)).max()), rel=1e-9
    )
    for key, seen in (("worst_power_upper", hot_upper), ("worst_power_lower", hot_lower)):
        assert number(found, key) >= seen.max() * (1 - 1e-9)
        assert number(found, key) == pytest.approx(seen.max(), rel=1e-3)


def test_a_matched_resistor_is_hottest_inside_its_tolerance() -> None:
    found = divided(input="10 V", upper="10k ±20 %", lower="10k")
    corners = [100 * upper / (upper + lower) ** 2 for upper in (8e3, 12e3) for lower in (9.5e3, 10.5e3)]
    assert number(found, "worst_power_upper") > max(corners)
    assert number(found, "worst_power_upper") == pytest.approx(100 * 9.5e3 / (2 * 9.5e3) ** 2)


def test_statistical_spread_is_that_of_many_dividers() -> None:
    rng = np.random.default_rng(1)
    upper, lower = (10e3 * (1 + rng.normal(0, 0.01, 400_000)) for _ in range(2))
    made = 10 * lower / (upper + lower)
    # one deviation of 1 % in, one deviation of the output out
    spread = number(divided(input="10 V", upper="10k", lower="10k", tolerance="1 %"), "statistical")
    assert spread == pytest.approx(float(made.std()), rel=0.01)


def test_three_rules_stand_side_by_side() -> None:
    rows = divided(**CIRCUITS[1]).tables[0].as_objects()
    assert len(rows) == 3
    above = [row["above"] for row in rows]
    assert all(isinstance(each, float) for each in above)
    assert above[2] < above[1]  # type: ignore[operator]
    assert len(divided(**CIRCUITS[1]).tables[1].rows) == 4


@settings(max_examples=40)
@given(volts=st.floats(1, 400), upper=RESISTORS, lower=RESISTORS, load=st.none() | RESISTORS)
def test_every_direction_leads_back(volts: float, upper: float, lower: float, load: float | None) -> None:
    rest = {"input": f"{volts!r} V"} | ({"load": f"{load!r} ohm"} if load else {})
    parts = {"upper": f"{upper!r} ohm", "lower": f"{lower!r} ohm"}
    output = number(divided(**rest, **parts), "output")
    assume(output < volts * 0.999)
    assume(load is None or lower < 100 * load)
    for key, expected in (("upper", upper), ("lower", lower)):
        others = {name: text for name, text in parts.items() if name != key}
        back = divided(**rest, **others, output=f"{output!r} V")
        assert back.solved_for == key
        assert number(back, key) == pytest.approx(expected, rel=1e-6)
        assert agrees_with_its_plan(back)


@given(
    tolerance=st.floats(0.1, 30), parts=st.tuples(RESISTORS, RESISTORS, RESISTORS), seed=st.integers(0, 1000)
)
def test_random_parts_stay_inside_the_band(
    tolerance: float, parts: tuple[float, float, float], seed: int
) -> None:
    upper, lower, load = parts
    found = divided(
        input="10 V", upper=f"{upper!r} ohm", lower=f"{lower!r} ohm", load=f"{load!r} ohm",
        tolerance=f"{tolerance!r} %",
    )  # fmt: skip
    pick = random.Random(seed)
    one, two = (each * (1 + pick.uniform(-tolerance, tolerance) / 100) for each in (upper, lower))
    below = two * load / (two + load)
    output = 10 * below / (one + below)
    assert number(found, "worst_low") * (1 - 1e-9) <= output <= number(found, "worst_high") * (1 + 1e-9)


@pytest.mark.parametrize("inputs", [*CIRCUITS, {"input": "12 V", "output": "5 V", "upper": "4k7"}])
def test_plan_and_results_are_one(inputs: dict[str, str]) -> None:
    assert agrees_with_its_plan(divided(**inputs))


def test_wanted_output_asks_for_a_part_that_exists() -> None:
    found = divided(input="12 V", output="5 V", lower="10k")
    assert number(found, "upper") == pytest.approx(14e3)
    assert number(found, "preferred") in (13e3, 15e3)
    assert number(found, "output_with_preferred") == pytest.approx(
        12 * 10 / (10 + number(found, "preferred") / 1e3)
    )


def test_an_input_that_may_sag_below_the_output_leaves_nothing_to_drop() -> None:
    found = divided(input="12 V ±10 %", output="11.5 V", lower="10k")
    assert found.result("upper").low == 0
    assert divided(input="12 V ±10 %", output="11.5 V", upper="1k").result("lower").low is None


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({"input": "24 V", "upper": "220 ohm", "lower": "220 ohm"}, "more than half of 0.25 W"),
        ({"input": "10 V", "upper": "10k", "lower": "10k", "load": "10k"}, "more than 5 %"),
        ({"input": "10 V", "upper": "10k", "lower": "10k"}, "taken as exact"),
        ({"input": "12 V", "output": "5 V", "lower": "10k"}, "by more than 1 %"),
    ],
)
def test_a_colleague_would_say(inputs: dict[str, str], piece: str) -> None:
    piece = {"taken as exact": "take it as exact"}.get(piece, piece)
    assert any(piece in str(note) for note in divided(**inputs).notes)


def test_cool_and_unloaded_needs_no_warning() -> None:
    found = divided(input="5 V ±1 %", upper="10k", lower="10k", load="10 Mohm")
    assert not any(note.level == "warning" or "pulls" in note.text for note in found.notes)


@pytest.mark.parametrize(
    ("inputs", "key", "piece"),
    [
        ({"input": "12 V", "output": "12 V", "lower": "10k"}, "output", "not below the input"),
        ({"input": "12 V", "output": "5 V", "upper": "47k", "load": "10k"}, "output", "load alone"),
        ({"input": "12 V", "lower": "10k"}, None, "upper and output are missing"),
        ({"input": "12 V", "upper": "1k", "lower": "10k", "output": "5 V"}, None, "all given"),
        ({"input": "0 V", "upper": "1k", "lower": "10k"}, "input", "above zero"),
        ({"input": "5 V", "upper": "1k", "lower": "10k", "tolerance": "100 %"}, "tolerance", "below 100 %"),
    ],
)
def test_each_mistake_names_its_input(inputs: dict[str, str], key: str | None, piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        divided(**inputs)
    assert [problem.input for problem in caught.value.problems] == [key]
    assert piece in str(caught.value)


FORMS = (divider_formulas.ALONE, divider_formulas.LOADED)
CHECKED = [
    *((form.output, "voltage") for form in FORMS), *((form.lowest, "voltage") for form in FORMS),
    *((form.highest, "voltage") for form in FORMS), *((form.upper, "resistance") for form in FORMS),
    *((form.lower, "resistance") for form in FORMS),
    *((form.upper_band, "resistance") for form in FORMS), *((form.current, "current") for form in FORMS),
    *((form.under_upper, "resistance") for form in FORMS),
    *((form.beside_lower, "resistance") for form in FORMS),
    *((share, "voltage") for share in divider_formulas.SHARE.values()),
    *((rule, "voltage") for rule in divider_formulas.LINEAR.values()),
    *((rule, "voltage") for rule in divider_formulas.STATISTICAL.values()),
    (divider_formulas.POWER_UPPER, "power"), (divider_formulas.POWER_LOWER, "power"),
    (divider_formulas.WORST_POWER_UPPER, "power"), (divider_formulas.WORST_POWER_LOWER, "power"),
    (divider_formulas.HOTTEST_UPPER, "resistance"), (divider_formulas.HOTTEST_LOWER, "resistance"),
    (divider_formulas.THEVENIN, "resistance"),
]  # fmt: skip


@pytest.mark.parametrize(("expression", "dimension"), CHECKED, ids=[each[0].text for each in CHECKED])
def test_formula_has_the_dimension_of_its_result(expression: Expression, dimension: str) -> None:
    assert expression.has_dimension(dimension, divider_formulas.DIMENSIONS)


@pytest.mark.slow
@needs_simulator
def test_a_simulator_finds_the_same_corners(tmp_path: Path) -> None:
    seen = []
    for volts, upper, lower in itertools.product((11.4, 12.6), (9500, 10500), (4465, 4935)):
        parts = f"V1 in 0 {volts}\nR1 in out {upper}\nR2 out 0 {lower}\nR3 out 0 20k"
        found = simulated(tmp_path, f"{parts}\n.tran 1u 10u\n.meas tran level FIND v(out) AT=5u")
        seen.append(found["level"])
    made = divided(input="12 V ±5 %", upper="10k", lower="4.7k", load="20k", tolerance="5 %")
    assert number(made, "worst_low") == pytest.approx(min(seen), rel=1e-5)
    assert number(made, "worst_high") == pytest.approx(max(seen), rel=1e-5)
