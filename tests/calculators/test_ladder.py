"""Resistor converters: the published counts, a nodal solve that knows no ladder, and every corner."""

from __future__ import annotations

import itertools
import random
import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from kb.calculators import Calculation, CalculationError, calculate, ladder_formulas
from kb.calculators.ladder_corner import corner_of
from kb.calculators.ladder_solution import (
    Spread,
    binary_weights,
    differential,
    draw,
    generator,
    integral,
    ladder_weights,
    of_weights,
    worst_corner,
)
from kb.formulas import Expression
from tests.reference import ladders


def value(calculation: Calculation, key: str) -> float:
    found = calculation.result(key).value
    assert isinstance(found, float)
    return found


def said(calculation: Calculation) -> str:
    return " | ".join(str(note) for note in calculation.notes)


def voltages(weights: np.ndarray) -> np.ndarray:
    """The output at every code, from the weights of the bits."""
    bits = len(weights)
    return np.array([sum(weights[b] for b in range(bits) if code >> b & 1) for code in range(1 << bits)])


def nodal(factors: np.ndarray) -> np.ndarray:
    """The output at every code by solving all nodes at once with a matrix: it knows no ladder."""
    bits = len(factors) // 2
    conductance = 1 / (np.array([2.0] * (bits + 1) + [1.0] * (bits - 1)) * factors)
    matrix = np.zeros((bits, bits))
    matrix[0, 0] += conductance[0]
    for node in range(bits):
        matrix[node, node] += conductance[1 + node]
    for link in range(bits - 1):
        g = conductance[1 + bits + link]
        matrix[link, link] += g
        matrix[link + 1, link + 1] += g
        matrix[link, link + 1] -= g
        matrix[link + 1, link] -= g
    codes = range(1 << bits)
    currents = np.array([[conductance[1 + n] * (code >> n & 1) for code in codes] for n in range(bits)])
    return np.asarray(np.linalg.solve(matrix, currents)[-1])


@pytest.mark.parametrize(("name", "bits", "tolerance", "trials", "monotonic", "_source"), ladders.DRAWS)
def test_published_count_of_monotonic_ladders(
    name: str, bits: int, tolerance: str, trials: int, monotonic: int, _source: str
) -> None:
    found = calculate(
        "ladder", {"bits": f"{bits}", "resistor_tolerance": tolerance, "trials": f"{trials}", "seed": "12345"}
    )
    assert round(value(found, "monotonic_chance") * trials) == monotonic, name


@pytest.mark.parametrize(("name", "bits", "excess", "step", "tol", "_source"), ladders.MIDDLE_STEPS)
def test_off_top_leg(name: str, bits: int, excess: float, step: float, tol: float, _source: str) -> None:
    assert ladder_formulas.MSB_LEG_STEP.evaluate({"N": bits, "t": excess}) == pytest.approx(step, rel=tol), (
        name
    )
    factors = np.ones((1, 2 * bits))
    factors[0, bits] += excess
    assert of_weights(ladder_weights(factors)).dnl[0, -1] + 1 == pytest.approx(step, rel=tol), name


@pytest.mark.parametrize(("name", "bits", "percent", "tol", "_source"), ladders.LEG_LIMITS)
def test_limit_of_the_top_leg(name: str, bits: int, percent: float, tol: float, _source: str) -> None:
    found = calculate("ladder", {"bits": f"{bits}", "resistor_tolerance": "1 %", "trials": "1"})
    assert value(found, "msb_leg_limit") * 100 == pytest.approx(percent, rel=tol), name
    limit = value(found, "msb_leg_limit")
    assert ladder_formulas.MSB_LEG_STEP.evaluate({"N": bits, "t": limit}) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("name", "bits", "percent", "tol", "_source"), ladders.BINARY_LIMITS)
def test_limit_of_binary_weights(name: str, bits: int, percent: float, tol: float, _source: str) -> None:
    inputs = {"kind": "binary_weighted", "bits": f"{bits}", "resistor_tolerance": "1 %", "trials": "1"}
    found = calculate("ladder", inputs)
    assert value(found, "tolerance_limit") * 100 == pytest.approx(percent, rel=tol), name
    assert value(found, "matching_rule") * 100 == pytest.approx(percent, rel=tol), name
    limit = value(found, "tolerance_limit")
    assert corner_of("binary_weighted", bits, Spread(limit, limit)).dnl == pytest.approx(-1, abs=1e-9)


def test_definitions() -> None:
    _, volts, step, dnl, _ = ladders.DNL
    assert differential(np.array(volts), step) == pytest.approx(dnl)
    _, volts, inl, _ = ladders.INL
    assert integral(np.array(volts), 1.0) == pytest.approx(inl)


def test_string_matching_in_bits() -> None:
    _, matching, bits, tol, _ = ladders.STRING_BITS
    assert ladder_formulas.STRING_BITS.evaluate({"t": matching}) == pytest.approx(bits, rel=tol)


def test_draws_are_those_of_python() -> None:
    ours, theirs = generator(12345), random.Random(12345)
    assert list(ours.random_sample(1000)) == [theirs.random() for _ in range(1000)]


FACTORS = st.floats(0.5, 1.5)


@given(st.integers(2, 7).flatmap(lambda bits: st.lists(FACTORS, min_size=2 * bits, max_size=2 * bits)))
def test_ladder_is_what_a_matrix_of_all_nodes_gives(factors: list[float]) -> None:
    at = np.array(factors)
    weights = ladder_weights(at[None, :])[0]
    assert voltages(weights) == pytest.approx(nodal(at), rel=1e-9, abs=1e-12)


@given(st.integers(2, 7).flatmap(lambda bits: st.lists(FACTORS, min_size=bits, max_size=bits)))
def test_errors_of_all_codes_are_those_of_the_bits(factors: list[float]) -> None:
    weights = binary_weights(np.array(factors)[None, :])
    bits, found = weights.shape[1], of_weights(weights)
    at = voltages(weights[0])
    dnl, inl = differential(at, 2.0**-bits), integral(at, 2.0**-bits)
    assert abs(found.dnl).max() == pytest.approx(abs(dnl).max(), rel=1e-9, abs=1e-9)
    assert found.inl[0] == pytest.approx(abs(inl).max(), rel=1e-9, abs=1e-9)
    clear = abs(dnl + 1).min() > 1e-9
    assert not clear or bool(found.is_monotonic[0]) == bool((dnl >= -1).all())


@pytest.mark.parametrize("bits", [2, 3, 4, 6])
@pytest.mark.parametrize("tolerance", [0.001, 0.05, 0.4])
def test_worst_corner_is_the_worst_of_all_corners(bits: int, tolerance: float) -> None:
    every = np.array(list(itertools.product((1 - tolerance, 1 + tolerance), repeat=2 * bits)))
    found = of_weights(ladder_weights(every)).dnl.min()
    assert worst_corner(bits, Spread(tolerance, tolerance))[0] == pytest.approx(found, rel=1e-12)
    every = np.array(list(itertools.product((1 - tolerance, 1 + tolerance), repeat=bits)))
    found = of_weights(binary_weights(every)).dnl.min()
    assert corner_of("binary_weighted", bits, Spread(tolerance, tolerance)).dnl == pytest.approx(
        found, rel=1e-9
    )


@pytest.mark.parametrize("bits", [4, 8, 12])
def test_corner_follows_the_common_rule(bits: int) -> None:
    """The rule of 1/2^N lies a little above the exact limit, so it is a rule of thumb and no promise."""
    found = calculate("ladder", {"bits": f"{bits}", "resistor_tolerance": "1 %", "trials": "1"})
    limit, rule = value(found, "tolerance_limit"), value(found, "matching_rule")
    assert 0.98 * rule < limit < rule
    assert worst_corner(bits, Spread(limit * 0.999, limit * 0.999))[0] > -1
    assert worst_corner(bits, Spread(limit * 1.001, limit * 1.001))[0] < -1


@pytest.mark.parametrize("kind", ["r2r", "binary_weighted"])
def test_no_draw_leaves_the_corner(kind: str) -> None:
    found = calculate("ladder", {"kind": kind, "bits": "6", "resistor_tolerance": "5 %", "trials": "5000"})
    assert all(row["worst_dnl"] >= value(found, "corner_dnl") for row in found.tables[0].as_objects())


def test_string_bends_and_never_steps_backwards() -> None:
    found = calculate("ladder", {"kind": "string", "bits": "6", "resistor_tolerance": "10 %"})
    assert found.result("monotonic_chance").value == 1.0
    assert found.result("monotonic_chance").low is None
    assert 0 < value(found, "worst_inl") < value(found, "corner_inl")
    assert abs(value(found, "worst_dnl")) <= 0.23


def test_string_is_what_its_taps_give() -> None:
    errors = draw("string", 4, Spread(0.05, 0.05), 3, 7)
    parts = 1 + 0.05 * (2 * generator(7).random_sample((3, 16)) - 1)
    for trial in range(3):
        taps = np.concatenate(([0.0], np.cumsum(parts[trial])))[:16] / parts[trial].sum()
        dnl = differential(taps, 1 / 16)
        assert errors.dnl[trial, 0] == pytest.approx(dnl[abs(dnl).argmax()], rel=1e-9)
        assert errors.inl[trial] == pytest.approx(abs(integral(taps, 1 / 16)).max(), rel=1e-9)


@given(st.integers(0, 500), st.integers(1, 500))
def test_interval_is_wilsons(came_true: int, count: int) -> None:
    came_true = min(came_true, count)
    found = ladder_formulas.wilson(came_true / count, count)
    expected = binomtest(came_true, count).proportion_ci(0.95, method="wilson")
    assert found == pytest.approx((expected.low, expected.high), abs=1e-9)


def test_exact_resistors_make_an_exact_converter() -> None:
    for kind in ("r2r", "binary_weighted", "string"):
        found = calculate("ladder", {"kind": kind, "bits": "8", "resistor_tolerance": "0 %", "trials": "10"})
        assert value(found, "worst_dnl") == pytest.approx(0, abs=1e-9)
        assert value(found, "worst_inl") == pytest.approx(0, abs=1e-9)
        assert value(found, "monotonic_chance") == 1.0


def test_twelve_bits_a_thousand_times_take_no_time() -> None:
    began_s = time.process_time()
    for kind in ("r2r", "binary_weighted", "string"):
        calculate("ladder", {"kind": kind, "bits": "12", "resistor_tolerance": "0.1 %"})
    assert time.process_time() - began_s < 3 * 2


@pytest.mark.parametrize(
    ("inputs", "piece"),
    [
        ({"bits": "8", "resistor_tolerance": "1 %"}, "warning: "),
        ({"bits": "8", "resistor_tolerance": "0.5 %", "trials": "10"}, "the worst corner does"),
        ({"kind": "string", "bits": "4", "resistor_tolerance": "5 %"}, "bends instead"),
        ({"kind": "binary_weighted", "bits": "4", "resistor_tolerance": "1 %"}, "no network offers"),
        ({"bits": "4", "resistor_tolerance": "1 %"}, "end points"),
    ],
)
def test_a_colleague_would_say(inputs: dict[str, str], piece: str) -> None:
    assert piece in said(calculate("ladder", inputs))


@pytest.mark.parametrize(
    ("inputs", "key", "piece"),
    [
        ({"bits": "17", "resistor_tolerance": "1 %"}, "bits", "2 to 16"),
        ({"bits": "1", "resistor_tolerance": "1 %"}, "bits", "2 to 16"),
        ({"bits": "8", "resistor_tolerance": "60 %"}, "resistor_tolerance", "more than half"),
        ({"bits": "8"}, "resistor_tolerance", "is missing"),
        ({"bits": "8", "resistor_tolerance": "1 %", "trials": "20001"}, "trials", "1 to 20000"),
        ({"bits": "8", "resistor_tolerance": "1 %", "seed": "-1"}, "seed", "whole number"),
        (
            {"kind": "string", "bits": "16", "resistor_tolerance": "1 %", "trials": "20000"}, "trials",
            "at most 1024",
        ),
        ({"kind": "r-2r", "bits": "8", "resistor_tolerance": "1 %"}, "kind", 'did you mean "r2r"'),
    ],
)  # fmt: skip
def test_mistakes_name_their_input(inputs: dict[str, str], key: str, piece: str) -> None:
    with pytest.raises(CalculationError) as caught:
        calculate("ladder", inputs)
    assert {problem.input for problem in caught.value.problems} == {key}
    assert any(piece in str(problem) for problem in caught.value.problems)


NAMES = {
    **dict.fromkeys(("V_F", "V_k", "V_j", "V_l", "V_s"), "voltage"),
    **dict.fromkeys(("N", "n", "t", "t_m", "t_p", "p", "z"), "number"),
}


@pytest.mark.parametrize(
    ("expression", "dimension"),
    [
        (ladder_formulas.STEP, "voltage"), (ladder_formulas.DNL, "number"), (ladder_formulas.INL, "number"),
        (ladder_formulas.MSB_LEG_STEP, "number"), (ladder_formulas.MSB_LEG_LIMIT, "ratio"),
        (ladder_formulas.MATCHING_RULE, "ratio"), (ladder_formulas.BINARY_STEP, "number"),
        (ladder_formulas.BINARY_LIMIT, "ratio"), (ladder_formulas.STRING_STEP, "number"),
        (ladder_formulas.STRING_INL, "number"), (ladder_formulas.STRING_BITS, "number"),
        (ladder_formulas.WILSON_MIDDLE, "ratio"), (ladder_formulas.WILSON_HALF, "ratio"),
    ],
    ids=lambda given: given.text if isinstance(given, Expression) else "",
)  # fmt: skip
def test_formula_has_the_dimension_of_its_result(expression: Expression, dimension: str) -> None:
    assert expression.has_dimension(dimension, NAMES)
