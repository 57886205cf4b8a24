"""Mains supplies: the simple form, the solution in time against a simulator, and what must be said."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, calculate, supply_formulas
from kb.calculators.supply import HEADROOM, HEAT
from kb.calculators.supply_regulators import REGULATORS, read_regulator
from kb.calculators.supply_solution import (
    CHARGE,
    DIODE,
    EMISSION,
    SATURATION_A,
    THERMAL_V,
    Circuit,
    current,
    steady_state,
)
from kb.formulas import Expression
from tests.calculators.planning import agrees_with_its_plan
from tests.calculators.simulator import needs_simulator, simulated
from tests.reference import supplies
from tests.reference.checks import Check, holds, parameters

LOW_C = {**supplies.C, "source_resistance": "0.4 ohm"}


def value(calculation: Calculation, key: str) -> float:
    found = calculation.result(key).value
    assert isinstance(found, float)
    return found


def said(calculation: Calculation) -> str:
    return " | ".join(str(note) for note in calculation.notes)


@pytest.mark.parametrize("check", parameters((*supplies.SIMPLE, *supplies.SIMULATED)))
def test_published_value(check: Check) -> None:
    assert holds(check, calculate("supply", check.inputs).result(check.key).value)


@pytest.mark.parametrize(("name", "regulator", "above_v", "tol", "_source"), supplies.REGULATORS)
def test_least_input_of_a_regulator(
    name: str, regulator: str, above_v: float, tol: float, _source: str
) -> None:
    assert REGULATORS[regulator].margin_v == pytest.approx(above_v, rel=tol), name


@pytest.mark.parametrize(("name", "volts", "part", "left_v", "tol", "_source"), supplies.MAINS)
def test_low_mains(name: str, volts: float, part: float, left_v: float, tol: float, _source: str) -> None:
    assert supply_formulas.LOW_MAINS.evaluate({"V_s": volts, "d_l": part}) == pytest.approx(
        left_v, rel=tol
    ), name


def test_ripple_behind_the_regulator() -> None:
    _, ripple_v, rejection_db, left_v, tol, _ = supplies.REJECTION
    found = supply_formulas.REJECTED.evaluate({"V_r": ripple_v, "A_r": rejection_db})
    assert found == pytest.approx(left_v, rel=tol)


def test_reservoir_with_the_time_of_conduction_counted() -> None:
    _, load, mains, peak, ripple, farad, tol, _ = supplies.RESERVOIR
    values = {"I": load, "f": mains, "V_p": peak, "V_r": ripple}
    assert supply_formulas.RESERVOIR.evaluate(values) == pytest.approx(farad, rel=tol)


def test_what_the_simple_form_passes_the_winding_fails() -> None:
    """The pair that must stay together: 8.35 V looks enough for a 7805, 7.37 V is not."""
    simple, solved = calculate("supply", supplies.C), calculate("supply", LOW_C)
    assert value(simple, "headroom_at_low_mains") > 0
    assert "passes on paper only" in said(simple)
    assert value(solved, "headroom_at_low_mains") < 0
    assert "warning: at low mains the valley falls below" in said(solved)
    assert "winding's resistance it is 7.37" in said(solved)
    assert value(solved, "simple_valley_at_low_mains") == value(simple, "valley_at_low_mains")


@pytest.mark.parametrize("check", parameters(supplies.SIMULATED))
def test_simple_form_flatters(check: Check) -> None:
    found = calculate("supply", check.inputs)
    assert 1.2 < value(found, "simple_ripple") / value(found, "ripple") < 1.7
    assert 0.4 < value(found, "simple_valley") - value(found, "valley") < 3.35


@pytest.mark.slow
@needs_simulator
@pytest.mark.parametrize(
    ("rectifier", "bridge"),
    [
        ("half_wave", "V1 a0 0 SIN(0 {peak} 50)\nR1 a0 a 0.8\nD1 a p DX"),
        (
            "centre_tap",
            (
                "V1 a0 0 SIN(0 {peak} 50)\nR1 a0 a 0.8\nD1 a p DX\n"
                "V2 b0 0 SIN(0 -{peak} 50)\nR2 b0 b 0.8\nD2 b p DX"
            ),
        ),
        (
            "bridge",
            "V1 a0 b SIN(0 {peak} 50)\nR1 a0 a 0.8\nD1 a p DX\nD2 b p DX\nD3 0 a DX\nD4 0 b DX\nRG b 0 1e7",
        ),
    ],
)
def test_simulated_rectifier(tmp_path: Path, rectifier: str, bridge: str) -> None:
    peak = 18 * math.sqrt(2)
    seen = simulated(
        tmp_path,
        f"""{bridge.format(peak=peak)}
.model DX D(IS=7.03e-9 N=1.808 RS=0.034)
C1 p 0 2200u IC={peak - 3}
IL p 0 PWL(0 0 0.04 0 0.08 0.25)
.options reltol=1e-4
.tran 10u 0.8 0 10u UIC
.meas tran vmax MAX v(p) FROM=0.72 TO=0.8
.meas tran vmin MIN v(p) FROM=0.72 TO=0.8
.meas tran ipk MIN i(V1) FROM=0.72 TO=0.8""",
    )
    found = calculate(
        "supply",
        {
            "secondary": "18 V", "capacitor": "2200 uF", "load": "0.25 A", "rectifier": rectifier,
            "source_resistance": "0.8 ohm",
        },
    )  # fmt: skip
    assert value(found, "peak") == pytest.approx(seen["vmax"], rel=0.003)
    assert value(found, "valley") == pytest.approx(seen["vmin"], rel=0.003)
    assert value(found, "ripple") == pytest.approx(seen["vmax"] - seen["vmin"], rel=0.01)
    assert value(found, "peak_current") == pytest.approx(-seen["ipk"], rel=0.01)


@given(st.floats(0.01, 100), st.floats(1e-3, 1e3), st.sampled_from([1, 2]))
def test_diode_current_solves_the_formula_shown(across_v: float, ohm: float, diodes: int) -> None:
    flowing = current(across_v, ohm, diodes)
    values = {"i": flowing, "R": ohm, "n": diodes, "N_D": EMISSION, "V_T": THERMAL_V, "I_0": SATURATION_A}
    assert DIODE.evaluate(values) == pytest.approx(across_v, rel=1e-9)


@settings(max_examples=30)
@given(
    st.floats(6, 40), st.floats(470e-6, 22e-3), st.floats(0.01, 1.0), st.floats(0.05, 3.0),
    st.sampled_from([1, 2]), st.booleans(),
)  # fmt: skip
def test_steady_state_repeats_and_charge_is_kept(
    volts: float, farad: float, load: float, ohm: float, diodes: int, is_full_wave: bool
) -> None:
    found = steady_state(Circuit(volts * math.sqrt(2), 50.0, ohm, diodes, is_full_wave, farad, load))
    if found is None:
        return
    assert found.volts[-1] == pytest.approx(found.volts[0], rel=1e-6)
    steps = len(found.volts) - 1
    mean = (math.fsum(found.amperes) - (found.amperes[0] + found.amperes[-1]) / 2) / steps
    assert mean == pytest.approx(load, rel=0.01)
    assert found.valley_v < found.mean_v < found.peak_v < volts * math.sqrt(2)


@pytest.mark.parametrize(
    "inputs",
    [
        supplies.A, supplies.B, supplies.C, {**supplies.C, "capacitor_rating": "16 V"},
        {**supplies.A, "least_input": "10 V", "regulated": "8 V", "capacitor": "4700 uF -20/+50 %"},
        {**supplies.A, "rectifier": "half_wave", "secondary": "12 V ±5 %", "load": "0.3 A ±10 %"},
    ],
)  # fmt: skip
def test_the_plan_is_the_calculation(inputs: dict[str, str]) -> None:
    assert agrees_with_its_plan(calculate("supply", inputs))


def test_the_solution_in_time_has_no_plan_a_page_could_compute() -> None:
    assert calculate("supply", LOW_C).plan is None


@pytest.mark.parametrize(("extra", "key"), [({}, "valley"), ({"source_resistance": "0.4 ohm"}, "valley")])
def test_no_part_in_tolerance_leaves_the_band(extra: dict[str, str], key: str) -> None:
    base = {**supplies.C, **extra, "capacitor": "4700 uF ±20 %", "load": "0.8 A ±10 %"}
    band = calculate("supply", base).result(key)
    assert band.low is not None
    assert band.high is not None
    for microfarad in (3760, 4200, 4700, 5640):
        for load in (0.72, 0.8, 0.88):
            mixed = {**base, "capacitor": f"{microfarad} uF ±0 %", "load": f"{load} A"}
            found = value(calculate("supply", mixed), key)
            assert band.low - 1e-9 <= found <= band.high + 1e-9


def test_reverse_voltages() -> None:
    peak = 12 * math.sqrt(2)
    assert value(calculate("supply", supplies.A), "peak_inverse") == pytest.approx(peak)
    for rectifier in ("centre_tap", "half_wave"):
        found = calculate("supply", {**supplies.A, "rectifier": rectifier})
        assert value(found, "peak_inverse") == pytest.approx(2 * peak)
        assert value(found, "peak_inverse_at_high_mains") == pytest.approx(2.2 * peak)


@pytest.mark.parametrize("inputs", [supplies.A, supplies.C, LOW_C])
def test_mains_caution_always_stands_first(inputs: dict[str, str]) -> None:
    first = calculate("supply", inputs).notes[0]
    assert first.level == "warning"
    assert "local codes and licensed practice come before this page" in first.text


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({**supplies.C, "secondary": "7 V"}, "even at nominal mains"),
        ({**supplies.C, "secondary": "8 V"}, "warning: at low mains the valley falls below"),
        ({**supplies.C, "secondary": "8.5 V"}, "the worst ones their tolerances allow"),
        (supplies.C, "needs a heatsink"), ({**supplies.C, "load": "0.15 A"}, "at high mains more than 1 W"),
        ({**supplies.C, "load": "1.1 A", "capacitor": "10000 uF"}, "up to 1 A"),
        ({**supplies.C, "secondary": "25 V"}, "35 V"),
        ({**supplies.C, "capacitor_rating": "10 V"}, "can burst"),
        ({**supplies.C, "capacitor": "1000 uF", "secondary": "18 V"}, "more than a fifth"),
        (supplies.C, "1.25 to 1.68 times"), (supplies.C, "at switch-on"), (supplies.C, "ripple current"),
        (supplies.C, "±20 % is assumed"), (supplies.A, "no regulator was named"),
        (LOW_C, "the simple form shows 1.7"),
    ],
)  # fmt: skip
def test_a_colleague_would_say(inputs: dict[str, str], piece: str) -> None:
    assert piece in said(calculate("supply", inputs)).replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("7805", "7805"), ("LM7805CT", "7805"), ("uA78M05", "7805"), ("LM340-5", "7805"),
        ("LM340T-12", "7812"),
        ("L7915CV", "7915"), ("none", "none"), ("7809", None), ("LM317", None), ("", None),
    ],
)  # fmt: skip
def test_regulators_by_what_is_printed_on_them(text: str, name: str | None) -> None:
    assert read_regulator(text) == name


@pytest.mark.parametrize(
    ("inputs", "key", "piece"),
    [
        ({**supplies.A, "secondary": "0.9 V"}, "secondary", "nothing behind the diodes"),
        ({**supplies.A, "capacitor": "100 uF"}, "capacitor", "emptied"),
        ({**supplies.A, "source_resistance": "50 ohm"}, "load", "can't give this load"),
        ({**supplies.A, "mains_low": "100 %"}, "mains_low", "no part"),
        ({**supplies.A, "mains_high": "-10 %"}, "mains_high", "without a sign"),
        ({**supplies.A, "regulator": "7809"}, "regulator", "not known"),
        ({**supplies.A, "load": "0 A"}, "load", "above zero"),
        ({"secondary": "12 V", "load": "1 A"}, "capacitor", "is missing"),
    ],
)  # fmt: skip
def test_mistakes_name_their_input(inputs: dict[str, str], key: str, piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        calculate("supply", inputs)
    assert {problem.input for problem in caught.value.problems} == {key}
    assert any(piece in str(problem) for problem in caught.value.problems)


@pytest.mark.parametrize(
    "extra",
    [
        {"capacitor": "1e30 F"}, {"capacitor": "1 pF", "load": "1e-20 A"}, {"secondary": "1e30 V"},
        {"mains_frequency": "1e-30 Hz"}, {"mains_frequency": "1e30 Hz"},
        {"source_resistance": "1e30 ohm"},
        {"source_resistance": "1e-30 ohm"}, {"load": "1e-30 A"}, {"capacitor_tolerance": "100 %"},
    ],
)  # fmt: skip
def test_absurd_sizes_give_finite_numbers_or_advice(extra: dict[str, str]) -> None:
    try:
        found = calculate("supply", {**LOW_C, **extra})
    except CalculationError as error:
        assert error.problems  # noqa: PT017 - either way is right, an infinity is not
    else:
        assert all(math.isfinite(float(item.value)) for item in found.results)


NAMES = {
    **dict.fromkeys(("V_s", "V_D", "V_p", "V_r", "V_h", "V_n", "V_v", "V_g", "V_m", "V_T"), "voltage"),
    **dict.fromkeys(("n", "m", "k", "A_r", "N_D"), "number"), **dict.fromkeys(("d_l", "d_h"), "ratio"),
    "I": "current", "i": "current", "I_0": "current", "f": "frequency", "C": "capacitance", "R": "resistance",
    "R_s": "resistance",
}  # fmt: skip


@pytest.mark.parametrize(
    ("expression", "dimension"),
    [
        (supply_formulas.peak("V_s"), "voltage"), (supply_formulas.LOW_MAINS, "voltage"),
        (supply_formulas.HIGH_MAINS, "voltage"), (supply_formulas.RIPPLE, "voltage"),
        (supply_formulas.REVERSE_PEAK, "voltage"), (supply_formulas.REJECTED, "voltage"),
        (supply_formulas.INRUSH, "current"), (supply_formulas.RESERVOIR, "capacitance"),
        (HEADROOM, "voltage"), (HEAT, "power"), (DIODE, "voltage"),
    ],
    ids=lambda given: given.text if isinstance(given, Expression) else "",
)  # fmt: skip
def test_formula_has_the_dimension_of_its_result(expression: Expression, dimension: str) -> None:
    assert expression.has_dimension(dimension, NAMES)


def test_reservoir_rises_in_volts_a_second() -> None:
    time = Expression(f"V_p / ({CHARGE.text})")
    assert time.has_dimension("time", NAMES)


def test_every_step_of_the_plan_has_its_dimension() -> None:
    found = calculate("supply", {**supplies.C, "capacitor_rating": "25 V"})
    assert found.plan is not None
    names = {**dict.fromkeys(found.plan.constants, "number"), "V_n": "voltage", "V_g": "voltage"}
    names |= {each.name: each.dimension for each in (*found.plan.variables, *found.plan.steps)}
    for step in found.plan.steps:
        assert step.expression.has_dimension(step.dimension, names), step.name
        assert step.band is None or step.band.expression.has_dimension(step.dimension, names), step.name
