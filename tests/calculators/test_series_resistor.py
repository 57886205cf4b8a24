"""Series resistors: published values, round trips, corners, and what a colleague would say about them."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, calculate, series_resistor
from kb.formulas import Expression
from tests.calculators.planning import agrees_with_its_plan
from tests.reference.checks import Check, holds, parameters
from tests.reference.dividers import SERIES_RESISTORS

LED = {"supply": "12 V", "drop": "2 V"}


def resistor(**inputs: str) -> Calculation:
    return calculate("series_resistor", inputs)


@pytest.mark.parametrize("check", parameters(SERIES_RESISTORS))
def test_published_value(check: Check) -> None:
    assert holds(check, resistor(**check.inputs).result(check.key).value)


def test_led_on_twelve_volts() -> None:
    found = resistor(**LED, current="10 mA")
    assert found.solved_for == "resistor"
    assert found.result("resistor").value == pytest.approx(1e3)
    assert found.result("preferred").value == 1e3
    assert found.result("current_with_preferred").value == pytest.approx(10e-3)


@given(volts=st.floats(3, 100), part=st.floats(0.1, 0.95), amps=st.floats(1e-4, 0.5))
def test_resistor_and_current_agree_both_ways(volts: float, part: float, amps: float) -> None:
    both = {"supply": f"{volts!r} V", "drop": f"{volts * part!r} V"}
    solved = resistor(**both, current=f"{amps!r} A")
    back = resistor(**both, resistor=f"{solved.result('resistor').value!r} ohm")
    assert back.result("current").value == pytest.approx(amps, rel=1e-9)
    assert back.solved_for == "current"
    assert agrees_with_its_plan(solved)
    assert agrees_with_its_plan(back)


def test_bands_are_the_corners() -> None:
    found = resistor(supply="12 V ±5 %", drop="2 V ±10 %", resistor="1k ±5 %")
    corners = [
        (volts - drop) / ohms
        for volts, drop, ohms in itertools.product((11.4, 12.6), (1.8, 2.2), (950.0, 1050.0))
    ]
    current, power = found.result("current"), found.result("power")
    assert (current.low, current.high) == pytest.approx((min(corners), max(corners)))
    assert power.high == pytest.approx(max(10.8**2 / 950, 0))
    assert power.low == pytest.approx(9.2**2 / 1050)


def test_no_current_flows_backwards() -> None:
    found = resistor(supply="12 V ±5 %", drop="11.9 V ±10 %", resistor="1k")
    assert found.result("current").low == 0
    assert any(note.level == "warning" and "may not light" in note.text for note in found.notes)
    solved = resistor(supply="12 V ±5 %", drop="11.9 V ±10 %", current="1 mA")
    assert solved.result("resistor").low == 0


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({**LED, "current": "13 mA"}, "half of 0.25 W"),
        ({"supply": "5 V", "drop": "4.2 V", "current": "5 mA"}, "a quarter of the supply"),
        ({**LED, "current": "10.4 mA", "series": "E12"}, None),
        ({**LED, "current": "9.3 mA", "series": "E12"}, "take the next part up"),
    ],
)
def test_a_colleague_would_say(inputs: dict[str, str], piece: str | None) -> None:
    said = [str(note) for note in resistor(**inputs).notes]
    if piece is None:
        assert not any("half of" in note or "quarter" in note or "next part up" in note for note in said)
    else:
        assert any(piece in note for note in said)


@pytest.mark.parametrize(
    ("inputs", "key", "piece"),
    [
        ({"supply": "2 V", "drop": "2 V", "current": "10 mA"}, "supply", "not above the drop"),
        ({"supply": "1.5 V", "drop": "2 V", "current": "10 mA"}, "supply", "not above the drop"),
        ({**LED}, None, "give either current or resistor"),
        ({**LED, "current": "0 A"}, "current", "above zero"),
        ({"supply": "12 V", "current": "10 mA"}, "drop", "is missing"),
    ],
)
def test_each_mistake_names_its_input(inputs: dict[str, str], key: str | None, piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        resistor(**inputs)
    assert [problem.input for problem in caught.value.problems] == [key]
    assert piece in str(caught.value)


NAMES = {
    "V_S": "voltage", "V_D": "voltage", "R": "resistance", "R_P": "resistance", "I": "current",
    "I_P": "current",
}  # fmt: skip


@pytest.mark.parametrize(
    ("expression", "dimension"),
    [
        (series_resistor.RESISTOR, "resistance"), (series_resistor.RESISTOR_BAND, "resistance"),
        (series_resistor.CURRENT, "current"), (series_resistor.CURRENT_BAND, "current"),
        (series_resistor.POWER, "power"), (series_resistor.POWER_BAND, "power"),
        (series_resistor.POWER_PREFERRED_BAND, "power"), (series_resistor.CURRENT_PREFERRED, "current"),
    ],
    ids=lambda value: value.text if isinstance(value, Expression) else "",
)  # fmt: skip
def test_formula_has_the_dimension_of_its_result(expression: Expression, dimension: str) -> None:
    assert expression.has_dimension(dimension, NAMES)
