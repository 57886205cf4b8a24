"""Tracking: the fit agrees with published values, and the advice turns the right trimmer."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators import Calculation, CalculationError, calculate, exponential, tracking, tracking_fit
from kb.formulas import Expression
from tests.reference import tracking as published
from tests.reference.checks import Check, holds, parameters

ZERO_C = 273.15


def readings(pairs: list[tuple[float, float]]) -> str:
    return ", ".join(f"{volts!r} V={hertz!r} Hz" for volts, hertz in pairs)


def value(calculation: Calculation, key: str) -> float:
    found = calculation.result(key).value
    assert isinstance(found, float)
    return found


def said(calculation: Calculation) -> str:
    return " | ".join(str(note) for note in calculation.notes)


@pytest.mark.parametrize("check", parameters(published.TRACKING))
def test_published_value(check: Check) -> None:
    assert holds(check, calculate("tracking", check.inputs).result(check.key).value)


@pytest.mark.parametrize(("name", "volts", "celsius", "ratio", "tol", "_source"), published.RATIOS)
def test_current_ratio_of_a_pair(
    name: str, volts: float, celsius: float, ratio: float, tol: float, _source: str
) -> None:
    thermal = exponential.thermal_voltage(celsius + ZERO_C)
    found = exponential.CURRENT_RATIO.evaluate({"V_b": volts, "V_T": thermal})
    assert found == pytest.approx(ratio, rel=tol), name


@pytest.mark.parametrize(("name", "celsius", "millivolts", "tol", "_source"), published.THERMAL_MV)
def test_thermal_voltage(name: str, celsius: float, millivolts: float, tol: float, _source: str) -> None:
    assert exponential.thermal_voltage(celsius + ZERO_C) * 1e3 == pytest.approx(millivolts, rel=tol), name


@pytest.mark.parametrize(("name", "celsius", "millivolts", "tol", "_source"), published.OCTAVE_MV)
def test_millivolts_per_octave(
    name: str, celsius: float, millivolts: float, tol: float, _source: str
) -> None:
    thermal = exponential.thermal_voltage(celsius + ZERO_C)
    found = exponential.OCTAVE_VOLTAGE.evaluate({"V_T": thermal})
    assert found * 1e3 == pytest.approx(millivolts, rel=tol), name


def test_3300_ppm_is_right_just_below_30_degrees() -> None:
    _, coefficient, celsius, tol, _ = published.IDEAL_AT
    found = exponential.IDEAL_TEMPERATURE.evaluate({"T_0": 1.0, "k": coefficient})
    assert found - ZERO_C == pytest.approx(celsius, rel=tol)


def test_a_slow_reset_flattens_the_top() -> None:
    _, reset_s, hertz, cents, tol, _ = published.DROOP
    assert tracking_fit.DROOP.evaluate({"f": hertz, "t_d": reset_s}) == pytest.approx(cents, rel=tol)


@given(
    st.lists(
        st.tuples(st.integers(0, 1000).map(lambda step: step / 100), st.floats(20, 20000)),
        min_size=3,
        max_size=20,
        unique_by=lambda at: at[0],
    )
)
def test_the_line_is_that_of_numpy(pairs: list[tuple[float, float]]) -> None:
    volts, hertz = (np.array(side) for side in zip(*sorted(pairs), strict=True))
    found = calculate("tracking", {"readings": readings(pairs), "base_frequency": "65.4064 Hz"})
    slope, level = np.polyfit(volts, np.log2(hertz / 65.4064), 1)
    scale = max(1.0, abs(slope))
    assert value(found, "scale_error") == pytest.approx(1200 * (slope - 1), abs=1e-6 * scale * 1200)
    assert value(found, "offset") == pytest.approx(1200 * level, abs=1e-6 * scale * 12000)


@given(st.floats(-100, 100), st.floats(-40, 40), st.sampled_from(["volt_per_octave", "hertz_per_volt"]))
def test_errors_put_in_are_found_again(scale: float, offset: float, standard: str) -> None:
    octaves = range(6)
    pairs = [
        (
            n if standard == "volt_per_octave" else 2.0**n,
            65.4064 * 2 ** (n * (1 + scale / 1200) + offset / 1200),
        )
        for n in octaves
    ]
    found = calculate(
        "tracking", {"standard": standard, "readings": readings(pairs), "base_frequency": "65.4064 Hz"}
    )
    assert value(found, "scale_error") == pytest.approx(scale, abs=1e-6)
    assert value(found, "offset") == pytest.approx(offset, abs=1e-6)
    assert value(found, "worst_residual") < 1e-6
    assert value(found, "two_point_scale_error") == pytest.approx(scale, abs=1e-6)


def test_table_has_each_reading_and_json_holds_it() -> None:
    rows = calculate("tracking", published.WORKED).as_json()["table"]
    assert isinstance(rows, list)
    assert [row["voltage"] for row in rows] == [0, 1, 2, 3, 4, 5]
    assert math.fsum(row["residual"] for row in rows) == pytest.approx(0, abs=1e-9)


def drooping(reset_s: float, scale: float = 0.0) -> str:
    return readings([(n, 1 / (1 / (65.4064 * 2 ** (n * (1 + scale / 1200))) + reset_s)) for n in range(7)])


def test_a_droop_is_told_from_a_scale_error() -> None:
    found = calculate("tracking", {"readings": drooping(4e-6), "base_note": "C2"})
    assert "high-frequency trimmer" in said(found)
    assert "adjust the scale trimmer" not in said(found)
    assert value(found, "droop") == pytest.approx(-1200 * math.log2(1 + 4e-6 * 4178), rel=0.02)


def test_scale_behind_a_droop_is_still_found() -> None:
    found = calculate("tracking", {"readings": drooping(4e-6, scale=5.0), "base_note": "C2"})
    assert "with that taken out the scale error is +5" in said(found)


def test_overdone_high_trim_runs_sharp() -> None:
    found = calculate("tracking", {"readings": drooping(-4e-6), "base_note": "C2"})
    assert "goes too far" in said(found)


@pytest.mark.parametrize(
    ("slope", "words"),
    [(1.01, "too wide: adjust the scale trimmer until each has lost 12 cents"),
     (0.99, "too narrow: adjust the scale trimmer until each has gained 12 cents"),
     (1.0, "leave its trimmer alone")],
)  # fmt: skip
def test_scale_trimmer_goes_the_right_way(slope: float, words: str) -> None:
    pairs = [(n, 65.4064 * 2 ** (n * slope)) for n in range(4)]
    assert words in said(calculate("tracking", {"readings": readings(pairs)})).replace("\u00a0", " ")


NAMED = {"scale_trimmer": "RV3", "offset_trimmer": "RV2", "high_end_trimmer": "RV4"}


@pytest.mark.parametrize(
    ("pairs", "words"),
    [
        ([(v, 65.4064 * 2 ** (v * 0.995)) for v in range(5)],
         "too narrow: turn RV3 so that each has gained 6 cents and, over these readings, the top comes up"),
        ([(v, 66.0 * 2**v) for v in range(5)], "after RV3, bring it down with RV2"),
    ],
)  # fmt: skip
def test_the_advice_names_the_trimmers_of_the_instrument(
    pairs: list[tuple[float, float]], words: str
) -> None:
    given = {"readings": readings(pairs), "base_frequency": "65.4064 Hz"}
    named, unnamed = (calculate("tracking", {**given, **more}) for more in (NAMED, {}))
    assert words in said(named).replace("\u00a0", " ")
    assert named.results == unnamed.results, "a name changes no number"
    assert "RV" not in said(unnamed)


def test_a_droop_is_a_matter_of_the_high_end_trimmer_by_its_name() -> None:
    found = calculate("tracking", {"readings": drooping(4e-6), "base_frequency": "65.4064 Hz", **NAMED})
    assert "Turn RV4 for that; RV3 would spoil the octaves below" in said(found)


def test_hertz_per_volt_finds_a_shifted_zero() -> None:
    pairs = [(volts, 55 * (volts + 0.01)) for volts in (0.5, 1.0, 2.0, 4.0, 8.0)]
    found = calculate("tracking", {"standard": "hertz_per_volt", "readings": readings(pairs)})
    assert value(found, "zero_error") == pytest.approx(0.01, rel=1e-6)
    assert "trim zero" in said(found)


def test_nearest_note_stands_in_for_a_base() -> None:
    found = calculate("tracking", {"readings": published.READINGS})
    (base,) = [item for item in found.inputs if item.key == "base_note"]
    assert base.value == "C2"
    assert not base.given
    assert value(found, "offset") == pytest.approx(-0.7315, abs=1e-3)


@pytest.mark.parametrize(
    ("inputs", "key", "piece"),
    [
        ({"readings": "0 V=65 Hz"}, "readings", "two different voltages"),
        ({"readings": "1 V=65 Hz, 1 V=66 Hz"}, "readings", "two different voltages"),
        ({"readings": "0 V 65 Hz, 1 V=66 Hz"}, "readings", "no pair"),
        ({"readings": "0 V=65 V, 1 V=66 Hz"}, "readings", "voltage"),
        ({"readings": "0 V=0 Hz, 1 V=66 Hz"}, "readings", "above zero"),
        ({"readings": "0 V=65 Hz ±1 %, 1 V=66 Hz"}, "readings", "with a tolerance"),
        ({"readings": ", ".join(["0 V=65 Hz"] * 101)}, "readings", "at most 100"),
        ({"readings": "x" * 5000}, "readings", "short text"),
        ({"readings": "0 V=65 Hz, 1 V=130 Hz", "standard": "hertz_per_volt"}, "readings", "above 0 V"),
        (
            {"readings": "1 V=65 Hz, 2 V=130 Hz", "standard": "hertz_per_volt", "base_voltage": "0 V"},
            "base_voltage", "above zero",
        ),
        ({**published.WORKED, "base_note": "C2"}, "base_note", "leave one out"),
        ({**published.WORKED, "played_at": "30 degC"}, "adjusted_at", "both temperatures"),
        ({"readings": "0 V=1e20 Hz, 1 V=2e20 Hz"}, "base_note", "no note"),
    ],
)  # fmt: skip
def test_mistakes_name_their_input(inputs: dict[str, str], key: str, piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        calculate("tracking", inputs)
    assert {problem.input for problem in caught.value.problems} == {key}
    assert any(piece in str(problem) for problem in caught.value.problems)


@pytest.mark.parametrize(
    "text", ["0 V=1 Hz, 1e30 V=2 Hz", "-1e30 V=1e-30 Hz, 1e30 V=1e30 Hz", "0 V=1 Hz, 1e-30 V=2 Hz"]
)
def test_absurd_readings_give_finite_numbers_or_advice(text: str) -> None:
    try:
        found = calculate("tracking", {"readings": text, "base_note": "C2"})
    except CalculationError as error:
        assert error.problems  # noqa: PT017 - either way is right, an infinity is not
    else:
        assert all(math.isfinite(float(item.value)) for item in found.results)


NAMES = {
    **dict.fromkeys(("V", "V_0", "V_1", "V_r", "V_T", "V_b"), "voltage"),
    **dict.fromkeys(("f", "f_0"), "frequency"),
    **dict.fromkeys(("T", "T_0", "T_1", "T_2", "T_r"), "temperature"),
    **dict.fromkeys(("x", "y", "a", "b", "S_xy", "S_xx", "S_rr", "x_m", "y_m", "n", "k"), "number"),
    **dict.fromkeys(("x_1", "x_2", "y_1", "y_2"), "number"), "t_d": "time",
}  # fmt: skip


@pytest.mark.parametrize(
    ("expression", "dimension"),
    [
        *((each, "number") for each in tracking_fit.ASKED.values()), (tracking_fit.PLAYED, "number"),
        (tracking_fit.SLOPE, "number"), (tracking_fit.LEVEL, "number"), (tracking_fit.OFFSET, "interval"),
        (tracking_fit.SCALE_ERROR, "interval"), (tracking_fit.RESIDUAL, "interval"),
        (tracking_fit.TWO_POINT, "interval"), (tracking_fit.SCALE_DOUBT, "interval"),
        (tracking_fit.DROOP, "interval"), (tracking_fit.WITHOUT_DROOP, "frequency"),
        (tracking.ERROR, "interval"), (exponential.THERMAL_VOLTAGE, "voltage"),
        (exponential.OCTAVE_VOLTAGE, "voltage"), (exponential.CURRENT_RATIO, "number"),
        (exponential.IDEAL_COEFFICIENT, "number"), (exponential.IDEAL_TEMPERATURE, "temperature"),
        (exponential.DRIFT, "interval"),
    ],
    ids=lambda given: given.text if isinstance(given, Expression) else "",
)  # fmt: skip
def test_formula_has_the_dimension_of_its_result(expression: Expression, dimension: str) -> None:
    assert expression.has_dimension(dimension, NAMES)
