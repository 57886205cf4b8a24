"""Gate and trigger matches: margins and verdicts as published, worst case decides, cures are named."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, calculate, gate_verdict, logic_levels
from kb.calculators.logic_levels import FAMILIES, FAN_OUT, read_family
from tests.calculators.planning import agrees_with_its_plan
from tests.reference import levels
from tests.reference.checks import Check, holds, parameters

PLAIN = {"output_high": "5 V", "output_low": "0.2 V", "input_high": "2.5 V", "input_low": "0.8 V"}


def verdict(**inputs: str) -> object:
    return calculate("gate_match", inputs).result("verdict").value


def said(calculation: Calculation) -> str:
    return " | ".join(str(note) for note in calculation.notes)


@pytest.mark.parametrize("check", parameters((*levels.MARGINS, *levels.VERDICTS, *levels.FAN_OUT)))
def test_published_value(check: Check) -> None:
    assert holds(check, calculate("gate_match", check.inputs).result(check.key).value)


@pytest.mark.parametrize(("name", "level", "supply_v", "part", "tol", "_source"), levels.PARTS_OF_SUPPLY)
def test_4000_series_thresholds_are_a_part_of_the_supply(
    name: str, level: str, supply_v: float, part: float, tol: float, _source: str
) -> None:
    found = FAMILIES["cmos4000"].at(supply_v)
    values = {"V": getattr(found, level), "V_S": supply_v}
    assert logic_levels.PART_OF_SUPPLY.evaluate(values) == pytest.approx(part, rel=tol), name


@pytest.mark.parametrize(("name", "family", "supply_v", "level", "volts", "_source"), levels.FACTS)
def test_published_level(
    name: str, family: str, supply_v: float, level: str, volts: float, _source: str
) -> None:
    assert getattr(FAMILIES[family].at(supply_v), level) == volts, name


def test_fan_out_counts_whole_inputs() -> None:
    assert FAN_OUT.evaluate({"I_OL": 0.44e-3, "I_IL": 0.36e-3}) == pytest.approx(1.2222, rel=1e-4)
    found = calculate("gate_match", {"output_family": "ls", "input_family": "ls", "inputs_driven": "21"})
    assert found.result("fan_out").value == 20
    assert found.result("verdict").value == "output overloaded"


@pytest.mark.parametrize(
    ("inputs", "expected"),
    [
        (PLAIN, "fits"),
        ({**PLAIN, "output_high": "2.4 V"}, "high level fails"),
        ({**PLAIN, "output_low": "1 V"}, "low level fails"),
        ({**PLAIN, "output_duration": "1 ms", "input_duration": "5 ms"}, "pulse too short"),
        ({**PLAIN, "output_duration": "5 ms", "input_duration": "5 ms"}, "fits"),
        ({**PLAIN, "input_most": "4.9 V"}, "level too high"),
        ({**PLAIN, "input_style": "switch"}, "wrong style"),
        (
            {
                "output_style": "switch", "pull_up": "5 V", "input_style": "switch", "input_high": "2 V",
                "input_low": "0.8 V",
            },
            "fits",
        ),
        ({"output_style": "switch", "pull_up": "5 V", "input_family": "ls"}, "wrong style"),
        (
            {**PLAIN, "output_high": "2 V", "output_duration": "1 ms", "input_duration": "2 ms",
             "input_style": "switch"},
            "high level fails, pulse too short, wrong style",
        ),
        ({"output_high": "10 V", "input_family": "ls"}, "level too high"),
    ],
)  # fmt: skip
def test_verdict(inputs: dict[str, str], expected: str) -> None:
    assert verdict(**inputs) == expected


def test_the_worst_parts_decide() -> None:
    inputs = {"output_high": "2.6 V ±5 %", "input_high": "2.5 V"}
    found = calculate("gate_match", inputs).result("level_margin")
    assert found.value == pytest.approx(0.1)
    assert found.low == pytest.approx(2.6 * 0.95 - 2.5)
    assert verdict(**inputs) == "high level fails"


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({**PLAIN, "output_high": "2 V"}, "comparator"), ({**PLAIN, "input_most": "3 V"}, "divider"),
        ({**PLAIN, "output_duration": "1 ms", "input_duration": "2 ms"}, "monostable"),
        ({**PLAIN, "input_style": "switch"}, "series_resistor"),
        ({**PLAIN, "output_low": "-5 V"}, "below ground"), ({**PLAIN, "output_high": "2.6 V"}, "0.4 V"),
        (PLAIN, "not compared for want of a value at both ends: duration"),
        ({"output_family": "hc", "input_family": "hc"}, "interpolated"),
    ],
)  # fmt: skip
def test_a_cure_is_named(inputs: dict[str, str], piece: str) -> None:
    assert piece in said(calculate("gate_match", inputs))


@given(*[st.integers(-200, 2000)] * 4, *[st.integers(1, 10000)] * 2)
def test_verdict_is_what_the_margins_say(
    out_high: int, out_low: int, in_high: int, in_low: int, lasts: int, needs: int
) -> None:
    found = calculate(
        "gate_match",
        {
            "output_high": f"{out_high} mV", "output_low": f"{out_low} mV", "input_high": f"{in_high} mV",
            "input_low": f"{in_low} mV", "output_duration": f"{lasts} us", "input_duration": f"{needs} us",
        },
    )  # fmt: skip
    expected = [
        word
        for word, fails in (
            ("high level fails", out_high < in_high), ("low level fails", in_low < out_low),
            ("pulse too short", lasts < needs),
        )
        if fails
    ]  # fmt: skip
    assert found.result("verdict").value == (", ".join(expected) or "fits")


@pytest.mark.parametrize(
    "inputs",
    [
        PLAIN,
        {**PLAIN, "output_high": "5 V ±5 %", "output_duration": "8 ms ±20 %", "input_duration": "5 ms"},
        {"output_family": "ls", "input_family": "hct", "output_duration": "1 ms", "input_duration": "1 us"},
        {"output_style": "switch", "pull_up": "5 V ±10 %", "input_family": "ttl"},
    ],
)  # fmt: skip
def test_the_plan_is_the_calculation(inputs: dict[str, str]) -> None:
    found = calculate("gate_match", inputs)
    plan, others = found.plan, ("verdict", "fan_out")
    assert plan is not None
    from_plan = tuple(item for item in found.results if item.key not in others)
    assert agrees_with_its_plan(
        Calculation(
            found.calculator,
            found.title,
            found.inputs,
            None,
            from_plan,
            (),
            (),
            found.notes,
            (),
            (),
            None,
            plan,
        )
    )


def test_two_families_leave_nothing_to_change() -> None:
    assert calculate("gate_match", {"output_family": "ls", "input_family": "hct"}).plan is None


@pytest.mark.parametrize(
    ("inputs", "key", "piece"),
    [
        ({}, None, "nothing can be compared"), ({"output_high": "5 V"}, None, "nothing can be compared"),
        ({"output_family": "ls", "input_family": "hc", "supply": "12 V"}, "supply", "nothing is published"),
        ({"output_family": "hc", "input_family": "hc", "supply": "3 V"}, "supply", "no output levels"),
        (
            {"output_family": "ls", "input_family": "cmos4000", "input_supply": "18 V"}, "input_supply",
            "nothing is published",
        ),
        ({**PLAIN, "pull_up": "5 V"}, "pull_up", "neither end is a switch"),
        ({**PLAIN, "output_style": "switch"}, "output_high", "only pulls down"),
        ({"output_style": "switch", "output_family": "ls"}, "output_family", "only pulls down"),
        ({**PLAIN, "output_family": "rtl"}, "output_family", "not known"),
        ({**PLAIN, "inputs_driven": "101"}, "inputs_driven", "1 to 100"),
        ({**PLAIN, "output_duration": "5 V"}, "output_duration", "voltage"),
    ],
)  # fmt: skip
def test_mistakes_name_their_input(inputs: dict[str, str], key: str | None, piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        calculate("gate_match", inputs)
    assert {problem.input for problem in caught.value.problems} == {key}
    assert any(piece in str(problem) for problem in caught.value.problems)


@pytest.mark.parametrize(
    ("text", "family"),
    [("74LS", "ls"), ("4000B", "cmos4000"), ("TTL", "ttl"), ("74HCT", "hct"), ("74-HC", "hc"), ("ecl", None)],
)
def test_families_by_their_other_names(text: str, family: str | None) -> None:
    assert read_family(text) == family


@pytest.mark.parametrize("margin", gate_verdict.MARGINS, ids=lambda margin: margin.key)
def test_formula_has_the_dimension_of_its_result(margin: gate_verdict.Margin) -> None:
    names = dict.fromkeys(margin.expression.names, margin.dimension)
    assert margin.expression.has_dimension(margin.dimension, names)
