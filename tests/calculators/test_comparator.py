"""Comparator thresholds: as published, as a simulator finds them, and back again from a wanted hysteresis."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, calculate
from kb.calculators.comparator_formulas import PULL_DOWN, Network
from tests.calculators.planning import agrees_with_its_plan
from tests.calculators.simulator import needs_simulator, simulated
from tests.reference import comparators
from tests.reference.checks import Check, holds, parameters

EXACT = {"resistor_tolerance": "0 %"}


def value(calculation: Calculation, key: str) -> float:
    found = calculation.result(key).value
    assert isinstance(found, float)
    return found


def said(calculation: Calculation) -> str:
    return " | ".join(str(note) for note in calculation.notes)


@pytest.mark.parametrize("check", parameters(comparators.COMPARATORS))
def test_published_value(check: Check) -> None:
    assert holds(check, calculate("comparator", check.inputs).result(check.key).value)


def test_output_high_network_gives_the_upper_threshold() -> None:
    name, inputs, _ = comparators.NAMING
    found = calculate("comparator", inputs)
    assert value(found, "upper") > value(found, "lower"), name
    assert "TLV3202" in said(found)


@pytest.mark.slow
@needs_simulator
@pytest.mark.parametrize("pull_up", [None, 2200.0])
def test_simulated_inverting_comparator(tmp_path: Path, pull_up: float | None) -> None:
    """The output is driven by a steep function of the difference; the input ramps up and down again."""
    output = "Ro q o 10" if pull_up is None else f"RP hi o {pull_up}\nS1 o vs q 0 SWM"
    seen = simulated(
        tmp_path,
        f"""VCC vcc 0 9
VH hi 0 9
VSAT vs 0 0.3
R1 vcc p 47k
R2 p 0 33k
R3 o p 150k
VIN in 0 PWL(0 0 1 9 2 0)
Bq q 0 V={"4.65+4.35*tanh(2e4*(V(p)-V(in)))" if pull_up is None else "0.5*(1+tanh(2e4*(V(in)-V(p))))"}
Cq o 0 1n
{output}
.model SWM SW(VT=0.5 VH=0.05 RON=0.1 ROFF=1G)
.tran 50u 2 0 50u
.meas tran up FIND v(in) WHEN v(o)=4 FALL=1
.meas tran down FIND v(in) WHEN v(o)=4 RISE=LAST""",
    )
    parts = {"upper": "47k", "lower": "33k", "feedback": "150k", "supply": "9 V", "output_low": "0.3 V"}
    more = {} if pull_up is None else {"pullup": f"{pull_up} ohm"}
    found = calculate("comparator", {**parts, **more})
    assert value(found, "upper") == pytest.approx(seen["up"], rel=1e-3)
    assert value(found, "lower") == pytest.approx(seen["down"], rel=1e-3)


@pytest.mark.slow
@needs_simulator
def test_simulated_non_inverting_comparator(tmp_path: Path) -> None:
    seen = simulated(
        tmp_path,
        """VR r 0 6
VIN in 0 PWL(0 0 1 12 2 0)
R1 in p 10k
R2 o p 220k
VCC vcc 0 12
RPU vcc o 4.7k
Bc c 0 V=0.5*(1+tanh(2e4*(V(r)-V(p))))
Rc c cd 1k
Cc cd 0 1n
S1 o 0 cd 0 SWM
.model SWM SW(VT=0.5 VH=0.05 RON=0.01 ROFF=1G)
.tran 50u 2 0 50u
.meas tran up FIND v(in) WHEN v(cd)=0.5 FALL=1
.meas tran down FIND v(in) WHEN v(cd)=0.5 RISE=LAST""",
    )
    found = calculate("comparator", comparators.COMPARATORS[5].inputs)
    assert value(found, "upper") == pytest.approx(seen["up"], rel=1e-3)
    assert value(found, "lower") == pytest.approx(seen["down"], rel=1e-3)


OHMS = st.integers(1000, 10**6)


@given(OHMS, OHMS, OHMS, st.integers(0, 5000), st.integers(0, 400), st.booleans())
def test_feedback_comes_back_from_its_hysteresis(
    first: int, second: int, feedback: int, pull_up: int, low_mv: int, is_inverting: bool
) -> None:
    if is_inverting:
        parts = {"upper": f"{first} ohm", "lower": f"{second} ohm"}
    else:
        parts = {"topology": "non_inverting", "input_resistor": f"{first} ohm", "reference": "3 V"}
    parts |= {"supply": "12 V", "output_low": f"{low_mv} mV"}
    if pull_up:
        parts["pullup"] = f"{pull_up} ohm"
    wide = value(calculate("comparator", {**parts, "feedback": f"{feedback} ohm"}), "hysteresis")
    back = calculate("comparator", {**parts, "hysteresis": f"{wide!r} V"})
    assert value(back, "feedback") == pytest.approx(feedback, rel=1e-6)
    assert value(back, "hysteresis") == pytest.approx(wide, rel=1e-9)


def test_preferred_feedback_is_a_part_that_is_made() -> None:
    found = calculate(
        "comparator", {"upper": "100k", "lower": "100k", "hysteresis": "0.4 V", "supply": "5 V"}
    )
    assert value(found, "feedback") == pytest.approx(575e3, rel=1e-9)
    assert value(found, "preferred") == 560e3
    again = calculate("comparator", {"upper": "100k", "lower": "100k", "feedback": "560k", "supply": "5 V"})
    for key in ("upper", "lower", "hysteresis"):
        assert found.result(f"{key}_with_preferred").value == pytest.approx(value(again, key), rel=1e-12)


@pytest.mark.parametrize(
    "inputs", [comparators.OPEN_COLLECTOR, comparators.NON_INVERTING, comparators.THREE_RESISTORS]
)
def test_no_mix_of_parts_leaves_the_worst_case(inputs: dict[str, str]) -> None:
    found = calculate("comparator", inputs)
    generator = random.Random(7)
    resistors = [key for key in ("upper", "lower", "feedback", "input_resistor", "pullup") if key in inputs]
    ohms = {key: {"10k": 1e4, "100k": 1e5, "576k": 5.76e5, "2k2": 2200.0}[inputs[key]] for key in resistors}
    for _ in range(60):
        mixed = {key: f"{ohms[key] * generator.uniform(0.95, 1.05)!r} ohm" for key in resistors}
        made = calculate("comparator", {**inputs, **mixed, **EXACT})
        for key in ("upper", "lower", "hysteresis"):
            band = found.result(key)
            assert band.low is not None
            assert band.high is not None
            assert band.low <= value(made, key) <= band.high


def test_likely_spread_lies_inside_the_worst_case() -> None:
    for row in calculate("comparator", comparators.OPEN_COLLECTOR).tables[0].as_objects():
        numbers = [row[key] for key in ("worst_low", "likely_low", "nominal", "likely_high", "worst_high")]
        assert all(isinstance(number, float) for number in numbers)
        assert numbers == sorted(numbers, key=float)


@pytest.mark.parametrize(
    "inputs",
    [
        comparators.THREE_RESISTORS, comparators.OPEN_COLLECTOR, comparators.NON_INVERTING,
        {"upper": "10k", "lower": "10k", "hysteresis": "0.5 V", "supply": "12 V ±5 %", "pullup": "2k2 ±1 %"},
        {
            "topology": "non_inverting", "input_resistor": "10k", "reference": "3 V", "hysteresis": "1 V",
            "output_high": "5 V", "series": "E96",
        },
    ],
)  # fmt: skip
def test_the_plan_is_the_calculation(inputs: dict[str, str]) -> None:
    assert agrees_with_its_plan(calculate("comparator", inputs))


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({**comparators.OPEN_COLLECTOR, "pullup": "22k"}, "more than a tenth"),
        ({**comparators.THREE_RESISTORS, "feedback": "100M"}, "may vanish"),
        ({**comparators.THREE_RESISTORS, "upper": "22k"}, "1.5 V below the supply"),
        ({**comparators.NON_INVERTING, "reference": "4.9 V"}, "outside the output's own swing"),
        (comparators.THREE_RESISTORS, "no pull-up was given"),
        (comparators.OPEN_COLLECTOR, "leaves some 0.2 V"),
    ],
)  # fmt: skip
def test_a_colleague_would_say(inputs: dict[str, str], piece: str) -> None:
    assert piece in said(calculate("comparator", inputs))


@pytest.mark.parametrize(
    ("inputs", "key", "piece"),
    [
        ({"feedback": "10k", "supply": "5 V"}, {"upper", "lower"}, "is missing"),
        ({"topology": "non_inverting", "feedback": "10k"}, {"input_resistor", "reference"}, "is missing"),
        ({**comparators.THREE_RESISTORS, "input_resistor": "10k"}, {"input_resistor"}, "no place"),
        ({**comparators.NON_INVERTING, "upper": "10k"}, {"upper"}, "no place"),
        ({"upper": "10k", "lower": "10k", "feedback": "1M"}, {"supply"}, "is missing"),
        (
            {"upper": "10k", "lower": "10k", "hysteresis": "5 V", "supply": "5 V"},
            {"hysteresis"}, "can't give",
        ),
        ({**comparators.THREE_RESISTORS, "output_low": "6 V"}, {"output_high"}, "above output_low"),
        (
            {"upper": "10k", "lower": "10k", "hysteresis": "1 V", "supply": "5 V", "output_low": "6 V"},
            {"output_high"}, "above output_low",
        ),
        ({**comparators.THREE_RESISTORS, "hysteresis": "1 V"}, {None}, "both given"),
        ({"upper": "10k", "lower": "10k", "supply": "5 V"}, {None}, "missing"),
    ],
)  # fmt: skip
def test_mistakes_name_their_input(inputs: dict[str, str], key: set[str | None], piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        calculate("comparator", inputs)
    assert {problem.input for problem in caught.value.problems} == key
    assert any(piece in str(problem) for problem in caught.value.problems)


NAMES = {
    **dict.fromkeys(("R_U", "R_L", "R_F", "R_I", "R_P", "R_K"), "resistance"),
    **dict.fromkeys(("V_S", "V_R", "V_OH", "V_OL", "V_K", "V_W"), "voltage"), "a": "number", "b": "number",
}  # fmt: skip


@pytest.mark.parametrize("topology", ["inverting", "non_inverting"])
@pytest.mark.parametrize("pull_up", [False, True])
def test_formulas_have_the_dimension_of_their_results(topology: str, pull_up: bool) -> None:
    net = Network(topology, "V_R", "V_OH", pull_up)
    for expression in (net.upper, net.lower, net.hysteresis, net.open_voltage):
        assert expression.has_dimension("voltage", NAMES)
    for expression in (net.source, net.feedback):
        assert expression.has_dimension("resistance", NAMES)
    for expression in (net.push_up, PULL_DOWN):
        assert expression.has_dimension("number", NAMES)
