"""A shop writes a formula of its own, and it is held to the same rules as ours."""

from __future__ import annotations

import math
from types import MappingProxyType

import pytest

from kb.calculators import CALCULATORS, CalculationError, Calculator
from kb.calculators.run import run
from kb.own_calculators import own_calculators
from kb.reading import read_record
from kb.records import OwnCalculator

BLEEDER = """\
title: Bleeder
summary: The resistor that empties a reservoir in time.
inputs:
  - {id: capacitor, symbol: C, label: Reservoir, dimension: capacitance, example: 4700 uF}
  - {id: voltage, symbol: V, label: Charged to, dimension: voltage, example: 65 V}
  - {id: safe, symbol: V_S, label: Safe voltage, dimension: voltage, example: 42.4 V, default: 42.4 V}
  - {id: wait, symbol: t, label: Wait, dimension: time, example: 30 s}
results:
  - {id: resistor, symbol: R, label: Bleeder, dimension: resistance, formula: t / (C * ln(V / V_S))}
  - {id: fitted, symbol: R_F, label: Nearest part, dimension: resistance, formula: R, series: E12}
  - {id: burns, symbol: P, label: Burns, dimension: power, formula: V ** 2 / R_F}
warnings:
  - {when: P > 0.25, say: take a larger part}
sources: textbook
"""


def made(text: str = BLEEDER) -> tuple[dict[str, Calculator], list[str]]:
    located, problems = read_record(text.encode(), "calculators/bleeder.yml", "bleeder", OwnCalculator)
    assert located is not None, problems
    found, amiss = own_calculators(MappingProxyType({"bleeder": located}), CALCULATORS)
    return found, [str(each) for each in amiss]


def test_a_formula_in_yaml_computes_what_it_says() -> None:
    calculators, problems = made()
    assert problems == []
    done = run(calculators["bleeder"], {"capacitor": "4700 uF", "voltage": "65 V", "wait": "30 s"})
    wanted = 30 / (4700e-6 * math.log(65 / 42.4))
    assert done.result("resistor").value == pytest.approx(wanted, rel=1e-12)
    assert done.result("fitted").value == pytest.approx(15_000)
    assert done.result("burns").value == pytest.approx(65**2 / 15_000)
    assert [str(note) for note in done.notes] == ["warning: take a larger part"]


def test_a_tolerance_becomes_a_band_as_with_our_own() -> None:
    calculators, _ = made()
    done = run(calculators["bleeder"], {"capacitor": "100 uF +/-20 %", "voltage": "65 V", "wait": "3 s"})
    result = done.result("resistor")
    assert (result.low, result.high) == pytest.approx((result.value / 1.2, result.value / 0.8))


def test_it_stands_beside_ours_and_the_page_can_compute_it_again() -> None:
    calculators, _ = made()
    assert set(calculators) == {*CALCULATORS, "bleeder"}
    done = run(calculators["bleeder"], dict(calculators["bleeder"].example))
    assert done.plan is not None
    assert done.plan.evaluate()["R"] == done.result("resistor").value


@pytest.mark.parametrize(
    ("written", "instead", "said"),
    [
        ("t / (C * ln(V / V_S))", "t * C", "the formula gives"),
        ("t / (C * ln(V / V_S))", "t / (C * ln(V))", "ln of a voltage has no meaning"),
        ("t / (C * ln(V / V_S))", "t / (K * ln(V / V_S))", '"K" is no input and no earlier result'),
        ("t / (C * ln(V / V_S))", "__import__('os')", "not a formula"),
        ("t / (C * ln(V / V_S))", "t.real / C", "not a formula"),
        ("t / (C * ln(V / V_S))", "open(t)", "may not call 'open'"),
        ("t / (C * ln(V / V_S))", "9 ** 9 ** 9 ** 9", "a plain number, not a resistance"),
        ("P > 0.25", "P is large", "is no comparison"),
        ("P > 0.25", "Q > 0.25", '"Q" is no input'),
        ("example: 4700 uF", "example: 4700 V", "is a voltage"),
        ("symbol: V_S", "symbol: V", 'the symbol "V" stands for two things'),
    ],
)
def test_a_mistake_is_a_problem_at_its_place(written: str, instead: str, said: str) -> None:
    calculators, problems = made(BLEEDER.replace(written, instead, 1))
    assert "bleeder" not in calculators
    assert any(said in each for each in problems), problems
    assert all(each.startswith("calculators/bleeder.yml:") for each in problems)


def test_a_name_of_ours_is_not_taken_over() -> None:
    located, _ = read_record(BLEEDER.encode(), "calculators/tempo.yml", "tempo", OwnCalculator)
    assert located is not None
    found, problems = own_calculators({"tempo": located}, CALCULATORS)
    assert found["tempo"] is CALCULATORS["tempo"]
    assert '"tempo" is a calculator already' in str(problems[0])


@pytest.mark.parametrize("value", ["0 uF", "1e300 uF", "nan uF", "10 V", "10"])
def test_an_impossible_value_is_told_and_never_a_traceback(value: str) -> None:
    calculators, _ = made()
    with pytest.raises(CalculationError):
        run(calculators["bleeder"], {"capacitor": value, "voltage": "65 V", "wait": "30 s"})
