"""Plans: results are what the plan evaluates to, and all pages that ask alike carry the same data."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators import CALCULATORS, Calculation, CalculationError, Calculator, calculate
from kb.calculators.changing import Changeable, changeable
from kb.calculators.one_shot_names import NAMES as DEVICES
from kb.calculators.plan import (
    Band,
    Comparison,
    Condition,
    Lookup,
    Plan,
    PlanTable,
    Refusal,
    Shown,
    Step,
    Variable,
)
from kb.calculators.plan_tables import MOST_ROWS, Reduction, Row
from kb.calculators.plan_words import rounded_up, shown_as
from kb.calculators.tolerances import PartTolerance
from kb.formulas import Expression, FormulaError

PLANNED = [
    (name, dict(calculator.example)) for name, calculator in CALCULATORS.items()
    if calculate(name, calculator.example).plan is not None
]  # fmt: skip
MORE = [
    *(("monostable", {"device": name, "resistor": "33k", "capacitor": "100n"}) for name in DEVICES),
    *(
        ("monostable", {"device": name, "resistor": "33k", "pulse": "10 ms", "diode": "yes"})
        for name in DEVICES
    ),
    ("monostable", {"device": "NE555", "capacitor": "100n", "pulse": "10 ms", "supply": "15 V"}),
    ("rc", {"resistor": "10k ±1 %", "capacitor": "4.7 uF -20/+80 %", "direction": "discharge"}),
    ("discharge", {"capacitor": "4700u", "voltage": "63 V", "time": "5 s"}),
    (
        "dac_pitch",
        {"standard": "hertz_per_volt", "bits": "10", "full_scale": "8 V", "convention": "top_code"},
    ),
    ("tempo", {"frequency": "48 Hz"}),
    ("preferred_value", {"value": "33.9 nF", "series": "E24+E96", "rule": "ratio"}),
]
EVERY = pytest.mark.parametrize(("name", "inputs"), [*PLANNED, *MORE], ids=lambda value: str(value)[:50])
PLAIN = Plan((), ())


def plan_of(calculation: Calculation) -> Plan:
    assert calculation.plan is not None
    return calculation.plan


def page_of(name: str, **inputs: str) -> Changeable:
    found = changeable(CALCULATORS[name], calculate(name, inputs))
    assert found is not None
    return found


def one_step(step: Step, **constants: float) -> Plan:
    return Plan((), (step,), constants)


@EVERY
def test_results_are_what_the_plan_evaluates_to(name: str, inputs: dict[str, str]) -> None:
    calculation = calculate(name, inputs)
    plan = plan_of(calculation)
    values = plan.evaluate()
    steps = {step.key: step for step in plan.every_step if step.key}
    for result in calculation.results:
        if result.dimension == "text":
            continue
        step = steps.pop(result.key)
        assert result.value == pytest.approx(values[step.name], rel=1e-12, abs=0)
        band = plan.band(step, values)
        if band is None or band[0] == band[1]:
            assert result.low is None
        else:
            assert (result.low, result.high) == pytest.approx(band, rel=1e-12, abs=0)
    assert {step.dimension for step in steps.values()} <= {"note"}
    assert set(plan.notes(values)) <= set(calculation.notes)


@EVERY
def test_what_a_page_carries_is_json_and_small(name: str, inputs: dict[str, str]) -> None:
    found = page_of(name, **inputs)
    assert json.loads(found.text) == json.loads(json.dumps(found.data))
    assert len(found.text) < 16_000
    assert found.data["w"][found.way].get("of") == calculate(name, inputs).solved_for


def test_all_that_ask_alike_share_one_plan() -> None:
    one = page_of("monostable", device="74LS123", resistor="33k", pulse="10 ms")
    other = page_of("monostable", device="74LS123", resistor="4k7 ±1 %", pulse="2 s", supply="4.9 V")
    from_pulse = page_of("monostable", device="74LS123", resistor="33k", capacitor="1 uF")
    assert one.name == other.name == from_pulse.name
    assert one.way != from_pulse.way
    assert one.name != page_of("monostable", device="NE555", resistor="33k", pulse="10 ms").name


def test_a_way_stands_for_each_thing_to_solve_for_and_each_word() -> None:
    ways = page_of("monostable", device="74123", resistor="33k", pulse="10 ms").data["w"]
    assert {(way["of"], way["o"]["diode"]) for way in ways} == {
        (of, diode) for of in ("resistor", "capacitor", "pulse") for diode in ("yes", "no")
    }


def test_what_a_calculator_can_not_plan_stays_with_python() -> None:
    for name, calculator in CALCULATORS.items():
        calculation = calculate(name, calculator.example)
        assert (changeable(calculator, calculation) is None) == (calculation.plan is None)


def test_a_tolerance_remembers_its_input() -> None:
    part = PartTolerance(0.05, 0.1, "resistor")
    assert part == (0.05, 0.1)
    assert part.source == "=resistor"
    assert PartTolerance(0.05, 0.1, "upper", "resistor").source == "=upper/resistor"
    plan = plan_of(calculate("rc", {"resistor": "10k", "capacitor": "1n"}))
    assert plan.as_json()["s"][0]["b"]["o"] == {"R": "=resistor", "C": "=capacitor"}


def test_a_variable_without_a_word_about_it_spreads_as_itself() -> None:
    band = Band(Expression("R * a"), {"R": (0.05, 0.05), "a": (0.1, 0.2)})
    step = Step("t", Expression("R * a"), "resistance", "t", band)
    plan = Plan((Variable("upper", "R", "resistance", 10.0, 0.05, 0.05),), (step,), {"a": 1.0})
    assert plan.as_json()["s"][0]["b"] == {"o": {"R": "=upper", "a": [0.1, 0.2]}}


@pytest.mark.parametrize(
    ("at", "nearest", "below"),
    [(0.0, 1.0, 1.0), (5.0, 1.0, 1.0), (7.4, 1.0, 1.0), (7.6, 2.0, 1.0), (10.0, 2.0, 2.0), (99.0, 3.0, 3.0)],
)
def test_a_published_value_is_looked_up(at: float, nearest: float, below: float) -> None:
    entries = ((5.0, 1.0), (10.0, 2.0), (15.0, 3.0))
    assert Lookup(entries).of(at) == nearest
    assert Lookup(entries, "below").of(at) == below


def test_a_step_may_be_the_corner_of_its_band() -> None:
    band = Band(Expression("R"), {"R": (0.1, "a")})
    for corner, expected in (("least", 9.0), ("greatest", 12.0)):
        step = Step("x", Expression("R"), "resistance", band=band, corner=corner)  # type: ignore[arg-type]
        assert one_step(step, R=10.0, a=0.2).evaluate()["x"] == pytest.approx(expected)
        assert PLAIN.band(step, {"R": 10.0, "a": 0.2}) is None


@pytest.mark.parametrize("pick", ["below", "nearest", "above"])
def test_no_part_of_zero_or_less_is_looked_for(pick: str) -> None:
    step = Step("R", Expression("x"), "resistance", series="E24", pick=pick)  # type: ignore[arg-type]
    assert one_step(step, x=4.69).evaluate()["R"] == {"below": 4.3, "nearest": 4.7, "above": 4.7}[pick]
    for value in (0.0, -1.0):
        with pytest.raises(FormulaError, match="a part of zero or less"):
            one_step(step, x=value).evaluate()


def test_a_refusal_names_its_input_and_fills_in_the_number() -> None:
    refusal = Refusal(
        (Comparison.read("x > 4"), Comparison.read("x < 9")), "supply", "{x} is too much", "less",
        {"x": Shown("x", "voltage")},
    )  # fmt: skip
    step = Step("y", Expression("x"), "voltage", refusals=(refusal,))
    assert one_step(step, x=4.0).evaluate()["y"] == 4.0
    with pytest.raises(CalculationError, match="supply: 5\u00a0V is too much; less"):
        one_step(step, x=5.0).evaluate()


@pytest.mark.parametrize("text", ["V_0 <= V_S", "2 * a + 1 > b", "a < b", "x >= 1e-6"])
def test_a_comparison_is_read(text: str) -> None:
    found = Comparison.read(text)
    assert f"{found.left.text} {found.relation} {found.right.text}" == text


@pytest.mark.parametrize("text", ["a", "a = b", "a<b", ""])
def test_what_is_no_comparison_is_a_mistake_of_ours(text: str) -> None:
    with pytest.raises(ValueError, match="not a"):
        Comparison.read(text)


def test_a_note_holds_under_its_conditions_only() -> None:
    plan = Plan(
        (), (), {"x": 1.0}, assumed=frozenset({"resistor"}), words={"series": "E48"},
        conditions=(
            Condition.whenever("note", "always {x}", fills={"x": Shown("x", "time")}),
            Condition.whenever("note", "small", Comparison.read("x < 1")),
            Condition.whenever("note", "assumed", assumed="resistor"),
            Condition.whenever("note", "other part", assumed="capacitor"),
            Condition.whenever("warning", "coarse", words={"series": ("E48", "E96")}),
            Condition.whenever("warning", "fine", words={"series": ("E3",)}),
            Condition.whenever("warning", "coarse"),
        ),
    )  # fmt: skip
    assert [note.text for note in plan.notes(plan.evaluate())] == ["always 1\u00a0s", "assumed", "coarse"]


def test_looking_down_a_column() -> None:
    rows = ({"a": -3.0, "n": 0.0}, {"a": 2.0, "n": 1.0}, {"a": 3.0, "n": 2.0}, {"a": 9.0, "n": 3.0})
    few = (Comparison.read("a < 5"),)
    none = (Comparison.read("a > 50"),)
    found = {
        kind: Reduction("x", kind, "a", "a", few).find(rows)
        for kind in ("count", "least", "greatest")  # type: ignore[arg-type]
    }
    assert found == {"count": 3.0, "least": -3.0, "greatest": 3.0}
    assert Reduction("x", "at_greatest", "n", "a", few).find(rows) == 0.0
    assert Reduction("x", "greatest", "a", where=none).find(rows) == 0.0


def test_a_table_is_never_endless() -> None:
    step = Step("y", Expression("2 * n"), "number")
    table = PlanTable("t", (step,), {"y": Shown("y", "number")}, index="n", last=Expression("x"))
    assert len(table.work_out({"x": 1e18})) == MOST_ROWS
    assert [row["y"] for row in table.work_out({"x": 2.0})] == [0.0, 2.0, 4.0]
    assert table.work_out({"x": -5.0}) == ()


def test_rows_are_listed_by_their_labels() -> None:
    rows = (Row("one", {"n": 1.0}), Row("two", {"n": 2.0}), Row("three", {"n": 3.0}))
    table = PlanTable("t", (Step("y", Expression("n * x"), "number"),), {}, rows)
    assert table.labels((Comparison.read("y >= 4"),), {"x": 2.0}) == ("two", "three")


@given(st.floats(1e-9, 1e12))
def test_a_wait_is_never_printed_too_short(value: float) -> None:
    assert value * (1 - 1e-9) <= rounded_up(value) <= 1.11 * value
    assert rounded_up(-value) == 0


@pytest.mark.parametrize(
    ("value", "dimension", "text"),
    [
        (36.0, "note", "C2"),
        (1.0, "yes", "yes"),
        (0.0, "yes", "no"),
        (8.0, "integer", "8"),
        (0.01, "time", "10\u00a0ms"),
    ],
)
def test_numbers_that_stand_for_words_are_shown_as_words(value: float, dimension: str, text: str) -> None:
    assert shown_as(value, dimension) == text


@pytest.mark.parametrize("calculator", [CALCULATORS[name] for name, _ in PLANNED], ids=lambda each: each.name)
def test_every_step_leads_to_a_declared_result(calculator: Calculator) -> None:
    plan = plan_of(calculate(calculator.name, calculator.example))
    assert {step.key for step in plan.every_step if step.key} <= {spec.key for spec in calculator.results}
    names = [each.name for each in plan.variables] + [step.name for step in plan.every_step]
    assert len(set(names)) == len(names)


def test_a_charge_that_may_be_below_the_limit_needs_no_resistor() -> None:
    with pytest.raises(CalculationError, match="at its lowest is not above"):
        calculate("discharge", {"capacitor": "100 uF", "voltage": "45 V ±10 %", "time": "1 s"})
